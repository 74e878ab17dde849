//! What energy costs and earns, as a paper bill tells it: the kind of tariff, its hours and prices, what becomes of energy sent
//! out, charges, summer time and holidays.

mod charges;
mod clock;
mod export;
mod holidays;
mod months;
mod period;
mod strip;
mod window;

pub(super) use months::MonthTicks;
pub(super) use window::{usual_window, window_fields};

use couplet_core::bill::{Tariff, TariffKind, TiersBy, example_tariffs};
use leptos::prelude::*;

use super::row::Row;
use super::{Details, MONTHS, Schedule};
use crate::desk::Desk;
use crate::parts::Choice;
use crate::words::Word;

const KINDS: [(TariffKind, Word); 4] = [
    (TariffKind::Flat, Word::TariffFlat),
    (TariffKind::ByHours, Word::TariffByHours),
    (TariffKind::Tiers, Word::TariffTiers),
    (TariffKind::HoursAndTiers, Word::TariffHoursAndTiers),
];

const TIERS_BY: [(TiersBy, Word); 2] = [
    (TiersBy::WholeMonth, Word::TiersByMonth),
    (TiersBy::EachPeriod, Word::TiersByPeriod),
];

/// The months as a menu.
const MONTH_ITEMS: [(usize, &str); 12] = {
    let mut items = [(0, ""); 12];
    let mut month = 0;
    while month < 12 {
        items[month] = (month, MONTHS[month]);
        month += 1;
    }
    items
};

fn row_of(desk: Desk) -> Row<Tariff> {
    Row::new(
        desk,
        "tariff",
        "tariff",
        |household| Some(&household.tariff),
        |household| Some(&mut household.tariff),
    )
}

/// The currency alone, for a household without a utility.
pub(crate) fn currency_field(desk: Desk) -> AnyView {
    charges::currency_field(&row_of(desk))
}

/// The schedule of the tariff.
#[component]
pub(super) fn TariffSchedule(desk: Desk) -> impl IntoView {
    let row = row_of(desk);
    let count = row.read(|tariff| tariff.periods.len());
    let both = row.read(|tariff| tariff.kind() == TariffKind::HoursAndTiers);
    let tiers_by = {
        let row = row.clone();
        move || {
            both.get().then(|| {
                row.choice_in_words(
                    "tiers_by",
                    "tiers count",
                    &TIERS_BY,
                    |tariff| tariff.tiers_by,
                    |tariff, by| tariff.tiers_by = by,
                )
            })
        }
    };
    view! {
        <Schedule clone:row desk name="tariff" title=Word::Tariff>
            {row.choice_in_words("kind", "price", &KINDS, Tariff::kind, Tariff::set_kind)}
            {tiers_by}
            <Examples row=row.clone() />
            <strip::PriceStrip desk />
            <For each=move || 0..count.get() key=|index| *index let:index>
                <period::PeriodFields desk index />
            </For>
            <period::AddHours row=row.clone() />
            <export::ExportFields row=row.clone() />
            <Details clone:row desk title=Word::CurrencyAndCharge>
                <charges::Charges row=row.clone() />
            </Details>
            <Details clone:row desk title=Word::SummerTime>
                <clock::ClockFields row=row.clone() />
                <holidays::Holidays row=row.clone() />
            </Details>
        </Schedule>
    }
    .into_any()
}

/// Invented tariffs to begin with.
#[component]
fn Examples(row: Row<Tariff>) -> impl IntoView {
    let names: Vec<_> = std::iter::once(("\u{2026}".to_owned(), true))
        .chain(
            example_tariffs("EUR", None)
                .into_iter()
                .map(|tariff| (tariff.name, true)),
        )
        .collect();
    let chosen = row.read(|tariff| {
        let examples = example_tariffs(&tariff.currency, tariff.clock_rule.as_deref());
        Some(
            examples
                .iter()
                .position(|other| other == tariff)
                .map_or(0, |place| place + 1),
        )
    });
    view! {
        <Choice
            id="tariff-example".to_owned()
            label="begin with"
            items=names
            chosen
            on_change=Callback::new(move |place: usize| {
                row.change(None, "begin with an example", |tariff| {
                    let examples = example_tariffs(&tariff.currency, tariff.clock_rule.as_deref());
                    if let Some(example) = place.checked_sub(1).and_then(|place| examples.into_iter().nth(place)) {
                        *tariff = example;
                    }
                });
            })
        />
    }
    .into_any()
}
