//! An island second by second: a day with six PV inverters and two storage units, and how the cost grows with length and with
//! the number of devices.

#![allow(missing_docs, reason = "criterion writes the entry point")]

use std::hint::black_box;

use couplet_core::island::{Pace, run};
use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};

#[path = "../../app/src/bench/island.rs"]
mod case;

fn island(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("island at 1 s");
    group.sample_size(20);
    for (inverters, hours) in [
        (6, 6),
        (6, 12),
        (6, 24),
        (6, 48),
        (6, 72),
        (1, 24),
        (3, 24),
        (12, 24),
    ] {
        let (plant, drive) = case::island(inverters, hours).expect("generic parts have a loss law");
        let id = BenchmarkId::new(format!("{inverters} PV inverters"), format!("{hours} h"));
        group.bench_function(id, |bench| {
            bench.iter(|| run(black_box(&plant), black_box(&drive), &Pace::default()));
        });
    }
    group.finish();
}

criterion_group!(benches, island);
criterion_main!(benches);
