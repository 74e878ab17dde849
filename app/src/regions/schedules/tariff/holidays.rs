//! Days that cost what weekends cost.

use couplet_core::bill::{Holiday, Tariff};
use couplet_core::limits;
use leptos::prelude::*;

use super::MONTH_ITEMS;
use crate::desk::Desk;
use crate::regions::schedules::Remove;
use crate::regions::schedules::row::Row;

const WEEKDAYS: [(u32, &str); 7] = [
    (0, "Monday"),
    (1, "Tuesday"),
    (2, "Wednesday"),
    (3, "Thursday"),
    (4, "Friday"),
    (5, "Saturday"),
    (6, "Sunday"),
];

const WHICH: [(u32, &str); 5] = [
    (1, "first"),
    (2, "second"),
    (3, "third"),
    (4, "fourth"),
    (5, "last"),
];

/// The holidays of the tariff.
#[component]
pub(super) fn Holidays(row: Row<Tariff>) -> impl IntoView {
    let desk = row.desk;
    let count = row.read(|tariff| tariff.holidays.len());
    let by_date = row.clone();
    view! {
        <For each=move || 0..count.get() key=|index| *index let:index>
            <HolidayFields desk index />
        </For>
        <button
            type="button"
            class="add"
            on:click=move |_| by_date.change(None, "add a holiday", |tariff| tariff.holidays.push(Holiday::Date { month: 0, day: 1 }))
        >
            "Add a holiday"
        </button>
        <button
            type="button"
            class="add"
            on:click=move |_| row.change(None, "add a holiday", |tariff| {
                tariff.holidays.push(Holiday::Nth { month: 0, weekday: 0, nth: 1 });
            })
        >
            "Add one by weekday"
        </button>
    }
    .into_any()
}

#[component]
fn HolidayFields(desk: Desk, index: usize) -> impl IntoView {
    let row: Row<Holiday> = Row::new(
        desk,
        format!("tariff-holiday-{index}"),
        "tariff",
        move |household| household.tariff.holidays.get(index),
        move |household| household.tariff.holidays.get_mut(index),
    );
    let is_date = row.read(|holiday| matches!(holiday, Holiday::Date { .. }));
    let remove = Callback::new(move |()| {
        desk.change("tariff: remove a holiday", None, |household| {
            if index < household.tariff.holidays.len() {
                household.tariff.holidays.remove(index);
            }
        });
    });
    let fields = {
        let row = row.clone();
        move || {
            match is_date.get() {
            true => row.quantity(
                &limits::HOLIDAY_DAY,
                |holiday| match holiday {
                    Holiday::Date { day, .. } => f64::from(*day),
                    Holiday::Nth { .. } => 1.0,
                },
                |holiday, value| {
                    if let Holiday::Date { day, .. } = holiday {
                        *day = whole(value);
                    }
                },
            ),
            false => view! {
                {row.choice("nth", "the", &WHICH, |holiday| match holiday {
                    Holiday::Nth { nth, .. } => *nth,
                    Holiday::Date { .. } => 1,
                }, |holiday, chosen| if let Holiday::Nth { nth, .. } = holiday { *nth = chosen })}
                {row.choice("weekday", "weekday", &WEEKDAYS, |holiday| match holiday {
                    Holiday::Nth { weekday, .. } => *weekday,
                    Holiday::Date { .. } => 0,
                }, |holiday, chosen| if let Holiday::Nth { weekday, .. } = holiday { *weekday = chosen })}
            }
            .into_any(),
        }
        }
    };
    view! {
        <div class="part">
            {fields}
            {row.choice("month", "month", &MONTH_ITEMS, |holiday| match holiday {
                Holiday::Date { month, .. } | Holiday::Nth { month, .. } => *month,
            }, |holiday, chosen| match holiday {
                Holiday::Date { month, .. } | Holiday::Nth { month, .. } => *month = chosen,
            })}
            <Remove what=Signal::stored("this holiday".to_owned()) on_remove=remove />
        </div>
    }
    .into_any()
}

/// A whole number of a field that is typed as any number.
fn whole(value: f64) -> u32 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a cast to integer saturates; the check names what is out of range"
    )]
    {
        value.round() as u32
    }
}
