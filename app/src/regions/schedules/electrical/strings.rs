//! How an array's modules are wired: strings that fit to choose from, or strings of one's own.

use couplet_core::coupling::{Array, InputStrings};
use couplet_core::findings::{ArrayDetails, strings_in_words};
use couplet_core::household::ArrayId;
use couplet_core::limits;
use leptos::prelude::*;

use super::super::Remove;
use super::super::row::Row;
use super::whole;
use crate::judged::Judged;
use crate::parts::Choice;

/// Most inputs that the check admits.
const MOST_INPUTS: usize = 24;

/// The choice of strings, and the numbers of strings of one's own.
pub(in super::super) fn string_fields(row: &Row<Array>, judged: Judged, id: ArrayId) -> AnyView {
    let found = Memo::new(move |_| {
        judged
            .details
            .with(|details| details.as_ref()?.array(id).cloned())
    });
    let given = row.read(|array| array.electrical.strings.clone());
    // The fields stay while their numbers change.
    let are_given = Memo::new(move |_| given.with(Option::is_some));
    let none_needed = Memo::new(move |_| {
        found.with(|found| {
            found
                .as_ref()
                .is_none_or(|found| found.strings.is_empty() && found.fitting.is_empty())
        })
    });
    let items =
        Signal::derive(move || found.with(|found| found.as_ref().map(items).unwrap_or_default()));
    let chosen = Memo::new(move |_| {
        found.with(|found| {
            let found = found.as_ref()?;
            given.with(|given| match given {
                None => Some(0),
                Some(strings) => Some(
                    found
                        .fitting
                        .iter()
                        .position(|one| one == strings)
                        .unwrap_or(found.fitting.len())
                        + 1,
                ),
            })
        })
    });
    let choose = {
        let row = row.clone();
        Callback::new(move |index: usize| {
            let Some(found) = found.get_untracked() else {
                return;
            };
            let strings = match index.checked_sub(1) {
                None => None,
                // Strings of one's own begin with those that are in force.
                Some(index) => Some(found.fitting.get(index).cloned().unwrap_or(found.strings)),
            };
            row.change(None, "strings", |array| array.electrical.strings = strings);
        })
    };
    let own = row.clone();
    view! {
        <Show
            when=move || !none_needed.get()
            fallback=|| view! { <p class="note">"Inverters at the modules: there are no strings."</p> }
        >
            <Choice id=own.id("strings") label="strings" items=items chosen=chosen on_change=choose />
            {
                let row = own.clone();
                move || are_given.get().then(|| own_strings(&row))
            }
        </Show>
    }
    .into_any()
}

/// What can be chosen: what is proposed, all that fits, and strings of one's own.
fn items(found: &ArrayDetails) -> Vec<(String, bool)> {
    let proposed = match found.fitting.first() {
        Some(first) => format!("proposed: {}", strings_in_words(first)),
        None => "none fits: shared evenly".to_owned(),
    };
    let mut items = vec![(proposed, true)];
    items.extend(
        found
            .fitting
            .iter()
            .map(|strings| (strings_in_words(strings), true)),
    );
    items.push(("others\u{2026}".to_owned(), true));
    items
}

fn at(array: &Array, index: usize) -> Option<&InputStrings> {
    array.electrical.strings.as_ref()?.get(index)
}

fn at_mut(array: &mut Array, index: usize) -> Option<&mut InputStrings> {
    array.electrical.strings.as_mut()?.get_mut(index)
}

/// The numbers of each input.
fn own_strings(row: &Row<Array>) -> AnyView {
    let count = row.read(|array| array.electrical.strings.as_ref().map_or(0, Vec::len));
    let (each, add) = (row.clone(), row.clone());
    let input = move |index: usize| {
        let remove = each.clone();
        view! {
            <div class="pair">
                {each.quantity_at(
                    &limits::STRINGS_IN_SERIES,
                    &format!("strings-{index}-in_series"),
                    Some(format!("modules in series on input {}", index + 1)),
                    move |array| at(array, index).map_or(limits::STRINGS_IN_SERIES.default, |one| f64::from(one.in_series)),
                    move |array, value| if let Some(one) = at_mut(array, index) { one.in_series = whole(value) },
                )}
                {each.quantity_at(
                    &limits::STRINGS_PARALLEL,
                    &format!("strings-{index}-parallel"),
                    Some(format!("strings in parallel on input {}", index + 1)),
                    move |array| at(array, index).map_or(limits::STRINGS_PARALLEL.default, |one| f64::from(one.parallel)),
                    move |array, value| if let Some(one) = at_mut(array, index) { one.parallel = whole(value) },
                )}
                <Remove
                    what=format!("input {}", index + 1)
                    on_remove=Callback::new(move |()| remove.change(None, "remove an input", |array| {
                        if let Some(strings) = &mut array.electrical.strings
                            && strings.len() > 1
                            && index < strings.len()
                        {
                            strings.remove(index);
                        }
                    }))
                />
            </div>
        }
    };
    view! {
        <fieldset class="horizon">
            <legend>"on each input: modules in series, strings in parallel"</legend>
            <For each=move || 0..count.get() key=|index| *index children=input />
            <Show when=move || count.get() < MOST_INPUTS>
                {
                    let row = add.clone();
                    view! {
                        <button
                            type="button"
                            class="add"
                            on:click=move |_| row.change(None, "add an input", |array| {
                                if let Some(strings) = &mut array.electrical.strings {
                                    let last = strings.last().copied().unwrap_or(InputStrings { in_series: 10, parallel: 1 });
                                    strings.push(last);
                                }
                            })
                        >
                            "Add an input"
                        </button>
                    }
                }
            </Show>
        </fieldset>
    }
    .into_any()
}
