//! How long the best possible takes: of an invented year, hourly and in quarter hours, and of the demonstration household's year.

#![allow(missing_docs, reason = "criterion writes the entry point")]

#[path = "../../../app/src/bench/home.rs"]
mod home;
mod year;

use std::hint::black_box;

use couplet_core::check::check;
use couplet_core::foresight::{day_ahead, optimum};
use couplet_core::year::Scene;
use criterion::{Criterion, criterion_group, criterion_main};
use year::{TARIFFS, Year};

fn best_possible(criterion: &mut Criterion) {
    for (name, steps_per_hour) in [("8760 steps", 1), ("35040 steps", 4)] {
        for tariff in TARIFFS {
            let year = Year::invented(tariff, steps_per_hour);
            criterion.bench_function(&format!("best possible, {tariff}, {name}"), |bench| {
                bench.iter(|| black_box(&year).best());
            });
        }
    }
}

fn household(criterion: &mut Criterion) {
    let household = check(home::home()).expect("the demonstration is sound");
    let scene = Scene::new(&household, None, 900, None).expect("monthly means are typed in");
    let run = scene
        .run(&household.options[2])
        .expect("the demonstration is sound");
    criterion.bench_function("best possible of the demonstration, 35040 steps", |bench| {
        bench.iter(|| optimum(black_box(&scene), black_box(&run)));
    });
    criterion.bench_function(
        "day-ahead plans of the demonstration, 35040 steps",
        |bench| {
            bench.iter(|| day_ahead(black_box(&scene), black_box(&run), |_| {}));
        },
    );
}

criterion_group!(benches, best_possible, household);
criterion_main!(benches);
