//! Which clause asks for what, edition by edition: the one table of citations.

use super::{Code, NecEdition, Source, SourceStatus};
use SourceStatus::{ByAnalogy, CommonPractice, FromMemory, OneText, Published};

/// Something that a code asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Clause {
    /// String voltage in the cold by the module's temperature coefficient.
    ColdVoltageByCoefficient,
    /// String voltage in the cold by the table of factors.
    ColdVoltageByTable,
    /// Highest DC voltage on a dwelling.
    DwellingDcVoltage,
    /// Highest current of a PV source circuit.
    PvCurrent,
    /// Conductors of a PV source circuit.
    PvConductor,
    /// Overcurrent device of a PV source circuit, and when none is needed.
    PvOvercurrent,
    /// Controlled conductors: voltage falls when PV is shut down.
    RapidShutdown,
    /// Arc-fault protection of PV DC circuits.
    ArcFault,
    /// Means to disconnect PV.
    PvDisconnect,
    /// Residual current and insulation watched on the DC side.
    DcFault,
    /// Residual-current device of an inverter's output.
    ResidualCurrent,
    /// Surge protection of PV.
    SurgeProtection,
    /// Highest current of an inverter's output.
    InverterCurrent,
    /// Conductors of a generator.
    GeneratorConductor,
    /// A generator is kept from overload.
    GeneratorOverload,
    /// Conductors of a power source's output.
    SourceConductor,
    /// Overcurrent device of a power source's output.
    SourceOvercurrent,
    /// Busbar: sources and the device that protects it are no more than its rating.
    BusbarWhole,
    /// Busbar: sources at the far end are allowed a fifth more.
    BusbarFarEnd,
    /// Busbar: all breakers but the main are no more than its rating.
    BusbarSum,
    /// Busbar that is fed at its centre.
    BusbarCentreFed,
    /// Busbar with feed-through lugs.
    BusbarFeedThrough,
    /// Busbar that stand-alone sources feed, without a utility.
    StandAloneBusbar,
    /// Connection ahead of the service disconnect.
    SupplySide,
    /// Feeder between two panels that carries a source.
    Feeder,
    /// A power control system limits the current of a busbar or a conductor.
    PowerControl,
    /// Directory of all power sources.
    SourceDirectory,
    /// A source stops when the utility is lost, unless a listed device parts the island.
    IslandDevice,
    /// Ampacity of conductors.
    Ampacity,
    /// Temperature limit of terminals.
    Terminal,
    /// The device that protects a conductor.
    ConductorProtection,
    /// Equipment earth conductor.
    EarthConductor,
    /// Conductors in parallel.
    ParallelConductors,
    /// Conductors bear a short circuit until it is cleared.
    ShortCircuit,
    /// Voltage drop.
    VoltageDrop,
    /// Working space.
    WorkingSpace,
    /// Storage is a listed system.
    StorageListing,
    /// Means to disconnect storage.
    StorageDisconnect,
    /// Emergency shutdown of storage from outdoors.
    StorageShutdown,
    /// Highest voltage of a battery in a dwelling.
    StorageVoltage,
    /// Conductors and overcurrent device of a battery circuit.
    StorageCircuit,
    /// Most energy of one storage unit in a dwelling.
    StorageUnitEnergy,
    /// Most energy of all storage units at one place of a dwelling.
    StorageEnergy,
    /// Places where storage may stand.
    StoragePlace,
    /// Distance between storage units, walls, doors and windows.
    StorageSpacing,
    /// Optional standby: what the source must carry.
    Standby,
    /// Stand-alone supply: no smaller than the largest single load.
    StandAloneSupply,
    /// A 120 V supply on a 120/240 V panel.
    StandAloneSplit,
    /// Exactly one bond between neutral and earth.
    NeutralBond,
    /// Load of a dwelling: optional method of a new one, or with diversity.
    NewDwellingLoad,
    /// Load of an existing dwelling, optional method.
    ExistingDwellingLoad,
    /// Load by measured demand.
    MeasuredLoad,
    /// Label at the PV disconnect.
    LabelPvDisconnect,
    /// Labels along PV DC raceways.
    LabelPvRaceway,
    /// Label of rapid shutdown.
    LabelRapidShutdown,
    /// Label at a back-fed breaker.
    LabelBackfed,
    /// Label at the storage disconnect.
    LabelStorage,
    /// Label of optional standby and of stand-alone supply.
    LabelStandby,
    /// Label of a home that stand-alone sources alone supply.
    LabelStandAlone,
}

/// A row: the NEC's clause in 2017, 2020, 2023 and 2026, how sure the first three and the last are, and the IEC's document.
struct Row {
    nec: [&'static str; 4],
    nec_status: [SourceStatus; 2],
    iec: &'static str,
    iec_status: SourceStatus,
}

impl Clause {
    /// Where this code asks for it. A family that does not is common practice.
    #[must_use]
    pub fn source(self, code: Code) -> Source {
        let row = self.row();
        match code {
            Code::Nec(edition) => {
                let [of_2017, of_2020, of_2023, of_2026] = row.nec;
                let [before_2026, since_2026] = row.nec_status;
                let (clause, status) = match edition {
                    NecEdition::Of2017 => (of_2017, before_2026),
                    NecEdition::Of2020 => (of_2020, before_2026),
                    NecEdition::Of2023 => (of_2023, before_2026),
                    NecEdition::Of2026 => (of_2026, since_2026),
                };
                // Fire codes and product standards have editions of their own.
                let (document, clause) = match clause.split_once(": ") {
                    Some((document, clause)) => (document, clause),
                    None => ("NEC", clause),
                };
                if clause.is_empty() {
                    return Source::COMMON_PRACTICE;
                }
                Source {
                    document,
                    edition: if document == "NEC" {
                        edition.year()
                    } else {
                        ""
                    },
                    clause,
                    status,
                }
            }
            Code::Iec if row.iec.is_empty() => Source::COMMON_PRACTICE,
            Code::Iec => Source {
                document: row.iec,
                edition: "",
                clause: "",
                status: row.iec_status,
            },
        }
    }

    fn row(self) -> Row {
        let all = |nec, iec| row([nec; 4], [Published, FromMemory], iec);
        let memory = |nec, iec| row([nec; 4], [FromMemory; 2], iec);
        match self {
            Self::ColdVoltageByCoefficient => all("690.7(A)(1)", "IEC 62548"),
            Self::ColdVoltageByTable => all("690.7(A)(2)", "IEC 62548"),
            Self::DwellingDcVoltage => row(
                ["690.7", "690.7", "690.7", "690.7"],
                [Published; 2],
                "IEC 60364-7-712",
            ),
            Self::PvCurrent => all("690.8(A)(1)", "IEC 62548"),
            Self::PvConductor => all("690.8(B)", "IEC 60364-5-52 and EN 50618"),
            Self::PvOvercurrent => all("690.9", "IEC 62548"),
            Self::RapidShutdown => all("690.12", ""),
            Self::ArcFault => memory("690.11", ""),
            Self::PvDisconnect => memory("690.13", "IEC 60364-7-712"),
            Self::DcFault => memory("690.41(B)", "IEC 62109-2 and IEC 60364-7-712"),
            Self::ResidualCurrent => memory("", "IEC 60364-7-712, 712.531.3.5.1"),
            Self::SurgeProtection => memory("", "IEC 60364-4-44, 443 and IEC 60364-7-712, 712.443"),
            Self::InverterCurrent => row(
                [
                    "690.8(A)(3)",
                    "690.8(A)(1)(c)",
                    "690.8(A)(1)(c)",
                    "690.8(A)(1)(c)",
                ],
                [Published, FromMemory],
                "IEC 60364-7-712",
            ),
            Self::GeneratorConductor => memory("445.13(A)", "IEC 60364-5-52"),
            Self::GeneratorOverload => memory("445.12(A)", "IEC 60364-5-55, 551"),
            Self::SourceConductor => row(
                ["705.60(B)", "705.28", "705.28", "705.28"],
                [FromMemory; 2],
                "IEC 60364-5-52",
            ),
            Self::SourceOvercurrent => row(
                ["705.65", "705.30", "705.30", "705.30"],
                [FromMemory; 2],
                "IEC 60364-4-43",
            ),
            Self::BusbarWhole => row(
                [
                    "705.12(B)(2)(3)(a)",
                    "705.12(B)(3)(1)",
                    "705.12(B)(1)",
                    "705.12(B)(1)",
                ],
                [Published, FromMemory],
                "IEC 60364-5-55, 551.7.2",
            ),
            Self::BusbarFarEnd => row(
                [
                    "705.12(B)(2)(3)(b)",
                    "705.12(B)(3)(2)",
                    "705.12(B)(2)",
                    "705.12(B)(2)",
                ],
                [Published, FromMemory],
                "",
            ),
            Self::BusbarSum => row(
                [
                    "705.12(B)(2)(3)(c)",
                    "705.12(B)(3)(3)",
                    "705.12(B)(3)",
                    "705.12(B)(3)",
                ],
                [Published, FromMemory],
                "",
            ),
            Self::BusbarCentreFed => row(
                [
                    "705.12(B)(2)(3)(d)",
                    "705.12(B)(3)(4)",
                    "705.12(B)(4)",
                    "705.12(B)(4)",
                ],
                [Published, FromMemory],
                "",
            ),
            Self::BusbarFeedThrough => row(
                ["", "705.12(B)(3)(5)", "705.12(B)(5)", "705.12(B)(5)"],
                [Published, FromMemory],
                "",
            ),
            // It is written for the conductors from the sources.
            Self::StandAloneBusbar => row(["710.15(B)"; 4], [ByAnalogy; 2], "IEC 60364-5-55, 551"),
            Self::SupplySide => row(
                ["705.12(A)", "705.11", "705.11", "705.11"],
                [FromMemory; 2],
                "",
            ),
            Self::Feeder => row(
                ["705.12(B)(2)(1)", "705.12(B)(1)", "705.12(A)", "705.12(A)"],
                [FromMemory; 2],
                "IEC 60364-5-55, 551.7.2",
            ),
            Self::PowerControl => row(
                ["", "705.13", "750.30", "130, Part II"],
                [FromMemory, Published],
                "",
            ),
            Self::SourceDirectory => memory("705.10", "IEC 60364-7-712"),
            Self::IslandDevice => memory("705.40", "IEC 60364-8-2"),
            Self::Ampacity => row(
                ["310.15(B)(16)", "310.16", "310.16", "310.16"],
                [Published; 2],
                "IEC 60364-5-52",
            )
            .iec_published(),
            Self::Terminal => memory("110.14(C)", ""),
            Self::ConductorProtection => all("240.4", "IEC 60364-4-43"),
            Self::EarthConductor => all("250.122", "IEC 60364-5-54"),
            Self::ParallelConductors => row(
                ["310.10(H)", "310.10(G)", "310.10(G)", "310.10(G)"],
                [FromMemory; 2],
                "IEC 60364-5-52, 523.7",
            ),
            Self::ShortCircuit => row([""; 4], [FromMemory; 2], "IEC 60364-4-43, 434.5.2"),
            Self::VoltageDrop => row(
                [
                    "210.19(A), informational note",
                    "210.19(A), informational note",
                    "210.19(A), informational note",
                    "210.19(A), informational note",
                ],
                [Published, FromMemory],
                "IEC 60364-5-52",
            ),
            Self::WorkingSpace => memory("110.26(A)", ""),
            Self::StorageListing => row(
                ["706.5"; 4],
                [Published, FromMemory],
                "IEC 62619 and IEC 62485",
            ),
            Self::StorageDisconnect => row(
                ["706.7", "706.15", "706.15", "706.15"],
                [Published, FromMemory],
                "IEC 62485",
            ),
            Self::StorageShutdown => row(
                ["", "706.15", "706.15", "706.15"],
                [Published, FromMemory],
                "",
            ),
            Self::StorageVoltage => memory("706.20(B)", ""),
            Self::StorageCircuit => memory("706.30 and 706.31", "IEC 60364-4-43"),
            Self::StorageUnitEnergy | Self::StorageEnergy => {
                row(["NFPA 855: chapter 15"; 4], [Published; 2], "")
            }
            Self::StoragePlace => row(["NFPA 855: chapter 15"; 4], [FromMemory; 2], "IEC 62485"),
            Self::StorageSpacing => row(["NFPA 855: chapter 15"; 4], [Published; 2], ""),
            Self::Standby => all("702.4", "IEC 60364-5-55, 551"),
            Self::StandAloneSupply => row(
                ["710.15(A)"; 4],
                [Published, FromMemory],
                "IEC 60364-5-55, 551",
            ),
            Self::StandAloneSplit => row(["710.15(C)"; 4], [Published, FromMemory], ""),
            Self::NeutralBond => memory("250.30 and 250.142", "IEC 60364-8-2"),
            Self::NewDwellingLoad => row(
                ["220.82", "220.82", "220.82", "120.82"],
                [Published, OneText],
                "IEC 60364-1, 311",
            ),
            Self::ExistingDwellingLoad => row(
                ["220.83", "220.83", "220.83", "120.83"],
                [Published, OneText],
                "IEC 60364-1, 311",
            ),
            Self::MeasuredLoad => row(["220.87", "220.87", "220.87", "120.87"], [Published; 2], ""),
            Self::LabelPvDisconnect => memory("690.13(B)", "IEC 60364-7-712"),
            Self::LabelPvRaceway => memory("690.31(D)", "IEC 62548"),
            Self::LabelRapidShutdown => memory("690.12 and 690.56(C)", ""),
            Self::LabelBackfed => row(
                ["705.12(B)(2)(3)", "705.12(B)(3)", "705.12(B)", "705.12(B)"],
                [Published, FromMemory],
                "IEC 60364-7-712",
            ),
            Self::LabelStorage => row(
                ["706.7(D)", "706.15(C)", "706.15(C)", "706.15(C)"],
                [Published, FromMemory],
                "IEC 62485",
            ),
            Self::LabelStandby => row(
                ["702.7 and 710.10"; 4],
                [FromMemory; 2],
                "IEC 60364-5-55, 551",
            ),
            Self::LabelStandAlone => memory("710.10", "IEC 60364-5-55, 551"),
        }
    }
}

const fn row(nec: [&'static str; 4], nec_status: [SourceStatus; 2], iec: &'static str) -> Row {
    Row {
        nec,
        nec_status,
        iec,
        iec_status: if iec.is_empty() {
            CommonPractice
        } else {
            FromMemory
        },
    }
}

impl Row {
    const fn iec_published(self) -> Self {
        Self {
            iec_status: Published,
            ..self
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Edition map of 705.12 and 220: public texts of the 2017 and 2020 busbar rules, a change note for 2026.
    #[test]
    fn a_clause_moves_with_the_edition() {
        let far_end = |edition| Clause::BusbarFarEnd.source(Code::Nec(edition)).to_string();
        assert_eq!(far_end(NecEdition::Of2017), "NEC 2017, 705.12(B)(2)(3)(b)");
        assert_eq!(far_end(NecEdition::Of2020), "NEC 2020, 705.12(B)(3)(2)");
        assert_eq!(far_end(NecEdition::Of2023), "NEC 2023, 705.12(B)(2)");
        let load = |edition| Clause::NewDwellingLoad.source(Code::Nec(edition)).clause;
        assert_eq!(load(NecEdition::Of2023), "220.82");
        assert_eq!(load(NecEdition::Of2026), "120.82");
        // A letter for the emergency shutdown is not sure: (B) is about location and access.
        let shutdown = |edition| Clause::StorageShutdown.source(Code::Nec(edition)).clause;
        assert_eq!(shutdown(NecEdition::Of2017), "");
        assert_eq!(shutdown(NecEdition::Of2023), "706.15");
        assert_eq!(
            Clause::StorageUnitEnergy
                .source(Code::Nec(NecEdition::Of2023))
                .to_string(),
            "NFPA 855, chapter 15"
        );
    }

    #[test]
    fn what_a_family_does_not_ask_for_is_common_practice() {
        assert_eq!(
            Clause::RapidShutdown.source(Code::Iec),
            Source::COMMON_PRACTICE
        );
        assert_eq!(
            Clause::BusbarFeedThrough.source(Code::Nec(NecEdition::Of2017)),
            Source::COMMON_PRACTICE
        );
        assert_eq!(Clause::PvCurrent.source(Code::Iec).to_string(), "IEC 62548");
    }
}
