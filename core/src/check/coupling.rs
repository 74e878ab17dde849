//! Checks of an option: its parts, and that every id in it names something.

use super::walk::{MOST_ARRAYS, MOST_PV_INVERTERS, MOST_STORAGE, MOST_WINDOWS, Walk};
use crate::converter::{FitProblem, LossLaw};
use crate::coupling::{
    Array, Battery, BatteryPlace, ConverterEfficiency, CouplingOption, Mppt, OwnHours,
    PowerLimiting, PvInverter, Running, RunningRule, StorageInverter, StorageUnit, TitleNotes,
    WindowAim,
};
use crate::household::{RoofPlane, Supply};
use crate::limits;

impl Walk {
    pub(super) fn option(&mut self, option: &CouplingOption, planes: &[RoofPlane], supply: Supply) {
        let CouplingOption {
            id: _,
            name,
            title:
                TitleNotes {
                    revision,
                    drawn_for,
                    checked_by,
                },
            arrays,
            pv_inverters,
            storage,
            running,
            generator,
            island,
            costs,
        } = option;
        self.name("name", name);
        self.field("title", |walk| {
            walk.name("revision", revision);
            walk.name("drawn_for", drawn_for);
            walk.name("checked_by", checked_by);
        });
        self.each("arrays", "arrays", arrays, MOST_ARRAYS, |walk, array| {
            walk.array(array);
            walk.names_of_array(array, option, planes);
        });
        self.different_ids("arrays", "array", arrays, |array| array.id.0);
        let label = "PV inverters";
        self.each(
            "pv_inverters",
            label,
            pv_inverters,
            MOST_PV_INVERTERS,
            |walk, inverter| walk.pv_inverter(inverter, supply),
        );
        self.different_ids("pv_inverters", "PV inverter", pv_inverters, |inverter| {
            inverter.id.0
        });
        self.each(
            "storage",
            "storage units",
            storage,
            MOST_STORAGE,
            Self::storage_unit,
        );
        self.different_ids("storage", "storage unit", storage, |unit| unit.id.0);
        self.field("running", |walk| walk.running(running));
        if let Some(generator) = generator {
            self.field("generator", |walk| walk.generator(generator));
        }
        self.field("island", |walk| walk.island_running(island));
        self.field("costs", |walk| walk.option_costs(costs));
    }

    fn array(&mut self, array: &Array) {
        let Array {
            id: _,
            name,
            plane: _,
            standing: _,
            peak_w,
            power_coefficient_per_c,
            wiring_loss,
            mismatch_loss,
            age_loss,
            pv_inverter: _,
            dc_unit: _,
            electrical,
            first_cur,
        } = array;
        self.name("name", name);
        self.number(&limits::ARRAY_PEAK_W, *peak_w);
        self.number(
            &limits::ARRAY_POWER_COEFFICIENT_PER_C,
            *power_coefficient_per_c,
        );
        self.number(&limits::ARRAY_WIRING_LOSS, *wiring_loss);
        self.number(&limits::ARRAY_MISMATCH_LOSS, *mismatch_loss);
        self.number(&limits::ARRAY_AGE_LOSS, *age_loss);
        self.field("electrical", |walk| walk.array_electrical(electrical));
        self.optional(&limits::ARRAY_FIRST_CUR, *first_cur);
    }

    /// The plane and the join of an array must be there. The PV inverter of an array on DC may be gone: the array gets a
    /// new one when it returns to AC.
    fn names_of_array(&mut self, array: &Array, option: &CouplingOption, planes: &[RoofPlane]) {
        if !planes.iter().any(|plane| plane.id == array.plane) {
            let right = "give the id of a roof plane of the household";
            self.names_nothing("plane", "plane of the array", array.plane.0, right);
        }
        match array.dc_unit {
            None => {
                if option.pv_inverter(array.pv_inverter).is_none() {
                    let right =
                        "give the id of a PV inverter of the option, or join the array on DC";
                    let label = "PV inverter of the array";
                    self.names_nothing("pv_inverter", label, array.pv_inverter.0, right);
                }
            }
            Some(id) => match option.storage_unit(id) {
                None => {
                    let right =
                        "give the id of a storage unit of the option, or join the array on AC";
                    self.names_nothing("dc_unit", "storage unit of the array", id.0, right);
                }
                Some(unit) if unit.mppt.is_none() => self.inconsistent(
                    "dc_unit",
                    "storage unit of the array",
                    id.0,
                    "give a storage unit with MPPT inputs, or join the array on AC",
                ),
                Some(_) => {}
            },
        }
    }

    fn pv_inverter(&mut self, inverter: &PvInverter, supply: Supply) {
        let PvInverter {
            id: _,
            name,
            side: _,
            standing: _,
            rated_w,
            efficiency,
            limiting,
            grid_code,
            island,
            electrical,
            costs,
        } = inverter;
        self.name("name", name);
        self.number(&limits::PV_INVERTER_RATED_W, *rated_w);
        self.field("efficiency", |walk| walk.efficiency(efficiency, *rated_w));
        self.field("limiting", |walk| match limiting {
            PowerLimiting::None => {}
            PowerLimiting::Commanded {
                margin_w,
                poll_s,
                ramp_per_s,
            } => {
                walk.field("commanded", |walk| {
                    walk.number(&limits::LIMITING_MARGIN_W, *margin_w);
                    walk.number(&limits::LIMITING_POLL_S, *poll_s);
                    walk.number(&limits::LIMITING_RAMP_PER_S, *ramp_per_s);
                });
            }
            PowerLimiting::Relay { reconnect_s } => {
                walk.field("relay", |walk| {
                    walk.number(&limits::LIMITING_RECONNECT_S, *reconnect_s)
                });
            }
        });
        self.grid_code(*grid_code, supply);
        self.field("island", |walk| walk.island_means(island));
        self.field("electrical", |walk| walk.pv_inverter_electrical(electrical));
        self.field("costs", |walk| walk.converter_costs(costs));
    }

    fn efficiency(&mut self, efficiency: &ConverterEfficiency, rated_w: f64) {
        let ConverterEfficiency {
            peak,
            weighted,
            weighting: _,
            no_load_w,
        } = efficiency;
        self.number(&limits::EFFICIENCY_PEAK, *peak);
        self.number(&limits::EFFICIENCY_WEIGHTED, *weighted);
        self.number(&limits::EFFICIENCY_NO_LOAD_W, *no_load_w);
        if weighted >= peak {
            self.inconsistent(
                "weighted",
                limits::EFFICIENCY_WEIGHTED.label,
                weighted,
                format!("give less than the peak efficiency of {peak}"),
            );
        } else if let Err(problem) = LossLaw::fit(efficiency, rated_w) {
            self.no_loss_law(efficiency, problem);
        }
    }

    /// Figures that no loss law has together. Those out of their range were named before.
    fn no_loss_law(&mut self, efficiency: &ConverterEfficiency, problem: FitProblem) {
        let (limit, value) = match problem {
            FitProblem::NotAFigure => return,
            FitProblem::NoLoadTooHigh { .. } => {
                (&limits::EFFICIENCY_NO_LOAD_W, efficiency.no_load_w)
            }
            FitProblem::WeightedTooHigh { .. } | FitProblem::WeightedTooLow { .. } => {
                (&limits::EFFICIENCY_WEIGHTED, efficiency.weighted)
            }
        };
        let value = limit.unit.text(value);
        self.inconsistent(limit.key(), limit.label, value, problem.to_string());
    }

    fn storage_unit(&mut self, unit: &StorageUnit) {
        let StorageUnit {
            id: _,
            name,
            side: _,
            standing: _,
            inverter,
            mppt,
            battery,
            electrical,
            costs,
        } = unit;
        self.name("name", name);
        self.field("inverter", |walk| {
            let StorageInverter {
                rated_w,
                efficiency,
                surge,
            } = inverter;
            walk.number(&limits::STORAGE_RATED_W, *rated_w);
            walk.surge(surge, *rated_w);
            walk.field("efficiency", |walk| walk.efficiency(efficiency, *rated_w));
        });
        if let Some(mppt) = mppt {
            self.field("mppt", |walk| {
                let Mppt {
                    inputs,
                    efficiency,
                    rated_w,
                } = mppt;
                walk.number(&limits::MPPT_INPUTS, f64::from(*inputs));
                walk.number(&limits::MPPT_EFFICIENCY, *efficiency);
                walk.number(&limits::MPPT_RATED_W, *rated_w);
            });
        }
        self.field("battery", |walk| walk.battery(battery));
        self.field("electrical", |walk| walk.storage_electrical(electrical));
        self.field("costs", |walk| walk.converter_costs(costs));
    }

    fn battery(&mut self, battery: &Battery) {
        let Battery {
            usable_wh,
            charge_w,
            discharge_w,
            charge_efficiency,
            discharge_efficiency,
            taper_from_soc,
            self_discharge_per_month,
            least_charge_c,
            overload_s,
            place,
            initial_soc,
            ageing,
            costs,
        } = battery;
        self.number(&limits::BATTERY_USABLE_WH, *usable_wh);
        self.number(&limits::BATTERY_CHARGE_W, *charge_w);
        self.number(&limits::BATTERY_DISCHARGE_W, *discharge_w);
        self.number(&limits::BATTERY_CHARGE_EFFICIENCY, *charge_efficiency);
        self.number(&limits::BATTERY_DISCHARGE_EFFICIENCY, *discharge_efficiency);
        self.number(&limits::BATTERY_TAPER_FROM_SOC, *taper_from_soc);
        self.number(
            &limits::BATTERY_SELF_DISCHARGE_PER_MONTH,
            *self_discharge_per_month,
        );
        self.number(&limits::BATTERY_LEAST_CHARGE_C, *least_charge_c);
        self.number(&limits::BATTERY_OVERLOAD_S, *overload_s);
        self.field("place", |walk| match place {
            BatteryPlace::Outdoors => {}
            BatteryPlace::Indoors { room_c } => {
                walk.field("indoors", |walk| {
                    walk.number(&limits::BATTERY_ROOM_C, *room_c)
                });
            }
        });
        self.number(&limits::BATTERY_INITIAL_SOC, *initial_soc);
        self.field("ageing", |walk| walk.battery_ageing(ageing));
        self.field("costs", |walk| walk.battery_costs(costs));
    }

    fn running(&mut self, running: &Running) {
        let Running {
            rule,
            reserve_soc,
            dc_order: _,
        } = running;
        self.field("rule", |walk| match rule {
            RunningRule::SelfConsumption => {}
            RunningRule::TimeOfUse {
                discharge_in_middle_hours: _,
                grid_charge_to_soc,
                sell_from_battery: _,
            } => walk.field("time_of_use", |walk| {
                walk.optional(&limits::RUNNING_GRID_CHARGE_TO_SOC, *grid_charge_to_soc);
            }),
            RunningRule::OwnHours { windows } => walk.field("own_hours", |walk| {
                walk.each("windows", "hours", windows, MOST_WINDOWS, Self::own_hours);
            }),
        });
        self.number(&limits::RUNNING_RESERVE_SOC, *reserve_soc);
    }

    fn own_hours(&mut self, hours: &OwnHours) {
        let OwnHours { window, aim } = hours;
        self.field("window", |walk| walk.hours(window));
        if let WindowAim::Charge { to_soc } = aim {
            self.field("aim", |walk| {
                walk.field("charge", |walk| {
                    walk.number(&limits::RUNNING_WINDOW_TO_SOC, *to_soc);
                });
            });
        }
    }
}
