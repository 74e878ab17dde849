//! The rows in which options are set side by side, as plain data.

use couplet_core::year::{Figures, Way};

use crate::format;

/// What a row shows of an option's figures.
#[derive(Clone, Copy)]
pub(crate) struct Row {
    /// Name of the row.
    pub(crate) name: &'static str,
    /// How its values are written.
    pub(crate) kind: Kind,
    /// Which end is better for the household.
    pub(crate) better: Better,
    /// The value of an option; none if it does not apply.
    pub(crate) value: fn(&Figures) -> Option<f64>,
    /// The join that the row is about, if it is about one.
    pub(crate) path: Option<&'static str>,
}

/// How a value is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    /// Wh.
    Energy,
    /// W.
    Power,
    /// A share of 0 to 1.
    Share,
    /// Currency.
    Money,
    /// A plain number.
    Count,
}

/// Which end of a row is better for the household.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Better {
    /// Less is.
    Less,
    /// More is.
    More,
    /// Neither by itself.
    Neither,
}

impl Kind {
    /// A value as it stands in its cell.
    pub(crate) fn shown(self, value: f64, currency: &str) -> String {
        match self {
            Self::Energy => format::energy(value).text(),
            Self::Power => format::power(value).text(),
            Self::Share => format::percent(value, 1).text(),
            Self::Money => format::money(value, currency),
            Self::Count => format::number(value, 0),
        }
    }

    /// The difference of a value to another, in the unit and with the decimals of the value.
    pub(crate) fn difference(self, value: f64, to: f64) -> String {
        match self {
            Self::Energy => format::energy_difference(value - to, value),
            Self::Power => format::power_difference(value - to, value),
            Self::Share => format::difference((value - to) * 100.0, 1),
            Self::Money => format::money_difference(value - to, value),
            Self::Count => format::difference(value - to, 0),
        }
    }
}

const fn row(
    name: &'static str,
    kind: Kind,
    better: Better,
    value: fn(&Figures) -> Option<f64>,
) -> Row {
    Row {
        name,
        kind,
        better,
        value,
        path: None,
    }
}

const fn way(
    name: &'static str,
    path: Option<&'static str>,
    value: fn(&Figures) -> Option<f64>,
) -> Row {
    Row {
        name,
        kind: Kind::Share,
        better: Better::More,
        value,
        path,
    }
}

/// The figures of a year.
pub(crate) const FIGURES: [Row; 11] = [
    row("Used", Kind::Energy, Better::Neither, |figures| {
        Some(figures.load_wh)
    }),
    row("Bought", Kind::Energy, Better::Less, |figures| {
        Some(figures.import_wh)
    }),
    row("Sold", Kind::Energy, Better::Neither, |figures| {
        Some(figures.export_wh)
    }),
    row("Throttled", Kind::Energy, Better::Less, |figures| {
        Some(figures.throttled_wh)
    }),
    row("Over export limit", Kind::Energy, Better::Less, |figures| {
        Some(figures.unpermitted_export_wh)
    }),
    row("Own use of PV", Kind::Share, Better::More, |figures| {
        figures.self_consumption
    }),
    row("Own supply", Kind::Share, Better::More, |figures| {
        figures.self_sufficiency
    }),
    row("Bill", Kind::Money, Better::Less, |figures| {
        figures.bill_cur
    }),
    row("Peak bought", Kind::Power, Better::Less, |figures| {
        Some(figures.peak_import_w)
    }),
    row("Peak sold", Kind::Power, Better::Neither, |figures| {
        Some(figures.peak_export_w)
    }),
    row("Full cycles", Kind::Count, Better::Neither, |figures| {
        figures.equivalent_full_cycles
    }),
];

/// The ways the energy went, with the efficiency that came out.
pub(crate) const WAYS: [Row; 5] = [
    way("AC PV, as made", Some("ac"), |figures| {
        arrived(&figures.ways.ac_pv_as_made)
    }),
    way("AC PV, stored", Some("ac"), |figures| {
        arrived(&figures.ways.ac_pv_stored)
    }),
    way("DC PV, as made", Some("dc"), |figures| {
        arrived(&figures.ways.dc_pv_as_made)
    }),
    way("DC PV, stored", Some("dc"), |figures| {
        arrived(&figures.ways.dc_pv_stored)
    }),
    way("Bought, stored", None, |figures| {
        arrived(&figures.ways.grid_stored)
    }),
];

fn arrived(way: &Way) -> Option<f64> {
    way.efficiency
}

/// Which of the shown values are the best of their row. Values that read the same are equal; if all are, none is best.
pub(crate) fn best(
    values: &[Option<f64>],
    better: Better,
    shown: impl Fn(f64) -> String,
) -> Vec<bool> {
    let none = vec![false; values.len()];
    let known = || values.iter().flatten().copied();
    let best = match better {
        Better::Neither => None,
        Better::Less => known().reduce(f64::min),
        Better::More => known().reduce(f64::max),
    };
    let Some(best) = best.map(&shown) else {
        return none;
    };
    let is_best: Vec<bool> = values
        .iter()
        .map(|value| value.is_some_and(|value| shown(value) == best))
        .collect();
    let others = is_best
        .iter()
        .zip(values)
        .any(|(is_best, value)| value.is_some() && !is_best);
    if others { is_best } else { none }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(value: f64) -> String {
        Kind::Energy.shown(value, "EUR")
    }

    #[test]
    fn the_best_of_a_row_is_marked() {
        let values = [Some(3_000_000.0), None, Some(2_000_000.0)];
        assert_eq!(best(&values, Better::Less, shown), vec![false, false, true]);
        assert_eq!(best(&values, Better::More, shown), vec![true, false, false]);
        assert_eq!(best(&values, Better::Neither, shown), vec![false; 3]);
    }

    #[test]
    fn what_reads_the_same_is_equally_good_and_nothing_is_best_of_equals() {
        let values = [Some(2_000_100.0), Some(2_000_200.0), Some(3_000_000.0)];
        assert_eq!(best(&values, Better::Less, shown), vec![true, true, false]);
        assert_eq!(best(&values[..2], Better::Less, shown), vec![false, false]);
        assert_eq!(best(&[Some(1.0)], Better::Less, shown), vec![false]);
    }

    #[test]
    fn differences_are_in_the_unit_of_their_value() {
        assert_eq!(Kind::Share.difference(0.971, 0.587), "+38.4");
        assert_eq!(
            Kind::Energy.difference(3_140_000.0, 6_050_000.0),
            "\u{2212}2\u{202f}910"
        );
        assert_eq!(Kind::Power.difference(4_000.0, 4_000.0), "0.00");
    }
}
