//! Demand charges: the cap on import under each of them that makes energy and demand together cheapest.
//!
//! With the import under a charge capped, the demand costs what the cap says, and the energy costs what the recursion finds.
//! The least cost is convex in all caps together, because it is the least over plans of what is convex in plan and caps.

use super::problem::{BestError, Demand, Meter, Steps, Store};
use super::recursion::CostToGo;
use super::step_cost::{StepCosts, StepView};

/// No cap on import, W.
const NO_CAP: f64 = f64::INFINITY;
/// A cap is narrowed down to this share of the most that can be bought.
const NARROW: f64 = 1e-8;
/// A round that gains less than this share of the cost is the last.
const GAIN: f64 = 1e-8;
const MOST_ROUNDS: usize = 30;

/// Caps on import, and the search for the cheapest.
pub(super) struct Caps<'a> {
    steps: &'a Steps<'a>,
    store: &'a Store,
    meter: &'a Meter,
    costs: &'a StepCosts,
    pub(super) demand: &'a [Demand],
    pub(super) cap_w: Vec<f64>,
    /// Whether the last round of the search made nothing cheaper.
    pub(super) settled: bool,
}

impl<'a> Caps<'a> {
    /// Finds the cheapest caps, one charge after the other, from the last to the first, until a round gains nothing more.
    ///
    /// What comes after a charge's steps is kept while its cap is searched. One charge alone is found at once; several touch
    /// each other only through what is stored at their borders, so that few rounds are needed.
    pub(super) fn cheapest(
        steps: &'a Steps<'a>,
        store: &'a Store,
        meter: &'a Meter,
        costs: &'a StepCosts,
        demand: &'a [Demand],
    ) -> Result<Self, BestError> {
        let none = vec![NO_CAP; demand.len()];
        let mut caps = Self::given(steps, store, meter, costs, demand, none);
        let charged = demand
            .iter()
            .filter(|charge| charge.cur_per_kw > 0.0)
            .count();
        let mut cost_cur = f64::INFINITY;
        for _ in 0..MOST_ROUNDS {
            if charged == 0 {
                break;
            }
            let before_cur = cost_cur;
            cost_cur = caps.round()?;
            caps.settled = charged == 1 || before_cur - cost_cur <= GAIN * cost_cur.abs();
            if caps.settled {
                break;
            }
        }
        Ok(caps)
    }

    /// Caps that are known already.
    pub(super) fn given(
        steps: &'a Steps<'a>,
        store: &'a Store,
        meter: &'a Meter,
        costs: &'a StepCosts,
        demand: &'a [Demand],
        cap_w: Vec<f64>,
    ) -> Self {
        Self {
            steps,
            store,
            meter,
            costs,
            demand,
            cap_w,
            settled: true,
        }
    }

    /// What the caps cost as demand, currency.
    pub(super) fn cost_cur(&self) -> f64 {
        (0..self.demand.len())
            .map(|index| self.charge_cur(index, self.cap_w[index]))
            .sum()
    }

    /// Cap on import in a step, W; infinite where there is none.
    pub(super) fn cap_w(&self, step: usize) -> f64 {
        let charge = self.demand.partition_point(|charge| charge.after <= step);
        match self.demand.get(charge) {
            Some(under) if under.first <= step && self.steps.counts(step) => self.cap_w[charge],
            _ => NO_CAP,
        }
    }

    /// Least energy that must be taken out of store in a step so that its cap holds, Wh.
    pub(super) fn floor_wh(&self, step: usize) -> Result<f64, BestError> {
        self.floor_at_cap_wh(step, self.cap_w(step))
    }

    fn floor_at_cap_wh(&self, step: usize, cap_w: f64) -> Result<f64, BestError> {
        if cap_w == NO_CAP {
            return Ok(f64::NEG_INFINITY);
        }
        let step_h = self.steps.step_h();
        StepView::new(self.steps.at(step), step_h, self.store, self.meter)
            .battery_at_cap_w(cap_w)
            .map(|battery_w| self.store.taken_wh(battery_w, step_h))
            .ok_or(BestError::NoPlan { step })
    }

    fn charge_cur(&self, charge: usize, cap_w: f64) -> f64 {
        match self.demand.get(charge) {
            Some(charge) if charge.cur_per_kw > 0.0 && cap_w < NO_CAP => {
                charge.cur_per_kw * cap_w / 1000.0
            }
            _ => 0.0,
        }
    }

    /// Searches the cap of every charge once and returns the cost that is reached, currency.
    fn round(&mut self) -> Result<f64, BestError> {
        let mut to_go = CostToGo::at_end(self.costs, self.store);
        let mut known_from = self.costs.len();
        for charge in (0..self.demand.len()).rev() {
            let Demand { first, after, .. } = self.demand[charge];
            self.go_back(&mut to_go, after..known_from)?;
            if self.demand[charge].cur_per_kw > 0.0 {
                self.cap_w[charge] = self.search(charge, &to_go);
            }
            self.go_back(&mut to_go, first..after)?;
            known_from = first;
        }
        self.go_back(&mut to_go, 0..known_from)?;
        let energy_cur = to_go.cost_cur(self.costs, self.store.start_wh);
        Ok(energy_cur.ok_or(BestError::NoPlan { step: 0 })? + self.cost_cur())
    }

    fn go_back(
        &self,
        to_go: &mut CostToGo,
        steps: std::ops::Range<usize>,
    ) -> Result<(), BestError> {
        for step in steps.rev() {
            to_go.step_back(self.costs, step, self.floor_wh(step)?, self.store, None)?;
        }
        Ok(())
    }

    /// The cheapest cap of one charge while all others stay.
    fn search(&self, charge: usize, after: &CostToGo) -> f64 {
        let Demand {
            first, after: end, ..
        } = self.demand[charge];
        let step_h = self.steps.step_h();
        let most_w = (first..end)
            .filter(|step| self.steps.counts(*step))
            .filter_map(|step| {
                StepView::new(self.steps.at(step), step_h, self.store, self.meter).most_import_w()
            })
            .fold(0.0, f64::max);
        let mut trial = after.clone();
        let mut cost_cur = |cap_w: f64| {
            trial.clone_from(after);
            let back = |to_go: &mut CostToGo| {
                for step in (first..end).rev() {
                    let under_w = if self.steps.counts(step) {
                        cap_w
                    } else {
                        NO_CAP
                    };
                    let floor_wh = self.floor_at_cap_wh(step, under_w)?;
                    to_go.step_back(self.costs, step, floor_wh, self.store, None)?;
                }
                self.go_back(to_go, 0..first)
            };
            match back(&mut trial) {
                Ok(()) => trial
                    .cost_cur(self.costs, self.store.start_wh)
                    .map_or(f64::INFINITY, |energy_cur| {
                        energy_cur + self.charge_cur(charge, cap_w)
                    }),
                Err(_) => f64::INFINITY,
            }
        };
        let found_w = least_of_convex(&mut cost_cur, 0.0, most_w, NARROW * most_w);
        let kept_w = self.cap_w[charge];
        if kept_w < NO_CAP && cost_cur(kept_w) <= cost_cur(found_w) {
            kept_w
        } else {
            found_w
        }
    }
}

/// Where a convex function is least between two points, to within `narrow`. It may be infinite toward `low`.
///
/// Source: golden section, Kiefer, Proc. Amer. Math. Soc. 4 (1953) 502-506, doi:10.1090/S0002-9939-1953-0055639-3.
pub(super) fn least_of_convex(
    mut f: impl FnMut(f64) -> f64,
    low: f64,
    high: f64,
    narrow: f64,
) -> f64 {
    const GOLDEN: f64 = 0.618_033_988_749_894_9;
    let (mut low, mut high) = (low, high);
    let (mut best, mut best_value) = (high, f(high));
    let (mut inner, mut outer) = (high - GOLDEN * (high - low), low + GOLDEN * (high - low));
    let (mut inner_value, mut outer_value) = (f(inner), f(outer));
    // At most 1e-12 of the bracket is asked for, which takes 58 halvings by this share.
    for _ in 0..60 {
        for (point, value) in [(inner, inner_value), (outer, outer_value)] {
            if value < best_value {
                (best, best_value) = (point, value);
            }
        }
        if high - low <= narrow {
            break;
        }
        if inner_value < outer_value {
            high = outer;
            (outer, outer_value) = (inner, inner_value);
            inner = high - GOLDEN * (high - low);
            inner_value = f(inner);
        } else {
            low = inner;
            (inner, inner_value) = (outer, outer_value);
            outer = low + GOLDEN * (high - low);
            outer_value = f(outer);
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_least_of_a_convex_function_is_found_beside_an_infinite_part() {
        let f = |x: f64| {
            if x < 2.0 {
                f64::INFINITY
            } else {
                (x - 3.0).abs()
            }
        };
        assert!((least_of_convex(f, 0.0, 10.0, 1e-9) - 3.0).abs() < 1e-8);
        let rising = |x: f64| if x < 2.0 { f64::INFINITY } else { x };
        assert!((least_of_convex(rising, 0.0, 10.0, 1e-9) - 2.0).abs() < 1e-8);
        assert!(least_of_convex(|x| x, 0.0, 10.0, 1e-9) < 1e-8);
        assert_eq!(least_of_convex(|_| f64::INFINITY, 0.0, 1.0, 1e-9), 1.0);
    }
}
