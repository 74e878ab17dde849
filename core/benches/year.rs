//! The year of the demonstration household: what all options share, and the run of one option with three arrays and one
//! storage unit over 35,040 steps.

#![allow(missing_docs, reason = "criterion writes the entry point")]

use std::hint::black_box;

use couplet_core::check::check;
use couplet_core::climate::MonthlyClimate;
use couplet_core::document::demo;
use couplet_core::household::ClimateSource;
use couplet_core::year::Scene;
use criterion::{Criterion, criterion_group, criterion_main};

const QUARTER_HOUR_S: u32 = 900;

fn year(criterion: &mut Criterion) {
    let mut household = demo();
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
    let scene =
        Scene::new(&household, None, QUARTER_HOUR_S, None).expect("monthly means are typed in");
    let mixed = &household.options[2];
    assert_eq!((mixed.arrays.len(), mixed.storage.len()), (3, 1));

    criterion.bench_function("scene of a household, new", |bench| {
        bench.iter(|| Scene::new(black_box(&household), None, QUARTER_HOUR_S, None));
    });
    criterion.bench_function("scene of a household, nothing changed", |bench| {
        bench.iter(|| Scene::new(black_box(&household), None, QUARTER_HOUR_S, Some(&scene)));
    });
    criterion.bench_function("year of one option", |bench| {
        bench.iter(|| scene.run(black_box(mixed)));
    });
    let run = scene.run(mixed).expect("the demonstration is sound");
    criterion.bench_function("one day out of a run", |bench| {
        bench.iter(|| run.day(&scene, black_box(172)));
    });
}

criterion_group!(benches, year);
criterion_main!(benches);
