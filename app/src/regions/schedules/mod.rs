//! The schedules: tables of what stands in the household and in the open option, edited in place.

mod arrays;
mod conductors;
mod devices;
mod electrical;
mod generator;
mod grid_code;
mod interval_file;
mod island;
mod loads;
mod own_hours;
mod place;
mod planes;
mod problem_link;
mod pv_inverters;
mod row;
mod running;
mod service;
mod shade;
mod show_part;
mod site;
mod start_fields;
mod storage;
mod surge;
mod tariff;

pub(crate) use conductors::Conductors;
pub(crate) use place::PlaceSearch;
pub(crate) use problem_link::field_of_problem;
pub(crate) use show_part::show_part;
pub(crate) use tariff::currency_field;

use leptos::prelude::*;

use crate::desk::Desk;
use crate::inquiry::Inquiry;
use crate::judged::Judged;
use crate::words::{Level, Word};

/// All schedules: what changes between options first, then what is the same in all.
#[component]
pub(crate) fn Schedules(desk: Desk, judged: Judged, inquiry: Inquiry) -> impl IntoView {
    // Without a utility nothing runs by a price, and nothing has one.
    let utility = Memo::new(move |_| desk.household.with(|household| household.service.utility));
    view! {
        <section class="schedules" id="schedules" aria-label="Schedules">
            <h2 class="schedule-group">"In this option"</h2>
            <arrays::Arrays desk judged />
            <pv_inverters::PvInverters desk judged />
            <storage::Storage desk judged />
            <Show when=move || utility.get()>
                <running::RunningRules desk />
            </Show>
            <island::IslandSchedule desk />
            <generator::GeneratorSchedule desk judged />
            <h2 class="schedule-group">"In all options"</h2>
            <loads::LoadSchedule desk inquiry />
            <Show when=move || utility.get()>
                <tariff::TariffSchedule desk />
            </Show>
            <service::ServiceSchedule desk />
            <electrical::ElectricalSchedule desk />
            <planes::Planes desk />
            <site::SiteSchedule desk />
        </section>
    }
    .into_any()
}

/// A schedule with its heading. The name begins its ids.
#[component]
fn Schedule(desk: Desk, name: &'static str, title: Word, children: Children) -> impl IntoView {
    let id = format!("{name}-title");
    let labelled_by = id.clone();
    view! {
        <section class="schedule" aria-labelledby=labelled_by>
            <h3 id=id class="label">
                {move || desk.word(title)}
            </h3>
            {children()}
        </section>
    }
    .into_any()
}

/// Fields that a household leaves alone: folded in the plain reading until they are asked for, open in the trade's.
#[component]
fn Details(
    desk: Desk,
    title: Word,
    /// What is in it, in a few words, told while it is folded.
    #[prop(optional, into)]
    said: Signal<String>,
    children: Children,
) -> impl IntoView {
    let trade = Memo::new(move |_| {
        desk.keep
            .settings
            .with(|settings| settings.level == Level::Trade)
    });
    view! {
        <details class="details" prop:open=trade>
            <summary>
                {move || desk.word(title)}
                {move || said.with(|said| (!said.is_empty()).then(|| format!(": {said}")))}
            </summary>
            <div class="fields">{children()}</div>
        </details>
    }
    .into_any()
}

/// A button that takes a part away.
#[component]
fn Remove(#[prop(into)] what: Signal<String>, on_remove: Callback<()>) -> impl IntoView {
    let label = move || format!("Remove {}", what.get());
    view! {
        <button type="button" class="quiet remove" title=label aria-label=label on:click=move |_| on_remove.run(())>
            "\u{d7}"
        </button>
    }
    .into_any()
}

/// Month names in three letters; fields of twelve months are named by them.
pub(crate) const MONTHS: [&str; 12] = [
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
];
