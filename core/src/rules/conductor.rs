//! What a conductor carries where it is laid, whether it suits a circuit, and the least size that does.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::metric_wire::{metric_ambient_factor, metric_grouping_factor};
use super::nec_wire::{ambient_factor, grouping_factor};
use super::{
    Awg, Code, Column, LoadedConductors, Metal, Method, MetricInsulation, NecEdition, Section,
    SourceStatus, continuous_basis_a, most_protection_a, voltage_drop_v,
};

/// Size of a conductor.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Size {
    /// American wire gauge.
    Awg(Awg),
    /// Metric section.
    Section(Section),
}

/// What carries the current of one pole: a conductor, or several alike in parallel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Conductors {
    /// Size of each.
    pub size: Size,
    /// How many in parallel, from 1.
    pub parallel: u32,
}

/// How parallel conductors lie to one another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum ParallelLaying {
    /// Each run lies apart, under the NEC in a raceway of its own: it has no more company than a single run.
    Apart,
    /// All runs lie together: each is company to the others.
    Together,
}

/// How a run of conductors is laid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Laying {
    /// What the conductors are made of.
    pub metal: Metal,
    /// Temperature of the air about them, °C.
    pub ambient_c: f64,
    /// How conductors in parallel lie to one another.
    pub parallel: ParallelLaying,
    /// Insulation and company, in the terms of the code.
    pub wiring: Wiring,
}

/// Insulation and company of a run, in the terms of its code.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Wiring {
    /// NEC.
    Nec {
        /// Temperature rating of the insulation.
        insulation: Column,
        /// How the terminals at both ends are marked.
        terminals: Terminals,
        /// Loaded conductors in the raceway or cable, all circuits together.
        loaded_conductors: u32,
    },
    /// IEC.
    Iec {
        /// Insulation.
        insulation: MetricInsulation,
        /// How it is laid.
        method: Method,
        /// Circuits that are bunched.
        circuits: u32,
    },
}

/// Marking of terminals.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Terminals {
    /// Marked 75 °C (or 60/75 °C).
    Marked75C,
    /// Not marked: 60 °C for devices to 100 A, 75 °C above.
    Unmarked,
}

/// What a circuit asks of its conductors.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Duty {
    /// Highest current, A.
    pub highest_a: f64,
    /// What is kept beyond it.
    pub reserve: Reserve,
    /// Rating of the device that protects the conductors, A; none: nothing can drive more through them than `highest_a`.
    pub device_a: Option<f64>,
    /// How many conductors carry it.
    pub loaded: LoadedConductors,
}

/// What conductors are to bear beyond the highest current of their circuit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reserve {
    /// It runs continuously: under the NEC the terminals bear 125 % of it, before corrections.
    Continuous,
    /// Terminals, and conductors where they lie, bear this share more.
    Throughout(f64),
}

impl Duty {
    /// Current that terminals bear, before corrections, A.
    #[must_use]
    pub fn at_terminals_a(&self) -> f64 {
        match self.reserve {
            Reserve::Continuous => continuous_basis_a(self.highest_a),
            Reserve::Throughout(share) => self.highest_a + share * self.highest_a,
        }
    }

    /// Current that conductors bear where they lie, after corrections, A.
    #[must_use]
    pub fn where_laid_a(&self) -> f64 {
        match self.reserve {
            Reserve::Continuous => self.highest_a,
            Reserve::Throughout(share) => self.highest_a + share * self.highest_a,
        }
    }
}

/// What the conductors of a pole carry where they are laid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Carrying {
    /// Ampacity of the table at the insulation of each conductor, A.
    pub table_a: f64,
    /// How sure the table's entry is.
    pub table_status: SourceStatus,
    /// Correction for ambient temperature.
    pub ambient_factor: f64,
    /// Correction for company.
    pub grouping_factor: f64,
    /// Ampacity of all in parallel after both corrections, A.
    pub corrected_a: f64,
    /// Ampacity that the terminals permit to all in parallel, before corrections, A; infinite where the family knows no such limit.
    pub terminal_a: f64,
}

/// One thing that a conductor must meet: it is met while `need_a` is at most `have_a`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AmpacityCheck {
    /// Which.
    pub kind: AmpacityCheckKind,
    /// Current asked for, A.
    pub need_a: f64,
    /// Current that the conductor gives, A.
    pub have_a: f64,
}

/// What a conductor must meet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AmpacityCheckKind {
    /// What terminals bear, before corrections, at the column of the terminals.
    Terminals,
    /// What conductors bear where they lie, after corrections.
    Corrected,
    /// The rating of the device.
    Device,
}

impl Size {
    /// Every size of a family, from the thinnest.
    pub fn all(code: Code) -> impl Iterator<Item = Self> {
        let (awg, sections): (&'static [Awg], &'static [Section]) = match code {
            Code::Nec(_) => (&Awg::ALL, &[]),
            Code::Iec => (&[], &Section::ALL),
        };
        awg.iter()
            .copied()
            .map(Self::Awg)
            .chain(sections.iter().copied().map(Self::Section))
    }

    /// The size in words, such as `10 AWG` or `6 mm²`.
    #[must_use]
    pub fn label(self) -> String {
        match self {
            Self::Awg(size) => size.label().to_owned(),
            Self::Section(section) => format!("{} mm²", section.area_mm2()),
        }
    }

    /// Area, mm².
    #[must_use]
    pub fn area_mm2(self) -> f64 {
        match self {
            Self::Awg(size) => size.area_mm2(),
            Self::Section(section) => section.area_mm2(),
        }
    }
}

impl From<Size> for Conductors {
    fn from(size: Size) -> Self {
        Self { size, parallel: 1 }
    }
}

impl Conductors {
    /// The conductors in words, such as `10 AWG` or `2 × 4/0 AWG`.
    #[must_use]
    pub fn label(self) -> String {
        match self.parallel {
            0 | 1 => self.size.label(),
            parallel => format!("{parallel} × {}", self.size.label()),
        }
    }

    /// Whether conductors of this size may be laid in parallel: from 1/0 AWG under the NEC; the IEC sets no least section.
    ///
    /// Source: NEC 310.10(G), 310.10(H) in 2017; IEC 60364-5-52, 523.7 (from memory).
    #[must_use]
    pub fn may_be_parallel(size: Size) -> bool {
        match size {
            Size::Awg(size) => size >= Awg::OneOught,
            Size::Section(_) => true,
        }
    }
}

impl Laying {
    /// Most conductors in parallel that are proposed.
    ///
    /// Source: common practice.
    pub const MOST_PROPOSED_PARALLEL: u32 = 6;

    /// The family that the run is described in.
    fn family(&self) -> Code {
        match self.wiring {
            Wiring::Nec { .. } => Code::Nec(NecEdition::Of2023),
            Wiring::Iec { .. } => Code::Iec,
        }
    }

    /// What such conductors carry here; none if there is no such conductor or no table for it.
    ///
    /// `device_a` decides the column of unmarked terminals. Runs in parallel that lie together are company to one another.
    ///
    /// Source: NEC 310.16, 310.15(B), 310.15(C), 110.14(C), 310.10(G); IEC 60364-5-52, 523.7.
    #[must_use]
    pub fn carrying(&self, conductors: impl Into<Conductors>, duty: &Duty) -> Option<Carrying> {
        let Conductors { size, parallel } = conductors.into();
        let parallel = parallel.max(1);
        let company = match self.parallel {
            ParallelLaying::Apart => 1,
            ParallelLaying::Together => parallel,
        };
        let (table_a, table_status, ambient_factor, grouping_factor, terminal_a) =
            match (self.wiring, size) {
                (
                    Wiring::Nec {
                        insulation,
                        terminals,
                        loaded_conductors,
                    },
                    Size::Awg(size),
                ) => {
                    const MOST_AT_60_C_A: f64 = 100.0;
                    let rating_a = duty.device_a.unwrap_or(duty.at_terminals_a());
                    let terminal = match terminals {
                        Terminals::Unmarked if rating_a <= MOST_AT_60_C_A => Column::C60,
                        Terminals::Marked75C | Terminals::Unmarked => Column::C75,
                    };
                    (
                        size.ampacity_a(self.metal, insulation)?,
                        SourceStatus::Published,
                        ambient_factor(self.ambient_c, insulation),
                        grouping_factor(loaded_conductors.saturating_mul(company)),
                        size.ampacity_a(self.metal, terminal.min(insulation))?,
                    )
                }
                (
                    Wiring::Iec {
                        insulation,
                        method,
                        circuits,
                    },
                    Size::Section(section),
                ) => {
                    let (metal, loaded) = (self.metal, duty.loaded);
                    (
                        section.ampacity_a(metal, insulation, method, loaded)?,
                        section.ampacity_status(metal, insulation, method, loaded),
                        metric_ambient_factor(self.ambient_c, insulation.rated_as(method)),
                        metric_grouping_factor(circuits.saturating_mul(company)),
                        f64::INFINITY,
                    )
                }
                (Wiring::Nec { .. }, Size::Section(_)) | (Wiring::Iec { .. }, Size::Awg(_)) => {
                    return None;
                }
            };
        let count = f64::from(parallel);
        Some(Carrying {
            table_a,
            table_status,
            ambient_factor,
            grouping_factor,
            corrected_a: count * table_a * ambient_factor * grouping_factor,
            terminal_a: count * terminal_a,
        })
    }

    /// Everything that such conductors must meet here; none as for [`Self::carrying`].
    ///
    /// Source: NEC 690.8(B), 705.28, 445.13(A), 240.4; IEC 60364-4-43: Ib ≤ In ≤ Iz, for conductors in parallel Iz of all together.
    #[must_use]
    pub fn checks(
        &self,
        conductors: impl Into<Conductors>,
        duty: &Duty,
    ) -> Option<Vec<AmpacityCheck>> {
        let conductors = conductors.into();
        let size = conductors.size;
        let carrying = self.carrying(conductors, duty)?;
        let mut checks = Vec::with_capacity(3);
        if let Size::Awg(_) = size {
            checks.push(AmpacityCheck {
                kind: AmpacityCheckKind::Terminals,
                need_a: duty.at_terminals_a(),
                have_a: carrying.terminal_a,
            });
        }
        checks.push(AmpacityCheck {
            kind: AmpacityCheckKind::Corrected,
            need_a: duty.where_laid_a(),
            have_a: carrying.corrected_a,
        });
        if let Some(device_a) = duty.device_a {
            let ampacity_a = carrying.corrected_a.min(carrying.terminal_a);
            let small_a = match size {
                Size::Awg(size) => size.small_conductor_limit_a(self.metal),
                Size::Section(_) => f64::INFINITY,
            };
            checks.push(AmpacityCheck {
                kind: AmpacityCheckKind::Device,
                need_a: device_a,
                have_a: most_protection_a(self.family(), ampacity_a).min(small_a),
            });
        }
        Some(checks)
    }

    /// Resistance of the conductors of a pole together at the temperature they reach under load, Ω/m: 75 °C under the NEC, that of
    /// their insulation under the IEC (70 °C or 90 °C); none if they are not made of this metal.
    #[must_use]
    pub fn resistance_ohm_per_m(&self, conductors: impl Into<Conductors>) -> Option<f64> {
        let Conductors { size, parallel } = conductors.into();
        let single_ohm_per_m = self.single_ohm_per_m(size)?;
        Some(single_ohm_per_m / f64::from(parallel.max(1)))
    }

    fn single_ohm_per_m(&self, size: Size) -> Option<f64> {
        match (size, self.wiring) {
            (Size::Awg(size), _) => size.resistance_ohm_per_m(self.metal),
            (Size::Section(section), wiring) => {
                let conductor_c = match wiring {
                    Wiring::Iec {
                        insulation: MetricInsulation::Pvc,
                        ..
                    } => 70.0,
                    _ => 90.0,
                };
                let per_c = match self.metal {
                    Metal::Copper => 0.003_93,
                    Metal::Aluminium => 0.004_03,
                };
                section
                    .resistance_at_20_c_ohm_per_m(self.metal)
                    .map(|at_20_c| at_20_c * (1.0 + per_c * (conductor_c - 20.0)))
            }
        }
    }

    /// Whether such conductors meet everything that is asked of them.
    #[must_use]
    pub fn suits(&self, conductors: impl Into<Conductors>, duty: &Duty) -> bool {
        let conductors = conductors.into();
        (conductors.parallel <= 1 || Conductors::may_be_parallel(conductors.size))
            && self
                .checks(conductors, duty)
                .is_some_and(|checks| checks.iter().all(AmpacityCheck::is_met))
    }

    /// The least size of which so many in parallel meet everything that is asked of them, and lose no more voltage than permitted; none
    /// if no size does.
    #[must_use]
    pub fn least_size(&self, duty: &Duty, parallel: u32, drop: Option<&DropLimit>) -> Option<Size> {
        Size::all(self.family()).find(|size| {
            let conductors = Conductors {
                size: *size,
                parallel,
            };
            self.suits(conductors, duty)
                && drop.is_none_or(|limit| {
                    self.resistance_ohm_per_m(conductors)
                        .is_some_and(|ohm_per_m| {
                            voltage_drop_v(limit.current_a, limit.one_way_m, ohm_per_m, duty.loaded)
                                <= limit.most_share * limit.system_v
                        })
                })
        })
    }

    /// The fewest in parallel, and the least size of them, that meet everything that is asked of them: a single conductor while the
    /// largest that is made suffices; none if not even [`Self::MOST_PROPOSED_PARALLEL`] do.
    #[must_use]
    pub fn least(&self, duty: &Duty) -> Option<Conductors> {
        (1..=Self::MOST_PROPOSED_PARALLEL).find_map(|parallel| {
            let size = self.least_size(duty, parallel, None)?;
            Some(Conductors { size, parallel })
        })
    }
}

impl AmpacityCheck {
    /// Whether it is met, but for rounding of the arithmetic.
    #[must_use]
    pub fn is_met(&self) -> bool {
        self.need_a <= self.have_a * (1.0 + 1e-9)
    }
}

/// How much voltage a run may lose.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DropLimit {
    /// Current, A.
    pub current_a: f64,
    /// Length of the run, one way, m.
    pub one_way_m: f64,
    /// Voltage of the circuit, V.
    pub system_v: f64,
    /// Most loss, share of that voltage.
    pub most_share: f64,
}

#[cfg(test)]
mod tests {
    use super::*;

    fn copper(terminals: Terminals, ambient_c: f64, loaded_conductors: u32) -> Laying {
        Laying {
            metal: Metal::Copper,
            ambient_c,
            parallel: ParallelLaying::Apart,
            wiring: Wiring::Nec {
                insulation: Column::C90,
                terminals,
                loaded_conductors,
            },
        }
    }

    fn duty(highest_a: f64, device_a: f64) -> Duty {
        Duty {
            highest_a,
            reserve: Reserve::Continuous,
            device_a: Some(device_a),
            loaded: LoadedConductors::Two,
        }
    }

    /// 48 A continuous on a 60 A breaker: 6 AWG copper at 75 °C, 65 A; at 60 °C 55 A fall short of 60 A and 4 AWG is needed.
    #[test]
    fn marked_terminals_save_a_size() {
        let duty = duty(48.0, 60.0);
        assert_eq!(
            copper(Terminals::Marked75C, 30.0, 2).least_size(&duty, 1, None),
            Some(Size::Awg(Awg::Awg6))
        );
        assert_eq!(
            copper(Terminals::Unmarked, 30.0, 2).least_size(&duty, 1, None),
            Some(Size::Awg(Awg::Awg4))
        );
    }

    /// 30 A on 40 A: 8 AWG gives 50 A at 75 °C. In 48 °C air with six loaded conductors 55 A × 0.82 × 0.80 = 36.1 A, which a 40 A
    /// device may still protect; with nine 31.6 A, which it may not.
    #[test]
    fn heat_and_company_ask_for_a_larger_size() {
        let duty = duty(30.0, 40.0);
        let size = |loaded| copper(Terminals::Marked75C, 48.0, loaded).least_size(&duty, 1, None);
        assert_eq!(size(6), Some(Size::Awg(Awg::Awg8)));
        assert_eq!(size(9), Some(Size::Awg(Awg::Awg6)));
    }

    #[test]
    fn a_small_conductor_is_held_to_its_own_limit() {
        let run = copper(Terminals::Marked75C, 30.0, 2);
        assert!(run.suits(Size::Awg(Awg::Awg12), &duty(16.0, 20.0)));
        assert!(!run.suits(Size::Awg(Awg::Awg12), &duty(16.0, 25.0)));
        assert!(run.suits(Size::Awg(Awg::Awg10), &duty(20.0, 25.0)));
    }

    #[test]
    fn a_long_run_asks_for_a_larger_size() {
        let run = copper(Terminals::Marked75C, 30.0, 2);
        let limit = |one_way_m| DropLimit {
            current_a: 32.0,
            one_way_m,
            system_v: 240.0,
            most_share: 0.015,
        };
        let duty = duty(32.0, 40.0);
        assert_eq!(
            run.least_size(&duty, 1, Some(&limit(5.0))),
            Some(Size::Awg(Awg::Awg8))
        );
        assert_eq!(
            run.least_size(&duty, 1, Some(&limit(30.0))),
            Some(Size::Awg(Awg::Awg6))
        );
        assert_eq!(run.least_size(&duty, 1, Some(&limit(1e7))), None);
    }

    #[test]
    fn a_metric_cable_carries_its_device() {
        let run = Laying {
            metal: Metal::Copper,
            ambient_c: 30.0,
            parallel: ParallelLaying::Together,
            wiring: Wiring::Iec {
                insulation: MetricInsulation::Pvc,
                method: Method::ConduitOnWall,
                circuits: 1,
            },
        };
        let duty = |device_a| Duty {
            highest_a: 20.0,
            reserve: Reserve::Continuous,
            device_a: Some(device_a),
            loaded: LoadedConductors::Two,
        };
        assert_eq!(
            run.least_size(&duty(20.0), 1, None),
            Some(Size::Section(Section::S2And5))
        );
        assert_eq!(
            run.least_size(&duty(32.0), 1, None),
            Some(Size::Section(Section::S4))
        );
    }

    /// 640 A continuous on an 800 A device: the largest copper conductor gives 475 A at 75 °C. Two of 500 kcmil give 760 A, whose next
    /// standard device is 800 A, but 125 % of the current are 800 A: two of 600 kcmil, 840 A. Together in one raceway four loaded
    /// conductors count 0.80: 2 × 475 A × 0.80 = 760 A, which an 800 A device may still protect.
    #[test]
    fn runs_in_parallel_come_in_where_the_largest_conductor_ends() {
        let apart = copper(Terminals::Marked75C, 30.0, 2);
        assert_eq!(apart.least_size(&duty(640.0, 800.0), 1, None), None);
        let two = Conductors {
            size: Size::Awg(Awg::Kcmil600),
            parallel: 2,
        };
        assert_eq!(apart.least(&duty(640.0, 800.0)), Some(two));
        let together = Laying {
            parallel: ParallelLaying::Together,
            ..apart
        };
        assert_eq!(together.least(&duty(640.0, 800.0)), Some(two));
        let carried = together.carrying(two, &duty(640.0, 800.0)).unwrap();
        assert!((carried.corrected_a - 760.0).abs() < 1e-9);
        assert_eq!(
            apart.least(&duty(100.0, 125.0)).map(|least| least.parallel),
            Some(1)
        );
        let thin = Conductors {
            size: Size::Awg(Awg::Awg1),
            parallel: 4,
        };
        assert!(!apart.suits(thin, &duty(100.0, 125.0)));
    }
}
