//! The storage of an option as one battery behind one inverter whose losses are straight lines, from the cheap side.
//!
//! A run of the hardware must be a plan of this battery, or waste more than one. So for each storage unit the loss law
//! `loss(p) = p0 + k1 |p| + k2 p² / P` is replaced by its tangent at a power `p1`, which is nowhere above it:
//! `c + s |p|` with `s = k1 + 2 k2 p1 / P` and `c = p0 - k2 p1² / P`. The standing part `c` is drawn at every step and joins the loads as
//! `c / (1 + s)`: with `a = p + c / (1 + s)` the DC power is `p + c + s |p|`, which is not below `a + s |a|`. What remains is an inverter of
//! constant efficiencies, `1 / (1 + s)` toward AC and `1 - s` toward DC.
//!
//! Units are pooled: limits and energies are added, efficiencies are the best of any. Plans of single units added up are plans of the
//! pool, because the pool's losses are those of the best unit and it never charges and discharges at once.
//!
//! Derived: as above. `p1` is the mean of the unit's power over the run, not above the power of peak efficiency, where `c` would turn
//! negative.

use crate::best::{Meter, Steps, Store};
use crate::converter::LossLaw;
use crate::year::{Scene, YearRun};

/// What the optimum is asked for, made from a run.
#[derive(Clone, Debug)]
pub(super) struct Relaxed {
    /// Length of a step, s.
    pub(super) step_s: f64,
    /// Loads and standing losses, W.
    pub(super) load_w: Vec<f64>,
    /// AC PV that could be had, W.
    pub(super) ac_pv_w: Vec<f64>,
    /// DC PV that could be had at the DC buses, W.
    pub(super) dc_pv_w: Vec<f64>,
    /// All units as one; the stored energy counts from the lowest permitted state.
    pub(super) store: Store,
    /// What may pass the meter.
    pub(super) meter: Meter,
    /// Energy of all batteries, Wh.
    pub(super) usable_wh: f64,
}

/// Straight lines below a loss law.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Tangent {
    /// Loss in proportion to power.
    slope: f64,
    /// Standing loss, W.
    standing_w: f64,
}

impl Tangent {
    fn at(law: &LossLaw, power_w: f64) -> Self {
        if law.rated_w <= 0.0 || law.quadratic <= 0.0 {
            return Self {
                slope: law.linear,
                standing_w: law.no_load_w,
            };
        }
        let q = law.quadratic / law.rated_w;
        // Where the loss is smallest against power; the tangent there goes through zero.
        let peak_w = libm::sqrt(law.no_load_w / q);
        let at_w = power_w.clamp(0.0, peak_w);
        Self {
            slope: law.linear + 2.0 * q * at_w,
            standing_w: (law.no_load_w - q * at_w * at_w).max(0.0),
        }
    }
}

impl Relaxed {
    /// Of an option that has storage, under a utility.
    pub(super) fn new(scene: &Scene, run: &YearRun) -> Self {
        let (plant, flows) = (run.plant(), &run.flows);
        let steps = scene.grid.len();
        let mut load_w: Vec<f64> = (scene.load_grid_side_w.iter())
            .zip(scene.load_backed_up_w.iter())
            .map(|(grid_side_w, backed_up_w)| grid_side_w + backed_up_w)
            .collect();
        let (mut ac_pv_w, mut dc_pv_w) = (vec![0.0; steps], vec![0.0; steps]);
        for flow in &flows.inverters {
            for (sum_w, (given_w, cut_w)) in
                ac_pv_w.iter_mut().zip(flow.ac_w.iter().zip(&flow.cut_w))
            {
                *sum_w += given_w + cut_w;
            }
        }
        let mut store = Store {
            least_wh: 0.0,
            most_wh: 0.0,
            start_wh: 0.0,
            end_least_wh: 0.0,
            end_most_wh: 0.0,
            charge_w: 0.0,
            discharge_w: 0.0,
            charge_efficiency: 0.0,
            discharge_efficiency: 0.0,
            inverter_out_w: 0.0,
            inverter_in_w: 0.0,
            inverter_out_efficiency: 0.0,
            inverter_in_efficiency: 0.0,
        };
        let mut standing_ac_w = 0.0;
        let units = plant
            .units
            .iter()
            .zip(&flows.units)
            .zip(&run.option.storage);
        for ((unit, flow), sheet) in units {
            for (sum_w, (taken_w, throttled_w)) in dc_pv_w
                .iter_mut()
                .zip(flow.dc_pv_w.iter().zip(&flow.throttled_w))
            {
                *sum_w += taken_w + throttled_w * unit.mppt_efficiency;
            }
            #[expect(clippy::cast_precision_loss, reason = "steps of a year")]
            let mean_w =
                flow.ac_w.iter().map(|power_w| power_w.abs()).sum::<f64>() / steps.max(1) as f64;
            let Tangent { slope, standing_w } = Tangent::at(&unit.law, mean_w);
            let (out_efficiency, in_efficiency) = (1.0 / (1.0 + slope), (1.0 - slope).max(0.01));
            let unit_standing_ac_w = standing_w * out_efficiency;
            standing_ac_w += unit_standing_ac_w;
            let best = |one: &mut f64, other: f64| *one = one.max(other);
            best(&mut store.inverter_out_efficiency, out_efficiency);
            best(&mut store.inverter_in_efficiency, in_efficiency);
            best(
                &mut store.charge_efficiency,
                unit.battery.charge_efficiency(),
            );
            best(
                &mut store.discharge_efficiency,
                unit.battery.discharge_efficiency(),
            );
            let usable_wh = unit.battery.usable_wh();
            store.most_wh += usable_wh;
            store.least_wh += unit.reserve_wh.min(usable_wh);
            store.start_wh += unit.initial_wh.max(unit.reserve_wh).min(usable_wh);
            store.charge_w += sheet.battery.charge_w;
            store.discharge_w += sheet.battery.discharge_w;
            store.inverter_out_w += unit.law.rated_w + unit_standing_ac_w;
            store.inverter_in_w += unit.law.rated_w;
        }
        let usable_wh = store.most_wh;
        // Sums in another order differ by rounding.
        store.start_wh = store.start_wh.clamp(store.least_wh, store.most_wh);
        store.end_least_wh = store.least_wh;
        store.end_most_wh = store.most_wh;
        load_w.iter_mut().for_each(|load| *load += standing_ac_w);
        // What the loads take without storage passes, however large: the breaker bounds only what storage adds.
        let import_w = load_w.iter().copied().fold(plant.limits.import_w, f64::max);
        Self {
            step_s: f64::from(scene.grid.step_s),
            load_w,
            ac_pv_w,
            dc_pv_w,
            store,
            meter: Meter {
                import_w,
                export_w: plant.limits.export_w.max(0.0),
                grid_charge: true,
                battery_export: true,
            },
            usable_wh,
        }
    }

    /// Loads less AC PV, W.
    pub(super) fn net_load_w(&self) -> Vec<f64> {
        let pairs = self.load_w.iter().zip(&self.ac_pv_w);
        pairs.map(|(load_w, pv_w)| load_w - pv_w).collect()
    }

    /// The steps, at these prices. All AC PV can be left: what is not paid for need not be sent out.
    pub(super) fn steps<'a>(
        &'a self,
        net_load_w: &'a [f64],
        buy_cur_per_kwh: &'a [f64],
        sell_cur_per_kwh: &'a [f64],
        demand_counts: &'a [bool],
    ) -> Steps<'a> {
        Steps {
            step_s: self.step_s,
            net_load_w,
            throttleable_w: &self.ac_pv_w,
            dc_pv_w: &self.dc_pv_w,
            buy_cur_per_kwh,
            sell_cur_per_kwh,
            demand_counts,
        }
    }

    /// The same in means of so many steps. A plan of the steps has a plan of their means that costs no more at prices that hold over
    /// all of them, since losses and limits are convex; and the mean of a power is not above its highest value.
    pub(super) fn in_means_of(&self, steps: usize) -> Self {
        let mean = |series: &[f64]| -> Vec<f64> {
            #[expect(clippy::cast_precision_loss, reason = "a few steps")]
            let of = |some: &[f64]| some.iter().sum::<f64>() / some.len().max(1) as f64;
            series.chunks(steps.max(1)).map(of).collect()
        };
        #[expect(clippy::cast_precision_loss, reason = "a few steps")]
        let step_s = self.step_s * steps.max(1) as f64;
        Self {
            step_s,
            load_w: mean(&self.load_w),
            ac_pv_w: mean(&self.ac_pv_w),
            dc_pv_w: mean(&self.dc_pv_w),
            ..self.clone()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn straight_lines_are_nowhere_above_the_law() {
        let law = LossLaw {
            no_load_w: 35.0,
            linear: 0.012,
            quadratic: 0.02,
            rated_w: 5000.0,
        };
        for at_w in [0.0, 300.0, 900.0, 1.0e4] {
            let Tangent { slope, standing_w } = Tangent::at(&law, at_w);
            assert!(standing_w >= 0.0);
            let standing_ac_w = standing_w / (1.0 + slope);
            for ac_w in (-50..=50).map(|step| f64::from(step) * 100.0) {
                let line_w = standing_w + slope * ac_w.abs();
                assert!(
                    line_w <= law.loss_w(ac_w) + 1e-9,
                    "{at_w} W: {ac_w} W of AC power"
                );
                let shifted_w = ac_w + standing_ac_w;
                assert!(shifted_w + slope * shifted_w.abs() <= law.dc_w(ac_w) + 1e-9);
            }
        }
    }
}
