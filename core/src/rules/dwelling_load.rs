//! Load of a dwelling by the NEC's optional methods.

use super::NecEdition;
use crate::units::M2_PER_FT2;

/// What a dwelling has, in volt-amperes of its nameplates.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct DwellingLoads {
    /// Floor area, m².
    pub floor_m2: f64,
    /// Small-appliance circuits (two at least) and laundry circuits, of 1500 VA each; a share of them where a panel serves only part.
    pub appliance_circuits: f64,
    /// What stands.
    pub standing: ConnectedLoads,
    /// What is added now to a dwelling that stands; nothing: the dwelling is judged as a new one.
    pub added: ConnectedLoads,
}

/// Loads besides general lighting and small appliances, VA.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ConnectedLoads {
    /// Appliances fastened in place, range, dryer, water heater and the like, VA.
    pub appliances_va: f64,
    /// Car chargers, VA.
    pub car_va: f64,
    /// Heating and cooling.
    pub climate: ClimateLoads,
}

/// A calculated load: a pool that counts whole to some value and by 40 % beyond, and what counts beside the pool.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PooledLoad {
    /// Everything in the pool, VA.
    pub pool_va: f64,
    /// How much of it counts whole, VA.
    pub whole_va: f64,
    /// What counts beside it, VA.
    pub beside_va: f64,
    /// What stands beside it, in words.
    pub beside: &'static str,
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

    /// Heating or cooling, whichever is more, whole, VA.
    ///
    /// Source: NEC 220.83(B) (public text).
    #[must_use]
    pub fn larger_whole_va(&self) -> f64 {
        (self.total_va() - self.cooling_va).max(self.cooling_va)
    }

    /// Both together.
    #[must_use]
    pub fn and(&self, other: &Self) -> Self {
        Self {
            cooling_va: self.cooling_va + other.cooling_va,
            heat_pump_va: self.heat_pump_va + other.heat_pump_va,
            supplement_va: self.supplement_va + other.supplement_va,
            central_heating_va: self.central_heating_va + other.central_heating_va,
            space_heaters_va: self.space_heaters_va + other.space_heaters_va,
            space_heaters: self.space_heaters.saturating_add(other.space_heaters),
            thermal_storage_va: self.thermal_storage_va + other.thermal_storage_va,
        }
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

impl ConnectedLoads {
    /// Everything together, VA.
    #[must_use]
    pub fn total_va(&self) -> f64 {
        self.appliances_va + self.car_va + self.climate.total_va()
    }

    /// Both together.
    #[must_use]
    pub fn and(&self, other: &Self) -> Self {
        Self {
            appliances_va: self.appliances_va + other.appliances_va,
            car_va: self.car_va + other.car_va,
            climate: self.climate.and(&other.climate),
        }
    }
}

impl PooledLoad {
    /// The load, VA.
    #[must_use]
    pub fn va(&self) -> f64 {
        tiered_va(self.pool_va, self.whole_va) + self.beside_va
    }
}

impl DwellingLoads {
    /// Lighting, small-appliance and laundry circuits, VA.
    fn lighting_and_circuits_va(&self, edition: NecEdition) -> f64 {
        general_lighting_va(edition, self.floor_m2) + 1500.0 * self.appliance_circuits
    }

    /// Lighting, circuits and appliances, without cars, heating and cooling, VA.
    #[must_use]
    pub fn general_va(&self, edition: NecEdition) -> f64 {
        self.lighting_and_circuits_va(edition)
            + self.standing.appliances_va
            + self.added.appliances_va
    }

    /// Whether anything is added to what stands.
    #[must_use]
    pub fn has_added(&self) -> bool {
        self.added.total_va() > 0.0
    }

    /// Load of a dwelling in which nothing is told from anything else as new.
    ///
    /// Source: NEC 220.82; since 2026 120.82: first tier 8 kVA, cars outside the pool (one public text).
    #[must_use]
    pub fn new_dwelling(&self, edition: NecEdition) -> PooledLoad {
        let all = self.standing.and(&self.added);
        let general_va = self.general_va(edition);
        let climate_va = all.climate.largest_va();
        if edition >= NecEdition::Of2026 {
            PooledLoad {
                pool_va: general_va,
                whole_va: 8_000.0,
                beside_va: climate_va + all.car_va,
                beside: "heating or cooling and cars",
            }
        } else {
            PooledLoad {
                pool_va: general_va + all.car_va,
                whole_va: 10_000.0,
                beside_va: climate_va,
                beside: "heating or cooling",
            }
        }
    }

    /// Load of a dwelling that stands, with what is added to it.
    ///
    /// To 2023 added heating or cooling puts the larger of all heating and all cooling beside the pool. Since 2026 what is added counts
    /// beside the pool: cars and central resistance heating by 80 %, all else by half. How what stands counts then, no text at hand
    /// tells: it is **assumed** to be pooled as before, 8 kVA whole and 40 % beyond.
    ///
    /// Source: NEC 220.83(A), (B) (public texts); 120.83 (one public text, and the assumption).
    #[must_use]
    pub fn existing_dwelling(&self, edition: NecEdition) -> PooledLoad {
        const WHOLE_VA: f64 = 8_000.0;
        let (standing, added) = (&self.standing, &self.added);
        if edition >= NecEdition::Of2026 {
            let most_va =
                added.car_va + added.climate.central_heating_va + added.climate.supplement_va;
            return PooledLoad {
                pool_va: self.lighting_and_circuits_va(edition) + standing.total_va(),
                whole_va: WHOLE_VA,
                beside_va: 0.8 * most_va + 0.5 * (added.total_va() - most_va),
                beside: "80 % of added cars and central heating, 50 % of what else is added",
            };
        }
        let all = standing.and(added);
        let general_va = self.general_va(edition) + all.car_va;
        if added.climate.total_va() > 0.0 {
            PooledLoad {
                pool_va: general_va,
                whole_va: WHOLE_VA,
                beside_va: all.climate.larger_whole_va(),
                beside: "heating or cooling",
            }
        } else {
            PooledLoad {
                pool_va: general_va + all.climate.total_va(),
                whole_va: WHOLE_VA,
                beside_va: 0.0,
                beside: "",
            }
        }
    }
}

/// Load by measured demand, VA: 125 % of the highest of a year, and what is new.
///
/// Source: NEC 220.87 (public text).
#[must_use]
pub fn measured_load_va(highest_va: f64, new_va: f64) -> f64 {
    1.25 * highest_va + new_va
}
