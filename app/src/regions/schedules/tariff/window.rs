//! Hours, days and months at which something holds.

use couplet_core::bill::{DayKind, Window};
use couplet_core::household::Household;
use couplet_core::limits;
use leptos::prelude::*;

use super::MonthTicks;
use crate::desk::Desk;
use crate::regions::schedules::row::Row;
use crate::regions::schedules::{Details, Remove};
use crate::words::{Word, months_around};

/// Kinds of day as a menu.
const DAYS: [(DayKind, &str); 3] = [
    (DayKind::All, "every day"),
    (DayKind::Weekdays, "Monday to Friday"),
    (DayKind::WeekendsAndHolidays, "weekends and holidays"),
];

/// A window that holds every day from the usual first hour to the usual last one.
pub(in crate::regions::schedules) fn usual_window() -> Window {
    Window {
        months: [true; 12],
        days: DayKind::All,
        from_h: limits::WINDOW_FROM_H.default,
        to_h: limits::WINDOW_TO_H.default,
    }
}

/// A list of windows, each with its fields; all but the last one can be removed, and others added.
///
/// - `name`: begins the names of the fields in the page
/// - `of`, `of_mut`: the list in a household
pub(super) fn windows_fields(
    desk: Desk,
    name: &str,
    of: impl for<'a> Fn(&'a Household) -> Option<&'a Vec<Window>> + Copy + Send + Sync + 'static,
    of_mut: impl for<'a> Fn(&'a mut Household) -> Option<&'a mut Vec<Window>>
    + Copy
    + Send
    + Sync
    + 'static,
) -> AnyView {
    let name = name.to_owned();
    let count = Memo::new(move |_| {
        desk.household
            .with(|household| of(household).map_or(0, Vec::len))
    });
    let (some, several) = (
        Memo::new(move |_| count.get() > 0),
        Memo::new(move |_| count.get() > 1),
    );
    let window = move |place: usize| {
        let row: Row<Window> = Row::new(
            desk,
            format!("{name}-window-{place}"),
            "tariff",
            move |household| of(household)?.get(place),
            move |household| of_mut(household)?.get_mut(place),
        );
        let remove = Callback::new(move |()| {
            desk.change("tariff: remove a time", None, |household| {
                if let Some(windows) = of_mut(household)
                    && place < windows.len()
                {
                    windows.remove(place);
                }
            });
        });
        view! {
            <div class="window">
                {window_fields(&row)}
                <Show when=move || several.get()>
                    <Remove what=Signal::stored("this time".to_owned()) on_remove=remove />
                </Show>
            </div>
        }
    };
    let add = move |_| {
        desk.change("tariff: add a time", None, |household| {
            if let Some(windows) = of_mut(household) {
                windows.push(usual_window());
            }
        });
    };
    view! {
        <For each=move || 0..count.get() key=|place| *place children=window />
        <Show when=move || some.get()>
            <button type="button" class="add" on:click=add>
                {move || desk.word(Word::AddWindow)}
            </button>
        </Show>
    }
    .into_any()
}

/// The fields of a window.
pub(in crate::regions::schedules) fn window_fields(row: &Row<Window>) -> AnyView {
    let (row, desk) = (row.clone(), row.desk);
    let months = row.read(|window| months_around(window.months));
    view! {
        {row.quantity(&limits::WINDOW_FROM_H, |window| window.from_h, |window, value| window.from_h = value)}
        {row.quantity(&limits::WINDOW_TO_H, |window| window.to_h, |window, value| window.to_h = value)}
        {row.choice("days", "days", &DAYS, |window| window.days, |window, days| window.days = days)}
        <Details clone:row desk title=Word::Season said=months>
            <MonthTicks row=row.clone() get=|window| window.months set=|window, months| window.months = months />
        </Details>
    }
    .into_any()
}
