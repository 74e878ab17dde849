//! The optimum of an option's year.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::demand::{MeteredDemand, in_runs_of};
use super::relaxed::Relaxed;
use super::settlement::Settlement;
use crate::best::{Best, BestError, Certainty, Plan, Settled, SettledBest, best, best_settled};
use crate::bill::{Export, StepTime, Surplus, Tier};
use crate::converter::FitProblem;
use crate::coupling::PowerLimiting;
use crate::year::{Scene, YearRun};

/// The perfect-foresight optimum of an option over the steps of its run.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Optimum {
    /// What it costs by the measure, currency. No run of the hardware costs less.
    pub cost_cur: f64,
    /// By so much the plan found is dearer, currency. The least cost of what was asked for lies between the two.
    pub gap_cur: f64,
    /// What was made simpler on the way. Every one of them makes the optimum cheaper than the hardware can reach.
    pub simplified: Vec<Simplified>,
    /// Length of a step, s.
    pub step_s: f64,
    /// Stored energy of all batteries at the end of each step, as a share of all usable energy, 0 to 1.
    pub soc: Vec<f64>,
    /// Power of all batteries at their DC buses, W; negative when they charge.
    pub battery_w: Vec<f64>,
    /// Energy that the grid gives beyond what loads need, to charge, Wh.
    pub grid_charge_wh: f64,
    /// Energy sold beyond what PV gives, out of the batteries, Wh.
    pub battery_export_wh: f64,
    /// States of charge that charging from the grid ends at, each 0 to 1, in rising order.
    pub grid_charge_soc: Vec<f64>,
    /// [`Self::grid_charge_wh`] by the hours of the day.
    pub grid_charge_by_hour: ByHour,
    /// [`Self::battery_export_wh`] by the hours of the day.
    pub battery_export_by_hour: ByHour,
}

/// Energy of a year by the hours of the day, by the clock, Wh.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct ByHour {
    /// Monday to Friday, but not on holidays.
    pub weekdays_wh: [f64; 24],
    /// Saturday, Sunday and holidays.
    pub weekends_wh: [f64; 24],
}

impl ByHour {
    fn add(&mut self, time: &StepTime, energy_wh: f64) {
        let day = if time.is_free() {
            &mut self.weekends_wh
        } else {
            &mut self.weekdays_wh
        };
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "hours of a day, 0 to 24"
        )]
        if let Some(sum_wh) = day.get_mut(time.hour as usize) {
            *sum_wh += energy_wh;
        }
    }
}

/// A day of an optimum; one value per step.
#[derive(Clone, Debug, PartialEq)]
pub struct OptimumDay {
    /// Length of a step, s.
    pub step_s: f64,
    /// Stored energy of all batteries at the end of the step, as a share of all usable energy, 0 to 1.
    pub soc: Vec<f64>,
    /// Power of all batteries at their DC buses, W; negative when they charge.
    pub battery_w: Vec<f64>,
}

impl Optimum {
    /// A day of the year, 0 is 1 January; none if the optimum does not have it.
    #[must_use]
    pub fn day(&self, day: u32) -> Option<OptimumDay> {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "steps of a day; a strange length gives none"
        )]
        let per_day = (86_400.0 / self.step_s) as usize;
        let from = usize::try_from(day).ok()?.checked_mul(per_day)?;
        let steps = from..from.checked_add(per_day)?;
        Some(OptimumDay {
            step_s: self.step_s,
            soc: self.soc.get(steps.clone())?.to_vec(),
            battery_w: self.battery_w.get(steps)?.to_vec(),
        })
    }
}

impl OptimumDay {
    /// Place of the step that holds at a time, s after midnight.
    #[must_use]
    pub fn step_at(&self, time_s: f64) -> usize {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "steps of a day; before midnight it is the first"
        )]
        let step = (time_s / self.step_s + 1e-9) as usize;
        step.min(self.soc.len().saturating_sub(1))
    }
}

/// What the optimum leaves out or bounds. Each makes it cheaper, so that the true share is at least as high as the one shown; those of
/// the tariff are left out on all sides alike.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Simplified {
    /// Inverter losses are straight lines that touch the loss law from below.
    ConverterLoss,
    /// What is stored at the end of the year may be used up.
    EndState,
    /// Several storage units count as one with the best efficiency of each.
    UnitsPooled,
    /// Charging power does not fall toward full.
    Taper,
    /// Stored energy does not get less by itself.
    SelfDischarge,
    /// The battery is charged at any temperature.
    ColdBattery,
    /// The batteries begin with their reserve at least.
    StartAtReserve,
    /// The transfer switch carries anything.
    Transfer,
    /// PV inverters that follow no command give up PV above the export limit without loss.
    FreePvLimiting,
    /// In some steps selling is dearer than buying, where the least cost is bounded by its convex envelope.
    SellingDearer,
    /// Each interval over which power is charged is run by its means.
    IntervalMeans,
    /// The optimum does not pay some of the charges on the highest power, which rules pay.
    DemandCharges,
    /// Tiers whose price falls, or that periods do not share, are bounded by cheaper ones.
    Tiers,
    /// Surplus of net metering that is paid out above what energy costs counts as if it were sold at once.
    NetMetering,
    /// A minimum charge is not minded, on no side.
    MinimumCharge,
    /// Credit that is lost at the end of the year counts, on all sides alike.
    LostCredit,
}

/// Why an option has no optimum to be compared with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NoForesight {
    /// There is no utility, so there is nothing to pay at the meter.
    NoUtility,
    /// The option has no battery.
    NoStorage,
    /// All that PV gives is sold and all that is used is bought: what storage does with PV does not show at the meter.
    AllSold,
    /// Somewhere buying is paid for: then wasting energy earns, and losses that are bounded from below bound nothing.
    BuyingBelowZero,
    /// The steps have no plan, or an input was out of range.
    Steps(BestError),
    /// Efficiency figures that no loss law has.
    Fit(FitProblem),
}

impl fmt::Display for NoForesight {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoUtility => write!(f, "there is no utility to buy from"),
            Self::NoStorage => write!(f, "this option has no battery"),
            Self::AllSold => write!(
                f,
                "under this tariff all PV is sold as it is made, whatever the battery does"
            ),
            Self::BuyingBelowZero => write!(
                f,
                "some hours pay for using energy, and then wasting it has no bound"
            ),
            Self::Steps(error) => write!(f, "{error}"),
            Self::Fit(problem) => write!(f, "{problem:?}"),
        }
    }
}

impl std::error::Error for NoForesight {}

impl From<FitProblem> for NoForesight {
    fn from(problem: FitProblem) -> Self {
        Self::Fit(problem)
    }
}

/// The optimum of the hardware of a run: what the rule does plays no part in it, but that its reserve is kept.
///
/// The storage may charge from the grid and sell wherever the service lets it. `run` must be of `scene`.
///
/// **Errors**: see [`NoForesight`].
pub fn optimum(scene: &Scene, run: &YearRun) -> Result<Optimum, NoForesight> {
    let mut relaxed = relaxed(scene, run)?;
    let mut simplified = simplified(scene, run);
    let settlement = Settlement::of(scene.tariff(), &scene.grid).unwrap_or_default();
    let (buy_cur_per_kwh, sell_cur_per_kwh) = match &settlement {
        Some(settlement) => {
            let bounded = [
                (settlement.tiers_bounded, Simplified::Tiers),
                (settlement.netting_bounded, Simplified::NetMetering),
            ];
            let named = bounded
                .into_iter()
                .filter_map(|(is, what)| is.then_some(what));
            simplified.extend(named);
            (&settlement.buy_cur_per_kwh, &settlement.sell_cur_per_kwh)
        }
        None => (
            &scene.prices.buy_cur_per_kwh,
            &scene.prices.sell_cur_per_kwh,
        ),
    };
    // Without any account all steps are of one.
    let account = settlement.as_ref().map_or_else(
        || vec![0; scene.grid.len()],
        |settlement| settlement.account.clone(),
    );
    let in_runs = |steps: usize| {
        Some((
            in_runs_of(steps, buy_cur_per_kwh)?,
            in_runs_of(steps, sell_cur_per_kwh)?,
            in_runs_of(steps, &account)?,
        ))
    };
    let demand =
        MeteredDemand::of(scene).and_then(|demand| Some((in_runs(demand.per_interval)?, demand)));
    let charged = (scene.tariff().demand.iter()).any(|charge| charge.cur_per_kw > 0.0);
    if charged && demand.as_ref().is_none_or(|(_, demand)| demand.others) {
        simplified.push(Simplified::DemandCharges);
    }
    let (per_step, (buy_cur_per_kwh, sell_cur_per_kwh, account), charges, counts) = match demand {
        Some((runs, demand)) => (demand.per_interval, runs, demand.charges, demand.counts),
        None => {
            let prices = (buy_cur_per_kwh.clone(), sell_cur_per_kwh.clone());
            (1, (prices.0, prices.1, account), Vec::new(), Vec::new())
        }
    };
    if per_step > 1 {
        relaxed = relaxed.in_means_of(per_step);
        simplified.push(Simplified::IntervalMeans);
    }
    let net_load_w = relaxed.net_load_w();
    let steps = relaxed.steps(&net_load_w, &buy_cur_per_kwh, &sell_cur_per_kwh, &counts);
    let found = match &settlement {
        None => best(&steps, &relaxed.store, &relaxed.meter, &charges).map(Found::from),
        Some(settlement) => {
            let step_h = relaxed.step_s / 3600.0;
            let limit_w = run.plant().limits.export_w;
            let meter_w: Vec<f64> = (run.flows.meter_w.iter())
                .map(|meter_w| meter_w.max(-limit_w))
                .collect();
            let settled = Settled {
                account: &account,
                accounts: &settlement.accounts,
                rows: &settlement.rows,
                netted: settlement.netted,
                start_kwh: &settlement.passed_kwh(&meter_w, scene.grid.step_h()),
                within_cur: NEAR * turnover_cur(scene, &meter_w),
            };
            let rule = settlement.rule(step_h, per_step);
            best_settled(
                &steps,
                &relaxed.store,
                &relaxed.meter,
                &charges,
                &settled,
                &rule,
            )
            .map(Found::from)
        }
    };
    let found = found.map_err(NoForesight::Steps)?;
    if matches!(found.certainty, Certainty::Bound { .. }) {
        simplified.push(Simplified::SellingDearer);
    }
    let times = scene.prices.time.iter().step_by(per_step.max(1));
    let shape = Shape::of(&found.plan, &relaxed, &net_load_w, times);
    let share = |stored_wh: f64| {
        if relaxed.usable_wh > 0.0 {
            stored_wh / relaxed.usable_wh
        } else {
            0.0
        }
    };
    Ok(Optimum {
        cost_cur: found.cost_cur,
        gap_cur: found.gap_cur,
        simplified,
        step_s: relaxed.step_s,
        soc: found.plan.stored_wh.iter().copied().map(share).collect(),
        battery_w: found.plan.battery_w,
        grid_charge_wh: shape.grid_charge_wh,
        battery_export_wh: shape.battery_export_wh,
        grid_charge_soc: shape.ends_wh.into_iter().map(share).collect(),
        grid_charge_by_hour: shape.grid_charge_by_hour,
        battery_export_by_hour: shape.battery_export_by_hour,
    })
}

/// A plan that is dearer than the bound by this share of what the energy of the rule's year costs and earns is near enough.
const NEAR: f64 = 1e-3;

/// What is bought and sold at the prices of the steps, currency.
fn turnover_cur(scene: &Scene, meter_w: &[f64]) -> f64 {
    let prices = (scene.prices.buy_cur_per_kwh.iter()).zip(&scene.prices.sell_cur_per_kwh);
    let power_cur: f64 = (meter_w.iter().zip(prices))
        .map(|(meter_w, (buy, sell))| {
            meter_w.max(0.0) * buy.abs() + (-meter_w).max(0.0) * sell.abs()
        })
        .sum();
    power_cur * scene.grid.step_h() / 1000.0
}

/// What was found of either kind of tariff.
struct Found {
    cost_cur: f64,
    gap_cur: f64,
    certainty: Certainty,
    plan: Plan,
}

impl From<Best> for Found {
    fn from(best: Best) -> Self {
        Self {
            cost_cur: best.cost_cur,
            gap_cur: (best.plan_cost_cur - best.cost_cur).max(0.0),
            certainty: best.certainty,
            plan: best.plan,
        }
    }
}

impl From<SettledBest> for Found {
    fn from(best: SettledBest) -> Self {
        Self {
            cost_cur: best.bound_cur,
            gap_cur: (best.cost_cur - best.bound_cur).max(0.0),
            certainty: best.certainty,
            plan: best.plan,
        }
    }
}

/// The relaxed storage of a run that can be compared.
pub(super) fn relaxed(scene: &Scene, run: &YearRun) -> Result<Relaxed, NoForesight> {
    if !scene.service.utility {
        return Err(NoForesight::NoUtility);
    }
    if run.option.storage.is_empty() {
        return Err(NoForesight::NoStorage);
    }
    if matches!(scene.tariff().export, Export::AllSold { .. }) {
        return Err(NoForesight::AllSold);
    }
    let tiers = scene
        .tariff()
        .periods
        .iter()
        .flat_map(|period| &period.tiers);
    let below_zero = |tier: &Tier| tier.cur_per_kwh < 0.0;
    if tiers.into_iter().any(below_zero) {
        return Err(NoForesight::BuyingBelowZero);
    }
    Ok(Relaxed::new(scene, run))
}

/// What is left out of this option's hardware.
fn simplified(scene: &Scene, run: &YearRun) -> Vec<Simplified> {
    let (plant, option) = (run.plant(), &run.option);
    let batteries = || option.storage.iter().map(|unit| &unit.battery);
    let coldest_c = scene.air_c().iter().copied().fold(f64::INFINITY, f64::min);
    let backed_up_w: f64 = plant.units.iter().map(|unit| unit.law.rated_w).sum();
    let most_load_w = (scene.load_backed_up_w.iter().copied()).fold(0.0, f64::max);
    let tariff = scene.tariff();
    let limited = scene.service.export_limit_w.is_some();
    [
        (true, Simplified::ConverterLoss),
        (true, Simplified::EndState),
        (plant.units.len() > 1, Simplified::UnitsPooled),
        (
            batteries().any(|battery| battery.taper_from_soc < 1.0),
            Simplified::Taper,
        ),
        (
            batteries().any(|battery| battery.self_discharge_per_month > 0.0),
            Simplified::SelfDischarge,
        ),
        (
            batteries().any(|battery| battery.place.battery_c(coldest_c) < battery.least_charge_c),
            Simplified::ColdBattery,
        ),
        (
            plant
                .units
                .iter()
                .any(|unit| unit.initial_wh < unit.reserve_wh),
            Simplified::StartAtReserve,
        ),
        (
            plant.limits.transfer_w < backed_up_w + most_load_w,
            Simplified::Transfer,
        ),
        (
            limited
                && (plant.inverters.iter())
                    .any(|one| !matches!(one.limiting, PowerLimiting::Commanded { .. })),
            Simplified::FreePvLimiting,
        ),
        (
            tariff.minimum_cur_per_month > 0.0,
            Simplified::MinimumCharge,
        ),
        (
            matches!(
                tariff.export,
                Export::NetBilling {
                    surplus: Surplus::CarriedThenLost,
                    ..
                }
            ),
            Simplified::LostCredit,
        ),
    ]
    .into_iter()
    .filter_map(|(applies, what)| applies.then_some(what))
    .collect()
}

/// Power that counts as flowing, W.
pub(super) const FLOWING_W: f64 = 1.0;

/// What a plan does that a rule would have to permit.
#[derive(Clone, Debug, Default)]
struct Shape {
    grid_charge_wh: f64,
    battery_export_wh: f64,
    ends_wh: Vec<f64>,
    grid_charge_by_hour: ByHour,
    battery_export_by_hour: ByHour,
}

impl Shape {
    fn of<'a>(
        plan: &Plan,
        relaxed: &Relaxed,
        net_load_w: &[f64],
        times: impl Iterator<Item = &'a StepTime>,
    ) -> Self {
        let step_h = relaxed.step_s / 3600.0;
        let mut shape = Self::default();
        let mut charged_at_wh = None;
        for ((index, net_w), time) in net_load_w.iter().enumerate().zip(times) {
            let at = |series: &[f64]| series.get(index).copied().unwrap_or(0.0);
            let (import_w, inverter_w) = (at(&plan.import_w), at(&plan.inverter_ac_w));
            let charging_w = if inverter_w < 0.0 {
                import_w.min(-inverter_w)
            } else {
                0.0
            };
            if charging_w > FLOWING_W {
                shape.grid_charge_wh += charging_w * step_h;
                shape.grid_charge_by_hour.add(time, charging_w * step_h);
                charged_at_wh = Some(at(&plan.stored_wh));
            } else if let Some(stored_wh) = charged_at_wh.take() {
                shape.ends_wh.push(stored_wh);
            }
            let pv_sold_w =
                (relaxed.store.inverter_out_efficiency * at(&relaxed.dc_pv_w) - net_w).max(0.0);
            let beyond_w = (at(&plan.export_w) - pv_sold_w)
                .min(at(&plan.battery_w))
                .max(0.0);
            if beyond_w > FLOWING_W {
                shape.battery_export_wh += beyond_w * step_h;
                shape.battery_export_by_hour.add(time, beyond_w * step_h);
            }
        }
        shape.ends_wh.extend(charged_at_wh);
        shape.ends_wh.sort_unstable_by(f64::total_cmp);
        shape
    }
}
