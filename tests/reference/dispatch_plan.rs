//! A plan of the best possible, judged from its powers alone.

use couplet_core::best::{Best, Demand, Meter, Steps, Store};

/// What the plan costs, currency, after it was seen to keep every limit and to close every step's balance.
pub(crate) fn plan_cost_cur(
    case: &str,
    found: &Best,
    steps: &Steps<'_>,
    store: &Store,
    meter: &Meter,
    demand: &[Demand],
) -> f64 {
    const ROUNDING_W: f64 = 1e-5;
    let (plan, step_h) = (&found.plan, steps.step_s / 3600.0);
    // A series that is empty is 0 throughout.
    let at = |series: &[f64], index: usize| series.get(index).copied().unwrap_or(0.0);
    let mut stored_wh = store.start_wh;
    let mut cost_cur = 0.0;
    for (index, net_w) in steps.net_load_w.iter().copied().enumerate() {
        let place = format!("{case} step {index}");
        let (battery_w, inverter_w) = (plan.battery_w[index], plan.inverter_ac_w[index]);
        let (import_w, export_w) = (plan.import_w[index], plan.export_w[index]);
        let (ac_cut_w, dc_cut_w) = (plan.ac_throttled_w[index], plan.dc_throttled_w[index]);
        let dc_pv_w = at(steps.dc_pv_w, index);
        let inverter_dc_w = if inverter_w > 0.0 {
            inverter_w / store.inverter_out_efficiency
        } else {
            inverter_w * store.inverter_in_efficiency
        };
        let ac_gap_w = import_w - export_w + inverter_w - net_w - ac_cut_w;
        let dc_gap_w = dc_pv_w - dc_cut_w + battery_w - inverter_dc_w;
        assert!(
            ac_gap_w.abs() < ROUNDING_W && dc_gap_w.abs() < ROUNDING_W,
            "{place}"
        );
        let or_free = |is_free: bool, limit_w: f64| if is_free { f64::INFINITY } else { limit_w };
        for (value_w, limit_w) in [
            (import_w, meter.import_w),
            (import_w, or_free(meter.grid_charge, net_w.max(0.0))),
            (export_w, meter.export_w),
            (export_w, or_free(meter.battery_export, (-net_w).max(0.0))),
            (ac_cut_w, at(steps.throttleable_w, index)),
            (dc_cut_w, dc_pv_w),
            (battery_w, store.discharge_w),
            (-battery_w, store.charge_w),
            (inverter_w, store.inverter_out_w),
            (-inverter_w, store.inverter_in_w),
        ] {
            assert!(
                value_w <= limit_w + ROUNDING_W,
                "{place}: {value_w} above {limit_w}"
            );
        }
        assert!(
            import_w >= 0.0 && export_w >= 0.0 && ac_cut_w >= 0.0 && dc_cut_w >= 0.0,
            "{place}"
        );
        assert!(
            import_w * export_w == 0.0,
            "{place}: bought and sold at once"
        );
        stored_wh += if battery_w > 0.0 {
            -battery_w * step_h / store.discharge_efficiency
        } else {
            -battery_w * step_h * store.charge_efficiency
        };
        assert!(
            (stored_wh - plan.stored_wh[index]).abs() < ROUNDING_W,
            "{place}"
        );
        assert!(
            (-ROUNDING_W..=store.most_wh + ROUNDING_W).contains(&stored_wh),
            "{place}"
        );
        cost_cur += step_h / 1000.0
            * (import_w * steps.buy_cur_per_kwh[index] - export_w * steps.sell_cur_per_kwh[index]);
    }
    assert!(
        (stored_wh - store.end_least_wh).abs() < ROUNDING_W,
        "{case}: ends at {stored_wh} Wh"
    );
    for charge in demand {
        let peak_w = plan.import_w[charge.first..charge.after]
            .iter()
            .copied()
            .fold(0.0, f64::max);
        cost_cur += charge.cur_per_kw * peak_w / 1000.0;
    }
    cost_cur
}
