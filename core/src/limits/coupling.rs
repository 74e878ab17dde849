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
    LIMITING_POLL_S: "PowerLimiting.commanded.poll_s", "time from one command to the next", Seconds, 0.1 to 60.0, 2.0, "Common practice: 1 s to 5 s with a meter and an inverter.";
    LIMITING_RAMP_PER_S: "PowerLimiting.commanded.ramp_per_s", "speed at which output follows a command", PerSecond, 0.01 to 10.0, 0.2, CHOSEN;
    ISLAND_RESPONSE_S: "IslandMeans.command.response_s", "time to 90 % of a commanded change", Seconds, 0.1 to 60.0, 2.0, CHOSEN;
    ISLAND_OPEN_SOC: "IslandMeans.contactor.open_soc", "state of charge at which the contactor opens", Share, 0.1 to 1.0, 0.95, "Common practice: 90 % to 95 %, before charging tapers.";
    ISLAND_CLOSE_SOC: "IslandMeans.contactor.close_soc", "state of charge at which the contactor closes", Share, 0.0 to 0.99, 0.85, CHOSEN;
    DROOP_FROM_HZ: "FrequencyDroop.from_hz", "frequency above which it backs off", Hz, 49.0 to 64.0, 60.036, "IEEE 1547-2018, table 24: 0.036 Hz above nominal.";
    DROOP_SLOPE_PER_HZ: "FrequencyDroop.slope_per_hz", "power given up for each hertz", PerHz, 0.05 to 5.0, 0.33333333333333, "IEEE 1547-2018, table 24: 5 % of 60 Hz for the whole of rated power.";
    DROOP_HELD_UNTIL_HZ: "FrequencyDroop.held_until_hz", "frequency below which it may rise again", Hz, 49.0 to 64.0, 50.15, "AS/NZS 4777.2:2020.";
    DROOP_RESPONSE_S: "FrequencyDroop.response_s", "time to 90 % of a change", Seconds, 0.1 to 60.0, 5.0, "IEEE 1547-2018, table 24: 5 s.";
    TRIP_AT_HZ: "FrequencyTrip.at_hz", "frequency of the trip", Hz, 45.0 to 66.0, 61.2, "IEEE 1547-2018, table 18: 61.2 Hz.";
    TRIP_AFTER_S: "FrequencyTrip.after_s", "time beyond it", Seconds, 0.0 to 1000.0, 300.0, "IEEE 1547-2018, table 18: 300 s.";
    ENTER_FROM_HZ: "EnterService.from_hz", "lowest frequency at which it comes back", Hz, 45.0 to 60.0, 59.5, "IEEE 1547-2018, table 4: 59.5 Hz.";
    ENTER_TO_HZ: "EnterService.to_hz", "highest frequency at which it comes back", Hz, 50.0 to 64.0, 60.1, "IEEE 1547-2018, table 4: 60.1 Hz.";
    ENTER_WAIT_S: "EnterService.wait_s", "wait before it comes back", Seconds, 0.0 to 1000.0, 300.0, "IEEE 1547-2018, table 4: 300 s.";
    ENTER_RAMP_S: "EnterService.ramp_s", "time of the rise to its rating", Seconds, 0.0 to 1000.0, 300.0, "IEEE 1547-2018, table 4: 300 s.";
    EFFICIENCY_PEAK: "ConverterEfficiency.peak", "peak efficiency", Share, 0.5 to 0.999, 0.976, "Common practice: string inverter.";
    EFFICIENCY_WEIGHTED: "ConverterEfficiency.weighted", "weighted efficiency", Share, 0.5 to 0.998, 0.97, "Common practice: string inverter.";
    EFFICIENCY_NO_LOAD_W: "ConverterEfficiency.no_load_w", "power at no load", W, 0.0 to 20000.0, 12.0, "Common practice: 0.3 % of the rated power.";

    STORAGE_RATED_W: "StorageInverter.rated_w", "rated AC power", W, 50.0 to 1000000.0, 5000.0, CHOSEN;
    SURGE_POWER_W: "Surge.power_w", "power carried for a while", W, 50.0 to 4000000.0, 7500.0, CHOSEN;
    SURGE_DURATION_S: "Surge.duration_s", "how long it is carried", Seconds, 0.01 to 3600.0, 10.0, CHOSEN;
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
    BATTERY_OVERLOAD_S: "Battery.overload_s", "how long it bears more than its limits", Seconds, 0.1 to 600.0, 10.0, CHOSEN;
    BATTERY_ROOM_C: "BatteryPlace.indoors.room_c", "temperature of the room", C, -20.0 to 50.0, 18.0, CHOSEN;
    BATTERY_INITIAL_SOC: "Battery.initial_soc", "state of charge at the start", Share, 0.0 to 1.0, 0.2, CHOSEN;

    RUNNING_RESERVE_SOC: "Running.reserve_soc", "state of charge kept for outages", Share, 0.0 to 1.0, 0.2, "Common practice: 10 % to 30 %.";
    RUNNING_GRID_CHARGE_TO_SOC: "RunningRule.time_of_use.grid_charge_to_soc", "state of charge up to which the grid charges", Share, 0.0 to 1.0, 0.8, CHOSEN;
    RUNNING_WINDOW_TO_SOC: "WindowAim.charge.to_soc", "state of charge up to which the grid charges in these hours", Share, 0.0 to 1.0, 0.8, CHOSEN;

    ISLAND_SHED_SOC: "IslandRunning.shed_soc", "state of charge below which devices are switched off", Share, 0.0 to 1.0, 0.3, CHOSEN;
    ISLAND_SHUT_DOWN_SOC: "IslandRunning.shut_down_soc", "state of charge at which the storage inverter shuts down", Share, 0.0 to 0.5, 0.02, CHOSEN;
    ISLAND_RESTART_SOC: "IslandRunning.restart_soc", "state of charge at which it starts again", Share, 0.01 to 0.9, 0.1, "Common practice: 10 % to 20 %.";
    ISLAND_IDLE_OFFSET_HZ: "IslandRunning.idle_offset_hz", "idle frequency above nominal", Hz, -0.4 to 0.4, 0.0, "Nominal frequency, inside every window for coming back.";
    ISLAND_RISE_HZ: "IslandRunning.rise_hz", "highest frequency above nominal", Hz, 0.0 to 4.0, 2.2, CHOSEN;

    GENERATOR_RATED_W: "Generator.rated_w", "rated AC power", W, 500.0 to 1000000.0, 6000.0, CHOSEN;
    GENERATOR_LEAST_LOAD: "Generator.least_load", "least load", Share, 0.0 to 0.8, 0.3, "Common practice: 30 % of the rating.";
    GENERATOR_START_SOC: "Generator.start_soc", "state of charge at which it starts", Share, 0.0 to 0.9, 0.2, CHOSEN;
    GENERATOR_STOP_SOC: "Generator.stop_soc", "state of charge at which it stops", Share, 0.05 to 1.0, 0.8, CHOSEN;
    GENERATOR_START_DELAY_S: "Generator.start_delay_s", "time to first power", Seconds, 0.0 to 600.0, 15.0, CHOSEN;
    GENERATOR_IDLE_FUEL_L_PER_H: "Generator.idle_fuel_l_per_h", "fuel at no load", LPerHour, 0.0 to 200.0, 0.5, "Common practice: 0.08 L/h for each kW of rating.";
    GENERATOR_FUEL_L_PER_KWH: "Generator.fuel_l_per_kwh", "fuel of each kilowatt-hour", LPerKwh, 0.05 to 2.0, 0.3, "Common practice: diesel, 0.25 L/kWh to 0.35 L/kWh.";
    GENERATOR_FUEL_CUR_PER_L: "Generator.fuel_cur_per_l", "price of the fuel", CurPerL, 0.0 to 1000000.0, 1.5, "An invented round figure that holds a place; it is no price.";
}
