//! Devices that follow the air temperature switch on and off where their least power is more than what is asked for.

use super::path::seconds;
use crate::household::DeviceKind;
use crate::maths::Random;

/// Demand is met in means of this length, s.
const CYCLE_S: usize = 1_800;

/// Least power of a variable-speed compressor over its rated power.
///
/// Common practice: 0.2 to 0.4.
const LEAST_SHARE: f64 = 0.4;

/// Lets a heat pump or an air conditioner cycle; all other devices switch by the clock already.
///
/// - `power_w`: demand in steps of 1 s, W
///
/// Each half-hour keeps its energy. While demand stays above the least power the device follows it.
pub(super) fn let_cycle(kind: &DeviceKind, power_w: &mut [f64], random: &mut Random) {
    let (DeviceKind::HeatPump {
        power_w: rated_w, ..
    }
    | DeviceKind::AirConditioner {
        power_w: rated_w, ..
    }) = kind
    else {
        return;
    };
    let least_w = LEAST_SHARE * rated_w;
    for cycle_w in power_w.chunks_mut(CYCLE_S) {
        let place = random.share();
        let energy_ws: f64 = cycle_w.iter().sum();
        if energy_ws <= 0.0 || cycle_w.iter().all(|demand_w| *demand_w >= least_w) {
            continue;
        }
        let on_w = cycle_w
            .iter()
            .fold(least_w, |most, demand_w| most.max(*demand_w));
        let on_s = energy_ws / on_w;
        let from_s = (place * (seconds(cycle_w.len()) - on_s)).max(0.0).floor();
        for (index, power_w) in cycle_w.iter_mut().enumerate() {
            *power_w = on_w * (from_s + on_s - seconds(index)).clamp(0.0, 1.0);
            if seconds(index) < from_s {
                *power_w = 0.0;
            }
        }
    }
}
