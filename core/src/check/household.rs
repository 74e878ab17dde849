//! Checks of the household: site, service, roof planes, loads.

use super::Wrong;
use super::walk::{MOST_DEVICES, MOST_HORIZON_POINTS, MOST_OPTIONS, MOST_PLANES, Walk};
use crate::climate::{MonthlyClimate, WeatherFile};
use crate::household::{
    BaseUse, ClimateSource, Device, DeviceKind, Household, IntervalUse, Loads, RoofPlane, Service,
    Site, Start,
};
use crate::limits::{self, Unit};
use crate::loads::window_h;
use crate::sky::{Horizon, HorizonPoint, ShadeTable};

const HOURS_OF_A_YEAR: usize = 8_760;
const SECONDS_OF_A_YEAR: u32 = 31_536_000;

/// Clocks differ from the sun by up to three hours (western China); beyond five, a sign is wrong.
const MOST_CLOCK_OFF_SUN_H: f64 = 5.0;

impl Walk {
    pub(super) fn household(&mut self, household: &Household) {
        let Household {
            name,
            invented: _,
            site,
            service,
            planes,
            loads,
            tariff,
            electrical,
            finance,
            options,
        } = household;
        self.name("name", name);
        self.field("site", |walk| walk.site(site));
        self.field("service", |walk| walk.service(service));
        self.each("planes", "roof planes", planes, MOST_PLANES, Self::plane);
        self.different_ids("planes", "roof plane", planes, |plane| plane.id.0);
        self.field("loads", |walk| walk.loads(loads));
        self.field("tariff", |walk| walk.tariff(tariff));
        self.field("electrical", |walk| walk.household_electrical(electrical));
        self.field("finance", |walk| walk.finance(finance));
        if options.is_empty() {
            self.field("options", |walk| {
                walk.report("options", 0, Wrong::Length, "give at least one");
            });
        }
        self.each(
            "options",
            "options",
            options,
            MOST_OPTIONS,
            |walk, option| {
                walk.option(option, planes, service.supply);
            },
        );
        self.different_ids("options", "option", options, |option| option.id.0);
    }

    fn site(&mut self, site: &Site) {
        let Site {
            place,
            latitude_deg,
            longitude_deg,
            elevation_m,
            utc_offset_h,
            time_zone,
            climate,
            seed: _,
            sky_model: _,
            ground_albedo,
            soiling_share,
            record_low_c,
        } = site;
        self.name("place", place);
        self.number(&limits::SITE_LATITUDE_DEG, *latitude_deg);
        self.number(&limits::SITE_LONGITUDE_DEG, *longitude_deg);
        self.number(&limits::SITE_ELEVATION_M, *elevation_m);
        self.number(&limits::SITE_UTC_OFFSET_H, *utc_offset_h);
        self.clock_near_sun(*longitude_deg, *utc_offset_h);
        self.name("time_zone", time_zone);
        self.field("climate", |walk| match climate {
            ClimateSource::Grid => {}
            ClimateSource::Monthly(monthly) => walk.field("monthly", |walk| walk.monthly(monthly)),
            ClimateSource::File(file) => walk.field("file", |walk| walk.weather_file(file)),
        });
        self.number(&limits::SITE_GROUND_ALBEDO, *ground_albedo);
        self.months(&limits::SITE_SOILING_SHARE, soiling_share);
        self.optional(&limits::SITE_RECORD_LOW_C, *record_low_c);
    }

    /// A longitude with the wrong sign would put the sun into the night.
    fn clock_near_sun(&mut self, longitude_deg: f64, utc_offset_h: f64) {
        let off_h = (utc_offset_h - longitude_deg / 15.0).abs();
        if off_h.min(24.0 - off_h) > MOST_CLOCK_OFF_SUN_H {
            self.inconsistent(
                "utc_offset_h",
                limits::SITE_UTC_OFFSET_H.label,
                Unit::Hours.text(utc_offset_h),
                format!(
                    "give about {} for longitude {longitude_deg}° (east positive), or correct the longitude",
                    Unit::Hours.text(libm::round(longitude_deg / 15.0)),
                ),
            );
        }
    }

    fn monthly(&mut self, monthly: &MonthlyClimate) {
        let MonthlyClimate {
            ghi_wh_m2_day,
            air_mean_c,
            air_range_k,
            yearly_low_c,
            yearly_high_c,
        } = monthly;
        self.months(&limits::CLIMATE_GHI_WH_M2_DAY, ghi_wh_m2_day);
        self.months(&limits::CLIMATE_AIR_MEAN_C, air_mean_c);
        self.months(&limits::CLIMATE_AIR_RANGE_K, air_range_k);
        self.number(&limits::CLIMATE_YEARLY_LOW_C, *yearly_low_c);
        self.number(&limits::CLIMATE_YEARLY_HIGH_C, *yearly_high_c);
        if yearly_low_c >= yearly_high_c {
            self.inconsistent(
                "yearly_low_c",
                limits::CLIMATE_YEARLY_LOW_C.label,
                Unit::C.text(*yearly_low_c),
                format!("give less than the yearly high of {yearly_high_c} °C"),
            );
        }
    }

    fn weather_file(&mut self, file: &WeatherFile) {
        let WeatherFile {
            name,
            latitude_deg,
            longitude_deg,
            elevation_m,
            utc_offset_h,
            ghi_w_m2,
            dni_w_m2,
            dhi_w_m2,
            air_c,
            wind_m_s,
        } = file;
        self.name("name", name);
        self.number(&limits::WEATHER_LATITUDE_DEG, *latitude_deg);
        self.number(&limits::WEATHER_LONGITUDE_DEG, *longitude_deg);
        self.number(&limits::WEATHER_ELEVATION_M, *elevation_m);
        self.number(&limits::WEATHER_UTC_OFFSET_H, *utc_offset_h);
        self.clock_near_sun(*longitude_deg, *utc_offset_h);
        self.series(&limits::WEATHER_GHI_W_M2, HOURS_OF_A_YEAR, ghi_w_m2);
        self.series(&limits::WEATHER_DNI_W_M2, HOURS_OF_A_YEAR, dni_w_m2);
        self.series(&limits::WEATHER_DHI_W_M2, HOURS_OF_A_YEAR, dhi_w_m2);
        self.series(&limits::WEATHER_AIR_C, HOURS_OF_A_YEAR, air_c);
        self.series(&limits::WEATHER_WIND_M_S, HOURS_OF_A_YEAR, wind_m_s);
    }

    fn service(&mut self, service: &Service) {
        let Service {
            supply: _,
            utility: _,
            main_breaker_a,
            busbar_a,
            transfer_a,
            export_limit_w,
        } = service;
        self.number(&limits::SERVICE_MAIN_BREAKER_A, *main_breaker_a);
        self.number(&limits::SERVICE_BUSBAR_A, *busbar_a);
        self.number(&limits::SERVICE_TRANSFER_A, *transfer_a);
        self.optional(&limits::SERVICE_EXPORT_LIMIT_W, *export_limit_w);
    }

    fn plane(&mut self, plane: &RoofPlane) {
        let RoofPlane {
            id: _,
            name,
            tilt_deg,
            azimuth_deg,
            mounting: _,
            horizon: Horizon(points),
            shade,
        } = plane;
        self.name("name", name);
        self.number(&limits::PLANE_TILT_DEG, *tilt_deg);
        self.number(&limits::PLANE_AZIMUTH_DEG, *azimuth_deg);
        let label = "points of the horizon";
        self.each(
            "horizon",
            label,
            points,
            MOST_HORIZON_POINTS,
            |walk, point| {
                let HorizonPoint {
                    azimuth_deg,
                    elevation_deg,
                } = point;
                walk.number(&limits::HORIZON_AZIMUTH_DEG, *azimuth_deg);
                walk.number(&limits::HORIZON_ELEVATION_DEG, *elevation_deg);
            },
        );
        if let Some(ShadeTable(months)) = shade {
            self.field("shade", |walk| walk.shade(months));
        }
    }

    fn shade(&mut self, months: &[Vec<f64>]) {
        let label = limits::PLANE_SHADE.label;
        if months.len() != 12 {
            let value = format!("{} months", months.len());
            self.report(label, value, Wrong::Length, "give 12 months of 24 hours");
        }
        for (month, hours) in months.iter().take(12).enumerate() {
            self.element(month, |walk| {
                if hours.len() != 24 {
                    let value = format!("{} hours", hours.len());
                    walk.report(label, value, Wrong::Length, "give 24 hours");
                }
                for (hour, share) in hours.iter().take(24).enumerate() {
                    walk.element(hour, |walk| walk.number_here(&limits::PLANE_SHADE, *share));
                }
            });
        }
    }

    fn loads(&mut self, loads: &Loads) {
        let Loads {
            base,
            backed_up_share,
            base_start,
            devices,
        } = loads;
        self.field("base", |walk| match base {
            BaseUse::Yearly {
                energy_wh,
                profile: _,
            } => walk.field("yearly", |walk| {
                walk.number(&limits::BASE_YEARLY_WH, *energy_wh)
            }),
            BaseUse::Monthly {
                energy_wh,
                profile: _,
            } => walk.field("monthly", |walk| {
                walk.months(&limits::BASE_MONTHLY_WH, energy_wh)
            }),
            BaseUse::Intervals(intervals) => {
                walk.field("intervals", |walk| walk.intervals(intervals));
            }
        });
        self.number(&limits::LOADS_BACKED_UP_SHARE, *backed_up_share);
        self.start("base_start", base_start.as_ref());
        self.each("devices", "devices", devices, MOST_DEVICES, Self::device);
        self.different_ids("devices", "device", devices, |device| device.id.0);
    }

    fn intervals(&mut self, intervals: &IntervalUse) {
        let IntervalUse {
            source,
            interval_s,
            power_w,
        } = intervals;
        self.name("source", source);
        if matches!(interval_s, 900 | 1_800 | 3_600) {
            let length = usize::try_from(SECONDS_OF_A_YEAR / interval_s).unwrap_or(usize::MAX);
            self.series(&limits::INTERVAL_POWER_W, length, power_w);
        } else {
            self.inconsistent(
                "interval_s",
                "length of an interval",
                Unit::Seconds.text(f64::from(*interval_s)),
                "give 900 s, 1800 s or 3600 s",
            );
        }
    }

    fn device(&mut self, device: &Device) {
        let Device {
            id: _,
            name,
            backed_up: _,
            is_added: _,
            shed_order,
            start,
            kind,
        } = device;
        self.name("name", name);
        self.optional(&limits::DEVICE_SHED_ORDER, shed_order.map(f64::from));
        self.start("start", start.as_ref());
        self.field("kind", |walk| walk.device_kind(kind));
    }

    fn start(&mut self, key: &str, start: Option<&Start>) {
        if let Some(Start {
            power_w,
            duration_s,
        }) = start
        {
            self.field(key, |walk| {
                walk.number(&limits::START_POWER_W, *power_w);
                walk.number(&limits::START_DURATION_S, *duration_s);
            });
        }
    }

    fn device_kind(&mut self, kind: &DeviceKind) {
        match kind {
            DeviceKind::Car {
                energy_wh_per_day,
                power_w,
                from_h,
                to_h,
                weekends: _,
            } => self.field("car", |walk| {
                walk.number(&limits::CAR_ENERGY_WH_PER_DAY, *energy_wh_per_day);
                walk.number(&limits::CAR_POWER_W, *power_w);
                walk.window((&limits::CAR_FROM_H, *from_h), (&limits::CAR_TO_H, *to_h));
                let most_wh = power_w * window_h(*from_h, *to_h);
                walk.fits_window(&limits::CAR_ENERGY_WH_PER_DAY, *energy_wh_per_day, most_wh);
            }),
            DeviceKind::HeatPump {
                heat_loss_w_per_k,
                heating_limit_c,
                cop_at_7c,
                power_w,
            } => self.field("heat_pump", |walk| {
                walk.number(&limits::HEAT_PUMP_LOSS_W_PER_K, *heat_loss_w_per_k);
                walk.number(&limits::HEAT_PUMP_LIMIT_C, *heating_limit_c);
                walk.number(&limits::HEAT_PUMP_COP_AT_7C, *cop_at_7c);
                walk.number(&limits::HEAT_PUMP_POWER_W, *power_w);
            }),
            DeviceKind::AirConditioner {
                heat_gain_w_per_k,
                cooling_limit_c,
                cop_at_35c,
                power_w,
            } => self.field("air_conditioner", |walk| {
                walk.number(&limits::AIR_CONDITIONER_GAIN_W_PER_K, *heat_gain_w_per_k);
                walk.number(&limits::AIR_CONDITIONER_LIMIT_C, *cooling_limit_c);
                walk.number(&limits::AIR_CONDITIONER_COP_AT_35C, *cop_at_35c);
                walk.number(&limits::AIR_CONDITIONER_POWER_W, *power_w);
            }),
            DeviceKind::PoolPump {
                power_w,
                from_h,
                to_h,
                months: _,
            } => self.field("pool_pump", |walk| {
                walk.number(&limits::POOL_PUMP_POWER_W, *power_w);
                let to = (&limits::POOL_PUMP_TO_H, *to_h);
                walk.window((&limits::POOL_PUMP_FROM_H, *from_h), to);
            }),
            DeviceKind::WaterHeater {
                energy_wh_per_day,
                power_w,
                from_h,
            } => self.field("water_heater", |walk| {
                let energy = &limits::WATER_HEATER_ENERGY_WH_PER_DAY;
                walk.number(energy, *energy_wh_per_day);
                walk.number(&limits::WATER_HEATER_POWER_W, *power_w);
                walk.number(&limits::WATER_HEATER_FROM_H, *from_h);
                walk.fits_window(energy, *energy_wh_per_day, power_w * 24.0);
            }),
        }
    }

    /// The energy of a day must fit into its hours at the device's power.
    fn fits_window(&mut self, limit: &'static limits::Limit, energy_wh: f64, most_wh: f64) {
        if energy_wh > most_wh {
            self.inconsistent(
                limit.key(),
                limit.label,
                limit.unit.text(energy_wh),
                format!("give at most {most_wh} Wh, more power or more hours"),
            );
        }
    }
}
