//! The best possible against linear programs solved by HiGHS (`values/README.md`, section 10).
//!
//! Tolerance: 1e-6 of what storage moves in money, the tolerance stated there between two solvers of linear programs. It is
//! a hundred times closer than the 0.01 % that is asked of the optimum.

use std::collections::HashMap;

use couplet_core::best::{Certainty, Meter, Steps, Store, best};
use couplet_tests::{Row, Table, Tolerance, assert_within};

use crate::dispatch_plan::plan_cost_cur;

/// Net load, buying and selling prices of one horizon.
#[derive(Default)]
pub(crate) struct Series {
    pub(crate) net_load_w: Vec<f64>,
    pub(crate) buy_cur_per_kwh: Vec<f64>,
    pub(crate) sell_cur_per_kwh: Vec<f64>,
}

/// Every horizon of the table by profile and prices.
pub(crate) fn horizons() -> HashMap<(String, String), Series> {
    let mut horizons: HashMap<_, Series> = HashMap::new();
    for row in Table::reference("dispatch_lp_inputs.csv.gz").rows() {
        let key = (
            row.text("profile_id").to_owned(),
            row.text("price_id").to_owned(),
        );
        let series = horizons.entry(key).or_default();
        assert_eq!(
            row.given("step"),
            series.net_load_w.len() as f64,
            "{}",
            row.place()
        );
        series.net_load_w.push(row.given("net_load_W"));
        series
            .buy_cur_per_kwh
            .push(row.given("price_import_per_kWh"));
        series
            .sell_cur_per_kwh
            .push(row.given("price_export_per_kWh"));
    }
    horizons
}

/// The table's battery is limited on AC and has one efficiency each way: its inverter loses nothing.
fn store(row: &Row<'_>) -> Store {
    let ends_wh = 1000.0 * row.given("energy_initial_and_final_kWh");
    Store {
        least_wh: 0.0,
        most_wh: 1000.0 * row.given("battery_capacity_kWh"),
        start_wh: ends_wh,
        end_least_wh: ends_wh,
        end_most_wh: ends_wh,
        charge_w: f64::INFINITY,
        discharge_w: f64::INFINITY,
        charge_efficiency: row.given("eta_charge"),
        discharge_efficiency: row.given("eta_discharge"),
        inverter_out_w: 1000.0 * row.given("max_discharge_kW_ac"),
        inverter_in_w: 1000.0 * row.given("max_charge_kW_ac"),
        inverter_out_efficiency: 1.0,
        inverter_in_efficiency: 1.0,
    }
}

#[test]
fn every_optimum_is_that_of_the_linear_program_and_its_plan_reaches_it() {
    let horizons = horizons();
    for row in Table::reference("dispatch_lp.csv").rows() {
        let case = row.text("case_id");
        let key = (
            row.text("profile_id").to_owned(),
            row.text("price_id").to_owned(),
        );
        let series = horizons
            .get(&key)
            .unwrap_or_else(|| panic!("{case}: no inputs {key:?}"));
        assert_eq!(
            series.net_load_w.len() as f64,
            row.given("horizon_steps"),
            "{case}"
        );
        let steps = Steps {
            step_s: 3600.0 * row.given("step_h"),
            net_load_w: &series.net_load_w,
            throttleable_w: &[],
            dc_pv_w: &[],
            buy_cur_per_kwh: &series.buy_cur_per_kwh,
            sell_cur_per_kwh: &series.sell_cur_per_kwh,
            demand_counts: &[],
        };
        let meter = Meter {
            import_w: f64::INFINITY,
            export_w: f64::INFINITY,
            grid_charge: row.flag("grid_charge_allowed"),
            battery_export: row.flag("battery_export_allowed"),
        };
        let store = store(&row);
        let found = best(&steps, &store, &meter, &[]).unwrap_or_else(|e| panic!("{case}: {e}"));
        let tolerance = Tolerance::absolute(
            1e-6 * (row.given("saving").abs() + row.given("bill_optimal").abs()),
        );
        assert_eq!(found.certainty, Certainty::Exact, "{case}");
        assert_within(found.cost_cur, row.given("bill_optimal"), tolerance, case);
        assert_within(
            found.plan_cost_cur,
            row.given("bill_optimal"),
            tolerance,
            case,
        );
        let plan_cur = plan_cost_cur(case, &found, &steps, &store, &meter, &[]);
        assert!(
            (plan_cur - found.plan_cost_cur).abs() < 1e-7,
            "{case}: the plan costs {plan_cur}"
        );

        let unmoved = Store {
            least_wh: store.start_wh,
            most_wh: store.start_wh,
            ..store
        };
        let without = best(&steps, &unmoved, &meter, &[]).unwrap_or_else(|e| panic!("{case}: {e}"));
        let tolerance = Tolerance::either(1e-9, 1e-9);
        assert_within(
            without.cost_cur,
            row.given("bill_without_battery"),
            tolerance,
            case,
        );
    }
}
