//! Ratings in which breakers and fuses are made, and the device that may protect a conductor.

use super::{Code, NecEdition};

/// Share by which a rating may be missed through rounding of the arithmetic alone.
const ROUNDING: f64 = 1e-9;

/// Standard ratings of the NEC from 15 A on, A.
///
/// Source: NEC 240.6(A) (public transcriptions).
pub const NEC_RATINGS_A: [f64; 37] = [
    15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 60.0, 70.0, 80.0, 90.0, 100.0, 110.0, 125.0,
    150.0, 175.0, 200.0, 225.0, 250.0, 300.0, 350.0, 400.0, 450.0, 500.0, 600.0, 700.0, 800.0,
    1000.0, 1200.0, 1600.0, 2000.0, 2500.0, 3000.0, 4000.0, 5000.0, 6000.0,
];

/// The smallest standard breaker that NEC 2023 added, A (from memory).
pub const NEC_SMALLEST_SINCE_2023_A: f64 = 10.0;

/// Standard device ratings of IEC 60898 and IEC 60947, A: to 400 A by public transcription, beyond the same series R10 of
/// IEC 60059 continued, from memory.
pub const IEC_RATINGS_A: [f64; 23] = [
    6.0, 10.0, 13.0, 16.0, 20.0, 25.0, 32.0, 40.0, 50.0, 63.0, 80.0, 100.0, 125.0, 160.0, 200.0,
    250.0, 315.0, 400.0, 500.0, 630.0, 800.0, 1000.0, 1250.0,
];

/// Ratings of IEC breakers that are made, but are not proposed, A.
///
/// Source: IEC 60898-1 (from memory).
const IEC_ALSO_MADE_A: [f64; 1] = [8.0];

/// Ratings at which homes are connected besides those of breakers under the IEC, A.
///
/// Source: from memory: 35 A fuses of IEC 60269-3 and selective main breakers, 60 A service fuses of BS 88-3, connection breakers of
/// NF C 62-411 of 15 A to 90 A.
const IEC_SERVICES_A: [f64; 6] = [15.0, 30.0, 35.0, 45.0, 60.0, 90.0];

/// Ratings in which fuses for PV strings are made, A.
///
/// Source: from memory: gPV fuses of IEC 60269-6 and PV fuses listed for the NEC.
pub const STRING_FUSES_A: [f64; 13] = [
    1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 32.0,
];

/// Standard ratings of breakers under a code, from the smallest, A.
pub fn breaker_ratings_a(code: Code) -> impl Iterator<Item = f64> {
    let (smallest, ratings): (Option<f64>, &'static [f64]) = match code {
        Code::Nec(edition) => (
            (edition >= NecEdition::Of2023).then_some(NEC_SMALLEST_SINCE_2023_A),
            &NEC_RATINGS_A,
        ),
        Code::Iec => (None, &IEC_RATINGS_A),
    };
    smallest.into_iter().chain(ratings.iter().copied())
}

/// The smallest standard breaker of at least this rating, A; none beyond the largest.
#[must_use]
pub fn breaker_at_least_a(code: Code, least_a: f64) -> Option<f64> {
    breaker_ratings_a(code).find(|rating_a| *rating_a >= least_a * (1.0 - ROUNDING))
}

/// The largest standard breaker of at most this rating, A; none below the smallest.
#[must_use]
pub fn breaker_at_most_a(code: Code, most_a: f64) -> Option<f64> {
    breaker_ratings_a(code)
        .take_while(|rating_a| *rating_a <= most_a * (1.0 + ROUNDING))
        .last()
}

/// What a rating is the rating of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Device {
    /// A breaker of a circuit.
    Breaker,
    /// What connects a home: its main breaker or fuse, and what is made to match it.
    Service,
}

/// The standard ratings next to one that is none, A.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Neighbours {
    /// The next smaller; none below the smallest.
    pub below_a: Option<f64>,
    /// The next larger; none beyond the largest.
    pub above_a: Option<f64>,
}

/// The standard ratings next to this one; none: it is a standard rating itself.
#[must_use]
pub fn neighbours_a(code: Code, device: Device, rating_a: f64) -> Option<Neighbours> {
    let services: &[f64] = match (code, device) {
        (Code::Iec, Device::Service) => &IEC_SERVICES_A,
        _ => &[],
    };
    let also_made: &[f64] = match code {
        Code::Nec(_) => &[],
        Code::Iec => &IEC_ALSO_MADE_A,
    };
    let mut made = breaker_ratings_a(code).chain([services, also_made].concat());
    let is_it = |made_a: f64| (made_a - rating_a).abs() <= ROUNDING * made_a;
    (!made.any(is_it)).then(|| Neighbours {
        below_a: breaker_at_most_a(code, rating_a),
        above_a: breaker_at_least_a(code, rating_a),
    })
}

/// The largest device that may protect a conductor of this ampacity, A.
///
/// NEC: the next standard rating above, up to 800 A. IEC: none above the ampacity.
///
/// Source: NEC 240.4(B), (C); IEC 60364-4-43: In ≤ Iz.
#[must_use]
pub fn most_protection_a(code: Code, ampacity_a: f64) -> f64 {
    const MOST_ROUNDED_UP_A: f64 = 800.0;
    match code {
        Code::Nec(_) => breaker_at_least_a(code, ampacity_a)
            .filter(|rating_a| *rating_a <= MOST_ROUNDED_UP_A)
            .unwrap_or(ampacity_a),
        Code::Iec => ampacity_a,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const NEC: Code = Code::Nec(NecEdition::Of2023);

    #[test]
    fn a_breaker_is_rounded_up_and_protection_down_or_up_by_family() {
        assert_eq!(breaker_at_least_a(NEC, 40.0), Some(40.0));
        assert_eq!(breaker_at_least_a(NEC, 40.1), Some(45.0));
        assert_eq!(breaker_at_least_a(NEC, 7.0), Some(10.0));
        assert_eq!(
            breaker_at_least_a(Code::Nec(NecEdition::Of2020), 7.0),
            Some(15.0)
        );
        assert_eq!(breaker_at_least_a(Code::Iec, 32.1), Some(40.0));
        assert_eq!(breaker_at_least_a(NEC, 1e9), None);
        assert_eq!(breaker_at_most_a(Code::Iec, 39.9), Some(32.0));
        assert_eq!(breaker_at_most_a(Code::Iec, 5.0), None);
        assert_eq!(most_protection_a(NEC, 65.0), 70.0);
        assert_eq!(most_protection_a(NEC, 850.0), 850.0);
        assert_eq!(most_protection_a(Code::Iec, 65.0), 65.0);
    }

    #[test]
    fn what_is_no_standard_rating_has_neighbours() {
        let next = |code, device, rating_a| {
            neighbours_a(code, device, rating_a).map(|next| (next.below_a, next.above_a))
        };
        let between = |below_a, above_a| Some((Some(below_a), Some(above_a)));
        assert_eq!(next(NEC, Device::Breaker, 23.0), between(20.0, 25.0));
        assert_eq!(next(NEC, Device::Service, 63.0), between(60.0, 70.0));
        assert_eq!(next(Code::Iec, Device::Breaker, 35.0), between(32.0, 40.0));
        assert_eq!(next(Code::Iec, Device::Service, 35.0), None);
        assert_eq!(next(Code::Iec, Device::Breaker, 8.0), None);
        assert_eq!(next(NEC, Device::Breaker, 3.0), Some((None, Some(10.0))));
        for code in Code::ALL {
            assert!(breaker_ratings_a(code).all(|a| next(code, Device::Breaker, a).is_none()));
        }
    }
}
