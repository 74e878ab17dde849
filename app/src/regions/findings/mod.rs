//! Does it fit: every finding of the open option, by part, what breaks first.

mod names;
mod one;
mod sifting;
mod verdicts;

pub(crate) use names::part_name;
pub(crate) use sifting::Sifting;
pub(crate) use verdicts::Verdicts;

use std::collections::{BTreeSet, HashSet};
use std::mem::{Discriminant, discriminant};

use couplet_core::drawing::Part;
use couplet_core::findings::{Caution, Finding, Verdict};
use leptos::prelude::*;

use crate::desk::Desk;
use crate::judged::{Judged, Tally};
use crate::parts::{Choice, VerdictMark, verdict_key};
use crate::words::{Word, findings as words};

/// In the order in which they are told.
const VERDICTS: [Verdict; 4] = [
    Verdict::Breaks,
    Verdict::Watch,
    Verdict::Holds,
    Verdict::NotJudged,
];

/// Every finding of the open option.
#[component]
pub(crate) fn Findings(desk: Desk, judged: Judged, sifting: Sifting) -> impl IntoView {
    let tally = Memo::new(move |_| {
        let part = sifting.part.get();
        judged.findings.with(|findings| {
            let findings = findings.iter().flat_map(|findings| findings.iter());
            Tally::of(findings.filter(|finding| part.is_none_or(|part| finding.part == part)))
        })
    });
    let known = Memo::new(move |_| judged.findings.with(Option::is_some));
    let code = move || desk.code.get().to_string();
    let spoken = Memo::new(move |_| {
        if !known.get() {
            return String::new();
        }
        let tally = tally.get();
        VERDICTS
            .map(|verdict| words::counted(verdict, tally.count(verdict)))
            .join(", ")
    });
    let toggles = VERDICTS.map(|verdict| {
        let pressed = move || sifting.shows(verdict).to_string();
        view! {
            <button
                type="button"
                class="verdict-toggle"
                data-state=verdict_key(verdict)
                aria-pressed=pressed
                on:click=move |_| sifting.toggle(verdict)
            >
                <VerdictMark verdict />
                {move || words::counted(verdict, tally.get().count(verdict))}
            </button>
        }
    });
    view! {
        <section
            id="findings"
            class="findings"
            aria-labelledby="findings-title"
            aria-busy=move || (!known.get()).to_string()
        >
            <div class="findings-head">
                <h2 id="findings-title" tabindex="-1">{move || desk.word(Word::Findings)}</h2>
                <p class="note">
                    "judged by "
                    <a href="#electrical-code">{code}</a>
                </p>
            </div>
            <p class="note">{move || desk.word(Word::FindingsNote)}</p>
            <div class="findings-sieve">
                <div class="verdict-toggles" role="group" aria-label="Show findings that">
                    {toggles}
                </div>
                <PartChoice desk judged sifting />
            </div>
            <p class="spoken" role="status">{spoken}</p>
            <List desk judged sifting />
        </section>
    }
    .into_any()
}

/// Which part's findings are shown.
#[component]
fn PartChoice(desk: Desk, judged: Judged, sifting: Sifting) -> impl IntoView {
    let parts = Memo::new(move |_| {
        judged
            .tallies
            .with(|tallies| tallies.keys().copied().collect::<Vec<_>>())
    });
    let items = Signal::derive(move || {
        let mut items = vec![("all parts".to_owned(), true)];
        let option = desk.option.get();
        desk.household.with(|household| {
            items.extend(parts.with(|parts| {
                parts
                    .iter()
                    .map(|part| (part_name(household, option.as_deref(), *part), true))
                    .collect::<Vec<_>>()
            }));
        });
        items
    });
    let chosen = Memo::new(move |_| {
        let part = sifting.part.get();
        parts.with(|parts| {
            let found = part.and_then(|part| parts.iter().position(|other| *other == part));
            Some(found.map_or(0, |index| index + 1))
        })
    });
    view! {
        <Choice
            id="findings-part".to_owned()
            label="part"
            items=items
            chosen=chosen
            on_change=Callback::new(move |index: usize| {
                let part = index
                    .checked_sub(1)
                    .and_then(|index| parts.with_untracked(|parts| parts.get(index).copied()));
                sifting.show_part(part);
            })
        />
    }
    .into_any()
}

/// What passes the sieve, by part: the part with the worst verdict first, and the worst of each part first.
#[component]
fn List(desk: Desk, judged: Judged, sifting: Sifting) -> impl IntoView {
    let list = move || {
        let Some(findings) = judged.findings.get() else {
            return view! { <p class="note">"Judged as soon as the climate of the place is known."</p> }.into_any();
        };
        let shown: Vec<&Finding> = findings
            .iter()
            .filter(|finding| sifting.passes(finding))
            .collect();
        if shown.is_empty() {
            return view! { <p class="findings-none">{sifting.nothing(&findings)}</p> }.into_any();
        }
        let mut cautioned = HashSet::new();
        let groups = by_part(&shown)
            .into_iter()
            .map(|(part, findings)| group(desk, part, &findings, &mut cautioned))
            .collect_view();
        // What is sifted out is worked on as well.
        let told: BTreeSet<Caution> = cautioned.into_iter().map(|(caution, _)| caution).collect();
        let others: BTreeSet<Caution> = (findings.iter())
            .flat_map(|finding| finding.cautions())
            .copied()
            .filter(|caution| !told.contains(caution))
            .collect();
        let others = (!others.is_empty()).then(|| {
            let words = others
                .into_iter()
                .map(|one| caution(desk, one))
                .collect_view();
            view! {
                <section class="findings-cautions">
                    <h3>"Whoever works on it"</h3>
                    {words}
                </section>
            }
        });
        view! { {groups} {others} }.into_any()
    };
    view! { <div class="findings-list">{list}</div> }.into_any()
}

/// Findings of each part, the worst first.
fn by_part<'a>(findings: &[&'a Finding]) -> Vec<(Part, Vec<&'a Finding>)> {
    let parts: BTreeSet<Part> = findings.iter().map(|finding| finding.part).collect();
    let mut groups: Vec<(Part, Vec<&Finding>)> = parts
        .into_iter()
        .map(|part| {
            let mut of_part: Vec<_> = findings
                .iter()
                .copied()
                .filter(|finding| finding.part == part)
                .collect();
            of_part.sort_by_key(|finding| (finding.verdict, finding.topic));
            (part, of_part)
        })
        .collect();
    groups.sort_by_key(|(part, findings)| (findings.first().map(|first| first.verdict), *part));
    groups
}

fn caution(desk: Desk, caution: Caution) -> AnyView {
    let words = caution.words(desk.code.get());
    view! { <p class="caution">{words}</p> }.into_any()
}

/// The findings of a part under its name. A caution stands at the first part of each kind that it concerns.
fn group(
    desk: Desk,
    part: Part,
    findings: &[&Finding],
    cautioned: &mut HashSet<(Caution, Discriminant<Part>)>,
) -> AnyView {
    let name = desk.household.with(|household| {
        desk.option
            .with(|option| part_name(household, option.as_deref(), part))
    });
    let tally = Tally::of(findings.iter().copied());
    let counts: Vec<_> = VERDICTS
        .into_iter()
        .filter(|verdict| tally.count(*verdict) > 0)
        .map(|verdict| words::counted(verdict, tally.count(verdict)))
        .collect();
    let cautions: Vec<_> = findings
        .iter()
        .flat_map(|finding| finding.cautions())
        .filter(|caution| cautioned.insert((**caution, discriminant(&part))))
        .map(|one| caution(desk, *one))
        .collect();
    let rows: Vec<_> = findings
        .iter()
        .map(|finding| one::one(desk, finding))
        .collect();
    view! {
        <section class="findings-part">
            <h3>
                <button type="button" class="quiet" title="Show its schedule" on:click=move |_| desk.select(part)>
                    {name}
                </button>
                <span class="note">{counts.join(", ")}</span>
            </h3>
            {cautions}
            <ul role="list">{rows}</ul>
        </section>
    }
    .into_any()
}
