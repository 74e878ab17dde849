//! The optimum itself.

use super::demand::Caps;
use super::problem::{BestError, Demand, Meter, Steps, Store, check_demand};
use super::recursion::{CostToGo, Trail};
use super::step_cost::{StepCosts, StepView};

/// A cheapest plan: one value per step in every series, powers as means of the step.
///
/// The least cost is one number, the plan that reaches it is not: among equally cheap amounts a step moves the least energy.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plan {
    /// Power that the battery gives at the DC bus, W; negative when it charges.
    pub battery_w: Vec<f64>,
    /// AC power out of the storage inverter, W; negative when it takes.
    pub inverter_ac_w: Vec<f64>,
    /// Power bought, W.
    pub import_w: Vec<f64>,
    /// Power sold, W.
    pub export_w: Vec<f64>,
    /// AC-joined PV throttled, W.
    pub ac_throttled_w: Vec<f64>,
    /// DC-joined PV throttled, W.
    pub dc_throttled_w: Vec<f64>,
    /// Stored energy at the end of the step, Wh.
    pub stored_wh: Vec<f64>,
}

/// What the cost of [`Best`] is worth.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Certainty {
    /// It is the optimum, and the plan reaches it.
    Exact,
    /// In so many steps selling is dearer than buying, or using energy up earns money, so that the cost is not convex. There
    /// its lower convex envelope was used: no plan can be cheaper than the cost given, but the plan given may be dearer.
    Bound {
        /// Number of such steps.
        steps: usize,
    },
    /// The search over the demand charges was given up before it came to rest: the cost is that of the plan, and a cheaper
    /// plan may exist.
    Unsettled,
}

/// The optimum.
#[derive(Clone, Debug, PartialEq)]
pub struct Best {
    /// Least cost of energy and demand over all steps, currency; negative when more is earned.
    pub cost_cur: f64,
    /// What the plan costs, currency: the same, unless [`Certainty`] says otherwise.
    pub plan_cost_cur: f64,
    /// Whether the cost is the optimum or a bound on it.
    pub certainty: Certainty,
    /// Highest power bought under each demand charge, W.
    pub peak_import_w: Vec<f64>,
    /// How it is reached.
    pub plan: Plan,
}

/// The cheapest way to run a battery when everything is known beforehand.
///
/// Steps without storage cost the same whatever is done, so the saving that storage can bring at most is the cost with an
/// empty window (`least_wh` equal to `most_wh`) less this one.
///
/// **Errors**: an input out of its range, or no plan that meets the limits.
pub fn best(
    steps: &Steps<'_>,
    store: &Store,
    meter: &Meter,
    demand: &[Demand],
) -> Result<Best, BestError> {
    steps.check()?;
    store.check()?;
    meter.check()?;
    check_demand(demand, steps.len())?;

    let charged = demand.iter().any(|charge| charge.cur_per_kw > 0.0);
    let costs = StepCosts::new(steps, store, meter, charged)?;
    let caps = Caps::cheapest(steps, store, meter, &costs, demand)?;
    Ok(at_caps(steps, store, meter, &costs, &caps, |_| false)?.0)
}

/// What a Wh more in store is worth at some steps' beginning, by step: cost against energy, currency per Wh, so 0 or less where
/// energy is worth something.
pub(super) type Worths = Vec<(usize, f64)>;

/// The cheapest plan under caps that were found, and what stored energy is worth at the steps that are asked for.
pub(super) fn at_caps(
    steps: &Steps<'_>,
    store: &Store,
    meter: &Meter,
    costs: &StepCosts,
    caps: &Caps<'_>,
    asked: impl Fn(usize) -> bool,
) -> Result<(Best, Worths), BestError> {
    let floors_wh: Vec<f64> = (0..steps.len())
        .map(|index| caps.floor_wh(index))
        .collect::<Result<_, _>>()?;
    let mut to_go = CostToGo::at_end(costs, store);
    let mut trail = Trail::default();
    for index in (0..steps.len()).rev() {
        to_go.step_back(costs, index, floors_wh[index], store, Some(&mut trail))?;
    }
    let energy_cur = to_go
        .cost_cur(costs, store.start_wh)
        .ok_or(BestError::NoPlan { step: 0 })?;

    let mut plan = Plan::with_room(steps.len());
    let mut plan_cost_cur = 0.0;
    let mut stored_wh = store.start_wh;
    let mut worths = Worths::new();
    for (index, floor_wh) in floors_wh.into_iter().enumerate() {
        if asked(index) {
            worths.push((
                index,
                to_go.worth_cur_per_wh(costs, store, stored_wh, &trail),
            ));
        }
        let taken_wh = to_go.step_forward(costs, index, floor_wh, stored_wh, &mut trail);
        stored_wh = (stored_wh - taken_wh).clamp(store.least_wh, store.most_wh);
        let view =
            StepView::new(steps.at(index), steps.step_h(), store, meter).capped(caps.cap_w(index));
        let battery_w = store.battery_w(taken_wh, steps.step_h());
        plan_cost_cur += view.cost_cur(battery_w);
        plan.push(battery_w, &view, stored_wh);
    }

    let demand = caps.demand;
    let peak_import_w: Vec<f64> = demand
        .iter()
        .map(|charge| {
            (charge.first..charge.after)
                .filter(|step| steps.counts(*step))
                .map(|step| plan.import_w[step])
                .fold(0.0, f64::max)
        })
        .collect();
    let demand_cur: f64 = demand
        .iter()
        .zip(&peak_import_w)
        .map(|(charge, peak_w)| charge.cur_per_kw * peak_w / 1000.0)
        .sum();
    let found = Best {
        cost_cur: energy_cur + caps.cost_cur(),
        plan_cost_cur: plan_cost_cur + demand_cur,
        certainty: match (caps.settled, costs.relaxed) {
            (false, _) => Certainty::Unsettled,
            (true, 0) => Certainty::Exact,
            (true, steps) => Certainty::Bound { steps },
        },
        peak_import_w,
        plan,
    };
    Ok((found, worths))
}

impl Plan {
    fn with_room(steps: usize) -> Self {
        let series = || Vec::with_capacity(steps);
        Self {
            battery_w: series(),
            inverter_ac_w: series(),
            import_w: series(),
            export_w: series(),
            ac_throttled_w: series(),
            dc_throttled_w: series(),
            stored_wh: series(),
        }
    }

    fn push(&mut self, battery_w: f64, view: &StepView<'_>, stored_wh: f64) {
        let settled = view.settle(battery_w);
        self.battery_w.push(battery_w);
        self.inverter_ac_w.push(settled.inverter_ac_w);
        self.import_w.push(settled.meter_w.max(0.0));
        self.export_w.push((-settled.meter_w).max(0.0));
        self.ac_throttled_w.push(settled.ac_throttled_w);
        self.dc_throttled_w.push(settled.dc_throttled_w);
        self.stored_wh.push(stored_wh);
    }
}
