//! The best possible under limits, with DC-joined PV and with demand charges, against linear programs solved by HiGHS
//! (`values/README.md`, section 13; made by `make_dispatch_limits.py`).
//!
//! Tolerance: 1e-6 of the bill and of what storage saves, as between two solvers. With several demand charges each cap is
//! narrowed to 1e-8 and the search ends when a round gains less than 1e-8: 1e-5 is allowed there, a tenth of the 0.01 % that
//! is asked for.

use couplet_core::best::{Certainty, Demand, Meter, Steps, Store, best};
use couplet_core::sky::days_of_month;
use couplet_tests::{Row, Table, Tolerance, assert_within};

use crate::dispatch_lp::{Series, horizons};
use crate::dispatch_plan::plan_cost_cur;

fn store(row: &Row<'_>) -> Store {
    Store {
        least_wh: 0.0,
        most_wh: row.given("capacity_Wh"),
        start_wh: row.given("start_Wh"),
        end_least_wh: row.given("start_Wh"),
        end_most_wh: row.given("start_Wh"),
        charge_w: row.given("charge_W"),
        discharge_w: row.given("discharge_W"),
        charge_efficiency: row.given("eta_charge"),
        discharge_efficiency: row.given("eta_discharge"),
        inverter_out_w: row.given("inverter_out_W"),
        inverter_in_w: row.given("inverter_in_W"),
        inverter_out_efficiency: row.given("eta_out"),
        inverter_in_efficiency: row.given("eta_in"),
    }
}

fn demand(row: &Row<'_>, steps: usize) -> Vec<Demand> {
    let lengths: Vec<usize> = match row.text("demand_periods") {
        "none" => Vec::new(),
        "whole" => vec![steps],
        "days" => vec![24; steps / 24],
        "months" => (0..12)
            .map(|month| 24 * days_of_month(month) as usize)
            .collect(),
        other => panic!("{}: unknown periods {other}", row.place()),
    };
    let mut after = 0;
    lengths
        .into_iter()
        .map(|length| {
            after += length;
            Demand {
                first: after - length,
                after,
                cur_per_kw: row.given("demand_per_kW"),
            }
        })
        .collect()
}

#[test]
fn optima_under_limits_with_dc_pv_and_demand_are_those_of_the_linear_program() {
    let horizons = horizons();
    for row in Table::reference("dispatch_limits.csv").rows() {
        let case = row.text("case_id");
        let key = (
            row.text("profile_id").to_owned(),
            row.text("price_id").to_owned(),
        );
        let Series {
            net_load_w,
            buy_cur_per_kwh,
            sell_cur_per_kwh,
        } = horizons
            .get(&key)
            .unwrap_or_else(|| panic!("{case}: no inputs {key:?}"));
        let surplus = |share: f64| -> Vec<f64> {
            net_load_w
                .iter()
                .map(|net_w| share * (-net_w).max(0.0))
                .collect()
        };
        let (throttleable_w, dc_pv_w) = (
            surplus(row.given("throttleable_share")),
            surplus(row.given("dc_pv_share")),
        );
        let steps = Steps {
            step_s: 3600.0,
            net_load_w,
            throttleable_w: &throttleable_w,
            dc_pv_w: &dc_pv_w,
            buy_cur_per_kwh,
            sell_cur_per_kwh,
            demand_counts: &[],
        };
        let meter = Meter {
            import_w: row.number("import_limit_W").unwrap_or(f64::INFINITY),
            export_w: row.number("export_limit_W").unwrap_or(f64::INFINITY),
            grid_charge: true,
            battery_export: true,
        };
        let (store, demand) = (store(&row), demand(&row, net_load_w.len()));
        let found = best(&steps, &store, &meter, &demand).unwrap_or_else(|e| panic!("{case}: {e}"));
        assert_eq!(found.certainty, Certainty::Exact, "{case}");

        let optimum_cur = row.given("bill_optimal");
        let saving_cur = row
            .number("bill_no_battery")
            .map_or(0.0, |bill| bill - optimum_cur);
        let share = if demand.len() > 1 { 1e-5 } else { 1e-6 };
        let tolerance = Tolerance::absolute(share * (optimum_cur.abs() + saving_cur.abs()));
        assert_within(found.cost_cur, optimum_cur, tolerance, case);
        assert_within(found.plan_cost_cur, optimum_cur, tolerance, case);
        let plan_cur = plan_cost_cur(case, &found, &steps, &store, &meter, &demand);
        assert_within(
            plan_cur,
            found.plan_cost_cur,
            Tolerance::either(1e-9, 1e-7),
            case,
        );

        if let Some(bill_cur) = row.number("bill_no_battery") {
            let none = Store {
                most_wh: 0.0,
                start_wh: 0.0,
                end_least_wh: 0.0,
                end_most_wh: 0.0,
                ..store
            };
            let without =
                best(&steps, &none, &meter, &demand).unwrap_or_else(|e| panic!("{case}: {e}"));
            assert_within(
                without.cost_cur,
                bill_cur,
                Tolerance::either(1e-6, 1e-6),
                case,
            );
        }
    }
}
