//! Outages from every hour of a year and a year off the grid, for the demonstration household at a quarter of an hour.

#![allow(missing_docs, reason = "criterion writes the entry point")]

use std::hint::black_box;

use couplet_core::check::check;
use couplet_core::outage::{StartSoc, off_grid, outage_survival};
use couplet_core::year::Scene;
use criterion::{Criterion, criterion_group, criterion_main};
use home::home;

#[path = "../../app/src/bench/home.rs"]
mod home;

const QUARTER_HOUR_S: u32 = 900;

fn outage(criterion: &mut Criterion) {
    let household = check(home()).expect("the demonstration is sound");
    let scene =
        Scene::new(&household, None, QUARTER_HOUR_S, None).expect("monthly means are typed in");
    for option in &household.options {
        let run = scene.run(option).expect("the demonstration is sound");
        for (name, start) in [
            ("as run", StartSoc::AsRun),
            ("from full", StartSoc::At(1.0)),
        ] {
            criterion.bench_function(&format!("survival, {name}: {}", option.name), |bench| {
                bench.iter(|| outage_survival(black_box(&scene), &run, start));
            });
        }
        criterion.bench_function(&format!("year off the grid: {}", option.name), |bench| {
            bench.iter(|| off_grid(black_box(&scene), option));
        });
    }
    // A battery that lasts for weeks: hardly any two outages come to the same state.
    let mut large = household.options[2].clone();
    large.storage[0].battery.usable_wh = 200_000.0;
    let run = scene.run(&large).expect("the demonstration is sound");
    criterion.bench_function("survival, as run: a battery of 200 kWh", |bench| {
        bench.iter(|| outage_survival(black_box(&scene), &run, StartSoc::AsRun));
    });
}

criterion_group!(benches, outage);
criterion_main!(benches);
