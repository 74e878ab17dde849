//! Devices: what runs by the clock, and what follows the outdoor temperature.

use super::resample::seconds;
use super::window::window_h;
use crate::calendar::weekday;
use crate::household::DeviceKind;
use crate::sky::{DAYS_PER_YEAR, TimeGrid, month_of_day};

/// Power of a device at every step, W.
pub(super) fn device_w(kind: &DeviceKind, grid: &TimeGrid, air_c: &[f64]) -> Vec<f64> {
    match *kind {
        DeviceKind::Car {
            energy_wh_per_day,
            power_w,
            from_h,
            weekends,
            ..
        } => {
            let run = Run {
                from_h,
                length_h: energy_wh_per_day / power_w,
                power_w,
            };
            run.power_w(grid, |day| weekends || weekday(day) < 5)
        }
        DeviceKind::PoolPump {
            power_w,
            from_h,
            to_h,
            months,
        } => {
            let run = Run {
                from_h,
                length_h: window_h(from_h, to_h),
                power_w,
            };
            run.power_w(grid, |day| {
                months.get(month_of_day(day)).copied().unwrap_or(false)
            })
        }
        DeviceKind::WaterHeater {
            energy_wh_per_day,
            power_w,
            from_h,
        } => {
            let run = Run {
                from_h,
                length_h: energy_wh_per_day / power_w,
                power_w,
            };
            run.power_w(grid, |_| true)
        }
        DeviceKind::HeatPump {
            heat_loss_w_per_k,
            heating_limit_c,
            cop_at_7c,
            power_w,
        } => by_air(grid, air_c, power_w, |air_c| {
            let heat_w = heat_loss_w_per_k * (heating_limit_c - air_c).max(0.0);
            heat_w / heating_cop(cop_at_7c, air_c)
        }),
        DeviceKind::AirConditioner {
            heat_gain_w_per_k,
            cooling_limit_c,
            cop_at_35c,
            power_w,
        } => by_air(grid, air_c, power_w, |air_c| {
            let heat_w = heat_gain_w_per_k * (air_c - cooling_limit_c).max(0.0);
            heat_w / cooling_cop(cop_at_35c, air_c)
        }),
    }
}

/// A run at constant power that begins at the same hour of each of its days and may pass midnight. The year is a ring: a
/// run of 31 December goes on into 1 January.
struct Run {
    /// Hour of the day at which it begins, 0 to 24; 24 is 0.
    from_h: f64,
    /// How long it lasts, h, 0 to 24.
    length_h: f64,
    /// Power, W.
    power_w: f64,
}

impl Run {
    /// Mean power of every step, W; `runs_on` says whether a run begins on a day of the year, from 0.
    fn power_w(&self, grid: &TimeGrid, runs_on: impl Fn(u32) -> bool) -> Vec<f64> {
        let from_h = if self.from_h >= 24.0 {
            0.0
        } else {
            self.from_h
        };
        let step_s = u64::from(grid.step_s.max(1));
        let first_s = u64::from(grid.first_day) * 86_400;
        (0..u64::from(grid.steps))
            .map(|step| {
                let from_s = first_s + step * step_s;
                let to_s = from_s + step_s;
                let (first_day, last_day) = (from_s / 86_400, (to_s - 1) / 86_400);
                // The day before counts too: its run may pass midnight.
                let shared_h: f64 = (0..=last_day - first_day + 1)
                    .map(|later| {
                        let day = first_day + DAYS + later - 1;
                        if !runs_on(day_of_year(day)) {
                            return 0.0;
                        }
                        let midnight_s =
                            seconds(first_day) * 86_400.0 + (seconds(later) - 1.0) * 86_400.0;
                        let begins_h = from_h + (midnight_s - seconds(from_s)) / 3_600.0;
                        let step_h = seconds(step_s) / 3_600.0;
                        ((begins_h + self.length_h).min(step_h) - begins_h.max(0.0)).max(0.0)
                    })
                    .sum();
                self.power_w * shared_h * 3_600.0 / seconds(step_s)
            })
            .collect()
    }
}

const DAYS: u64 = DAYS_PER_YEAR as u64;

fn day_of_year(day: u64) -> u32 {
    u32::try_from(day % DAYS).unwrap_or(0)
}

/// Power that follows the air temperature, at most `most_w`; what is demanded above it is not met.
fn by_air(grid: &TimeGrid, air_c: &[f64], most_w: f64, demand_w: impl Fn(f64) -> f64) -> Vec<f64> {
    let mut power_w: Vec<f64> = air_c
        .iter()
        .take(grid.len())
        .map(|air_c| demand_w(*air_c).min(most_w))
        .collect();
    power_w.resize(grid.len(), 0.0);
    power_w
}

/// Coefficient of performance of an air-source heat pump in heating, at least 1.
///
/// The one at 7 °C is the device's own; it changes with the lift from outdoor air to floor-heating flow as the mean of
/// measured devices does. Lifts outside 15 K to 60 K count as these.
///
/// Source: Ruhnau, Hirth, Praktiknjo (2019), Scientific Data 6, 189, doi:10.1038/s41597-019-0199-y: `COP = 6.08 − 0.09 ΔT +
/// 0.0005 ΔT²`, flow of floor heating at `30 °C − 0.5 air`. From memory.
fn heating_cop(cop_at_7c: f64, air_c: f64) -> f64 {
    let mean = |air_c: f64| {
        let flow_c = 30.0 - 0.5 * air_c;
        let lift_k = (flow_c - air_c).clamp(15.0, 60.0);
        6.08 - 0.09 * lift_k + 0.0005 * lift_k * lift_k
    };
    (cop_at_7c * mean(air_c) / mean(7.0)).max(1.0)
}

/// Coefficient of performance of an air conditioner: the one at 35 °C is the device's own; it falls by 2 % of that for each
/// kelvin outdoors, between half and one and a half of it.
///
/// Common practice: 2 %/K.
fn cooling_cop(cop_at_35c: f64, air_c: f64) -> f64 {
    cop_at_35c * (1.0 - 0.02 * (air_c - 35.0)).clamp(0.5, 1.5)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn energy_wh(power_w: &[f64], grid: &TimeGrid) -> f64 {
        power_w.iter().sum::<f64>() * grid.step_h()
    }

    #[test]
    fn a_car_gets_its_energy_across_midnight_at_any_step() {
        let car = DeviceKind::Car {
            energy_wh_per_day: 7_300.0,
            power_w: 3_700.0,
            from_h: 23.1,
            to_h: 6.0,
            weekends: false,
        };
        for step_s in [60, 300, 900, 3_600] {
            let grid = TimeGrid::whole_year(step_s, 0);
            let power_w = device_w(&car, &grid, &[]);
            // 2026 begins on a Thursday and has 261 working days.
            let expected_wh = 261.0 * 7_300.0;
            let found_wh = energy_wh(&power_w, &grid);
            assert!(
                (found_wh - expected_wh).abs() < 1e-9 * expected_wh,
                "{step_s}: {found_wh}"
            );
            assert!(power_w.iter().all(|power_w| *power_w < 3_700.1));
        }
    }

    #[test]
    fn a_window_that_passes_midnight_is_charged_on_both_sides_of_it() {
        let grid = TimeGrid::days(0, 2, 3_600, 0);
        let car = DeviceKind::Car {
            energy_wh_per_day: 4_000.0,
            power_w: 1_000.0,
            from_h: 22.0,
            to_h: 6.0,
            weekends: true,
        };
        let power_w = device_w(&car, &grid, &[]);
        let on: Vec<usize> = (0..48).filter(|hour| power_w[*hour] > 0.0).collect();
        assert_eq!(on, [0, 1, 22, 23, 24, 25, 46, 47]);
    }

    #[test]
    fn a_pool_pump_rests_in_its_months_off() {
        let mut months = [false; 12];
        months[6] = true;
        let pump = DeviceKind::PoolPump {
            power_w: 800.0,
            from_h: 20.0,
            to_h: 2.0,
            months,
        };
        let grid = TimeGrid::whole_year(900, 0);
        let power_w = device_w(&pump, &grid, &[]);
        assert!((energy_wh(&power_w, &grid) - 31.0 * 6.0 * 800.0).abs() < 1e-6);
        assert_eq!(power_w[180 * 96 + 10], 0.0);
    }

    /// Ruhnau et al. (2019): 4.52 at 7 °C (lift 19.5 K) and 3.26 at −7 °C (lift 40.5 K), by the formula.
    #[test]
    fn the_heat_pump_loses_performance_in_the_cold() {
        let at_7c = 6.08 - 0.09 * 19.5 + 0.0005 * 19.5 * 19.5;
        let at_minus_7c = 6.08 - 0.09 * 40.5 + 0.0005 * 40.5 * 40.5;
        assert!((heating_cop(3.6, 7.0) - 3.6).abs() < 1e-12);
        assert!((heating_cop(3.6, -7.0) - 3.6 * at_minus_7c / at_7c).abs() < 1e-12);
        assert_eq!(heating_cop(1.1, -40.0), 1.0);
        let mut last = f64::INFINITY;
        for air_c in (-40..25).rev() {
            let cop = heating_cop(3.6, f64::from(air_c));
            assert!(cop <= last);
            last = cop;
        }
    }

    #[test]
    fn what_follows_the_air_stays_within_its_power() {
        let grid = TimeGrid::days(0, 1, 21_600, 0);
        let pump = DeviceKind::HeatPump {
            heat_loss_w_per_k: 200.0,
            heating_limit_c: 15.0,
            cop_at_7c: 4.0,
            power_w: 1_500.0,
        };
        let power_w = device_w(&pump, &grid, &[20.0, 7.0, -20.0]);
        assert_eq!(power_w, [0.0, 200.0 * 8.0 / 4.0, 1_500.0, 0.0]);
        let cooler = DeviceKind::AirConditioner {
            heat_gain_w_per_k: 300.0,
            cooling_limit_c: 25.0,
            cop_at_35c: 3.0,
            power_w: 2_000.0,
        };
        let power_w = device_w(&cooler, &grid, &[20.0, 35.0, 50.0, 25.0]);
        assert_eq!(power_w, [0.0, 1_000.0, 2_000.0, 0.0]);
    }
}
