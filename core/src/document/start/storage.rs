//! The storage that is begun with: as many units as the code of the country admits in one place.

use super::{
    Answers, OFF_GRID_DAYS, OFF_GRID_PEAK, OutageNeed, country, storage_side, to_100_w, yearly_wh,
};
use crate::coupling::{Array, StorageUnit};
use crate::household::StorageId;
use crate::rules::{Code, UNIT_WH};

/// Share of its nominal energy that a battery gives.
///
/// Source: common practice; findings take it where the nominal energy is not given.
const USABLE_SHARE: f64 = 0.9;

/// Units of the largest energy that may stand in one place, if it is well chosen: 80 kWh in garages and outdoors.
///
/// Source: NFPA 855, chapter 15.
const MOST_UNITS: u32 = 4;

/// Power that a home off the grid must be given, W, in steps of 500 W, at least 3 kW.
pub(super) fn off_grid_w(answers: &Answers) -> f64 {
    const HOURS_PER_YEAR: f64 = 8_760.0;
    let peak_w = OFF_GRID_PEAK * yearly_wh(&answers.energy) / HOURS_PER_YEAR;
    up_to_500(peak_w).max(3_000.0)
}

/// Most usable energy of one unit, Wh; none: the code does not ask.
fn most_in_unit_wh(answers: &Answers) -> Option<f64> {
    match Code::usual(country::supply(&answers.place.country)) {
        Code::Nec(_) => Some(USABLE_SHARE * UNIT_WH),
        Code::Iec => None,
    }
}

/// Storage for half a day's use, or a whole day's where the whole home must run on, in steps of 500 Wh from 5 to 40 kWh;
/// rated at 0.5 C in steps of 500 W, at least 3 kW, and 6 kW for a whole home. Without a grid for some days' use, from 2.5 kWh,
/// rated for the home's own peak. Where a code bounds the energy of a unit, several alike units share both, each of at least 3 kW, and
/// their sum stays within what one place may hold. The MPPT inputs of each take all arrays, so that any of them can be set on DC.
pub(super) fn units(answers: &Answers, arrays: &[Array]) -> Vec<StorageUnit> {
    let (days, least_wh, most_wh): (f64, f64, f64) = match answers.outage {
        OutageNeed::NoGrid { .. } => (OFF_GRID_DAYS.at(answers), 2_500.0, 100_000.0),
        OutageNeed::WholeHome => (1.0, 5_000.0, 40_000.0),
        _ => (0.5, 5_000.0, 40_000.0),
    };
    let most_in_unit_wh = most_in_unit_wh(answers);
    let most_wh = most_in_unit_wh.map_or(most_wh, |of_unit_wh| {
        most_wh.min(f64::from(MOST_UNITS) * of_unit_wh)
    });
    let usable_wh = days * yearly_wh(&answers.energy) / 365.0;
    let usable_wh = to_500(usable_wh).clamp(least_wh, most_wh);
    let half_c_w = to_500(0.5 * usable_wh);
    let rated_w = match answers.outage {
        OutageNeed::NoGrid { .. } => off_grid_w(answers),
        OutageNeed::WholeHome => half_c_w.max(6_000.0),
        _ => half_c_w.max(3_000.0),
    };
    let count = most_in_unit_wh.map_or(1, |of_unit_wh| units_for(usable_wh, of_unit_wh));
    let share = |whole: f64| up_to_500(whole / f64::from(count));
    let (each_w, each_wh) = match count {
        1 => (rated_w, usable_wh),
        _ => (share(rated_w).max(3_000.0), share(usable_wh)),
    };
    (1..=count)
        .map(|number| {
            let name = match count {
                1 => "Storage".to_owned(),
                _ => format!("Storage {number}"),
            };
            let side = storage_side(answers.outage);
            let mut unit = StorageUnit::generic(StorageId(number), name, side, each_w, each_wh);
            if let Some(mppt) = &mut unit.mppt {
                let peak_w: f64 = arrays.iter().map(|array| array.peak_w).sum();
                mppt.rated_w = mppt.rated_w.max(to_100_w(peak_w));
            }
            unit
        })
        .collect()
}

/// How many units hold this energy, at least one.
fn units_for(usable_wh: f64, of_unit_wh: f64) -> u32 {
    (1..MOST_UNITS)
        .find(|count| f64::from(*count) * of_unit_wh >= usable_wh)
        .unwrap_or(MOST_UNITS)
}

fn to_500(value: f64) -> f64 {
    libm::round(value / 500.0) * 500.0
}

fn up_to_500(value: f64) -> f64 {
    libm::ceil(value / 500.0) * 500.0
}
