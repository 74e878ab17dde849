//! Which array joins where, and how much storage: every way tried, ranked, drawn against each other, with the reason for each place.

mod picture;
mod words;

use std::sync::Arc;

use couplet_core::adviser::{Outcome, Wants, arrays_tried, frontier, ranked, reasons};
use couplet_core::coupling::CouplingOption;
use couplet_core::outage::LONGEST_OUTAGE_H;
use leptos::prelude::*;

use super::fold::Fold;
use crate::advising::{Advising, Asked};
use crate::desk::Desk;
use crate::parts::number_typed;
use crate::words::Word;

/// Rows of the table.
const MOST_ROWS: usize = 12;

/// Hours that can be asked for.
const HOURS: [u16; 9] = [0, 2, 4, 8, 12, 24, 48, 72, LONGEST_OUTAGE_H];

/// What the reader asks of the ways, and which one is looked at.
#[derive(Clone, Copy)]
struct Asking {
    hours: RwSignal<u16>,
    most_cost: RwSignal<String>,
    chosen: RwSignal<Option<usize>>,
}

impl Asking {
    /// What may be bought at most, currency; none: nothing is typed, or it is no amount.
    fn most_first_cur(self) -> Option<f64> {
        let typed = self.most_cost.get();
        number_typed(&typed).filter(|amount| *amount >= 0.0)
    }

    fn is_wrong(self) -> bool {
        !self.most_cost.with(|typed| typed.trim().is_empty()) && self.most_first_cur().is_none()
    }

    fn wants(self) -> Wants {
        Wants {
            least_backup_h: self.hours.get(),
            most_first_cur: self.most_first_cur(),
        }
    }
}

/// The region; without a utility there is no bill to rank by.
#[component]
pub(crate) fn Adviser(desk: Desk, advising: Advising) -> impl IntoView {
    let open = RwSignal::new(false);
    let utility = Memo::new(move |_| desk.household.with(|household| household.service.utility));
    let asking = Asking {
        hours: RwSignal::new(0),
        most_cost: RwSignal::new(String::new()),
        chosen: RwSignal::new(None),
    };
    let busy = Signal::derive(move || advising.is_busy());
    view! {
        <Show when=move || utility.get()>
            <Fold id="adviser" title=Signal::derive(move || desk.word(Word::Adviser).to_owned()) open stale=busy>
                <p class="fold-note">{move || desk.word(Word::AdviserNote)}</p>
                <Tools desk advising asking />
                <Found desk advising asking />
            </Fold>
        </Show>
    }
    .into_any()
}

/// Starting, stopping, how far it is; what is asked for.
#[component]
fn Tools(desk: Desk, advising: Advising, asking: Asking) -> impl IntoView {
    let currency = move || {
        desk.household
            .with(|household| household.tariff.currency.clone())
    };
    let start = move || {
        if advising.is_busy() {
            return view! { <button type="button" data-action="stop-advising" on:click=move |_| advising.stop()>"Stop"</button> }.into_any();
        }
        let name = desk
            .option
            .with(|option| option.as_ref().map(|option| option.name.clone()));
        view! {
            <button
                type="button"
                data-action="advise"
                disabled=move || !advising.is_sound()
                on:click=move |_| {
                    asking.chosen.set(None);
                    advising.start();
                }
            >
                "Try every way from \u{201c}" {name} "\u{201d}"
            </button>
        }
        .into_any()
    };
    let progress = move || {
        let (tried, ways) = (advising.outcomes.with(Vec::len), advising.ways.get());
        (advising.is_busy() || tried > 0).then(|| {
            let max = ways.max(1).to_string();
            view! {
                <span class="best-progress">
                    <progress max=max prop:value=tried as f64 aria-label="ways tried"></progress>
                    {words::tried(tried, ways)}
                </span>
            }
        })
    };
    let hours = HOURS
        .map(|hours| {
            view! { <option value=hours.to_string()>{words::asked_hours(hours)}</option> }
        })
        .collect_view();
    view! {
        <p class="adviser-tools">{start} {progress}</p>
        {move || advising.is_stale().then(|| view! { <p class="note" role="status">"The household was changed since: this is of before. Try every way again to make an option of one."</p> })}
        {move || advising.trouble.get().map(|trouble| view! { <p class="note" role="alert">{trouble}</p> })}
        <div class="adviser-wants">
            <label>
                "half of all outages are to be carried for "
                <select
                    id="adviser-hours"
                    on:change=move |event| {
                        asking.chosen.set(None);
                        asking.hours.set(event_target_value(&event).parse().unwrap_or(0));
                    }
                >
                    {hours}
                </select>
            </label>
            <label>
                "to buy at most "
                <input
                    id="adviser-cost"
                    inputmode="decimal"
                    size="9"
                    placeholder="any"
                    aria-invalid=move || asking.is_wrong().to_string()
                    aria-describedby="adviser-cost-wrong"
                    prop:value=asking.most_cost
                    on:input=move |event| {
                        asking.chosen.set(None);
                        asking.most_cost.set(event_target_value(&event));
                    }
                />
                " " {currency}
            </label>
            <span id="adviser-cost-wrong" class="message" role="alert">
                {move || asking.is_wrong().then_some("Type an amount of 0 or more, such as 15000, or leave it empty.")}
            </span>
        </div>
    }
    .into_any()
}

/// What came of the ways: a sentence, the ranking, the picture, and the one that is looked at.
#[component]
fn Found(desk: Desk, advising: Advising, asking: Asking) -> impl IntoView {
    // The same whatever is asked for and looked at.
    let unbeaten = Memo::new(move |_| advising.outcomes.with(|outcomes| frontier(outcomes)));
    let shown = move || {
        let asked = advising.asked.get()?;
        let base = asked.household.option(asked.option)?.clone();
        let currency = asked.household.tariff.currency.clone();
        let wants = asking.wants();
        advising.outcomes.with(|outcomes| {
            if outcomes.is_empty() {
                return None;
            }
            let ranked = ranked(outcomes, &wants);
            let Some(first) = ranked.first() else {
                return Some(view! { <p class="adviser-sentence">{words::nothing(outcomes)}</p> }.into_any());
            };
            let chosen = asking
                .chosen
                .get()
                .filter(|chosen| ranked.contains(chosen))
                .unwrap_or(*first);
            let rows = ranked
                .iter()
                .take(MOST_ROWS)
                .filter_map(|place| Some((*place, outcomes.get(*place)?)))
                .map(|(place, outcome)| row(&base, outcome, place, chosen, asking, &currency))
                .collect_view();
            let heads = words::HEADS
                .map(|head| view! { <th scope="col">{head}</th> })
                .collect_view();
            Some(
                view! {
                    <p class="adviser-sentence">{words::sentence(outcomes, ranked.len())}</p>
                    {left_where_they_are(&base)}
                    {placeholders(outcomes)}
                    <div class="fold-frame" tabindex="0" role="region" aria-label="Ways by what they are worth">
                        <table class="fold-table adviser-ways">
                            <thead>
                                <tr>{heads}</tr>
                            </thead>
                            <tbody>{rows}</tbody>
                        </table>
                    </div>
                    {unbeaten.with(|unbeaten| picture::picture(outcomes, unbeaten, chosen, &currency))}
                    {looked_at(desk, advising, &asked, &base, outcomes, chosen)}
                }
                .into_any(),
            )
        })
    };
    view! { <div class="adviser-found">{shown}</div> }.into_any()
}

/// What is said where there are more arrays than can all be tried on every bus.
fn left_where_they_are(base: &CouplingOption) -> Option<impl IntoView + use<>> {
    let tried = arrays_tried(base);
    (tried < base.arrays.len()).then(|| {
        let text = format!(
            "Only the first {tried} arrays are tried on every bus; the others stay where they are."
        );
        view! { <p class="note">{text}</p> }
    })
}

fn placeholders(outcomes: &[Outcome]) -> Option<impl IntoView + use<>> {
    let held = (outcomes.iter()).any(|outcome| outcome.worth.rests_on_placeholders);
    held.then(|| {
        view! {
            <p class="money-held">
                "Costs that were not given are invented round figures. Type yours under \u{201c}Money over the years\u{201d}: they decide the order."
            </p>
        }
    })
}

fn row(
    base: &CouplingOption,
    outcome: &Outcome,
    place: usize,
    chosen: usize,
    asking: Asking,
    currency: &str,
) -> AnyView {
    let cells = words::cells(outcome, currency)
        .into_iter()
        .map(|cell| view! { <td class="figure">{cell}</td> })
        .collect_view();
    let joins = words::joins(base, &outcome.candidate);
    view! {
        <tr data-chosen=(place == chosen).then_some("")>
            <th scope="row">
                <label>
                    <input
                        type="radio"
                        name="adviser-way"
                        prop:checked=place == chosen
                        on:change=move |_| asking.chosen.set(Some(place))
                    />
                    {joins}
                </label>
            </th>
            {cells}
        </tr>
    }
    .into_any()
}

/// The way that is looked at: why each thing is as it is, and a button that makes an option of it.
fn looked_at(
    desk: Desk,
    advising: Advising,
    asked: &Asked,
    base: &CouplingOption,
    outcomes: &[Outcome],
    chosen: usize,
) -> Option<AnyView> {
    let outcome = outcomes.get(chosen)?;
    let currency = &asked.household.tariff.currency;
    let why = reasons(outcomes, chosen)
        .iter()
        .filter_map(|reason| words::reason(base, outcomes, outcome, reason, currency))
        .map(|reason| view! { <li>{reason}</li> })
        .collect_view();
    let (candidate, base) = (Arc::new(outcome.candidate.clone()), Arc::new(base.clone()));
    let take = move |_| {
        desk.add_option("Advised", |id, name| candidate.named(&base, id, name));
    };
    Some(
        view! {
            <section class="adviser-why" aria-labelledby="adviser-why-title">
                <h3 id="adviser-why-title">"Why so"</h3>
                <ul>{why}</ul>
                <button type="button" data-action="take-advice" disabled=move || advising.is_stale() on:click=take>
                    "Make it an option"
                </button>
            </section>
        }
        .into_any(),
    )
}
