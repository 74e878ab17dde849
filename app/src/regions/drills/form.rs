//! The form of a drill: when the grid goes, for how long, and what the batteries hold.

use couplet_core::island::{DrillCase, DrillMoment};
use couplet_core::sky::{days_of_month, first_day_of_month, month_of_day};
use leptos::ev;
use leptos::prelude::*;

use crate::desk::Desk;
use crate::format;
use crate::work::protocol::DrillWish;

/// Lengths that are offered, h.
const LENGTHS_H: [u32; 7] = [1, 2, 4, 6, 12, 24, 72];

/// States of charge that are offered; none: what normal running holds.
const CHARGES: [Option<f64>; 7] = [
    None,
    Some(1.0),
    Some(0.75),
    Some(0.5),
    Some(0.25),
    Some(0.1),
    Some(0.0),
];

/// Month and day of the month, both from 0, of a day of the year.
fn month_and_day(day: u32) -> (usize, u32) {
    let month = month_of_day(day);
    (month, day.saturating_sub(first_day_of_month(month)))
}

/// Day of the year of a month and a day of it, both from 0; days past the month's end are its last.
fn day_of(month: usize, day: u32) -> u32 {
    first_day_of_month(month) + day.min(days_of_month(month).saturating_sub(1))
}

/// Hours as a whole number.
fn whole(hours: f64) -> u32 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "hours of some days"
    )]
    let hours = hours.max(0.0) as u32;
    hours
}

/// The form. Its presets and its button run the drill at once.
#[component]
pub(super) fn Form(
    desk: Desk,
    /// What the form says.
    case: RwSignal<DrillCase>,
    /// Runs a drill.
    on_run: Callback<DrillWish>,
) -> impl IntoView {
    let month_day = Memo::new(move |_| month_and_day(case.get().day));
    let hour = Memo::new(move |_| whole(case.get().from_h).min(23));
    let run_moment = move |moment: DrillMoment| on_run.run(DrillWish::Moment(moment));
    let number = |event: &ev::Event| event_target_value(event).parse::<u32>().ok();
    let set_day = move |month: usize, day: u32| {
        case.update(|case| case.day = day_of(month, day));
    };
    let months = (0..12)
        .map(
            |month| view! { <option value=month.to_string()>{format::month_short(month)}</option> },
        )
        .collect_view();
    let days = move || {
        let (month, _) = month_day.get();
        (0..days_of_month(month))
            .map(|day| view! { <option value=day.to_string() selected=move || month_day.get().1 == day>{(day + 1).to_string()}</option> })
            .collect_view()
    };
    let hours = (0..24_u32)
        .map(|hour| view! { <option value=hour.to_string()>{format!("{hour:02}:00")}</option> })
        .collect_view();
    let lengths = LENGTHS_H
        .map(|hours| {
            let words = match hours {
                72 => "3 days".to_owned(),
                _ => format!("{hours}\u{a0}h"),
            };
            view! { <option value=hours.to_string()>{words}</option> }
        })
        .to_vec();
    let charges = CHARGES
        .iter()
        .enumerate()
        .map(|(index, soc)| {
            let words = match soc {
                None => "as in normal running".to_owned(),
                Some(1.0) => "full".to_owned(),
                Some(soc) => format::percent(*soc, 0).text(),
            };
            view! { <option value=index.to_string()>{words}</option> }
        })
        .collect_view();
    let charge = move || {
        let soc = case.get().soc;
        CHARGES.iter().position(|other| *other == soc).unwrap_or(0)
    };
    view! {
        <div class="drill-presets" role="group" aria-label="Ready-made drills">
            <button type="button" data-preset="worst" on:click=move |_| run_moment(DrillMoment::WorstDay)>
                "The worst day"
            </button>
            <button type="button" data-preset="full" on:click=move |_| run_moment(DrillMoment::FullAtNoon)>
                "Battery full at noon"
            </button>
            <button type="button" data-preset="empty" on:click=move |_| run_moment(DrillMoment::EmptyAtDawn {
                day: desk.cursor.with_untracked(|cursor| cursor.day),
            })>
                "Battery empty at dawn"
            </button>
        </div>
        <form
            class="drill-form"
            on:submit=move |event| {
                event.prevent_default();
                on_run.run(DrillWish::Case(case.get_untracked()));
            }
        >
            <label>
                "The grid goes on "
                <select id="drill-day" prop:value=move || month_day.get().1.to_string() on:change=move |event| {
                    if let Some(day) = number(&event) {
                        set_day(month_day.get_untracked().0, day);
                    }
                }>{days}</select>
            </label>
            <label>
                <span class="spoken">"month"</span>
                <select id="drill-month" prop:value=move || month_day.get().0.to_string() on:change=move |event| {
                    if let Some(month) = number(&event) {
                        set_day(month as usize, month_day.get_untracked().1);
                    }
                }>{months}</select>
            </label>
            <label>
                "at "
                <select id="drill-hour" prop:value=move || hour.get().to_string() on:change=move |event| {
                    if let Some(hour) = number(&event) {
                        case.update(|case| case.from_h = f64::from(hour));
                    }
                }>{hours}</select>
            </label>
            <label>
                "for "
                <select id="drill-length" prop:value=move || whole(case.get().length_h).to_string() on:change=move |event| {
                    if let Some(length_h) = number(&event) {
                        case.update(|case| case.length_h = f64::from(length_h));
                    }
                }>{lengths}</select>
            </label>
            <label>
                "batteries "
                <select id="drill-charge" prop:value=move || charge().to_string() on:change=move |event| {
                    if let Some(soc) = number(&event).and_then(|index| CHARGES.get(index as usize)) {
                        case.update(|case| case.soc = *soc);
                    }
                }>{charges}</select>
            </label>
            <button type="submit" class="strong" id="drill-run">"Run the drill"</button>
        </form>
    }
    .into_any()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_is_its_month_and_day_and_back() {
        assert_eq!(month_and_day(0), (0, 0));
        assert_eq!(month_and_day(171), (5, 20));
        assert_eq!(month_and_day(364), (11, 30));
        for day in 0..365 {
            let (month, of_month) = month_and_day(day);
            assert_eq!(day_of(month, of_month), day);
        }
        assert_eq!(day_of(1, 30), 58, "the last of February");
    }
}
