//! How long a year takes from sun to DC power: hourly and in steps of five minutes.

#![allow(missing_docs, reason = "criterion writes the entry point")]

mod chain;

use std::hint::black_box;

use chain::Input;
use criterion::{Criterion, criterion_group, criterion_main};

fn sun_to_dc(c: &mut Criterion) {
    for (name, step_s) in [("8760 steps", 3600), ("105120 steps", 300)] {
        let mut input = Input::invented(step_s);
        c.bench_function(&format!("sun to DC, two planes, {name}"), |b| {
            b.iter(|| black_box(input.run().named()));
        });
    }
}

criterion_group!(benches, sun_to_dc);
criterion_main!(benches);
