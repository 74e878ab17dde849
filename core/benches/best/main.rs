//! How long the best possible takes for a year, hourly and in quarter hours.

#![allow(missing_docs, reason = "criterion writes the entry point")]

mod year;

use std::hint::black_box;

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

criterion_group!(benches, best_possible);
criterion_main!(benches);
