//! Protective earth conductors and the conductor to the earth electrode.

use super::{Awg, Metal, Section};

/// Rating of the device up to which each size of earth conductor serves, A, in copper and in aluminium.
///
/// Source: NEC table 250.122 (public transcription).
pub const EARTH_CONDUCTORS: [(f64, Awg, Awg); 12] = [
    (15.0, Awg::Awg14, Awg::Awg12),
    (20.0, Awg::Awg12, Awg::Awg10),
    (60.0, Awg::Awg10, Awg::Awg8),
    (100.0, Awg::Awg8, Awg::Awg6),
    (200.0, Awg::Awg6, Awg::Awg4),
    (300.0, Awg::Awg4, Awg::Awg2),
    (400.0, Awg::Awg3, Awg::Awg1),
    (500.0, Awg::Awg2, Awg::OneOught),
    (600.0, Awg::Awg1, Awg::TwoOught),
    (800.0, Awg::OneOught, Awg::ThreeOught),
    (1000.0, Awg::TwoOught, Awg::FourOught),
    (1200.0, Awg::ThreeOught, Awg::Kcmil250),
];

/// Earth conductor of a circuit under the NEC; none beyond the table.
///
/// - `device_a`: rating of the overcurrent device, A
/// - `phase`: size of the circuit conductors; the earth conductor need not be larger
///
/// Source: NEC 250.122(A).
#[must_use]
pub fn nec_earth_conductor(device_a: f64, metal: Metal, phase: Awg) -> Option<Awg> {
    EARTH_CONDUCTORS
        .iter()
        .find(|(to_a, _, _)| device_a <= *to_a)
        .map(|(_, copper, aluminium)| match metal {
            Metal::Copper => *copper,
            Metal::Aluminium => *aluminium,
        })
        .map(|size| size.min(phase))
}

/// Earth conductor of a circuit whose conductors were made larger than needed, as against voltage drop: it grows in proportion.
/// PV circuits are exempt (690.45).
///
/// Source: NEC 250.122(B).
#[must_use]
pub fn enlarged_earth_conductor(earth: Awg, needed: Awg, chosen: Awg) -> Awg {
    let area_mm2 = earth.area_mm2() * (chosen.area_mm2() / needed.area_mm2()).max(1.0);
    Awg::ALL
        .into_iter()
        .find(|size| size.area_mm2() >= area_mm2 * (1.0 - 1e-9))
        .unwrap_or(chosen)
        .min(chosen.max(earth))
}

/// Earth conductor of a circuit under the IEC: as the line conductor to 16 mm², 16 mm² to 35 mm², half beyond.
///
/// Source: IEC 60364-5-54 table 54.2 (from memory).
#[must_use]
pub fn iec_earth_conductor(line: Section) -> Section {
    let least_mm2 = if line <= Section::S16 {
        return line;
    } else if line <= Section::S35 {
        16.0
    } else {
        0.5 * line.area_mm2()
    };
    Section::ALL
        .into_iter()
        .find(|section| section.area_mm2() >= least_mm2)
        .unwrap_or(line)
}

/// Copper conductor to the earth electrode, by the largest line conductor of the service or derived system.
///
/// Source: NEC table 250.66: copper lines by public transcription, aluminium lines from memory.
#[must_use]
pub fn electrode_conductor(line: Awg, line_metal: Metal) -> Awg {
    let bands: [(Awg, Awg); 5] = match line_metal {
        Metal::Copper => [
            (Awg::Awg2, Awg::Awg8),
            (Awg::OneOught, Awg::Awg6),
            (Awg::ThreeOught, Awg::Awg4),
            (Awg::Kcmil350, Awg::Awg2),
            (Awg::Kcmil600, Awg::OneOught),
        ],
        Metal::Aluminium => [
            (Awg::OneOught, Awg::Awg8),
            (Awg::ThreeOught, Awg::Awg6),
            (Awg::Kcmil250, Awg::Awg4),
            (Awg::Kcmil500, Awg::Awg2),
            (Awg::Kcmil750, Awg::OneOught),
        ],
    };
    bands
        .into_iter()
        .find(|(to, _)| line <= *to)
        .map_or(Awg::TwoOught, |(_, electrode)| electrode)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_earth_conductor_is_never_larger_than_the_line_and_grows_with_it() {
        assert_eq!(
            nec_earth_conductor(60.0, Metal::Copper, Awg::Awg6),
            Some(Awg::Awg10)
        );
        assert_eq!(
            nec_earth_conductor(15.0, Metal::Aluminium, Awg::Awg14),
            Some(Awg::Awg14)
        );
        assert_eq!(nec_earth_conductor(1300.0, Metal::Copper, Awg::Awg6), None);
        // 40 A on 8 AWG enlarged to 6 AWG: 5.26 mm² × 13.3 / 8.37 = 8.36 mm², 8 AWG.
        assert_eq!(
            enlarged_earth_conductor(Awg::Awg10, Awg::Awg8, Awg::Awg6),
            Awg::Awg8
        );
        assert_eq!(
            enlarged_earth_conductor(Awg::Awg10, Awg::Awg8, Awg::Awg8),
            Awg::Awg10
        );
    }

    #[test]
    fn a_metric_earth_conductor_is_half_of_a_large_line() {
        assert_eq!(iec_earth_conductor(Section::S6), Section::S6);
        assert_eq!(iec_earth_conductor(Section::S25), Section::S16);
        assert_eq!(iec_earth_conductor(Section::S35), Section::S16);
        assert_eq!(iec_earth_conductor(Section::S95), Section::S50);
    }
}
