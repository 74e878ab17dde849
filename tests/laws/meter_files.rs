//! Laws of meter files: what they tell comes back as it was, and the use that PV hid comes back with it.

use couplet_core::loads::csv::{CsvUnit, FileTime, SiteTime};
use couplet_core::usage::{MeterFileKind, MeterYear, read_meter_file, rebuilt_use};

/// 1 January 2025 00:00 UTC, s since 1970.
const YEAR_2025_S: i64 = 1_735_689_600;
const OFFSET_S: i64 = -5 * 3600;
const SITE: SiteTime<'_> = SiteTime {
    utc_offset_h: -5.0,
    clock_rule: None,
};

/// Power of an hour of an invented meter, W.
fn power_w(hour: usize) -> f64 {
    200.0 + (hour % 24) as f64 * 10.0 + (hour / 24) as f64
}

/// A feed with hourly intervals of both directions from local midnight of 1 January 2025 on, for so many days; `from` and `len` in
/// hours, energy in Wh.
fn feed(hours: usize, sold: impl Fn(usize) -> f64, gaps: &[usize]) -> String {
    let block = |meter: &str, value: &dyn Fn(usize) -> f64| -> String {
        let readings: String = (0..hours)
            .filter(|hour| !gaps.contains(hour))
            .map(|hour| {
                format!(
                    "<IntervalReading><timePeriod><duration>3600</duration><start>{}</start></timePeriod><value>{}</value></IntervalReading>\n",
                    YEAR_2025_S - OFFSET_S + i64::try_from(hour).unwrap() * 3600,
                    value(hour)
                )
            })
            .collect();
        format!(
            "<entry><link rel=\"up\" href=\"/m/{meter}/b\"/><content><IntervalBlock>{readings}</IntervalBlock></content></entry>\n"
        )
    };
    let reading = |meter: &str, kind: &str, direction: u32| {
        format!(
            "<entry><link rel=\"self\" href=\"/t/{kind}\"/><content><ReadingType><commodity>1</commodity><flowDirection>{direction}</flowDirection><powerOfTenMultiplier>0</powerOfTenMultiplier><uom>72</uom></ReadingType></content></entry>\n\
             <entry><link rel=\"self\" href=\"/m/{meter}\"/><link rel=\"related\" href=\"/t/{kind}\"/><content><MeterReading/></content></entry>\n"
        )
    };
    format!(
        "<feed><entry><content><LocalTimeParameters><tzOffset>{OFFSET_S}</tzOffset></LocalTimeParameters></content></entry>\n{}{}{}{}</feed>",
        reading("1", "1", 1),
        reading("2", "2", 19),
        block("1", &power_w),
        block("2", &sold),
    )
}

fn year(text: &str) -> MeterYear {
    read_meter_file("meter", text, None, &SITE, FileTime::AsFound).expect("it can be read")
}

#[test]
fn a_green_button_year_comes_back_hour_by_hour() {
    let found = year(&feed(8_760, |hour| (hour % 3) as f64, &[]));
    assert_eq!(found.kind, MeterFileKind::GreenButton);
    assert_eq!(
        (found.interval_s, found.utc_offset_s),
        (3_600, Some(OFFSET_S))
    );
    assert_eq!(
        (found.from.as_str(), found.to.as_str()),
        ("2025-01-01 00:00", "2025-12-31 23:00")
    );
    assert_eq!((found.filled, found.repeated, found.older), (0, 0, 0));
    let sold_w = found.sold_w.as_ref().expect("both directions");
    for hour in 0..8_760 {
        assert_eq!(found.bought_w[hour], power_w(hour), "hour {hour}");
        assert_eq!(sold_w[hour], (hour % 3) as f64, "hour {hour}");
    }
    let year_wh: f64 = found.bought_wh().iter().sum();
    assert!((year_wh - (0..8_760).map(power_w).sum::<f64>()).abs() < 1e-6);
    assert_eq!(found.bought_wh()[0], (0..744).map(power_w).sum::<f64>());
}

/// Of more than a year the newest 365 days count: 400 days end on 4 February 2026, whose values stand in January and February.
#[test]
fn of_a_longer_file_the_newest_year_counts() {
    let found = year(&feed(400 * 24, |_| 0.0, &[]));
    assert_eq!(found.older, 35 * 24);
    assert_eq!(found.bought_w[0], power_w(365 * 24));
    assert_eq!(found.bought_w[35 * 24], power_w(35 * 24));
}

#[test]
fn a_few_missing_hours_are_filled_and_many_are_refused() {
    let found = year(&feed(8_760, |_| 0.0, &[100, 101]));
    assert_eq!(found.filled, 2);
    assert_eq!(found.bought_w[100], power_w(100 - 24));
    let many: Vec<usize> = (1000..1100).collect();
    let refused = read_meter_file(
        "meter",
        &feed(8_760, |_| 0.0, &many),
        None,
        &SITE,
        FileTime::AsFound,
    )
    .unwrap_err();
    assert!(refused[0].contains("100 of the 8760"), "{refused:?}");
}

/// A table of 365 days of hours: kWh as `0.200`.
fn table(heading: &str, row: impl Fn(usize) -> String) -> String {
    let rows = (0..8_760).map(|hour| {
        let days = u32::try_from(hour / 24).unwrap();
        let month = couplet_core::sky::month_of_day(days);
        let day = days - couplet_core::sky::first_day_of_month(month) + 1;
        format!(
            "2025-{:02}-{day:02} {:02}:00,{}\n",
            month + 1,
            hour % 24,
            row(hour)
        )
    });
    std::iter::once(format!("time,{heading}\n"))
        .chain(rows)
        .collect()
}

#[test]
fn a_table_tells_both_directions_by_a_column_or_by_signs() {
    let kwh = |hour| power_w(hour) / 1000.0;
    let columns = year(&table("import kWh,export kWh", |hour| {
        format!("{},{}", kwh(hour), 0.5)
    }));
    let signs = year(&table("net kWh", |hour| {
        if hour % 2 == 0 {
            format!("{}", kwh(hour))
        } else {
            "-0.5".to_owned()
        }
    }));
    for found in [&columns, &signs] {
        assert_eq!(
            (found.kind, found.unit),
            (MeterFileKind::Table, CsvUnit::Kwh)
        );
        assert_eq!(
            (found.from.as_str(), found.to.as_str()),
            ("2025-01-01 00:00", "2025-12-31 23:00")
        );
    }
    let sold_w = |found: &MeterYear, hour: usize| found.sold_w.as_ref().expect("both")[hour];
    assert_eq!(
        (columns.bought_w[5], sold_w(&columns, 5)),
        (power_w(5), 500.0)
    );
    assert_eq!((signs.bought_w[5], sold_w(&signs, 5)), (0.0, 500.0));
    assert_eq!((signs.bought_w[6], sold_w(&signs, 6)), (power_w(6), 0.0));
    let plain = year(&table("kWh", |hour| kwh(hour).to_string()));
    assert_eq!(plain.sold_w, None);
}

#[test]
fn a_bad_row_is_named() {
    let refused = read_meter_file(
        "meter",
        &table("kWh", |hour| {
            if hour == 41 {
                "much".to_owned()
            } else {
                "0.2".to_owned()
            }
        }),
        None,
        &SITE,
        FileTime::AsFound,
    )
    .unwrap_err();
    assert!(refused[0].starts_with("line 43: "), "{refused:?}");
}

/// A home of known use with PV of known power behind a net meter: the meter shows only the difference, and the use comes back
/// exactly where the model is the PV that stood there. Tolerance: the
/// file has six decimals of a kWh, 1 mW.
#[test]
fn the_use_that_pv_hid_comes_back() {
    let made_w = |hour: usize| {
        if (8..17).contains(&(hour % 24)) {
            900.0
        } else {
            0.0
        }
    };
    let net_kwh = |hour: usize| (power_w(hour) - made_w(hour)) / 1000.0;
    let meter = year(&table("net kWh", |hour| format!("{:.6}", net_kwh(hour))));
    let quarter_hours: Vec<f64> = (0..35_040).map(|step| made_w(step / 4)).collect();
    let rebuilt = rebuilt_use(&meter, &quarter_hours).expect("both directions are known");
    for hour in 0..8_760 {
        let off_w = (rebuilt.intervals.power_w[hour] - power_w(hour)).abs();
        assert!(off_w <= 1.000_001e-3, "hour {hour}: {off_w}");
    }
    assert_eq!(rebuilt.generation_wh, 365.0 * 9.0 * 900.0);
    assert!(rebuilt.unexplained_wh < 1e-6);
    // Twice the sun was sent out than the model makes: the rest is told.
    let weak: Vec<f64> = quarter_hours.iter().map(|power_w| 0.5 * power_w).collect();
    let short = rebuilt_use(&meter, &weak).expect("both directions are known");
    let expected_wh: f64 = (0..8_760)
        .map(|hour| (0.5 * made_w(hour) - power_w(hour)).max(0.0))
        .sum();
    assert!(
        (short.unexplained_wh - expected_wh).abs() < 1.0,
        "{} {expected_wh}",
        short.unexplained_wh
    );
    // PV that is known by the half day leaves the use of half days.
    let half_days: Vec<f64> = quarter_hours
        .chunks(48)
        .map(|steps| steps.iter().sum::<f64>() / 48.0)
        .collect();
    let coarse = rebuilt_use(&meter, &half_days).expect("both directions are known");
    assert_eq!(coarse.intervals.interval_s, 12 * 3600);
    assert!((coarse.use_wh - rebuilt.use_wh).abs() < 1.0);
    // Without what was sent out nothing can be said.
    let one_way = year(&table("kWh", |hour| (power_w(hour) / 1000.0).to_string()));
    assert_eq!(rebuilt_use(&one_way, &quarter_hours), None);
    assert_eq!(rebuilt_use(&meter, &quarter_hours[..35_000]), None);
}
