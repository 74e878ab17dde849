//! Breakers, fuses and conductors, from the conductor schedule.

use std::collections::BTreeMap;

use super::{Group, Item, Quantity, Sources, State, figure, pieces};
use crate::drawing::Part;
use crate::findings::{Circuit, CircuitKind};
use crate::household::{AcSide, Supply};
use crate::rules::{
    Code, Column, LoadedConductors, Metal, MetricInsulation, Size, StringFuse, Term, Wiring,
    string_fuse,
};

/// Share that is bought on top of the length of a run, for ends, bends and waste.
///
/// Source: common practice, 5 % to 15 %.
pub const CONDUCTOR_ALLOWANCE: f64 = 0.10;

/// Lists them.
pub(super) fn list(sources: &Sources<'_>, items: &mut Vec<Item>) {
    for circuit in sources.circuits {
        protection(sources, circuit, items);
    }
    string_fuses(sources, items);
    conductors(sources, items);
}

fn protection(sources: &Sources<'_>, circuit: &Circuit, items: &mut Vec<Item>) {
    let supply = sources.household.service.supply;
    let (words, place) = match circuit.kind {
        // Strings have fuses of their own.
        CircuitKind::PvSource => return,
        CircuitKind::PvOutput | CircuitKind::StorageOutput => {
            let panel = match side(sources, circuit) {
                Some(AcSide::GridSide) => "main panel",
                _ => "backed-up panel",
            };
            (
                format!(
                    "circuit breaker, {}, suited to backfeed",
                    poles(circuit, supply, sources.details.code)
                ),
                format!("{}, in the {panel}", circuit.name),
            )
        }
        CircuitKind::GeneratorOutput => (
            format!(
                "circuit breaker, {}",
                poles(circuit, supply, sources.details.code)
            ),
            format!("{}, to the backed-up panel", circuit.name),
        ),
        CircuitKind::Battery => (
            format!(
                "DC breaker or fuse, both poles, at least {} V DC",
                figure(highest_battery_v(sources, circuit), 1)
            ),
            circuit.name.clone(),
        ),
        CircuitKind::Transfer => (
            format!(
                "feeder breaker, {}",
                poles(circuit, supply, sources.details.code)
            ),
            "main panel, to the backed-up panel".to_owned(),
        ),
    };
    let (description, open) = match circuit.duty.device_a {
        Some(device_a) if circuit.kind == CircuitKind::Battery => (
            format!("{words}, {} A", figure(device_a, 0)),
            "must break the battery's fault current, which its maker states",
        ),
        Some(device_a) => (
            format!("{words}, {} A", figure(device_a, 0)),
            match circuit.rests_on {
                Some(_) if !circuit.device_is_chosen => "rests on generic data",
                _ => "",
            },
        ),
        None => (words, "no standard rating suits: to be designed"),
    };
    items.push(Item {
        group: Group::Protection,
        state: State::of(sources.stands.circuit(circuit)),
        quantity: Quantity::Pieces(1),
        description,
        place,
        open: open.to_owned(),
    });
}

fn side(sources: &Sources<'_>, circuit: &Circuit) -> Option<AcSide> {
    match circuit.part {
        Part::PvInverter(id) => Some(sources.option.pv_inverter(id)?.side),
        Part::Storage(id) => Some(sources.option.storage_unit(id)?.side),
        _ => None,
    }
}

fn highest_battery_v(sources: &Sources<'_>, circuit: &Circuit) -> f64 {
    let Part::Storage(id) = circuit.part else {
        return circuit.system_v;
    };
    sources
        .details
        .storage(id)
        .and_then(|found| found.battery.as_ref())
        .map_or(circuit.system_v, |battery| battery.voltages.highest_v)
}

/// Poles that part the lines of a circuit; under the IEC also the neutral, unless the earthing system, which is not asked for, spares it.
///
/// Source: IEC 60364-4-43, 431.2, and 60364-5-53: in TT and IT the neutral is parted, in TN-S it need not be (from memory).
fn poles(circuit: &Circuit, supply: Supply, code: Code) -> &'static str {
    match (circuit.duty.loaded, supply, code) {
        (LoadedConductors::Two, Supply::SplitPhase120V240V60Hz, _) => "2 poles",
        (LoadedConductors::Three, _, Code::Nec(_)) => "3 poles",
        (LoadedConductors::Two, _, Code::Nec(_)) => "1 pole",
        (LoadedConductors::Three, _, Code::Iec) => {
            "4 poles (3 where the neutral need not be opened: TN)"
        }
        (LoadedConductors::Two, _, Code::Iec) => {
            "2 poles (1 where the neutral need not be opened: TN)"
        }
    }
}

/// Fuses of strings in parallel: both poles of each string.
fn string_fuses(sources: &Sources<'_>, items: &mut Vec<Item>) {
    for array in &sources.option.arrays {
        let Some(found) = sources.details.array(array.id) else {
            continue;
        };
        let stands = sources
            .circuits
            .iter()
            .find(|circuit| circuit.part == Part::Array(array.id))
            .is_some_and(|circuit| sources.stands.circuit(circuit));
        let module = &found.module;
        let of = |parallel| {
            string_fuse(
                sources.details.code,
                module.isc_a,
                parallel,
                module.series_fuse_a,
            )
        };
        let mut strings = 0_usize;
        let mut rating = None;
        for input in &found.strings {
            match of(input.parallel) {
                StringFuse::NotNeeded => continue,
                StringFuse::Rating(rating_a) => rating = Some(rating_a),
                StringFuse::NoneFits { .. } => {}
            }
            strings = strings.saturating_add(usize::try_from(input.parallel).unwrap_or(usize::MAX));
        }
        let (description, open) = match rating {
            Some(rating_a) => (
                format!("string fuse, DC, {} A, with holder", figure(rating_a, 0)),
                "",
            ),
            None => (
                "string fuse, DC, with holder".to_owned(),
                "no rating fits between what a string gives and what a module bears",
            ),
        };
        items.push(Item {
            group: Group::Protection,
            state: State::of(stands),
            quantity: pieces(strings.saturating_mul(2)),
            description,
            place: array.name.clone(),
            open: open.to_owned(),
        });
    }
}

/// What a conductor is for; decides its name and its order in the list.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Role {
    PvString,
    Battery,
    Line,
    Neutral,
    Earth,
}

/// A kind of conductor: lines of the list do not repeat one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Kind {
    state: State,
    role: Role,
    size: Option<Size>,
    metal: Metal,
    insulation: &'static str,
}

#[derive(Default)]
struct Laid {
    length_m: f64,
    circuits: Vec<String>,
    generic_length: bool,
}

fn conductors(sources: &Sources<'_>, items: &mut Vec<Item>) {
    let mut laid: BTreeMap<Kind, Laid> = BTreeMap::new();
    for circuit in sources.circuits {
        let state = State::of(sources.stands.circuit(circuit));
        let length_m = circuit.run.one_way_m * circuit.alike as f64;
        for (role, count) in roles(circuit, sources.household.service.supply) {
            let kind = Kind {
                state,
                role,
                size: if role == Role::Earth {
                    circuit.earth
                } else {
                    circuit.conductors.map(|found| found.size)
                },
                metal: circuit.run.laying.metal,
                insulation: insulation(circuit),
            };
            let entry = laid.entry(kind).or_default();
            entry.length_m += f64::from(count) * length_m;
            entry.circuits.push(circuit.name.clone());
            entry.generic_length |= circuit.run.length_origin.is_generic();
        }
    }
    let code = sources.details.code;
    items.extend(laid.into_iter().map(|(kind, laid)| kind.item(laid, code)));
}

/// How many conductors of each kind a circuit has, those in parallel counted.
fn roles(circuit: &Circuit, supply: Supply) -> Vec<(Role, u32)> {
    let parallel = circuit.parallel();
    of_one_run(circuit, supply)
        .into_iter()
        .map(|(role, count)| (role, count.saturating_mul(parallel)))
        .chain([(Role::Earth, circuit.earths)])
        .collect()
}

/// How many conductors of each kind but earth a run of a circuit has.
fn of_one_run(circuit: &Circuit, supply: Supply) -> Vec<(Role, u32)> {
    match (circuit.kind, circuit.duty.loaded) {
        (CircuitKind::PvSource, _) => vec![(Role::PvString, 2)],
        (CircuitKind::Battery, _) => vec![(Role::Battery, 2)],
        (_, LoadedConductors::Three) => vec![(Role::Line, 3), (Role::Neutral, 1)],
        (_, LoadedConductors::Two) if supply == Supply::SplitPhase120V240V60Hz => {
            vec![(Role::Line, 2), (Role::Neutral, 1)]
        }
        (_, LoadedConductors::Two) => vec![(Role::Line, 1), (Role::Neutral, 1)],
    }
}

fn insulation(circuit: &Circuit) -> &'static str {
    match circuit.run.laying.wiring {
        Wiring::Nec { insulation, .. } => match insulation {
            Column::C60 => "insulated for 60 °C",
            Column::C75 => "insulated for 75 °C",
            Column::C90 => "insulated for 90 °C",
        },
        Wiring::Iec { insulation, .. } => match insulation {
            MetricInsulation::Pvc => "PVC",
            MetricInsulation::Xlpe => "cross-linked polyethylene",
            MetricInsulation::PvCable => "PV cable, halogen-free",
        },
    }
}

impl Kind {
    fn item(self, laid: Laid, code: Code) -> Item {
        let role = match self.role {
            Role::PvString => "PV string conductor, DC",
            Role::Battery => "battery conductor, DC",
            Role::Line => "line conductor",
            Role::Neutral => "neutral conductor",
            Role::Earth => Term::EarthConductor.under(code),
        };
        let metal = self.metal.under(code);
        let size = self
            .size
            .map_or_else(|| "size to be designed".to_owned(), Size::label);
        let insulation = match self.role {
            Role::Earth => String::new(),
            _ => format!(", {}", self.insulation),
        };
        let open = match (self.size.is_none(), laid.generic_length) {
            (true, _) => "no size of the tables suits",
            (false, true) => "lengths are generic until they are measured",
            (false, false) => "",
        };
        let length_m = laid.length_m * (1.0 + CONDUCTOR_ALLOWANCE);
        Item {
            group: Group::Conductors,
            state: self.state,
            quantity: if length_m.is_finite() {
                Quantity::LengthM(length_m)
            } else {
                Quantity::NotKnown
            },
            description: format!("{role}, {size}, {metal}{insulation}"),
            place: laid.circuits.join("; "),
            open: open.to_owned(),
        }
    }
}
