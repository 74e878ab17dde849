//! A day in seconds and the study of export control over it, for the demonstration household under zero export.

#![allow(missing_docs, reason = "criterion writes the entry point")]

use std::hint::black_box;

use couplet_core::check::check;
use couplet_core::export_control::{Controls, TraceSpan, study};
use couplet_core::seconds::SecondsDay;
use criterion::{Criterion, criterion_group, criterion_main};
use home::home;

#[path = "../../app/src/bench/home.rs"]
mod home;

const DAY: u32 = 100;

fn export_day(criterion: &mut Criterion) {
    let mut household = home();
    household.service.export_limit_w = Some(0.0);
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
