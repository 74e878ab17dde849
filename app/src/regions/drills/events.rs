//! The list of what happened in a drill; choosing an event moves the cursor of the page to it.

use leptos::prelude::*;

use super::{Shown, words};
use crate::desk::Desk;

/// Events that are listed; a drill that cycles has hundreds of the same.
const MOST_LISTED: usize = 400;

/// The list.
#[component]
pub(super) fn Events(
    desk: Desk,
    shown: Memo<Option<Shown>>,
    span: RwSignal<usize>,
    go: Callback<usize>,
) -> impl IntoView {
    let items = move || {
        let level = desk.keep.settings.with(|settings| settings.level);
        shown.with(|shown| {
            let shown = shown.as_ref()?;
            let drill = shown.drill()?;
            let run = &drill.run;
            let span_s = run.trace.span_s.max(1e-9);
            Some(
                run.events
                    .iter()
                    .take(MOST_LISTED)
                    .map(|event| {
                        #[expect(
                            clippy::cast_possible_truncation,
                            clippy::cast_sign_loss,
                            reason = "a span of the trace"
                        )]
                        let of_event = (event.at_s / span_s).max(0.0) as usize;
                        let clock = words::clock(drill.case.from_h * 3600.0, event.at_s);
                        let said = words::said(event.what, &shown.names, level);
                        let state = words::weight(event.what).attribute();
                        view! {
                            <li>
                                <button
                                    type="button"
                                    class="quiet drill-event"
                                    data-state=state
                                    aria-current=move || (span.get() == of_event).then_some("true")
                                    on:click=move |_| go.run(of_event)
                                >
                                    <time>{clock}</time>
                                    <span>{said}</span>
                                </button>
                            </li>
                        }
                    })
                    .collect_view(),
            )
        })
    };
    let heading = move || {
        shown.with(|shown| {
            let run = shown.as_ref()?.run()?;
            let kept = run.events.len();
            let all = kept + run.events_left_out as usize;
            Some(match all {
                0 => "Nothing happens".to_owned(),
                1 => "One event".to_owned(),
                _ if all > MOST_LISTED.min(kept) => {
                    format!("{all} events, the first {}", MOST_LISTED.min(kept))
                }
                _ => format!("{all} events"),
            })
        })
    };
    view! {
        <h3 class="label">{heading}</h3>
        <ol class="drill-events">{items}</ol>
    }
    .into_any()
}
