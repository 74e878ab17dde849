//! Generic, invented equipment: what a new part is before anyone opens its schedule.

use super::{
    Array, Battery, BatteryPlace, ConverterEfficiency, Mppt, PowerLimiting, PvInverter,
    StorageInverter, StorageUnit, Weighting,
};
use crate::household::{AcSide, ArrayId, PlaneId, PvInverterId, StorageId};

impl Array {
    /// A new array of this rated power on this plane.
    ///
    /// Source of the defaults: common practice (crystalline modules −0.35 %/°C; 1 % wiring, 2 % mismatch).
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
            power_coefficient_per_c: -0.0035,
            wiring_loss: 0.01,
            mismatch_loss: 0.02,
            age_loss: 0.0,
            pv_inverter,
            dc_unit: None,
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
                peak: 0.976,
                weighted: 0.970,
                weighting: Weighting::European,
                no_load_w: 0.003 * rated_w,
            },
            limiting: PowerLimiting::Commanded { margin_w: 100.0 },
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
            },
            mppt: Some(Mppt {
                inputs: 2,
                efficiency: 0.98,
                rated_w: 1.5 * rated_w,
            }),
            battery: Battery {
                usable_wh,
                charge_w: 0.5 * usable_wh,
                discharge_w: 0.5 * usable_wh,
                charge_efficiency: 0.98,
                discharge_efficiency: 0.98,
                taper_from_soc: 0.95,
                self_discharge_per_month: 0.02,
                least_charge_c: 0.0,
                place: BatteryPlace::Indoors { room_c: 18.0 },
                initial_soc: 0.2,
            },
        }
    }
}
