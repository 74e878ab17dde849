//! One finding: verdict, what the rule wants, its numbers and where it is written, what would mend or settle it.

use couplet_core::findings::{Finding, Missing};
use leptos::prelude::*;

use crate::desk::Desk;
use crate::parts::{ShownUnit, VerdictMark, go_to_field, verdict_key};
use crate::regions::schedules::field_of_problem;
use crate::words::{Level, findings as words};

/// The id of a finding's element in the page.
fn element_id(finding: &Finding) -> String {
    format!("finding-{}", finding.id.replace('/', "-"))
}

/// One finding.
pub(super) fn one(desk: Desk, finding: &Finding) -> AnyView {
    let level = desk.keep.settings.with(|settings| settings.level);
    let remedy = (!finding.remedy.is_empty()).then(|| {
        let remedy = words::capital(&finding.remedy);
        view! { <p class="finding-remedy">{remedy}"."</p> }
    });
    let code = desk.code.get();
    let trade = (level == Level::Trade).then(|| numbers(desk, finding));
    view! {
        <li class="finding" id=element_id(finding) tabindex="-1" data-state=verdict_key(finding.verdict)>
            <p class="finding-head">
                <VerdictMark verdict=finding.verdict />
                <b class="finding-verdict">{words::verdict(finding.verdict)}</b>
                <span class="finding-wanted">{words::wanted(finding, level, code)}</span>
                <span class="finding-standing">{words::standing(finding)}</span>
            </p>
            {trade}
            {remedy}
            {waits_for(desk, finding)}
        </li>
    }
    .into_any()
}

/// The rule with the household's numbers, value against limit, where it is written, and what it rests on.
fn numbers(desk: Desk, finding: &Finding) -> AnyView {
    let system = desk.keep.settings.with(|settings| settings.units);
    let shown = |value: f64| {
        let size = finding.limit.unwrap_or(value);
        let unit = ShownUnit::of_unit(finding.unit, size, system, "");
        unit.text_rounded(value)
    };
    let measured = finding.value.zip(finding.limit).map(|(value, limit)| {
        let margin = words::margin(finding).map(|margin| {
            view! {
                <dt>"margin"</dt>
                <dd>{margin}</dd>
            }
        });
        view! {
            <dt>"value"</dt>
            <dd>{shown(value)}</dd>
            <dt>"limit"</dt>
            <dd>{shown(limit)}</dd>
            {margin}
        }
    });
    let assumed = (!finding.assumed.is_empty()).then(|| {
        let assumed = finding.assumed.join("; ");
        view! {
            <dt>"generic or estimated"</dt>
            <dd>{assumed}</dd>
        }
    });
    view! {
        <p class="finding-formula">{finding.formula.clone()}</p>
        <dl class="finding-numbers">
            {measured}
            <dt>"source"</dt>
            <dd>{words::written(finding.source)}</dd>
            <dt>"finding"</dt>
            <dd class="finding-id">{finding.id.clone()}</dd>
            {assumed}
        </dl>
    }
    .into_any()
}

/// What would settle a finding that is not judged, each with the way to its field.
fn waits_for(desk: Desk, finding: &Finding) -> Option<AnyView> {
    if finding.missing.is_empty() {
        return None;
    }
    let links: Vec<_> = finding
        .missing
        .iter()
        .map(|missing| view! { <li>{settle(desk, finding, *missing)}</li> })
        .collect();
    Some(
        view! {
            <div class="finding-open">
                <p>"Would settle it:"</p>
                <ul>{links}</ul>
            </div>
        }
        .into_any(),
    )
}

/// What is missing, as a link to the field that takes it, where there is one.
fn settle(desk: Desk, finding: &Finding, missing: Missing) -> AnyView {
    let words = missing.words(desk.code.get());
    let field = desk.household.with(|household| {
        let option = desk.option.get()?;
        let path = finding.settled_at(missing, household, &option)?;
        field_of_problem(&path, household)
    });
    match field {
        Some(field) => {
            let id = field.id.clone();
            view! {
                <a
                    href=format!("#{}", field.id)
                    on:click=move |event| {
                        event.prevent_default();
                        go_to_field(&id);
                    }
                >
                    {words}
                </a>
            }
            .into_any()
        }
        None => words.into_any(),
    }
}
