//! The energy of a tariff in the terms of the optimum: tiers and net metering as accounts.
//!
//! An account is a month and period, or a month where tiers count all periods together. Its price is raised from the lowest of its
//! tiers toward the highest, and under net metering lowered toward what surplus is paid out at. Rising tiers and a payment for surplus that
//! is not above the price make the cost of an account convex, and the accounts are the tariff; what is otherwise is put below it.

use crate::best::{Account, Plan, Rise, TrueCost};
use crate::bill::{
    BadClock, CarryOver, Export, MonthEnergy, Period, StepPrices, Tariff, Tier, TiersBy,
    energy_cur, step_prices,
};
use crate::sky::TimeGrid;

const MONTHS: usize = 12;

/// A tariff whose energy is settled by month.
#[derive(Clone, Debug)]
pub(super) struct Settlement<'a> {
    tariff: &'a Tariff,
    prices: StepPrices,
    /// The account of each step.
    pub(super) account: Vec<usize>,
    pub(super) accounts: Vec<Account>,
    /// Accounts in the order in which surplus is carried on.
    pub(super) rows: Vec<Vec<usize>>,
    /// Whether what is sold is taken off what is bought.
    pub(super) netted: bool,
    /// Price of bought energy before raises, by step, currency per kWh.
    pub(super) buy_cur_per_kwh: Vec<f64>,
    /// Price of sold energy where it is not netted, by step, currency per kWh.
    pub(super) sell_cur_per_kwh: Vec<f64>,
    /// Whether some tiers are only bounded.
    pub(super) tiers_bounded: bool,
    /// Whether the settlement of net metering is only bounded.
    pub(super) netting_bounded: bool,
}

impl<'a> Settlement<'a> {
    /// Of a tariff with tiers or net metering; none if every kWh of a step has one price.
    ///
    /// **Errors**: the clock rule cannot be read.
    pub(super) fn of(tariff: &'a Tariff, grid: &TimeGrid) -> Result<Option<Self>, BadClock> {
        let paid_out = match &tariff.export {
            Export::NetMetering {
                cash_out_cur_per_kwh,
                ..
            } => Some(*cash_out_cur_per_kwh),
            _ => None,
        };
        let tiered = tariff.periods.iter().any(|period| period.tiers.len() > 1);
        if !tiered && paid_out.is_none() {
            return Ok(None);
        }
        let prices = step_prices(tariff, grid)?;
        let pieces: Vec<Pieces> = tariff.periods.iter().map(Pieces::below).collect();
        let periods = pieces.len();
        // Where surplus earns more than energy costs, netting bends the wrong way: there each step is priced by itself, from below.
        let dear_out =
            paid_out.is_some_and(|paid_out| pieces.iter().any(|pieces| pieces.price < paid_out));
        let netted = paid_out.is_some() && !dear_out;
        let by_month = tariff.tiers_by == TiersBy::WholeMonth && periods > 1;
        // Tiers that no account counts: those of the whole month after netting, and those whose surplus is sold at once.
        let plain = paid_out.is_some() && (by_month || dear_out);
        let mut accounts = Vec::new();
        let mut tiers_bounded = pieces.iter().any(|pieces| !pieces.exact) || plain && tiered;
        for month in 0..MONTHS {
            if by_month && !plain {
                let there: Vec<&Pieces> = (pieces.iter().enumerate())
                    .filter(|(period, _)| {
                        let mut steps = prices.time.iter().zip(&prices.period);
                        steps.any(|(time, at)| (time.month, at) == (month, period))
                    })
                    .map(|(_, pieces)| pieces)
                    .collect();
                let (account, exact) = lowest(&there).account(month, None);
                tiers_bounded |= !exact || there.windows(2).any(|two| two[0].ends != two[1].ends);
                accounts.push(account);
            } else {
                for pieces in &pieces {
                    let floor = paid_out.filter(|_| netted).map(|out| out - pieces.price);
                    let pieces = if plain { &pieces.first() } else { pieces };
                    accounts.push(pieces.account(month, floor).0);
                }
            }
        }
        let steps = prices.time.iter().zip(&prices.period);
        let account = steps
            .map(|(time, period)| match by_month && !plain {
                true => time.month,
                false => time.month * periods + period,
            })
            .collect();
        let price = |period: &usize| pieces.get(*period).map_or(0.0, |pieces| pieces.price);
        let buy_cur_per_kwh = prices.period.iter().map(price).collect();
        let sell_cur_per_kwh = match paid_out {
            // What is sold takes energy off a period that costs more than is paid out, and so earns its price there. Elsewhere it earns
            // what is paid out, or takes off the dearest tier.
            Some(paid_out) if dear_out => {
                let sell = |period: &usize| match price(period) {
                    price if price >= paid_out => price,
                    _ => dearest_tier(tariff, *period).max(paid_out),
                };
                prices.period.iter().map(sell).collect()
            }
            Some(paid_out) => vec![paid_out; prices.period.len()],
            None => prices.sell_cur_per_kwh.clone(),
        };
        Ok(Some(Self {
            tariff,
            account,
            rows: rows(tariff, netted, accounts.len(), periods),
            accounts,
            netted,
            buy_cur_per_kwh,
            sell_cur_per_kwh,
            tiers_bounded,
            netting_bounded: dear_out,
            prices,
        }))
    }

    /// What passed each account, kWh.
    ///
    /// - `meter_w`: bought or, below 0, sold, by step
    /// - `step_h`: length of a step, hours
    pub(super) fn passed_kwh(&self, meter_w: &[f64], step_h: f64) -> Vec<f64> {
        let mut passed_kwh = vec![0.0; self.accounts.len()];
        for (meter_w, account) in meter_w.iter().zip(&self.account) {
            let counted_w = if self.netted {
                *meter_w
            } else {
                meter_w.max(0.0)
            };
            if let Some(passed_kwh) = passed_kwh.get_mut(*account) {
                *passed_kwh += counted_w * step_h / 1000.0;
            }
        }
        passed_kwh
    }

    /// The tariff's rule for plans in means of so many steps.
    ///
    /// - `step_h`: length of a step of the plan, hours
    /// - `per`: steps of the tariff in a step of the plan
    pub(super) fn rule(&self, step_h: f64, per: usize) -> Rule<'_> {
        Rule {
            settlement: self,
            step_h,
            per: per.max(1),
        }
    }
}

/// What a tariff makes of plans.
pub(super) struct Rule<'a> {
    settlement: &'a Settlement<'a>,
    step_h: f64,
    per: usize,
}

impl TrueCost for Rule<'_> {
    /// For each month what is bought in each period, what is sold, and what that earns at hourly prices.
    fn passed(&self, plan: &Plan) -> Vec<Vec<f64>> {
        let (prices, periods) = (
            &self.settlement.prices,
            self.settlement.tariff.periods.len(),
        );
        let mut passed = vec![vec![0.0; 2 * periods + 1]; MONTHS];
        for (step, (import_w, export_w)) in plan.import_w.iter().zip(&plan.export_w).enumerate() {
            let at = step * self.per;
            let (Some(time), Some(period)) = (prices.time.get(at), prices.period.get(at)) else {
                continue;
            };
            let sell = prices.sell_cur_per_kwh.get(at).copied().unwrap_or(0.0);
            let sold_wh = export_w * self.step_h;
            let Some(of_month) = passed.get_mut(time.month) else {
                continue;
            };
            for (place, amount) in [
                (*period, import_w * self.step_h),
                (periods + period, sold_wh),
                (2 * periods, sold_wh / 1000.0 * sell),
            ] {
                if let Some(passed) = of_month.get_mut(place) {
                    *passed += amount;
                }
            }
        }
        passed
    }

    fn cost_cur(&self, passed: &[Vec<f64>]) -> f64 {
        let periods = self.settlement.tariff.periods.len();
        let months: Vec<MonthEnergy> = passed
            .iter()
            .filter_map(|month| {
                Some(MonthEnergy {
                    import_wh: month.get(..periods)?.to_vec(),
                    export_wh: month.get(periods..2 * periods)?.to_vec(),
                    hourly_credit_cur: *month.get(2 * periods)?,
                    peak_w: Vec::new(),
                })
            })
            .collect();
        energy_cur(self.settlement.tariff, &months)
    }
}

/// Accounts by row: one each, but under a yearly settlement those of a period, month after month.
fn rows(tariff: &Tariff, netted: bool, accounts: usize, periods: usize) -> Vec<Vec<usize>> {
    let yearly = matches!(
        tariff.export,
        Export::NetMetering {
            carry_over: CarryOver::Yearly { .. },
            ..
        }
    );
    if !(netted && yearly) {
        return (0..accounts).map(|account| vec![account]).collect();
    }
    let month = |place: usize| (tariff.first_month() + place) % MONTHS;
    (0..periods)
        .map(|period| {
            (0..MONTHS)
                .map(|place| month(place) * periods + period)
                .collect()
        })
        .collect()
}

/// The highest price of a period's tiers, currency per kWh.
fn dearest_tier(tariff: &Tariff, period: usize) -> f64 {
    (tariff.periods.get(period).into_iter())
        .flat_map(|period| &period.tiers)
        .map(|tier| tier.cur_per_kwh)
        .fold(f64::NEG_INFINITY, f64::max)
}

/// Marginal prices that do not fall with energy.
#[derive(Clone, Debug, Default, PartialEq)]
struct Pieces {
    /// Price of the first kWh, currency per kWh.
    price: f64,
    /// Ends of the pieces but the last, Wh, with how much dearer than the first kWh the piece is, currency per kWh.
    ends: Vec<(f64, f64)>,
    /// How much dearer the last piece is, currency per kWh.
    last: f64,
    /// Whether they are the tiers themselves.
    exact: bool,
}

impl Pieces {
    /// The dearest that are nowhere above the tiers of a period: a tier counts at the lowest price of those from it on.
    fn below(period: &Period) -> Self {
        let mut tiers: Vec<Tier> = period.tiers.clone();
        let mut least = f64::INFINITY;
        for tier in tiers.iter_mut().rev() {
            least = least.min(tier.cur_per_kwh);
            tier.cur_per_kwh = least;
        }
        let price = tiers.first().map_or(0.0, |tier| tier.cur_per_kwh);
        let ends = (tiers.iter().take(tiers.len().saturating_sub(1)))
            .filter_map(|tier| Some((tier.up_to_wh?, tier.cur_per_kwh - price)))
            .collect();
        Self {
            price,
            ends,
            last: tiers.last().map_or(0.0, |tier| tier.cur_per_kwh - price),
            exact: tiers == period.tiers,
        }
    }

    /// The first kWh's price for all.
    fn first(&self) -> Self {
        Self {
            price: self.price,
            ..Self::default()
        }
    }

    /// How much dearer it is from some energy on, currency per kWh.
    fn dearer_at(&self, energy_wh: f64) -> f64 {
        let piece = self.ends.iter().find(|(end_wh, _)| energy_wh < *end_wh);
        piece.map_or(self.last, |(_, dearer)| *dearer)
    }

    /// The account of a month, and whether it says all that the pieces say.
    ///
    /// - `floor`: how far the price may be lowered where surplus counts, currency per kWh
    fn account(&self, month: usize, floor: Option<f64>) -> (Account, bool) {
        let mut from_wh = 0.0;
        let rises = (self.ends.iter())
            .map(|(end_wh, dearer)| {
                let rise = Rise {
                    at_cur_per_kwh: *dearer,
                    after_kwh: (end_wh - from_wh) / 1000.0,
                };
                from_wh = *end_wh;
                rise
            })
            .collect();
        // A price below zero has no bound in the optimum, and one that is held above what surplus earns still bounds.
        let least = floor.map_or(0.0, |floor| floor.max(-self.price.max(0.0)));
        let account = Account {
            stretch: month,
            least_cur_per_kwh: least.min(0.0),
            most_cur_per_kwh: self.last,
            rises,
        };
        (account, self.exact)
    }
}

/// At any energy of the month the least rise of any of the periods: what they have in common.
fn lowest(periods: &[&Pieces]) -> Pieces {
    let mut ends_wh: Vec<f64> = (periods.iter())
        .flat_map(|pieces| pieces.ends.iter().map(|(end_wh, _)| *end_wh))
        .collect();
    ends_wh.sort_by(f64::total_cmp);
    ends_wh.dedup();
    let least_at = |energy_wh: f64| {
        (periods.iter())
            .map(|pieces| pieces.dearer_at(energy_wh))
            .fold(f64::INFINITY, f64::min)
    };
    let mut from_wh = 0.0;
    let mut ends = Vec::with_capacity(ends_wh.len());
    for end_wh in &ends_wh {
        ends.push((*end_wh, least_at(from_wh)));
        from_wh = *end_wh;
    }
    let last = least_at(f64::INFINITY);
    Pieces {
        price: 0.0,
        ends,
        last: if last.is_finite() { last } else { 0.0 },
        exact: periods.iter().all(|pieces| pieces.exact),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn period(tiers: &[(f64, f64)], last: f64) -> Period {
        let tier = |up_to_wh, cur_per_kwh| Tier {
            up_to_wh,
            cur_per_kwh,
        };
        let mut period = Period::at_one_price("any", Vec::new(), last);
        period.tiers = (tiers.iter())
            .map(|(end_wh, price)| tier(Some(*end_wh), *price))
            .chain([tier(None, last)])
            .collect();
        period
    }

    #[test]
    fn tiers_that_fall_count_at_the_lowest_price_to_come() {
        let rising = Pieces::below(&period(&[(1e5, 0.10), (3e5, 0.16)], 0.25));
        assert!(rising.exact);
        let (account, _) = rising.account(4, None);
        assert_eq!(account.rises.len(), 2);
        assert!((account.rises[1].at_cur_per_kwh - 0.06).abs() < 1e-12);
        assert_eq!(account.rises[1].after_kwh, 200.0);
        assert!((account.most_cur_per_kwh - 0.15).abs() < 1e-12);
        let falling = Pieces::below(&period(&[(1e5, 0.20), (3e5, 0.12)], 0.15));
        assert!(!falling.exact);
        assert_eq!(falling.price, 0.12);
        assert!((falling.last - 0.03).abs() < 1e-12);
    }

    #[test]
    fn periods_of_a_whole_month_share_what_rises_in_all_of_them() {
        let one = Pieces::below(&period(&[(1e5, 0.10)], 0.20));
        let other = Pieces::below(&period(&[(2e5, 0.30)], 0.35));
        let both = lowest(&[&one, &other]);
        assert_eq!(both.dearer_at(1.5e5), 0.0);
        assert!((both.dearer_at(2.5e5) - 0.05).abs() < 1e-12);
    }
}
