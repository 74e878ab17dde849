//! Shade of near objects on a plane, month by hour.

use couplet_core::household::RoofPlane;
use couplet_core::limits;
use couplet_core::sky::ShadeTable;
use leptos::prelude::*;

use super::MONTHS;
use super::row::{Row, shown_unit};
use crate::parts::{Quantity, focus};

/// Hours that are offered; the sun is below the horizon in the others nearly everywhere, and they stay as they are.
const HOURS: std::ops::Range<usize> = 4..22;

/// Whether near objects cast shade, and the table if they do.
#[component]
pub(super) fn ShadeEditor(row: Row<RoofPlane>) -> impl IntoView {
    let has = row.read(|plane| plane.shade.is_some());
    let table = row.clone();
    view! {
        {row.tick("has-shade", "near objects cast shade", |plane| plane.shade.is_some(), |plane, has| {
            plane.shade = has.then(|| ShadeTable(vec![vec![0.0; 24]; 12]));
        })}
        {move || has.get().then(|| view! { <Table row=table.clone() /> })}
    }
    .into_any()
}

/// Twelve months and the hours of daylight. The cells are edited through one field below the table, so that it can be walked with the
/// arrow keys and stays readable in a narrow column.
#[component]
fn Table(row: Row<RoofPlane>) -> impl IntoView {
    let desk = row.desk;
    let cell = RwSignal::new((5_usize, 12_usize));
    let table = row.read(|plane| plane.shade.clone());
    let share = move |month: usize, hour: usize| {
        table.with(|table| {
            table
                .as_ref()
                .map_or(0.0, |table| value(table, month, hour))
        })
    };
    let prefix = row.id("shade");
    let focus_prefix = prefix.clone();
    let on_key = move |event: leptos::ev::KeyboardEvent| {
        let (month, hour) = cell.get_untracked();
        let next = match event.key().as_str() {
            "ArrowRight" if hour + 1 < HOURS.end => (month, hour + 1),
            "ArrowLeft" if hour > HOURS.start => (month, hour - 1),
            "ArrowDown" if month < 11 => (month + 1, hour),
            "ArrowUp" if month > 0 => (month - 1, hour),
            _ => return,
        };
        event.prevent_default();
        cell.set(next);
        focus(&cell_id(&focus_prefix, next));
    };
    let heads = HOURS
        .map(|hour| view! { <th scope="col">{hour}</th> })
        .collect_view();
    let body = MONTHS
        .into_iter()
        .enumerate()
        .map(|(month, name)| {
            let cells = HOURS
                .map(|hour| {
                    let text = move || {
                        let percent = share(month, hour) * 100.0;
                        if percent == 0.0 { "\u{b7}".to_owned() } else { format!("{percent:.0}") }
                    };
                    let here = move || cell.get() == (month, hour);
                    view! {
                        <td>
                            <button
                                type="button"
                                id=cell_id(&prefix, (month, hour))
                                aria-label=move || format!("{name}, {hour} to {} h: {:.0} %", hour + 1, share(month, hour) * 100.0)
                                aria-pressed=move || if here() { "true" } else { "false" }
                                tabindex=move || if here() { "0" } else { "-1" }
                                on:click=move |_| cell.set((month, hour))
                            >
                                {text}
                            </button>
                        </td>
                    }
                })
                .collect_view();
            view! {
                <tr>
                    <th scope="row">{name}</th>
                    {cells}
                </tr>
            }
        })
        .collect_view();
    let id = row.id("shade");
    view! {
        <div class="scroll-x" role="group" aria-label="Light lost to near objects, % of the direct light, by month and hour of standard time">
            <table class="shade" on:keydown=on_key>
                <thead>
                    <tr>
                        <th scope="col">"h"</th>
                        {heads}
                    </tr>
                </thead>
                <tbody>{body}</tbody>
            </table>
        </div>
        <Quantity
            id=id
            label=Signal::derive(move || {
                let (month, hour) = cell.get();
                format!("light lost, {} {hour} h", MONTHS.get(month).copied().unwrap_or_default())
            })
            limit=&limits::PLANE_SHADE
            unit=shown_unit(desk, &limits::PLANE_SHADE)
            value=Signal::derive(move || {
                let (month, hour) = cell.get();
                share(month, hour)
            })
            on_change=Callback::new(move |share: f64| {
                let (month, hour) = cell.get_untracked();
                row.change(Some(&format!("shade-{month}-{hour}")), "shade", |plane| set(plane, month, hour, share));
            })
            on_done=Callback::new(move |()| desk.close_merge())
        />
    }
    .into_any()
}

fn cell_id(prefix: &str, (month, hour): (usize, usize)) -> String {
    format!("{prefix}-{month}-{hour}")
}

fn value(table: &ShadeTable, month: usize, hour: usize) -> f64 {
    table
        .0
        .get(month)
        .and_then(|hours| hours.get(hour))
        .copied()
        .unwrap_or_default()
}

fn set(plane: &mut RoofPlane, month: usize, hour: usize, share: f64) {
    if let Some(cell) = plane
        .shade
        .as_mut()
        .and_then(|table| table.0.get_mut(month))
        .and_then(|hours| hours.get_mut(hour))
    {
        *cell = share;
    }
}
