//! Measures of a cash flow. Flows are one per year, the first at time 0; what is paid is negative.

use serde::{Deserialize, Serialize};

use crate::maths::bracketed_root;

/// Value today of a cash flow, currency; the first flow is not discounted.
///
/// `rate` is the discount rate per period, above -1.
#[must_use]
pub fn net_present_value_cur(rate: f64, flows_cur: &[f64]) -> f64 {
    discounted(rate, flows_cur).iter().sum()
}

/// Every flow discounted to time 0, currency.
#[must_use]
pub fn discounted(rate: f64, flows_cur: &[f64]) -> Vec<f64> {
    let mut growth = 1.0;
    flows_cur
        .iter()
        .map(|flow_cur| {
            let value_cur = flow_cur / growth;
            growth *= 1.0 + rate;
            value_cur
        })
        .collect()
}

/// When the running sum of the flows first reaches 0, years, straight within a year; none: never.
#[must_use]
pub fn payback_first_years(flows_cur: &[f64]) -> Option<f64> {
    let mut sum_cur = 0.0;
    for (year, flow_cur) in flows_cur.iter().enumerate() {
        let before_cur = sum_cur;
        sum_cur += flow_cur;
        if sum_cur >= 0.0 {
            return Some(time_of_zero_years(year, before_cur, *flow_cur));
        }
    }
    None
}

/// From when on the running sum of the flows stays at 0 or above, years: later than the first time, if a replacement takes it
/// below again. None: it ends below.
#[must_use]
pub fn payback_last_years(flows_cur: &[f64]) -> Option<f64> {
    let mut sum_cur = 0.0;
    let mut paid_back = Some(0.0);
    for (year, flow_cur) in flows_cur.iter().enumerate() {
        let before_cur = sum_cur;
        sum_cur += flow_cur;
        if sum_cur < 0.0 {
            paid_back = None;
        } else if paid_back.is_none() {
            paid_back = Some(time_of_zero_years(year, before_cur, *flow_cur));
        }
    }
    paid_back
}

fn time_of_zero_years(year: usize, before_cur: f64, flow_cur: f64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "years are few")]
    let year = year as f64;
    if year == 0.0 || flow_cur == 0.0 {
        return year;
    }
    year - 1.0 - before_cur / flow_cur
}

/// The internal rate of return: the discount rate at which the value today is 0.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Irr {
    /// There is none: the flows never change sign in the right way.
    None,
    /// One rate per period.
    One(f64),
    /// More than one, in rising order: the flows change sign more than once, and no rate says what the project earns.
    Several(Vec<f64>),
}

/// Every internal rate of return above -100 %.
///
/// The value today is a polynomial in the discount factor. Its roots are isolated by those of its derivative, which is
/// monotonous between them; rates above and below 0 are found in the factor and in its inverse, so that both stay within 1.
#[must_use]
pub fn irr(flows_cur: &[f64]) -> Irr {
    let largest = flows_cur
        .iter()
        .fold(0.0_f64, |most, flow| most.max(flow.abs()));
    if largest == 0.0 || flows_cur.iter().any(|flow| !flow.is_finite()) {
        return Irr::None;
    }
    let by_factor: Vec<f64> = flows_cur.iter().map(|flow| flow / largest).collect();
    let by_growth: Vec<f64> = by_factor.iter().rev().copied().collect();
    let above = roots_to_one(&by_factor)
        .into_iter()
        .map(|factor| 1.0 / factor - 1.0);
    let below = roots_to_one(&by_growth)
        .into_iter()
        .map(|growth| growth - 1.0);
    let mut rates: Vec<f64> = above.chain(below).collect();
    rates.sort_unstable_by(f64::total_cmp);
    rates.dedup_by(|later, earlier| (*later - *earlier).abs() < 1e-9);
    match rates[..] {
        [] => Irr::None,
        [rate] => Irr::One(rate),
        _ => Irr::Several(rates),
    }
}

/// Roots of a polynomial above 0 up to 1, in rising order; coefficients from the constant one on.
fn roots_to_one(coefficients: &[f64]) -> Vec<f64> {
    // A factor x has the root 0, which is no rate.
    let first = coefficients
        .iter()
        .position(|c| *c != 0.0)
        .unwrap_or(coefficients.len());
    let coefficients = &coefficients[first..];
    if coefficients.len() < 2 {
        return Vec::new();
    }
    let mut powers = 0.0;
    let mut derivative: Vec<f64> = coefficients
        .iter()
        .skip(1)
        .map(|c| {
            powers += 1.0;
            c * powers
        })
        .collect();
    let largest = derivative.iter().fold(0.0_f64, |most, c| most.max(c.abs()));
    if largest == 0.0 {
        return Vec::new();
    }
    derivative.iter_mut().for_each(|c| *c /= largest);

    let value = |x: f64| coefficients.iter().rev().fold(0.0, |sum, c| sum * x + c);
    let magnitude = |x: f64| {
        coefficients
            .iter()
            .rev()
            .fold(0.0, |sum, c| sum * x + c.abs())
    };
    let is_zero = |x: f64| value(x).abs() <= 1e-14 * magnitude(x);
    let mut bounds = vec![0.0];
    bounds.extend(roots_to_one(&derivative).into_iter().filter(|x| *x < 1.0));
    bounds.push(1.0);
    let mut roots = Vec::new();
    for pair in bounds.windows(2) {
        let (low, high) = (pair[0], pair[1]);
        if is_zero(high) {
            roots.push(high);
        } else if !(low > 0.0 && is_zero(low)) && (value(low) > 0.0) != (value(high) > 0.0) {
            roots.extend(bracketed_root(value, low, high, 1e-16));
        }
    }
    roots
}

/// Value today of a yearly amount that grows, currency: the first one, `first_cur`, is due after one year.
#[must_use]
pub fn growing_annuity_cur(first_cur: f64, growth: f64, rate: f64, years: u32) -> f64 {
    let mut amount_cur = first_cur / (1.0 + rate);
    let mut sum_cur = 0.0;
    for _ in 0..years {
        sum_cur += amount_cur;
        amount_cur *= (1.0 + growth) / (1.0 + rate);
    }
    sum_cur
}

/// What one unit of energy costs over the life: all costs today over all energy, both discounted.
///
/// - `outlay_cur`: paid at the start
/// - `yearly_cur`: paid at the end of each year
/// - `first_year`: energy of the first year, in the unit asked for; it falls by the share `fade` each year
///
/// Infinite without energy.
#[must_use]
pub fn levelised_cost_cur_per_unit(
    outlay_cur: f64,
    yearly_cur: f64,
    first_year: f64,
    fade: f64,
    rate: f64,
    years: u32,
) -> f64 {
    let cost_cur = outlay_cur + growing_annuity_cur(yearly_cur, 0.0, rate, years);
    cost_cur / growing_annuity_cur(first_year, -fade, rate, years)
}
