//! Where a circuit begins and where it ends.

use super::{Circuit, CircuitKind};
use crate::coupling::{CouplingOption, Join};
use crate::drawing::Part;
use crate::household::AcSide;

impl Circuit {
    /// What the circuit leads from, and to, by name; empty where the option no longer has the part.
    #[must_use]
    pub fn ends(&self, option: &CouplingOption) -> (String, String) {
        let unit_name = |id| {
            option
                .storage_unit(id)
                .map_or_else(String::new, |unit| unit.name.clone())
        };
        match (self.kind, self.part) {
            (CircuitKind::PvSource, Part::Array(id)) => {
                let Some(array) = option.array(id) else {
                    return (String::new(), String::new());
                };
                let to = match option.join(array) {
                    Some(Join::Dc(unit)) => unit_name(unit),
                    _ => option
                        .pv_inverter(array.pv_inverter)
                        .map_or_else(String::new, |inverter| inverter.name.clone()),
                };
                (array.name.clone(), to)
            }
            (CircuitKind::PvOutput, Part::PvInverter(id)) => option
                .pv_inverter(id)
                .map_or_else(Default::default, |inverter| {
                    (inverter.name.clone(), panel(inverter.side).to_owned())
                }),
            (CircuitKind::StorageOutput, Part::Storage(id)) => option
                .storage_unit(id)
                .map_or_else(Default::default, |unit| {
                    (unit.name.clone(), panel(unit.side).to_owned())
                }),
            (CircuitKind::GeneratorOutput, _) => option
                .generator
                .as_ref()
                .map_or_else(Default::default, |generator| {
                    (generator.name.clone(), panel(AcSide::BackedUp).to_owned())
                }),
            (CircuitKind::Battery, Part::Storage(id)) => ("battery".to_owned(), unit_name(id)),
            (CircuitKind::Transfer, _) => (
                panel(AcSide::GridSide).to_owned(),
                panel(AcSide::BackedUp).to_owned(),
            ),
            _ => Default::default(),
        }
    }
}

fn panel(side: AcSide) -> &'static str {
    match side {
        AcSide::GridSide => "main panel",
        AcSide::BackedUp => "backed-up panel",
    }
}

#[cfg(test)]
mod tests {
    use crate::document::demo;
    use crate::findings::{DesignTemperatures, Details, conductor_schedule};

    #[test]
    fn every_circuit_has_two_ends() {
        let household = demo();
        for option in &household.options {
            let details = Details::of(&household, option, &DesignTemperatures::default());
            for circuit in conductor_schedule(&household, option, &details) {
                let (from, to) = circuit.ends(option);
                assert!(!from.is_empty() && !to.is_empty(), "{}", circuit.name);
                assert_ne!(from, to);
            }
        }
    }
}
