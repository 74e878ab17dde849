//! Money over the years: what the open option costs and brings, set against the household as it stands. Costs and terms are
//! edited here; what comes out is asked for while the region is open.

mod ageing;
mod costs;
mod field;
mod outcomes;
mod picture;
mod terms;
mod unknowns;
mod years;

use std::sync::Arc;

use couplet_core::outlook::{Costed, Outlook};
use leptos::prelude::*;

use super::fold::Fold;
use super::schedules::currency_field;
use crate::desk::Desk;
use crate::inquiry::Inquiry;
use crate::keep::UnitSystem;
use crate::words::{Level, Word};
use crate::work::protocol::{Found, Question, Topic};

use ageing::AgeingFields;
use costs::CostLines;
use terms::Terms;

/// The region. Without a utility the fuel of the generator stands in place of the bill.
#[component]
pub(crate) fn MoneyOverYears(desk: Desk, inquiry: Inquiry) -> impl IntoView {
    let open = RwSignal::new(false);
    let utility = Memo::new(move |_| desk.household.with(|household| household.service.utility));
    Effect::new(move |_| {
        let question = open.get().then(|| Question::Money(desk.option_id.get()));
        inquiry.ask(Topic::Money, question);
    });
    let known = inquiry.known(Topic::Money);
    let stale = inquiry.stale(Topic::Money);
    let trouble = inquiry.trouble(Topic::Money);
    let lasts = Signal::derive(move || {
        let id = desk.option_id.get();
        known.with(|known| {
            match known
                .as_ref()
                .and_then(|known| known.of(id))
                .map(Arc::as_ref)
            {
                Some(Found::Money(found)) => (found.batteries.iter())
                    .map(|battery| (Costed::Battery(battery.id), battery.life.years))
                    .collect(),
                _ => Vec::new(),
            }
        })
    });
    let shown = move || {
        let (level, units) = desk
            .keep
            .settings
            .with(|settings| (settings.level, settings.units));
        let id = desk.option_id.get();
        let (currency, reference) = desk.household.with(|household| {
            let reference = household.options.first().map(|option| option.id) == Some(id);
            (household.tariff.currency.clone(), reference)
        });
        known.with(|known| match known.as_ref()?.of(id)?.as_ref() {
            Found::Money(found) => Some(results(found, reference, (level, units), &currency)),
            _ => None,
        })
    };
    let has_storage = Memo::new(move |_| {
        desk.option.with(|option| {
            option
                .as_ref()
                .is_some_and(|option| !option.storage.is_empty())
        })
    });
    view! {
        <Fold
            id="money"
            title=Signal::derive(move || desk.word(Word::Money).to_owned())
            open
            stale=Signal::derive(move || stale.get() && trouble.with(Option::is_none))
        >
            <p class="fold-note">
                {move || desk.word(if utility.get() { Word::MoneyNote } else { Word::MoneyOffGrid })}
            </p>
            <Show when=move || !utility.get()>{currency_field(desk)}</Show>
            <CostLines desk lasts />
            <Terms desk />
            <Show when=move || has_storage.get()>
                <AgeingFields desk />
            </Show>
            {move || trouble.get().map(|trouble| view! { <p class="note" role="alert">{trouble}</p> })}
            {shown}
        </Fold>
    }
    .into_any()
}

/// Whether what the option saves against the household as it stands is a measure of its worth.
fn is_comparable(found: &Outlook) -> bool {
    found.served.is_none_or(|served| served.is_comparable())
}

/// What came out. Of the household as it stands only its bills and its batteries can be told.
pub(crate) fn results(
    found: &Outlook,
    reference: bool,
    (level, units): (Level, UnitSystem),
    currency: &str,
) -> AnyView {
    let part = |word: Word, shown: AnyView| {
        view! {
            <h3 class="label">{word.at(level)}</h3>
            {shown}
        }
    };
    let batteries = (!found.batteries.is_empty())
        .then(|| part(Word::BatteryAge, ageing::ageing(found, level, units)));
    let years = part(Word::YearByYear, years::table(found, level, currency));
    if reference {
        let served = (found.served.is_some())
            .then(|| part(Word::Outcome, outcomes::outcomes(found, level, currency)));
        return view! {
            <p class="money-reference">{Word::MoneyReference.at(level)}</p>
            {served}
            {years}
            {batteries}
        }
        .into_any();
    }
    let comparable = is_comparable(found);
    let unlike = (!comparable)
        .then(|| view! { <p class="note" role="note">{Word::UnlikeService.at(level)}</p> });
    let unknowns = (comparable && !found.swings.is_empty())
        .then(|| part(Word::Unknowns, unknowns::unknowns(found, level, currency)));
    view! {
        {part(Word::Outcome, outcomes::outcomes(found, level, currency))}
        {unlike}
        <p class="money-caution">{Word::MoneyCaution.at(level)}</p>
        {comparable.then(|| picture::picture(found, currency))}
        {unknowns}
        {years}
        {batteries}
    }
    .into_any()
}
