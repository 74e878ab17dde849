//! What a shadow on part of a plane costs: less where every module has a converter of its own, more where modules share a string.

/// How the modules of a plane come to their converter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Gathering {
    /// Every module has a converter of its own: each gives what its own light allows.
    ModuleByModule,
    /// In strings with bypass diodes: a string has one current.
    Strings {
        /// Groups of cells in a string that a bypass diode can pass: three in a common module, times the modules in series.
        bypass_groups: u32,
    },
}

impl Gathering {
    /// Strings of ten modules with three groups of cells each, for planes that do not say how their modules are gathered.
    pub const TEN_MODULE_STRINGS: Self = Self::Strings { bypass_groups: 30 };
}

/// Power of a bypassed group that its diode takes for itself, over the power of a lit group.
///
/// Derived: 0.5 V across the diode against some 11 V of twenty cells at maximum power.
const DIODE_SHARE: f64 = 0.045;

/// Power of a partly shaded plane over its rated power.
///
/// - `shaded_share`: of the modules, 0 to 1; in strings the shadow lies over whole groups, so a group in part shade counts as shaded
/// - `lit`, `shaded`: power over rated power of modules in full light and of modules without beam
///
/// Module by module both parts give their own. A string either runs at the current of the lit modules, and the diodes pass the
/// shaded groups by, or at the current that the shaded ones can carry, and the lit ones are held back to it: whichever gives more.
///
/// Source: Derived: the two maxima of the string's power, as in Deline, Dobos, Janzou, Meydbray & Donovan (2013), Solar Energy 96,
/// 274-282, doi:10.1016/j.solener.2013.07.008, which measured them.
#[must_use]
pub fn partly_shaded_share(shaded_share: f64, lit: f64, shaded: f64, gathering: Gathering) -> f64 {
    let shaded_share = shaded_share.clamp(0.0, 1.0);
    match gathering {
        Gathering::ModuleByModule => (1.0 - shaded_share) * lit + shaded_share * shaded,
        Gathering::Strings { bypass_groups } => {
            let groups = f64::from(bypass_groups.max(1));
            // A rounding error above a whole number of groups is no further group.
            let passed_share = ((shaded_share * groups - 1e-9).ceil() / groups).clamp(0.0, 1.0);
            let at_lit_current = lit * (1.0 - passed_share * (1.0 + DIODE_SHARE));
            at_lit_current.max(shaded.min(lit)).max(0.0)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const STRING: Gathering = Gathering::TEN_MODULE_STRINGS;

    #[test]
    fn without_shade_or_wholly_in_shade_both_gather_alike() {
        for gathering in [Gathering::ModuleByModule, STRING] {
            assert_eq!(partly_shaded_share(0.0, 0.8, 0.1, gathering), 0.8);
            assert!((partly_shaded_share(1.0, 0.8, 0.1, gathering) - 0.1).abs() < 1e-15);
        }
    }

    #[test]
    fn a_string_never_gives_more_than_its_modules_one_by_one() {
        for tenths in 0..=10 {
            for shaded in [0.0, 0.05, 0.3, 0.7] {
                let share = f64::from(tenths) / 10.0;
                let one_by_one = partly_shaded_share(share, 0.8, shaded, Gathering::ModuleByModule);
                let string = partly_shaded_share(share, 0.8, shaded, STRING);
                assert!(string <= one_by_one + 1e-12, "{share} {shaded}");
            }
        }
    }

    /// By hand: one of ten modules in shade, three of thirty groups: 0.8 (1 - 0.1 * 1.045).
    #[test]
    fn a_string_loses_the_shaded_module_and_its_diodes() {
        let share = partly_shaded_share(0.1, 0.8, 0.1, STRING);
        assert!((share - 0.7164).abs() < 1e-12);
        let touched = partly_shaded_share(0.101, 0.8, 0.1, STRING);
        assert!((touched - 0.8 * (1.0 - 4.0 / 30.0 * 1.045)).abs() < 1e-12);
    }
}
