//! Checks of what the electrical rules ask for.

use super::Wrong;
use super::walk::Walk;
use crate::coupling::{
    ArrayElectrical, BatterySheet, GeneratorElectrical, InputSheet, InputStrings, ModuleSheet,
    PvInverterElectrical, StorageElectrical,
};
use crate::household::{CircuitChoice, Dwelling, HouseholdElectrical, PanelElectrical};
use crate::limits;
use crate::rules::{HomeCircuits, Wiring};

/// Most MPPT inputs that an array may be wired to.
const MOST_INPUTS: usize = 24;

impl Walk {
    pub(super) fn household_electrical(&mut self, electrical: &HouseholdElectrical) {
        let HouseholdElectrical {
            code: _,
            grid_side,
            backed_up,
            backed_up_busbar_a,
            transfer_circuit,
            dc_drop_share,
            ac_drop_share,
            transfer_by_hand: _,
            dwelling,
            home_circuits,
            neutral: _,
            rapid_shutdown: _,
            arc_fault_protection: _,
            dc_fault_detection: _,
            pv_disconnect: _,
            island_device_listed: _,
            export_control_limit_s,
            labels_in_place: _,
        } = electrical;
        self.field("grid_side", |walk| walk.panel(grid_side));
        self.field("backed_up", |walk| walk.panel(backed_up));
        self.optional(&limits::BACKED_UP_BUSBAR_A, *backed_up_busbar_a);
        self.circuit("transfer_circuit", transfer_circuit);
        self.optional(&limits::DC_DROP_SHARE, *dc_drop_share);
        self.optional(&limits::AC_DROP_SHARE, *ac_drop_share);
        if let Some(Dwelling {
            floor_m2,
            appliance_circuits,
            appliances_w,
            added_appliances_w,
            central_heating_w,
            central_heating_is_added: _,
        }) = dwelling
        {
            self.field("dwelling", |walk| {
                walk.number(&limits::DWELLING_FLOOR_M2, *floor_m2);
                walk.number(&limits::DWELLING_CIRCUITS, f64::from(*appliance_circuits));
                walk.number(&limits::DWELLING_APPLIANCES_W, *appliances_w);
                walk.number(&limits::DWELLING_ADDED_APPLIANCES_W, *added_appliances_w);
                walk.number(&limits::DWELLING_CENTRAL_HEATING_W, *central_heating_w);
            });
        }
        if let Some(home) = home_circuits {
            self.field("home_circuits", |walk| walk.home_circuits(home));
        }
        self.optional(&limits::EXPORT_CONTROL_LIMIT_S, *export_control_limit_s);
    }

    fn home_circuits(&mut self, home: &HomeCircuits) {
        let HomeCircuits {
            lighting_w,
            heating_w,
            cooking_w,
            cooking_socket: _,
            instant_heaters,
            instant_heater_w,
            stored_heat_w,
            socket_circuits,
            socket_device_a,
        } = home;
        self.number(&limits::HOME_LIGHTING_W, *lighting_w);
        self.number(&limits::HOME_HEATING_W, *heating_w);
        self.number(&limits::HOME_COOKING_W, *cooking_w);
        self.number(&limits::HOME_INSTANT_HEATERS, f64::from(*instant_heaters));
        self.number(&limits::HOME_INSTANT_HEATER_W, *instant_heater_w);
        self.number(&limits::HOME_STORED_HEAT_W, *stored_heat_w);
        self.number(&limits::HOME_SOCKET_CIRCUITS, f64::from(*socket_circuits));
        self.number(&limits::HOME_SOCKET_DEVICE_A, *socket_device_a);
    }

    fn panel(&mut self, panel: &PanelElectrical) {
        let PanelElectrical {
            load_breakers_a,
            feed: _,
            sources_at_far_end: _,
            feed_through: _,
            feed_through_a,
            control_a,
            control_listed: _,
            supply_side: _,
        } = panel;
        self.optional(&limits::PANEL_LOAD_BREAKERS_A, *load_breakers_a);
        self.optional(&limits::PANEL_FEED_THROUGH_A, *feed_through_a);
        self.optional(&limits::PANEL_CONTROL_A, *control_a);
    }

    fn circuit(&mut self, key: &str, circuit: &CircuitChoice) {
        let CircuitChoice {
            one_way_m,
            device_a,
            size: _,
            ambient_c,
            metal: _,
            wiring,
            parallel,
            parallel_laying: _,
            fault_a,
            fault_cleared_s,
        } = circuit;
        self.field(key, |walk| {
            walk.optional(&limits::CIRCUIT_ONE_WAY_M, *one_way_m);
            walk.optional(&limits::CIRCUIT_DEVICE_A, *device_a);
            walk.optional(&limits::CIRCUIT_AMBIENT_C, *ambient_c);
            walk.optional(&limits::CIRCUIT_PARALLEL, parallel.map(f64::from));
            walk.optional(&limits::CIRCUIT_FAULT_A, *fault_a);
            walk.optional(&limits::CIRCUIT_FAULT_CLEARED_S, *fault_cleared_s);
            walk.field("wiring", |walk| match wiring {
                Some(Wiring::Nec {
                    loaded_conductors, ..
                }) => walk.field("nec", |walk| {
                    let count = f64::from(*loaded_conductors);
                    walk.number(&limits::WIRING_LOADED_CONDUCTORS, count);
                }),
                Some(Wiring::Iec { circuits, .. }) => walk.field("iec", |walk| {
                    walk.number(&limits::WIRING_CIRCUITS, f64::from(*circuits));
                }),
                None => {}
            });
        });
    }

    pub(super) fn array_electrical(&mut self, electrical: &ArrayElectrical) {
        let ArrayElectrical {
            module,
            strings,
            circuit,
        } = electrical;
        if let Some(module) = module {
            self.field("module", |walk| walk.module(module));
        }
        if let Some(strings) = strings {
            if strings.is_empty() {
                self.field("strings", |walk| {
                    walk.report("strings", 0, Wrong::Length, "give at least one");
                });
            }
            self.each("strings", "strings", strings, MOST_INPUTS, |walk, one| {
                let InputStrings {
                    in_series,
                    parallel,
                } = one;
                walk.number(&limits::STRINGS_IN_SERIES, f64::from(*in_series));
                walk.number(&limits::STRINGS_PARALLEL, f64::from(*parallel));
            });
        }
        self.circuit("circuit", circuit);
    }

    fn module(&mut self, module: &ModuleSheet) {
        let ModuleSheet {
            count,
            voc_v,
            isc_a,
            vmp_v,
            imp_a,
            voc_per_c,
            vmp_per_c,
            series_fuse_a,
        } = module;
        self.number(&limits::MODULE_COUNT, f64::from(*count));
        self.number(&limits::MODULE_VOC_V, *voc_v);
        self.number(&limits::MODULE_ISC_A, *isc_a);
        self.number(&limits::MODULE_VMP_V, *vmp_v);
        self.number(&limits::MODULE_IMP_A, *imp_a);
        self.optional(&limits::MODULE_VOC_PER_C, *voc_per_c);
        self.optional(&limits::MODULE_VMP_PER_C, *vmp_per_c);
        self.number(&limits::MODULE_SERIES_FUSE_A, *series_fuse_a);
        self.at_most(
            (&limits::MODULE_VMP_V, *vmp_v),
            (&limits::MODULE_VOC_V, *voc_v),
        );
        self.at_most(
            (&limits::MODULE_IMP_A, *imp_a),
            (&limits::MODULE_ISC_A, *isc_a),
        );
    }

    fn input(&mut self, input: Option<&InputSheet>) {
        if let Some(InputSheet {
            most_v,
            mppt_from_v,
            mppt_to_v,
            most_working_a,
            most_short_circuit_a,
        }) = input
        {
            self.field("input", |walk| {
                walk.number(&limits::INPUT_MOST_V, *most_v);
                walk.number(&limits::INPUT_MPPT_FROM_V, *mppt_from_v);
                walk.number(&limits::INPUT_MPPT_TO_V, *mppt_to_v);
                walk.number(&limits::INPUT_MOST_WORKING_A, *most_working_a);
                walk.number(&limits::INPUT_MOST_SHORT_CIRCUIT_A, *most_short_circuit_a);
                walk.at_most(
                    (&limits::INPUT_MPPT_FROM_V, *mppt_from_v),
                    (&limits::INPUT_MPPT_TO_V, *mppt_to_v),
                );
                walk.at_most(
                    (&limits::INPUT_MPPT_TO_V, *mppt_to_v),
                    (&limits::INPUT_MOST_V, *most_v),
                );
            });
        }
    }

    pub(super) fn pv_inverter_electrical(&mut self, electrical: &PvInverterElectrical) {
        let PvInverterElectrical {
            at_modules: _,
            inputs,
            input,
            one_line: _,
            output,
        } = electrical;
        self.optional(&limits::PV_INVERTER_INPUTS, inputs.map(f64::from));
        self.input(input.as_ref());
        self.circuit("output", output);
    }

    pub(super) fn generator_electrical(&mut self, electrical: &GeneratorElectrical) {
        let GeneratorElectrical {
            rated_a,
            kept_from_overload: _,
            output,
        } = electrical;
        self.optional(&limits::GENERATOR_RATED_A, *rated_a);
        self.circuit("output", output);
    }

    pub(super) fn storage_electrical(&mut self, electrical: &StorageElectrical) {
        let StorageElectrical {
            input,
            one_line: _,
            output,
            battery_inside: _,
            battery,
            battery_circuit,
            nominal_wh,
            room: _,
            spacing_m,
            clear_depth_m,
            listed: _,
            disconnect: _,
            emergency_shutdown: _,
            gives_both_lines: _,
        } = electrical;
        self.input(input.as_ref());
        self.circuit("output", output);
        if let Some(BatterySheet {
            nominal_v,
            lowest_v,
            highest_v,
        }) = battery
        {
            self.field("battery", |walk| {
                walk.number(&limits::BATTERY_NOMINAL_V, *nominal_v);
                walk.number(&limits::BATTERY_LOWEST_V, *lowest_v);
                walk.number(&limits::BATTERY_HIGHEST_V, *highest_v);
                walk.at_most(
                    (&limits::BATTERY_LOWEST_V, *lowest_v),
                    (&limits::BATTERY_NOMINAL_V, *nominal_v),
                );
                walk.at_most(
                    (&limits::BATTERY_NOMINAL_V, *nominal_v),
                    (&limits::BATTERY_HIGHEST_V, *highest_v),
                );
            });
        }
        self.circuit("battery_circuit", battery_circuit);
        self.optional(&limits::STORAGE_NOMINAL_WH, *nominal_wh);
        self.optional(&limits::STORAGE_SPACING_M, *spacing_m);
        self.optional(&limits::STORAGE_CLEAR_DEPTH_M, *clear_depth_m);
    }
}

#[cfg(test)]
mod tests {
    use crate::check::problems;
    use crate::coupling::{BatterySheet, ModuleSheet};
    use crate::document::demo;

    /// What is wrong with a module, by field.
    fn wrong(change: impl FnOnce(&mut ModuleSheet)) -> Vec<String> {
        let mut module = ModuleSheet {
            count: 12,
            voc_v: 37.0,
            isc_a: 13.8,
            vmp_v: 31.0,
            imp_a: 12.9,
            voc_per_c: Some(-0.0027),
            vmp_per_c: None,
            series_fuse_a: 25.0,
        };
        change(&mut module);
        let mut household = demo();
        household.options[0].arrays[0].electrical.module = Some(module);
        problems(&household)
            .into_iter()
            .map(|problem| problem.path)
            .collect()
    }

    #[test]
    fn a_coefficient_in_per_cent_or_with_the_wrong_sign_is_told() {
        let field = "options[0].arrays[0].electrical.module.voc_per_c";
        assert!(wrong(|_| {}).is_empty());
        for per_c in [-0.27, 0.27, 0.0027, 0.0, -0.000_027, f64::NAN] {
            assert_eq!(wrong(|module| module.voc_per_c = Some(per_c)), [field]);
        }
    }

    #[test]
    fn voltages_and_currents_stand_in_their_order() {
        assert_eq!(
            wrong(|module| module.vmp_v = 38.0),
            ["options[0].arrays[0].electrical.module.vmp_v"]
        );
        assert_eq!(
            wrong(|module| module.imp_a = 14.0),
            ["options[0].arrays[0].electrical.module.imp_a"]
        );
        assert_eq!(
            wrong(|module| module.voc_v = 0.0)
                .first()
                .map(String::as_str),
            Some("options[0].arrays[0].electrical.module.voc_v")
        );
        let mut household = demo();
        household.options[2].storage[0].electrical.battery = Some(BatterySheet {
            nominal_v: 60.0,
            lowest_v: 44.8,
            highest_v: 58.4,
        });
        let found = problems(&household);
        assert_eq!(found.len(), 1);
        assert!(found[0].right.contains("58.4 V"), "{}", found[0]);
    }
}
