//! A drill in words, for where it is told and not played.

use std::sync::Arc;

use couplet_core::coupling::CouplingOption;
use couplet_core::island::{Drill, recurrences};

use super::words::{self, Names};
use super::{Shown, advice, figures};
use crate::format;
use crate::keep::UnitSystem;
use crate::words::Level;
use crate::work::protocol::Found;

/// A drill in words.
pub(crate) struct Told {
    /// When it began, how long it was and what came of it.
    pub(crate) head: String,
    /// Its figures.
    pub(crate) figures: Vec<(&'static str, String)>,
    /// What would mend what went wrong.
    pub(crate) advice: Vec<String>,
    /// What happened: the clock, how it weighs, and the sentence. Alike events that recur are one line.
    pub(crate) events: Vec<(String, &'static str, String)>,
    /// How many events came after those that are kept.
    pub(crate) events_left_out: u32,
}

/// What was found, in words; none if it is no drill.
pub(crate) fn told(
    option: &CouplingOption,
    found: &Arc<Found>,
    level: Level,
    units: UnitSystem,
) -> Option<Told> {
    let Found::Drill(drill) = found.as_ref() else {
        return None;
    };
    let names = Names::of(option, &drill.inverters, &drill.units, &drill.loads);
    let shown = Shown {
        found: Arc::clone(found),
        names: Arc::new(names),
    };
    let names = &shown.names;
    let from_s = drill.case.from_h * 3600.0;
    let run = &drill.run;
    Some(Told {
        head: head(drill),
        figures: figures::rows(&shown, level, units),
        advice: drill
            .advice
            .iter()
            .map(|one| advice::said(*one, names, level))
            .collect(),
        events: recurrences(&run.events)
            .iter()
            .map(|told| {
                (
                    words::clock(from_s, told.from_s),
                    words::weight(told.what).attribute(),
                    words::said_of(told, names, level, from_s),
                )
            })
            .collect(),
        events_left_out: run.events_left_out,
    })
}

/// When a drill begins, and in one line what comes of it.
pub(super) fn head(drill: &Drill) -> String {
    let figures = &drill.run.figures;
    let begins = format!(
        "{}, {}, for {}",
        format::date(drill.case.day),
        words::clock(drill.case.from_h * 3600.0, 0.0),
        words::span(figures.length_s)
    );
    let outcome = match (figures.dark_times, figures.back_s) {
        (0, _) => "never dark".to_owned(),
        (_, Some(_)) => format!(
            "dark for {} in all, and back by itself",
            words::span(figures.dark_s)
        ),
        (_, None) => format!(
            "dark for {}, not back by itself",
            words::span(figures.dark_s)
        ),
    };
    format!("{begins}: {outcome}.")
}
