//! How long the page's calculation takes in headless Chromium, on the page's own thread, and natively: the same cases in one run.
//!
//! The program exports `bench_names() -> string[]` and `bench(name) -> milliseconds`. Each case runs once to warm up, then
//! [`RUNS`] times; the table gives the least, the middle and the largest. Words on the command line choose cases by part of
//! their name. It uses the release build, or the folder in `COUPLET_PAGE_DIR`.

use std::io::Write;
use std::time::Instant;

use couplet_tests::page::{Visit, visit};

#[path = "../../app/src/bench/cases.rs"]
mod cases;

const RUNS: usize = 31;

/// Times of a case run natively, sorted, ms.
fn native_ms(name: &str) -> Option<Vec<f64>> {
    let mut case = cases::prepare(name)?;
    std::hint::black_box(case());
    let mut times_ms: Vec<f64> = (0..RUNS)
        .map(|_| {
            let start = Instant::now();
            std::hint::black_box(case());
            start.elapsed().as_secs_f64() * 1000.0
        })
        .collect();
    times_ms.sort_by(f64::total_cmp);
    Some(times_ms)
}

fn main() {
    let wanted: Vec<String> = std::env::args()
        .skip(1)
        .filter(|word| !word.starts_with("--"))
        .collect();
    visit(Visit::default(), async |page| {
        let names: Vec<String> =
            serde_json::from_value(page.call("bench_names", Vec::new()).await?)?;
        let mut to = std::io::stdout();
        writeln!(
            to,
            "{:>10} {:>10} {:>10} {:>10} {:>10}  ms, {RUNS} runs; ratio of the middles",
            "least", "middle", "most", "native", "ratio"
        )?;
        for name in names
            .into_iter()
            .filter(|name| wanted.is_empty() || wanted.iter().any(|part| name.contains(part)))
        {
            page.call("bench", vec![name.as_str().into()]).await?;
            let mut times_ms = Vec::with_capacity(RUNS);
            for _ in 0..RUNS {
                times_ms.push(
                    page.call("bench", vec![name.as_str().into()])
                        .await?
                        .as_f64()
                        .ok_or("a bench gives a number")?,
                );
            }
            times_ms.sort_by(f64::total_cmp);
            let native_ms =
                native_ms(&name).ok_or("the page has a case that is not here")?[RUNS / 2];
            writeln!(
                to,
                "{:>10.2} {:>10.2} {:>10.2} {:>10.2} {:>10.2}  {name}",
                times_ms[0],
                times_ms[RUNS / 2],
                times_ms[RUNS - 1],
                native_ms,
                times_ms[RUNS / 2] / native_ms
            )?;
        }
        Ok(())
    });
}
