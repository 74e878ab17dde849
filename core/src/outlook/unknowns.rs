//! What nobody knows beforehand, and which of it matters most. Load, sun and the life of the batteries are not scaled on paper:
//! the years are run again with them.

use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::hardware::{AgedYear, Left, Outcome, Runs, YEARS_BETWEEN_RUNS};
use super::study::{OutlookProblem, Study, loan};
use crate::coupling::CouplingOption;
use crate::money::{Project, cash_flow};
use crate::year::Scene;

/// A quantity that nobody knows beforehand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Unknown {
    /// All costs at the start, as a multiple of those given.
    Costs,
    /// Upkeep and replacements, as a multiple of those given.
    Upkeep,
    /// Growth of the prices of energy, share per year.
    EnergyPriceGrowth,
    /// Growth of all other prices, share per year.
    PriceGrowth,
    /// Discount rate, share per year.
    DiscountRate,
    /// Energy that is used, as a multiple of what is given.
    Load,
    /// Yield of all arrays, as a multiple of what is reckoned.
    Sun,
    /// Life of the batteries, as a multiple of what is reckoned.
    BatteryLife,
}

/// What an unknown does to the value today while all others stay.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Swing {
    /// What was varied.
    pub unknown: Unknown,
    /// Low value: a share per year for growth and rate, else a multiple.
    pub low: f64,
    /// High value.
    pub high: f64,
    /// Net present value at the low value, currency.
    pub at_low_cur: f64,
    /// Net present value at the high value, currency.
    pub at_high_cur: f64,
}

impl Swing {
    /// Distance between both values today, currency.
    #[must_use]
    pub fn width_cur(&self) -> f64 {
        (self.at_high_cur - self.at_low_cur).abs()
    }
}

/// How far a multiple may lie off, and how far a rate, share per year.
const COSTS_OFF: f64 = 0.2;
const UPKEEP_OFF: f64 = 0.5;
const RATE_OFF: f64 = 0.02;
const LOAD_OFF: f64 = 0.1;
const SUN_OFF: f64 = 0.1;
const BATTERY_LIFE_OFF: f64 = 0.3;

/// Varies one unknown after the other; the one that moves the value today most comes first. One that moves nothing is left
/// out, as the life of batteries where there is none.
pub(super) fn swings(study: &Study<'_>, project: &Project) -> Result<Vec<Swing>, OutlookProblem> {
    let rates = project.rates;
    let ranges = [
        (Unknown::Costs, 1.0, COSTS_OFF),
        (Unknown::Upkeep, 1.0, UPKEEP_OFF),
        (
            Unknown::EnergyPriceGrowth,
            rates.energy_price_growth,
            RATE_OFF,
        ),
        (Unknown::PriceGrowth, rates.price_growth, RATE_OFF),
        (Unknown::DiscountRate, rates.discount_rate, RATE_OFF),
        (Unknown::Load, 1.0, LOAD_OFF),
        (Unknown::Sun, 1.0, SUN_OFF),
        (Unknown::BatteryLife, 1.0, BATTERY_LIFE_OFF),
    ];
    let mut swings = Vec::new();
    for (unknown, middle, off) in ranges {
        let (low, high) = (middle - off, middle + off);
        let value_cur = |value: f64| -> Result<f64, OutlookProblem> {
            let varied = with(study, project, unknown, value)?;
            Ok(cash_flow(&varied).net_present_value_cur)
        };
        let swing = Swing {
            unknown,
            low,
            high,
            at_low_cur: value_cur(low)?,
            at_high_cur: value_cur(high)?,
        };
        if swing.width_cur() > 0.0 {
            swings.push(swing);
        }
    }
    swings.sort_by(|a, b| b.width_cur().total_cmp(&a.width_cur()));
    Ok(swings)
}

/// The project with one unknown set.
fn with(
    study: &Study<'_>,
    project: &Project,
    unknown: Unknown,
    value: f64,
) -> Result<Project, OutlookProblem> {
    let mut varied = project.clone();
    match unknown {
        Unknown::Costs => varied.costs.iter_mut().for_each(|line| line.cur *= value),
        Unknown::Upkeep => {
            varied.upkeep_cur_per_year *= value;
            (varied.replacements.iter_mut()).for_each(|line| line.cur *= value);
        }
        Unknown::EnergyPriceGrowth => varied.rates.energy_price_growth = value,
        Unknown::PriceGrowth => varied.rates.price_growth = value,
        Unknown::DiscountRate => varied.rates.discount_rate = value,
        Unknown::Load => {
            let mut scene = study.scene.clone();
            let scaled = |load_w: &[f64]| Arc::new(load_w.iter().map(|w| w * value).collect());
            scene.load_grid_side_w = scaled(&study.scene.load_grid_side_w);
            scene.load_backed_up_w = scaled(&study.scene.load_backed_up_w);
            shift(study, &mut varied, &scene, |_| {})?;
        }
        Unknown::Sun => shift(study, &mut varied, study.scene, |option| {
            option
                .arrays
                .iter_mut()
                .for_each(|array| array.peak_w *= value);
        })?,
        Unknown::BatteryLife => return with_battery_life(study, project, value),
    }
    varied.loan = study
        .household
        .finance
        .loan
        .map(|terms| loan(&terms, &varied));
    Ok(varied)
}

/// Shifts the bills of all years by what the first year's are shifted in another scene, or with other arrays.
fn shift(
    study: &Study<'_>,
    project: &mut Project,
    scene: &Scene,
    change: impl Fn(&mut CouplingOption),
) -> Result<(), OutlookProblem> {
    let first = |option: &CouplingOption| -> Result<Outcome, OutlookProblem> {
        let mut option = option.clone();
        change(&mut option);
        Runs::new(scene, &option).year(&Left::all(&option))
    };
    let before = first(study.reference.option)?;
    let after = first(study.option.option)?;
    let known = |years: &[AgedYear]| years.first().map_or(0.0, |year| year.outcome.bill_cur);
    let before_cur = before.bill_cur - known(&study.reference.years);
    let after_cur = after.bill_cur - known(&study.option.years);
    for brought in &mut project.yields {
        brought.bill_before_cur += before_cur;
        brought.bill_after_cur += after_cur;
    }
    Ok(())
}

/// The project with batteries that last longer or shorter; half as many years are run for it.
fn with_battery_life(
    study: &Study<'_>,
    project: &Project,
    longer: f64,
) -> Result<Project, OutlookProblem> {
    let sides = [study.reference, &study.option];
    if sides.iter().all(|side| side.batteries.is_empty()) {
        return Ok(project.clone());
    }
    let finance = &study.household.finance;
    let [before, after] = sides.map(|side| {
        if side.batteries.is_empty() {
            return Ok(side.years.clone());
        }
        let mut runs = Runs::new(study.scene, side.option);
        runs.know(&side.years);
        runs.years(finance, &side.lives(longer), 2 * YEARS_BETWEEN_RUNS)
    });
    Ok(study.project(&before?, &after?, study.lives(longer)))
}
