//! Findings, the worst first, each verdict under its own heading; cautions stand with the first finding of what they concern.

use std::collections::BTreeSet;

use couplet_core::findings::{Caution, Finding, Verdict};
use couplet_core::rules::Code;
use leptos::prelude::*;

use super::told::Told;
use crate::parts::ShownUnit;
use crate::words::{Level, findings as words};

/// Verdicts in the order in which they are told, with what is to be done about them.
const VERDICTS: [(Verdict, &str); 4] = [
    (Verdict::Breaks, "To be mended before anything is built."),
    (
        Verdict::Watch,
        "Allowed, with little to spare or under a condition.",
    ),
    (
        Verdict::NotJudged,
        "Something is not known yet. What is not judged is not passed.",
    ),
    (Verdict::Holds, ""),
];

/// The section.
pub(super) fn findings(told: &Told) -> AnyView {
    let Some(findings) = &told.findings else {
        return view! { <p class="note">"Not judged yet: the climate of the place is not known."</p> }
            .into_any();
    };
    let mut cautioned = BTreeSet::new();
    let groups = VERDICTS
        .into_iter()
        .filter_map(|(verdict, about)| {
            let mut of_verdict: Vec<&Finding> = findings
                .iter()
                .filter(|finding| finding.verdict == verdict)
                .collect();
            of_verdict.sort_by_key(|finding| finding.topic);
            let heading = format!(
                "{}: {}",
                words::capital(words::verdict(verdict)),
                of_verdict.len()
            );
            (!of_verdict.is_empty())
                .then(|| group(told, heading, about, &of_verdict, &mut cautioned))
        })
        .collect_view();
    view! {
        <p class="note">{format!("Judged by {}.", told.details.code)}</p>
        {groups}
    }
    .into_any()
}

/// Findings of one verdict.
fn group(
    told: &Told,
    heading: String,
    about: &'static str,
    findings: &[&Finding],
    cautioned: &mut BTreeSet<Caution>,
) -> AnyView {
    let missing = findings.iter().any(|finding| !finding.missing.is_empty());
    let next = if missing {
        "what would settle it"
    } else {
        "what would mend it"
    };
    let with_next = findings
        .iter()
        .any(|finding| !what_next(finding, told.details.code).is_empty());
    let columns = if with_next { "4" } else { "3" };
    let rows = findings
        .iter()
        .map(|finding| {
            let cautions = finding
                .cautions()
                .iter()
                .filter(|caution| cautioned.insert(**caution))
                .map(|caution| {
                    view! {
                        <tr class="report-caution">
                            <td colspan=columns>
                                <strong>"Caution: "</strong>
                                {caution.words(told.details.code)}
                            </td>
                        </tr>
                    }
                })
                .collect_view();
            view! {
                {row(told, finding, with_next)}
                {cautions}
            }
        })
        .collect_view();
    view! {
        <div class="report-block">
            <h3>{heading}</h3>
            {(!about.is_empty()).then(|| view! { <p class="note">{about}</p> })}
            <div class="report-frame">
                <table class="report-table">
                    <thead>
                        <tr>
                            <th scope="col">"part and rule"</th>
                            <th scope="col">"numbers"</th>
                            <th scope="col">"source"</th>
                            {with_next.then(|| view! { <th scope="col">{next}</th> })}
                        </tr>
                    </thead>
                    <tbody>{rows}</tbody>
                </table>
            </div>
        </div>
    }
    .into_any()
}

fn row(told: &Told, finding: &Finding, with_next: bool) -> AnyView {
    let wanted = match told.level {
        Level::Plain => words::wanted(finding, Level::Plain, told.details.code),
        Level::Trade => words::capital(finding.title),
    };
    let assumed = match finding.assumed.as_slice() {
        [] => String::new(),
        assumed => format!(" (generic: {})", assumed.join("; ")),
    };
    view! {
        <tr>
            <td>{format!("{}: {wanted}", told.part(finding.part))}</td>
            <td>
                {format!("{}{assumed}", finding.formula)}
                {measured(told, finding).map(|measured| view! { <p class="report-measured">{measured}</p> })}
            </td>
            <td>
                {unbroken(&words::written(finding.source))}
                <p class="report-id">{finding.id.clone()}</p>
            </td>
            {with_next.then(|| view! { <td>{what_next(finding, told.details.code)}</td> })}
        </tr>
    }
    .into_any()
}

/// A text whose words are not broken, as a clause such as `705.12(B)(1)` would be before a bracket.
fn unbroken(text: &str) -> AnyView {
    text.split(' ')
        .map(|word| view! { <span class="unbroken">{word.to_owned()}</span> " " })
        .collect_view()
        .into_any()
}

/// Value, limit and margin, such as `value 16.3 A, limit 20 A, margin +18.5 %`, where the rule has a number.
fn measured(told: &Told, finding: &Finding) -> Option<String> {
    let (value, limit) = finding.value.zip(finding.limit)?;
    let unit = ShownUnit::of_unit(finding.unit, limit, told.units, "");
    let shown = |value: f64| unit.text_rounded(value);
    let margin = words::margin(finding).map(|margin| format!(", margin {margin}"));
    Some(format!(
        "value {}, limit {}{}",
        shown(value),
        shown(limit),
        margin.unwrap_or_default()
    ))
}

/// What would mend it, or what would have to be known to judge it.
fn what_next(finding: &Finding, code: Code) -> String {
    if finding.missing.is_empty() {
        return words::capital(&finding.remedy);
    }
    let missing: Vec<&str> = finding
        .missing
        .iter()
        .map(|missing| missing.words(code))
        .collect();
    words::capital(&missing.join("; "))
}
