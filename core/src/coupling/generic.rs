//! Generic, invented equipment: what a new part is before anyone opens its schedule.

use super::{
    Array, ArrayElectrical, Battery, BatteryAgeing, BatteryCosts, BatteryPlace, ConverterCosts,
    ConverterEfficiency, Generator, GeneratorElectrical, GridCode, IslandMeans, IslandRunning,
    Mppt, PowerLimiting, PvInverter, PvInverterElectrical, StorageElectrical, StorageInverter,
    StorageUnit, Surge, Weighting,
};
use crate::ids::{AcSide, ArrayId, PlaneId, PvInverterId, StorageId};
use crate::limits;

impl Array {
    /// A new array of this rated power on this plane.
    ///
    /// Source of the defaults: their rows in [`crate::limits`].
    #[must_use]
    pub fn generic(
        id: ArrayId,
        name: String,
        plane: PlaneId,
        peak_w: f64,
        pv_inverter: PvInverterId,
    ) -> Self {
        Self {
            id,
            name,
            plane,
            standing: false,
            peak_w,
            power_coefficient_per_c: limits::ARRAY_POWER_COEFFICIENT_PER_C.default,
            wiring_loss: limits::ARRAY_WIRING_LOSS.default,
            mismatch_loss: limits::ARRAY_MISMATCH_LOSS.default,
            age_loss: limits::ARRAY_AGE_LOSS.default,
            pv_inverter,
            dc_unit: None,
            electrical: ArrayElectrical::default(),
            first_cur: None,
        }
    }
}

impl PvInverter {
    /// A new PV inverter for an array of this rated DC power: rated AC power is the next 100 W below 1/1.2 of it.
    ///
    /// Source of the defaults: common practice (DC/AC ratio 1.2; string inverter near 97 % weighted).
    #[must_use]
    pub fn generic(id: PvInverterId, name: String, side: AcSide, peak_w: f64) -> Self {
        let rated_w = (libm::floor(peak_w / 1.2 / 100.0) * 100.0).max(300.0);
        Self {
            id,
            name,
            side,
            standing: false,
            rated_w,
            efficiency: ConverterEfficiency {
                peak: limits::EFFICIENCY_PEAK.default,
                weighted: limits::EFFICIENCY_WEIGHTED.default,
                weighting: Weighting::European,
                no_load_w: 0.003 * rated_w,
            },
            limiting: PowerLimiting::commanded(),
            grid_code: GridCode::Present,
            island: IslandMeans::Frequency,
            electrical: PvInverterElectrical::default(),
            costs: ConverterCosts::default(),
        }
    }
}

impl StorageUnit {
    /// A new storage unit with two MPPT inputs, of this rated AC power and this usable energy.
    ///
    /// Source of the defaults: common practice (battery near 96 % there and back on DC, 0.5 C; inverter near 96 %
    /// weighted, MPPT to bus 98 %, no-load 30 W at 5 kW).
    #[must_use]
    pub fn generic(
        id: StorageId,
        name: String,
        side: AcSide,
        rated_w: f64,
        usable_wh: f64,
    ) -> Self {
        Self {
            id,
            name,
            side,
            standing: false,
            inverter: StorageInverter {
                rated_w,
                efficiency: ConverterEfficiency {
                    peak: 0.966,
                    weighted: 0.958,
                    weighting: Weighting::European,
                    no_load_w: 0.006 * rated_w,
                },
                surge: Surge::generic(rated_w),
            },
            mppt: Some(Mppt {
                inputs: 2,
                efficiency: limits::MPPT_EFFICIENCY.default,
                rated_w: 1.5 * rated_w,
            }),
            battery: Battery {
                usable_wh,
                charge_w: 0.5 * usable_wh,
                discharge_w: 0.5 * usable_wh,
                charge_efficiency: limits::BATTERY_CHARGE_EFFICIENCY.default,
                discharge_efficiency: limits::BATTERY_DISCHARGE_EFFICIENCY.default,
                taper_from_soc: limits::BATTERY_TAPER_FROM_SOC.default,
                self_discharge_per_month: limits::BATTERY_SELF_DISCHARGE_PER_MONTH.default,
                least_charge_c: limits::BATTERY_LEAST_CHARGE_C.default,
                overload_s: limits::BATTERY_OVERLOAD_S.default,
                place: BatteryPlace::Indoors {
                    room_c: limits::BATTERY_ROOM_C.default,
                },
                initial_soc: limits::BATTERY_INITIAL_SOC.default,
                ageing: BatteryAgeing::default(),
                costs: BatteryCosts::default(),
            },
            electrical: StorageElectrical::default(),
            costs: ConverterCosts::default(),
        }
    }
}

impl PowerLimiting {
    /// A commanded PV inverter with the defaults of its rows in [`crate::limits`].
    #[must_use]
    pub fn commanded() -> Self {
        Self::Commanded {
            margin_w: limits::LIMITING_MARGIN_W.default,
            poll_s: limits::LIMITING_POLL_S.default,
            ramp_per_s: limits::LIMITING_RAMP_PER_S.default,
        }
    }
}

impl Surge {
    /// Surge of a storage inverter of this rated AC power: half as much again for 10 s, twice for half a second.
    ///
    /// Source: chosen; within what such inverters commonly state.
    #[must_use]
    pub fn generic(rated_w: f64) -> Vec<Self> {
        vec![
            Self {
                power_w: 1.5 * rated_w,
                duration_s: 10.0,
            },
            Self {
                power_w: 2.0 * rated_w,
                duration_s: 0.5,
            },
        ]
    }
}

impl Default for IslandRunning {
    fn default() -> Self {
        Self {
            shed_soc: limits::ISLAND_SHED_SOC.default,
            shut_down_soc: limits::ISLAND_SHUT_DOWN_SOC.default,
            restart_soc: limits::ISLAND_RESTART_SOC.default,
            idle_offset_hz: limits::ISLAND_IDLE_OFFSET_HZ.default,
            rise_hz: limits::ISLAND_RISE_HZ.default,
        }
    }
}

impl Generator {
    /// A new generator of this rated AC power.
    ///
    /// Source of the defaults: their rows in [`crate::limits`].
    #[must_use]
    pub fn generic(name: String, rated_w: f64) -> Self {
        Self {
            name,
            standing: false,
            rated_w,
            least_load: limits::GENERATOR_LEAST_LOAD.default,
            start_soc: limits::GENERATOR_START_SOC.default,
            stop_soc: limits::GENERATOR_STOP_SOC.default,
            start_delay_s: limits::GENERATOR_START_DELAY_S.default,
            idle_fuel_l_per_h: limits::GENERATOR_IDLE_FUEL_L_PER_H.default * rated_w
                / limits::GENERATOR_RATED_W.default,
            fuel_l_per_kwh: limits::GENERATOR_FUEL_L_PER_KWH.default,
            fuel_cur_per_l: None,
            electrical: GeneratorElectrical::default(),
            costs: ConverterCosts::default(),
        }
    }
}
