//! Load of a home with diversity, as it is assessed where the IEC is followed.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What the final circuits of a home connect, besides the household's devices.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HomeCircuits {
    /// Lighting, W.
    pub lighting_w: f64,
    /// Direct electric heating and other appliances fastened in place, W.
    pub heating_w: f64,
    /// Hob and oven, W.
    pub cooking_w: f64,
    /// Whether the cooker's switch has a socket beside it.
    pub cooking_socket: bool,
    /// Water heaters that heat as it flows, showers among them.
    pub instant_heaters: u32,
    /// Power of each of them, W.
    pub instant_heater_w: f64,
    /// Water heaters with a thermostat and storage heaters, W.
    pub stored_heat_w: f64,
    /// Circuits of sockets.
    pub socket_circuits: u32,
    /// Rating of the device of each of them, A.
    pub socket_device_a: f64,
}

/// What one kind of circuit asks for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DemandPart {
    /// The kind in words.
    pub what: &'static str,
    /// What is connected, W.
    pub connected_w: f64,
    /// What of it is taken to run together, W.
    pub demand_w: f64,
}

/// Voltage at which the table's amperes are counted, V.
const LINE_V: f64 = 230.0;

impl HomeCircuits {
    /// What each kind of circuit asks for, in the order of the table:
    ///
    /// - lighting 66 %
    /// - heating and power: whole to 10 A, half beyond
    /// - cooking: whole to 10 A, 30 % beyond, and 5 A for a socket beside the switch
    /// - instantaneous water heaters: the largest two whole, 25 % of all others
    /// - water heaters with a thermostat, storage heaters: whole
    /// - circuits of sockets: the largest whole, 40 % of all others
    ///
    /// Source: IEC 60364-1, 311 asks that maximum demand be assessed and permits diversity; the factors are the usual on-site table for
    /// one household of the guides to BS 7671 (common practice, from memory).
    #[must_use]
    pub fn demand(&self) -> [DemandPart; 6] {
        const TEN_A_W: f64 = 10.0 * LINE_V;
        const SOCKET_W: f64 = 5.0 * LINE_V;
        let beyond = |connected_w: f64, share: f64| {
            connected_w.min(TEN_A_W) + share * (connected_w - TEN_A_W).max(0.0)
        };
        let of_count = |count: u32, whole: u32, share: f64| {
            f64::from(count.min(whole)) + share * f64::from(count.saturating_sub(whole))
        };
        let part = |what, connected_w, demand_w| DemandPart {
            what,
            connected_w,
            demand_w,
        };
        let socket_w = LINE_V * self.socket_device_a;
        [
            part("lighting", self.lighting_w, 0.66 * self.lighting_w),
            part("heating", self.heating_w, beyond(self.heating_w, 0.5)),
            part(
                "cooking",
                self.cooking_w,
                beyond(self.cooking_w, 0.3) + if self.cooking_socket { SOCKET_W } else { 0.0 },
            ),
            part(
                "instant water heaters",
                f64::from(self.instant_heaters) * self.instant_heater_w,
                of_count(self.instant_heaters, 2, 0.25) * self.instant_heater_w,
            ),
            part("stored heat", self.stored_heat_w, self.stored_heat_w),
            part(
                "sockets",
                f64::from(self.socket_circuits) * socket_w,
                of_count(self.socket_circuits, 1, 0.4) * socket_w,
            ),
        ]
    }

    /// What all circuits ask for together, W.
    #[must_use]
    pub fn demand_w(&self) -> f64 {
        self.demand().iter().map(|part| part.demand_w).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 12 kW of cooking with a socket: 2300 W + 0.3 × 9700 W + 1150 W = 6360 W. Three showers of 8 kW: 2 × 8 + 0.25 × 8 = 18 kW. Four
    /// circuits of 16 A: 3680 W × (1 + 0.4 × 3) = 8096 W.
    #[test]
    fn not_everything_runs_together() {
        let home = HomeCircuits {
            lighting_w: 1000.0,
            heating_w: 2300.0,
            cooking_w: 12_000.0,
            cooking_socket: true,
            instant_heaters: 3,
            instant_heater_w: 8000.0,
            stored_heat_w: 3000.0,
            socket_circuits: 4,
            socket_device_a: 16.0,
        };
        let demand = home.demand().map(|part| part.demand_w);
        for (found_w, expected_w) in demand
            .iter()
            .zip([660.0, 2300.0, 6360.0, 18_000.0, 3000.0, 8096.0])
        {
            assert!(
                (found_w - expected_w).abs() < 1e-9,
                "{found_w} {expected_w}"
            );
        }
    }
}
