//! Which findings are shown.

use couplet_core::drawing::Part;
use couplet_core::findings::{Finding, Verdict};
use leptos::prelude::*;

use super::VERDICTS;
use crate::judged::{Judged, Tally};
use crate::parts::{focus, verdict_key};
use crate::words::findings as words;

/// Which findings are shown: of these verdicts, of this part.
#[derive(Clone, Copy)]
pub(crate) struct Sifting {
    verdicts: RwSignal<Vec<Verdict>>,
    /// The part that was asked for; another option may not have it.
    asked: RwSignal<Option<Part>>,
    /// The part whose findings are shown; none: all parts'.
    pub(super) part: Memo<Option<Part>>,
}

impl Sifting {
    /// What breaks and what is to be watched, of all parts.
    pub(crate) fn of(judged: Judged) -> Self {
        let asked = RwSignal::new(None::<Part>);
        Self {
            verdicts: RwSignal::new(vec![Verdict::Breaks, Verdict::Watch]),
            asked,
            part: Memo::new(move |_| {
                let part = asked.get()?;
                judged
                    .tallies
                    .with(|tallies| tallies.contains_key(&part))
                    .then_some(part)
            }),
        }
    }

    /// Shows the findings of a part, or of all.
    pub(super) fn show_part(self, part: Option<Part>) {
        self.asked.set(part);
    }

    /// Whether findings of this verdict are shown.
    pub(super) fn shows(self, verdict: Verdict) -> bool {
        self.verdicts.with(|verdicts| verdicts.contains(&verdict))
    }

    /// Shows findings of this verdict, or leaves them out.
    pub(super) fn toggle(self, verdict: Verdict) {
        self.verdicts.update(|verdicts| {
            let before = verdicts.len();
            verdicts.retain(|other| *other != verdict);
            if verdicts.len() == before {
                verdicts.push(verdict);
            }
        });
    }

    /// Whether a finding is shown.
    pub(super) fn passes(self, finding: &Finding) -> bool {
        self.shows(finding.verdict) && self.part.get().is_none_or(|part| finding.part == part)
    }

    /// What to say where nothing passes.
    pub(super) fn nothing(self, findings: &[Finding]) -> String {
        let part = self.part.get();
        let tally = Tally::of(
            findings
                .iter()
                .filter(|finding| part.is_none_or(|part| finding.part == part)),
        );
        let others: Vec<_> = VERDICTS
            .into_iter()
            .filter(|verdict| tally.count(*verdict) > 0)
            .map(|verdict| words::counted(verdict, tally.count(verdict)))
            .collect();
        match (tally.breaks + tally.watch, others.is_empty()) {
            (_, true) => "Nothing is judged here.".to_owned(),
            (0, false) => format!(
                "Nothing breaks, nothing is to be watched: {}.",
                others.join(", ")
            ),
            _ => format!("Not shown: {}.", others.join(", ")),
        }
    }

    /// Shows the findings of a part, those of its worst verdict at least, and goes to the first.
    pub(crate) fn go_to(self, part: Part, worst: Verdict) {
        self.show(Some(part), worst);
        go_to_first(".findings-list .finding".to_owned());
    }

    /// Shows the findings of a verdict, of all parts, and goes to the first of them.
    pub(super) fn go_to_all(self, verdict: Verdict) {
        self.show(None, verdict);
        let key = verdict_key(verdict);
        go_to_first(format!(".findings-list .finding[data-state={key}]"));
    }

    fn show(self, part: Option<Part>, verdict: Verdict) {
        self.asked.set(part);
        self.verdicts.update(|verdicts| {
            if !verdicts.contains(&verdict) {
                verdicts.push(verdict);
            }
        });
    }
}

/// Moves to the first finding that matches, as soon as the list stands.
fn go_to_first(selector: String) {
    request_animation_frame(move || {
        let first = document()
            .query_selector(&selector)
            .ok()
            .flatten()
            .map(|element| element.id());
        focus(first.as_deref().unwrap_or("findings-title"));
    });
}
