//! Conductors by metric size: ampacity, resistance, corrections.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Metal, SourceStatus};

/// Nominal sections of conductors, from the thinnest.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[expect(missing_docs, reason = "the name is the section in mm²")]
pub enum Section {
    #[serde(rename = "1.5")]
    S1And5,
    #[serde(rename = "2.5")]
    S2And5,
    #[serde(rename = "4")]
    S4,
    #[serde(rename = "6")]
    S6,
    #[serde(rename = "10")]
    S10,
    #[serde(rename = "16")]
    S16,
    #[serde(rename = "25")]
    S25,
    #[serde(rename = "35")]
    S35,
    #[serde(rename = "50")]
    S50,
    #[serde(rename = "70")]
    S70,
    #[serde(rename = "95")]
    S95,
    #[serde(rename = "120")]
    S120,
    #[serde(rename = "150")]
    S150,
    #[serde(rename = "185")]
    S185,
    #[serde(rename = "240")]
    S240,
    #[serde(rename = "300")]
    S300,
}

/// How a cable is laid.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Method {
    /// B1: in conduit on a wall.
    ConduitOnWall,
    /// C: clipped direct.
    ClippedDirect,
}

/// Insulation of a metric cable.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum MetricInsulation {
    /// PVC, conductor to 70 °C.
    Pvc,
    /// Cross-linked polyethylene, conductor to 90 °C.
    Xlpe,
    /// PV cable H1Z2Z2-K, conductor to 120 °C, copper; both poles side by side on a surface, or in conduit held to 90 °C.
    PvCable,
}

impl MetricInsulation {
    /// The insulation whose tables hold where it is laid so: EN 50618 gives PV cable no ampacity in conduit, where it is taken for the
    /// cross-linked cable that it also is, held to 90 °C.
    ///
    /// Source: common practice, on the safe side: IEC 60364-5-52 knows no cable for 120 °C.
    #[must_use]
    pub fn rated_as(self, method: Method) -> Self {
        match (self, method) {
            (Self::PvCable, Method::ConduitOnWall) => Self::Xlpe,
            _ => self,
        }
    }
}

impl Section {
    /// Every section, from the thinnest.
    pub const ALL: [Self; 16] = [
        Self::S1And5,
        Self::S2And5,
        Self::S4,
        Self::S6,
        Self::S10,
        Self::S16,
        Self::S25,
        Self::S35,
        Self::S50,
        Self::S70,
        Self::S95,
        Self::S120,
        Self::S150,
        Self::S185,
        Self::S240,
        Self::S300,
    ];

    /// Section in mm², and resistance at 20 °C of copper and of aluminium in Ω/km.
    ///
    /// Source: IEC 60228 class 2: copper by public transcription, aluminium from memory.
    fn wire(self) -> (f64, f64, Option<f64>) {
        match self {
            Self::S1And5 => (1.5, 12.1, None),
            Self::S2And5 => (2.5, 7.41, None),
            Self::S4 => (4.0, 4.61, None),
            Self::S6 => (6.0, 3.08, None),
            Self::S10 => (10.0, 1.83, None),
            Self::S16 => (16.0, 1.15, Some(1.91)),
            Self::S25 => (25.0, 0.727, Some(1.20)),
            Self::S35 => (35.0, 0.524, Some(0.868)),
            Self::S50 => (50.0, 0.387, Some(0.641)),
            Self::S70 => (70.0, 0.268, Some(0.443)),
            Self::S95 => (95.0, 0.193, Some(0.320)),
            Self::S120 => (120.0, 0.153, Some(0.253)),
            Self::S150 => (150.0, 0.124, Some(0.206)),
            Self::S185 => (185.0, 0.0991, Some(0.164)),
            Self::S240 => (240.0, 0.0754, Some(0.125)),
            Self::S300 => (300.0, 0.0601, Some(0.100)),
        }
    }

    /// Section, mm².
    #[must_use]
    pub fn area_mm2(self) -> f64 {
        self.wire().0
    }

    /// Resistance at 20 °C, Ω/m; none if it is not made of this metal.
    #[must_use]
    pub fn resistance_at_20_c_ohm_per_m(self, metal: Metal) -> Option<f64> {
        let (_, copper, aluminium) = self.wire();
        let ohm_per_km = match metal {
            Metal::Copper => copper,
            Metal::Aluminium => aluminium?,
        };
        Some(ohm_per_km / 1000.0)
    }

    /// Ampacity at the base temperature of its table, A: air of 30 °C, for PV cable out of conduit 60 °C. None where there is no such
    /// conductor.
    ///
    /// Source: IEC 60364-5-52 tables B.52.2 to B.52.5, EN 50618 table A.3; how sure each entry is: [`Self::ampacity_status`]. Every
    /// row agrees with the standard's own formula, annex D, within its rounding.
    #[must_use]
    pub fn ampacity_a(
        self,
        metal: Metal,
        insulation: MetricInsulation,
        method: Method,
        loaded: LoadedConductors,
    ) -> Option<f64> {
        let (first, row) = match metal {
            Metal::Copper => (Self::S1And5, copper_a(insulation, method, loaded)),
            Metal::Aluminium => (Self::S16, aluminium_a(insulation, method, loaded)?),
        };
        Self::ALL
            .iter()
            .filter(|section| **section >= first)
            .position(|section| *section == self)
            .and_then(|at| row.get(at).copied())
    }

    /// How sure an entry of [`Self::ampacity_a`] is: published is copper to 120 mm² in PVC, and in cross-linked polyethylene clipped
    /// direct with two loaded conductors (public transcription); all else is from memory.
    #[must_use]
    pub fn ampacity_status(
        self,
        metal: Metal,
        insulation: MetricInsulation,
        method: Method,
        loaded: LoadedConductors,
    ) -> SourceStatus {
        let transcribed = match insulation {
            MetricInsulation::Pvc => true,
            MetricInsulation::Xlpe => {
                method == Method::ClippedDirect && loaded == LoadedConductors::Two
            }
            MetricInsulation::PvCable => false,
        };
        if metal == Metal::Copper && self <= Self::S120 && transcribed {
            SourceStatus::Published
        } else {
            SourceStatus::FromMemory
        }
    }
}

/// Ampacity of copper from 1.5 mm² on, A.
fn copper_a(
    insulation: MetricInsulation,
    method: Method,
    loaded: LoadedConductors,
) -> &'static [f64] {
    match (insulation, method, loaded) {
        (MetricInsulation::Pvc, Method::ClippedDirect, LoadedConductors::Two) => &[
            19.5, 27.0, 36.0, 46.0, 63.0, 85.0, 112.0, 138.0, 168.0, 213.0, 258.0, 299.0, 344.0,
            392.0, 461.0, 530.0,
        ],
        (MetricInsulation::Pvc, Method::ClippedDirect, LoadedConductors::Three) => &[
            17.5, 24.0, 32.0, 41.0, 57.0, 76.0, 96.0, 119.0, 144.0, 184.0, 223.0, 259.0, 299.0,
            341.0, 403.0, 464.0,
        ],
        (MetricInsulation::Pvc, Method::ConduitOnWall, LoadedConductors::Two) => &[
            17.5, 24.0, 32.0, 41.0, 57.0, 76.0, 101.0, 125.0, 151.0, 192.0, 232.0, 269.0, 300.0,
            341.0, 400.0, 458.0,
        ],
        (MetricInsulation::Pvc, Method::ConduitOnWall, LoadedConductors::Three) => &[
            15.5, 21.0, 28.0, 36.0, 50.0, 68.0, 89.0, 110.0, 134.0, 171.0, 207.0, 239.0, 262.0,
            296.0, 346.0, 394.0,
        ],
        (MetricInsulation::Xlpe, Method::ClippedDirect, LoadedConductors::Two) => &[
            24.0, 33.0, 45.0, 58.0, 80.0, 107.0, 138.0, 171.0, 209.0, 269.0, 328.0, 382.0, 441.0,
            506.0, 599.0, 693.0,
        ],
        (MetricInsulation::Xlpe, Method::ClippedDirect, LoadedConductors::Three) => &[
            22.0, 30.0, 40.0, 52.0, 71.0, 96.0, 119.0, 147.0, 179.0, 229.0, 278.0, 322.0, 371.0,
            424.0, 500.0, 576.0,
        ],
        (MetricInsulation::Xlpe, Method::ConduitOnWall, LoadedConductors::Two) => &[
            23.0, 31.0, 42.0, 54.0, 75.0, 100.0, 133.0, 164.0, 198.0, 253.0, 306.0, 354.0, 393.0,
            449.0, 528.0, 603.0,
        ],
        (MetricInsulation::Xlpe, Method::ConduitOnWall, LoadedConductors::Three) => &[
            20.0, 28.0, 37.0, 48.0, 66.0, 88.0, 117.0, 144.0, 175.0, 222.0, 269.0, 312.0, 342.0,
            384.0, 450.0, 514.0,
        ],
        // EN 50618 table A.3, two cables that touch on a surface.
        (MetricInsulation::PvCable, Method::ClippedDirect, _) => &[
            24.0, 33.0, 44.0, 57.0, 79.0, 107.0, 142.0, 176.0, 221.0, 278.0, 333.0, 390.0, 453.0,
            515.0, 620.0,
        ],
        (MetricInsulation::PvCable, Method::ConduitOnWall, loaded) => {
            copper_a(insulation.rated_as(method), method, loaded)
        }
    }
}

/// Ampacity of aluminium from 16 mm² on, A; none for PV cable, which is copper.
fn aluminium_a(
    insulation: MetricInsulation,
    method: Method,
    loaded: LoadedConductors,
) -> Option<&'static [f64]> {
    Some(match (insulation, method, loaded) {
        (MetricInsulation::Pvc, Method::ClippedDirect, LoadedConductors::Two) => &[
            66.0, 83.0, 103.0, 125.0, 160.0, 195.0, 226.0, 261.0, 298.0, 352.0, 406.0,
        ],
        (MetricInsulation::Pvc, Method::ClippedDirect, LoadedConductors::Three) => &[
            59.0, 73.0, 90.0, 110.0, 140.0, 170.0, 197.0, 227.0, 259.0, 305.0, 351.0,
        ],
        (MetricInsulation::Pvc, Method::ConduitOnWall, LoadedConductors::Two) => &[
            60.0, 79.0, 97.0, 118.0, 150.0, 181.0, 210.0, 234.0, 266.0, 312.0, 358.0,
        ],
        (MetricInsulation::Pvc, Method::ConduitOnWall, LoadedConductors::Three) => &[
            53.0, 70.0, 86.0, 104.0, 133.0, 161.0, 186.0, 204.0, 230.0, 269.0, 306.0,
        ],
        (MetricInsulation::Xlpe, Method::ClippedDirect, LoadedConductors::Two) => &[
            84.0, 101.0, 126.0, 154.0, 198.0, 241.0, 280.0, 324.0, 371.0, 439.0, 508.0,
        ],
        (MetricInsulation::Xlpe, Method::ClippedDirect, LoadedConductors::Three) => &[
            76.0, 90.0, 112.0, 136.0, 174.0, 211.0, 245.0, 283.0, 323.0, 382.0, 440.0,
        ],
        (MetricInsulation::Xlpe, Method::ConduitOnWall, LoadedConductors::Two) => &[
            79.0, 105.0, 130.0, 157.0, 200.0, 242.0, 281.0, 307.0, 351.0, 412.0, 471.0,
        ],
        (MetricInsulation::Xlpe, Method::ConduitOnWall, LoadedConductors::Three) => &[
            71.0, 93.0, 116.0, 140.0, 179.0, 217.0, 251.0, 267.0, 300.0, 351.0, 402.0,
        ],
        (MetricInsulation::PvCable, _, _) => return None,
    })
}

/// How many conductors of a circuit carry its current.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LoadedConductors {
    /// DC, single-phase, split-phase.
    Two,
    /// Three-phase.
    Three,
}

/// Upper end of each band of ambient temperature, °C, with the correction for PVC and for cross-linked polyethylene; 0: no value at
/// hand.
///
/// Source: IEC 60364-5-52 table B.52.14, base 30 °C (from memory).
pub const METRIC_AMBIENT_FACTORS: [(f64, f64, f64); 12] = [
    (25.0, 1.06, 1.04),
    (30.0, 1.0, 1.0),
    (35.0, 0.94, 0.96),
    (40.0, 0.87, 0.91),
    (45.0, 0.79, 0.87),
    (50.0, 0.71, 0.82),
    (55.0, 0.61, 0.76),
    (60.0, 0.50, 0.71),
    (65.0, 0.0, 0.65),
    (70.0, 0.0, 0.58),
    (75.0, 0.0, 0.50),
    (80.0, 0.0, 0.41),
];

/// Upper end of each band of ambient temperature of PV cable, °C, with the correction.
///
/// Source: EN 50618 table A.4, base 60 °C (from memory).
pub const PV_CABLE_AMBIENT_FACTORS: [(f64, f64); 4] =
    [(60.0, 1.0), (70.0, 0.92), (80.0, 0.84), (90.0, 0.75)];

/// Correction of ampacity for ambient temperature; 0 beyond the table.
#[must_use]
pub fn metric_ambient_factor(ambient_c: f64, insulation: MetricInsulation) -> f64 {
    if insulation == MetricInsulation::PvCable {
        return PV_CABLE_AMBIENT_FACTORS
            .iter()
            .find(|(to_c, _)| ambient_c <= *to_c)
            .map_or(0.0, |(_, factor)| *factor);
    }
    METRIC_AMBIENT_FACTORS
        .iter()
        .find(|(to_c, _, _)| ambient_c <= *to_c)
        .map_or(0.0, |(_, pvc, xlpe)| {
            if insulation == MetricInsulation::Pvc {
                *pvc
            } else {
                *xlpe
            }
        })
}

/// Correction of ampacity for circuits that are bunched.
///
/// Source: IEC 60364-5-52 table B.52.17, bunched in air or enclosed (from memory).
#[must_use]
pub fn metric_grouping_factor(circuits: u32) -> f64 {
    match circuits {
        0 | 1 => 1.0,
        2 => 0.80,
        3 => 0.70,
        4 => 0.65,
        5 => 0.60,
        6 => 0.57,
        7 => 0.54,
        8 => 0.52,
        9..=11 => 0.50,
        12..=15 => 0.45,
        16..=19 => 0.41,
        _ => 0.38,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Resistivities at 20 °C: copper 1.7241 µΩ cm, aluminium 2.8264 µΩ cm. The standard's largest resistance leaves room for the
    /// lay of strands and for wire that is thinner than its name: to 14 % at 50 mm².
    #[test]
    fn resistance_is_resistivity_over_section_and_a_little_more() {
        for section in Section::ALL {
            for (metal, resistivity) in [(Metal::Copper, 0.017_241), (Metal::Aluminium, 0.028_264)]
            {
                let Some(found) = section.resistance_at_20_c_ohm_per_m(metal) else {
                    continue;
                };
                let share = found / (resistivity / section.area_mm2());
                assert!(
                    (1.0..1.14).contains(&share),
                    "{section:?} {metal:?}: {share}"
                );
            }
        }
    }

    #[test]
    fn a_larger_section_carries_more() {
        for (metal, insulation) in [
            (Metal::Copper, MetricInsulation::Pvc),
            (Metal::Copper, MetricInsulation::Xlpe),
            (Metal::Copper, MetricInsulation::PvCable),
            (Metal::Aluminium, MetricInsulation::Pvc),
            (Metal::Aluminium, MetricInsulation::Xlpe),
        ] {
            for loaded in [LoadedConductors::Two, LoadedConductors::Three] {
                for method in [Method::ConduitOnWall, Method::ClippedDirect] {
                    let row: Vec<f64> = Section::ALL
                        .iter()
                        .filter_map(|one| one.ampacity_a(metal, insulation, method, loaded))
                        .collect();
                    assert!(row.len() >= 11);
                    assert!(row.windows(2).all(|pair| pair[0] < pair[1]), "{row:?}");
                }
            }
        }
    }

    /// Heat leaves a conduit less easily than a cable on the wall, and two conductors heat it less than three.
    #[test]
    fn a_conduit_and_a_third_conductor_cost_ampacity() {
        for insulation in [MetricInsulation::Pvc, MetricInsulation::Xlpe] {
            for section in Section::ALL {
                let ampacity =
                    |method, loaded| section.ampacity_a(Metal::Copper, insulation, method, loaded);
                let (two, three) = (LoadedConductors::Two, LoadedConductors::Three);
                let on_wall = ampacity(Method::ClippedDirect, two);
                let in_conduit = ampacity(Method::ConduitOnWall, two);
                assert_eq!(on_wall.is_some(), in_conduit.is_some(), "{section:?}");
                assert!(in_conduit <= on_wall, "{section:?}");
                assert!(
                    ampacity(Method::ConduitOnWall, three) <= in_conduit,
                    "{section:?}"
                );
            }
        }
    }
}
