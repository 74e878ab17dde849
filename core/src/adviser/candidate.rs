//! The ways that are tried: joins of the arrays and sizes of the storage.

use serde::{Deserialize, Serialize};

use crate::coupling::{Array, CircuitChoice, CouplingOption, Join, StorageUnit, Surge};
use crate::ids::{AcSide, OptionId, StorageId};
use crate::limits::{self, Limit};

/// Energies that are tried, as shares of the use of a mean day.
///
/// Common practice: from what carries an evening to what carries two days.
const DAYS: [f64; 7] = [0.25, 0.5, 0.75, 1.0, 1.25, 1.5, 2.0];
/// They are whole multiples of this, Wh.
const ENERGY_STEP_WH: f64 = 2_500.0;
/// Inverter ratings that are tried, as shares of the rating at hand.
const RATINGS: [f64; 4] = [0.5, 0.75, 1.0, 1.5];
/// They are whole multiples of this, W.
const RATING_STEP_W: f64 = 100.0;

/// A way to join the arrays and to size the storage of an option.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Candidate {
    /// Join of each array, in their order.
    pub joins: Vec<Join>,
    /// Size of the storage that is new; none: no new storage.
    pub storage: Option<StorageSize>,
}

/// Size of a storage unit.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct StorageSize {
    /// Usable energy, Wh.
    pub usable_wh: f64,
    /// Rated AC power of the inverter, W.
    pub rated_w: f64,
}

/// Every way worth trying that follows from an option.
///
/// Each array is tried on both AC sides and on the DC bus of each storage unit that has MPPT inputs, the first [`arrays_tried`] of them
/// if there are too many; arrays that share a PV inverter stay on one side. The first storage unit that is new is tried in several sizes and left out; an option without storage gets a
/// generic one. What stands keeps its size. Without storage every array is on AC, and stays on the side where it is or joins the grid
/// side: with nothing to hold the backed-up side, the sides are alike.
///
/// Neighbours in the list differ much, so that the first few tell something of all.
///
/// - `day_wh`: use of a mean day, Wh
#[must_use]
pub fn candidates(option: &CouplingOption, day_wh: f64) -> Vec<Candidate> {
    let with = with_storage(option);
    let mut found: Vec<Candidate> = Vec::new();
    for joins in all_joins(&with) {
        for storage in sizes(&with, day_wh) {
            let candidate = Candidate {
                joins: joins.clone(),
                storage,
            };
            if candidate.option(option).is_some() {
                found.push(candidate);
            }
        }
    }
    if new_unit(&with).is_some() {
        let bare = Candidate {
            joins: option
                .arrays
                .iter()
                .map(|array| on_ac(option, array))
                .collect(),
            storage: None,
        };
        if bare.option(option).is_some() {
            found.insert(0, bare);
        }
    }
    spread(found)
}

/// The same in an order in which neighbours have little in common, so that the first few that are tried already tell something of all.
/// The first stays the first.
fn spread<T>(list: Vec<T>) -> Vec<T> {
    let count = list.len();
    // Near the golden section of the length, and without a divisor in common with it, a stride meets every place once.
    let Some(stride) = (count * 5 / 8..count).find(|stride| coprime(*stride, count)) else {
        return list;
    };
    let mut places: Vec<Option<T>> = list.into_iter().map(Some).collect();
    (0..count)
        .filter_map(|turn| places.get_mut(turn * stride % count)?.take())
        .collect()
}

fn coprime(mut a: usize, mut b: usize) -> bool {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a == 1
}

impl Candidate {
    /// The option that is joined and sized this way; none: arrays that share a PV inverter would stand on two sides, or a join is not
    /// there.
    ///
    /// Strings, breakers and conductors that were chosen for another place or size are open again: what fits is proposed anew. Costs
    /// that were given for the storage grow with its size.
    #[must_use]
    pub fn option(&self, base: &CouplingOption) -> Option<CouplingOption> {
        let mut option = with_storage(base);
        let new = new_unit(&option);
        if let (Some(id), Some(size)) = (new, self.storage) {
            let unit = option.storage.iter_mut().find(|unit| unit.id == id)?;
            resize(unit, size);
        }
        let ids: Vec<_> = option.arrays.iter().map(|array| array.id).collect();
        for (id, join) in ids.iter().zip(&self.joins) {
            option.move_array(*id, *join).ok()?;
        }
        let holds = option.arrays.len() == self.joins.len()
            && (option.arrays.iter().zip(&self.joins))
                .all(|(array, join)| option.join(array) == Some(*join));
        if !holds {
            return None;
        }
        for (array, before) in option.arrays.iter_mut().zip(&base.arrays) {
            if array.dc_unit != before.dc_unit {
                array.electrical.strings = None;
                open_again(&mut array.electrical.circuit);
            }
        }
        if let (Some(id), None) = (new, self.storage) {
            option.storage.retain(|unit| unit.id != id);
            if option.arrays.iter().any(|array| array.dc_unit == Some(id)) {
                return None;
            }
        }
        Some(option)
    }

    /// The option that is joined and sized this way, under an id and a name of its own; see [`Self::option`].
    #[must_use]
    pub fn named(
        &self,
        base: &CouplingOption,
        id: OptionId,
        name: String,
    ) -> Option<CouplingOption> {
        self.option(base)
            .map(|option| CouplingOption { id, name, ..option })
    }
}

/// The option with a storage unit, a generic one if it has none.
fn with_storage(option: &CouplingOption) -> CouplingOption {
    let mut option = option.clone();
    if option.storage.is_empty() {
        let id = StorageId::next(std::iter::empty());
        option.storage.push(StorageUnit::generic(
            id,
            "Storage".to_owned(),
            AcSide::BackedUp,
            limits::STORAGE_RATED_W.default,
            limits::BATTERY_USABLE_WH.default,
        ));
    }
    option
}

/// The storage unit whose size is open: the first that does not stand already.
fn new_unit(option: &CouplingOption) -> Option<StorageId> {
    let unit = option.storage.iter().find(|unit| !unit.standing)?;
    Some(unit.id)
}

/// Buses that an array can join.
fn buses(option: &CouplingOption) -> Vec<Join> {
    let mut buses = vec![Join::Ac(AcSide::GridSide), Join::Ac(AcSide::BackedUp)];
    let has_inputs = |unit: &&StorageUnit| unit.mppt.is_some();
    buses.extend((option.storage.iter().filter(has_inputs)).map(|unit| Join::Dc(unit.id)));
    buses
}

/// How many of the option's arrays, from the first, are tried on every bus; the others stay where they are.
#[must_use]
pub fn arrays_tried(option: &CouplingOption) -> usize {
    let buses = buses(&with_storage(option)).len();
    let mut ways = 1;
    (0..option.arrays.len())
        .take_while(|_| {
            ways *= buses;
            ways <= MOST_JOINS
        })
        .count()
}

/// Every way to join the arrays that are tried on every bus.
fn all_joins(option: &CouplingOption) -> Vec<Vec<Join>> {
    let (buses, tried) = (buses(option), arrays_tried(option));
    let mut all = vec![Vec::new()];
    for (place, array) in option.arrays.iter().enumerate() {
        let own: Vec<Join> = option.join(array).into_iter().collect();
        let here = if place < tried { &buses } else { &own };
        all = (all.iter())
            .flat_map(|before: &Vec<Join>| {
                here.iter().map(|join| {
                    let mut joins = before.clone();
                    joins.push(*join);
                    joins
                })
            })
            .collect();
    }
    all
}

/// Most ways to join the arrays that are tried: six arrays on three buses.
const MOST_JOINS: usize = 729;

/// Where an array is on AC: where it is now, else on the grid side.
fn on_ac(option: &CouplingOption, array: &Array) -> Join {
    match option.join(array) {
        Some(join @ Join::Ac(_)) => join,
        _ => option
            .pv_inverter(array.pv_inverter)
            .map_or(Join::Ac(AcSide::GridSide), |inverter| {
                Join::Ac(inverter.side)
            }),
    }
}

/// Sizes of the storage that is new; a single none if all of it stands.
fn sizes(option: &CouplingOption, day_wh: f64) -> Vec<Option<StorageSize>> {
    let Some(unit) = new_unit(option).and_then(|id| option.storage_unit(id)) else {
        return vec![None];
    };
    let own = StorageSize {
        usable_wh: unit.battery.usable_wh,
        rated_w: unit.inverter.rated_w,
    };
    let energies = ladder(
        DAYS.iter().map(|days| days * day_wh),
        ENERGY_STEP_WH,
        &limits::BATTERY_USABLE_WH,
        own.usable_wh,
    );
    let ratings = ladder(
        RATINGS.iter().map(|share| share * own.rated_w),
        RATING_STEP_W,
        &limits::STORAGE_RATED_W,
        own.rated_w,
    );
    let mut sizes = Vec::new();
    for usable_wh in &energies {
        for rated_w in &ratings {
            sizes.push(Some(StorageSize {
                usable_wh: *usable_wh,
                rated_w: *rated_w,
            }));
        }
    }
    sizes
}

/// Values in whole steps that may be typed, and the one at hand, in rising order.
fn ladder(values: impl Iterator<Item = f64>, step: f64, limit: &Limit, own: f64) -> Vec<f64> {
    let mut ladder: Vec<f64> = values
        .map(|value| libm::round(value / step).max(1.0) * step)
        .filter(|value| limit.admits(*value))
        .chain([own])
        .collect();
    ladder.sort_unstable_by(f64::total_cmp);
    ladder.dedup();
    ladder
}

/// Gives a storage unit another size. The battery keeps its C-rate, the inverter its efficiency and its surge for its rating, as far
/// as such parts may be typed.
fn resize(unit: &mut StorageUnit, size: StorageSize) {
    let by_energy = size.usable_wh / unit.battery.usable_wh;
    let by_rating = size.rated_w / unit.inverter.rated_w;
    if by_energy != 1.0 {
        let battery = &mut unit.battery;
        battery.usable_wh = size.usable_wh;
        scale(&limits::BATTERY_CHARGE_W, &mut battery.charge_w, by_energy);
        scale(
            &limits::BATTERY_DISCHARGE_W,
            &mut battery.discharge_w,
            by_energy,
        );
        let costs = &mut battery.costs;
        scale_given(&limits::BATTERY_FIRST_CUR, &mut costs.first_cur, by_energy);
        scale_given(&limits::BATTERY_AGAIN_CUR, &mut costs.again_cur, by_energy);
        scale_given(
            &limits::STORAGE_NOMINAL_WH,
            &mut unit.electrical.nominal_wh,
            by_energy,
        );
    }
    if by_rating != 1.0 {
        let inverter = &mut unit.inverter;
        inverter.rated_w = size.rated_w;
        scale(
            &limits::EFFICIENCY_NO_LOAD_W,
            &mut inverter.efficiency.no_load_w,
            by_rating,
        );
        for Surge { power_w, .. } in &mut inverter.surge {
            scale(&limits::SURGE_POWER_W, power_w, by_rating);
        }
        if let Some(mppt) = &mut unit.mppt {
            scale(&limits::MPPT_RATED_W, &mut mppt.rated_w, by_rating);
        }
        let costs = &mut unit.costs;
        scale_given(
            &limits::CONVERTER_FIRST_CUR,
            &mut costs.first_cur,
            by_rating,
        );
        scale_given(
            &limits::CONVERTER_AGAIN_CUR,
            &mut costs.again_cur,
            by_rating,
        );
    }
    if by_energy != 1.0 || by_rating != 1.0 {
        open_again(&mut unit.electrical.output);
        open_again(&mut unit.electrical.battery_circuit);
    }
}

fn scale(limit: &Limit, value: &mut f64, by: f64) {
    *value = (*value * by).clamp(limit.least, limit.most);
}

fn scale_given(limit: &Limit, value: &mut Option<f64>, by: f64) {
    if let Some(value) = value {
        scale(limit, value, by);
    }
}

/// What was chosen by size for another current is proposed anew; length and laying stay.
fn open_again(circuit: &mut CircuitChoice) {
    circuit.device_a = None;
    circuit.size = None;
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::demo;

    #[test]
    fn every_array_is_tried_on_every_bus_and_storage_in_several_sizes() {
        let household = demo();
        let option = &household.options[2];
        let found = candidates(option, 30_000.0);
        let joins = 3_usize.pow(3);
        let (energies, ratings) = (7, 4);
        assert_eq!(found.len(), joins * energies * ratings + 1);
        assert!(
            found
                .iter()
                .any(|one| one.option(option).as_ref() == Some(option))
        );
        assert_eq!(found[0].storage, None);
        for one in &found {
            assert!(one.option(option).is_some());
        }
    }

    #[test]
    fn of_many_arrays_the_last_stay_where_they_are() {
        let household = demo();
        let mut option = household.options[2].clone();
        let last = option.arrays[2].clone();
        for id in 100..105 {
            let mut array = last.clone();
            array.id = crate::ids::ArrayId(id);
            option.arrays.push(array);
        }
        assert_eq!(arrays_tried(&option), 6);
        let stays = option.join(&option.arrays[7]);
        let found = candidates(&option, 30_000.0);
        let with = found.iter().filter(|one| one.storage.is_some());
        assert!(with.clone().count() > 1_000);
        for one in with {
            assert_eq!(one.joins.get(7).copied(), stays);
        }
    }

    #[test]
    fn an_option_without_storage_is_tried_with_a_generic_unit() {
        let household = demo();
        let standing = &household.options[0];
        let found = candidates(standing, 30_000.0);
        let with = found.iter().filter(|one| one.storage.is_some()).count();
        assert_eq!(found.len(), with + 1);
        assert!(with > 10);
        let most_wh = (found.iter())
            .filter_map(|one| {
                one.option(standing)?
                    .storage
                    .first()
                    .map(|unit| unit.battery.usable_wh)
            })
            .fold(0.0, f64::max);
        assert!((most_wh - 60_000.0).abs() < 1e-9);
        assert_eq!(found[0].option(standing).as_ref(), Some(standing));
    }

    #[test]
    fn a_spread_list_has_everything_once_and_begins_as_before() {
        for count in 0..200_usize {
            let found = spread((0..count).collect::<Vec<_>>());
            assert_eq!(found.first(), (count > 0).then_some(&0));
            let mut sorted = found.clone();
            sorted.sort_unstable();
            assert_eq!(sorted, (0..count).collect::<Vec<_>>());
        }
    }

    #[test]
    fn storage_that_stands_keeps_its_size() {
        let household = demo();
        let mut option = household.options[2].clone();
        option.storage[0].standing = true;
        let found = candidates(&option, 30_000.0);
        assert_eq!(found.len(), 27);
        assert!(found.iter().all(|one| one.storage.is_none()));
        assert!((found.iter()).all(|one| one.option(&option).unwrap().storage == option.storage));
    }

    #[test]
    fn what_was_chosen_for_another_size_is_open_again() {
        let household = demo();
        let mut option = household.options[2].clone();
        option.storage[0].electrical.output.device_a = Some(40.0);
        let candidate = |usable_wh| Candidate {
            joins: (option.arrays.iter())
                .filter_map(|array| option.join(array))
                .collect(),
            storage: Some(StorageSize {
                usable_wh,
                rated_w: option.storage[0].inverter.rated_w,
            }),
        };
        let device_a = |usable_wh| {
            let option = candidate(usable_wh).option(&option).unwrap();
            option.storage[0].electrical.output.device_a
        };
        assert_eq!(device_a(option.storage[0].battery.usable_wh), Some(40.0));
        assert_eq!(device_a(25_000.0), None);
    }
}
