//! What the electrical rules say of a household's option: every checked rule with its numbers, clause, margin and remedy.
//!
//! [`findings`] judges, [`conductor_schedule`] lists every circuit with what is proposed or chosen, [`fitting_strings`] proposes strings.
//! [`Details::of`] lays out what the household gives and puts generic values where it gives none; a finding that rests on one says so. What cannot be known stays not judged and names the input that would settle it: it is never passed silently.

mod backup;
mod battery_power;
mod busbars;
mod caution;
mod circuits;
mod demand;
mod details;
mod ends;
mod export;
mod finding;
mod generator;
mod generic;
mod given;
mod held_back;
mod layout;
mod markings;
mod missing;
mod quantity;
mod rating;
mod safety;
mod schedule;
mod storage;
mod strings;
mod temperatures;

pub use caution::Caution;
pub use details::{
    ArrayDetails, BatteryCircuit, Details, InputWindow, Origin, PanelDetails, PvInput,
    PvInverterDetails, Run, StorageDetails,
};
pub use finding::{Finding, Topic, Verdict, Weight};
pub use layout::{
    SeriesRange, Stringing, cold_module_v, fitting_strings, most_parallel, proposed_strings,
    series_range, strings_in_words, wired_modules, working_module_v,
};
pub use markings::{Marking, disconnects, labels};
pub use missing::Missing;
pub(crate) use quantity::shown_figure;
pub use schedule::{Circuit, CircuitKind, conductor_schedule};
pub use temperatures::DesignTemperatures;

use crate::coupling::{CouplingOption, PvInverter};
use crate::household::{AcSide, Household};
use crate::rules::Code;
use crate::units::UnitSystem;
use generic::line_current_a;

/// What every rule looks at.
struct Context<'a> {
    household: &'a Household,
    option: &'a CouplingOption,
    details: &'a Details,
    temperatures: &'a DesignTemperatures,
    code: Code,
    units: UnitSystem,
}

impl Context<'_> {
    /// PV inverters that an array feeds.
    fn pv_inverters(&self) -> impl Iterator<Item = &PvInverter> {
        self.option
            .pv_inverters
            .iter()
            .filter(|inverter| self.option.arrays_on_inverter(inverter.id).next().is_some())
    }

    /// Rated output current of all sources that join on a side, A per line conductor; storage counts with its whole output.
    fn sources_a(&self, side: AcSide) -> f64 {
        let supply = self.household.service.supply;
        let pv_a: f64 = self
            .pv_inverters()
            .filter(|inverter| inverter.side == side)
            .map(|inverter| {
                let one_line = self
                    .details
                    .pv_inverter(inverter.id)
                    .is_some_and(|found| found.one_line);
                line_current_a(supply, inverter.rated_w, one_line)
            })
            .sum();
        let storage_a: f64 = self
            .option
            .storage
            .iter()
            .filter(|unit| unit.side == side)
            .map(|unit| {
                let one_line = self
                    .details
                    .storage(unit.id)
                    .is_some_and(|found| found.one_line);
                line_current_a(supply, unit.inverter.rated_w, one_line)
            })
            .sum();
        pv_a + storage_a
    }
}

/// Everything that the electrical rules say of an option, by topic, the worst verdict first within each.
///
/// The household need not be checked: numbers out of range give findings that are not judged, never a panic.
#[must_use]
pub fn findings(
    household: &Household,
    option: &CouplingOption,
    details: &Details,
    temperatures: &DesignTemperatures,
) -> Vec<Finding> {
    let context = Context {
        household,
        option,
        details,
        temperatures,
        code: details.code,
        units: details.units,
    };
    let mut found = Vec::new();
    strings::judge(&context, &mut found);
    let schedule = conductor_schedule(household, option, details);
    circuits::judge(&context, &schedule, &mut found);
    busbars::judge(&context, &mut found);
    storage::judge(&context, &mut found);
    backup::judge(&context, &mut found);
    generator::judge(&context, &schedule, &mut found);
    export::judge(&context, &mut found);
    safety::judge(&context, &mut found);
    safety::markings(&context, &mut found);
    found.sort_by_key(|finding| (finding.topic, finding.verdict));
    found
}
