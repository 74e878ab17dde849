//! What the typed numbers are called: the trade words of their rows, and plain words for those that a household meets.

use couplet_core::limits::Limit;

use super::Level;

/// What a number is called at this reading level.
pub(crate) fn label(limit: &'static Limit, level: Level) -> &'static str {
    match level {
        Level::Plain => plain(limit.field).unwrap_or(limit.label),
        Level::Trade => limit.label,
    }
}

fn plain(field: &str) -> Option<&'static str> {
    Some(match field {
        "Array.peak_w" => "size",
        "Array.age_loss" => "lost to age",
        "Array.wiring_loss" => "lost in wiring",
        "Array.mismatch_loss" => "lost to mismatch",
        "Array.power_coefficient_per_c" => "loss by heat",
        "PvInverter.rated_w" => "size",
        "PowerLimiting.commanded.margin_w" => "margin below the limit",
        "PowerLimiting.relay.reconnect_s" => "comes back after",
        "StorageInverter.rated_w" => "inverter size",
        "PowerLimiting.commanded.poll_s" => "told anew every",
        "PowerLimiting.commanded.ramp_per_s" => "follows with",
        "IslandMeans.command.response_s" => "follows within",
        "IslandMeans.contactor.open_soc" => "switched off at",
        "IslandMeans.contactor.close_soc" => "switched on again at",
        "Surge.power_w" => "bears",
        "Surge.duration_s" => "for",
        "Battery.overload_s" => "bears too much for",
        "IslandRunning.shed_soc" => "switches devices off below",
        "IslandRunning.shut_down_soc" => "shuts down at",
        "IslandRunning.restart_soc" => "starts again at",
        "Generator.rated_w" => "size",
        "Generator.start_soc" => "starts when storage falls to",
        "Generator.stop_soc" => "stops when storage reaches",
        "Generator.start_delay_s" => "gives power after",
        "Device.shed_order" => "turn",
        "Start.power_w" => "on top of what runs",
        "Start.duration_s" => "for",
        "Battery.usable_wh" => "battery size",
        "Battery.charge_w" => "charges with at most",
        "Battery.discharge_w" => "gives at most",
        "Battery.least_charge_c" => "not charged below",
        "Battery.initial_soc" => "filled at the start to",
        "Battery.taper_from_soc" => "charges slower from",
        "Battery.self_discharge_per_month" => "lost in a month",
        "BatteryPlace.indoors.room_c" => "room",
        "Running.reserve_soc" => "kept for outages",
        "RunningRule.time_of_use.grid_charge_to_soc" => "charged up to",
        "WindowAim.charge.to_soc" => "filled up to",
        "BaseUse.yearly.energy_wh" => "in a year",
        "Loads.backed_up_share" => "runs in an outage",
        "Tariff.fixed_cur_per_month" => "each month",
        "Tariff.fixed_cur_per_day" => "each day",
        "Tariff.minimum_cur_per_month" => "at least",
        "Holiday.date.day" => "day",
        "Tariff.tax" => "tax",
        "Tier.up_to_wh" => "up to, in a month",
        "Tier.cur_per_kwh" => "buy",
        "Period.sell_cur_per_kwh" => "sell",
        "Window.from_h" => "from",
        "Window.to_h" => "to",
        "DemandCharge.cur_per_kw" => "for the highest power",
        "Export.net_metering.cash_out_cur_per_kwh" => "paid for what is left",
        "Export.all_sold.cur_per_kwh" => "paid for all",
        "ExportPrice.flat.cur_per_kwh" => "sell",
        "Service.export_limit_w" => "at most",
        "RoofPlane.tilt_deg" => "slope",
        "RoofPlane.azimuth_deg" => "faces (180 = south)",
        "Site.elevation_m" => "height",
        "Site.utc_offset_h" => "time from UTC",
        "Site.ground_albedo" => "light from the ground",
        "Site.record_low_c" => "coldest on record",
        "DeviceKind.car.energy_wh_per_day" => "a day",
        "DeviceKind.car.power_w" => "charges with",
        "DeviceKind.car.from_h" => "from",
        "DeviceKind.car.to_h" => "to",
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use couplet_core::limits;

    #[test]
    fn plain_words_differ_from_the_trade_only_where_there_are_some() {
        assert_eq!(label(&limits::ARRAY_PEAK_W, Level::Plain), "size");
        assert_eq!(label(&limits::ARRAY_PEAK_W, Level::Trade), "rated DC power");
        assert_eq!(label(&limits::SITE_LATITUDE_DEG, Level::Plain), "latitude");
    }
}
