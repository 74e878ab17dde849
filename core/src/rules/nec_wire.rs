//! Conductors by American wire gauge: ampacity, resistance, corrections.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::units::M_PER_FT;

/// What a conductor is made of.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Metal {
    /// Copper.
    Copper,
    /// Aluminium.
    Aluminium,
}

/// A temperature column of the ampacity table.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
pub enum Column {
    /// 60 °C.
    #[serde(rename = "60")]
    C60,
    /// 75 °C.
    #[serde(rename = "75")]
    C75,
    /// 90 °C.
    #[serde(rename = "90")]
    C90,
}

/// Sizes of conductors, from the thinnest.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
pub enum Awg {
    /// 14 AWG.
    #[serde(rename = "14")]
    Awg14,
    /// 12 AWG.
    #[serde(rename = "12")]
    Awg12,
    /// 10 AWG.
    #[serde(rename = "10")]
    Awg10,
    /// 8 AWG.
    #[serde(rename = "8")]
    Awg8,
    /// 6 AWG.
    #[serde(rename = "6")]
    Awg6,
    /// 4 AWG.
    #[serde(rename = "4")]
    Awg4,
    /// 3 AWG.
    #[serde(rename = "3")]
    Awg3,
    /// 2 AWG.
    #[serde(rename = "2")]
    Awg2,
    /// 1 AWG.
    #[serde(rename = "1")]
    Awg1,
    /// 1/0 AWG.
    #[serde(rename = "1/0")]
    OneOught,
    /// 2/0 AWG.
    #[serde(rename = "2/0")]
    TwoOught,
    /// 3/0 AWG.
    #[serde(rename = "3/0")]
    ThreeOught,
    /// 4/0 AWG.
    #[serde(rename = "4/0")]
    FourOught,
    /// 250 kcmil.
    #[serde(rename = "250")]
    Kcmil250,
    /// 300 kcmil.
    #[serde(rename = "300")]
    Kcmil300,
    /// 350 kcmil.
    #[serde(rename = "350")]
    Kcmil350,
    /// 400 kcmil.
    #[serde(rename = "400")]
    Kcmil400,
    /// 500 kcmil.
    #[serde(rename = "500")]
    Kcmil500,
    /// 600 kcmil.
    #[serde(rename = "600")]
    Kcmil600,
    /// 750 kcmil.
    #[serde(rename = "750")]
    Kcmil750,
}

/// What the tables say of one size.
struct Wire {
    label: &'static str,
    area_mm2: f64,
    copper: ([f64; 3], f64),
    aluminium: Option<([f64; 3], f64)>,
}

const fn wire(
    label: &'static str,
    area_mm2: f64,
    copper: ([f64; 3], f64),
    aluminium: Option<([f64; 3], f64)>,
) -> Wire {
    Wire {
        label,
        area_mm2,
        copper,
        aluminium,
    }
}

impl Awg {
    /// Every size, from the thinnest.
    pub const ALL: [Self; 20] = [
        Self::Awg14,
        Self::Awg12,
        Self::Awg10,
        Self::Awg8,
        Self::Awg6,
        Self::Awg4,
        Self::Awg3,
        Self::Awg2,
        Self::Awg1,
        Self::OneOught,
        Self::TwoOught,
        Self::ThreeOught,
        Self::FourOught,
        Self::Kcmil250,
        Self::Kcmil300,
        Self::Kcmil350,
        Self::Kcmil400,
        Self::Kcmil500,
        Self::Kcmil600,
        Self::Kcmil750,
    ];

    /// Area in mm²; ampacity in the 60, 75 and 90 °C column with not more than three loaded conductors at 30 °C, and DC
    /// resistance at 75 °C in Ω per 1000 ft, of copper and of aluminium.
    ///
    /// Source: NEC tables 310.16 (310.15(B)(16) in 2017) and chapter 9 table 8, stranded (public transcriptions; resistances agree with
    /// resistivity; the resistance of 750 kcmil from memory).
    #[expect(clippy::approx_constant, reason = "an entry of the table, not pi")]
    fn wire(self) -> Wire {
        match self {
            Self::Awg14 => wire("14 AWG", 2.08, ([15.0, 20.0, 25.0], 3.14), None),
            Self::Awg12 => wire(
                "12 AWG",
                3.31,
                ([20.0, 25.0, 30.0], 1.98),
                Some(([15.0, 20.0, 25.0], 3.25)),
            ),
            Self::Awg10 => wire(
                "10 AWG",
                5.26,
                ([30.0, 35.0, 40.0], 1.24),
                Some(([25.0, 30.0, 35.0], 2.04)),
            ),
            Self::Awg8 => wire(
                "8 AWG",
                8.37,
                ([40.0, 50.0, 55.0], 0.778),
                Some(([35.0, 40.0, 45.0], 1.28)),
            ),
            Self::Awg6 => wire(
                "6 AWG",
                13.3,
                ([55.0, 65.0, 75.0], 0.491),
                Some(([40.0, 50.0, 55.0], 0.808)),
            ),
            Self::Awg4 => wire(
                "4 AWG",
                21.2,
                ([70.0, 85.0, 95.0], 0.308),
                Some(([55.0, 65.0, 75.0], 0.508)),
            ),
            Self::Awg3 => wire(
                "3 AWG",
                26.7,
                ([85.0, 100.0, 115.0], 0.245),
                Some(([65.0, 75.0, 85.0], 0.403)),
            ),
            Self::Awg2 => wire(
                "2 AWG",
                33.6,
                ([95.0, 115.0, 130.0], 0.194),
                Some(([75.0, 90.0, 100.0], 0.319)),
            ),
            Self::Awg1 => wire(
                "1 AWG",
                42.4,
                ([110.0, 130.0, 145.0], 0.154),
                Some(([85.0, 100.0, 115.0], 0.253)),
            ),
            Self::OneOught => wire(
                "1/0 AWG",
                53.5,
                ([125.0, 150.0, 170.0], 0.122),
                Some(([100.0, 120.0, 135.0], 0.201)),
            ),
            Self::TwoOught => wire(
                "2/0 AWG",
                67.4,
                ([145.0, 175.0, 195.0], 0.0967),
                Some(([115.0, 135.0, 150.0], 0.159)),
            ),
            Self::ThreeOught => wire(
                "3/0 AWG",
                85.0,
                ([165.0, 200.0, 225.0], 0.0766),
                Some(([130.0, 155.0, 175.0], 0.126)),
            ),
            Self::FourOught => wire(
                "4/0 AWG",
                107.0,
                ([195.0, 230.0, 260.0], 0.0608),
                Some(([150.0, 180.0, 205.0], 0.100)),
            ),
            Self::Kcmil250 => wire(
                "250 kcmil",
                127.0,
                ([215.0, 255.0, 290.0], 0.0515),
                Some(([170.0, 205.0, 230.0], 0.0847)),
            ),
            Self::Kcmil300 => wire(
                "300 kcmil",
                152.0,
                ([240.0, 285.0, 320.0], 0.0429),
                Some(([195.0, 230.0, 260.0], 0.0707)),
            ),
            Self::Kcmil350 => wire(
                "350 kcmil",
                177.0,
                ([260.0, 310.0, 350.0], 0.0367),
                Some(([210.0, 250.0, 280.0], 0.0605)),
            ),
            Self::Kcmil400 => wire(
                "400 kcmil",
                203.0,
                ([280.0, 335.0, 380.0], 0.0321),
                Some(([225.0, 270.0, 305.0], 0.0529)),
            ),
            Self::Kcmil500 => wire(
                "500 kcmil",
                253.0,
                ([320.0, 380.0, 430.0], 0.0258),
                Some(([260.0, 310.0, 350.0], 0.0424)),
            ),
            Self::Kcmil600 => wire(
                "600 kcmil",
                304.0,
                ([350.0, 420.0, 475.0], 0.0214),
                Some(([285.0, 340.0, 385.0], 0.0353)),
            ),
            Self::Kcmil750 => wire(
                "750 kcmil",
                380.0,
                ([400.0, 475.0, 535.0], 0.0171),
                Some(([320.0, 385.0, 435.0], 0.0282)),
            ),
        }
    }

    /// The size in words, such as `10 AWG`.
    #[must_use]
    pub fn label(self) -> &'static str {
        self.wire().label
    }

    /// Area, mm².
    #[must_use]
    pub fn area_mm2(self) -> f64 {
        self.wire().area_mm2
    }

    /// Ampacity at 30 °C with not more than three loaded conductors, A; none if it is not made of this metal.
    #[must_use]
    pub fn ampacity_a(self, metal: Metal, column: Column) -> Option<f64> {
        let wire = self.wire();
        let [c60, c75, c90] = match metal {
            Metal::Copper => wire.copper.0,
            Metal::Aluminium => wire.aluminium?.0,
        };
        Some(match column {
            Column::C60 => c60,
            Column::C75 => c75,
            Column::C90 => c90,
        })
    }

    /// DC resistance at 75 °C, Ω/m; none if it is not made of this metal.
    #[must_use]
    pub fn resistance_ohm_per_m(self, metal: Metal) -> Option<f64> {
        let wire = self.wire();
        let ohm_per_1000_ft = match metal {
            Metal::Copper => wire.copper.1,
            Metal::Aluminium => wire.aluminium?.1,
        };
        Some(ohm_per_1000_ft / (1000.0 * M_PER_FT))
    }

    /// Largest device that may protect a small conductor, A; infinite from 8 AWG on.
    ///
    /// Source: NEC 240.4(D) (public transcription).
    #[must_use]
    pub fn small_conductor_limit_a(self, metal: Metal) -> f64 {
        match (self, metal) {
            (Self::Awg14, _) | (Self::Awg12, Metal::Aluminium) => 15.0,
            (Self::Awg12, Metal::Copper) => 20.0,
            (Self::Awg10, Metal::Aluminium) => 25.0,
            (Self::Awg10, Metal::Copper) => 30.0,
            _ => f64::INFINITY,
        }
    }
}

/// Upper end of each band of ambient temperature, °C, with the correction of the 60, 75 and 90 °C column; 0: not permitted.
///
/// Source: NEC table 310.15(B)(1), base 30 °C: to 50 °C public transcriptions, beyond from memory.
pub const AMBIENT_FACTORS: [(f64, [f64; 3]); 16] = [
    (10.0, [1.29, 1.20, 1.15]),
    (15.0, [1.22, 1.15, 1.12]),
    (20.0, [1.15, 1.11, 1.08]),
    (25.0, [1.08, 1.05, 1.04]),
    (30.0, [1.0, 1.0, 1.0]),
    (35.0, [0.91, 0.94, 0.96]),
    (40.0, [0.82, 0.88, 0.91]),
    (45.0, [0.71, 0.82, 0.87]),
    (50.0, [0.58, 0.75, 0.82]),
    (55.0, [0.41, 0.67, 0.76]),
    (60.0, [0.0, 0.58, 0.71]),
    (65.0, [0.0, 0.47, 0.65]),
    (70.0, [0.0, 0.33, 0.58]),
    (75.0, [0.0, 0.0, 0.50]),
    (80.0, [0.0, 0.0, 0.41]),
    (85.0, [0.0, 0.0, 0.29]),
];

/// Correction of ampacity for ambient temperature; 0 where the column may not be used at all.
#[must_use]
pub fn ambient_factor(ambient_c: f64, column: Column) -> f64 {
    AMBIENT_FACTORS
        .iter()
        .find(|(to_c, _)| ambient_c <= *to_c)
        .map_or(0.0, |(_, [c60, c75, c90])| match column {
            Column::C60 => *c60,
            Column::C75 => *c75,
            Column::C90 => *c90,
        })
}

/// Adjustment of ampacity for more than three loaded conductors in one raceway or cable. A neutral that carries only the unbalance and
/// an earth conductor do not count.
///
/// Source: NEC table 310.15(C)(1) (public transcription).
#[must_use]
pub fn grouping_factor(loaded_conductors: u32) -> f64 {
    match loaded_conductors {
        0..=3 => 1.0,
        4..=6 => 0.80,
        7..=9 => 0.70,
        10..=20 => 0.50,
        21..=30 => 0.45,
        31..=40 => 0.40,
        _ => 0.35,
    }
}

/// What sunlight adds to the ambient temperature of a raceway that lies less than 23 mm (7/8 in) above the roof, K.
///
/// Source: NEC 310.15(B)(3)(c), 310.15(B)(2) since 2020 (from memory).
pub const ROOFTOP_ADDER_K: f64 = 33.0;

#[cfg(test)]
mod tests {
    use super::*;

    /// Resistivity of copper at 20 °C and its coefficient, 1.7241 µΩ cm and 0.00393 per °C (IEC 60028), with 2 % for the lay of
    /// strands. Tolerance: rounding of the table to three figures, 1 %.
    #[test]
    fn resistance_is_resistivity_over_area() {
        for size in Awg::ALL {
            let expected = 0.017_241 * (1.0 + 0.003_93 * 55.0) * 1.02 / size.area_mm2();
            let found = size.resistance_ohm_per_m(Metal::Copper).unwrap();
            assert!(
                (found / expected - 1.0).abs() < 0.01,
                "{}: {found} for {expected}",
                size.label()
            );
        }
    }

    #[test]
    fn a_larger_size_carries_more_and_resists_less() {
        for metal in [Metal::Copper, Metal::Aluminium] {
            for pair in Awg::ALL.windows(2) {
                for column in [Column::C60, Column::C75, Column::C90] {
                    assert!(pair[0].ampacity_a(metal, column) < pair[1].ampacity_a(metal, column));
                }
                if let Some(thin) = pair[0].resistance_ohm_per_m(metal) {
                    assert!(thin > pair[1].resistance_ohm_per_m(metal).unwrap());
                }
            }
        }
    }

    #[test]
    fn heat_and_crowding_never_raise_ampacity() {
        for column in [Column::C60, Column::C75, Column::C90] {
            for tenth in -300..1200 {
                let at = f64::from(tenth) / 10.0;
                assert!(ambient_factor(at + 0.1, column) <= ambient_factor(at, column));
            }
        }
        for count in 0..60 {
            assert!(grouping_factor(count + 1) <= grouping_factor(count));
        }
        assert_eq!(ambient_factor(56.0, Column::C60), 0.0);
        assert_eq!(ambient_factor(f64::NAN, Column::C90), 0.0);
    }
}
