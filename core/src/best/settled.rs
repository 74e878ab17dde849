//! The optimum where energy is settled by month: tiers and net metering.
//!
//! What the energy of an account costs is convex in it, so it is the highest of straight lines, one for each marginal price. With the
//! marginal price of every account held, the rest is the optimum at those prices, and the sum of both is a lower bound of every plan's
//! cost, whatever the prices. The least cost and the highest such bound are the same, because both sides are convex; so the prices are
//! moved up the bound until the cheapest plan found is as near to it as is asked for.
//!
//! Where the best prices stand between two plans of a month, such as shifting energy on all days or on none, neither plan is cheapest; then
//! the days of the month are shared out between them. Plans are mixed as far as that makes them cheaper: a mean of two plans is a plan
//! that costs no more than it says, because losses and limits are convex.
//!
//! Source: Lagrange duality and minimax, Rockafellar, Convex Analysis (1970), sections 30 and 37. Derived: the sharing of days.

use super::demand::{Caps, least_of_convex};
use super::plan::{Best, Certainty, Plan, Worths, at_caps, best};
use super::problem::{BestError, Demand, Meter, Steps, Store};
use super::raises::{Account, Line, Model};
use super::step_cost::StepCosts;

/// How the energy of the steps is settled.
#[derive(Clone, Copy, Debug)]
pub struct Settled<'a> {
    /// The account of each step.
    pub account: &'a [usize],
    /// The accounts.
    pub accounts: &'a [Account],
    /// Every account once, in rows: surplus of an account is carried on to the next in its row, so that the price may not be raised
    /// more there than before.
    pub rows: &'a [Vec<usize>],
    /// Whether what is sold is taken off what is bought, at the buying price of the step.
    pub netted: bool,
    /// What passed the account in a plan that is known, kWh, to begin with.
    pub start_kwh: &'a [f64],
    /// A plan's cost that is this near to the bound is near enough, currency.
    pub within_cur: f64,
}

/// The optimum of settled energy, between two numbers.
#[derive(Clone, Debug, PartialEq)]
pub struct SettledBest {
    /// No plan costs less, currency.
    pub bound_cur: f64,
    /// What the plan costs, currency.
    pub cost_cur: f64,
    /// Whether a step's cost had to be bounded, as in [`Best`]: then the bound may lie below every plan.
    pub certainty: Certainty,
    /// The cheapest plan that was found.
    pub plan: Plan,
    /// How many plans were made on the way.
    pub plans: usize,
}

/// Steps of all plans together, and plans at least and at most. A plan of 35,040 steps takes about 10 ms natively.
const MOST_STEPS: usize = 60 * 35_040;
const LEAST_PLANS: usize = 20;
const MOST_PLANS: usize = 200;
/// Searches of the caps on demand, which take as long as tens of plans.
const MOST_SEARCHES: usize = 3;
/// Every so often the days are shared out between plans.
const SHARED_EVERY: usize = 4;

/// What the energy of a plan costs by the true rule.
pub trait TrueCost {
    /// What the rule asks of a plan, each a sum over steps of bought or sold power with factors of their own.
    fn passed(&self, plan: &Plan) -> Vec<f64>;

    /// What that costs, currency; never less than the accounts say.
    fn cost_cur(&self, passed: &[f64]) -> f64;
}

/// The cheapest way to run a battery under settled energy.
///
/// **Errors**: as [`best`].
pub fn best_settled(
    steps: &Steps<'_>,
    store: &Store,
    meter: &Meter,
    demand: &[Demand],
    settled: &Settled<'_>,
    truth: &impl TrueCost,
) -> Result<SettledBest, BestError> {
    settled.check(steps)?;
    let mut model = Model::new(settled.accounts, settled.rows, settled.borders());
    let start = model.marginal(settled.start_kwh);
    let mut search = Search {
        steps,
        store,
        meter,
        demand,
        settled,
        truth,
        cap_w: None,
        found: None,
        bound_cur: f64::NEG_INFINITY,
        certainty: Certainty::Exact,
        plans: 0,
        shared: 0,
    };
    let (line, bound_cur) = search.searched(&start)?;
    let mut center = (line.raise.clone(), bound_cur);
    model.push(line);
    search.climb(&mut model, &mut center)?;
    // With the caps on demand held the search is quick, but what it climbs bounds only plans under them: they are searched anew.
    for _ in 1..MOST_SEARCHES {
        if search.cap_w.is_none() || search.near() {
            break;
        }
        let (line, bound_cur) = search.searched(&center.0)?;
        model = Model::new(settled.accounts, settled.rows, settled.borders());
        center = (line.raise.clone(), bound_cur);
        model.push(line);
        search.climb(&mut model, &mut center)?;
    }
    search.answer().ok_or(BestError::Input("settled energy"))
}

impl Settled<'_> {
    /// The stretch of a step.
    fn stretch(&self, step: usize) -> usize {
        let account = self.account.get(step);
        account
            .and_then(|account| self.accounts.get(*account))
            .map_or(0, |account| account.stretch)
    }

    /// Whether a step is the first of a stretch after another.
    fn begins(&self, step: usize) -> bool {
        step > 0 && self.stretch(step) != self.stretch(step - 1)
    }

    /// Stretches before and after each border, in the order of the steps.
    fn borders(&self) -> Vec<(usize, usize)> {
        (0..self.account.len())
            .filter(|step| self.begins(*step))
            .map(|step| (self.stretch(step - 1), self.stretch(step)))
            .collect()
    }

    fn check(&self, steps: &Steps<'_>) -> Result<(), BestError> {
        let count = self.accounts.len();
        let mut in_rows: Vec<usize> = self.rows.iter().flatten().copied().collect();
        in_rows.sort_unstable();
        let whole = self.account.len() == steps.len()
            && self.account.iter().all(|account| *account < count)
            && in_rows.iter().copied().eq(0..count)
            && self.start_kwh.len() == count
            && self.accounts.iter().all(|account| account.stretch < count);
        if whole {
            Ok(())
        } else {
            Err(BestError::Input("settled energy"))
        }
    }
}

/// The cheapest plan so far.
struct Found {
    plan: Plan,
    passed: Vec<f64>,
    /// What its highest powers cost at most, currency.
    demand_cur: f64,
    cost_cur: f64,
}

struct Search<'a, T> {
    steps: &'a Steps<'a>,
    store: &'a Store,
    meter: &'a Meter,
    demand: &'a [Demand],
    settled: &'a Settled<'a>,
    truth: &'a T,
    /// Caps on import, if any power is charged; those of the last search.
    cap_w: Option<Vec<f64>>,
    found: Option<Found>,
    bound_cur: f64,
    certainty: Certainty,
    plans: usize,
    shared: usize,
}

impl<T: TrueCost> Search<'_, T> {
    /// Whether the plan found is near enough to the bound.
    fn near(&self) -> bool {
        (self.found.as_ref())
            .is_some_and(|found| found.cost_cur - self.bound_cur <= self.settled.within_cur)
    }

    fn answer(self) -> Option<SettledBest> {
        let found = self.found?;
        Some(SettledBest {
            bound_cur: self.bound_cur,
            cost_cur: found.cost_cur,
            certainty: self.certainty,
            plan: found.plan,
            plans: self.plans,
        })
    }

    fn spent(&self) -> bool {
        let most = (MOST_STEPS / self.steps.len().max(1)).clamp(LEAST_PLANS, MOST_PLANS);
        self.plans >= most
    }

    /// The optimum at raised prices with the caps searched anew: its line, and a true bound.
    fn searched(&mut self, raise: &[f64]) -> Result<(Line, f64), BestError> {
        if self.demand.iter().any(|charge| charge.cur_per_kw > 0.0) {
            let (buy, sell) = self.prices(&self.by_step(raise));
            let steps = self.raised(&buy, &sell);
            let found = best(&steps, self.store, self.meter, self.demand)?;
            self.cap_w = Some(found.peak_import_w);
        }
        self.lined(raise, true)
    }

    /// The raise of every step.
    fn by_step(&self, raise: &[f64]) -> Vec<f64> {
        (self.settled.account.iter())
            .map(|account| raise.get(*account).copied().unwrap_or(0.0))
            .collect()
    }

    /// Buying and selling prices with each step's raised.
    fn prices(&self, by_step: &[f64]) -> (Vec<f64>, Vec<f64>) {
        let prices = self.steps.buy_cur_per_kwh.iter();
        let buy: Vec<f64> = prices
            .zip(by_step)
            .map(|(price, raise)| price + raise)
            .collect();
        let sell = if self.settled.netted {
            buy.clone()
        } else {
            self.steps.sell_cur_per_kwh.to_vec()
        };
        (buy, sell)
    }

    fn raised<'b>(&'b self, buy: &'b [f64], sell: &'b [f64]) -> Steps<'b> {
        Steps {
            buy_cur_per_kwh: buy,
            sell_cur_per_kwh: sell,
            ..*self.steps
        }
    }

    /// Makes a plan at raised prices under the caps.
    fn planned(&mut self, by_step: &[f64], worths: bool) -> Result<(Best, Worths), BestError> {
        self.plans += 1;
        let (buy, sell) = self.prices(by_step);
        let steps = self.raised(&buy, &sell);
        let costs = StepCosts::new(&steps, self.store, self.meter, self.cap_w.is_some())?;
        let (demand, cap_w) = match &self.cap_w {
            Some(cap_w) => (self.demand, cap_w.clone()),
            None => (&[][..], Vec::new()),
        };
        let caps = Caps::given(&steps, self.store, self.meter, &costs, demand, cap_w);
        let asked = |step| worths && self.settled.begins(step);
        at_caps(&steps, self.store, self.meter, &costs, &caps, asked)
    }

    /// A plan at raises by account: its line, and the bound there.
    ///
    /// - `binding`: whether that bound holds for all plans
    fn lined(&mut self, raise: &[f64], binding: bool) -> Result<(Line, f64), BestError> {
        let (found, worths) = self.planned(&self.by_step(raise), true)?;
        let taken_off_cur: f64 = (self.settled.accounts.iter().zip(raise))
            .map(|(account, raise)| account.taken_off_cur(*raise))
            .sum();
        let line = self.line(&found.plan, raise, &worths);
        let bound_cur = found.cost_cur - taken_off_cur;
        self.take(
            found,
            if binding {
                bound_cur
            } else {
                f64::NEG_INFINITY
            },
        );
        Ok((line, bound_cur))
    }

    /// Keeps the highest bound, and goes from the cheapest plan so far toward a new one as far as that makes it cheaper.
    fn take(&mut self, best: Best, bound_cur: f64) {
        if bound_cur > self.bound_cur {
            (self.bound_cur, self.certainty) = (bound_cur, best.certainty);
        }
        let demand_cur: f64 = (self.demand.iter().zip(&best.peak_import_w))
            .map(|(charge, peak_w)| charge.cur_per_kw * peak_w / 1000.0)
            .sum();
        let passed = self.truth.passed(&best.plan);
        let truth = self.truth;
        let Some(found) = &mut self.found else {
            let cost_cur = truth.cost_cur(&passed) + demand_cur;
            self.found = Some(Found {
                plan: best.plan,
                passed,
                demand_cur,
                cost_cur,
            });
            return;
        };
        let toward = |share: f64| -> (Vec<f64>, f64, f64) {
            let pairs = found.passed.iter().zip(&passed);
            let mixed: Vec<f64> = pairs.map(|(old, new)| old + share * (new - old)).collect();
            let demand_cur = found.demand_cur + share * (demand_cur - found.demand_cur);
            let cost_cur = truth.cost_cur(&mixed) + demand_cur;
            (mixed, demand_cur, cost_cur)
        };
        const NARROW: f64 = 1e-3;
        let share = least_of_convex(|share| toward(share).2, 0.0, 1.0, NARROW);
        let (passed, demand_cur, cost_cur) = toward(share);
        if cost_cur < found.cost_cur {
            found.plan.move_toward(&best.plan, share);
            (found.passed, found.demand_cur, found.cost_cur) = (passed, demand_cur, cost_cur);
        }
    }

    /// What a plan says of the least cost. Stretches meet in what is stored at their borders.
    fn line(&self, plan: &Plan, raise: &[f64], worths: &Worths) -> Line {
        let step_h = self.steps.step_h();
        let stretches = self.settled.accounts.iter().map(|one| one.stretch + 1);
        let mut constant_cur = vec![0.0; stretches.max().unwrap_or(0)];
        let mut energy_kwh = vec![0.0; self.settled.accounts.len()];
        for (step, account) in self.settled.account.iter().enumerate() {
            let at = |series: &[f64]| series.get(step).copied().unwrap_or(0.0);
            let kwh = |power_w: f64| power_w * step_h / 1000.0;
            let (bought_kwh, sold_kwh) = (kwh(at(&plan.import_w)), kwh(at(&plan.export_w)));
            let (buy, sell) = (
                at(self.steps.buy_cur_per_kwh),
                at(self.steps.sell_cur_per_kwh),
            );
            let earned_cur = sold_kwh * if self.settled.netted { buy } else { sell };
            constant_cur[self.settled.stretch(step)] += bought_kwh * buy - earned_cur;
            energy_kwh[*account] += bought_kwh;
            if self.settled.netted {
                energy_kwh[*account] -= sold_kwh;
            }
        }
        let accounts = self.settled.accounts.len();
        let mut raise: Vec<f64> = raise.iter().take(accounts).copied().collect();
        let mut stored_kwh = Vec::with_capacity(worths.len());
        for (step, worth_cur_per_wh) in worths {
            let stored_wh = plan.stored_wh.get(step - 1).copied().unwrap_or(0.0);
            stored_kwh.push(stored_wh / 1000.0);
            raise.push(1000.0 * worth_cur_per_wh);
        }
        // What the highest power costs is the same for all plans under one cap; it is told with the first stretch.
        if let (Some(cap_w), Some(first_cur)) = (&self.cap_w, constant_cur.first_mut()) {
            *first_cur += (self.demand.iter().zip(cap_w))
                .map(|(charge, cap_w)| charge.cur_per_kw * cap_w / 1000.0)
                .sum::<f64>();
        }
        Line {
            raise,
            constant_cur,
            energy_kwh,
            stored_kwh,
        }
    }

    /// Raises prices up the bound until the plan found is near it, nothing more is gained, or the plans are spent.
    fn climb(
        &mut self,
        model: &mut Model<'_>,
        center: &mut (Vec<f64>, f64),
    ) -> Result<(), BestError> {
        /// A step that gains at least this share of what the model foretold is taken.
        const TAKEN: f64 = 0.1;
        const LONGER: f64 = 2.0;
        const SHORTER: f64 = 0.5;
        const LONGEST: f64 = 1e4;
        // Caps that are held bound only the plans under them.
        let binding = self.cap_w.is_none();
        let stretches = model.stretches().max(1);
        #[expect(clippy::cast_precision_loss, reason = "a few stretches")]
        let alike_cur = 1e-3 * self.settled.within_cur / stretches as f64;
        let mut length = 1.0;
        let mut since_shared = 0;
        while !self.near() && !self.spent() {
            let mut reach = self.reach(model);
            reach.iter_mut().for_each(|reach| *reach *= length);
            let raise = model.highest(&center.0, &reach, alike_cur);
            let foretold_cur = model.at_cur(&raise) - center.1;
            let done = foretold_cur <= 0.05 * self.settled.within_cur;
            since_shared += 1;
            if done || since_shared >= SHARED_EVERY {
                since_shared = 0;
                let shared = self.shared(model);
                let (found, _) = self.planned(&self.by_day(model, &shared), false)?;
                self.take(found, f64::NEG_INFINITY);
            }
            if done {
                // Nothing is foretold near by: it is looked for farther off, and then only plans are left to be shared.
                length = (10.0 * length).min(LONGEST);
                continue;
            }
            let (line, bound_cur) = self.lined(&raise, binding)?;
            model.push(line);
            if bound_cur >= center.1 + TAKEN * foretold_cur {
                *center = (
                    model.lines.last().map_or(raise, |line| line.raise.clone()),
                    bound_cur,
                );
                length *= LONGER;
            } else {
                length *= SHORTER;
            }
        }
        Ok(())
    }

    /// How far each raise may go in a step of length one: over its whole range, if as much energy as in the first plan pulls at it; and what
    /// stored energy is worth, over the widest range if a full battery pulls.
    fn reach(&self, model: &Model<'_>) -> Vec<f64> {
        const LEAST_KWH: f64 = 10.0;
        let range =
            |account: &Account| (account.most_cur_per_kwh - account.least_cur_per_kwh).max(1e-6);
        let accounts = self.settled.accounts;
        let widest = accounts.iter().map(range).fold(0.0, f64::max);
        let of_border = widest / (self.store.most_wh / 1000.0 + 1.0);
        let Some(first) = model.lines.first() else {
            return Vec::new();
        };
        (accounts.iter().zip(&first.energy_kwh))
            .map(|(account, kwh)| range(account) / (kwh.abs() + LEAST_KWH))
            .chain(first.stored_kwh.iter().map(|_| of_border))
            .collect()
    }

    /// For each stretch the line that each of its days follows, so that each has as many days as its weight says, one after the other.
    fn shared(&mut self, model: &Model<'_>) -> Vec<usize> {
        // Each time other days come first, so that what is rounded to days evens out over several plans.
        const GOLDEN: f64 = 0.618_033_988_749_894_9;
        self.shared += 1;
        #[expect(clippy::cast_precision_loss, reason = "a few plans")]
        let begun = |place: usize| (self.shared * (place + 1)) as f64 * GOLDEN % 1.0;
        let days = self.steps.len().div_ceil(self.per_day());
        let mut owed: Vec<Vec<f64>> = (model.weight.iter().enumerate())
            .map(|(stretch, weight)| {
                let lines = weight.iter().enumerate();
                lines
                    .map(|(line, weight)| {
                        if *weight > 0.0 {
                            begun(stretch + 13 * line)
                        } else {
                            0.0
                        }
                    })
                    .collect()
            })
            .collect();
        (0..days)
            .map(|day| {
                let stretch = self.settled.stretch(day * self.per_day());
                let (Some(owed), Some(weight)) = (owed.get_mut(stretch), model.weight.get(stretch))
                else {
                    return 0;
                };
                let mut most = 0;
                for (line, weight) in weight.iter().enumerate() {
                    owed[line] += weight;
                    if owed[line] > owed[most] {
                        most = line;
                    }
                }
                if let Some(owed) = owed.get_mut(most) {
                    *owed -= 1.0;
                }
                most
            })
            .collect()
    }

    /// The raise of every step, by the line that its day follows.
    fn by_day(&self, model: &Model<'_>, shared: &[usize]) -> Vec<f64> {
        let per_day = self.per_day();
        let of = |(step, account): (usize, &usize)| {
            let line = model.lines.get(*shared.get(step / per_day)?)?;
            line.raise.get(*account).copied()
        };
        (self.settled.account.iter().enumerate())
            .map(|step| of(step).unwrap_or(0.0))
            .collect()
    }

    fn per_day(&self) -> usize {
        const DAY_S: f64 = 86_400.0;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "steps of a day"
        )]
        let steps = (DAY_S / self.steps.step_s) as usize;
        steps.max(1)
    }
}
