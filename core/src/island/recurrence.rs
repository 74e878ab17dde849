//! What happened, with alike events that recur told once: a PV inverter that trips and comes back all day is one line, not hundreds.

use super::pv::PvTrip;
use super::record::{Happening, IslandEvent};
use super::unit::UnitDown;

/// Alike events further apart than this are told apart, s.
const APART_S: f64 = 7_200.0;
/// Most times for which each event is told on its own.
const MOST_ALONE: u32 = 3;

/// One event, or a run of alike ones.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Recurrence {
    /// Time of the first from the start of the run, s.
    pub from_s: f64,
    /// Time of the last, s.
    pub until_s: f64,
    /// What happened; of powers the largest.
    pub what: Happening,
    /// How many times it happened.
    pub times: u32,
    /// How many times what undoes it happened: coming back after a trip, the sun after a cloud.
    pub undone: u32,
}

impl Recurrence {
    /// Whether it stands for more than one event.
    #[must_use]
    pub fn recurs(&self) -> bool {
        self.times + self.undone > 1
    }
}

/// Every event once, in order; alike ones that recur more than a few times within hours of each other as one, at the first of them.
#[must_use]
pub fn recurrences(events: &[IslandEvent]) -> Vec<Recurrence> {
    let mut runs: Vec<(Kind, Vec<&IslandEvent>)> = Vec::new();
    let mut trips: Vec<(usize, PvTrip)> = Vec::new();
    let mut falls: Vec<(usize, UnitDown)> = Vec::new();
    for event in events {
        let kind = Kind::of(event.what, &mut trips, &mut falls);
        let open = runs.iter_mut().rev().find(|(other, _)| *other == kind);
        match open {
            Some((_, run))
                if run
                    .last()
                    .is_some_and(|last| event.at_s - last.at_s <= APART_S) =>
            {
                run.push(event);
            }
            _ => runs.push((kind, vec![event])),
        }
    }
    let mut told: Vec<Recurrence> = runs.iter().flat_map(|(_, run)| of_run(run)).collect();
    told.sort_by(|one, other| one.from_s.total_cmp(&other.from_s));
    told
}

fn of_run(run: &[&IslandEvent]) -> Vec<Recurrence> {
    let count = |undoing: bool| {
        run.iter()
            .filter(|event| undoes(event.what) == undoing)
            .count()
    };
    let [times, undone] =
        [count(false), count(true)].map(|count| u32::try_from(count).unwrap_or(u32::MAX));
    let alone = |event: &IslandEvent| Recurrence {
        from_s: event.at_s,
        until_s: event.at_s,
        what: event.what,
        times: 1,
        undone: 0,
    };
    let (Some(first), Some(last)) = (run.first(), run.last()) else {
        return Vec::new();
    };
    if times.max(undone) <= MOST_ALONE {
        return run.iter().map(|event| alone(event)).collect();
    }
    let what = run
        .iter()
        .map(|event| event.what)
        .filter(|what| !undoes(*what) || times == 0)
        .reduce(larger)
        .unwrap_or(first.what);
    vec![Recurrence {
        from_s: first.at_s,
        until_s: last.at_s,
        what,
        times,
        undone,
    }]
}

/// What is told together. What undoes something is of its kind.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Kind {
    Start(usize),
    Drop,
    Cloud,
    Shed(usize),
    Full(usize),
    Holding,
    Trip(usize, Option<PvTrip>),
    Contactor(usize),
    Down(usize, Option<UnitDown>),
    Dark,
    Generator,
    Overload,
    GridBack,
    GridJoined,
}

impl Kind {
    /// The kind of an event; a coming back is of the last trip or fall of its device, which is kept in `trips` and `falls`.
    fn of(
        what: Happening,
        trips: &mut Vec<(usize, PvTrip)>,
        falls: &mut Vec<(usize, UnitDown)>,
    ) -> Self {
        match what {
            Happening::LoadStarted(load, _) => Self::Start(load),
            Happening::LoadDropped(_) => Self::Drop,
            Happening::CloudEdge(_) => Self::Cloud,
            Happening::LoadShed(load) | Happening::LoadBack(load) => Self::Shed(load),
            Happening::BatteryFull(unit) => Self::Full(unit),
            Happening::HoldingBack | Happening::HoldingEnded => Self::Holding,
            Happening::PvTripped(inverter, why) => {
                keep(trips, inverter, why);
                Self::Trip(inverter, Some(why))
            }
            Happening::PvBack(inverter) => Self::Trip(inverter, kept(trips, inverter)),
            Happening::ContactorOpened(inverter) | Happening::ContactorClosed(inverter) => {
                Self::Contactor(inverter)
            }
            Happening::UnitWentDown(unit, why) => {
                keep(falls, unit, why);
                Self::Down(unit, Some(why))
            }
            Happening::UnitUp(unit) => Self::Down(unit, kept(falls, unit)),
            Happening::BusDark | Happening::BusLive => Self::Dark,
            Happening::GeneratorStarted | Happening::GeneratorStopped => Self::Generator,
            Happening::GeneratorOverloaded => Self::Overload,
            Happening::GridBack => Self::GridBack,
            Happening::GridJoined => Self::GridJoined,
        }
    }
}

fn keep<T>(all: &mut Vec<(usize, T)>, number: usize, why: T) {
    all.retain(|(other, _)| *other != number);
    all.push((number, why));
}

fn kept<T: Copy>(all: &[(usize, T)], number: usize) -> Option<T> {
    all.iter()
        .find(|(other, _)| *other == number)
        .map(|(_, why)| *why)
}

/// Whether it undoes another event of its kind.
fn undoes(what: Happening) -> bool {
    match what {
        Happening::CloudEdge(change_w) => change_w >= 0.0,
        Happening::LoadBack(_)
        | Happening::HoldingEnded
        | Happening::PvBack(_)
        | Happening::ContactorClosed(_)
        | Happening::UnitUp(_)
        | Happening::BusLive
        | Happening::GeneratorStopped => true,
        _ => false,
    }
}

/// The one of more power; the first where powers do not tell.
fn larger(one: Happening, other: Happening) -> Happening {
    let power_w = |what| match what {
        Happening::LoadStarted(_, power_w)
        | Happening::LoadDropped(power_w)
        | Happening::CloudEdge(power_w) => libm::fabs(power_w),
        _ => 0.0,
    };
    if power_w(other) > power_w(one) {
        other
    } else {
        one
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn event(at_s: f64, what: Happening) -> IslandEvent {
        IslandEvent { at_s, what }
    }

    #[test]
    fn an_inverter_that_cycles_is_one_line_and_what_happens_once_its_own() {
        let trip = Happening::PvTripped(0, PvTrip::OverFrequency);
        let mut events: Vec<IslandEvent> = (0..37)
            .flat_map(|cycle| {
                let at_s = 600.0 + 305.0 * f64::from(cycle);
                [event(at_s, trip), event(at_s + 300.0, Happening::PvBack(0))]
            })
            .collect();
        events.push(event(20_000.0, Happening::BusDark));
        let told = recurrences(&events);
        assert_eq!(
            told,
            [
                Recurrence {
                    from_s: 600.0,
                    until_s: 600.0 + 305.0 * 36.0 + 300.0,
                    what: trip,
                    times: 37,
                    undone: 37,
                },
                Recurrence {
                    from_s: 20_000.0,
                    until_s: 20_000.0,
                    what: Happening::BusDark,
                    times: 1,
                    undone: 0,
                },
            ]
        );
    }

    #[test]
    fn few_alike_events_are_told_one_by_one_and_those_of_another_day_apart() {
        let drop = |at_s, power_w| event(at_s, Happening::LoadDropped(power_w));
        let few: Vec<_> = (0..3).map(|at| drop(f64::from(at), 500.0)).collect();
        assert_eq!(recurrences(&few).len(), 3);
        let two_days: Vec<_> = [0.0, 86_400.0]
            .into_iter()
            .flat_map(|day_s| {
                (0..5).map(move |at| drop(day_s + f64::from(at), 100.0 * f64::from(at)))
            })
            .collect();
        let told = recurrences(&two_days);
        assert_eq!(told.len(), 2);
        assert_eq!(told[1].from_s, 86_400.0);
        // The largest stands for all.
        assert_eq!(told[1].what, Happening::LoadDropped(400.0));
    }
}
