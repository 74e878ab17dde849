//! From monthly means to the clearness of each day.

use crate::maths::{Random, bracketed_root, normal_share_below};

/// Correlation of a day's clearness with that of the day before.
///
/// Source: Graham, Hollands & Huget (1988), Solar Energy 40, 83-92, doi:10.1016/0038-092X(88)90075-8.
const DAY_TO_DAY: f64 = 0.29;

/// Clearness of the darkest days (Bendt et al. 1981).
const DARKEST: f64 = 0.05;

/// How the days of a month are drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MonthlySums {
    /// Every month has exactly its mean: the days' clearness is spread evenly over the distribution.
    Met,
    /// Days are drawn freely, so that months and years differ as they do by nature: for P50 and P90.
    Drawn,
}

/// Clearness of each day of a month in turn, so distributed as days of a month of this mean are.
///
/// - `mean`: of the month, 0 to 1
/// - `scores`: one standard normal number for each day, correlated from day to day
///
/// Source: Bendt, Collares-Pereira & Rabl (1981), Solar Energy 27, 1-5, doi:10.1016/0038-092X(81)90013-X; highest clearness by
/// Hollands & Huget (1983), Solar Energy 30, 195-209. The exponent is solved for, not approximated.
pub(super) fn days_of_month(mean: f64, scores: &[f64], sums: MonthlySums) -> Vec<f64> {
    let brightest = brightest_day(mean);
    let shares: Vec<f64> = match sums {
        MonthlySums::Drawn => scores.iter().map(|&z| normal_share_below(z)).collect(),
        MonthlySums::Met => even_shares(scores),
    };
    let place = (mean - DARKEST) / (brightest - DARKEST);
    // Without room on one side all days are alike.
    if !(0.005..=0.995).contains(&place) {
        return vec![mean.clamp(0.0, 1.0); scores.len()];
    }
    let rate = rate_with_mean(place);
    shares
        .iter()
        .map(|&share| DARKEST + (brightest - DARKEST) * quantile(share, rate))
        .collect()
}

/// Standard normal numbers for all days of a year, each correlated with the day before.
pub(super) fn day_scores(random: &mut Random, days: usize) -> Vec<f64> {
    correlated_scores(random, days, DAY_TO_DAY)
}

/// Standard normal numbers, each with the same correlation to the one before.
pub(super) fn correlated_scores(random: &mut Random, count: usize, correlation: f64) -> Vec<f64> {
    let fresh = (1.0 - correlation * correlation).sqrt();
    let mut score = random.normal();
    (0..count)
        .map(|_| {
            let this = score;
            score = correlation * score + fresh * random.normal();
            this
        })
        .collect()
}

/// Hollands & Huget (1983): `0.6313 + 0.267 K − 11.9 (K − 0.75)⁸`. Below a mean of 0.3, where the last term was not meant to
/// reach, it is that at 0.3.
fn brightest_day(mean: f64) -> f64 {
    let k = mean.clamp(0.3, 0.85);
    let d2 = (k - 0.75) * (k - 0.75);
    0.6313 + 0.267 * k - 11.9 * d2 * d2 * d2 * d2
}

/// Shares `(rank + 1/2) / n` in the order of the scores.
fn even_shares(scores: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..scores.len()).collect();
    let score = |index: usize| scores.get(index).copied().unwrap_or(0.0);
    order.sort_by(|&a, &b| score(a).total_cmp(&score(b)));
    let mut shares = vec![0.0; scores.len()];
    let step = 1.0 / shares.len().max(1) as f64;
    let mut share = 0.5 * step;
    for index in order {
        if let Some(place) = shares.get_mut(index) {
            *place = share;
        }
        share += step;
    }
    shares
}

/// The rate g of the density `e^(g s)` over s from 0 to 1 that has this mean: `1 / (1 − e^−g) − 1 / g`.
fn rate_with_mean(mean: f64) -> f64 {
    let excess = |g: f64| {
        let of_rate = if g.abs() < 1e-5 {
            0.5 + g / 12.0
        } else {
            -1.0 / libm::expm1(-g) - 1.0 / g
        };
        of_rate - mean
    };
    bracketed_root(excess, -400.0, 400.0, 1e-10).unwrap_or(0.0)
}

/// The value below which a share of the population with density `e^(g s)` over 0 to 1 lies.
fn quantile(share: f64, rate: f64) -> f64 {
    if rate.abs() < 1e-5 {
        return share;
    }
    libm::log1p(share * libm::expm1(rate)) / rate
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_have_the_mean_of_their_month_and_stay_between_darkest_and_brightest() {
        let scores = day_scores(&mut Random::seeded(1, 0), 3000);
        for mean in [0.08, 0.2, 0.3, 0.43, 0.5, 0.6, 0.7, 0.76] {
            let days = days_of_month(mean, &scores, MonthlySums::Met);
            let of_days = days.iter().sum::<f64>() / days.len() as f64;
            assert!((of_days - mean).abs() < 1e-3, "{mean}: {of_days}");
            assert!(days.iter().all(|&day| (0.05..0.84).contains(&day)));
        }
    }

    /// Duffie & Beckman, 4th ed., example 2.9.1 (from memory): a month of mean 0.54 has its brightest days near 0.75 and
    /// half of its days below about 0.57.
    #[test]
    fn half_of_the_days_of_a_month_of_0_54_are_below_0_57() {
        let scores = day_scores(&mut Random::seeded(1, 0), 301);
        let mut days = days_of_month(0.54, &scores, MonthlySums::Met);
        days.sort_by(f64::total_cmp);
        assert!((days[150] - 0.57).abs() < 0.02, "{}", days[150]);
        assert!((days[300] - 0.77).abs() < 0.03, "{}", days[300]);
    }

    #[test]
    fn a_day_follows_the_day_before_with_the_stated_correlation() {
        let scores = day_scores(&mut Random::seeded(3, 0), 40_000);
        let products: f64 = scores.windows(2).map(|pair| pair[0] * pair[1]).sum();
        // Five standard errors of a correlation over 40,000 days.
        assert!((products / 39_999.0 - DAY_TO_DAY).abs() < 0.025);
    }

    #[test]
    fn months_beyond_the_distribution_have_days_all_alike() {
        assert_eq!(days_of_month(0.02, &[0.3; 4], MonthlySums::Met), [0.02; 4]);
        assert_eq!(days_of_month(0.0, &[0.3; 2], MonthlySums::Drawn), [0.0; 2]);
        assert!(days_of_month(0.5, &[], MonthlySums::Met).is_empty());
    }
}
