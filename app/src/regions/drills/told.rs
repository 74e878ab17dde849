//! A drill in words, for where it is told and not played.

use std::sync::Arc;

use couplet_core::coupling::CouplingOption;
use couplet_core::island::Drill;

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
    /// What happened: the clock, how it weighs, and the sentence.
    pub(crate) events: Vec<(String, &'static str, String)>,
    /// How many events there were in all.
    pub(crate) all_events: usize,
}

/// What was found, in words; none if it is no drill.
pub(crate) fn told(
    option: &CouplingOption,
    found: &Arc<Found>,
    level: Level,
    units: UnitSystem,
    most_events: usize,
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
        events: run
            .events
            .iter()
            .take(most_events)
            .map(|event| {
                (
                    words::clock(from_s, event.at_s),
                    words::weight(event.what).attribute(),
                    words::said(event.what, names, level),
                )
            })
            .collect(),
        all_events: run.events.len() + run.events_left_out as usize,
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
