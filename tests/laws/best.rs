//! Laws of the best possible.

use couplet_core::best::{Best, BestError, Certainty, Demand, Meter, Steps, Store, best};
use couplet_tests::draws;
use proptest::prelude::*;

/// A horizon with everything that can bound it.
#[derive(Clone, Debug)]
struct Case {
    net_load_w: Vec<f64>,
    throttleable_w: Vec<f64>,
    dc_pv_w: Vec<f64>,
    buy_cur_per_kwh: Vec<f64>,
    sell_cur_per_kwh: Vec<f64>,
    store: Store,
    meter: Meter,
    demand: Vec<Demand>,
}

impl Case {
    fn best(&self) -> Result<Best, BestError> {
        let steps = Steps {
            step_s: 900.0,
            net_load_w: &self.net_load_w,
            throttleable_w: &self.throttleable_w,
            dc_pv_w: &self.dc_pv_w,
            buy_cur_per_kwh: &self.buy_cur_per_kwh,
            sell_cur_per_kwh: &self.sell_cur_per_kwh,
            demand_counts: &[],
        };
        best(&steps, &self.store, &self.meter, &self.demand)
    }
}

fn store() -> impl Strategy<Value = Store> {
    (
        (0.0..3000.0_f64, 0.0..9000.0_f64, 0.0..=1.0_f64),
        (
            0.0..6000.0_f64,
            0.0..6000.0_f64,
            500.0..6000.0_f64,
            0.0..6000.0_f64,
        ),
        (0.5..=1.0_f64, 0.5..=1.0_f64, 0.5..=1.0_f64, 0.5..=1.0_f64),
    )
        .prop_map(
            |((least_wh, window_wh, start), power_w, efficiency)| Store {
                least_wh,
                most_wh: least_wh + window_wh,
                start_wh: least_wh + start * window_wh,
                end_least_wh: least_wh,
                end_most_wh: least_wh + window_wh,
                charge_w: power_w.0,
                discharge_w: power_w.1,
                inverter_out_w: power_w.2,
                inverter_in_w: power_w.3,
                charge_efficiency: efficiency.0,
                discharge_efficiency: efficiency.1,
                inverter_out_efficiency: efficiency.2,
                inverter_in_efficiency: efficiency.3,
            },
        )
}

/// Any horizon of two days or less; export may be limited, as all PV can be throttled. `least_price` says how low prices go.
fn case(least_price: f64) -> impl Strategy<Value = Case> {
    let step = (
        0.0..4000.0_f64,
        0.0..6000.0_f64,
        0.0..6000.0_f64,
        least_price..0.5,
        least_price..0.5,
    );
    (
        prop::collection::vec(step, 1..192),
        store(),
        prop_oneof![Just(f64::INFINITY), Just(0.0), 0.0..5000.0_f64],
        any::<(bool, bool)>(),
        prop_oneof![Just(0.0), 0.0..10.0_f64],
    )
        .prop_map(
            |(steps, store, export_w, (grid_charge, battery_export), cur_per_kw)| Case {
                net_load_w: steps.iter().map(|step| step.0 - step.1).collect(),
                throttleable_w: steps.iter().map(|step| step.1).collect(),
                dc_pv_w: steps.iter().map(|step| step.2).collect(),
                buy_cur_per_kwh: steps.iter().map(|step| step.3).collect(),
                sell_cur_per_kwh: steps.iter().map(|step| step.4).collect(),
                store,
                meter: Meter {
                    import_w: f64::INFINITY,
                    export_w,
                    grid_charge,
                    battery_export,
                },
                demand: vec![Demand {
                    first: 0,
                    after: steps.len(),
                    cur_per_kw,
                }],
            },
        )
}

/// Prices of a usual tariff: nothing below zero, and selling never dearer than buying.
fn plain() -> impl Strategy<Value = Case> {
    case(0.0).prop_map(|mut case| {
        for (buy, sell) in case
            .buy_cur_per_kwh
            .iter_mut()
            .zip(&mut case.sell_cur_per_kwh)
        {
            (*buy, *sell) = (buy.max(*sell), buy.min(*sell));
        }
        case
    })
}

fn rounding_cur(case: &Case) -> f64 {
    // 1e-6 of what a step's largest power costs, over all steps.
    1e-6 * (1.0 + case.net_load_w.len() as f64 * 0.25 * 12.0 * 0.5)
}

proptest! {
    #![proptest_config(draws(256))]

    #[test]
    fn under_usual_prices_the_plan_costs_what_the_optimum_says(case in plain()) {
        let found = case.best().unwrap();
        prop_assert_eq!(found.certainty, Certainty::Exact);
        prop_assert!((found.cost_cur - found.plan_cost_cur).abs() < rounding_cur(&case),
            "{} and {}", found.cost_cur, found.plan_cost_cur);
        let window = case.store.least_wh - 1e-6..=case.store.most_wh + 1e-6;
        prop_assert!(found.plan.stored_wh.iter().all(|stored| window.contains(stored)));
        prop_assert!(found.plan.export_w.iter().all(|export| *export <= case.meter.export_w + 1e-6));
    }

    #[test]
    fn more_battery_never_costs_more(case in plain(), more_wh in 0.0..5000.0_f64, more_w in 0.0..2000.0_f64) {
        let less = case.best().unwrap();
        let mut larger = case.clone();
        larger.store.most_wh += more_wh;
        larger.store.end_most_wh += more_wh;
        larger.store.charge_w += more_w;
        larger.store.discharge_w += more_w;
        let more = larger.best().unwrap();
        prop_assert!(more.cost_cur <= less.cost_cur + rounding_cur(&case),
            "{} after {}", more.cost_cur, less.cost_cur);
    }

    #[test]
    fn under_odd_prices_no_plan_beats_the_bound(case in case(-0.3)) {
        let found = case.best().unwrap();
        prop_assert!(found.cost_cur <= found.plan_cost_cur + rounding_cur(&case),
            "{} above {}", found.cost_cur, found.plan_cost_cur);
        if found.certainty == Certainty::Exact {
            prop_assert!((found.cost_cur - found.plan_cost_cur).abs() < rounding_cur(&case));
        }
    }

    #[test]
    fn any_numbers_give_a_plan_or_a_reason(
        values in prop::collection::vec(prop::num::f64::ANY, 40),
        lengths in prop::collection::vec(0_usize..6, 7),
        flags in any::<(bool, bool)>(),
    ) {
        let series = |which: usize| values[which * 3..][..lengths[which]].to_vec();
        let case = Case {
            net_load_w: series(0),
            throttleable_w: series(1),
            dc_pv_w: series(2),
            buy_cur_per_kwh: series(3),
            sell_cur_per_kwh: series(4),
            store: Store {
                least_wh: values[20],
                most_wh: values[21],
                start_wh: values[22],
                end_least_wh: values[23],
                end_most_wh: values[24],
                charge_w: values[25],
                discharge_w: values[26],
                charge_efficiency: values[27],
                discharge_efficiency: values[28],
                inverter_out_w: values[29],
                inverter_in_w: values[30],
                inverter_out_efficiency: values[31],
                inverter_in_efficiency: values[32],
            },
            meter: Meter {
                import_w: values[33],
                export_w: values[34],
                grid_charge: flags.0,
                battery_export: flags.1,
            },
            demand: vec![Demand { first: lengths[5], after: lengths[6], cur_per_kw: values[35] }],
        };
        let _ = case.best();
    }
}
