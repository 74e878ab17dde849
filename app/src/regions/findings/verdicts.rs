//! What the findings come to, beside the drawing: how many there are of each verdict, and each that breaks by name.

use couplet_core::findings::{Finding, Verdict};
use leptos::prelude::*;

use super::{Sifting, VERDICTS};
use crate::desk::Desk;
use crate::judged::{Judged, Tally};
use crate::parts::{VerdictMark, verdict_key};
use crate::words::{Word, findings as words};

/// How the open option fits, in a few lines; each leads to the findings that it counts.
#[component]
pub(crate) fn Verdicts(desk: Desk, judged: Judged, sifting: Sifting) -> impl IntoView {
    let lines = move || {
        let found = judged.findings.get()?;
        let tally = Tally::of(found.iter());
        let lines = VERDICTS
            .into_iter()
            .filter(|verdict| tally.count(*verdict) > 0)
            .map(|verdict| line(desk, sifting, verdict, tally.count(verdict), &found))
            .collect_view();
        Some(view! { <ul role="list">{lines}</ul> })
    };
    let known = move || judged.findings.with(Option::is_some);
    view! {
        <section class="verdicts" aria-labelledby="verdicts-title" aria-busy=move || (!known()).to_string()>
            <h2 id="verdicts-title">{move || desk.word(Word::Findings)}</h2>
            {lines}
        </section>
    }
    .into_any()
}

/// One verdict with its count; under it what breaks.
fn line(
    desk: Desk,
    sifting: Sifting,
    verdict: Verdict,
    count: usize,
    found: &[Finding],
) -> AnyView {
    let level = desk.keep.settings.with(|settings| settings.level);
    let named = (verdict == Verdict::Breaks).then(|| {
        let named = found
            .iter()
            .filter(|finding| finding.verdict == verdict)
            .map(|finding| {
                let code = desk.code.get();
                let (part, verdict) = (finding.part, finding.verdict);
                view! {
                    <li>
                        <button type="button" class="quiet" on:click=move |_| sifting.go_to(part, verdict)>
                            {words::wanted(finding, level, code)}
                        </button>
                    </li>
                }
            })
            .collect_view();
        view! { <ul role="list">{named}</ul> }
    });
    view! {
        <li data-state=verdict_key(verdict)>
            <button type="button" class="quiet verdict-count" on:click=move |_| sifting.go_to_all(verdict)>
                <VerdictMark verdict />
                {words::counted(verdict, count)}
            </button>
            {named}
        </li>
    }
    .into_any()
}
