//! Findings, the worst first.

use couplet_core::findings::Finding;
use leptos::prelude::*;

use super::table::{Head, table};
use super::told::Told;
use crate::words::{Level, findings as words};
use Head::Words;

/// The section.
pub(super) fn findings(told: &Told) -> AnyView {
    let Some(findings) = &told.findings else {
        return view! { <p class="note">"Not judged yet: the climate of the place is not known."</p> }
            .into_any();
    };
    let mut sorted: Vec<&Finding> = findings.iter().collect();
    sorted.sort_by_key(|finding| (finding.verdict, finding.topic));
    let rows = sorted
        .into_iter()
        .map(|finding| {
            let missing: Vec<&str> = finding
                .missing
                .iter()
                .map(|missing| missing.words())
                .collect();
            let next = match (missing.is_empty(), finding.remedy.as_str()) {
                (false, _) => format!("would settle it: {}", missing.join("; ")),
                (true, remedy) => remedy.to_owned(),
            };
            let wanted = match told.level {
                Level::Plain => words::wanted(finding, Level::Plain),
                Level::Trade => words::capital(finding.title),
            };
            let assumed = match finding.assumed.as_slice() {
                [] => String::new(),
                assumed => format!(" (generic: {})", assumed.join("; ")),
            };
            vec![
                words::verdict(finding.verdict).to_owned(),
                format!("{}: {wanted}", told.part(finding.part)),
                format!("{}{assumed}", finding.formula),
                finding.source.to_string(),
                next,
            ]
        })
        .collect();
    view! {
        <p class="note">{format!("Judged by {}. What is not judged is not passed.", told.details.code)}</p>
        {table(
            &[
                Words("verdict"),
                Words("part and rule"),
                Words("numbers"),
                Words("source"),
                Words("what would mend or settle it"),
            ],
            rows,
        )}
    }
    .into_any()
}
