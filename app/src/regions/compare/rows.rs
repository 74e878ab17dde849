//! The rows in which options are set side by side, as plain data.

use couplet_core::year::{Figures, Way};

use crate::format;
use crate::keep::UnitSystem;
use crate::parts::{fuel, fuel_difference};

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

/// What values are written in.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Written {
    /// ISO 4217 code of the currency.
    pub(crate) currency: String,
    /// Units of the reader.
    pub(crate) units: UnitSystem,
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
    /// h.
    Hours,
    /// Days.
    Days,
    /// Fuel, L.
    Fuel,
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
    pub(crate) fn shown(self, value: f64, written: &Written) -> String {
        match self {
            Self::Energy => format::energy(value).text(),
            Self::Power => format::power(value).text(),
            Self::Share => format::percent(value, 1).text(),
            Self::Money => format::money(value, &written.currency),
            Self::Count => format::number(value, 0),
            Self::Hours => format!("{}\u{a0}h", format::number(value, 0)),
            Self::Days => format!("{}\u{a0}days", format::number(value, 1)),
            Self::Fuel => fuel(value, 0, written.units),
        }
    }

    /// The difference of a value to another, in the unit and with the decimals of the value.
    pub(crate) fn difference(self, value: f64, to: f64, written: &Written) -> String {
        match self {
            Self::Energy => format::energy_difference(value - to, value),
            Self::Power => format::power_difference(value - to, value),
            Self::Share => format::difference((value - to) * 100.0, 1),
            Self::Money => format::money_difference(value - to, value),
            Self::Count | Self::Hours => format::difference(value - to, 0),
            Self::Days => format::difference(value - to, 1),
            Self::Fuel => fuel_difference(value - to, written.units),
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
const FIGURES: [Row; 11] = [
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

/// The figures of a year without a grid.
const OFF_GRID_FIGURES: [Row; 12] = [
    row("Served", Kind::Share, Better::More, |figures| {
        Some(figures.off_grid.as_ref()?.served_share)
    }),
    row("Not served", Kind::Energy, Better::Less, |figures| {
        let year = figures.off_grid.as_ref()?;
        Some(year.wanted_wh - year.served_wh)
    }),
    row("Dark", Kind::Hours, Better::Less, |figures| {
        Some(figures.off_grid.as_ref()?.dark_h)
    }),
    row("Longest dark", Kind::Hours, Better::Less, |figures| {
        Some(figures.off_grid.as_ref()?.longest_dark_h)
    }),
    row("Generator runs", Kind::Hours, Better::Less, |figures| {
        Some(figures.off_grid.as_ref()?.generator_h)
    }),
    row("Fuel", Kind::Fuel, Better::Less, |figures| {
        Some(figures.off_grid.as_ref()?.fuel_l)
    }),
    row("Fuel cost", Kind::Money, Better::Less, |figures| {
        figures.off_grid.as_ref()?.fuel_cur
    }),
    row("Supply from PV", Kind::Share, Better::More, |figures| {
        figures.self_sufficiency
    }),
    row("Own use of PV", Kind::Share, Better::Neither, |figures| {
        figures.self_consumption
    }),
    row("Throttled", Kind::Energy, Better::Neither, |figures| {
        Some(figures.throttled_wh)
    }),
    row("Full cycles", Kind::Count, Better::Neither, |figures| {
        figures.equivalent_full_cycles
    }),
    row("Battery alone lasts", Kind::Days, Better::More, |figures| {
        figures.off_grid.as_ref()?.days_of_autonomy
    }),
];

/// What an option costs at the start; its figures of a year do not hold it.
pub(crate) const FIRST_COST: Row = row("First cost", Kind::Money, Better::Less, |_| None);

const AC_AS_MADE: Row = way("AC PV, as made", Some("ac"), |figures| {
    arrived(&figures.ways.ac_pv_as_made)
});
const AC_STORED: Row = way("AC PV, stored", Some("ac"), |figures| {
    arrived(&figures.ways.ac_pv_stored)
});
const DC_AS_MADE: Row = way("DC PV, as made", Some("dc"), |figures| {
    arrived(&figures.ways.dc_pv_as_made)
});
const DC_STORED: Row = way("DC PV, stored", Some("dc"), |figures| {
    arrived(&figures.ways.dc_pv_stored)
});

/// The ways the energy went, with the efficiency that came out.
const WAYS: [Row; 5] = [
    AC_AS_MADE,
    AC_STORED,
    DC_AS_MADE,
    DC_STORED,
    way("Bought, stored", None, |figures| {
        arrived(&figures.ways.grid_stored)
    }),
];

/// The same without a grid.
const OFF_GRID_WAYS: [Row; 5] = [
    AC_AS_MADE,
    AC_STORED,
    DC_AS_MADE,
    DC_STORED,
    way("Generator, stored", None, |figures| {
        arrived(&figures.ways.grid_stored)
    }),
];

/// The rows of a household with a utility or of one without: figures, then ways.
pub(crate) fn rows(utility: bool) -> (&'static [Row], &'static [Row]) {
    if utility {
        (&FIGURES, &WAYS)
    } else {
        (&OFF_GRID_FIGURES, &OFF_GRID_WAYS)
    }
}

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

    fn written(units: UnitSystem) -> Written {
        Written {
            currency: "EUR".to_owned(),
            units,
        }
    }

    fn shown(value: f64) -> String {
        Kind::Energy.shown(value, &written(UnitSystem::Metric))
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
        let (metric, us) = (written(UnitSystem::Metric), written(UnitSystem::Us));
        assert_eq!(Kind::Share.difference(0.971, 0.587, &metric), "+38.4");
        assert_eq!(
            Kind::Energy.difference(3_140_000.0, 6_050_000.0, &metric),
            "\u{2212}2\u{202f}910"
        );
        assert_eq!(Kind::Power.difference(4_000.0, 4_000.0, &metric), "0.00");
        // 3.785411784 L are a US gallon, by definition.
        assert_eq!(Kind::Fuel.shown(378.5411784, &us), "100\u{a0}gal");
        assert_eq!(Kind::Fuel.difference(378.5411784, 0.0, &us), "+100");
        assert_eq!(Kind::Fuel.difference(10.0, 12.0, &metric), "\u{2212}2");
    }
}
