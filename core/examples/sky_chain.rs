//! Times the chain from sun to DC power and prints its sums, for `tests/bench/sky_vs_pvlib.py`.
//!
//! `sky_chain STEP_S REPEATS` prints the fastest run in seconds, then the sums.

#[path = "../benches/sky/chain.rs"]
mod chain;

use std::hint::black_box;
use std::time::{Duration, Instant};

use chain::Input;

fn main() {
    let mut arguments = std::env::args().skip(1).map(|text| text.parse().ok());
    let (Some(Some(step_s)), Some(Some(repeats))) = (arguments.next(), arguments.next()) else {
        eprintln!("usage: sky_chain STEP_S REPEATS");
        return;
    };
    let mut input = Input::invented(step_s);
    let mut fastest = Duration::MAX;
    let mut sums = input.run();
    for _ in 0..repeats {
        let start = Instant::now();
        sums = black_box(input.run());
        fastest = fastest.min(start.elapsed());
    }
    println!("seconds {:e}", fastest.as_secs_f64());
    for (name, sum) in sums.named() {
        println!("{name} {sum:.17e}");
    }
}
