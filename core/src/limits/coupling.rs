//! Rows of an option: arrays, PV inverters, storage units, running.

use super::{Limit, Unit, rows};

const CHOSEN: &str = "Chosen as a starting value; nothing stands behind it but its size.";

rows! {
    ARRAY_PEAK_W: "Array.peak_w", "rated DC power", W, 10.0 to 1000000.0, 5000.0, CHOSEN;
    ARRAY_POWER_COEFFICIENT_PER_C: "Array.power_coefficient_per_c", "change of power with cell temperature", PerC, -0.01 to 0.0, -0.0035, "Common practice: crystalline modules, −0.35 %/°C.";
    ARRAY_WIRING_LOSS: "Array.wiring_loss", "loss in wiring at rated power", Share, 0.0 to 0.2, 0.01, "Common practice: 1 %.";
    ARRAY_MISMATCH_LOSS: "Array.mismatch_loss", "loss to mismatch and tolerance", Share, 0.0 to 0.2, 0.02, "Common practice: 2 %.";
    ARRAY_AGE_LOSS: "Array.age_loss", "loss to age so far", Share, 0.0 to 0.9, 0.0, "New modules.";

    PV_INVERTER_RATED_W: "PvInverter.rated_w", "rated AC power", W, 50.0 to 1000000.0, 4000.0, "Common practice: DC/AC ratio near 1.2.";
    LIMITING_MARGIN_W: "PowerLimiting.commanded.margin_w", "margin below the export limit", W, 0.0 to 20000.0, 100.0, "Common practice: 0.1 kW to 0.3 kW.";
    LIMITING_RECONNECT_S: "PowerLimiting.relay.reconnect_s", "wait before it comes back", Seconds, 1.0 to 7200.0, 300.0, "IEEE 1547-2018, enter service: 300 s.";
    EFFICIENCY_PEAK: "ConverterEfficiency.peak", "peak efficiency", Share, 0.5 to 0.999, 0.976, "Common practice: string inverter.";
    EFFICIENCY_WEIGHTED: "ConverterEfficiency.weighted", "weighted efficiency", Share, 0.5 to 0.998, 0.97, "Common practice: string inverter.";
    EFFICIENCY_NO_LOAD_W: "ConverterEfficiency.no_load_w", "power at no load", W, 0.0 to 20000.0, 12.0, "Common practice: 0.3 % of the rated power.";

    STORAGE_RATED_W: "StorageInverter.rated_w", "rated AC power", W, 50.0 to 1000000.0, 5000.0, CHOSEN;
    MPPT_INPUTS: "Mppt.inputs", "number of MPPT inputs", Count, 1.0 to 24.0, 2.0, "Common practice.";
    MPPT_EFFICIENCY: "Mppt.efficiency", "efficiency from array to DC bus", Share, 0.5 to 1.0, 0.98, "Common practice: 98 %.";
    MPPT_RATED_W: "Mppt.rated_w", "most power of all inputs", W, 50.0 to 1000000.0, 7500.0, "Common practice: 1.5 times the rated AC power.";
    BATTERY_USABLE_WH: "Battery.usable_wh", "usable energy", Wh, 100.0 to 1000000.0, 10000.0, CHOSEN;
    BATTERY_CHARGE_W: "Battery.charge_w", "most charging power", W, 10.0 to 1000000.0, 5000.0, "Common practice: 0.5 C.";
    BATTERY_DISCHARGE_W: "Battery.discharge_w", "most discharging power", W, 10.0 to 1000000.0, 5000.0, "Common practice: 0.5 C.";
    BATTERY_CHARGE_EFFICIENCY: "Battery.charge_efficiency", "charging efficiency", Share, 0.5 to 1.0, 0.98, "Common practice: lithium, 96 % there and back on DC.";
    BATTERY_DISCHARGE_EFFICIENCY: "Battery.discharge_efficiency", "discharging efficiency", Share, 0.5 to 1.0, 0.98, "Common practice: lithium, 96 % there and back on DC.";
    BATTERY_TAPER_FROM_SOC: "Battery.taper_from_soc", "state of charge at which charging begins to taper", Share, 0.5 to 1.0, 0.95, "Common practice: constant-voltage phase of the last few percent.";
    BATTERY_SELF_DISCHARGE_PER_MONTH: "Battery.self_discharge_per_month", "self-discharge of a month", Share, 0.0 to 0.3, 0.02, "Common practice: lithium, 2 %.";
    BATTERY_LEAST_CHARGE_C: "Battery.least_charge_c", "lowest temperature at which it may be charged", C, -40.0 to 20.0, 0.0, "Common practice: lithium is not charged below freezing.";
    BATTERY_ROOM_C: "BatteryPlace.indoors.room_c", "temperature of the room", C, -20.0 to 50.0, 18.0, CHOSEN;
    BATTERY_INITIAL_SOC: "Battery.initial_soc", "state of charge at the start", Share, 0.0 to 1.0, 0.2, CHOSEN;

    RUNNING_RESERVE_SOC: "Running.reserve_soc", "state of charge kept for outages", Share, 0.0 to 1.0, 0.2, "Common practice: 10 % to 30 %.";
    RUNNING_GRID_CHARGE_TO_SOC: "RunningRule.time_of_use.grid_charge_to_soc", "state of charge up to which the grid charges", Share, 0.0 to 1.0, 0.8, CHOSEN;
}
