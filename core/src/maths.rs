//! Roots, interpolation and random numbers. Everything here gives the same bits natively and in the browser.

use core::f64::consts::{PI, SQRT_2};

use rand_chacha::ChaCha12Rng;
use rand_core::{RngCore, SeedableRng};

/// A root of `f` between `low` and `high`, where `f` changes sign, found to within `tolerance` of the argument by
/// interpolation guarded by halving.
///
/// Returns nothing if a bound or a value of `f` is not a number, or if `f` has the same sign at both ends. At most 200
/// evaluations are made; each halving bracket makes this enough for any bracket of finite numbers of ordinary size.
///
/// Source: regula falsi in the Illinois form (Dowell & Jarratt, BIT 11 (1971) 168-174, doi:10.1007/BF01934364), with a
/// halving step whenever three steps have not halved the bracket.
pub fn bracketed_root(
    mut f: impl FnMut(f64) -> f64,
    low: f64,
    high: f64,
    tolerance: f64,
) -> Option<f64> {
    let (mut a, mut b) = (low, high);
    let (mut fa, mut fb) = (f(a), f(b));
    if fa == 0.0 {
        return Some(a);
    }
    if fb == 0.0 {
        return Some(b);
    }
    if !(a.is_finite() && b.is_finite() && fa * fb < 0.0) {
        return None;
    }
    let mut width_three_steps_ago = (b - a).abs();
    for step in 0..200 {
        let width = (b - a).abs();
        if width <= tolerance {
            break;
        }
        let halve = step % 3 == 2 && {
            let slow = width > 0.5 * width_three_steps_ago;
            width_three_steps_ago = width;
            slow
        };
        let secant = b - fb * (b - a) / (fb - fa);
        let inside = (secant - a) * (secant - b) < 0.0;
        let x = if halve || !inside {
            0.5 * (a + b)
        } else {
            secant
        };
        if x == a || x == b {
            break;
        }
        let fx = f(x);
        if fx == 0.0 {
            return Some(x);
        }
        if fx.is_nan() {
            return None;
        }
        if fx * fb < 0.0 {
            (a, fa) = (b, fb);
        } else {
            fa *= 0.5;
        }
        (b, fb) = (x, fx);
    }
    Some(b)
}

/// The value at `x` of the line through the points `(xs, ys)`, level beyond its ends.
///
/// `xs` rises; the shorter of both slices counts. Without points the value is 0.
#[must_use]
pub fn interpolate(x: f64, xs: &[f64], ys: &[f64]) -> f64 {
    let points = xs.len().min(ys.len());
    let (xs, ys) = (&xs[..points], &ys[..points]);
    let above = xs.partition_point(|&point| point <= x);
    match (above.checked_sub(1), ys.get(above)) {
        (None, first) => first.copied().unwrap_or(0.0),
        (Some(below), None) => ys.get(below).copied().unwrap_or(0.0),
        (Some(below), Some(&y1)) => {
            let (x0, y0, x1) = (xs[below], ys[below], xs[above]);
            y0 + (y1 - y0) * (x - x0) / (x1 - x0)
        }
    }
}

/// Share of a standard normal population below `z`.
#[must_use]
pub fn normal_share_below(z: f64) -> f64 {
    0.5 * libm::erfc(-z / SQRT_2)
}

/// Random numbers from ChaCha with 12 rounds: equal seeds give equal numbers on every machine.
#[derive(Clone, Debug)]
pub struct Random(ChaCha12Rng);

impl Random {
    /// Starts from a seed. Each stream of a seed is a sequence of its own.
    #[must_use]
    pub fn seeded(seed: u64, stream: u64) -> Self {
        let mut generator = ChaCha12Rng::seed_from_u64(seed);
        generator.set_stream(stream);
        Self(generator)
    }

    /// Even over 0 (included) to 1 (not included), in steps of 2⁻⁵³.
    pub fn share(&mut self) -> f64 {
        const STEP: f64 = 1.0 / 9_007_199_254_740_992.0;
        let high = f64::from((self.0.next_u32()) >> 5);
        let low = f64::from((self.0.next_u32()) >> 6);
        (high * 67_108_864.0 + low) * STEP
    }

    /// Standard normal.
    ///
    /// Source: Box & Muller, Ann. Math. Stat. 29 (1958) 610-611, doi:10.1214/aoms/1177706645.
    pub fn normal(&mut self) -> f64 {
        let radius = (-2.0 * libm::log(1.0 - self.share())).sqrt();
        radius * libm::cos(2.0 * PI * self.share())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bracketed_root_is_found_for_steep_flat_and_crossing_curves() {
        for (f, low, high, root) in [
            ((|x: f64| x * x - 2.0) as fn(f64) -> f64, 0.0, 2.0, SQRT_2),
            (|x| libm::exp(40.0 * x) - 1.0, -3.0, 3.0, 0.0),
            (|x| x * x * x * x * x * x * x, -1.0, 3.0, 0.0),
            (|x| 1e-9 * (0.25 - x), -10.0, 1e6, 0.25),
        ] {
            let found = bracketed_root(f, low, high, 1e-13).unwrap();
            assert!(
                (found - root).abs() < 1e-12 || f(found).abs() < 1e-60,
                "{found} for {root}"
            );
        }
    }

    #[test]
    fn there_is_no_root_without_a_change_of_sign_or_with_undefined_values() {
        assert_eq!(bracketed_root(|x| x * x + 1.0, -1.0, 1.0, 1e-9), None);
        assert_eq!(bracketed_root(|_| f64::NAN, -1.0, 1.0, 1e-9), None);
        assert_eq!(bracketed_root(|x| x, f64::NEG_INFINITY, 1.0, 1e-9), None);
    }

    #[test]
    fn interpolation_is_level_beyond_the_ends() {
        let (xs, ys) = ([0.0, 1.0, 3.0], [5.0, 7.0, 3.0]);
        assert_eq!(interpolate(-1.0, &xs, &ys), 5.0);
        assert_eq!(interpolate(0.5, &xs, &ys), 6.0);
        assert_eq!(interpolate(2.0, &xs, &ys), 5.0);
        assert_eq!(interpolate(9.0, &xs, &ys), 3.0);
        assert_eq!(interpolate(9.0, &[], &[]), 0.0);
    }

    #[test]
    fn equal_seeds_give_equal_numbers_of_the_stated_distribution() {
        let mut random = Random::seeded(7, 0);
        let mut again = Random::seeded(7, 0);
        assert_ne!(Random::seeded(7, 1).share(), Random::seeded(7, 0).share());
        let draws: Vec<f64> = (0..20_000).map(|_| random.normal()).collect();
        assert!(
            draws
                .iter()
                .all(|z| again.normal().to_bits() == z.to_bits())
        );
        let count = f64::from(20_000);
        let mean = draws.iter().sum::<f64>() / count;
        let variance = draws.iter().map(|z| (z - mean) * (z - mean)).sum::<f64>() / count;
        // Five standard errors of the mean and of the variance of 20,000 draws.
        assert!(mean.abs() < 0.036 && (variance - 1.0).abs() < 0.05);
        let below = draws.iter().filter(|z| **z < 1.0).count();
        assert!((below as f64 / count - normal_share_below(1.0)).abs() < 0.014);
    }
}
