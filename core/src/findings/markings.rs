//! Disconnects and labels that the code asks for at the parts of an option: the one list that findings judge and drawings show.

use super::{Details, PvInput};
use crate::coupling::{CouplingOption, Join};
use crate::drawing::Part;
use crate::household::{AcSide, Household};
use crate::rules::{Clause, Code};
use crate::units::UnitSystem;

/// A disconnect or a label that the code asks for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Marking {
    /// Names the rule, as in [`super::Finding::id`].
    pub rule: &'static str,
    /// What it is, in trade words.
    pub title: &'static str,
    /// What it says or does, in our own words.
    pub asks: &'static str,
    /// Where it is asked for.
    pub clause: Clause,
    /// The part that a finding about it concerns.
    pub part: Part,
    /// Every part at which it stands.
    pub at: Vec<Part>,
}

/// What of an option decides which markings it needs.
struct Needs {
    pv: Vec<Part>,
    pv_with_dc_runs: Vec<Part>,
    backfed: Vec<Part>,
    storage: Vec<Part>,
    is_nec: bool,
    utility: bool,
    backs_up: bool,
}

impl Needs {
    fn of(household: &Household, option: &CouplingOption, details: &Details) -> Self {
        let at_modules = |array: &crate::coupling::Array| {
            matches!(option.join(array), Some(Join::Ac(_)))
                && details
                    .pv_inverter(array.pv_inverter)
                    .is_some_and(|inverter| inverter.input == PvInput::AtModule)
        };
        let joined = || {
            option
                .arrays
                .iter()
                .filter(|array| option.join(array).is_some())
        };
        let storage: Vec<Part> = option
            .storage
            .iter()
            .map(|unit| Part::Storage(unit.id))
            .collect();
        let inverters = option
            .pv_inverters
            .iter()
            .filter(|inverter| option.arrays_on_inverter(inverter.id).next().is_some())
            .map(|inverter| Part::PvInverter(inverter.id));
        Self {
            pv: joined().map(|array| Part::Array(array.id)).collect(),
            pv_with_dc_runs: joined()
                .filter(|array| !at_modules(array))
                .map(|array| Part::Array(array.id))
                .collect(),
            backfed: inverters.chain(storage.iter().copied()).collect(),
            storage,
            is_nec: matches!(details.code, Code::Nec(_)),
            utility: household.service.utility,
            backs_up: option.generator.is_some()
                || option
                    .storage
                    .iter()
                    .any(|unit| unit.side == AcSide::BackedUp),
        }
    }
}

impl Needs {
    /// Where the home is supplied from: the service, and without a utility what holds it.
    fn origin(&self) -> Part {
        let own = (self.storage.iter().chain(&self.pv).copied()).next();
        match self.utility {
            true => Part::Service,
            false => own.unwrap_or(Part::Generator),
        }
    }
}

/// The part that stands first, or the service.
fn first_of(parts: &[Part]) -> Part {
    parts.first().copied().unwrap_or(Part::Service)
}

/// The disconnects that the code asks for.
#[must_use]
pub fn disconnects(
    household: &Household,
    option: &CouplingOption,
    details: &Details,
) -> Vec<Marking> {
    let needs = Needs::of(household, option, details);
    let shutdown_since_2020 = !Clause::StorageShutdown
        .source(details.code)
        .clause
        .is_empty();
    let mut list = Vec::new();
    if !needs.pv.is_empty() {
        list.push(Marking {
            rule: "pv-disconnect",
            title: "PV disconnect",
            asks: "parts PV from all other conductors; readily reached, lockable when open",
            clause: Clause::PvDisconnect,
            part: first_of(&needs.pv),
            at: needs.pv.clone(),
        });
        if needs.is_nec {
            list.push(Marking {
                rule: "rapid-shutdown",
                title: "rapid shutdown switch",
                asks: match needs.utility {
                    true => {
                        "outdoors and readily reached, or the service disconnect itself; off starts it"
                    }
                    false => {
                        "outdoors and readily reached, or the home's main disconnect itself; off starts it"
                    }
                },
                clause: Clause::RapidShutdown,
                part: needs.origin(),
                at: vec![needs.origin()],
            });
        }
    }
    if !needs.storage.is_empty() {
        list.push(Marking {
            rule: "storage-disconnect",
            title: "storage disconnect",
            asks: "parts storage from all circuits; in it, within sight, or lockable",
            clause: Clause::StorageDisconnect,
            part: first_of(&needs.storage),
            at: needs.storage.clone(),
        });
        if shutdown_since_2020 {
            list.push(Marking {
                rule: "storage-shutdown",
                title: "emergency shutdown of storage",
                asks: "outdoors, readily reached: storage stops supplying",
                clause: Clause::StorageShutdown,
                part: first_of(&needs.storage),
                at: needs.storage.clone(),
            });
        }
    }
    list
}

/// The labels that the code asks for.
#[must_use]
pub fn labels(household: &Household, option: &CouplingOption, details: &Details) -> Vec<Marking> {
    let needs = Needs::of(household, option, details);
    let sources = !needs.pv.is_empty() || !needs.storage.is_empty();
    let first_origin = needs.origin();
    let mut list = Vec::new();
    if !needs.pv.is_empty() {
        list.push(Marking {
            rule: "label-pv-disconnect",
            title: "label at the PV disconnect",
            asks: "says that it disconnects PV, and the highest DC voltage",
            clause: Clause::LabelPvDisconnect,
            part: first_of(&needs.pv),
            at: needs.pv.clone(),
        });
        list.push(Marking {
            rule: "label-pv-raceway",
            title: "labels along PV DC raceways",
            asks: match (details.code, details.units) {
                (Code::Iec, _) => "along their way, at turns and at both ends: PV DC, live by day",
                (Code::Nec(_), UnitSystem::Metric) => {
                    "inside buildings: every 3 m and at turns, reflective, white on red"
                }
                (Code::Nec(_), UnitSystem::Us) => {
                    "inside buildings: every 10 ft and at turns, reflective, white on red"
                }
            },
            clause: Clause::LabelPvRaceway,
            part: first_of(&needs.pv),
            at: needs.pv_with_dc_runs,
        });
        if needs.is_nec {
            list.push(Marking {
                rule: "label-rapid-shutdown",
                title: "label of rapid shutdown",
                asks: match needs.utility {
                    true => {
                        "near the service: a plan of what stays live and what is shut down, and the label of the switch"
                    }
                    false => {
                        "near the home's main disconnect: a plan of what stays live and what is shut down, and the label of the switch"
                    }
                },
                clause: Clause::LabelRapidShutdown,
                part: first_origin,
                at: vec![first_origin],
            });
        }
    }
    if sources && needs.utility {
        list.push(Marking {
            rule: "label-sources",
            title: "directory of power sources",
            asks: "at each service and each source's disconnect: where all sources and disconnects are",
            clause: Clause::SourceDirectory,
            part: Part::Service,
            at: vec![Part::Service],
        });
        list.push(if needs.is_nec {
            Marking {
                rule: "label-backfed",
                title: "label at back-fed breakers",
                asks: "that the breaker is fed from a source and must not be moved",
                clause: Clause::LabelBackfed,
                part: Part::Service,
                at: needs.backfed,
            }
        } else {
            Marking {
                rule: "label-backfed",
                title: "warning of dual supply",
                asks: "at the origin, the meter and each board with a source: fed from two sides, isolate both before work",
                clause: Clause::LabelBackfed,
                part: Part::Service,
                at: std::iter::once(Part::Service).chain(needs.backfed).collect(),
            }
        });
    }
    if !needs.storage.is_empty() {
        list.push(Marking {
            rule: "label-storage",
            title: "label at the storage disconnect",
            asks: "nominal voltage, available fault current and date of its calculation, state of the switch",
            clause: Clause::LabelStorage,
            part: first_of(&needs.storage),
            at: needs.storage,
        });
    }
    if needs.backs_up && !needs.utility {
        list.push(Marking {
            rule: "label-stand-alone",
            title: "label of the stand-alone supply",
            asks: "where it is readily seen: that the home runs from its own sources alone, and where their disconnects are",
            clause: Clause::LabelStandAlone,
            part: first_origin,
            at: vec![first_origin],
        });
    } else if needs.backs_up {
        list.push(Marking {
            rule: "label-standby",
            title: "label of the standby supply",
            asks: "at the service: that there is a stand-alone source, and where",
            clause: Clause::LabelStandby,
            part: Part::Transfer,
            at: vec![Part::Transfer],
        });
    }
    list
}
