//! Plays the day: moves the cursor by itself from midnight to midnight.

use std::time::Duration;

use leptos::leptos_dom::helpers::IntervalHandle;
use leptos::prelude::*;

/// A day passes in about this time.
const DAY: Duration = Duration::from_secs(16);

/// Starts and pauses the playing of a day. Where less motion is asked for, the cursor moves by whole hours, one a second.
#[component]
pub(crate) fn PlayButton(
    step: Memo<u32>,
    steps: Memo<u32>,
    step_min: Memo<f64>,
    go: Callback<u32>,
) -> impl IntoView {
    let timer = StoredValue::new_local(None::<IntervalHandle>);
    let playing = RwSignal::new(false);
    let stop = move || {
        if let Some(timer) = timer.try_update_value(Option::take).flatten() {
            timer.clear();
        }
        let _ = playing.try_set(false);
    };
    on_cleanup(stop);
    let advance = move |stride: u32| {
        let (Some(at), Some(steps)) = (step.try_get_untracked(), steps.try_get_untracked()) else {
            return stop();
        };
        let next = at.saturating_add(stride);
        if next < steps {
            go.run(next);
        } else {
            stop();
        }
    };
    let toggle = move |_| {
        if playing.get_untracked() {
            return stop();
        }
        let count = steps.get_untracked().max(1);
        let (stride, pause) = if less_motion() {
            let per_hour = super::step_at(60, step_min.get_untracked(), u32::MAX).max(1);
            (per_hour, Duration::from_secs(1))
        } else {
            (1, DAY / count)
        };
        if step.get_untracked() + stride >= count {
            go.run(0);
        }
        if let Ok(handle) = set_interval_with_handle(move || advance(stride), pause) {
            timer.set_value(Some(handle));
            playing.set(true);
        }
    };
    view! {
        <button type="button" class="day-play" on:click=toggle>
            {move || if playing.get() { "Pause" } else { "Play the day" }}
        </button>
    }
}

fn less_motion() -> bool {
    let query = web_sys::window().and_then(|window| {
        window
            .match_media("(prefers-reduced-motion: reduce)")
            .ok()
            .flatten()
    });
    query.is_some_and(|query| query.matches())
}
