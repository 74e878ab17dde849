//! What a storage inverter carries beyond its rating for a while, step by step.

use couplet_core::coupling::{StorageInverter, StorageUnit, Surge};
use couplet_core::limits;
use leptos::prelude::*;

use super::Remove;
use super::row::Row;

/// Most steps of a surge that the check admits.
const MOST_STEPS: usize = 4;

/// The steps, from the longest time to the shortest.
pub(super) fn surge_fields(row: &Row<StorageUnit>) -> AnyView {
    let count = row.read(|unit| unit.inverter.surge.len());
    let (each, add, id) = (row.clone(), row.clone(), row.id("surge"));
    let step = move |index: usize| {
        let remove = each.clone();
        view! {
            <div class="pair">
                {each.quantity_at(
                    &limits::SURGE_POWER_W,
                    &format!("surge-{index}-power_w"),
                    Some(format!("power of surge step {}", index + 1)),
                    move |unit| at(unit, index).power_w,
                    move |unit, power_w| if let Some(surge) = unit.inverter.surge.get_mut(index) { surge.power_w = power_w },
                )}
                {each.quantity_at(
                    &limits::SURGE_DURATION_S,
                    &format!("surge-{index}-duration_s"),
                    Some(format!("time of surge step {}", index + 1)),
                    move |unit| at(unit, index).duration_s,
                    move |unit, duration_s| if let Some(surge) = unit.inverter.surge.get_mut(index) { surge.duration_s = duration_s },
                )}
                <Remove
                    what=format!("surge step {}", index + 1)
                    on_remove=Callback::new(move |()| remove.change(None, "remove a surge step", |unit| {
                        if index < unit.inverter.surge.len() {
                            unit.inverter.surge.remove(index);
                        }
                    }))
                />
            </div>
        }
    };
    view! {
        <fieldset class="horizon" id=id tabindex="-1">
            <legend>"more than its rating, and for how long"</legend>
            <For each=move || 0..count.get() key=|index| *index children=step />
            <Show when=move || count.get() < MOST_STEPS>
                {
                    let add = add.clone();
                    view! {
                        <button type="button" class="add" on:click=move |_| add.change(None, "add a surge step", |unit| add_step(&mut unit.inverter))>
                            "Add a step"
                        </button>
                    }
                }
            </Show>
        </fieldset>
    }
    .into_any()
}

fn at(unit: &StorageUnit, index: usize) -> Surge {
    unit.inverter.surge.get(index).copied().unwrap_or(Surge {
        power_w: limits::SURGE_POWER_W.default,
        duration_s: limits::SURGE_DURATION_S.default,
    })
}

/// A step above the last one, for a shorter time.
fn add_step(inverter: &mut StorageInverter) {
    let surge = match inverter.surge.last() {
        Some(last) => Surge {
            power_w: (1.2 * last.power_w).min(limits::SURGE_POWER_W.most),
            duration_s: (0.2 * last.duration_s).max(limits::SURGE_DURATION_S.least),
        },
        None => Surge {
            power_w: 1.25 * inverter.rated_w,
            duration_s: limits::SURGE_DURATION_S.default,
        },
    };
    inverter.surge.push(surge);
}
