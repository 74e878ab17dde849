//! The invented years whose optimum is timed.
//!
//! `tests/bench/best_vs_highs.py` states the same years and limits as linear programs.

use std::f64::consts::PI;

use couplet_core::best::{Best, BestError, Meter, Steps, Store, best};

/// The tariffs and limits that are timed.
pub(crate) const TARIFFS: [&str; 4] = ["flat", "tou", "hourly", "limits"];

const STORE: Store = Store {
    least_wh: 0.0,
    most_wh: 13_500.0,
    start_wh: 2000.0,
    end_least_wh: 2000.0,
    end_most_wh: 2000.0,
    charge_w: f64::INFINITY,
    discharge_w: f64::INFINITY,
    charge_efficiency: 0.974,
    discharge_efficiency: 0.968,
    inverter_out_w: 4600.0,
    inverter_in_w: 3300.0,
    inverter_out_efficiency: 1.0,
    inverter_in_efficiency: 1.0,
};

/// A household's year in equal steps.
pub(crate) struct Year {
    step_s: f64,
    net_load_w: Vec<f64>,
    pv_w: Vec<f64>,
    buy_cur_per_kwh: Vec<f64>,
    sell_cur_per_kwh: Vec<f64>,
    limits: bool,
}

impl Year {
    pub(crate) fn invented(tariff: &str, steps_per_hour: u32) -> Self {
        let steps = 8760 * steps_per_hour;
        let mut year = Self {
            step_s: 3600.0 / f64::from(steps_per_hour),
            net_load_w: Vec::new(),
            pv_w: Vec::new(),
            buy_cur_per_kwh: Vec::new(),
            sell_cur_per_kwh: Vec::new(),
            limits: tariff == "limits",
        };
        for index in 0..steps {
            let steps_per_day = 24 * steps_per_hour;
            let day = f64::from(index / steps_per_day);
            let hour = (f64::from(index % steps_per_day) + 0.5) / f64::from(steps_per_hour);
            let season = (2.0 * PI * (day - 171.0) / 365.0).cos();
            let cloud = 0.6 + 0.4 * (0.9 * day + 0.7 * hour).sin();
            let height = (PI * (hour - 12.4) / (12.0 + 2.2 * season)).cos();
            let lit = (hour - 12.4).abs() < 0.5 * (12.0 + 2.2 * season);
            let pv_w = if lit {
                (4500.0 + 1500.0 * season) * height * cloud
            } else {
                0.0
            };
            let load_w = 350.0
                + 900.0 * (-(hour - 19.0).powi(2) / 5.0).exp()
                + 500.0 * (-(hour - 7.5).powi(2) / 2.0).exp()
                + 300.0 * (1.0 + (1.3 * day + 2.1 * hour).sin());
            let (buy, sell) = match tariff {
                "flat" => (0.28, 0.07),
                "hourly" => {
                    let price =
                        0.18 + 0.09 * (0.5 * hour + 0.11 * day).sin() + 0.05 * (2.3 * hour).sin();
                    (price, 0.8 * price)
                }
                _ if (16.0..21.0).contains(&hour) => (0.41, 0.05),
                _ if hour < 6.0 => (0.17, 0.05),
                _ => (0.25, 0.05),
            };
            year.net_load_w.push(load_w - pv_w);
            year.pv_w.push(pv_w);
            year.buy_cur_per_kwh.push(buy);
            year.sell_cur_per_kwh.push(sell);
        }
        year
    }

    pub(crate) fn best(&self) -> Result<Best, BestError> {
        let steps = Steps {
            step_s: self.step_s,
            net_load_w: &self.net_load_w,
            throttleable_w: if self.limits { &self.pv_w } else { &[] },
            dc_pv_w: &[],
            buy_cur_per_kwh: &self.buy_cur_per_kwh,
            sell_cur_per_kwh: &self.sell_cur_per_kwh,
            demand_counts: &[],
        };
        let limit = |limit_w| if self.limits { limit_w } else { f64::INFINITY };
        let meter = Meter {
            import_w: limit(6000.0),
            export_w: limit(1500.0),
            grid_charge: true,
            battery_export: true,
        };
        best(&steps, &STORE, &meter, &[])
    }
}
