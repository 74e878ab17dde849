//! A place found by its name.

use leptos::ev;
use leptos::prelude::*;
use leptos::task::spawn_local;

use crate::parts::focus;
use crate::place_list::{Found, PlaceList};

const SHOWN: usize = 8;

/// A field in which a place is looked up; the list of places is fetched when the field is entered first.
#[component]
pub(crate) fn PlaceSearch(
    /// Names the field in the page.
    id: &'static str,
    /// Takes the place that was chosen.
    on_place: Callback<Found>,
) -> impl IntoView {
    let list = RwSignal::new(PlaceList::NotYet);
    let typed = RwSignal::new(String::new());
    let at = RwSignal::new(0_usize);
    let found = Memo::new(move |_| typed.with(|typed| list.with(|list| list.search(typed, SHOWN))));
    let fetch = move || {
        if list.with_untracked(|list| matches!(list, PlaceList::NotYet)) {
            list.set(PlaceList::Coming);
            spawn_local(async move {
                let fetched = PlaceList::fetch().await;
                let _ = list.try_set(fetched);
            });
        }
    };
    let choose = move |place: Found| {
        typed.set(String::new());
        on_place.run(place);
        focus(id);
    };
    let on_key = move |event: ev::KeyboardEvent| {
        let count = found.with_untracked(Vec::len);
        match event.key().as_str() {
            "ArrowDown" if count > 0 => at.update(|at| *at = (*at + 1) % count),
            "ArrowUp" if count > 0 => at.update(|at| *at = (*at + count - 1) % count),
            "Enter" => {
                if let Some(place) =
                    found.with_untracked(|found| found.get(at.get_untracked()).cloned())
                {
                    choose(place);
                }
            }
            "Escape" => typed.set(String::new()),
            _ => return,
        }
        event.prevent_default();
    };
    let option_id = move |index: usize| format!("{id}-{index}");
    let open = move || found.with(|found| !found.is_empty());
    let items = move || {
        found
            .get()
            .into_iter()
            .enumerate()
            .map(|(index, place)| {
                let text = place.text();
                view! {
                    <li
                        role="option"
                        id=option_id(index)
                        aria-selected=move || if at.get() == index { "true" } else { "false" }
                        // Before the field loses focus.
                        on:mousedown=move |event| {
                            event.prevent_default();
                            choose(place.clone());
                        }
                    >
                        {text}
                    </li>
                }
            })
            .collect_view()
    };
    let status = move || {
        typed.with(|typed| {
            list.with(|list| match list {
                PlaceList::Missing(reason) => Some(format!(
                    "Places cannot be looked up: {reason}. Type latitude and longitude instead."
                )),
                PlaceList::Here(_) if !typed.trim().is_empty() && !open() => {
                    Some("No such place in the list; take a larger town nearby.".to_owned())
                }
                _ => None,
            })
        })
    };
    view! {
        <div class="place-search">
            <label for=id>"find a place"</label>
            <input
                id=id
                type="text"
                role="combobox"
                autocomplete="off"
                aria-autocomplete="list"
                aria-expanded=move || if open() { "true" } else { "false" }
                aria-controls=format!("{id}-list")
                aria-activedescendant=move || open().then(|| option_id(at.get()))
                placeholder="town"
                prop:value=move || typed.get()
                on:focus=move |_| fetch()
                on:input=move |event| {
                    fetch();
                    at.set(0);
                    typed.set(event_target_value(&event));
                }
                on:keydown=on_key
                on:blur=move |_| { let _ = typed.try_set(String::new()); }
            />
            <ul class="found" role="listbox" id=format!("{id}-list") aria-label="Places" hidden=move || !open()>
                {items}
            </ul>
            <p class="message" role="status">{status}</p>
        </div>
    }
    .into_any()
}
