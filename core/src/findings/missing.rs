//! What a finding that is not judged waits for, and where it is given.

use super::{CircuitKind, Finding};
use crate::coupling::CouplingOption;
use crate::drawing::Part;
use crate::household::Household;
use crate::rules::{Code, Term};

/// What a finding waits for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Missing {
    /// Numbers within their ranges: the check names them.
    NumbersInRange,
    /// The lowest temperature on record.
    RecordLow,
    /// How the module's voltage changes with temperature.
    VoltageCoefficient,
    /// How hot days become.
    HotDays,
    /// A breaker that the standard ratings do not reach.
    LargerBreaker(CircuitKind),
    /// A conductor that the ampacity tables do not reach.
    LargerConductor(CircuitKind),
    /// The highest current of a short circuit on the circuit.
    FaultCurrent(CircuitKind),
    /// How soon the circuit's device clears a short circuit.
    ClearingTime(CircuitKind),
    /// The rating of the panel's busbar.
    BusbarRating,
    /// The ampacity of the conductors at the feed-through lugs.
    FeedThroughAmpacity,
    /// Whether the power control system is listed and its setting locked.
    PowerControlListing,
    /// The dwelling's floor and appliances.
    Dwelling,
    /// The dwelling behind the backed-up panel.
    BackedUpDwelling,
    /// The circuits of the home.
    HomeCircuits,
    /// Where the battery stands.
    BatteryPlace,
    /// Whether the storage is a listed system.
    StorageListing,
    /// Whether the storage has a disconnect.
    StorageDisconnect,
    /// Whether the storage has an emergency shutdown outdoors.
    StorageShutdown,
    /// How far the storage stands from other things.
    StorageSpacing,
    /// How much room there is before the storage.
    ClearDepth,
    /// How the neutral is treated.
    Neutral,
    /// Where the one bond between neutral and earth is in a home without a service.
    BondOfTheHome,
    /// Whether the generator is kept from overload.
    GeneratorPlate,
    /// Whether the generator's neutral is bonded in its frame.
    GeneratorBond,
    /// Whether the storage gives both lines.
    BothLines,
    /// Whether the transfer device is listed.
    IslandDevice,
    /// How fast the utility wants the export control.
    ExportTime,
    /// How PV DC is shut down.
    RapidShutdown,
    /// Whether the PV inputs have arc-fault protection.
    ArcFault,
    /// Whether the PV inputs detect earth faults.
    DcFault,
    /// Whether an inverter parts its sides, and which residual-current device its maker permits.
    Separation,
    /// How often lightning strikes, and how long the way of the DC conductors is.
    Lightning,
    /// Whether PV has a disconnect.
    PvDisconnect,
    /// Whether the labels are in place.
    Label,
}

impl Missing {
    /// It in the words of a code.
    #[must_use]
    pub fn words(self, code: Code) -> &'static str {
        match self {
            Self::NumbersInRange => "numbers within their ranges",
            Self::RecordLow => "lowest temperature on record",
            Self::VoltageCoefficient => "temperature coefficient of the voltage",
            Self::HotDays => "air temperature of hot days",
            Self::LargerBreaker(_) => "a breaker beyond the standard ratings",
            Self::LargerConductor(_) => {
                "a conductor of the ampacity tables: a larger one, or several in parallel"
            }
            Self::FaultCurrent(_) => "short-circuit current at the circuit's device",
            Self::ClearingTime(_) => "time in which the circuit's device clears a short circuit",
            Self::BusbarRating => "rating of the panel's busbar",
            Self::FeedThroughAmpacity => "ampacity of the conductors at the feed-through lugs",
            Self::PowerControlListing => "listing and locked setting of the power control system",
            Self::Dwelling => "floor area and appliances, or a year of metered use",
            Self::BackedUpDwelling => {
                "floor area and appliances, of which the backed-up share counts, or a year of metered use"
            }
            Self::HomeCircuits => "circuits of the home, or a year of metered use",
            Self::BatteryPlace => "where the battery stands",
            Self::StorageListing => "listing of the storage as a system",
            Self::StorageDisconnect => "disconnect of the storage",
            Self::StorageShutdown => "emergency shutdown outdoors",
            Self::StorageSpacing => "distance to other units, doors and windows",
            Self::ClearDepth => "clear depth before the storage",
            Self::Neutral => {
                "whether the transfer switches the neutral, and what bonds it in the island"
            }
            Self::BondOfTheHome => Term::BondOfTheHome.under(code),
            Self::GeneratorPlate => "whether the generator is kept from overload, by its plate",
            Self::GeneratorBond => {
                "whether the generator's neutral is bonded in its frame or floats"
            }
            Self::BothLines => "whether the storage inverter gives 120/240 V",
            Self::IslandDevice => "listing of the transfer device",
            Self::ExportTime => "time that the utility grants the export control",
            Self::RapidShutdown => "how PV is shut down at the array",
            Self::ArcFault => "arc-fault protection of the PV input",
            Self::DcFault => Term::DcFaultDetection.under(code),
            Self::Separation => {
                "whether the inverter has simple separation, else which residual-current device its maker permits"
            }
            Self::Lightning => {
                "ground flash density of the place, lightning protection of the building, and the measured way of the DC conductors"
            }
            Self::PvDisconnect => "disconnect of PV",
            Self::Label => "that the label is in place",
        }
    }
}

impl Finding {
    /// Path of the field that gives what the finding waits for, such as `options[1].storage[0].electrical.room`; none where no field
    /// does.
    #[must_use]
    pub fn settled_at(
        &self,
        missing: Missing,
        household: &Household,
        option: &CouplingOption,
    ) -> Option<String> {
        let part = || part_path(self.part, household, option);
        let of_part = |field: &str| part().map(|part| format!("{part}.electrical.{field}"));
        let of_household = |field: &str| Some(format!("electrical.{field}"));
        let of_panel = |field: &str| match self.part {
            Part::Service => Some(format!("electrical.grid_side.{field}")),
            _ => Some(format!("electrical.backed_up.{field}")),
        };
        match missing {
            Missing::NumbersInRange => part(),
            Missing::RecordLow => Some("site.record_low_c".to_owned()),
            Missing::HotDays => Some("site.climate".to_owned()),
            Missing::VoltageCoefficient => of_part("module.voc_per_c"),
            Missing::LargerBreaker(kind) => circuit_path(kind, part()?, "device_a"),
            Missing::LargerConductor(kind) => circuit_path(kind, part()?, "size"),
            Missing::FaultCurrent(kind) => circuit_path(kind, part()?, "fault_a"),
            Missing::ClearingTime(kind) => circuit_path(kind, part()?, "fault_cleared_s"),
            Missing::BusbarRating => match self.part {
                Part::Service => Some("service.busbar_a".to_owned()),
                _ => of_household("backed_up_busbar_a"),
            },
            Missing::FeedThroughAmpacity => of_panel("feed_through_a"),
            Missing::PowerControlListing => of_panel("control_listed"),
            Missing::Dwelling => of_household("dwelling"),
            Missing::BackedUpDwelling => of_household("dwelling"),
            Missing::HomeCircuits => of_household("home_circuits"),
            Missing::BatteryPlace => of_part("room"),
            Missing::StorageListing => of_part("listed"),
            Missing::StorageDisconnect => of_part("disconnect"),
            Missing::StorageShutdown => of_part("emergency_shutdown"),
            Missing::StorageSpacing => of_part("spacing_m"),
            Missing::ClearDepth => of_part("clear_depth_m"),
            Missing::GeneratorPlate => of_part("kept_from_overload"),
            Missing::BothLines => of_part("gives_both_lines"),
            Missing::Neutral => of_household("neutral"),
            Missing::BondOfTheHome
            | Missing::GeneratorBond
            | Missing::Separation
            | Missing::Lightning => None,
            Missing::IslandDevice => of_household("island_device_listed"),
            Missing::ExportTime => of_household("export_control_limit_s"),
            Missing::RapidShutdown => of_household("rapid_shutdown"),
            Missing::ArcFault => of_household("arc_fault_protection"),
            Missing::DcFault => of_household("dc_fault_detection"),
            Missing::PvDisconnect => of_household("pv_disconnect"),
            Missing::Label => of_household("labels_in_place"),
        }
    }
}

/// Path of a part of an option, or of the household's schedule that holds it.
fn part_path(part: Part, household: &Household, option: &CouplingOption) -> Option<String> {
    let at = household
        .options
        .iter()
        .position(|other| other.id == option.id)?;
    let place = |list: &str, index: Option<usize>| {
        index.map(|index| format!("options[{at}].{list}[{index}]"))
    };
    match part {
        Part::Array(id) => place(
            "arrays",
            option.arrays.iter().position(|array| array.id == id),
        ),
        Part::PvInverter(id) => place(
            "pv_inverters",
            option.pv_inverters.iter().position(|one| one.id == id),
        ),
        Part::Storage(id) => place(
            "storage",
            option.storage.iter().position(|unit| unit.id == id),
        ),
        Part::Service | Part::Transfer => Some("service".to_owned()),
        Part::Device(_) | Part::Base(_) => Some("loads".to_owned()),
        Part::Generator => Some(format!("options[{at}].generator")),
        Part::Plane(_) => Some("planes".to_owned()),
    }
}

/// Path of a field of a circuit.
fn circuit_path(kind: CircuitKind, part: String, field: &str) -> Option<String> {
    Some(match kind {
        CircuitKind::PvSource => format!("{part}.electrical.circuit.{field}"),
        CircuitKind::PvOutput | CircuitKind::StorageOutput | CircuitKind::GeneratorOutput => {
            format!("{part}.electrical.output.{field}")
        }
        CircuitKind::Battery => format!("{part}.electrical.battery_circuit.{field}"),
        CircuitKind::Transfer => format!("electrical.transfer_circuit.{field}"),
    })
}

#[cfg(test)]
mod tests {
    use crate::document::demo;
    use crate::findings::{DesignTemperatures, Details, Verdict, findings};

    #[test]
    fn what_is_not_judged_names_a_field_of_the_household() {
        let household = demo();
        let temperatures = DesignTemperatures::default();
        let mut paths = Vec::new();
        for option in &household.options {
            let details = Details::of(&household, option, &temperatures);
            for finding in findings(&household, option, &details, &temperatures) {
                assert_eq!(
                    finding.verdict == Verdict::NotJudged,
                    !finding.missing.is_empty()
                );
                for missing in &finding.missing {
                    paths.extend(finding.settled_at(*missing, &household, option));
                }
            }
        }
        for expected in [
            "site.record_low_c",
            "electrical.rapid_shutdown",
            "options[2].storage[0].electrical.room",
            "electrical.backed_up_busbar_a",
        ] {
            assert!(paths.iter().any(|path| path == expected), "{expected}");
        }
    }
}
