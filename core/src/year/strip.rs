//! The picture of a year: one value per hour of one quantity.

use serde::{Deserialize, Serialize};

use crate::household::OptionId;

/// What a year strip shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum StripQuantity {
    /// All PV that is used: AC PV at AC and DC PV at the DC bus, W.
    Pv,
    /// Bought at the meter, W.
    Import,
    /// Sold at the meter, W.
    Export,
    /// PV cut, dropped or throttled, W.
    Throttled,
    /// Stored energy at the end of the hour, share of the usable energy, 0 to 1.
    Soc,
    /// From the generator, W; it runs only without a grid.
    Generator,
    /// Loads on the backed-up side that are not served, W; without a grid only.
    Unserved,
    /// Share of the hour in which the bus is dark, 0 to 1; without a grid only.
    Dark,
}

impl StripQuantity {
    /// Quantities of a household with a utility or of one without, in the order in which they are offered.
    #[must_use]
    pub fn offered(utility: bool) -> &'static [Self] {
        if utility {
            &[
                Self::Pv,
                Self::Import,
                Self::Export,
                Self::Throttled,
                Self::Soc,
            ]
        } else {
            &[
                Self::Pv,
                Self::Generator,
                Self::Unserved,
                Self::Dark,
                Self::Throttled,
                Self::Soc,
            ]
        }
    }

    /// Whether its values are shares and not powers.
    #[must_use]
    pub fn is_share(self) -> bool {
        matches!(self, Self::Soc | Self::Dark)
    }
}

/// 365 days of 24 hourly values, from 1 January 00:00 local standard time.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct YearStrip {
    /// The option.
    pub option: OptionId,
    /// What the values are.
    pub quantity: StripQuantity,
    /// 8,760 hourly means (for the state of charge: values at the end of the hour).
    pub values: Vec<f32>,
}

impl YearStrip {
    /// The 24 values of a day, 0 is 1 January; fewer or none if the strip does not reach that far.
    #[must_use]
    pub fn day(&self, day: u32) -> &[f32] {
        let from = (day as usize).saturating_mul(24).min(self.values.len());
        let to = from.saturating_add(24).min(self.values.len());
        self.values.get(from..to).unwrap_or_default()
    }

    /// Energy of a day, Wh: the sum of its hourly means; for the share of the dark, hours. Meaningless for the state of charge.
    #[must_use]
    pub fn day_wh(&self, day: u32) -> f64 {
        self.day(day).iter().map(|value| f64::from(*value)).sum()
    }

    /// Least and greatest value of a day; none if the strip does not reach that far.
    #[must_use]
    pub fn day_range(&self, day: u32) -> Option<(f64, f64)> {
        range(self.day(day))
    }

    /// Least and greatest value of the year; none without values.
    #[must_use]
    pub fn range(&self) -> Option<(f64, f64)> {
        range(&self.values)
    }
}

fn range(values: &[f32]) -> Option<(f64, f64)> {
    values.iter().fold(None, |range, value| {
        let value = f64::from(*value);
        let (least, most) = range.unwrap_or((value, value));
        Some((value.min(least), value.max(most)))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_is_24_hours_of_the_strip() {
        let strip = YearStrip {
            option: OptionId(0),
            quantity: StripQuantity::Pv,
            values: (0..8760u16).map(f32::from).collect(),
        };
        assert_eq!(strip.day(1).first(), Some(&24.0));
        assert_eq!(strip.day_range(364), Some((8736.0, 8759.0)));
        assert!((strip.day_wh(0) - 276.0).abs() < 1e-9);
        assert!(strip.day(365).is_empty());
        assert_eq!(strip.day_range(u32::MAX), None);
    }
}
