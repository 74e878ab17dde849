//! The best possible under tiers and net metering, against linear programs solved by HiGHS (`values/README.md`, section 13b; made by
//! `make_dispatch_settled.py`).
//!
//! The optimum is found between two numbers, so that the linear program must lie between them; the bound is to be within 0.1 % of what
//! passes the meter in money, the plan, which is not shown as the optimum but says how well it is known, within 0.2 %.

use couplet_core::best::{
    Account, Meter, Plan, Rise, Settled, Steps, Store, TrueCost, best_settled,
};
use couplet_core::bill::{
    CarryOver, Export, ExportPrice, MonthEnergy, Period, Surplus, Tariff, TaxOn, Tier, TiersBy,
    energy_cur,
};
use couplet_core::sky::days_of_month;
use couplet_tests::{Row, Table};

use crate::dispatch_lp::horizons;

/// The battery of the cases, as in section 13.
const STORE: Store = Store {
    least_wh: 0.0,
    most_wh: 10_000.0,
    start_wh: 2_000.0,
    end_least_wh: 2_000.0,
    end_most_wh: 2_000.0,
    charge_w: 4_000.0,
    discharge_w: 5_000.0,
    charge_efficiency: 0.97,
    discharge_efficiency: 0.98,
    inverter_out_w: 4_000.0,
    inverter_in_w: 3_000.0,
    inverter_out_efficiency: 0.955,
    inverter_in_efficiency: 0.95,
};

fn tiers(text: &str) -> Vec<Tier> {
    (text.split_whitespace())
        .map(|part| {
            let (end, price) = part.split_once(':').expect("end:price");
            Tier {
                up_to_wh: end.parse().ok().map(|kwh: f64| 1000.0 * kwh),
                cur_per_kwh: price.parse().expect("a price"),
            }
        })
        .collect()
}

fn tariff(row: &Row<'_>) -> Tariff {
    let net_metering = |carry_over| Export::NetMetering {
        carry_over,
        cash_out_cur_per_kwh: row.given("cash_out_per_kWh"),
    };
    let period = |name: &str| Period {
        tiers: tiers(row.text(name)),
        ..Period::at_one_price(name, Vec::new(), 0.0)
    };
    Tariff {
        name: "any".to_owned(),
        currency: "EUR".to_owned(),
        clock_rule: None,
        holidays: Vec::new(),
        fixed_cur_per_month: 0.0,
        fixed_cur_per_day: 0.0,
        minimum_cur_per_month: 0.0,
        periods: vec![period("evening"), period("other")],
        tiers_by: match row.text("whole") {
            "yes" => TiersBy::WholeMonth,
            _ => TiersBy::EachPeriod,
        },
        demand: Vec::new(),
        export: match row.text("netting") {
            "each" => net_metering(CarryOver::Monthly),
            "carried" => net_metering(CarryOver::Yearly { first_month: 0 }),
            _ => Export::NetBilling {
                price: ExportPrice::ByPeriod,
                surplus: Surplus::Paid,
            },
        },
        tax: 0.0,
        tax_on: TaxOn::ToPay,
    }
}

/// The account of some tiers in a stretch, above the price of the first.
fn account(stretch: usize, tiers: &[Tier], least: f64) -> Account {
    let first = tiers[0].cur_per_kwh;
    let mut from_wh = 0.0;
    let mut rises = Vec::new();
    for tier in tiers {
        if let Some(end_wh) = tier.up_to_wh {
            rises.push(Rise {
                at_cur_per_kwh: tier.cur_per_kwh - first,
                after_kwh: (end_wh - from_wh) / 1000.0,
            });
            from_wh = end_wh;
        }
    }
    Account {
        stretch,
        least_cur_per_kwh: least,
        most_cur_per_kwh: tiers[tiers.len() - 1].cur_per_kwh - first,
        rises,
    }
}

/// A plan's bill.
struct Billed<'a> {
    tariff: &'a Tariff,
    /// Twice the stretch, and the period, of each step.
    place: Vec<usize>,
}

impl TrueCost for Billed<'_> {
    fn passed(&self, plan: &Plan) -> Vec<Vec<f64>> {
        let mut passed = vec![vec![0.0; 4]; 12];
        for (step, place) in self.place.iter().enumerate() {
            passed[place / 2][2 * (place % 2)] += plan.import_w[step];
            passed[place / 2][2 * (place % 2) + 1] += plan.export_w[step];
        }
        passed
    }

    fn cost_cur(&self, passed: &[Vec<f64>]) -> f64 {
        let months: Vec<MonthEnergy> = (passed.iter())
            .map(|month| MonthEnergy {
                import_wh: vec![month[0], month[2]],
                export_wh: vec![month[1], month[3]],
                ..MonthEnergy::default()
            })
            .collect();
        energy_cur(self.tariff, &months)
    }
}

#[test]
fn optima_of_settled_energy_are_those_of_the_linear_program() {
    let horizons = horizons();
    for row in Table::reference("dispatch_settled.csv").rows() {
        let case = row.text("case_id");
        let key = (
            row.text("profile_id").to_owned(),
            row.text("price_id").to_owned(),
        );
        let net_load_w = &horizons[&key].net_load_w;
        let count = net_load_w.len();
        let stretch: Vec<usize> = match row.text("stretch_h").parse::<usize>().ok() {
            Some(hours) => (0..count).map(|step| step / hours).collect(),
            None => (0..12)
                .flat_map(|month| vec![month; 24 * days_of_month(month) as usize])
                .collect(),
        };
        let period = |step: usize| usize::from(!(16..21).contains(&(step % 24)));
        let mut tariff = tariff(&row);
        for period in &mut tariff.periods {
            period.sell_cur_per_kwh = row.given("sell_per_kWh");
        }
        let netted = matches!(tariff.export, Export::NetMetering { .. });
        let whole = tariff.tiers_by == TiersBy::WholeMonth;
        let stretches = stretch[count - 1] + 1;
        let price = |step: usize| tariff.periods[period(step)].tiers[0].cur_per_kwh;
        let mut accounts = Vec::new();
        for stretch in 0..stretches {
            for of in &tariff.periods[..if whole { 1 } else { 2 }] {
                let least = if netted {
                    row.given("cash_out_per_kWh") - of.tiers[0].cur_per_kwh
                } else {
                    0.0
                };
                accounts.push(account(stretch, &of.tiers, least));
            }
        }
        let account: Vec<usize> = (0..count)
            .map(|step| match whole {
                true => stretch[step],
                false => 2 * stretch[step] + period(step),
            })
            .collect();
        let rows: Vec<Vec<usize>> = match row.text("netting") {
            "carried" => (0..2)
                .map(|period| (0..stretches).map(|stretch| 2 * stretch + period).collect())
                .collect(),
            _ => (0..accounts.len()).map(|account| vec![account]).collect(),
        };
        let buy: Vec<f64> = (0..count).map(price).collect();
        let sell = vec![row.given("sell_per_kWh"); count];
        let steps = Steps {
            step_s: 3600.0,
            net_load_w,
            throttleable_w: &[],
            dc_pv_w: &[],
            buy_cur_per_kwh: &buy,
            sell_cur_per_kwh: &sell,
            demand_counts: &[],
        };
        let meter = Meter {
            import_w: f64::INFINITY,
            export_w: f64::INFINITY,
            grid_charge: true,
            battery_export: true,
        };
        let turnover_cur: f64 = (net_load_w.iter().zip(&buy))
            .map(|(net_w, buy)| net_w.abs() / 1000.0 * buy)
            .sum();
        let settled = Settled {
            account: &account,
            accounts: &accounts,
            rows: &rows,
            netted,
            start_kwh: &vec![0.0; accounts.len()],
            within_cur: 1e-3 * turnover_cur,
        };
        let bill = Billed {
            tariff: &tariff,
            place: (0..count)
                .map(|step| 2 * stretch[step] + period(step))
                .collect(),
        };
        let found = best_settled(&steps, &STORE, &meter, &[], &settled, &bill)
            .unwrap_or_else(|error| panic!("{case}: {error}"));
        let optimum_cur = row.given("bill_optimal");
        let rounding_cur = 1e-7 * turnover_cur;
        assert!(found.bound_cur <= optimum_cur + rounding_cur, "{case}");
        assert!(found.cost_cur >= optimum_cur - rounding_cur, "{case}");
        assert!(
            found.bound_cur >= optimum_cur - settled.within_cur,
            "{case}: {}",
            found.bound_cur
        );
        let gap_cur = found.cost_cur - found.bound_cur;
        assert!(gap_cur <= 2.0 * settled.within_cur, "{case}: {gap_cur}");
    }
}
