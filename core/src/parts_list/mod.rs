//! The parts list: what an option has to buy and what of it stands already.
//!
//! Every line is generic: trade words and ratings, no maker. Quantities follow the option's own parts and its conductor schedule. What
//! cannot be known from the inputs is a line all the same, with the quantity or the state left open.

mod apparatus;
mod circuits;
mod csv;
mod equipment;
mod labels;
mod standing;

pub use circuits::CONDUCTOR_ALLOWANCE;
pub use csv::{LengthUnit, csv};

use crate::coupling::CouplingOption;
use crate::findings::{Circuit, CircuitKind, Details, Finding, shown_figure as figure};
use crate::household::Household;
use crate::rules::{Code, Term};
use standing::Stands;

/// A line of the parts list.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// What kind of thing it is.
    pub group: Group,
    /// Whether it stands or is to be bought.
    pub state: State,
    /// How much of it.
    pub quantity: Quantity,
    /// What it is, in trade words, with its ratings.
    pub description: String,
    /// Where it goes or what it serves; empty if the description says it.
    pub place: String,
    /// What the line rests on that was not given, or what is still to be settled; empty if nothing.
    pub open: String,
}

/// Kinds of things, in the order of the list.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Group {
    /// PV modules and what carries them.
    Modules,
    /// PV inverters.
    PvInverters,
    /// Storage inverters and batteries.
    Storage,
    /// Generators.
    Generator,
    /// Panels and the transfer between them.
    Panels,
    /// Breakers and fuses.
    Protection,
    /// Disconnects, shutdown and controls.
    Switching,
    /// Conductors.
    Conductors,
    /// Labels to post.
    Labels,
}

impl Group {
    /// All groups, in the order of the list.
    pub const ALL: [Self; 9] = [
        Self::Modules,
        Self::PvInverters,
        Self::Storage,
        Self::Generator,
        Self::Panels,
        Self::Protection,
        Self::Switching,
        Self::Conductors,
        Self::Labels,
    ];

    /// The heading over its lines.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Modules => "Modules",
            Self::PvInverters => "PV inverters",
            Self::Storage => "Storage",
            Self::Generator => "Generator",
            Self::Panels => "Panels and transfer",
            Self::Protection => "Breakers and fuses",
            Self::Switching => "Disconnects and controls",
            Self::Conductors => "Conductors",
            Self::Labels => "Labels to post",
        }
    }
}

/// Whether a thing stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum State {
    /// To be bought.
    New,
    /// It stands already.
    Stands,
    /// The inputs do not tell.
    NotKnown,
}

impl State {
    /// The state in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::New => "new",
            Self::Stands => "stands",
            Self::NotKnown => "not known",
        }
    }

    fn of(stands: bool) -> Self {
        if stands { Self::Stands } else { Self::New }
    }
}

/// How much of a thing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Quantity {
    /// Pieces.
    Pieces(u32),
    /// Length with the allowance, m.
    LengthM(f64),
    /// The inputs do not tell.
    NotKnown,
}

/// What the list never holds, whatever the option: each depends on the site and on makers' instructions.
#[must_use]
pub fn left_out(code: Code) -> [&'static str; 5] {
    [
        "racking, flashing and roof work",
        "raceways, boxes, fittings and connectors",
        Term::EarthElectrodes.under(code),
        "communication wiring between converters, meters and batteries",
        "labour, permits, inspection and the utility's fees",
    ]
}

/// What the lines are made from.
struct Sources<'a> {
    household: &'a Household,
    option: &'a CouplingOption,
    details: &'a Details,
    circuits: &'a [&'a Circuit],
    findings: &'a [Finding],
    stands: Stands<'a>,
}

/// The parts list of an option: what is to be bought and what stands already, by kind, new lines first within each.
///
/// - `circuits`: the option's conductor schedule, see [`crate::findings::conductor_schedule`]
/// - `findings`: the option's findings; the labels are taken from them
///
/// The household need not be checked: numbers out of range give lines with open quantities, never a panic.
///
/// Source: derived from the option's parts, its conductor schedule and its findings.
#[must_use]
pub fn parts_list(
    household: &Household,
    option: &CouplingOption,
    details: &Details,
    circuits: &[Circuit],
    findings: &[Finding],
) -> Vec<Item> {
    let stands = Stands { household, option };
    // A schedule holds the transfer path also where nothing on the backed-up side asks for one.
    let circuits: Vec<&Circuit> = circuits
        .iter()
        .filter(|circuit| circuit.kind != CircuitKind::Transfer || stands.backs_up())
        .collect();
    let sources = Sources {
        household,
        option,
        details,
        circuits: &circuits,
        findings,
        stands,
    };
    let mut items = Vec::new();
    equipment::list(&sources, &mut items);
    apparatus::list(&sources, &mut items);
    circuits::list(&sources, &mut items);
    labels::list(&sources, &mut items);
    items.retain(|item| item.quantity != Quantity::Pieces(0));
    // What was listed first stays first among equals.
    items.sort_by_key(|item| (item.group, item.state));
    items
}

/// A count that a list can hold.
fn pieces(count: usize) -> Quantity {
    Quantity::Pieces(u32::try_from(count).unwrap_or(u32::MAX))
}

/// A power in kW or an energy in kWh, without idle zeros.
fn kilo(value: f64) -> String {
    figure(value / 1000.0, 2)
}

/// Notes joined into one text.
fn joined(notes: &[&str]) -> String {
    notes
        .iter()
        .copied()
        .filter(|note| !note.is_empty())
        .collect::<Vec<_>>()
        .join("; ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::demo;
    use crate::findings::{DesignTemperatures, conductor_schedule, findings};
    use crate::rules::Size;

    fn listed(number: usize) -> (Household, CouplingOption, Vec<Item>) {
        let household = demo();
        let option = household.options[number].clone();
        let temperatures = DesignTemperatures {
            low_c: Some(-29.0),
            low_is_estimated: false,
            high_c: Some(32.0),
        };
        let details = Details::of(&household, &option, &temperatures);
        let circuits = conductor_schedule(&household, &option, &details);
        let findings = findings(&household, &option, &details, &temperatures);
        let items = parts_list(&household, &option, &details, &circuits, &findings);
        (household, option, items)
    }

    fn count(items: &[Item], group: Group, state: State) -> u32 {
        items
            .iter()
            .filter(|item| item.group == group && item.state == state)
            .map(|item| match item.quantity {
                Quantity::Pieces(count) => count,
                _ => 0,
            })
            .sum()
    }

    #[test]
    fn as_it_stands_nothing_that_stands_is_bought() {
        let (_, _, items) = listed(0);
        for group in [
            Group::Modules,
            Group::PvInverters,
            Group::Storage,
            Group::Panels,
            Group::Protection,
            Group::Conductors,
        ] {
            let new: Vec<_> = items
                .iter()
                .filter(|item| item.group == group && item.state == State::New)
                .collect();
            assert!(new.is_empty(), "{new:#?}");
        }
        assert_eq!(count(&items, Group::Modules, State::Stands), 12);
        assert_eq!(count(&items, Group::PvInverters, State::Stands), 1);
    }

    #[test]
    fn an_array_that_stands_and_moves_to_dc_needs_new_wires_but_no_modules() {
        let (_, option, items) = listed(3);
        assert_eq!(count(&items, Group::Modules, State::Stands), 12);
        assert_eq!(count(&items, Group::Modules, State::New), 15);
        // The inverter that it leaves stands idle; those of the other arrays are not bought.
        assert_eq!(count(&items, Group::PvInverters, State::New), 0);
        assert_eq!(count(&items, Group::PvInverters, State::Stands), 1);
        assert!(option.arrays.iter().all(|array| array.dc_unit.is_some()));
        assert!(items.iter().all(|item| item.group != Group::Conductors
            || item.state == State::New
            || item.quantity == Quantity::NotKnown));
    }

    #[test]
    fn conductors_of_a_size_stand_on_one_line() {
        let (_, _, items) = listed(1);
        let lines: Vec<_> = items
            .iter()
            .filter(|item| item.group == Group::Conductors)
            .map(|item| (item.state, item.description.clone()))
            .collect();
        let mut once = lines.clone();
        once.dedup();
        assert_eq!(lines, once);
        assert!(
            Size::all(crate::rules::Code::usual(demo().service.supply))
                .any(|size| lines.iter().any(|(_, line)| line.contains(&size.label())))
        );
    }
}
