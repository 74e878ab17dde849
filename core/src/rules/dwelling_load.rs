//! Load of a dwelling by the NEC's optional methods.

use super::NecEdition;

/// Square metres of a square foot.
const M2_PER_FT2: f64 = 0.092_903_04;

/// What a dwelling has, in volt-amperes of its nameplates.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct DwellingLoads {
    /// Floor area, m².
    pub floor_m2: f64,
    /// Small-appliance circuits (two at least) and laundry circuits, of 1500 VA each.
    pub appliance_circuits: u32,
    /// Appliances fastened in place, range, dryer, water heater and the like, VA.
    pub appliances_va: f64,
    /// Car chargers, VA.
    pub car_va: f64,
    /// Heating and cooling.
    pub climate: ClimateLoads,
}

/// Heating and cooling of a dwelling, VA.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ClimateLoads {
    /// Air conditioning.
    pub cooling_va: f64,
    /// Heat pump compressors.
    pub heat_pump_va: f64,
    /// Electric heating that supplements a heat pump.
    pub supplement_va: f64,
    /// Central electric heating.
    pub central_heating_va: f64,
    /// Electric space heaters controlled room by room, together.
    pub space_heaters_va: f64,
    /// How many space heaters.
    pub space_heaters: u32,
    /// Electric thermal storage.
    pub thermal_storage_va: f64,
}

impl ClimateLoads {
    /// The largest of the six choices, VA.
    ///
    /// Source: NEC 220.82(C) (structure by public text, percentages from memory).
    #[must_use]
    pub fn largest_va(&self) -> f64 {
        let heaters_share = if self.space_heaters < 4 { 0.65 } else { 0.40 };
        [
            self.cooling_va,
            self.heat_pump_va + 0.65 * self.supplement_va,
            0.65 * self.central_heating_va,
            heaters_share * self.space_heaters_va,
            self.thermal_storage_va,
        ]
        .into_iter()
        .fold(0.0, f64::max)
    }

    /// Everything together, VA.
    #[must_use]
    pub fn total_va(&self) -> f64 {
        self.cooling_va
            + self.heat_pump_va
            + self.supplement_va
            + self.central_heating_va
            + self.space_heaters_va
            + self.thermal_storage_va
    }
}

/// General lighting and receptacles, VA: 3 VA per square foot, 2 VA since 2026.
///
/// Source: NEC 220.12 and 220.82(B)(1) (public text); 2026: 120.82 (one public text).
#[must_use]
pub fn general_lighting_va(edition: NecEdition, floor_m2: f64) -> f64 {
    let va_per_ft2 = if edition >= NecEdition::Of2026 {
        2.0
    } else {
        3.0
    };
    va_per_ft2 * floor_m2 / M2_PER_FT2
}

/// All of the first `whole_va`, 40 % of the rest, VA.
#[must_use]
pub fn tiered_va(total_va: f64, whole_va: f64) -> f64 {
    total_va.min(whole_va) + 0.4 * (total_va - whole_va).max(0.0)
}

impl DwellingLoads {
    /// Lighting, circuits and appliances, without cars, heating and cooling, VA.
    #[must_use]
    pub fn general_va(&self, edition: NecEdition) -> f64 {
        general_lighting_va(edition, self.floor_m2)
            + 1500.0 * f64::from(self.appliance_circuits)
            + self.appliances_va
    }

    /// Load of a new dwelling, VA.
    ///
    /// Source: NEC 220.82; since 2026 120.82: first tier 8 kVA, cars outside the pool (one public text).
    #[must_use]
    pub fn new_dwelling_va(&self, edition: NecEdition) -> f64 {
        let general_va = self.general_va(edition);
        self.climate.largest_va()
            + if edition >= NecEdition::Of2026 {
                tiered_va(general_va, 8_000.0) + self.car_va
            } else {
                tiered_va(general_va + self.car_va, 10_000.0)
            }
    }

    /// Load of an existing dwelling to which something is added, VA: with the added things counted among the loads.
    ///
    /// `climate_is_new`: heating or cooling is what is added; it then stands outside the pool.
    ///
    /// None for 2026, whose table of shares for new and standing loads is not at hand in full.
    ///
    /// Source: NEC 220.83(A), (B) (public texts).
    #[must_use]
    pub fn existing_dwelling_va(&self, edition: NecEdition, climate_is_new: bool) -> Option<f64> {
        if edition >= NecEdition::Of2026 {
            return None;
        }
        let general_va = self.general_va(edition) + self.car_va;
        Some(if climate_is_new {
            tiered_va(general_va, 8_000.0) + self.climate.largest_va()
        } else {
            tiered_va(general_va + self.climate.total_va(), 8_000.0)
        })
    }
}

/// Load by measured demand, VA: 125 % of the highest of a year, and what is new.
///
/// Source: NEC 220.87 (public text).
#[must_use]
pub fn measured_load_va(highest_va: f64, new_va: f64) -> f64 {
    1.25 * highest_va + new_va
}
