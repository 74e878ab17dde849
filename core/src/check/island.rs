//! Checks of what an option does while the grid is gone.

use super::Wrong;
use super::walk::Walk;
use crate::coupling::{
    EnterService, FrequencyDroop, FrequencySettings, FrequencyTrip, Generator, GridCode,
    IslandMeans, IslandRunning, Surge,
};
use crate::household::Supply;
use crate::island::settings;
use crate::limits;

/// Most steps of an inverter's surge.
const MOST_SURGES: usize = 4;

impl Walk {
    pub(super) fn island_running(&mut self, island: &IslandRunning) {
        let IslandRunning {
            shed_soc,
            shut_down_soc,
            restart_soc,
            idle_offset_hz,
            rise_hz,
        } = island;
        self.number(&limits::ISLAND_SHED_SOC, *shed_soc);
        self.number(&limits::ISLAND_SHUT_DOWN_SOC, *shut_down_soc);
        self.number(&limits::ISLAND_RESTART_SOC, *restart_soc);
        self.number(&limits::ISLAND_IDLE_OFFSET_HZ, *idle_offset_hz);
        self.number(&limits::ISLAND_RISE_HZ, *rise_hz);
        if restart_soc <= shut_down_soc {
            let right = format!("give more than the {shut_down_soc} at which it shuts down");
            self.inconsistent(
                limits::ISLAND_RESTART_SOC.key(),
                limits::ISLAND_RESTART_SOC.label,
                restart_soc,
                right,
            );
        }
    }

    pub(super) fn generator(&mut self, generator: &Generator) {
        let Generator {
            name,
            standing: _,
            rated_w,
            least_load,
            start_soc,
            stop_soc,
            start_delay_s,
            idle_fuel_l_per_h,
            fuel_l_per_kwh,
            fuel_cur_per_l,
            electrical,
            costs,
        } = generator;
        self.name("name", name);
        self.number(&limits::GENERATOR_RATED_W, *rated_w);
        self.number(&limits::GENERATOR_LEAST_LOAD, *least_load);
        self.number(&limits::GENERATOR_START_SOC, *start_soc);
        self.number(&limits::GENERATOR_STOP_SOC, *stop_soc);
        self.number(&limits::GENERATOR_START_DELAY_S, *start_delay_s);
        self.number(&limits::GENERATOR_IDLE_FUEL_L_PER_H, *idle_fuel_l_per_h);
        self.number(&limits::GENERATOR_FUEL_L_PER_KWH, *fuel_l_per_kwh);
        if let Some(fuel_cur_per_l) = fuel_cur_per_l {
            self.number(&limits::GENERATOR_FUEL_CUR_PER_L, *fuel_cur_per_l);
        }
        self.field("electrical", |walk| walk.generator_electrical(electrical));
        self.field("costs", |walk| walk.converter_costs(costs));
        if stop_soc <= start_soc {
            let right = format!("give more than the {start_soc} at which it starts");
            self.inconsistent(
                limits::GENERATOR_STOP_SOC.key(),
                limits::GENERATOR_STOP_SOC.label,
                stop_soc,
                right,
            );
        }
    }

    /// Surge steps rise in power and fall in time, and all of them lie above the rating.
    pub(super) fn surge(&mut self, surges: &[Surge], rated_w: f64) {
        let label = "surge steps";
        let mut before = Surge {
            power_w: rated_w,
            duration_s: f64::INFINITY,
        };
        self.each("surge", label, surges, MOST_SURGES, |walk, surge| {
            let Surge {
                power_w,
                duration_s,
            } = surge;
            walk.number(&limits::SURGE_POWER_W, *power_w);
            walk.number(&limits::SURGE_DURATION_S, *duration_s);
            if *power_w <= before.power_w {
                let right = format!("give more than {} W", before.power_w);
                walk.inconsistent("power_w", limits::SURGE_POWER_W.label, power_w, right);
            }
            if *duration_s >= before.duration_s {
                let right = format!("give less than {} s", before.duration_s);
                walk.inconsistent(
                    "duration_s",
                    limits::SURGE_DURATION_S.label,
                    duration_s,
                    right,
                );
            }
            before = *surge;
        });
    }

    pub(super) fn island_means(&mut self, means: &IslandMeans) {
        match means {
            IslandMeans::Frequency => {}
            IslandMeans::Command { response_s } => self.field("command", |walk| {
                walk.number(&limits::ISLAND_RESPONSE_S, *response_s);
            }),
            IslandMeans::Contactor {
                open_soc,
                close_soc,
            } => self.field("contactor", |walk| {
                walk.number(&limits::ISLAND_OPEN_SOC, *open_soc);
                walk.number(&limits::ISLAND_CLOSE_SOC, *close_soc);
                if close_soc >= open_soc {
                    let right = format!("give less than the {open_soc} at which it opens");
                    walk.inconsistent(
                        limits::ISLAND_CLOSE_SOC.key(),
                        limits::ISLAND_CLOSE_SOC.label,
                        close_soc,
                        right,
                    );
                }
            }),
        }
    }

    /// The numbers of own settings, and that the code is one for the supply's frequency.
    pub(super) fn grid_code(&mut self, code: GridCode, supply: Supply) {
        if let GridCode::Own(own) = code {
            self.field("grid_code", |walk| {
                walk.field("own", |walk| walk.frequency_settings(&own));
            });
        }
        let nominal_hz = supply.frequency_hz();
        let enter = settings(code, supply).enter_service;
        if !(enter.from_hz..=enter.to_hz).contains(&nominal_hz) {
            let value = format!("{} Hz to {} Hz", enter.from_hz, enter.to_hz);
            let right = format!(
                "give a grid code that lets it run at the supply's {nominal_hz} Hz, or change the voltage system"
            );
            self.field("grid_code", |walk| {
                walk.report("grid code", value, Wrong::Inconsistent, right);
            });
        }
    }

    fn frequency_settings(&mut self, own: &FrequencySettings) {
        let FrequencySettings {
            droop,
            over_near,
            over_far,
            under_near,
            under_far,
            enter_service,
        } = own;
        if let Some(droop) = droop {
            let FrequencyDroop {
                from_hz,
                slope_per_hz,
                of: _,
                held_until_hz,
                response_s,
            } = droop;
            self.field("droop", |walk| {
                walk.number(&limits::DROOP_FROM_HZ, *from_hz);
                walk.number(&limits::DROOP_SLOPE_PER_HZ, *slope_per_hz);
                walk.optional(&limits::DROOP_HELD_UNTIL_HZ, *held_until_hz);
                walk.number(&limits::DROOP_RESPONSE_S, *response_s);
                if let Some(until_hz) = held_until_hz
                    && until_hz > from_hz
                {
                    let right = format!("give at most the {from_hz} Hz at which it backs off");
                    walk.inconsistent(
                        limits::DROOP_HELD_UNTIL_HZ.key(),
                        limits::DROOP_HELD_UNTIL_HZ.label,
                        until_hz,
                        right,
                    );
                }
            });
        }
        self.trip("over_near", over_near);
        self.trip("over_far", over_far);
        self.trip("under_near", under_near);
        self.trip("under_far", under_far);
        self.field("enter_service", |walk| walk.enter_service(enter_service));
        let nearer = over_near.at_hz;
        if nearer <= enter_service.to_hz {
            let right = format!(
                "give more than the {} Hz at which it may still come back",
                enter_service.to_hz
            );
            self.inconsistent("over_near", "nearer over-frequency trip", nearer, right);
        }
        if over_far.at_hz < nearer {
            let right = format!("give at least the {nearer} Hz of the nearer one");
            self.inconsistent(
                "over_far",
                "farther over-frequency trip",
                over_far.at_hz,
                right,
            );
        }
        let nearer = under_near.at_hz;
        if nearer >= enter_service.from_hz {
            let right = format!(
                "give less than the {} Hz at which it may come back",
                enter_service.from_hz
            );
            self.inconsistent("under_near", "nearer under-frequency trip", nearer, right);
        }
        if under_far.at_hz > nearer {
            let right = format!("give at most the {nearer} Hz of the nearer one");
            self.inconsistent(
                "under_far",
                "farther under-frequency trip",
                under_far.at_hz,
                right,
            );
        }
    }

    fn trip(&mut self, key: &str, trip: &FrequencyTrip) {
        let FrequencyTrip { at_hz, after_s } = trip;
        self.field(key, |walk| {
            walk.number(&limits::TRIP_AT_HZ, *at_hz);
            walk.number(&limits::TRIP_AFTER_S, *after_s);
        });
    }

    fn enter_service(&mut self, enter: &EnterService) {
        let EnterService {
            from_hz,
            to_hz,
            wait_s,
            ramp_s,
        } = enter;
        self.number(&limits::ENTER_FROM_HZ, *from_hz);
        self.number(&limits::ENTER_TO_HZ, *to_hz);
        self.number(&limits::ENTER_WAIT_S, *wait_s);
        self.number(&limits::ENTER_RAMP_S, *ramp_s);
        if from_hz >= to_hz {
            let right = format!("give less than the upper limit of {to_hz} Hz");
            self.inconsistent(
                limits::ENTER_FROM_HZ.key(),
                limits::ENTER_FROM_HZ.label,
                from_hz,
                right,
            );
        }
    }
}
