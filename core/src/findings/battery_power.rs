//! The most power that can flow between a battery and its inverter.

use super::finding::figure;
use crate::converter::LossLaw;
use crate::coupling::{CouplingOption, StorageUnit};

/// Most power of a battery circuit, and where it comes from.
pub(super) struct BatteryPower {
    /// Power, W.
    pub(super) most_w: f64,
    /// How it comes about, such as `5000 W of the inverter / 0.95 = 5263 W`.
    pub(super) words: String,
}

impl BatteryPower {
    /// The more of what is drawn and what is charged: each is the lesser of the battery's own limit and of what is joined to it. Drawn is
    /// what the inverter takes at its rating; charged is what it gives at its rating, with what the MPPT inputs give if an array is on
    /// them. Without a loss law of the inverter the battery's limits stand alone.
    ///
    /// Source: NEC 706.30(A), the nameplate current of the system, or of its inverter at rated power and lowest voltage (from memory).
    pub(super) fn of(option: &CouplingOption, unit: &StorageUnit) -> Self {
        let (battery, inverter) = (&unit.battery, &unit.inverter);
        let law = LossLaw::fit(&inverter.efficiency, inverter.rated_w).ok();
        let rated = figure(inverter.rated_w, 0);
        let joined = |power_w: f64, how: String| Self {
            most_w: power_w,
            words: format!("{how} = {} W", figure(power_w, 0)),
        };
        let drawn = law.map(|law| {
            let power_w = law.dc_w(inverter.rated_w);
            let efficiency = figure(inverter.rated_w / power_w, 3);
            joined(power_w, format!("{rated} W of the inverter / {efficiency}"))
        });
        let inputs_w = (unit.mppt.as_ref())
            .filter(|_| option.arrays_on_unit(unit.id).next().is_some())
            .map(|mppt| mppt.rated_w);
        let charged = law.map(|law| {
            let power_w = -law.dc_w(-inverter.rated_w);
            let efficiency = figure(power_w / inverter.rated_w, 3);
            let inverter = format!("{rated} W of the inverter × {efficiency}");
            match inputs_w {
                Some(inputs_w) => joined(
                    power_w + inputs_w,
                    format!("{} W of the MPPT inputs + {inverter}", figure(inputs_w, 0)),
                ),
                None => joined(power_w, inverter),
            }
        });
        let lesser = |own_w: f64, name: &str, joined: Option<Self>| match joined {
            Some(joined) if joined.most_w < own_w => Self {
                words: format!(
                    "{}, less than the {} W that the battery {name}",
                    joined.words,
                    figure(own_w, 0)
                ),
                ..joined
            },
            _ => Self {
                most_w: own_w,
                words: format!("{} W that the battery {name}", figure(own_w, 0)),
            },
        };
        let drawn = lesser(battery.discharge_w, "gives", drawn);
        let charged = lesser(battery.charge_w, "takes", charged);
        match charged.most_w > drawn.most_w {
            true => charged,
            false => drawn,
        }
    }
}
