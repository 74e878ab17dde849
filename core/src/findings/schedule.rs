//! The conductor schedule: every circuit of an option with its current, breaker, conductors and voltage drop. What was chosen is kept
//! and judged; what was not is proposed.

use super::battery_power::BatteryPower;
use super::generator;
use super::generic::{circuit_voltage, line_current_a, unit_name};
use super::layout::alike;
use super::{Details, Run};
use crate::coupling::{CouplingOption, InputStrings};
use crate::drawing::Part;
use crate::household::{AcSide, Household, HouseholdElectrical};
use crate::limits;
use crate::rules::{
    Code, Conductors, DropLimit, Duty, Laying, LoadedConductors, ParallelLaying, Reserve, Section,
    Size, Wiring, breaker_at_least_a, enlarged_earth_conductor, iec_earth_conductor,
    nec_earth_conductor, short_circuit_k, short_circuit_section_mm2, source_circuit_a,
    voltage_drop_v,
};

/// A circuit of an option.
#[derive(Clone, Debug, PartialEq)]
pub struct Circuit {
    /// What kind of circuit.
    pub kind: CircuitKind,
    /// The part that it belongs to.
    pub part: Part,
    /// Which of several alike circuits of the part, from 1.
    pub number: usize,
    /// Name in the schedule, such as "South roof, string of 12".
    pub name: String,
    /// How many circuits are alike: one for each MPPT input of the array that is wired the same; 1 for all other kinds.
    pub alike: usize,
    /// What it asks of its conductors.
    pub duty: Duty,
    /// Current that conductors before corrections, and the breaker, are chosen by, A.
    pub basis_a: f64,
    /// Least standard breaker, A; none: it needs none here, or no standard one is large enough.
    pub least_device_a: Option<f64>,
    /// Whether the breaker was chosen rather than proposed.
    pub device_is_chosen: bool,
    /// Conductors of each pole; none: none of the tables suit.
    pub conductors: Option<Conductors>,
    /// Whether their size was chosen rather than proposed.
    pub size_is_chosen: bool,
    /// The least that suit: as many in parallel as were chosen, else the fewest.
    pub least: Option<Conductors>,
    /// Earth conductor.
    pub earth: Option<Size>,
    /// How many earth conductors there are: one in each raceway or cable.
    pub earths: u32,
    /// Current under which voltage is lost, A.
    pub working_a: f64,
    /// Voltage of the circuit, V.
    pub system_v: f64,
    /// Voltage lost along the run, V.
    pub drop_v: Option<f64>,
    /// Voltage drop that it is to stay below, share of its voltage.
    pub most_drop_share: f64,
    /// The run.
    pub run: Run,
    /// Generic value that its current rests on, if any.
    pub rests_on: Option<&'static str>,
}

impl Circuit {
    /// Voltage lost along the run, share of the circuit's voltage.
    #[must_use]
    pub fn drop_share(&self) -> Option<f64> {
        let drop_v = self.drop_v.filter(|_| self.system_v > 0.0)?;
        Some(drop_v / self.system_v)
    }

    /// Whether more is lost along the run than it is to stay below; nothing is asked of the run between the panels.
    #[must_use]
    pub fn loses_too_much(&self) -> bool {
        let asked = self.kind != CircuitKind::Transfer;
        asked && (self.drop_share()).is_some_and(|share| share > self.most_drop_share)
    }

    /// How many conductors of each pole lie in parallel, at least 1.
    #[must_use]
    pub fn parallel(&self) -> u32 {
        let found = self.conductors.map(|found| found.parallel);
        found.or(self.run.parallel).unwrap_or(1).max(1)
    }

    /// The earth conductors in words, such as `8 AWG` or `2 × 3 AWG`; none if none is known.
    #[must_use]
    pub fn earth_label(&self) -> Option<String> {
        let size = self.earth?;
        Some(
            Conductors {
                size,
                parallel: self.earths,
            }
            .label(),
        )
    }
}

/// Kinds of circuit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum CircuitKind {
    /// From an array to an MPPT input.
    PvSource,
    /// Output of a PV inverter.
    PvOutput,
    /// Output of a storage inverter.
    StorageOutput,
    /// Output of a generator.
    GeneratorOutput,
    /// Between a battery and its inverter.
    Battery,
    /// Between the two panels, through the transfer switch.
    Transfer,
}

/// Voltage drop that a kind of circuit is to stay below, share of its voltage: as the household aims, else as is common.
fn most_drop_share(aimed: &HouseholdElectrical, kind: CircuitKind) -> f64 {
    match kind {
        CircuitKind::PvSource | CircuitKind::Battery => {
            (aimed.dc_drop_share).unwrap_or(limits::DC_DROP_SHARE.default)
        }
        CircuitKind::PvOutput
        | CircuitKind::StorageOutput
        | CircuitKind::GeneratorOutput
        | CircuitKind::Transfer => (aimed.ac_drop_share).unwrap_or(limits::AC_DROP_SHARE.default),
    }
}

/// What a circuit is before its breaker and conductors are chosen.
struct Plan {
    kind: CircuitKind,
    part: Part,
    number: usize,
    name: String,
    alike: usize,
    highest_a: f64,
    reserve: Reserve,
    working_a: f64,
    system_v: f64,
    three_phase: bool,
    run: Run,
    rests_on: Option<&'static str>,
}

/// Every circuit of an option, in the order of the sheet: arrays, PV inverters, storage, the generator, and with a utility the transfer path.
#[must_use]
pub fn conductor_schedule(
    household: &Household,
    option: &CouplingOption,
    details: &Details,
) -> Vec<Circuit> {
    let supply = household.service.supply;
    let output = |kind, part, name: &str, rated_w, one_line, run| {
        let current_a = line_current_a(supply, rated_w, one_line);
        let (system_v, three_phase) = circuit_voltage(supply, one_line);
        Plan {
            kind,
            part,
            number: 1,
            name: format!("{name}, output"),
            alike: 1,
            highest_a: current_a,
            reserve: Reserve::Continuous,
            working_a: current_a,
            system_v,
            three_phase,
            run,
            rests_on: None,
        }
    };
    let mut plans = Vec::new();
    for array in &option.arrays {
        let Some(found) = details.array(array.id) else {
            continue;
        };
        for (index, (strings, inputs)) in alike(&found.strings).into_iter().enumerate() {
            let InputStrings {
                in_series,
                parallel,
            } = strings;
            let name = if inputs == 1 {
                format!("{}, string of {in_series}", array.name)
            } else {
                format!("{}, each of {inputs} strings of {in_series}", array.name)
            };
            plans.push(Plan {
                kind: CircuitKind::PvSource,
                part: Part::Array(array.id),
                number: index + 1,
                name,
                alike: inputs,
                highest_a: source_circuit_a(found.module.isc_a, parallel),
                reserve: Reserve::Continuous,
                working_a: found.module.imp_a * f64::from(parallel),
                system_v: found.module.vmp_v * f64::from(in_series),
                three_phase: false,
                run: found.run,
                rests_on: found.module_origin.is_generic().then_some("module data"),
            });
        }
    }
    for inverter in &option.pv_inverters {
        let Some(found) = details.pv_inverter(inverter.id) else {
            continue;
        };
        if option.arrays_on_inverter(inverter.id).next().is_none() {
            continue;
        }
        plans.push(output(
            CircuitKind::PvOutput,
            Part::PvInverter(inverter.id),
            &inverter.name,
            inverter.rated_w,
            found.one_line,
            found.output,
        ));
    }
    for unit in &option.storage {
        let Some(found) = details.storage(unit.id) else {
            continue;
        };
        plans.push(output(
            CircuitKind::StorageOutput,
            Part::Storage(unit.id),
            &unit.name,
            unit.inverter.rated_w,
            found.one_line,
            found.output,
        ));
        if let Some(battery) = &found.battery {
            let power = BatteryPower::of(option, unit);
            let current_a = power.most_w / battery.voltages.lowest_v;
            plans.push(Plan {
                kind: CircuitKind::Battery,
                part: Part::Storage(unit.id),
                number: 2,
                name: format!("{}, battery", unit_name(option, unit.id)),
                alike: 1,
                highest_a: current_a,
                reserve: Reserve::Continuous,
                working_a: current_a,
                system_v: battery.voltages.nominal_v,
                three_phase: false,
                run: battery.run,
                rests_on: battery
                    .origin
                    .is_generic()
                    .then_some("voltage of the battery"),
            });
        }
    }
    if let (Some(generator), Some(run)) = (&option.generator, details.generator_run) {
        let current_a = generator::rated_a(household, generator);
        plans.push(Plan {
            highest_a: current_a,
            reserve: generator::reserve(details.code, generator),
            working_a: current_a,
            rests_on: generator::rests_on(generator),
            ..output(
                CircuitKind::GeneratorOutput,
                Part::Generator,
                &generator.name,
                generator.rated_w,
                false,
                run,
            )
        });
    }
    let joins_panels = !option.storage.is_empty() || has_backed_up_source(option);
    if household.service.utility && joins_panels {
        let (system_v, three_phase) = circuit_voltage(supply, false);
        let device_a = details
            .transfer_run
            .device_a
            .unwrap_or(household.service.transfer_a);
        let current_a = match details.code {
            Code::Nec(_) => device_a / 1.25,
            Code::Iec => device_a,
        };
        plans.push(Plan {
            kind: CircuitKind::Transfer,
            part: Part::Transfer,
            number: 1,
            name: "Transfer path".to_owned(),
            alike: 1,
            highest_a: current_a,
            reserve: Reserve::Continuous,
            working_a: current_a,
            system_v,
            three_phase,
            run: Run {
                device_a: Some(device_a),
                ..details.transfer_run
            },
            rests_on: None,
        });
    }
    plans
        .into_iter()
        .map(|plan| {
            let most_drop_share = most_drop_share(&household.electrical, plan.kind);
            plan.scheduled(details.code, most_drop_share)
        })
        .collect()
}

fn has_backed_up_source(option: &CouplingOption) -> bool {
    option.pv_inverters.iter().any(|inverter| {
        inverter.side == AcSide::BackedUp && option.arrays_on_inverter(inverter.id).next().is_some()
    })
}

/// Thinnest string cable that is proposed under the IEC.
///
/// Source: common practice: cable and connectors for strings are sold from 4 mm² on.
const STRING_SECTION: Section = Section::S4;

impl Plan {
    /// The thinnest that is proposed, whatever the current: under the IEC what bears a short circuit, if it is known, and for strings what
    /// the trade sells.
    fn least_proposed(&self, code: Code) -> Option<Size> {
        let (Code::Iec, Wiring::Iec { insulation, .. }) = (code, self.run.laying.wiring) else {
            return None;
        };
        if self.kind == CircuitKind::PvSource {
            return Some(Size::Section(STRING_SECTION));
        }
        let k = short_circuit_k(self.run.laying.metal, insulation);
        let least_mm2 = short_circuit_section_mm2(self.run.fault_a?, self.run.fault_cleared_s?, k);
        Size::all(code).find(|size| size.area_mm2() >= least_mm2)
    }

    /// Chooses what was not chosen yet.
    fn scheduled(self, code: Code, most_drop_share: f64) -> Circuit {
        let mut duty = Duty {
            highest_a: self.highest_a,
            reserve: self.reserve,
            device_a: None,
            loaded: if self.three_phase {
                LoadedConductors::Three
            } else {
                LoadedConductors::Two
            },
        };
        let basis_a = match code {
            Code::Nec(_) => duty.at_terminals_a(),
            Code::Iec => duty.where_laid_a(),
        };
        let least_device_a = match self.kind {
            CircuitKind::PvSource => None,
            _ => breaker_at_least_a(code, basis_a),
        };
        let device_a = self.run.device_a.or(least_device_a);
        duty.device_a = device_a;
        let drop_limit = DropLimit {
            current_a: self.working_a,
            one_way_m: self.run.one_way_m,
            system_v: self.system_v,
            most_share: most_drop_share,
        };
        let laying = &self.run.laying;
        let of = |parallel: u32, size: Size| Conductors { size, parallel };
        let least = match self.run.parallel {
            Some(parallel) => laying
                .least_size(&duty, parallel, None)
                .map(|size| of(parallel, size)),
            None => laying.least(&duty),
        };
        let parallel = self.run.parallel.unwrap_or_else(|| match self.run.size {
            None => least.map_or(1, |least| least.parallel),
            Some(_) if least.is_some_and(|least| least.parallel == 1) => 1,
            // No single conductor suffices: as many of the chosen size as do.
            Some(size) => (1..=Laying::MOST_PROPOSED_PARALLEL)
                .find(|parallel| laying.suits(of(*parallel, size), &duty))
                .unwrap_or(1),
        });
        let needed = laying.least_size(&duty, parallel, None);
        let at_least = self
            .least_proposed(code)
            .filter(|size| laying.suits(of(parallel, *size), &duty));
        let proposed = laying
            .least_size(&duty, parallel, Some(&drop_limit))
            .or(needed)
            .map(|size| at_least.map_or(size, |at_least| size.max(at_least)));
        let conductors = self.run.size.or(proposed).map(|size| of(parallel, size));
        let drop_v = conductors
            .and_then(|conductors| laying.resistance_ohm_per_m(conductors))
            .map(|ohm_per_m| {
                voltage_drop_v(self.working_a, self.run.one_way_m, ohm_per_m, duty.loaded)
            });
        let earth = conductors.and_then(|conductors| match conductors.size {
            Size::Awg(size) => {
                let earth = nec_earth_conductor(device_a.unwrap_or(basis_a), laying.metal, size)?;
                Some(Size::Awg(match needed {
                    // Conductors larger than needed ask for more earth, but for those of PV (690.45).
                    Some(Size::Awg(needed)) if self.kind != CircuitKind::PvSource => {
                        enlarged_earth_conductor(earth, needed, size)
                    }
                    _ => earth,
                }))
            }
            Size::Section(section) => Some(Size::Section(iec_earth_conductor(section))),
        });
        let earths = match (code, laying.parallel) {
            (Code::Nec(_), ParallelLaying::Together) => 1,
            (Code::Nec(_), ParallelLaying::Apart) | (Code::Iec, _) => parallel.max(1),
        };
        Circuit {
            kind: self.kind,
            part: self.part,
            number: self.number,
            name: self.name,
            alike: self.alike,
            basis_a,
            least_device_a,
            device_is_chosen: self.run.device_a.is_some(),
            conductors,
            size_is_chosen: self.run.size.is_some(),
            least,
            earth,
            earths,
            working_a: self.working_a,
            system_v: self.system_v,
            drop_v,
            most_drop_share,
            duty,
            run: self.run,
            rests_on: self.rests_on,
        }
    }
}
