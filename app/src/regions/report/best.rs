//! The best possible: what no controller could beat, and which share of it the running rule reaches.

use couplet_core::coupling::Running;
use couplet_core::foresight::Foresight;
use leptos::prelude::*;

use super::asked;
use super::table::{figures_under, table, under};
use super::told::Told;
use crate::inquiry::Inquiry;
use crate::regions::best_possible::{rows, words};
use crate::words::running::rule;
use crate::words::{Level, Word};
use crate::work::protocol::{Found, Topic};

/// The section; none without a battery or without a meter.
pub(super) fn best(told: &Told, inquiry: Inquiry) -> Option<AnyView> {
    if !told.household.service.utility || told.option.storage.is_empty() {
        return None;
    }
    let level = told.level;
    let currency = told.currency().to_owned();
    let running = told.option.running.clone();
    Some(asked::when_known(
        inquiry,
        Topic::Best,
        told.option.id,
        move |found| match found {
            Found::Best(found) => Some(shown(found, level, &currency, &running)),
            _ => None,
        },
    ))
}

fn shown(found: &Foresight, level: Level, currency: &str, running: &Running) -> AnyView {
    let heads = figures_under(words::heads(level));
    let rows = rows(found, level, currency)
        .into_iter()
        .map(|(name, cells)| std::iter::once(name.to_owned()).chain(cells).collect())
        .collect();
    let simple = &found.simple;
    let rule = if *running == simple.running {
        words::rule_is_best(simple.tried, level)
    } else {
        let rule = rule(&simple.running, Some(running), level).line();
        format!("{} {rule}.", words::simple_is(simple.tried, level))
    };
    let simplified = found
        .optimum
        .simplified
        .iter()
        .map(|what| view! { <li>{words::simplified(*what, level)}</li> })
        .collect_view();
    let simplified = view! {
        <p>{words::direction(level)}</p>
        <ul>{simplified}</ul>
    };
    view! {
        <p class="strong-words">{words::sentence(found, level)}</p>
        <p>{Word::BestNote.at(level)}</p>
        {table(&heads, rows)}
        <p>{rule}</p>
        {under("What was made simpler", Some(simplified.into_any()))}
    }
    .into_any()
}
