//! How long the page's calculation takes in headless Chromium, on the page's own thread.
//!
//! The program exports `bench_names() -> string[]` and `bench(name) -> milliseconds`. Each case runs once to warm up, then
//! [`RUNS`] times; the table gives the least, the middle and the largest. Words on the command line choose cases by part of
//! their name. It uses the release build, or the folder in `COUPLET_PAGE_DIR`.

use std::io::Write;

use couplet_tests::page::{Visit, visit};

const RUNS: usize = 7;

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
            "{:>10} {:>10} {:>10}  ms, {RUNS} runs",
            "least", "middle", "most"
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
            writeln!(
                to,
                "{:>10.2} {:>10.2} {:>10.2}  {name}",
                times_ms[0],
                times_ms[RUNS / 2],
                times_ms[RUNS - 1]
            )?;
        }
        Ok(())
    });
}
