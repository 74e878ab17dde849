//! The details of an option, and the generic, invented values in them that stand until the data sheets are at hand.

use super::layout::{Stringing, fitting_strings, proposed_strings};
use super::{
    ArrayDetails, BatteryCircuit, DesignTemperatures, Details, InputWindow, Origin, PanelDetails,
    PvInput, PvInverterDetails, Run, StorageDetails,
};
use crate::coupling::{
    Array, BatterySheet, CouplingOption, InputSheet, Join, ModuleSheet, PvInverter, StorageUnit,
};
use crate::household::{Household, StorageId, Supply};
use crate::rules::{
    Code, Column, Laying, Metal, Method, MetricInsulation, ParallelLaying, Terminals, Wiring,
    hot_cell_rise_k,
};
use crate::units::UnitSystem;

/// Rated power of the generic module, W: 31.0 V by 12.9 A.
const GENERIC_MODULE_W: f64 = 400.0;

/// Power up to which a converter on a three-phase supply commonly feeds one line only, W.
///
/// Source: common practice.
const ONE_LINE_TO_W: f64 = 4_600.0;

/// Air about the conductors of a string where hot days are not known, °C: 40 °C, and the rise of modules that stand off a roof.
///
/// Source: common practice.
const HOT_ROOF_C: f64 = 70.0;

impl Details {
    /// The details of an option: what the household gives, and generic values where it gives none.
    #[must_use]
    pub fn of(
        household: &Household,
        option: &CouplingOption,
        temperatures: &DesignTemperatures,
    ) -> Self {
        Self::under(Self::code_of(household), household, option, temperatures)
    }

    /// The details of an option under a code of choice.
    #[must_use]
    pub fn under(
        code: Code,
        household: &Household,
        option: &CouplingOption,
        temperatures: &DesignTemperatures,
    ) -> Self {
        let (service, given) = (&household.service, &household.electrical);
        let pv_inverters: Vec<_> = option
            .pv_inverters
            .iter()
            .map(|inverter| {
                let arrays = option.arrays_on_inverter(inverter.id).count();
                PvInverterDetails::generic(code, inverter, arrays, service.supply)
                    .given(code, &inverter.electrical)
            })
            .collect();
        let storage: Vec<_> = option
            .storage
            .iter()
            .map(|unit| {
                StorageDetails::generic(code, unit, service.supply).given(code, &unit.electrical)
            })
            .collect();
        let mut details = Self {
            code,
            units: UnitSystem::Metric,
            arrays: Vec::new(),
            pv_inverters,
            storage,
            grid_side: PanelDetails {
                busbar_a: Some(service.busbar_a),
                supply_device_a: service.main_breaker_a,
                given: given.grid_side,
            },
            backed_up: PanelDetails {
                busbar_a: given.backed_up_busbar_a,
                supply_device_a: service.transfer_a,
                given: given.backed_up,
            },
            transfer_run: Run {
                device_a: Some(service.transfer_a),
                ..Run::generic(code, 3.0)
            }
            .chosen(code, &given.transfer_circuit),
            generator_run: (option.generator.as_ref()).map(|generator| {
                Run::generic(code, 10.0).chosen(code, &generator.electrical.output)
            }),
        };
        details.arrays = option
            .arrays
            .iter()
            .map(|array| details.array_of(household, option, array, temperatures))
            .collect();
        details
    }

    /// An array with its strings, or those that suit the converter it joins.
    fn array_of(
        &self,
        household: &Household,
        option: &CouplingOption,
        array: &Array,
        temperatures: &DesignTemperatures,
    ) -> ArrayDetails {
        let given = &array.electrical;
        let (module, module_origin) = match given.module {
            Some(sheet) => (sheet, Origin::Given),
            None => (ModuleSheet::generic(array.peak_w), Origin::Generic),
        };
        let join = option.join(array);
        let window = match join {
            Some(Join::Dc(unit)) => self.storage(unit).and_then(|unit| unit.input),
            Some(Join::Ac(_)) => {
                self.pv_inverter(array.pv_inverter)
                    .and_then(|inverter| match inverter.input {
                        PvInput::Strings(window) => Some(window),
                        PvInput::AtModule => None,
                    })
            }
            None => None,
        };
        let sharing = match join {
            Some(Join::Dc(unit)) => option.arrays_on_unit(unit).count(),
            _ => option.arrays_on_inverter(array.pv_inverter).count(),
        };
        let rise_k = household.plane(array.plane).map_or(
            hot_cell_rise_k(crate::array::Mounting::RoofStandOff),
            |plane| hot_cell_rise_k(plane.mounting),
        );
        let hot_cell_c = temperatures.high_c.map(|high_c| high_c + rise_k);
        let window = window.map(|window| InputWindow {
            inputs: inputs_for(window.inputs, sharing),
            ..window
        });
        let fitting = window.map_or_else(Vec::new, |window| {
            fitting_strings(&Stringing {
                code: self.code,
                module: &module,
                window: &window,
                low_c: temperatures.low_c,
                hot_cell_c,
                power_per_c: array.power_coefficient_per_c,
            })
        });
        let (strings, strings_origin) = match (&given.strings, window) {
            (Some(strings), Some(_)) => (strings.clone(), Origin::Given),
            (None, Some(window)) => (
                proposed_strings(&fitting, &module, &window),
                Origin::Generic,
            ),
            (_, None) => (Vec::new(), Origin::Generic),
        };
        let mut run = Run::generic(self.code, 15.0);
        // The conductors begin in the heat behind the modules, under either code.
        run.laying.ambient_c = hot_cell_c.unwrap_or(HOT_ROOF_C);
        if let Wiring::Iec {
            insulation, method, ..
        } = &mut run.laying.wiring
        {
            // Both poles are clipped side by side behind the modules.
            (*insulation, *method) = (MetricInsulation::PvCable, Method::ClippedDirect);
        }
        ArrayDetails {
            id: array.id,
            module,
            module_origin,
            strings,
            fitting,
            strings_origin,
            run: run.chosen(self.code, &given.circuit),
        }
    }
}

/// Inputs that each of several arrays may use.
fn inputs_for(inputs: u32, sharing: usize) -> u32 {
    let sharing = u32::try_from(sharing.max(1)).unwrap_or(u32::MAX);
    (inputs / sharing).max(1)
}

impl ModuleSheet {
    /// Generic modules of a whole array: as many of about 400 W as come nearest.
    ///
    /// Source: invented, within what crystalline modules of 108 half cells commonly have.
    #[must_use]
    pub fn generic(peak_w: f64) -> Self {
        let count = libm::round(peak_w / GENERIC_MODULE_W).clamp(1.0, 100_000.0);
        let share = peak_w / count / GENERIC_MODULE_W;
        Self {
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a whole number between 1 and 100,000"
            )]
            count: count as u32,
            voc_v: 37.0,
            isc_a: 13.8 * share,
            vmp_v: 31.0,
            imp_a: 12.9 * share,
            voc_per_c: Some(-0.0027),
            vmp_per_c: None,
            series_fuse_a: 25.0,
        }
    }
}

impl InputWindow {
    /// Generic MPPT inputs.
    ///
    /// Source: invented, within what converters for homes commonly state: 600 V under the NEC, 1000 V under the IEC.
    #[must_use]
    pub fn generic(code: Code, inputs: u32) -> Self {
        let (most_v, mppt_from_v, mppt_to_v) = match code {
            Code::Nec(_) => (600.0, 90.0, 560.0),
            Code::Iec => (1000.0, 140.0, 850.0),
        };
        Self {
            origin: Origin::Generic,
            inputs,
            each: InputSheet {
                most_v,
                mppt_from_v,
                mppt_to_v,
                most_working_a: 16.0,
                most_short_circuit_a: 22.0,
            },
        }
    }
}

impl PvInverterDetails {
    /// A generic string inverter with an input for each array, or for each 3 kW if those are more.
    ///
    /// Source: common practice: one input up to about 3 kW, two up to about 6 kW.
    #[must_use]
    pub fn generic(code: Code, inverter: &PvInverter, arrays: usize, supply: Supply) -> Self {
        let by_power = libm::ceil(inverter.rated_w / 3_000.0).clamp(1.0, 1_000.0);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a whole number between 1 and 1,000"
        )]
        let by_power = by_power as u32;
        let by_arrays = u32::try_from(arrays).unwrap_or(u32::MAX);
        Self {
            id: inverter.id,
            input: PvInput::Strings(InputWindow::generic(code, by_power.max(by_arrays))),
            output: Run::generic(code, 10.0),
            one_line: is_three_phase(supply) && inverter.rated_w <= ONE_LINE_TO_W,
        }
    }
}

impl StorageDetails {
    /// A generic storage unit: a battery near 48 V beside its inverter, nine tenths of its nominal energy usable.
    #[must_use]
    pub fn generic(code: Code, unit: &StorageUnit, supply: Supply) -> Self {
        Self {
            id: unit.id,
            input: unit
                .mppt
                .as_ref()
                .map(|mppt| InputWindow::generic(code, mppt.inputs)),
            output: Run::generic(code, 5.0),
            one_line: is_three_phase(supply) && unit.inverter.rated_w <= ONE_LINE_TO_W,
            battery: Some(BatteryCircuit {
                origin: Origin::Generic,
                voltages: BatterySheet {
                    nominal_v: 51.2,
                    lowest_v: 44.8,
                    highest_v: 58.4,
                },
                run: Run::generic(code, 1.5),
            }),
            nominal_wh: unit.battery.usable_wh / 0.9,
            nominal_origin: Origin::Generic,
        }
    }
}

impl Run {
    /// A generic run: copper in conduit at 30 °C, by itself, terminals marked 75 °C; conductors in parallel lie in raceways of their own
    /// under the NEC, as is common, and bunched under the IEC, which costs more ampacity.
    #[must_use]
    pub fn generic(code: Code, one_way_m: f64) -> Self {
        Self {
            length_origin: Origin::Generic,
            laying_origin: Origin::Generic,
            ambient_origin: Origin::Generic,
            one_way_m,
            laying: Laying {
                metal: Metal::Copper,
                ambient_c: 30.0,
                parallel: match code {
                    Code::Nec(_) => ParallelLaying::Apart,
                    Code::Iec => ParallelLaying::Together,
                },
                wiring: match code {
                    Code::Nec(_) => Wiring::Nec {
                        insulation: Column::C90,
                        terminals: Terminals::Marked75C,
                        loaded_conductors: 2,
                    },
                    Code::Iec => Wiring::Iec {
                        insulation: MetricInsulation::Pvc,
                        method: Method::ConduitOnWall,
                        circuits: 1,
                    },
                },
            },
            size: None,
            parallel: None,
            device_a: None,
            fault_a: None,
            fault_cleared_s: None,
        }
    }
}

pub(super) fn is_three_phase(supply: Supply) -> bool {
    matches!(
        supply,
        Supply::ThreePhase230V400V50Hz | Supply::ThreePhase120V208V60Hz
    )
}

/// Current of a converter on each line that it feeds, A.
pub(super) fn line_current_a(supply: Supply, rated_w: f64, one_line: bool) -> f64 {
    let line_w_per_a = supply.power_w(1.0);
    if one_line && is_three_phase(supply) {
        3.0 * rated_w / line_w_per_a
    } else {
        rated_w / line_w_per_a
    }
}

/// Voltage of a converter's circuit, V, and whether three conductors carry it.
pub(super) fn circuit_voltage(supply: Supply, one_line: bool) -> (f64, bool) {
    match supply {
        Supply::SplitPhase120V240V60Hz => (240.0, false),
        Supply::SinglePhase230V50Hz => (230.0, false),
        Supply::ThreePhase230V400V50Hz if one_line => (230.0, false),
        Supply::ThreePhase230V400V50Hz => (400.0, true),
        Supply::ThreePhase120V208V60Hz if one_line => (120.0, false),
        Supply::ThreePhase120V208V60Hz => (208.0, true),
    }
}

/// Names the unit in texts.
pub(super) fn unit_name(option: &CouplingOption, id: StorageId) -> &str {
    option
        .storage_unit(id)
        .map_or("storage", |unit| unit.name.as_str())
}
