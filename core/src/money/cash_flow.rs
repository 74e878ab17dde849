//! Money year by year.

use serde::{Deserialize, Serialize};

use super::amount::{MinorUnit, Money};
use super::loan::Loan;
use super::measure::{
    Irr, discounted, irr, net_present_value_cur, payback_first_years, payback_last_years,
};

const PAYMENTS_PER_YEAR: u32 = 12;
/// No house and no battery is planned for longer; more years count as these.
const MOST_YEARS: usize = 100;

/// Something bought at the start.
#[derive(Clone, Debug, PartialEq)]
pub struct CostLine {
    /// What it is.
    pub name: String,
    /// What it costs, currency.
    pub cur: f64,
}

/// Money that someone else gives.
#[derive(Clone, Debug, PartialEq)]
pub struct Incentive {
    /// What it is.
    pub name: String,
    /// How it is reckoned.
    pub kind: IncentiveKind,
}

/// How an incentive is reckoned.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum IncentiveKind {
    /// A fixed amount at the start, currency.
    Amount(f64),
    /// A share of what is still to pay after the incentives before it.
    ShareOfRest {
        /// The share, 0 to 1.
        share: f64,
        /// Most that is given, currency; infinite: no limit.
        most_cur: f64,
        /// Year in which it comes: 0 is the start.
        year: usize,
    },
    /// The same amount at the end of each of the first years.
    Yearly {
        /// Amount, currency.
        cur: f64,
        /// Number of years.
        years: usize,
    },
}

/// Something that must be bought again, or that need not be bought again any more.
#[derive(Clone, Debug, PartialEq)]
pub struct Replacement {
    /// What it is.
    pub name: String,
    /// Year at whose end it is paid, from 1.
    pub year: usize,
    /// What it costs at today's prices, currency; negative: the project saves buying it.
    pub cur: f64,
}

/// What is assumed of the years to come, as shares per year.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Rates {
    /// Growth of the prices of energy.
    pub energy_price_growth: f64,
    /// Growth of all other prices: upkeep and replacements.
    pub price_growth: f64,
    /// What money could earn otherwise.
    pub discount_rate: f64,
}

/// What a year brings at today's prices.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct YearYield {
    /// Bill without the project, currency.
    pub bill_before_cur: f64,
    /// Bill with it, currency.
    pub bill_after_cur: f64,
    /// Energy given out of store, Wh.
    pub stored_wh: f64,
}

/// An option as an investment.
#[derive(Clone, Debug, PartialEq)]
pub struct Project {
    /// Decimals of the currency.
    pub minor_unit: MinorUnit,
    /// Years looked at, up to 100.
    pub years: usize,
    /// What is bought at the start.
    pub costs: Vec<CostLine>,
    /// Incentives in the order in which they are reckoned.
    pub incentives: Vec<Incentive>,
    /// A loan for part of the cost, paid monthly at the end of the month.
    pub loan: Option<Loan>,
    /// Upkeep in the first year, currency.
    pub upkeep_cur_per_year: f64,
    /// What must be bought again.
    pub replacements: Vec<Replacement>,
    /// What each year brings, the first one first; the last one holds on. None: the project changes no bill.
    pub yields: Vec<YearYield>,
    /// What is assumed.
    pub rates: Rates,
}

/// One year of a cash flow; what is paid is negative. Year 0 is the start.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct YearRow {
    /// Bought at the start.
    pub costs: Money,
    /// Incentives received.
    pub incentives: Money,
    /// Lent, less paid back with interest.
    pub loan: Money,
    /// Upkeep.
    pub upkeep: Money,
    /// Replacements.
    pub replacements: Money,
    /// Bill without the project; it is no part of the sum.
    pub bill_before: Money,
    /// Bill with it; it is no part of the sum.
    pub bill_after: Money,
    /// Saved on the bill: the first less the second.
    pub saving: Money,
    /// Costs, incentives, loan, upkeep, replacements and saving.
    pub net: Money,
    /// All up to this year.
    pub sum: Money,
}

/// The cash flow of a project and what it comes to.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CashFlow {
    /// One row per year from 0.
    pub rows: Vec<YearRow>,
    /// Value today of all rows, currency.
    pub net_present_value_cur: f64,
    /// Internal rate of return.
    pub irr: Irr,
    /// First time that the sum reaches 0, years; none: not within the years looked at.
    pub payback_years: Option<f64>,
    /// From when on it stays there, years.
    pub lasting_payback_years: Option<f64>,
    /// First time that the sum of the discounted rows reaches 0, years.
    pub discounted_payback_years: Option<f64>,
    /// All that is paid (costs less incentives, upkeep, replacements) over all energy given out of store, both discounted,
    /// currency per kWh; none without stored energy. The loan is left out: the discount rate is the price of money here.
    pub stored_cur_per_kwh: Option<f64>,
}

/// The cash flow of a project. Every line is rounded to the minor unit, so that rows and columns add up exactly.
#[must_use]
pub fn cash_flow(project: &Project) -> CashFlow {
    let round = |cur: f64| project.minor_unit.round(cur);
    let rates = &project.rates;
    let years = project.years.min(MOST_YEARS);
    let mut rows = vec![YearRow::default(); years + 1];
    pay_start(project, &mut rows);

    let (mut prices, mut energy_prices) = (1.0, 1.0);
    let mut stored_kwh = vec![0.0; years + 1];
    let mut sum = Money::ZERO;
    for (year, row) in rows.iter_mut().enumerate() {
        if year > 0 {
            let brought = project.yields.get(year - 1).or(project.yields.last());
            let brought = brought.copied().unwrap_or_default();
            if let Some(kwh) = stored_kwh.get_mut(year) {
                *kwh = brought.stored_wh / 1000.0;
            }
            row.upkeep = -round(project.upkeep_cur_per_year * prices);
            row.bill_before = round(brought.bill_before_cur * energy_prices);
            row.bill_after = round(brought.bill_after_cur * energy_prices);
            row.saving = row.bill_before - row.bill_after;
            energy_prices *= 1.0 + rates.energy_price_growth;
            prices *= 1.0 + rates.price_growth;
            let due = project
                .replacements
                .iter()
                .filter(|replaced| replaced.year == year);
            row.replacements = due.map(|replaced| -round(replaced.cur * prices)).sum();
        }
        if let Some(loan) = &project.loan {
            let year = u32::try_from(year).unwrap_or(u32::MAX);
            row.loan = match year {
                0 => round(loan.principal_cur),
                _ => -round(loan.paid_in_year_cur(year, PAYMENTS_PER_YEAR)),
            };
        }
        row.net =
            row.costs + row.incentives + row.loan + row.upkeep + row.replacements + row.saving;
        sum += row.net;
        row.sum = sum;
    }

    let in_cur = |money: fn(&YearRow) -> Money| -> Vec<f64> {
        rows.iter()
            .map(|row| project.minor_unit.cur(money(row)))
            .collect()
    };
    let flows_cur = in_cur(|row| row.net);
    let paid_cur = in_cur(|row| -(row.costs + row.incentives + row.upkeep + row.replacements));
    let stored_kwh = net_present_value_cur(rates.discount_rate, &stored_kwh);
    CashFlow {
        net_present_value_cur: net_present_value_cur(rates.discount_rate, &flows_cur),
        irr: irr(&flows_cur),
        payback_years: payback_first_years(&flows_cur),
        lasting_payback_years: payback_last_years(&flows_cur),
        discounted_payback_years: payback_first_years(&discounted(rates.discount_rate, &flows_cur)),
        stored_cur_per_kwh: (stored_kwh > 0.0)
            .then(|| net_present_value_cur(rates.discount_rate, &paid_cur) / stored_kwh),
        rows,
    }
}

/// Costs and incentives, each in its year. An incentive in a year that is not looked at is left out.
fn pay_start(project: &Project, rows: &mut [YearRow]) {
    let round = |cur: f64| project.minor_unit.round(cur);
    let cost: Money = project.costs.iter().map(|line| round(line.cur)).sum();
    let mut rest = cost;
    let mut receive = |year: usize, money: Money| {
        if let Some(row) = rows.get_mut(year) {
            row.incentives += money;
        }
    };
    for incentive in &project.incentives {
        match incentive.kind {
            IncentiveKind::Amount(cur) => {
                let given = round(cur).min(rest.max(Money::ZERO));
                receive(0, given);
                rest = rest - given;
            }
            IncentiveKind::ShareOfRest {
                share,
                most_cur,
                year,
            } => {
                let given = round((share * project.minor_unit.cur(rest)).min(most_cur));
                receive(year, given);
                rest = rest - given;
            }
            IncentiveKind::Yearly { cur, years } => {
                (1..=years.min(MOST_YEARS)).for_each(|year| receive(year, round(cur)));
            }
        }
    }
    if let Some(start) = rows.first_mut() {
        start.costs = -cost;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn project() -> Project {
        Project {
            minor_unit: MinorUnit::default(),
            years: 3,
            costs: vec![
                CostLine {
                    name: "battery".into(),
                    cur: 8000.0,
                },
                CostLine {
                    name: "work".into(),
                    cur: 2000.0,
                },
            ],
            incentives: vec![
                Incentive {
                    name: "grant".into(),
                    kind: IncentiveKind::Amount(1000.0),
                },
                Incentive {
                    name: "tax credit".into(),
                    kind: IncentiveKind::ShareOfRest {
                        share: 0.3,
                        most_cur: f64::INFINITY,
                        year: 1,
                    },
                },
                Incentive {
                    name: "bonus".into(),
                    kind: IncentiveKind::Yearly {
                        cur: 50.0,
                        years: 2,
                    },
                },
            ],
            loan: None,
            upkeep_cur_per_year: 100.0,
            replacements: vec![Replacement {
                name: "fan".into(),
                year: 2,
                cur: 200.0,
            }],
            yields: [1.0, 0.99, 0.9801]
                .map(|kept| YearYield {
                    bill_before_cur: 1700.0,
                    bill_after_cur: 1700.0 - 1500.0 * kept,
                    stored_wh: 3_000_000.0 * kept,
                })
                .to_vec(),
            rates: Rates {
                energy_price_growth: 0.04,
                price_growth: 0.02,
                discount_rate: 0.05,
            },
        }
    }

    /// By hand. Year 0: -10000 + 1000. Year 1: 30 % of 9000 + 50 - 100 + 1500. Year 2: 50 - 102 - 200 · 1.02² + 1500 · 1.04 ·
    /// 0.99 (1544.40). Year 3: -104.04 + 1500 · 1.04² · 0.99² = 1590.11.
    #[test]
    fn a_cash_flow_is_what_one_reckons_by_hand() {
        let flow = cash_flow(&project());
        let net: Vec<i64> = flow.rows.iter().map(|row| row.net.minor()).collect();
        assert_eq!(
            net,
            [
                -900_000,
                270_000 + 5000 - 10_000 + 150_000,
                5000 - 10_200 - 20_808 + 154_440,
                -10_404 + 159_011
            ]
        );
        assert_eq!(flow.rows[3].sum.minor(), net.iter().sum::<i64>());
        assert_eq!(flow.rows[2].bill_before.minor(), 176_800);
        assert_eq!(flow.payback_years, None);
        // Paid: 9000 - 2650/1.05 - ... over 3000 kWh in three fading years; the terms are discounted one by one.
        let paid = 9000.0
            + (100.0 - 2700.0 - 50.0) / 1.05
            + (102.0 + 208.08 - 50.0) / 1.1025
            + 104.04 / 1.157_625;
        let kwh = 3000.0 / 1.05 + 2970.0 / 1.1025 + 2940.3 / 1.157_625;
        assert!((flow.stored_cur_per_kwh.unwrap() - paid / kwh).abs() < 1e-12);
    }

    #[test]
    fn a_loan_at_the_discount_rate_changes_the_value_today_by_little() {
        let mut with = project();
        with.years = 10;
        let without_cur = cash_flow(&with).net_present_value_cur;
        with.loan = Some(Loan {
            principal_cur: 6000.0,
            rate_per_period: 0.0,
            periods: 60,
            balloon_cur: 0.0,
            due: super::super::Due::End,
        });
        let flow = cash_flow(&with);
        let lent: Vec<i64> = flow.rows.iter().map(|row| row.loan.minor()).collect();
        assert_eq!(
            lent[..7],
            [600_000, -120_000, -120_000, -120_000, -120_000, -120_000, 0]
        );
        // A loan free of interest is worth the discount of its payments: 6000 - 1200 (1 - 1.05⁻⁵) / 0.05 = 804.63.
        assert!((flow.net_present_value_cur - without_cur - 804.63).abs() < 0.005);
    }
}
