//! Times the best possible of an invented year of 8,760 hours and prints its cost, for `tests/bench/best_vs_highs.py`.
//!
//! `best_year TARIFF REPEATS` prints the fastest run in seconds, then the cost.

#[path = "../benches/best/year.rs"]
mod year;

use std::hint::black_box;
use std::time::{Duration, Instant};

use year::{TARIFFS, Year};

fn main() {
    let mut arguments = std::env::args().skip(1);
    let tariff = arguments
        .next()
        .filter(|name| TARIFFS.contains(&name.as_str()));
    let repeats: Option<u32> = arguments.next().and_then(|text| text.parse().ok());
    let (Some(tariff), Some(repeats)) = (tariff, repeats) else {
        eprintln!("usage: best_year {} REPEATS", TARIFFS.join("|"));
        return;
    };
    let year = Year::invented(&tariff, 1);
    let mut fastest = Duration::MAX;
    let mut cost_cur = f64::NAN;
    for _ in 0..repeats {
        let start = Instant::now();
        let found = black_box(&year).best();
        fastest = fastest.min(start.elapsed());
        match found {
            Ok(found) => cost_cur = found.cost_cur,
            Err(error) => eprintln!("{error}"),
        }
    }
    println!("seconds {:e}", fastest.as_secs_f64());
    println!("cost {cost_cur:.17e}");
}
