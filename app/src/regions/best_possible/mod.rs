//! The best possible: what no controller could beat, what the running rule, the best simple rule and a day-ahead plan reach of it,
//! and the optimum of the day for the chart.

pub(crate) mod words;

use std::sync::Arc;

use couplet_core::coupling::{Running, RunningRule};
use couplet_core::foresight::{Foresight, OptimumDay, Reached};
use leptos::prelude::*;

use super::fold::{Fold, fold_table};
use crate::desk::Desk;
use crate::format;
use crate::inquiry::Inquiry;
use crate::words::running::rule;
use crate::words::{Level, Word};
use crate::work::protocol::{Found, Question, Topic};

/// What is asked about the best possible, and where it is shown.
#[derive(Clone, Copy)]
pub(crate) struct Best {
    open: RwSignal<bool>,
    /// Whether the optimum is to be laid over the day.
    pub(crate) on_day: RwSignal<bool>,
    /// Whether the open option has a battery that passes a meter.
    pub(crate) offered: Memo<bool>,
    /// The optimum of the day at the cursor; none while it is not asked for or not known.
    pub(crate) day: Memo<Option<Arc<OptimumDay>>>,
    desk: Desk,
    inquiry: Inquiry,
}

impl Best {
    /// Asks from now on while the region is open or the optimum lies over the day.
    pub(crate) fn of(desk: Desk, inquiry: Inquiry) -> Self {
        let (open, on_day) = (RwSignal::new(false), RwSignal::new(false));
        let offered = Memo::new(move |_| {
            let storage = desk.option.with(|option| {
                let option = option.as_ref();
                option.is_some_and(|option| !option.storage.is_empty())
            });
            storage && desk.household.with(|household| household.service.utility)
        });
        Effect::new(move |_| {
            let wanted = offered.get() && (open.get() || on_day.get());
            let question = wanted.then(|| Question::Best(desk.option_id.get()));
            inquiry.ask(Topic::Best, question);
        });
        let (known, stale) = (inquiry.known(Topic::Best), inquiry.stale(Topic::Best));
        let day = Memo::new(move |_| {
            let day = desk.cursor.with(|cursor| cursor.day);
            // An optimum of older inputs would lie beside a day that it is not of.
            if !on_day.get() || stale.get() {
                return None;
            }
            known.with(|known| match known.as_ref()?.found.as_ref() {
                Found::Best(found) => found.optimum.day(day).map(Arc::new),
                _ => None,
            })
        });
        Self {
            open,
            on_day,
            offered,
            day,
            desk,
            inquiry,
        }
    }
}

/// The region; it is there where the open option has a battery and a meter.
#[component]
pub(crate) fn BestPossible(best: Best) -> impl IntoView {
    let Best {
        open,
        on_day,
        offered,
        desk,
        inquiry,
        ..
    } = best;
    let known = inquiry.known(Topic::Best);
    let stale = inquiry.stale(Topic::Best);
    let trouble = inquiry.trouble(Topic::Best);
    let share_done = inquiry.share_done(Topic::Best);
    let progress = move || {
        let share = share_done.get().filter(|_| stale.get())?;
        let text = format::percent(share, 0).text();
        Some(view! {
            <p class="fold-note best-progress">
                <progress max="1" prop:value=share aria-label="share computed"></progress>
                {text}
            </p>
        })
    };
    let shown = move || {
        let level = desk.keep.settings.with(|settings| settings.level);
        let id = desk.option_id.get();
        let currency = desk
            .household
            .with(|household| household.tariff.currency.clone());
        let running = desk
            .option
            .with(|option| option.as_ref().map(|option| option.running.clone()));
        known.with(|known| {
            match known.as_ref()?.of(id)?.as_ref() {
                Found::Best(found) => Some(view! {
                    <p class="best-sentence">{words::sentence(found, level)}</p>
                    {fold_table(&words::heads(level), rows(found, level, &currency))}
                    {gap(found, level, &currency)}
                    {simple_rule(desk, found, running.as_ref(), level)}
                    {reserves(found, level, &currency)}
                    <label class="fold-choice">
                        <input type="checkbox" data-action="best-on-day" prop:checked=on_day on:change=move |event| on_day.set(event_target_checked(&event)) />
                        {words::on_day(level)}
                    </label>
                    {simplified(found, level)}
                }),
                _ => None,
            }
        })
    };
    view! {
        <Show when=move || offered.get()>
            <Fold id="best-possible" title=Signal::derive(move || desk.word(Word::Best).to_owned()) open stale>
                <p class="fold-note">{move || desk.word(Word::BestNote)}</p>
                {move || trouble.get().map(|trouble| view! { <p class="note" role="alert">{trouble}</p> })}
                {progress}
                {shown}
            </Fold>
        </Show>
    }
    .into_any()
}

/// Rows of the table: what each way of running costs and saves, and which share of the possible that is.
pub(crate) fn rows(
    found: &Foresight,
    level: Level,
    currency: &str,
) -> Vec<(&'static str, Vec<String>)> {
    let money = |amount_cur| format::money(amount_cur, currency);
    let row = |name: &'static str, reached: Reached| {
        let saved = money(found.without_storage_cur - reached.cost_cur);
        let share = (reached.share).map_or_else(
            || format::NONE.to_owned(),
            |share| format::percent(share, 0).text(),
        );
        (name, vec![money(reached.cost_cur), saved, share])
    };
    let at_best = Reached {
        cost_cur: found.optimum.cost_cur,
        share: found.rule.share.map(|_| 1.0),
    };
    let none = format::NONE.to_owned();
    vec![
        (
            words::WITHOUT,
            vec![money(found.without_storage_cur), none.clone(), none],
        ),
        row(words::RULE, found.rule),
        row(words::simple(level), found.simple.reached),
        row(words::day_ahead(level), found.day_ahead),
        row(words::optimum(level), at_best),
    ]
}

/// How well the optimum is known, where it is known between two numbers only.
fn gap(found: &Foresight, level: Level, currency: &str) -> Option<impl IntoView + use<>> {
    /// Less is not worth a word.
    const CENT: f64 = 0.01;
    let gap_cur = found.optimum.gap_cur;
    (gap_cur >= CENT).then(|| {
        let text = words::gap(&format::money(gap_cur, currency), level);
        view! { <p class="fold-note best-gap">{text}</p> }
    })
}

/// The best simple rule in words, with a button that takes it over.
fn simple_rule(
    desk: Desk,
    found: &Foresight,
    running: Option<&Running>,
    level: Level,
) -> impl IntoView + use<> {
    let simple = &found.simple;
    if running == Some(&simple.running) {
        return view! { <p class="best-rule">{words::rule_is_best(simple.tried, level)}</p> }
            .into_any();
    }
    let (rule, tried) = (rule(&simple.running, running, level), simple.tried);
    let hours = rule
        .hours
        .into_iter()
        .map(|hours| view! { <li>{hours}</li> })
        .collect_view();
    let has_hours = matches!(simple.running.rule, RunningRule::OwnHours { .. });
    let without = (simple.without_new_hours.share)
        .filter(|_| simple.reached != simple.without_new_hours)
        .map(|share| words::without_new_hours(share, level));
    let running = simple.running.clone();
    let take = move |_| {
        let running = running.clone();
        desk.change_option("use the best simple rule", None, |option| {
            option.running = running;
        });
    };
    view! {
        <div class="best-rule">
            <p>{words::simple_is(tried, level)} " " <strong>{rule.head}</strong></p>
            {has_hours.then(|| view! { <ol class="rule-hours">{hours}</ol> })}
            {without.map(|without| view! { <p class="fold-note">{without}</p> })}
            <button type="button" data-action="use-rule" on:click=take>"Use this rule"</button>
        </div>
    }
    .into_any()
}

/// What the best simple rule costs with other reserves.
fn reserves(found: &Foresight, level: Level, currency: &str) -> impl IntoView + use<> {
    let simple = &found.simple;
    let now_cur = simple.reached.cost_cur;
    let rows: Vec<_> = (simple.at_reserves.iter())
        .map(|at| {
            let reserve = format::percent(at.reserve_soc, 0).text();
            let more = format::money_difference(at.cost_cur - now_cur, at.cost_cur);
            (reserve, vec![format::money(at.cost_cur, currency), more])
        })
        .collect();
    view! {
        <details class="best-simplified best-reserves">
            <summary>{words::reserves(level)}</summary>
            {fold_table(&words::reserve_heads(level), rows)}
        </details>
    }
}

fn simplified(found: &Foresight, level: Level) -> impl IntoView + use<> {
    let items = found
        .optimum
        .simplified
        .iter()
        .map(|what| view! { <li>{words::simplified(*what, level)}</li> })
        .collect_view();
    view! {
        <details class="best-simplified">
            <summary>"What was made simpler"</summary>
            <p class="fold-note">{words::direction(level)}</p>
            <ul>{items}</ul>
        </details>
    }
}
