//! The mark of a verdict: a shape of its own for each, with a sign in it, so that colour is never alone.

use couplet_core::findings::Verdict;
use leptos::prelude::*;

/// What a verdict is called in markup.
pub(crate) fn verdict_key(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Breaks => "breaks",
        Verdict::Watch => "watch",
        Verdict::NotJudged => "open",
        Verdict::Holds => "holds",
    }
}

/// The shape about (0, 0), eight units to each side, and the sign in it.
pub(crate) fn outline(verdict: Verdict) -> (&'static str, &'static str) {
    match verdict {
        Verdict::Breaks => ("M0-8.5L9 7H-9Z", "M0-3.5V2M0 3.6V5.2"),
        Verdict::Watch => ("M-8 0A8 8 0 1 1 8 0A8 8 0 1 1-8 0Z", "M0-4.5V1.5M0 3.2V4.8"),
        Verdict::NotJudged => (
            "M0-8.5L8.5 0L0 8.5L-8.5 0Z",
            "M-2-1.8A2 2 0 1 1 1.2-.4Q0 .4 0 1.4M0 3.2V4.6",
        ),
        Verdict::Holds => ("M-7-7H7V7H-7Z", "M-3.6.2L-1 3L3.8-3"),
    }
}

/// The mark of a verdict beside its word.
#[component]
pub(crate) fn VerdictMark(verdict: Verdict) -> impl IntoView {
    let (shape, sign) = outline(verdict);
    view! {
        <svg class="verdict-mark" data-state=verdict_key(verdict) viewBox="-10 -10 20 20" aria-hidden="true">
            <path class="shape" d=shape />
            <path class="sign" d=sign />
        </svg>
    }
    .into_any()
}
