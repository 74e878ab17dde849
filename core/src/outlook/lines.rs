//! Cost lines of an option: what is bought at the start, and what is bought again.

use serde::{Deserialize, Serialize};

use super::batteries::BatteryLife;
use crate::coupling::{ConverterCosts, CouplingOption, PvInverter};
use crate::household::{ArrayId, PvInverterId, StorageId};
use crate::limits;
use crate::money::MinorUnit;

// Invented round figures that hold a place. They are no prices.
const PLACEHOLDER_ARRAY_CUR_PER_W: f64 = 1.0;
const PLACEHOLDER_PV_INVERTER_CUR_PER_W: f64 = 0.2;
const PLACEHOLDER_STORAGE_INVERTER_CUR_PER_W: f64 = 0.3;
const PLACEHOLDER_BATTERY_CUR_PER_WH: f64 = 0.5;
const PLACEHOLDER_GENERATOR_CUR_PER_W: f64 = 0.4;
/// Placeholders are whole hundreds.
const ROUND_CUR: f64 = 100.0;
/// A unit of a currency without a minor unit is taken to be worth about a hundredth of the others.
const SMALL_UNITS: f64 = 100.0;

/// What a cost is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Costed {
    /// An array.
    Array(ArrayId),
    /// A PV inverter.
    PvInverter(PvInverterId),
    /// The inverter of a storage unit, with its MPPT inputs.
    StorageInverter(StorageId),
    /// The battery of a storage unit.
    Battery(StorageId),
    /// The generator.
    Generator,
    /// Work, wiring and small parts.
    Work,
    /// Upkeep in a year.
    Upkeep,
    /// Another cost, by its place in the list.
    Other(usize),
}

/// A figure that was typed in, or that holds its place.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Figure {
    /// Its value.
    pub value: f64,
    /// Whether it was typed in.
    pub given: bool,
}

/// A cost.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Cost {
    /// What it is for.
    pub of: Costed,
    /// Name of the part; empty for work and upkeep.
    pub name: String,
    /// Amount at today's prices, currency; what was not typed in is a placeholder.
    pub cur: Figure,
}

/// What a part of an option costs, and how long it lasts.
#[derive(Clone, Debug, PartialEq)]
pub struct PartLine {
    /// The part.
    pub of: Costed,
    /// Its name.
    pub name: String,
    /// What it costs at the start, currency; none: it stands already.
    pub first_cur: Option<Figure>,
    /// What another one costs later, at today's prices, currency; none: it is not replaced.
    pub again_cur: Option<Figure>,
    /// Years until it is replaced; none: arrays are not, and batteries are when they have aged.
    pub life_years: Option<Figure>,
}

/// Something that is bought again.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Replaced {
    /// What it costs.
    pub cost: Cost,
    /// Year at whose end it is bought, from 1.
    pub year: usize,
}

/// Placeholders in a currency.
#[derive(Clone, Copy, Debug)]
struct Placeholders {
    units: f64,
}

impl Placeholders {
    fn new(minor_unit: MinorUnit) -> Self {
        let units = if minor_unit.decimals == 0 {
            SMALL_UNITS
        } else {
            1.0
        };
        Self { units }
    }

    /// What stands for a part of this size.
    fn by_size(self, size: f64, cur_per_unit: f64) -> f64 {
        let hundreds = libm::round(size * cur_per_unit / ROUND_CUR).max(1.0);
        hundreds * ROUND_CUR * self.units
    }
}

impl Figure {
    fn or(given: Option<f64>, placeholder: f64) -> Self {
        Self {
            value: given.unwrap_or(placeholder),
            given: given.is_some(),
        }
    }
}

/// Every part of an option with its costs, idle PV inverters left out. Upkeep and what is bought beside the parts: see [`bought`]
/// and [`upkeep`].
#[must_use]
pub fn part_lines(option: &CouplingOption, minor_unit: MinorUnit) -> Vec<PartLine> {
    let placeholders = Placeholders::new(minor_unit);
    let mut lines: Vec<PartLine> = (option.arrays.iter())
        .map(|array| {
            let cur = placeholders.by_size(array.peak_w, PLACEHOLDER_ARRAY_CUR_PER_W);
            PartLine {
                of: Costed::Array(array.id),
                name: array.name.clone(),
                first_cur: (!array.standing).then(|| Figure::or(array.first_cur, cur)),
                again_cur: None,
                life_years: None,
            }
        })
        .collect();
    let used = |inverter: &&PvInverter| option.arrays_on_inverter(inverter.id).next().is_some();
    for inverter in option.pv_inverters.iter().filter(used) {
        let cur = placeholders.by_size(inverter.rated_w, PLACEHOLDER_PV_INVERTER_CUR_PER_W);
        let of = Costed::PvInverter(inverter.id);
        let standing = inverter.standing;
        lines.push(converter(
            of,
            &inverter.name,
            &inverter.costs,
            standing,
            cur,
        ));
    }
    for unit in &option.storage {
        let rated_w = unit.inverter.rated_w;
        let cur = placeholders.by_size(rated_w, PLACEHOLDER_STORAGE_INVERTER_CUR_PER_W);
        let of = Costed::StorageInverter(unit.id);
        lines.push(converter(of, &unit.name, &unit.costs, unit.standing, cur));
        let battery = &unit.battery;
        let cur = placeholders.by_size(battery.usable_wh, PLACEHOLDER_BATTERY_CUR_PER_WH);
        let first = Figure::or(battery.costs.first_cur, cur);
        lines.push(PartLine {
            of: Costed::Battery(unit.id),
            name: unit.name.clone(),
            first_cur: (!unit.standing).then_some(first),
            again_cur: Some(again(first, battery.costs.again_cur)),
            life_years: None,
        });
    }
    if let Some(generator) = &option.generator {
        let cur = placeholders.by_size(generator.rated_w, PLACEHOLDER_GENERATOR_CUR_PER_W);
        let (costs, standing) = (&generator.costs, generator.standing);
        let of = Costed::Generator;
        lines.push(converter(of, &generator.name, costs, standing, cur));
    }
    lines
}

/// A converter that stands has half of the usual life behind it, unless it is said how long it still lasts.
fn converter(
    of: Costed,
    name: &str,
    costs: &ConverterCosts,
    standing: bool,
    placeholder_cur: f64,
) -> PartLine {
    let first = Figure::or(costs.first_cur, placeholder_cur);
    let usual_years = limits::CONVERTER_LIFE_YEARS.default;
    let life_years = if standing {
        0.5 * usual_years
    } else {
        usual_years
    };
    PartLine {
        of,
        name: name.to_owned(),
        first_cur: (!standing).then_some(first),
        again_cur: Some(again(first, costs.again_cur)),
        life_years: Some(Figure::or(costs.life_years, life_years)),
    }
}

/// What is not given costs as much as the first time.
fn again(first: Figure, given: Option<f64>) -> Figure {
    given.map_or(first, |value| Figure { value, given: true })
}

/// Sum of what an option buys at the start, placeholders included, currency.
#[must_use]
pub fn first_cost_cur(option: &CouplingOption, minor_unit: MinorUnit) -> f64 {
    let costs = bought(option, minor_unit);
    costs.iter().map(|cost| cost.cur.value).sum()
}

/// What an option buys at the start: every part that does not stand already, work if there is such a part, and other costs.
#[must_use]
pub fn bought(option: &CouplingOption, minor_unit: MinorUnit) -> Vec<Cost> {
    let placeholders = Placeholders::new(minor_unit);
    let mut costs: Vec<Cost> = part_lines(option, minor_unit)
        .into_iter()
        .filter_map(|line| {
            Some(Cost {
                of: line.of,
                name: line.name,
                cur: line.first_cur?,
            })
        })
        .collect();
    if !costs.is_empty() || option.costs.work_cur.is_some() {
        let work_cur = limits::OPTION_WORK_CUR.default * placeholders.units;
        costs.push(Cost {
            of: Costed::Work,
            name: String::new(),
            cur: Figure::or(option.costs.work_cur, work_cur),
        });
    }
    costs.extend(
        (option.costs.others.iter().enumerate()).map(|(place, other)| Cost {
            of: Costed::Other(place),
            name: other.name.clone(),
            cur: Figure::or(Some(other.first_cur), 0.0),
        }),
    );
    costs
}

/// Upkeep of what is new in a year; none if nothing is new and none is given.
#[must_use]
pub fn upkeep(option: &CouplingOption, minor_unit: MinorUnit) -> Option<Cost> {
    let given = option.costs.upkeep_cur_per_year;
    let is_new = |line: &PartLine| line.first_cur.is_some();
    let new = part_lines(option, minor_unit).iter().any(is_new);
    (new || given.is_some()).then(|| {
        let units = Placeholders::new(minor_unit).units;
        Cost {
            of: Costed::Upkeep,
            name: String::new(),
            cur: Figure::or(given, limits::OPTION_UPKEEP_CUR_PER_YEAR.default * units),
        }
    })
}

/// What an option buys again within so many years, standing parts included, in the order of years. Nothing is bought at the
/// end of the last year.
pub(super) fn bought_again(
    option: &CouplingOption,
    lives: &[BatteryLife],
    years: usize,
    minor_unit: MinorUnit,
) -> Vec<Replaced> {
    let life_of = |id: StorageId| {
        let place = option.storage.iter().position(|unit| unit.id == id)?;
        lives.get(place)
    };
    let mut replaced = Vec::new();
    for line in part_lines(option, minor_unit) {
        let due = match (line.of, line.life_years) {
            (Costed::Battery(id), _) => life_of(id).map(|life| life.due(years)),
            (_, Some(life)) => Some(converter_due(life.value, line.first_cur.is_none(), years)),
            _ => None,
        };
        let Some(cur) = line.again_cur else {
            continue;
        };
        replaced.extend(due.unwrap_or_default().into_iter().map(|year| Replaced {
            cost: Cost {
                of: line.of,
                name: line.name.clone(),
                cur,
            },
            year,
        }));
    }
    replaced.sort_by_key(|replaced| replaced.year);
    replaced
}

/// Years at whose end a converter is replaced. Those after one that stands have the usual life.
fn converter_due(life_years: f64, standing: bool, years: usize) -> Vec<usize> {
    let then_years = if standing {
        limits::CONVERTER_LIFE_YEARS.default
    } else {
        life_years
    };
    let mut due = Vec::new();
    let mut at_years = life_years.max(1.0);
    loop {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a cast to integer saturates"
        )]
        let year = libm::round(at_years) as usize;
        if year >= years {
            return due;
        }
        due.push(year);
        at_years += then_years.max(1.0);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::demo;

    #[test]
    fn converters_are_replaced_at_the_end_of_each_life_but_not_of_the_last_year() {
        assert_eq!(converter_due(12.0, false, 25), [12, 24]);
        assert_eq!(converter_due(6.0, true, 25), [6, 18]);
        assert_eq!(converter_due(10.0, false, 20), [10]);
        assert_eq!(converter_due(7.5, false, 24), [8, 15, 23]);
    }

    #[test]
    fn what_stands_is_not_bought_and_a_figure_that_is_given_is_no_placeholder() {
        let minor_unit = MinorUnit { decimals: 2 };
        let household = demo();
        assert_eq!(bought(&household.options[0], minor_unit), []);
        assert_eq!(upkeep(&household.options[0], minor_unit), None);
        let mut option = household.options[1].clone();
        option.storage[0].battery.costs.first_cur = Some(7_300.0);
        let lines = bought(&option, minor_unit);
        let kinds: Vec<_> = lines
            .iter()
            .map(|cost| (cost.of, cost.cur.value, cost.cur.given))
            .collect();
        assert_eq!(
            kinds,
            [
                (Costed::Array(ArrayId(2)), 3_600.0, false),
                (Costed::Array(ArrayId(3)), 2_400.0, false),
                (Costed::PvInverter(PvInverterId(2)), 600.0, false),
                (Costed::PvInverter(PvInverterId(3)), 400.0, false),
                (Costed::StorageInverter(StorageId(1)), 2_200.0, false),
                (Costed::Battery(StorageId(1)), 7_300.0, true),
                (Costed::Work, 2_000.0, false),
            ]
        );
    }
}
