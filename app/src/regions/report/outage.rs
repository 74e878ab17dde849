//! The drill that was run last.

use leptos::prelude::*;

use super::table::{Head, figures, table_under, under};
use super::told::Told;
use crate::regions::drills;
use crate::work::protocol::Found;
use Head::Words;

/// Events that are told; a drill that cycles has hundreds of the same.
const MOST_EVENTS: usize = 40;

/// The section; none if no drill was run on this option.
pub(super) fn drill(told: &Told) -> Option<AnyView> {
    let found = told.drill.as_ref()?;
    let picture = match found.as_ref() {
        Found::Drill(drill) => Some(drills::still(drill)),
        _ => None,
    };
    let drill = drills::told(&told.option, found, told.level, told.units, MOST_EVENTS)?;
    let advice = (!drill.advice.is_empty()).then(|| {
        let sentences = drill
            .advice
            .into_iter()
            .map(|sentence| view! { <li>{sentence}</li> })
            .collect_view();
        view! { <ul>{sentences}</ul> }.into_any()
    });
    let left_out = drill.all_events.saturating_sub(drill.events.len());
    let rest = (left_out > 0).then(|| {
        view! { <p class="note">{format!("{left_out} further events are not told here.")}</p> }
    });
    let rows = drill
        .events
        .into_iter()
        .map(|(clock, weight, said)| {
            let mark = match weight {
                "breaks" => "\u{25b3}",
                "watch" => "\u{25cb}",
                _ => "",
            };
            vec![clock, mark.to_owned(), said]
        })
        .collect();
    Some(
        view! {
            <p class="strong-words">{drill.head}</p>
            {picture}
            {figures(drill.figures.into_iter().map(|(name, figure)| (name.to_owned(), figure)))}
            {under("What would mend it", advice)}
            {table_under("What happened", &[Words("clock"), Words(""), Words("event")], rows)}
            {rest}
        }
        .into_any(),
    )
}
