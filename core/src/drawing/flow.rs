//! Which power a wire carries, read from the trace of a day.

use crate::household::{AcSide, ArrayId, DeviceId, PvInverterId, StorageId};
use crate::year::DayTrace;

/// The power that a wire carries.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum FlowKey {
    /// DC power taken from an array.
    Array(ArrayId),
    /// AC power of a PV inverter.
    PvInverter(PvInverterId),
    /// AC power of a storage inverter, positive toward AC.
    StorageAc(StorageId),
    /// Power between a DC bus and its storage inverter, positive toward the inverter.
    StorageDc(StorageId),
    /// Power of a battery at its DC bus, positive when it gives.
    Battery(StorageId),
    /// Base use on one side.
    Base(AcSide),
    /// A device.
    Device(DeviceId),
    /// Through the transfer switch, positive toward the backed-up bus.
    Transfer,
    /// Through the meter, positive when bought.
    Meter,
    /// Power of the generator.
    Generator,
}

/// Power of `key` in a step of the day, W; none if the trace has no such part or step.
#[must_use]
pub fn flow_w(trace: &DayTrace, key: FlowKey, step: usize) -> Option<f64> {
    let at = |series: &[f64]| series.get(step).copied();
    let unit = |id| trace.storage.iter().find(|unit| unit.id == id);
    match key {
        FlowKey::Array(id) => trace
            .arrays
            .iter()
            .find(|array| array.id == id)
            .and_then(|array| at(&array.taken_w)),
        FlowKey::PvInverter(id) => trace
            .pv_inverters
            .iter()
            .find(|inverter| inverter.id == id)
            .and_then(|inverter| at(&inverter.ac_w)),
        FlowKey::StorageAc(id) => unit(id).and_then(|unit| at(&unit.ac_w)),
        // The DC bus closes: what battery and arrays give goes to the inverter.
        FlowKey::StorageDc(id) => {
            unit(id).and_then(|unit| Some(at(&unit.battery_w)? + at(&unit.dc_pv_w)?))
        }
        FlowKey::Battery(id) => unit(id).and_then(|unit| at(&unit.battery_w)),
        FlowKey::Base(AcSide::GridSide) => at(&trace.base_grid_side_w),
        FlowKey::Base(AcSide::BackedUp) => at(&trace.base_backed_up_w),
        FlowKey::Device(id) => trace
            .devices
            .iter()
            .find(|device| device.id == id)
            .and_then(|device| at(&device.power_w)),
        FlowKey::Transfer => at(&trace.transfer_w),
        FlowKey::Generator => at(&trace.generator_w),
        FlowKey::Meter => Some(at(&trace.import_w)? - at(&trace.export_w)?),
    }
}

/// State of charge of a storage unit at the end of a step, 0 to 1; none if the trace has no such unit or step.
#[must_use]
pub fn state_of_charge(trace: &DayTrace, id: StorageId, step: usize) -> Option<f64> {
    trace
        .storage
        .iter()
        .find(|unit| unit.id == id)
        .and_then(|unit| unit.soc.get(step).copied())
}

/// Least power that counts as flowing, W: below it a number with two digits after the mark would read 0.00 kW.
pub const LEAST_SHOWN_W: f64 = 5.0;

/// Width of a line that carries this power, in units of the sheet: it grows with the square root of the power, so that
/// a house's standby and a car's charging can both be read.
#[must_use]
pub fn line_width(power_w: f64) -> f64 {
    let power_w = libm::fabs(power_w);
    if power_w >= LEAST_SHOWN_W {
        (1.3 + 1.5 * libm::sqrt(power_w / 1000.0)).min(7.5)
    } else {
        0.9
    }
}
