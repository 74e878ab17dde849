//! A day in seconds and the study of export control over it, for the demonstration household under zero export.

#![allow(missing_docs, reason = "criterion writes the entry point")]

use std::hint::black_box;

use couplet_core::check::check;
use couplet_core::climate::MonthlyClimate;
use couplet_core::document::demo;
use couplet_core::export_control::{Controls, TraceSpan, study};
use couplet_core::household::ClimateSource;
use couplet_core::seconds::SecondsDay;
use criterion::{Criterion, criterion_group, criterion_main};

const DAY: u32 = 100;

fn export_day(criterion: &mut Criterion) {
    let mut household = demo();
    household.service.export_limit_w = Some(0.0);
    household.site.climate = ClimateSource::Monthly(MonthlyClimate {
        ghi_wh_m2_day: [
            1900.0, 2700.0, 3700.0, 4700.0, 5600.0, 6100.0, 5900.0, 5300.0, 4300.0, 3100.0, 2000.0,
            1600.0,
        ],
        air_mean_c: [
            -2.0, 0.0, 5.0, 11.0, 17.0, 22.0, 24.0, 23.0, 19.0, 12.0, 6.0, 1.0,
        ],
        air_range_k: [
            8.0, 9.0, 11.0, 12.0, 12.0, 11.0, 11.0, 11.0, 12.0, 12.0, 9.0, 8.0,
        ],
        yearly_low_c: -20.0,
        yearly_high_c: 32.0,
    });
    let household = check(household).expect("the demonstration is sound");
    criterion.bench_function("day in seconds", |bench| {
        bench.iter(|| SecondsDay::new(&household, black_box(&household.options[2]), None, DAY, 1));
    });
    for option in &household.options {
        let day = SecondsDay::new(&household, option, None, DAY, 1).expect("monthly means");
        let name = format!("export study, {}", option.name);
        criterion.bench_function(&name, |bench| {
            bench.iter(|| {
                study(
                    black_box(&household),
                    option,
                    &day,
                    &[],
                    &Controls::USUAL,
                    &TraceSpan::DAY,
                )
            });
        });
    }
}

criterion_group!(benches, export_day);
criterion_main!(benches);
