//! Rows of the household: site, service, roof planes, loads, tariff.

use super::{Limit, Unit, rows};

const CHOSEN: &str = "Chosen as a starting value; nothing stands behind it but its size.";
const PRACTICE: &str = "Common practice.";
const NEUTRAL: &str = "The value that changes nothing.";

rows! {
    SITE_LATITUDE_DEG: "Site.latitude_deg", "latitude", Deg, -90.0 to 90.0, 40.0, CHOSEN;
    SITE_LONGITUDE_DEG: "Site.longitude_deg", "longitude", Deg, -180.0 to 180.0, 0.0, CHOSEN;
    SITE_ELEVATION_M: "Site.elevation_m", "height above sea level", M, -500.0 to 6000.0, 100.0, CHOSEN;
    SITE_UTC_OFFSET_H: "Site.utc_offset_h", "offset of standard time from UTC", Hours, -12.0 to 14.0, 0.0, CHOSEN;
    SITE_GROUND_ALBEDO: "Site.ground_albedo", "ground albedo", Share, 0.0 to 1.0, 0.2, "Common practice: 0.2 for grass and built ground.";
    SITE_SOILING_SHARE: "Site.soiling_share", "light lost to dirt", Share, 0.0 to 0.9, 0.02, "Common practice: 2 % where it rains often.";
    SITE_RECORD_LOW_C: "Site.record_low_c", "lowest temperature on record", C, -90.0 to 30.0, -20.0, CHOSEN;

    CLIMATE_GHI_WH_M2_DAY: "MonthlyClimate.ghi_wh_m2_day", "mean daily insolation on the level", WhPerM2Day, 0.0 to 13000.0, 4000.0, CHOSEN;
    CLIMATE_AIR_MEAN_C: "MonthlyClimate.air_mean_c", "mean air temperature", C, -80.0 to 55.0, 12.0, CHOSEN;
    CLIMATE_AIR_RANGE_K: "MonthlyClimate.air_range_k", "mean daily range of air temperature", K, 0.0 to 40.0, 10.0, CHOSEN;
    CLIMATE_YEARLY_LOW_C: "MonthlyClimate.yearly_low_c", "mean yearly minimum of air temperature", C, -90.0 to 35.0, -10.0, CHOSEN;
    CLIMATE_YEARLY_HIGH_C: "MonthlyClimate.yearly_high_c", "air temperature exceeded in 2 % of the hours", C, -40.0 to 60.0, 30.0, CHOSEN;

    WEATHER_LATITUDE_DEG: "WeatherFile.latitude_deg", "latitude of the station", Deg, -90.0 to 90.0, 40.0, CHOSEN;
    WEATHER_LONGITUDE_DEG: "WeatherFile.longitude_deg", "longitude of the station", Deg, -180.0 to 180.0, 0.0, CHOSEN;
    WEATHER_ELEVATION_M: "WeatherFile.elevation_m", "height of the station", M, -500.0 to 6000.0, 100.0, CHOSEN;
    WEATHER_UTC_OFFSET_H: "WeatherFile.utc_offset_h", "offset of the file's standard time from UTC", Hours, -12.0 to 14.0, 0.0, CHOSEN;
    WEATHER_GHI_W_M2: "WeatherFile.ghi_w_m2", "global irradiance on the level", WPerM2, 0.0 to 2000.0, 0.0, NEUTRAL;
    WEATHER_DNI_W_M2: "WeatherFile.dni_w_m2", "beam irradiance", WPerM2, 0.0 to 1500.0, 0.0, NEUTRAL;
    WEATHER_DHI_W_M2: "WeatherFile.dhi_w_m2", "diffuse irradiance on the level", WPerM2, 0.0 to 1500.0, 0.0, NEUTRAL;
    WEATHER_AIR_C: "WeatherFile.air_c", "air temperature", C, -90.0 to 65.0, 15.0, CHOSEN;
    WEATHER_WIND_M_S: "WeatherFile.wind_m_s", "wind speed", MPerS, 0.0 to 120.0, 1.0, CHOSEN;

    SERVICE_MAIN_BREAKER_A: "Service.main_breaker_a", "main breaker", A, 5.0 to 1200.0, 100.0, PRACTICE;
    SERVICE_BUSBAR_A: "Service.busbar_a", "busbar rating of the main panel", A, 5.0 to 1600.0, 125.0, PRACTICE;
    SERVICE_TRANSFER_A: "Service.transfer_a", "rating of the transfer switch", A, 5.0 to 1200.0, 63.0, PRACTICE;
    SERVICE_EXPORT_LIMIT_W: "Service.export_limit_w", "export limit", W, 0.0 to 1000000.0, 5000.0, CHOSEN;

    PLANE_TILT_DEG: "RoofPlane.tilt_deg", "slope of the plane", Deg, 0.0 to 90.0, 30.0, PRACTICE;
    PLANE_AZIMUTH_DEG: "RoofPlane.azimuth_deg", "direction that the plane faces", Deg, 0.0 to 360.0, 180.0, "South; the start turns it north below the equator.";
    HORIZON_AZIMUTH_DEG: "HorizonPoint.azimuth_deg", "direction of the horizon point", Deg, 0.0 to 360.0, 180.0, CHOSEN;
    HORIZON_ELEVATION_DEG: "HorizonPoint.elevation_deg", "height of the horizon point", Deg, 0.0 to 90.0, 0.0, NEUTRAL;
    PLANE_SHADE: "RoofPlane.shade", "beam lost to near objects", Share, 0.0 to 1.0, 0.0, NEUTRAL;

    BASE_YEARLY_WH: "BaseUse.yearly.energy_wh", "use of a year", Wh, 0.0 to 500000000.0, 5000000.0, "Common practice: a home of three or four people without electric heating.";
    BASE_MONTHLY_WH: "BaseUse.monthly.energy_wh", "use of a month", Wh, 0.0 to 50000000.0, 400000.0, CHOSEN;
    INTERVAL_POWER_W: "IntervalUse.power_w", "metered power", W, 0.0 to 1000000.0, 500.0, CHOSEN;
    LOADS_BACKED_UP_SHARE: "Loads.backed_up_share", "share of the base use on the backed-up panel", Share, 0.0 to 1.0, 0.5, CHOSEN;

    DEVICE_SHED_ORDER: "Device.shed_order", "place in the shed order", Count, 1.0 to 99.0, 1.0, CHOSEN;
    START_POWER_W: "Start.power_w", "power of a start, on top of what runs", W, 0.0 to 200000.0, 1200.0, "Common practice: a refrigerator, 750 W to 2200 W.";
    START_DURATION_S: "Start.duration_s", "length of a start", Seconds, 0.02 to 30.0, 0.5, "Common practice: a motor, 0.3 s to 1 s.";

    CAR_ENERGY_WH_PER_DAY: "DeviceKind.car.energy_wh_per_day", "energy of a day's charging", Wh, 0.0 to 200000.0, 7500.0, "Derived: 40 km a day at 0.19 kWh/km from the socket.";
    CAR_POWER_W: "DeviceKind.car.power_w", "charging power", W, 500.0 to 50000.0, 7400.0, "Common practice: 32 A at 230 V.";
    CAR_FROM_H: "DeviceKind.car.from_h", "hour at which charging may begin", Hours, 0.0 to 24.0, 22.0, CHOSEN;
    CAR_TO_H: "DeviceKind.car.to_h", "hour at which charging must end", Hours, 0.0 to 24.0, 6.0, CHOSEN;
    HEAT_PUMP_LOSS_W_PER_K: "DeviceKind.heat_pump.heat_loss_w_per_k", "heat loss of the house", WPerK, 1.0 to 3000.0, 150.0, CHOSEN;
    HEAT_PUMP_LIMIT_C: "DeviceKind.heat_pump.heating_limit_c", "outdoor temperature above which nothing is heated", C, 0.0 to 25.0, 15.0, "Common practice: heating limit of 15 °C.";
    HEAT_PUMP_COP_AT_7C: "DeviceKind.heat_pump.cop_at_7c", "coefficient of performance at 7 °C", Ratio, 1.0 to 8.0, 3.6, "Common practice: air to water at 35 °C to 45 °C flow.";
    HEAT_PUMP_POWER_W: "DeviceKind.heat_pump.power_w", "most electric power", W, 100.0 to 50000.0, 3000.0, CHOSEN;
    AIR_CONDITIONER_GAIN_W_PER_K: "DeviceKind.air_conditioner.heat_gain_w_per_k", "heat gain of the house", WPerK, 1.0 to 3000.0, 250.0, CHOSEN;
    AIR_CONDITIONER_LIMIT_C: "DeviceKind.air_conditioner.cooling_limit_c", "outdoor temperature below which nothing is cooled", C, 10.0 to 35.0, 22.0, CHOSEN;
    AIR_CONDITIONER_COP_AT_35C: "DeviceKind.air_conditioner.cop_at_35c", "coefficient of performance at 35 °C", Ratio, 1.0 to 8.0, 3.2, PRACTICE;
    AIR_CONDITIONER_POWER_W: "DeviceKind.air_conditioner.power_w", "most electric power", W, 100.0 to 50000.0, 3000.0, CHOSEN;
    POOL_PUMP_POWER_W: "DeviceKind.pool_pump.power_w", "power", W, 10.0 to 10000.0, 900.0, CHOSEN;
    POOL_PUMP_FROM_H: "DeviceKind.pool_pump.from_h", "hour at which it starts", Hours, 0.0 to 24.0, 10.0, CHOSEN;
    POOL_PUMP_TO_H: "DeviceKind.pool_pump.to_h", "hour at which it stops", Hours, 0.0 to 24.0, 16.0, CHOSEN;
    WATER_HEATER_ENERGY_WH_PER_DAY: "DeviceKind.water_heater.energy_wh_per_day", "energy of a day", Wh, 0.0 to 200000.0, 6000.0, "Derived: 100 l a day by 50 K, and 0.2 kWh lost by the tank.";
    WATER_HEATER_POWER_W: "DeviceKind.water_heater.power_w", "power", W, 100.0 to 50000.0, 3000.0, PRACTICE;
    WATER_HEATER_FROM_H: "DeviceKind.water_heater.from_h", "hour at which it starts", Hours, 0.0 to 24.0, 11.0, CHOSEN;

    TARIFF_FIXED_CUR_PER_MONTH: "Tariff.fixed_cur_per_month", "fixed charge", CurPerMonth, 0.0 to 100000000.0, 10.0, CHOSEN;
    TARIFF_FIXED_CUR_PER_DAY: "Tariff.fixed_cur_per_day", "fixed charge of a day", CurPerDay, 0.0 to 10000000.0, 0.0, NEUTRAL;
    TARIFF_MINIMUM_CUR_PER_MONTH: "Tariff.minimum_cur_per_month", "minimum charge", CurPerMonth, 0.0 to 100000000.0, 0.0, NEUTRAL;
    TARIFF_TAX: "Tariff.tax", "tax", Share, 0.0 to 1.0, 0.0, NEUTRAL;
    TIER_UP_TO_WH: "Tier.up_to_wh", "energy of the month up to which the tier holds", Wh, 0.0 to 1000000000.0, 300000.0, CHOSEN;
    TIER_CUR_PER_KWH: "Tier.cur_per_kwh", "price of bought energy", CurPerKwh, -1000000.0 to 1000000.0, 0.25, CHOSEN;
    PERIOD_SELL_CUR_PER_KWH: "Period.sell_cur_per_kwh", "price of sold energy in the period", CurPerKwh, -1000000.0 to 1000000.0, 0.08, CHOSEN;
    WINDOW_FROM_H: "Window.from_h", "hour at which the period begins", Hours, 0.0 to 24.0, 16.0, CHOSEN;
    WINDOW_TO_H: "Window.to_h", "hour at which the period ends", Hours, 0.0 to 24.0, 21.0, CHOSEN;
    HOLIDAY_MONTH: "Holiday.date.month", "month of the holiday, 0 for January", Count, 0.0 to 11.0, 0.0, CHOSEN;
    HOLIDAY_DAY: "Holiday.date.day", "day of the month of the holiday", Count, 1.0 to 31.0, 1.0, CHOSEN;
    HOLIDAY_NTH_MONTH: "Holiday.nth.month", "month of the holiday, 0 for January", Count, 0.0 to 11.0, 0.0, CHOSEN;
    HOLIDAY_WEEKDAY: "Holiday.nth.weekday", "weekday of the holiday, 0 for Monday", Count, 0.0 to 6.0, 0.0, CHOSEN;
    HOLIDAY_NTH: "Holiday.nth.nth", "which of the month, 5 for the last", Count, 1.0 to 5.0, 1.0, CHOSEN;
    DEMAND_CUR_PER_KW: "DemandCharge.cur_per_kw", "price of the highest power", CurPerKw, 0.0 to 100000000.0, 8.0, CHOSEN;
    EXPORT_CASH_OUT_CUR_PER_KWH: "Export.net_metering.cash_out_cur_per_kwh", "price of energy that is paid out", CurPerKwh, -1000000.0 to 1000000.0, 0.03, CHOSEN;
    EXPORT_YEAR_BEGINS: "CarryOver.yearly.first_month", "month with which the twelve months begin, 0 for January", Count, 0.0 to 11.0, 0.0, CHOSEN;
    EXPORT_ALL_SOLD_CUR_PER_KWH: "Export.all_sold.cur_per_kwh", "price of all that PV generates", CurPerKwh, -1000000.0 to 1000000.0, 0.1, CHOSEN;
    EXPORT_FLAT_CUR_PER_KWH: "ExportPrice.flat.cur_per_kwh", "price of sold energy", CurPerKwh, -1000000.0 to 1000000.0, 0.08, CHOSEN;
    EXPORT_HOURLY_CUR_PER_KWH: "ExportPrice.hourly.cur_per_kwh", "price of sold energy, hour by hour", CurPerKwh, -1000000.0 to 1000000.0, 0.08, CHOSEN;
}
