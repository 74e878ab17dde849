//! The year strip as plain geometry: columns of days, rows of hours, shades.

use couplet_core::year::{StripQuantity, YearStrip};

use crate::format::{self, MONTH_STARTS};

/// Days of the picture.
pub(crate) const DAYS: u32 = 365;
/// Hours of the picture.
pub(crate) const HOURS: u32 = 24;

/// Name of a quantity.
pub(crate) fn name(quantity: StripQuantity) -> &'static str {
    match quantity {
        StripQuantity::Pv => "PV used",
        StripQuantity::Import => "Bought",
        StripQuantity::Export => "Sold",
        StripQuantity::Throttled => "PV throttled",
        StripQuantity::Soc => "Stored energy",
        StripQuantity::Generator => "Generator",
        StripQuantity::Unserved => "Not served",
        StripQuantity::Dark => "Dark",
    }
}

/// The value that is drawn in full ink: the greatest of the year, at least a watt; all of it for a share.
pub(crate) fn full(strip: &YearStrip) -> f64 {
    if strip.quantity.is_share() {
        1.0
    } else {
        strip.range().map_or(1.0, |(_, most)| most.max(1.0))
    }
}

/// Full ink in words, for the key beside the strip.
pub(crate) fn full_text(strip: &YearStrip) -> String {
    match strip.quantity {
        StripQuantity::Soc => format::percent(1.0, 0).text(),
        StripQuantity::Dark => "all of the hour".to_owned(),
        _ => format::power(full(strip)).text(),
    }
}

/// A day in words: its date and its energy, or the range of its stored energy.
pub(crate) fn day_text(strip: Option<&YearStrip>, day: u32) -> String {
    let date = format::date(day);
    let Some((strip, (least, most))) = strip.and_then(|strip| Some((strip, strip.day_range(day)?)))
    else {
        return date;
    };
    match strip.quantity {
        StripQuantity::Soc => {
            let (least, most) = (format::percent(least, 0), format::percent(most, 0));
            format!("{date}: {} to {}", least.figure, most.text())
        }
        StripQuantity::Dark => format!(
            "{date}: {}\u{a0}h dark",
            format::number(strip.day_wh(day), 1)
        ),
        _ => format!(
            "{date}: {}\u{a0}kWh",
            format::number(strip.day_wh(day) / 1000.0, 1)
        ),
    }
}

/// Edges of the columns or rows of a picture, px: whole pixels, so that neither gaps nor blurs come about.
pub(crate) fn edges(count: u32, length_px: i32) -> Vec<i32> {
    (0..=count)
        .map(|place| {
            let edge = i64::from(length_px) * i64::from(place) / i64::from(count.max(1));
            i32::try_from(edge).unwrap_or(i32::MAX)
        })
        .collect()
}

/// Shares of the strip's width at which the months begin.
pub(crate) fn month_starts() -> impl Iterator<Item = (usize, f64)> {
    MONTH_STARTS
        .iter()
        .take(12)
        .enumerate()
        .map(|(month, start)| (month, f64::from(*start) / f64::from(DAYS)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use couplet_core::household::OptionId;

    fn strip(quantity: StripQuantity, value: f32) -> YearStrip {
        YearStrip {
            option: OptionId(0),
            quantity,
            values: vec![value; 8760],
        }
    }

    #[test]
    fn edges_cover_the_whole_length_without_gaps() {
        let edges = edges(365, 773);
        assert_eq!((edges[0], edges[365]), (0, 773));
        assert!(
            edges
                .windows(2)
                .all(|pair| (2..=3).contains(&(pair[1] - pair[0])))
        );
    }

    #[test]
    fn a_day_is_told_by_its_energy() {
        assert_eq!(
            day_text(Some(&strip(StripQuantity::Pv, 500.0)), 171),
            "21 June: 12.0\u{a0}kWh"
        );
        assert_eq!(
            day_text(Some(&strip(StripQuantity::Soc, 0.5)), 0),
            "1 January: 50 to 50\u{a0}%"
        );
        assert_eq!(day_text(None, 0), "1 January");
        let dark = strip(StripQuantity::Dark, 0.25);
        assert_eq!(day_text(Some(&dark), 0), "1 January: 6.0\u{a0}h dark");
        assert_eq!(full_text(&dark), "all of the hour");
    }

    #[test]
    fn nothing_all_year_is_not_drawn_in_full_ink() {
        assert!((full(&strip(StripQuantity::Export, 0.0)) - 1.0).abs() < 1e-12);
        assert_eq!(full_text(&strip(StripQuantity::Soc, 0.2)), "100\u{a0}%");
    }
}
