//! What a drill says in words: its events, the names of what takes part, times within it.

use couplet_core::coupling::CouplingOption;
use couplet_core::household::{PvInverterId, StorageId};
use couplet_core::island::{Happening, PvTrip, Recurrence, UnitDown};

use crate::format;
use crate::words::Level;

/// Names of what takes part in a drill, in the order in which its events count them.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Names {
    pub(super) inverters: Vec<String>,
    pub(super) units: Vec<String>,
    pub(super) loads: Vec<String>,
}

impl Names {
    pub(super) fn of(
        option: &CouplingOption,
        inverters: &[PvInverterId],
        units: &[StorageId],
        loads: &[String],
    ) -> Self {
        Self {
            inverters: inverters
                .iter()
                .map(|id| {
                    option
                        .pv_inverter(*id)
                        .map_or_else(|| "PV inverter".to_owned(), |one| one.name.clone())
                })
                .collect(),
            units: units
                .iter()
                .map(|id| {
                    option
                        .storage_unit(*id)
                        .map_or_else(|| "Storage".to_owned(), |unit| unit.name.clone())
                })
                .collect(),
            loads: loads.to_vec(),
        }
    }
}

fn name(names: &[String], number: usize) -> &str {
    names.get(number).map_or("", String::as_str)
}

/// How an event is drawn and listed: what is only told, what is to be watched, what breaks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Weight {
    Told,
    Watch,
    Breaks,
}

impl Weight {
    pub(super) fn attribute(self) -> &'static str {
        match self {
            Self::Told => "told",
            Self::Watch => "watch",
            Self::Breaks => "breaks",
        }
    }
}

pub(super) fn weight(what: Happening) -> Weight {
    match what {
        Happening::BusDark | Happening::UnitWentDown(..) | Happening::GeneratorOverloaded => {
            Weight::Breaks
        }
        Happening::PvTripped(..) | Happening::LoadShed(_) | Happening::ContactorOpened(_) => {
            Weight::Watch
        }
        _ => Weight::Told,
    }
}

/// A few words for a mark on the chart.
pub(super) fn short(what: Happening) -> &'static str {
    match what {
        Happening::LoadStarted(..) => "start",
        Happening::LoadDropped(_) => "loads fall",
        Happening::CloudEdge(change_w) if change_w < 0.0 => "cloud",
        Happening::CloudEdge(_) => "sun",
        Happening::LoadShed(_) => "shed",
        Happening::LoadBack(_) => "load back",
        Happening::BatteryFull(_) => "full",
        Happening::HoldingBack => "held back",
        Happening::HoldingEnded => "free again",
        Happening::PvTripped(..) => "trip",
        Happening::PvBack(_) => "PV back",
        Happening::ContactorOpened(_) => "contactor opens",
        Happening::ContactorClosed(_) => "contactor closes",
        Happening::UnitWentDown(..) => "storage down",
        Happening::UnitUp(_) => "storage up",
        Happening::BusDark => "dark",
        Happening::BusLive => "live",
        Happening::GeneratorStarted => "generator on",
        Happening::GeneratorStopped => "generator off",
        Happening::GeneratorOverloaded => "generator overloaded",
        Happening::GridBack => "grid back",
        Happening::GridJoined => "joined",
    }
}

/// A sentence for the list of events.
pub(super) fn said(what: Happening, names: &Names, level: Level) -> String {
    let power = |power_w: f64| format::power(power_w.abs()).text();
    let plain = level == Level::Plain;
    match what {
        Happening::LoadStarted(load, power_w) => format!(
            "{} starts, {} on top of what runs",
            name(&names.loads, load),
            power(power_w)
        ),
        Happening::LoadDropped(power_w) => format!("Loads fall at once by {}", power(power_w)),
        Happening::CloudEdge(change_w) if change_w < 0.0 => {
            format!("A cloud takes {} of sun", power(change_w))
        }
        Happening::CloudEdge(change_w) => {
            format!("The sun comes out and brings {}", power(change_w))
        }
        Happening::LoadShed(load) => {
            format!(
                "{} is switched off to save the rest",
                name(&names.loads, load)
            )
        }
        Happening::LoadBack(load) => format!("{} is switched on again", name(&names.loads, load)),
        Happening::BatteryFull(unit) => format!("{} is full", name(&names.units, unit)),
        Happening::HoldingBack if plain => {
            "More sun than the house and the battery can take: it is held back".to_owned()
        }
        Happening::HoldingBack => {
            "AC PV exceeds loads and charge limits and is held back from here".to_owned()
        }
        Happening::HoldingEnded => "Nothing is held back any more".to_owned(),
        Happening::PvTripped(inverter, trip) => {
            let inverter = name(&names.inverters, inverter);
            match (trip, plain) {
                (PvTrip::OverFrequency, true) => {
                    format!("{inverter} switches itself off: frequency too high")
                }
                (PvTrip::UnderFrequency, true) => {
                    format!("{inverter} switches itself off: frequency too low")
                }
                (PvTrip::OverFrequency, false) => format!("{inverter} trips on over-frequency"),
                (PvTrip::UnderFrequency, false) => format!("{inverter} trips on under-frequency"),
            }
        }
        Happening::PvBack(inverter) => format!(
            "{} comes back after its wait",
            name(&names.inverters, inverter)
        ),
        Happening::ContactorOpened(inverter) => format!(
            "The contactor before {} opens",
            name(&names.inverters, inverter)
        ),
        Happening::ContactorClosed(inverter) => format!(
            "The contactor before {} closes",
            name(&names.inverters, inverter)
        ),
        Happening::UnitWentDown(unit, why) => {
            let unit = name(&names.units, unit);
            match why {
                UnitDown::Empty => format!("{unit} shuts down: its battery is at its lowest"),
                UnitDown::InverterOverload => {
                    format!("{unit} shuts down: its inverter is overloaded")
                }
                UnitDown::BatteryOverload => {
                    format!("{unit} disconnects: its battery is overloaded")
                }
            }
        }
        Happening::UnitUp(unit) => format!("{} is up again", name(&names.units, unit)),
        Happening::BusDark => "Everything backed up goes dark".to_owned(),
        Happening::BusLive => "The backed-up side is live again".to_owned(),
        Happening::GeneratorStarted => "The generator takes the loads".to_owned(),
        Happening::GeneratorStopped => "The generator stops".to_owned(),
        Happening::GeneratorOverloaded => {
            "The generator cannot carry the loads and stops".to_owned()
        }
        Happening::GridBack => "The grid is back".to_owned(),
        Happening::GridJoined => "The backed-up side is joined with the grid again".to_owned(),
    }
}

/// A sentence for an event, or for a run of alike ones.
pub(super) fn said_of(told: &Recurrence, names: &Names, level: Level, from_s: f64) -> String {
    if !told.recurs() {
        return said(told.what, names, level);
    }
    let power = |power_w: f64| format::power(power_w.abs()).text();
    let load = |number| name(&names.loads, number);
    let inverter = |number| name(&names.inverters, number);
    let unit = |number| name(&names.units, number);
    // What it does, and what undoes it.
    let (does, undoes) = match told.what {
        Happening::LoadStarted(number, power_w) => (
            format!(
                "{} starts, up to {} on top of what runs,",
                load(number),
                power(power_w)
            ),
            "",
        ),
        Happening::LoadDropped(power_w) => (
            format!("Loads fall at once, by up to {},", power(power_w)),
            "",
        ),
        Happening::CloudEdge(power_w) => (
            format!("Clouds come, each taking up to {} of sun,", power(power_w)),
            "pass",
        ),
        Happening::LoadShed(number) | Happening::LoadBack(number) => (
            format!("{} is switched off to save the rest", load(number)),
            "on again",
        ),
        Happening::BatteryFull(number) => (format!("{} is full", unit(number)), ""),
        Happening::HoldingBack | Happening::HoldingEnded => (
            match level {
                Level::Plain => "More sun than the house and the battery can take is held back",
                Level::Trade => "AC PV exceeds loads and charge limits and is held back",
            }
            .to_owned(),
            "set free again",
        ),
        Happening::PvTripped(number, why) => (
            match (why, level) {
                (PvTrip::OverFrequency, Level::Plain) => {
                    format!(
                        "{} switches itself off, frequency too high,",
                        inverter(number)
                    )
                }
                (PvTrip::UnderFrequency, Level::Plain) => {
                    format!(
                        "{} switches itself off, frequency too low,",
                        inverter(number)
                    )
                }
                (PvTrip::OverFrequency, Level::Trade) => {
                    format!("{} trips on over-frequency", inverter(number))
                }
                (PvTrip::UnderFrequency, Level::Trade) => {
                    format!("{} trips on under-frequency", inverter(number))
                }
            },
            "comes back",
        ),
        Happening::PvBack(number) => (inverter(number).to_owned(), "comes back"),
        Happening::ContactorOpened(number) | Happening::ContactorClosed(number) => (
            format!("The contactor before {} opens", inverter(number)),
            "closes",
        ),
        Happening::UnitWentDown(number, why) => (
            match why {
                UnitDown::Empty => {
                    format!("{} shuts down, its battery at its lowest,", unit(number))
                }
                UnitDown::InverterOverload => {
                    format!("{} shuts down, its inverter overloaded,", unit(number))
                }
                UnitDown::BatteryOverload => {
                    format!("{} disconnects, its battery overloaded,", unit(number))
                }
            },
            "is up again",
        ),
        Happening::UnitUp(number) => (unit(number).to_owned(), "is up again"),
        Happening::BusDark | Happening::BusLive => {
            ("Everything backed up goes dark".to_owned(), "is live again")
        }
        Happening::GeneratorStarted | Happening::GeneratorStopped => {
            ("The generator takes the loads".to_owned(), "stops")
        }
        Happening::GeneratorOverloaded => (
            "The generator cannot carry the loads and stops".to_owned(),
            "",
        ),
        Happening::GridBack => ("The grid is back".to_owned(), ""),
        Happening::GridJoined => (
            "The backed-up side is joined with the grid again".to_owned(),
            "",
        ),
    };
    let times = |count: u32| format!("{count}\u{a0}times");
    let course = match (told.times, told.undone) {
        (count, 0) => format!("{does} {}", times(count)),
        (0, count) => format!("{does} {undoes} {}", times(count)),
        (one, other) if one == other => format!("{does} and {undoes} {}", times(one)),
        (one, other) => format!("{does} {} and {undoes} {}", times(one), times(other)),
    };
    format!(
        "{course} between {} and {}",
        minute(from_s, told.from_s),
        minute(from_s, told.until_s)
    )
}

/// The clock to the minute.
fn minute(from_s: f64, at_s: f64) -> String {
    let clock = clock(from_s, at_s);
    match (clock.get(..5), clock.get(8..)) {
        (Some(minute), Some(day)) => format!("{minute}{day}"),
        _ => clock,
    }
}

/// The clock at a second of a drill that begins at `from_s` seconds after midnight; on later days with the number of days.
pub(super) fn clock(from_s: f64, at_s: f64) -> String {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a drill lasts days"
    )]
    let second = (from_s + at_s).max(0.0) as u64;
    let (day, second) = (second / 86_400, second % 86_400);
    let clock = format!(
        "{:02}:{:02}:{:02}",
        second / 3600,
        second / 60 % 60,
        second % 60
    );
    match day {
        0 => clock,
        _ => format!("{clock} +{day}\u{a0}d"),
    }
}

/// A time span in the unit that reads well.
pub(super) fn span(length_s: f64) -> String {
    if length_s <= 0.0 {
        "none".to_owned()
    } else if length_s < 60.0 {
        format!(
            "{}\u{a0}s",
            format::number(length_s, u8::from(length_s < 10.0))
        )
    } else if length_s < 2.0 * 3600.0 {
        format!("{}\u{a0}min", format::number(length_s / 60.0, 0))
    } else {
        format!("{}\u{a0}h", format::number(length_s / 3600.0, 1))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_recurs_is_counted_and_says_from_when_to_when() {
        let names = Names {
            inverters: vec!["Garage inverter".to_owned()],
            ..Names::default()
        };
        let told = Recurrence {
            from_s: 240.0,
            until_s: 13_920.0,
            what: Happening::PvTripped(0, PvTrip::OverFrequency),
            times: 37,
            undone: 37,
        };
        assert_eq!(
            said_of(&told, &names, Level::Trade, 11.0 * 3600.0),
            "Garage inverter trips on over-frequency and comes back 37\u{a0}times between 11:04 and 14:52"
        );
        let told = Recurrence { undone: 36, ..told };
        assert_eq!(
            said_of(&told, &names, Level::Plain, 11.0 * 3600.0),
            "Garage inverter switches itself off, frequency too high, 37\u{a0}times and comes back 36\u{a0}times between 11:04 and 14:52"
        );
    }

    #[test]
    fn the_clock_goes_on_over_midnight() {
        assert_eq!(clock(12.0 * 3600.0, 61.0), "12:01:01");
        assert_eq!(clock(23.0 * 3600.0, 7_200.0), "01:00:00 +1\u{a0}d");
    }

    #[test]
    fn what_breaks_weighs_more_than_what_is_told() {
        assert!(weight(Happening::BusDark) > weight(Happening::LoadShed(0)));
        assert!(weight(Happening::LoadShed(0)) > weight(Happening::BatteryFull(0)));
    }

    #[test]
    fn a_trip_is_said_in_both_wordings() {
        let names = Names {
            inverters: vec!["South".to_owned()],
            ..Names::default()
        };
        let trip = Happening::PvTripped(0, PvTrip::OverFrequency);
        assert_eq!(
            said(trip, &names, Level::Trade),
            "South trips on over-frequency"
        );
        assert!(said(trip, &names, Level::Plain).starts_with("South switches itself off"));
    }
}
