//! What the household gives, laid over generic values.

use super::{
    BatteryCircuit, Details, InputWindow, Origin, PvInput, PvInverterDetails, Run, StorageDetails,
};
use crate::coupling::{InputSheet, PvInverterElectrical, StorageElectrical};
use crate::household::{CircuitChoice, Device, DeviceKind, Dwelling, Household};
use crate::rules::{Code, DwellingLoads, Wiring};

impl Details {
    /// The code that a household is judged by: the one given, else the one usual at its supply.
    #[must_use]
    pub fn code_of(household: &Household) -> Code {
        household
            .electrical
            .code
            .unwrap_or_else(|| Code::usual(household.service.supply))
    }
}

impl Run {
    /// This run with what was chosen for it.
    pub(super) fn chosen(mut self, code: Code, choice: &CircuitChoice) -> Self {
        if let Some(one_way_m) = choice.one_way_m {
            (self.one_way_m, self.length_origin) = (one_way_m, Origin::Given);
        }
        let same_family = |wiring: &Wiring| {
            matches!(
                (code, wiring),
                (Code::Nec(_), Wiring::Nec { .. }) | (Code::Iec, Wiring::Iec { .. })
            )
        };
        if let Some(wiring) = choice.wiring.filter(same_family) {
            (self.laying.wiring, self.laying_origin) = (wiring, Origin::Given);
        }
        if let Some(ambient_c) = choice.ambient_c {
            (self.laying.ambient_c, self.ambient_origin) = (ambient_c, Origin::Given);
        }
        if let Some(metal) = choice.metal {
            self.laying.metal = metal;
        }
        if let Some(parallel) = choice.parallel_laying {
            self.laying.parallel = parallel;
        }
        self.size = choice.size.or(self.size);
        self.parallel = choice.parallel.or(self.parallel);
        self.fault_a = choice.fault_a.or(self.fault_a);
        self.fault_cleared_s = choice.fault_cleared_s.or(self.fault_cleared_s);
        self.device_a = choice.device_a.or(self.device_a);
        self
    }
}

impl InputWindow {
    /// These inputs by their data sheet, if there is one.
    pub(super) fn given(self, sheet: Option<&InputSheet>) -> Self {
        match sheet {
            Some(sheet) => Self {
                origin: Origin::Given,
                each: *sheet,
                ..self
            },
            None => self,
        }
    }
}

impl PvInverterDetails {
    /// This PV inverter with what was given of it.
    pub(super) fn given(mut self, code: Code, given: &PvInverterElectrical) -> Self {
        if given.at_modules {
            self.input = PvInput::AtModule;
        } else if let PvInput::Strings(window) = self.input {
            self.input = PvInput::Strings(
                InputWindow {
                    inputs: given.inputs.unwrap_or(window.inputs),
                    ..window
                }
                .given(given.input.as_ref()),
            );
        }
        self.one_line = given.one_line.unwrap_or(self.one_line);
        self.output = self.output.chosen(code, &given.output);
        self
    }
}

impl StorageDetails {
    /// This storage unit with what was given of it.
    pub(super) fn given(mut self, code: Code, given: &StorageElectrical) -> Self {
        self.input = self.input.map(|window| window.given(given.input.as_ref()));
        self.one_line = given.one_line.unwrap_or(self.one_line);
        self.output = self.output.chosen(code, &given.output);
        self.battery = self
            .battery
            .filter(|_| !given.battery_inside)
            .map(|battery| {
                let run = battery.run.chosen(code, &given.battery_circuit);
                match &given.battery {
                    Some(sheet) => BatteryCircuit {
                        origin: Origin::Given,
                        voltages: *sheet,
                        run,
                    },
                    None => BatteryCircuit { run, ..battery },
                }
            });
        if let Some(nominal_wh) = given.nominal_wh {
            (self.nominal_wh, self.nominal_origin) = (nominal_wh, Origin::Given);
        }
        self
    }
}

/// A share of the dwelling with devices, sorted into the terms of its load calculation; watts are taken as volt-amperes.
///
/// Central resistance heating beside a heat pump is taken to supplement it, which counts for more than the larger of both alone.
pub(super) fn dwelling_loads<'a>(
    dwelling: &Dwelling,
    devices: impl IntoIterator<Item = &'a Device>,
    share: f64,
) -> DwellingLoads {
    let mut found = DwellingLoads {
        floor_m2: share * dwelling.floor_m2,
        appliance_circuits: share * f64::from(dwelling.appliance_circuits),
        ..DwellingLoads::default()
    };
    found.standing.appliances_va = share * dwelling.appliances_w;
    found.added.appliances_va = share * dwelling.added_appliances_w;
    let heated = match dwelling.central_heating_is_added {
        true => &mut found.added,
        false => &mut found.standing,
    };
    heated.climate.central_heating_va = share * dwelling.central_heating_w;
    for device in devices {
        let power_w = device.kind.power_w();
        let loads = match device.is_added {
            true => &mut found.added,
            false => &mut found.standing,
        };
        match device.kind {
            DeviceKind::Car { .. } => loads.car_va += power_w,
            DeviceKind::HeatPump { .. } => loads.climate.heat_pump_va += power_w,
            DeviceKind::AirConditioner { .. } => loads.climate.cooling_va += power_w,
            DeviceKind::PoolPump { .. } | DeviceKind::WaterHeater { .. } => {
                loads.appliances_va += power_w;
            }
        }
    }
    let heat_pump_va = found.standing.climate.heat_pump_va + found.added.climate.heat_pump_va;
    if heat_pump_va > 0.0 {
        for loads in [&mut found.standing, &mut found.added] {
            loads.climate.supplement_va = std::mem::take(&mut loads.climate.central_heating_va);
        }
    }
    found
}
