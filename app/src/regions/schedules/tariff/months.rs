//! Twelve months, each yes or no.

use leptos::prelude::*;

use crate::regions::schedules::MONTHS;
use crate::regions::schedules::row::Row;

/// Twelve months, each yes or no.
#[component]
pub(in crate::regions::schedules) fn MonthTicks<T: Clone + PartialEq + Send + Sync + 'static>(
    row: Row<T>,
    get: fn(&T) -> [bool; 12],
    set: fn(&mut T, [bool; 12]),
) -> impl IntoView {
    let months = row.read(get);
    let ticks = MONTHS
        .into_iter()
        .enumerate()
        .map(|(month, name)| {
            let row = row.clone();
            let ticked =
                move || months.with(|months| months.get(month).copied().unwrap_or_default());
            view! {
                <label class="month-tick">
                    <input
                        type="checkbox"
                        prop:checked=ticked
                        on:change=move |event| {
                            let mut months = months.get_untracked();
                            if let Some(ticked) = months.get_mut(month) {
                                *ticked = event_target_checked(&event);
                            }
                            row.change(None, "months", |part| set(part, months));
                        }
                    />
                    {name}
                </label>
            }
        })
        .collect_view();
    view! {
        <fieldset class="months">
            <legend>"months"</legend>
            {ticks}
        </fieldset>
    }
    .into_any()
}
