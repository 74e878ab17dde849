//! What would mend what went wrong, in words.

use couplet_core::island::Advice;

use super::words::{self, Names};
use crate::format;
use crate::words::Level;

/// One piece of advice as a sentence.
pub(super) fn said(advice: Advice, names: &Names, level: Level) -> String {
    let power = |power_w: f64| format::power(power_w).text();
    let inverter = |number: usize| names.inverters.get(number).cloned().unwrap_or_default();
    let unit = |number: usize| names.units.get(number).cloned().unwrap_or_default();
    let plain = level == Level::Plain;
    match advice {
        Advice::DroopFloor {
            inverter: number,
            floor_w,
            sink_w,
            slope_per_hz,
            droop,
        } => {
            let name = inverter(number);
            let (floor, sink) = (power(floor_w), power(sink_w));
            let what = match (plain, names.inverters.len()) {
                (true, ..=1) => format!(
                    "{name} cannot be turned down below {floor} by frequency, and the house and the battery took only {sink}."
                ),
                (true, _) => format!(
                    "{name} gave up: by frequency all PV inverters together cannot be turned down below {floor}, and the house and the battery took only {sink}."
                ),
                (false, ..=1) => format!(
                    "{name} trips before its droop gets below {floor}; loads and charge limits leave {sink}."
                ),
                (false, _) => format!(
                    "{name} trips before the droops of all PV inverters together get below {floor}; loads and charge limits leave {sink}."
                ),
            };
            let mend = match (slope_per_hz, droop) {
                (Some(slope), Some(droop)) => format!(
                    " A droop of {} ({} for each hertz) would reach it before the nearer trip; or join it on DC, or let the storage inverter command it in an outage.",
                    format::percent(droop, 1).text(),
                    format::percent(slope, 0).text()
                ),
                _ => " No slope reaches it before the trip: join it on DC, let the storage inverter command it in an outage, or give the battery more charging power."
                    .to_owned(),
            };
            what + &mend
        }
        Advice::AllOrNothing {
            inverter: number,
            trips,
        } => format!(
            "{} knows only all or nothing: it dropped {trips} times. An inverter with a droop, or one that the storage inverter commands, or DC would end that.",
            inverter(number)
        ),
        Advice::RiseTooLow { rise_hz, needed_hz } => format!(
            "The storage inverter raises frequency by no more than {}\u{a0}Hz; {}\u{a0}Hz would be needed to hold the sun back far enough.",
            format::number(rise_hz, 2),
            format::number(needed_hz, 2)
        ),
        Advice::MorePvThanStorage { pv_w, storage_w } => format!(
            "{} of PV inverters stand against {} of storage inverters: when loads fall away, all of it comes back to them. Keep PV on the backed-up side to no more than the storage inverters, or join it on DC.",
            power(pv_w),
            power(storage_w)
        ),
        Advice::InverterTooSmall {
            unit: number,
            asked_w,
            rated_w,
            surge_w,
        } => format!(
            "{} was asked for {}; it is rated for {} and bears {} for a moment. A larger inverter, a softer start, or fewer backed-up loads would carry it.",
            unit(number),
            power(asked_w),
            power(rated_w),
            power(surge_w)
        ),
        Advice::BatteryPressed {
            unit: number,
            over_w,
        } => format!(
            "The battery of {} bore {} beyond its limits for too long. A larger battery or charging power, or less PV on its side, would help.",
            unit(number),
            power(over_w)
        ),
        Advice::NothingLiftsTheBattery if plain => {
            "The battery ran empty, and nothing can start it again: sun on AC needs a live wire first. Put an array on DC or add a generator."
                .to_owned()
        }
        Advice::NothingLiftsTheBattery => {
            "The battery reached its floor and only AC PV stands, which needs a live bus. Join an array on DC or add a generator for the restart."
                .to_owned()
        }
        Advice::CameBack { after_s } => format!(
            "It came back by itself {} after it went dark. More storage or fewer backed-up loads would carry it through.",
            words::span(after_s)
        ),
        Advice::NothingHoldsTheBus => {
            "No storage stands on the backed-up side: nothing holds it when the grid is gone.".to_owned()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_dead_end_is_said_with_both_ways_out() {
        for level in [Level::Plain, Level::Trade] {
            let said = said(Advice::NothingLiftsTheBattery, &Names::default(), level);
            assert!(said.contains("DC") && said.contains("generator"), "{said}");
        }
    }
}
