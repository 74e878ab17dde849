//! How many households a law is tried on, and which.

use proptest::test_runner::{Config, RngSeed};

const TIMES: &str = "COUPLET_DRAWS";

/// A law tried on `cases` draws, the same in every run: a change is judged by what it does, not by the luck of a draw.
///
/// With `COUPLET_DRAWS=n` each law is tried on `n` times as many that nobody has seen before. What such a search finds is kept in
/// `proptest-regressions` and tried first from then on.
///
/// # Panics
///
/// If `COUPLET_DRAWS` is set to something that is not a whole number.
#[must_use]
pub fn draws(cases: u32) -> Config {
    match std::env::var(TIMES) {
        Err(_) => Config {
            cases,
            rng_seed: RngSeed::Fixed(1),
            ..Config::default()
        },
        Ok(times) => {
            let times: u32 = times
                .parse()
                .unwrap_or_else(|_| panic!("{TIMES}={times}: it has to be a whole number"));
            Config::with_cases(cases * times)
        }
    }
}
