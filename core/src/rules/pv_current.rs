//! Currents of PV source circuits, and the fuse that a string needs.

use super::{Code, standard_rating::STRING_FUSES_A};

/// What light above standard test conditions and continuous running each add.
///
/// Source: NEC 690.8(A)(1) and 690.8(B); IEC 62548 asks for the first only.
pub const ABOVE_STC: f64 = 1.25;

/// Highest current of strings in parallel, A: 125 % of their short-circuit currents.
///
/// Source: NEC 690.8(A)(1); IEC 62548.
#[must_use]
pub fn source_circuit_a(short_circuit_a: f64, parallel: u32) -> f64 {
    ABOVE_STC * short_circuit_a * f64::from(parallel)
}

/// The current that conductors before corrections, and overcurrent devices, are chosen by: 125 % of the highest current.
///
/// Source: NEC 690.8(B)(1), 690.9(B), 705.28, 705.30, 210.19, 215.2: continuous current.
#[must_use]
pub fn continuous_basis_a(highest_a: f64) -> f64 {
    1.25 * highest_a
}

/// What protects each of several strings in parallel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum StringFuse {
    /// None is needed: what the other strings can push back does no harm.
    NotNeeded,
    /// A fuse of this rating in each string, A.
    Rating(f64),
    /// A fuse is needed, but no rating lies between what the string gives and what the module bears.
    NoneFits {
        /// Least rating, A.
        least_a: f64,
        /// Most rating, A.
        most_a: f64,
    },
}

/// Fuse of each of `parallel` strings on one input.
///
/// - `short_circuit_a`: short-circuit current of a string at standard test conditions, A
/// - `module_fuse_a`: largest series fuse that the module bears, A
///
/// Source: NEC 690.9(A): none for one or two strings; 690.9(B): at least 156 % of the short-circuit current, at most the module's
/// fuse. IEC 62548 (from memory): needed if (Np − 1) Isc is above the module's rating; above 1.5 Isc, below 2.4 Isc, at
/// most the module's fuse.
#[must_use]
pub fn string_fuse(
    code: Code,
    short_circuit_a: f64,
    parallel: u32,
    module_fuse_a: f64,
) -> StringFuse {
    let others = f64::from(parallel.saturating_sub(1));
    let (needed, least_a, most_a) = match code {
        Code::Nec(_) => (
            parallel > 2,
            continuous_basis_a(source_circuit_a(short_circuit_a, 1)),
            module_fuse_a,
        ),
        Code::Iec => (
            others * short_circuit_a > module_fuse_a,
            1.5 * short_circuit_a,
            module_fuse_a.min(2.4 * short_circuit_a),
        ),
    };
    if !needed {
        return StringFuse::NotNeeded;
    }
    match STRING_FUSES_A
        .into_iter()
        .find(|rating_a| *rating_a >= least_a)
    {
        Some(rating_a) if rating_a <= most_a => StringFuse::Rating(rating_a),
        _ => StringFuse::NoneFits { least_a, most_a },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::NecEdition;

    #[test]
    fn a_third_string_needs_fuses_and_a_module_may_bear_none() {
        let nec = Code::Nec(NecEdition::Of2023);
        assert_eq!(string_fuse(nec, 9.6, 2, 20.0), StringFuse::NotNeeded);
        assert_eq!(string_fuse(nec, 9.6, 3, 20.0), StringFuse::Rating(15.0));
        assert_eq!(
            string_fuse(nec, 16.0, 3, 20.0),
            StringFuse::NoneFits {
                least_a: 25.0,
                most_a: 20.0
            }
        );
        assert_eq!(string_fuse(Code::Iec, 9.6, 3, 20.0), StringFuse::NotNeeded);
        assert_eq!(
            string_fuse(Code::Iec, 9.6, 4, 20.0),
            StringFuse::Rating(15.0)
        );
    }
}
