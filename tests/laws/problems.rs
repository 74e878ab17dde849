//! Each kind of problem, made on purpose in the demonstration: it must be named at its field, and alone.

use couplet_core::bill::{DemandCharge, Export, ExportPrice, Holiday, Surplus, Tier};
use couplet_core::check::{Problem, Wrong, problems};
use couplet_core::climate::{MonthlyClimate, WeatherFile};
use couplet_core::coupling::PowerLimiting;
use couplet_core::document::demo;
use couplet_core::household::{
    ArrayId, BaseUse, ClimateSource, DeviceKind, Household, IntervalUse, PlaneId, PvInverterId,
    StorageId,
};
use couplet_core::sky::ShadeTable;

/// The change must make exactly this problem, and its sentence must tell these words of remedy.
#[track_caller]
fn assert_problem(change: impl FnOnce(&mut Household), path: &str, wrong: Wrong, remedy: &str) {
    let mut household = demo();
    change(&mut household);
    let found = problems(&household);
    let [problem] = found.as_slice() else {
        panic!("expected one problem at {path}, found {found:#?}");
    };
    assert_eq!((problem.path.as_str(), problem.wrong), (path, wrong));
    let sentence = problem.to_string();
    assert!(sentence.contains(remedy), "{sentence}");
}

#[test]
fn numbers_out_of_range_or_not_numbers() {
    let tilt = |tilt_deg: f64| move |one: &mut Household| one.planes[1].tilt_deg = tilt_deg;
    let path = "planes[1].tilt_deg";
    assert_problem(
        tilt(90.5),
        path,
        Wrong::OutOfRange,
        "90.5° is out of range; give 0° to 90°",
    );
    assert_problem(tilt(f64::NAN), path, Wrong::NotANumber, "give 0° to 90°");
    assert_problem(
        tilt(f64::NEG_INFINITY),
        path,
        Wrong::NotANumber,
        "give 0° to 90°",
    );
}

#[test]
fn ids_that_are_there_twice() {
    let twice = |change: fn(&mut Household), path| {
        assert_problem(change, path, Wrong::Duplicate, "of its own")
    };
    twice(|one| one.options[3].id = one.options[0].id, "options[3].id");
    twice(
        |one| one.loads.devices[1].id = one.loads.devices[0].id,
        "loads.devices[1].id",
    );
    twice(
        |one| one.options[1].arrays[2].id = ArrayId(1),
        "options[1].arrays[2].id",
    );
    twice(
        |one| {
            let unit = one.options[1].storage[0].clone();
            one.options[1].storage.push(unit);
        },
        "options[1].storage[1].id",
    );
    twice(
        |one| {
            let plane = one.planes[0].clone();
            one.planes.push(plane);
        },
        "planes[3].id",
    );
    twice(
        |one| {
            let inverter = one.options[1].pv_inverters[0].clone();
            one.options[1].pv_inverters.push(inverter);
        },
        "options[1].pv_inverters[3].id",
    );
}

#[test]
fn ids_that_name_nothing() {
    assert_problem(
        |one| one.options[1].arrays[0].plane = PlaneId(9),
        "options[1].arrays[0].plane",
        Wrong::NamesNothing,
        "roof plane",
    );
    assert_problem(
        |one| one.options[1].arrays[0].pv_inverter = PvInverterId(9),
        "options[1].arrays[0].pv_inverter",
        Wrong::NamesNothing,
        "PV inverter",
    );
    assert_problem(
        |one| one.options[3].arrays[0].dc_unit = Some(StorageId(9)),
        "options[3].arrays[0].dc_unit",
        Wrong::NamesNothing,
        "storage unit",
    );
}

#[test]
fn an_array_on_dc_needs_mppt_inputs_but_no_pv_inverter() {
    assert_problem(
        |one| one.options[2].storage[0].mppt = None,
        "options[2].arrays[1].dc_unit",
        Wrong::Inconsistent,
        "MPPT",
    );
    let mut household = demo();
    household.options[3].pv_inverters.clear();
    assert_eq!(problems(&household), Vec::<Problem>::new());
}

#[test]
fn lists_and_texts_of_the_wrong_length() {
    assert_problem(
        |one| one.options.clear(),
        "options",
        Wrong::Length,
        "at least one",
    );
    assert_problem(
        |one| one.planes[0].shade = Some(ShadeTable(vec![vec![0.0; 24]; 11])),
        "planes[0].shade",
        Wrong::Length,
        "12 months of 24 hours",
    );
    assert_problem(
        |one| {
            let mut months = vec![vec![0.0; 24]; 12];
            months[7].pop();
            one.planes[0].shade = Some(ShadeTable(months));
        },
        "planes[0].shade[7]",
        Wrong::Length,
        "24 hours",
    );
    assert_problem(
        |one| one.name = "x".repeat(201),
        "name",
        Wrong::Length,
        "200",
    );
    assert_problem(
        |one| {
            let device = one.loads.devices[0].clone();
            one.loads.devices = (1..=33)
                .map(|id| {
                    let mut device = device.clone();
                    device.id.0 = id;
                    device
                })
                .collect();
        },
        "loads.devices",
        Wrong::Length,
        "at most 32",
    );
}

fn intervals(interval_s: u32, power_w: Vec<f64>) -> impl FnOnce(&mut Household) {
    move |one| {
        one.loads.base = BaseUse::Intervals(IntervalUse {
            source: "meter.csv".to_owned(),
            interval_s,
            power_w: power_w.into(),
        });
    }
}

#[test]
fn series_of_the_wrong_length_or_with_wrong_values() {
    let path = "loads.base.intervals.power_w";
    assert_problem(
        intervals(3_600, vec![1.0; 8_784]),
        path,
        Wrong::Length,
        "8760 values",
    );
    let mut power_w = vec![1.0; 35_040];
    power_w[100] = -3.0;
    power_w[200] = f64::NAN;
    let at = "loads.base.intervals.power_w[100]";
    assert_problem(intervals(900, power_w), at, Wrong::OutOfRange, "and 1 more");
    let path = "loads.base.intervals.interval_s";
    assert_problem(
        intervals(0, Vec::new()),
        path,
        Wrong::Inconsistent,
        "900 s, 1800 s or 3600 s",
    );
    let file = WeatherFile {
        name: "station".to_owned(),
        latitude_deg: 39.9,
        longitude_deg: -82.4,
        elevation_m: 290.0,
        utc_offset_h: -5.0,
        ghi_w_m2: vec![0.0; 8_759].into(),
        dni_w_m2: vec![0.0; 8_760].into(),
        dhi_w_m2: vec![0.0; 8_760].into(),
        air_c: vec![10.0; 8_760].into(),
        wind_m_s: vec![1.0; 8_760].into(),
    };
    assert_problem(
        |one| one.site.climate = ClimateSource::File(file),
        "site.climate.file.ghi_w_m2",
        Wrong::Length,
        "8760",
    );
}

#[test]
fn fields_that_do_not_go_together() {
    let does_not_fit = |change: fn(&mut Household), path, remedy| {
        assert_problem(change, path, Wrong::Inconsistent, remedy);
    };
    does_not_fit(
        |one| one.options[1].pv_inverters[0].efficiency.weighted = 0.98,
        "options[1].pv_inverters[0].efficiency.weighted",
        "less than the peak efficiency of 0.976",
    );
    does_not_fit(
        |one| one.options[1].pv_inverters[0].efficiency.no_load_w = 400.0,
        "options[1].pv_inverters[0].efficiency.no_load_w",
        "at most",
    );
    does_not_fit(
        |one| one.options[1].storage[0].inverter.efficiency.weighted = 0.9659,
        "options[1].storage[0].inverter.efficiency.weighted",
        "at most",
    );
    does_not_fit(
        |one| one.site.longitude_deg = 82.4,
        "site.utc_offset_h",
        "give about 5 h for longitude 82.4°",
    );
    does_not_fit(
        |one| "euro".clone_into(&mut one.tariff.currency),
        "tariff.currency",
        "ISO 4217",
    );
    does_not_fit(
        |one| "ERU".clone_into(&mut one.tariff.currency),
        "tariff.currency",
        "ISO 4217",
    );
    does_not_fit(
        |one| one.tariff.fixed_cur_per_day = 60.1,
        "tariff.fixed_cur_per_day",
        "give it in USD/day, not in hundredths: is 0.601 meant?",
    );
    does_not_fit(
        |one| one.tariff.periods[0].tiers[0].cur_per_kwh = 28.7,
        "tariff.periods[0].tiers[0].cur_per_kwh",
        "give it in USD/kWh, not in hundredths: is 0.287 meant?",
    );
    does_not_fit(
        |one| one.tariff.periods[0].windows[0].to_h = 16.0,
        "tariff.periods[0].windows[0].to_h",
        "another hour",
    );
    does_not_fit(
        |one| one.tariff.clock_rule = Some("half past".to_owned()),
        "tariff.clock_rule",
        "CET-1CEST",
    );
    does_not_fit(
        |one| {
            one.tariff
                .holidays
                .push(Holiday::Date { month: 1, day: 29 })
        },
        "tariff.holidays[0].date.day",
        "at most 28",
    );
    does_not_fit(
        |one| one.tariff.periods[1].windows.clear(),
        "tariff.periods[1].windows",
        "at least one",
    );
    does_not_fit(
        |one| one.tariff.periods.truncate(2),
        "tariff.periods[1].windows",
        "leave them open",
    );
    does_not_fit(
        |one| one.tariff.periods[0].tiers[0].up_to_wh = Some(300_000.0),
        "tariff.periods[0].tiers[0].up_to_wh",
        "no end",
    );
    does_not_fit(
        |one| {
            let tier = |up_to_wh| Tier {
                up_to_wh,
                cur_per_kwh: 0.2,
            };
            one.tariff.periods[0].tiers =
                vec![tier(Some(300_000.0)), tier(Some(200_000.0)), tier(None)];
        },
        "tariff.periods[0].tiers[1].up_to_wh",
        "more than 300000 Wh",
    );
    does_not_fit(
        |one| {
            one.tariff.demand.push(DemandCharge {
                name: String::new(),
                windows: Vec::new(),
                interval_s: 60,
                cur_per_kw: 8.0,
            });
        },
        "tariff.demand[0].interval_s",
        "900 s, 1800 s or 3600 s",
    );
    assert_problem(
        |one| {
            one.tariff.export = Export::NetBilling {
                price: ExportPrice::Hourly {
                    cur_per_kwh: vec![0.1; 24].into(),
                },
                surplus: Surplus::Paid,
            };
        },
        "tariff.export.net_billing.price.hourly.cur_per_kwh",
        Wrong::Length,
        "8760",
    );
    assert_problem(
        |one| one.tariff.periods.clear(),
        "tariff.periods",
        Wrong::Length,
        "at least one",
    );
    does_not_fit(
        |one| {
            if let DeviceKind::Car {
                energy_wh_per_day, ..
            } = &mut one.loads.devices[1].kind
            {
                *energy_wh_per_day = 50_000.0;
            }
        },
        "loads.devices[1].kind.car.energy_wh_per_day",
        "give at most 45600 Wh",
    );
    does_not_fit(
        |one| {
            one.site.climate = ClimateSource::Monthly(MonthlyClimate {
                ghi_wh_m2_day: [4_000.0; 12],
                air_mean_c: [10.0; 12],
                air_range_k: [8.0; 12],
                yearly_low_c: 30.0,
                yearly_high_c: 20.0,
            });
        },
        "site.climate.monthly.yearly_low_c",
        "less than the yearly high of 20 °C",
    );
}

#[test]
fn limits_of_enum_variants_are_checked_too() {
    assert_problem(
        |one| one.options[1].pv_inverters[0].limiting = PowerLimiting::Relay { reconnect_s: 0.0 },
        "options[1].pv_inverters[0].limiting.relay.reconnect_s",
        Wrong::OutOfRange,
        "give 1 s to 7200 s",
    );
}
