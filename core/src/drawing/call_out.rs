//! Call-outs: short tags on the diagram whose words stand in the tables of the drawing sheet.

use super::Part;
use super::lettering::{TextStyle, width};
use super::sheet::Bounds;
use crate::coupling::{CouplingOption, Join};
use crate::findings::{
    Circuit, CircuitKind, Details, Marking, conductor_schedule, disconnects, labels,
};
use crate::household::{AcSide, Household};

/// Height of a tag.
pub(super) const TAG_HEIGHT: f64 = 13.0;
/// Space between a tag and the line it belongs to.
pub(super) const TAG_GAP: f64 = 2.5;

/// What a tag refers to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TagKind {
    /// A row of the conductor table, by its number.
    Circuit,
    /// A disconnect or a label, by its letter.
    Marking,
    /// The point where an array or a storage unit is joined.
    Join,
}

/// A tag on the diagram.
#[derive(Clone, Debug, PartialEq)]
pub struct Tag {
    /// What it refers to.
    pub kind: TagKind,
    /// What stands in it.
    pub text: String,
    /// The room it takes.
    pub bounds: Bounds,
    /// The part it belongs to.
    pub part: Part,
}

/// Width of a tag with these words.
pub(super) fn tag_width(text: &str) -> f64 {
    (width(text, TextStyle::Tag) + 6.0).max(TAG_HEIGHT)
}

/// A point where an array or a storage unit is joined.
#[derive(Clone, Debug, PartialEq)]
pub struct Joined {
    /// The part whose wire ends there: a PV inverter, a storage unit, or an array on DC.
    pub part: Part,
    /// Its tag, such as "J2".
    pub tag: String,
    /// The bus in words.
    pub bus: &'static str,
}

/// What a drawing shows to who builds it; empty: nothing but the option itself.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CallOuts {
    /// The conductor table; a row's number is its place, from 1.
    pub circuits: Vec<Circuit>,
    /// Disconnects and labels; an entry's letter is its place in the alphabet.
    pub markings: Vec<Marking>,
    /// Joins.
    pub joins: Vec<Joined>,
}

impl CallOuts {
    /// The call-outs of an option.
    #[must_use]
    pub fn of(household: &Household, option: &CouplingOption, details: &Details) -> Self {
        let mut markings = disconnects(household, option, details);
        markings.extend(labels(household, option, details));
        Self {
            circuits: conductor_schedule(household, option, details),
            markings,
            joins: joins(option),
        }
    }

    /// Tag of the circuits of this kind at a part, such as "3" or "3–5".
    pub(super) fn circuit(&self, part: Part, kind: CircuitKind) -> Option<String> {
        let mut numbers = self
            .circuits
            .iter()
            .zip(1_usize..)
            .filter(|(circuit, _)| circuit.part == part && circuit.kind == kind)
            .map(|(_, number)| number);
        let first = numbers.next()?;
        Some(match numbers.last() {
            Some(last) => format!("{first}–{last}"),
            None => first.to_string(),
        })
    }

    /// Tag of the markings at a part, such as "A C".
    pub(super) fn marking(&self, part: Part) -> Option<String> {
        let letters: Vec<String> = self
            .markings
            .iter()
            .zip('A'..='Z')
            .filter(|(marking, _)| marking.at.contains(&part))
            .map(|(_, letter)| letter.to_string())
            .collect();
        (!letters.is_empty()).then(|| letters.join(" "))
    }

    /// Tag of the join at a part.
    pub(super) fn join(&self, part: Part) -> Option<&Joined> {
        self.joins.iter().find(|join| join.part == part)
    }

    /// Whether nothing is called out.
    pub(super) fn is_empty(&self) -> bool {
        self.circuits.is_empty() && self.markings.is_empty() && self.joins.is_empty()
    }
}

fn joins(option: &CouplingOption) -> Vec<Joined> {
    let on_ac = |side| match side {
        AcSide::GridSide => "AC, grid side",
        AcSide::BackedUp => "AC, backed up",
    };
    let inverters = option
        .pv_inverters
        .iter()
        .filter(|inverter| option.arrays_on_inverter(inverter.id).next().is_some())
        .map(|inverter| (Part::PvInverter(inverter.id), on_ac(inverter.side)));
    let units = option
        .storage
        .iter()
        .map(|unit| (Part::Storage(unit.id), on_ac(unit.side)));
    let on_dc = option
        .arrays
        .iter()
        .filter(|array| matches!(option.join(array), Some(Join::Dc(_))))
        .map(|array| (Part::Array(array.id), "DC bus"));
    inverters
        .chain(units)
        .chain(on_dc)
        .zip(1_usize..)
        .map(|((part, bus), number)| Joined {
            part,
            tag: format!("J{number}"),
            bus,
        })
        .collect()
}
