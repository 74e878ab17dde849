//! The optimum where energy is settled by month: tiers and net metering.
//!
//! What the energy of an account costs is convex in it, so it is the highest of straight lines, one for each marginal price. With the
//! marginal price of every account held, the rest is the optimum at those prices, and the sum of both is a lower bound of every plan's
//! cost, whatever the prices. The least cost and the highest such bound are the same, because both sides are convex; so the prices are
//! moved up the bound until the cheapest plan found is as near to it as is asked for.
//!
//! Where the best prices stand between two plans of a month, such as shifting energy on all days or on none, neither plan is cheapest, but a
//! mean of both is a plan that costs no more than it says, because losses and limits are convex. So the plans of each month are mixed; what
//! a month then begins with beyond what the one before it hands on is bought at the dearest price. A plan to look at shares the days of a
//! month out between the plans.
//!
//! Source: Lagrange duality and minimax, Rockafellar, Convex Analysis (1970), sections 30 and 37. Derived: the sharing of days.

use super::demand::Caps;
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
    /// What some plan costs, currency: the least cost lies between the two.
    pub cost_cur: f64,
    /// Whether a step's cost had to be bounded, as in [`Best`]: then the bound may lie below every plan.
    pub certainty: Certainty,
    /// A plan near it, which may cost more.
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

/// Energy missing at borders that is rounding, kWh.
const NO_KWH: f64 = 1e-6;

/// What the energy of a plan costs by the true rule.
pub trait TrueCost {
    /// What the rule asks of a plan, by stretch: each a sum over its steps of bought or sold power with factors of their own.
    fn passed(&self, plan: &Plan) -> Vec<Vec<f64>>;

    /// What that costs, currency; never less than the accounts say.
    fn cost_cur(&self, passed: &[Vec<f64>]) -> f64;
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
        caps_unsettled: false,
        bound_cur: f64::NEG_INFINITY,
        known_cur: f64::INFINITY,
        certainty: Certainty::Exact,
        plans: 0,
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
    let (found, _) = search.planned(&search.by_day(&model), false)?;
    search.know(&found);
    Ok(SettledBest {
        bound_cur: search.bound_cur,
        cost_cur: search.known_cur,
        certainty: search.certainty,
        plan: found.plan,
        plans: search.plans,
    })
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

struct Search<'a, T> {
    steps: &'a Steps<'a>,
    store: &'a Store,
    meter: &'a Meter,
    demand: &'a [Demand],
    settled: &'a Settled<'a>,
    truth: &'a T,
    /// Caps on import, if any power is charged; those of the last search.
    cap_w: Option<Vec<f64>>,
    /// Whether the search for these caps was given up: a bound under them is then not proven for all plans.
    caps_unsettled: bool,
    bound_cur: f64,
    /// What the cheapest plan so far costs, currency.
    known_cur: f64,
    certainty: Certainty,
    plans: usize,
}

impl<T: TrueCost> Search<'_, T> {
    /// Whether a plan is known that is near enough to the bound.
    fn near(&self) -> bool {
        self.known_cur - self.bound_cur <= self.settled.within_cur
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
            self.caps_unsettled = found.certainty == Certainty::Unsettled;
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
        if binding && bound_cur > self.bound_cur {
            self.bound_cur = bound_cur;
            self.certainty = if self.caps_unsettled {
                Certainty::Unsettled
            } else {
                found.certainty
            };
        }
        self.know(&found);
        Ok((line, bound_cur))
    }

    /// Takes note of what a plan costs by the true rule.
    fn know(&mut self, found: &Best) {
        let demand_cur: f64 = (self.demand.iter().zip(&found.peak_import_w))
            .map(|(charge, peak_w)| charge.cur_per_kw * peak_w / 1000.0)
            .sum();
        let cost_cur = self.truth.cost_cur(&self.truth.passed(&found.plan)) + demand_cur;
        self.known_cur = self.known_cur.min(cost_cur);
    }

    /// Takes note of what the plans of each stretch cost, mixed by their weights.
    fn know_mixed(&mut self, model: &Model<'_>) {
        let mut mixed: Vec<Vec<f64>> = (model.lines.first())
            .map(|line| line.passed.iter().map(|one| vec![0.0; one.len()]).collect())
            .unwrap_or_default();
        for (stretch, mixed) in mixed.iter_mut().enumerate() {
            let Some(weights) = model.weight.get(stretch) else {
                continue;
            };
            for (line, weight) in model.lines.iter().zip(weights) {
                let passed = line.passed.get(stretch).into_iter().flatten();
                for (mixed, passed) in mixed.iter_mut().zip(passed) {
                    *mixed += weight * passed;
                }
            }
        }
        // What a stretch begins with beyond what it is handed on is bought at the dearest price; under caps on demand it might pass
        // them, and the mixture is then no plan.
        let missing_kwh: f64 = (model.mean_energy_kwh().iter())
            .skip(self.settled.accounts.len())
            .map(|kwh| (-kwh).max(0.0))
            .sum();
        if self.cap_w.is_some() && missing_kwh > NO_KWH {
            return;
        }
        let highest = |series: &mut dyn Iterator<Item = f64>| series.fold(0.0, f64::max);
        let raises = self.settled.accounts.iter().map(|one| one.most_cur_per_kwh);
        let dear = highest(&mut self.steps.buy_cur_per_kwh.iter().copied())
            + highest(&mut raises.into_iter());
        let kept = self.store.inverter_in_efficiency * self.store.charge_efficiency;
        let cost_cur = self.truth.cost_cur(&mixed)
            + self
                .cap_w
                .as_deref()
                .map_or(0.0, |cap_w| self.capped_cur(cap_w))
            + missing_kwh * dear / kept;
        self.known_cur = self.known_cur.min(cost_cur);
    }

    /// What the highest powers cost if they are at their caps, currency.
    fn capped_cur(&self, cap_w: &[f64]) -> f64 {
        (self.demand.iter().zip(cap_w))
            .map(|(charge, cap_w)| charge.cur_per_kw * cap_w / 1000.0)
            .sum()
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
            *first_cur += self.capped_cur(cap_w);
        }
        Line {
            raise,
            constant_cur,
            energy_kwh,
            stored_kwh,
            passed: self.truth.passed(plan),
        }
    }

    /// Raises prices up the bound until a plan known is near it, nothing more is gained, or the plans are spent.
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
        while !self.near() && !self.spent() {
            let mut reach = self.reach(model);
            reach.iter_mut().for_each(|reach| *reach *= length);
            let raise = model.highest(&center.0, &reach, alike_cur);
            let foretold_cur = model.at_cur(&raise) - center.1;
            let done = foretold_cur <= 0.05 * self.settled.within_cur;
            self.know_mixed(model);
            if done && length >= LONGEST {
                break;
            }
            if done {
                // Nothing is foretold near by: it is looked for farther off.
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
    fn shared(&self, model: &Model<'_>) -> Vec<usize> {
        let days = self.steps.len().div_ceil(self.per_day());
        let mut owed: Vec<Vec<f64>> = (model.weight.iter())
            .map(|weight| vec![0.0; weight.len()])
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
    fn by_day(&self, model: &Model<'_>) -> Vec<f64> {
        let (per_day, shared) = (self.per_day(), self.shared(model));
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
