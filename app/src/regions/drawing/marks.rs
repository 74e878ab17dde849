//! The worst verdict of each part as a mark beside it; choosing it leads to the part's findings.

use std::sync::Arc;

use couplet_core::drawing::{Part, Reach, Sheet};
use couplet_core::findings::Verdict;
use leptos::ev;
use leptos::prelude::*;

use super::table::Table;
use crate::judged::Tally;
use crate::parts::{outline, verdict_key};
use crate::words::findings as words;

/// Side of what a pointer can hit, in units of the sheet.
const TARGET: f64 = 32.0;

/// Marks of all parts that have findings.
pub(super) fn marks(table: Table, sheet: &Arc<Sheet>) -> AnyView {
    let marks: Vec<_> = sheet
        .reaches
        .iter()
        .map(|reach| mark(table, reach))
        .collect();
    view! { <g class="marks">{marks}</g> }.into_any()
}

/// The mark of a part.
fn mark(table: Table, reach: &Reach) -> AnyView {
    let part = reach.part;
    let place = format!("translate({} {})", reach.mark.x, reach.mark.y);
    let tally = Memo::new(move |_| table.tallies.with(|tallies| tallies.get(&part).copied()));
    let drawn = move || {
        let tally = tally.get()?;
        let worst = tally.worst();
        let (shape, sign) = outline(worst);
        let follow = move || table.on_mark.run((part, worst));
        let key = move |event: ev::KeyboardEvent| {
            if matches!(event.key().as_str(), "Enter" | " ") {
                event.prevent_default();
                follow();
            }
        };
        let half = -0.5 * TARGET;
        Some(view! {
            <g
                class="mark"
                data-state=verdict_key(worst)
                data-mark=part.key()
                transform=place.clone()
                role="link"
                tabindex="0"
                aria-label=move || label(table, part, tally)
                on:click=move |_| follow()
                on:keydown=key
            >
                <rect class="mark-target" x=half y=half width=TARGET height=TARGET />
                <path class="shape" d=shape />
                <path class="sign" d=sign />
            </g>
        })
    };
    drawn.into_any()
}

/// What a screen reader says of a mark.
fn label(table: Table, part: Part, tally: Tally) -> String {
    let counts: Vec<_> = [
        Verdict::Breaks,
        Verdict::Watch,
        Verdict::NotJudged,
        Verdict::Holds,
    ]
    .into_iter()
    .filter(|verdict| tally.count(*verdict) > 0)
    .map(|verdict| words::counted(verdict, tally.count(verdict)))
    .collect();
    let name = table.household.with(|household| {
        table
            .option
            .with(|option| crate::regions::findings::part_name(household, Some(option), part))
    });
    format!("Findings of {name}: {}", counts.join(", "))
}
