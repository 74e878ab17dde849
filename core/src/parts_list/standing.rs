//! What of an option stands already: parts say so themselves; wires stand where both their ends stand and were joined before.

use crate::coupling::{Array, CouplingOption, Join};
use crate::drawing::Part;
use crate::findings::{Circuit, CircuitKind};
use crate::household::{AcSide, Household};

/// What stands.
#[derive(Clone, Copy)]
pub(super) struct Stands<'a> {
    pub(super) household: &'a Household,
    pub(super) option: &'a CouplingOption,
}

impl Stands<'_> {
    /// The option as it stands; none if the household has no options.
    fn before(&self) -> Option<&CouplingOption> {
        self.household.options.first()
    }

    /// Whether a circuit stands: both its ends do, and as it stands it runs the same way.
    pub(super) fn circuit(&self, circuit: &Circuit) -> bool {
        match circuit.part {
            Part::Array(id) => self
                .option
                .array(id)
                .is_some_and(|array| self.source_circuit(array)),
            Part::PvInverter(id) => {
                let side = |option: &CouplingOption| Some(option.pv_inverter(id)?.side);
                let stands = self
                    .option
                    .pv_inverter(id)
                    .is_some_and(|inverter| inverter.standing);
                stands && self.as_before(side)
            }
            Part::Storage(id) => {
                let side = |option: &CouplingOption| Some(option.storage_unit(id)?.side);
                let stands = self
                    .option
                    .storage_unit(id)
                    .is_some_and(|unit| unit.standing);
                stands && (circuit.kind == CircuitKind::Battery || self.as_before(side))
            }
            Part::Generator => {
                (self.option.generator.as_ref()).is_some_and(|generator| generator.standing)
            }
            Part::Transfer => self.transfer(),
            _ => false,
        }
    }

    fn source_circuit(&self, array: &Array) -> bool {
        let converter_stands = match self.option.join(array) {
            Some(Join::Dc(unit)) => self
                .option
                .storage_unit(unit)
                .is_some_and(|unit| unit.standing),
            Some(Join::Ac(_)) => self
                .option
                .pv_inverter(array.pv_inverter)
                .is_some_and(|inverter| inverter.standing),
            None => false,
        };
        let converter = |option: &CouplingOption| {
            let array = option.array(array.id)?;
            Some((
                array.dc_unit,
                array.dc_unit.is_none().then_some(array.pv_inverter),
            ))
        };
        array.standing && converter_stands && self.as_before(converter)
    }

    /// Whether something is the same as it stands; where it is not there, it cannot differ.
    fn as_before<T: PartialEq>(&self, what: impl Fn(&CouplingOption) -> Option<T>) -> bool {
        match self.before().and_then(&what) {
            Some(before) => what(self.option) == Some(before),
            None => true,
        }
    }

    /// Whether something of the option runs on the backed-up side.
    pub(super) fn backs_up(&self) -> bool {
        on_backed_up_side(self.option).next().is_some()
    }

    /// Whether a backed-up panel and the transfer to it stand: something that stands runs there as it stands.
    pub(super) fn transfer(&self) -> bool {
        self.before()
            .is_some_and(|before| on_backed_up_side(before).any(|standing| standing))
    }
}

/// Whatever runs on the backed-up side, each with whether it stands.
fn on_backed_up_side(option: &CouplingOption) -> impl Iterator<Item = bool> {
    let backed_up = AcSide::BackedUp;
    let units = option
        .storage
        .iter()
        .filter(move |unit| unit.side == backed_up)
        .map(|unit| unit.standing);
    let inverters = option
        .pv_inverters
        .iter()
        .filter(move |inverter| {
            inverter.side == backed_up && option.arrays_on_inverter(inverter.id).next().is_some()
        })
        .map(|inverter| inverter.standing);
    let generator = option.generator.iter().map(|generator| generator.standing);
    units.chain(inverters).chain(generator)
}
