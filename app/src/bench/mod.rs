//! Timings of the calculation inside the page, for `cargo bench --package couplet-tests --bench page`.

mod cases;

use wasm_bindgen::prelude::*;

/// Names of the cases, as a JavaScript array.
#[wasm_bindgen]
#[expect(unreachable_pub, reason = "called from JavaScript")]
pub fn bench_names() -> Vec<String> {
    [
        cases::SCENE,
        cases::YEAR,
        cases::ISLAND,
        cases::SURVIVAL,
        cases::FINDINGS,
        cases::OUTLOOK,
        cases::METER_TABLE,
        cases::METER_FEED,
        cases::SKY_HOURS,
        cases::SKY_FIVE_MINUTES,
    ]
    .map(str::to_owned)
    .to_vec()
}

/// Runs a case once and gives the time it took, ms; a case that is not there takes none.
#[wasm_bindgen]
#[expect(unreachable_pub, reason = "called from JavaScript")]
pub fn bench(name: &str) -> f64 {
    let Some(mut case) = cases::prepare(name) else {
        return 0.0;
    };
    let Some(clock) = web_sys::window().and_then(|window| window.performance()) else {
        return f64::NAN;
    };
    let start_ms = clock.now();
    std::hint::black_box(case());
    clock.now() - start_ms
}
