//! The year of the demonstration household: what all options share, and the run of one option with three arrays and one
//! storage unit over 35,040 steps.

#![allow(missing_docs, reason = "criterion writes the entry point")]

use std::hint::black_box;

use couplet_core::check::check;
use couplet_core::year::Scene;
use criterion::{Criterion, criterion_group, criterion_main};
use home::home;

#[path = "../../app/src/bench/home.rs"]
mod home;

const QUARTER_HOUR_S: u32 = 900;

fn year(criterion: &mut Criterion) {
    let household = check(home()).expect("the demonstration is sound");
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
