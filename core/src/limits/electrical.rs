//! Rows of what the electrical rules ask for.

use super::{Limit, Unit, rows};

const GENERIC: &str = "Generic and invented, within what such parts commonly have.";
const PRACTICE: &str = "Common practice.";
const CHOSEN: &str = "Chosen as a starting value; nothing stands behind it but its size.";

rows! {
    BACKED_UP_BUSBAR_A: "HouseholdElectrical.backed_up_busbar_a", "busbar rating of the backed-up panel", A, 5.0 to 1600.0, 125.0, PRACTICE;
    EXPORT_CONTROL_LIMIT_S: "HouseholdElectrical.export_control_limit_s", "time that the utility grants the export control", Seconds, 0.01 to 600.0, 30.0, "Common practice: 30 s for certified control, 2 s to 5 s in places.";
    DC_DROP_SHARE: "HouseholdElectrical.dc_drop_share", "voltage drop that DC runs stay below", Share, 0.001 to 0.1, 0.02, "Common practice: 1 % to 2 % on DC, 2 % at a battery.";
    AC_DROP_SHARE: "HouseholdElectrical.ac_drop_share", "voltage drop that AC runs stay below", Share, 0.001 to 0.1, 0.02, "Common practice: 1.5 % to 2 % at the output of an inverter.";
    PANEL_LOAD_BREAKERS_A: "PanelElectrical.load_breakers_a", "ratings of all load breakers together", A, 0.0 to 10000.0, 150.0, CHOSEN;
    PANEL_FEED_THROUGH_A: "PanelElectrical.feed_through_a", "ampacity of the conductors at the feed-through lugs", A, 5.0 to 1600.0, 200.0, CHOSEN;
    PANEL_CONTROL_A: "PanelElectrical.control_a", "setting of the power control system", A, 0.0 to 1600.0, 32.0, CHOSEN;
    DWELLING_FLOOR_M2: "Dwelling.floor_m2", "floor area", M2, 5.0 to 5000.0, 150.0, CHOSEN;
    DWELLING_CIRCUITS: "Dwelling.appliance_circuits", "small-appliance and laundry circuits", Count, 0.0 to 50.0, 3.0, "NEC 220.52: two small-appliance circuits and one for laundry.";
    DWELLING_APPLIANCES_W: "Dwelling.appliances_w", "appliances fastened in place", W, 0.0 to 200000.0, 15000.0, CHOSEN;
    DWELLING_ADDED_APPLIANCES_W: "Dwelling.added_appliances_w", "appliances added now", W, 0.0 to 200000.0, 0.0, "Nothing is added until it is said.";
    DWELLING_CENTRAL_HEATING_W: "Dwelling.central_heating_w", "central electric resistance heating", W, 0.0 to 200000.0, 0.0, "Heated otherwise until it is said.";
    HOME_LIGHTING_W: "HomeCircuits.lighting_w", "lighting", W, 0.0 to 50000.0, 1000.0, CHOSEN;
    HOME_HEATING_W: "HomeCircuits.heating_w", "direct electric heating and appliances fastened in place", W, 0.0 to 200000.0, 3000.0, CHOSEN;
    HOME_COOKING_W: "HomeCircuits.cooking_w", "hob and oven", W, 0.0 to 50000.0, 10000.0, CHOSEN;
    HOME_INSTANT_HEATERS: "HomeCircuits.instant_heaters", "water heaters that heat as it flows", Count, 0.0 to 20.0, 0.0, CHOSEN;
    HOME_INSTANT_HEATER_W: "HomeCircuits.instant_heater_w", "power of each of them", W, 0.0 to 30000.0, 9000.0, CHOSEN;
    HOME_STORED_HEAT_W: "HomeCircuits.stored_heat_w", "water heaters with a thermostat, storage heaters", W, 0.0 to 200000.0, 3000.0, CHOSEN;
    HOME_SOCKET_CIRCUITS: "HomeCircuits.socket_circuits", "circuits of sockets", Count, 0.0 to 50.0, 4.0, CHOSEN;
    HOME_SOCKET_DEVICE_A: "HomeCircuits.socket_device_a", "device of each circuit of sockets", A, 6.0 to 63.0, 16.0, PRACTICE;
    CIRCUIT_ONE_WAY_M: "CircuitChoice.one_way_m", "length of the run, one way", M, 0.1 to 1000.0, 10.0, CHOSEN;
    CIRCUIT_DEVICE_A: "CircuitChoice.device_a", "breaker or fuse", A, 1.0 to 6000.0, 40.0, CHOSEN;
    CIRCUIT_AMBIENT_C: "CircuitChoice.ambient_c", "air temperature about the conductors", C, -40.0 to 90.0, 30.0, "The base of the ampacity tables.";
    CIRCUIT_PARALLEL: "CircuitChoice.parallel", "conductors of each pole in parallel", Count, 1.0 to 12.0, 1.0, PRACTICE;
    CIRCUIT_FAULT_A: "CircuitChoice.fault_a", "highest short-circuit current at the device", A, 10.0 to 200000.0, 6000.0, CHOSEN;
    CIRCUIT_FAULT_CLEARED_S: "CircuitChoice.fault_cleared_s", "time until the device has cleared it", Seconds, 0.001 to 5.0, 0.1, "IEC 60364-4-43, 434.5.2: 5 s at most.";
    WIRING_LOADED_CONDUCTORS: "Wiring.nec.loaded_conductors", "loaded conductors in the raceway", Count, 1.0 to 100.0, 2.0, PRACTICE;
    WIRING_CIRCUITS: "Wiring.iec.circuits", "circuits that are bunched", Count, 1.0 to 100.0, 1.0, PRACTICE;
    MODULE_COUNT: "ModuleSheet.count", "number of modules", Count, 1.0 to 10000.0, 12.0, CHOSEN;
    MODULE_VOC_V: "ModuleSheet.voc_v", "open-circuit voltage of a module", V, 1.0 to 500.0, 37.0, GENERIC;
    MODULE_ISC_A: "ModuleSheet.isc_a", "short-circuit current of a module", A, 0.01 to 60.0, 13.8, GENERIC;
    MODULE_VMP_V: "ModuleSheet.vmp_v", "voltage of a module at maximum power", V, 1.0 to 500.0, 31.0, GENERIC;
    MODULE_IMP_A: "ModuleSheet.imp_a", "current of a module at maximum power", A, 0.01 to 60.0, 12.9, GENERIC;
    MODULE_VOC_PER_C: "ModuleSheet.voc_per_c", "change of open-circuit voltage with temperature", PerC, -0.006 to -0.0005, -0.0027, GENERIC;
    MODULE_VMP_PER_C: "ModuleSheet.vmp_per_c", "change of voltage at maximum power with temperature", PerC, -0.008 to -0.0005, -0.0035, GENERIC;
    MODULE_SERIES_FUSE_A: "ModuleSheet.series_fuse_a", "largest series fuse of a module", A, 1.0 to 100.0, 25.0, GENERIC;
    STRINGS_IN_SERIES: "InputStrings.in_series", "modules in series", Count, 1.0 to 100.0, 10.0, CHOSEN;
    STRINGS_PARALLEL: "InputStrings.parallel", "strings in parallel", Count, 1.0 to 100.0, 1.0, CHOSEN;
    INPUT_MOST_V: "InputSheet.most_v", "highest voltage of an input", V, 10.0 to 1500.0, 600.0, GENERIC;
    INPUT_MPPT_FROM_V: "InputSheet.mppt_from_v", "voltage from which an input tracks", V, 1.0 to 1500.0, 90.0, GENERIC;
    INPUT_MPPT_TO_V: "InputSheet.mppt_to_v", "voltage to which an input tracks", V, 10.0 to 1500.0, 560.0, GENERIC;
    INPUT_MOST_WORKING_A: "InputSheet.most_working_a", "highest working current of an input", A, 0.1 to 500.0, 16.0, GENERIC;
    INPUT_MOST_SHORT_CIRCUIT_A: "InputSheet.most_short_circuit_a", "highest short-circuit current of an input", A, 0.1 to 500.0, 22.0, GENERIC;
    PV_INVERTER_INPUTS: "PvInverterElectrical.inputs", "number of MPPT inputs", Count, 1.0 to 24.0, 2.0, PRACTICE;
    GENERATOR_RATED_A: "GeneratorElectrical.rated_a", "rated current by the plate", A, 1.0 to 6000.0, 25.0, CHOSEN;
    STORAGE_NOMINAL_WH: "StorageElectrical.nominal_wh", "nominal energy", Wh, 100.0 to 2000000.0, 11000.0, "Common practice: nine tenths of it usable.";
    STORAGE_SPACING_M: "StorageElectrical.spacing_m", "distance to other units, doors and windows", M, 0.0 to 100.0, 0.914, "NFPA 855 chapter 15: 3 ft.";
    STORAGE_CLEAR_DEPTH_M: "StorageElectrical.clear_depth_m", "clear depth before the storage", M, 0.0 to 100.0, 0.914, "NEC 110.26(A)(1): 3 ft.";
    BATTERY_NOMINAL_V: "BatterySheet.nominal_v", "nominal voltage of the battery", V, 6.0 to 1500.0, 51.2, GENERIC;
    BATTERY_LOWEST_V: "BatterySheet.lowest_v", "lowest voltage of the battery", V, 5.0 to 1500.0, 44.8, GENERIC;
    BATTERY_HIGHEST_V: "BatterySheet.highest_v", "highest voltage of the battery", V, 6.0 to 1500.0, 58.4, GENERIC;
}
