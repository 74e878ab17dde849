//! The third way to move a join: a menu of places.

use couplet_core::drawing::offers;
use leptos::ev;
use leptos::prelude::*;
use web_sys::wasm_bindgen::JsCast;

use super::table::{MenuAt, Table};
use super::{hold, say};

/// The menu, while it is open.
pub(super) fn menu(table: Table) -> impl IntoView {
    move || table.menu.get().map(|at| places(table, at))
}

fn places(table: Table, at: MenuAt) -> AnyView {
    let option = table.option.get_untracked();
    let offers = table
        .household
        .with_untracked(|household| offers(&household.service, &option, at.moving));
    let items: Vec<_> = offers
        .into_iter()
        .enumerate()
        .map(|(index, offer)| {
            let name = say::target_name(&option, offer.target);
            let note = match (offer.refused, offer.stands_here) {
                (None, false) => String::new(),
                _ => say::zone_label(&offer).to_owned(),
            };
            let open = offer.refused.is_none() && !offer.stands_here;
            view! {
                <button
                    type="button"
                    role="menuitem"
                    aria-disabled=(!open).to_string()
                    on:click=move |_| {
                        if open {
                            hold::choose(table, at.moving, index);
                        }
                    }
                >
                    <span>{name}</span>
                    <small>{note}</small>
                </button>
            }
        })
        .collect();
    let list = NodeRef::<leptos::html::Div>::new();
    Effect::new(move |_| {
        if let Some(list) = list.get() {
            focus_item(&list, 0);
        }
    });
    let close = move || {
        table.menu.set(None);
        table.focus(at.moving.part());
    };
    let on_key = move |event: ev::KeyboardEvent| {
        let step = match event.key().as_str() {
            "ArrowDown" => 1,
            "ArrowUp" => -1,
            "Escape" => {
                event.prevent_default();
                event.stop_propagation();
                close();
                return;
            }
            _ => return,
        };
        event.prevent_default();
        if let Some(list) = list.get_untracked() {
            focus_item(&list, step);
        }
    };
    let on_focus_out = move |event: ev::FocusEvent| {
        let inside = list.get_untracked().is_some_and(|list| {
            event
                .related_target()
                .and_then(|target| target.dyn_into::<web_sys::Node>().ok())
                .is_some_and(|node| list.contains(Some(&node)))
        });
        if !inside {
            table.menu.set(None);
        }
    };
    let heading = format!("Move {} to", say::moving_name(&option, at.moving));
    let label = heading.clone();
    view! {
        <div
            node_ref=list
            class="drawing-menu"
            role="menu"
            aria-label=label
            style=format!("left: {:.0}px; top: {:.0}px", at.left_px, at.top_px)
            on:keydown=on_key
            on:focusout=on_focus_out
        >
            <p aria-hidden="true">{heading}</p>
            {items}
        </div>
    }
    .into_any()
}

/// Moves the focus `step` items on from the one that has it, or to the first.
fn focus_item(list: &web_sys::HtmlDivElement, step: i32) {
    let first = list.query_selector("[role=menuitem]").ok().flatten();
    let items: Vec<web_sys::HtmlElement> =
        std::iter::successors(first, web_sys::Element::next_element_sibling)
            .filter_map(|item| item.dyn_into().ok())
            .collect();
    let active = document().active_element();
    let has_focus = items
        .iter()
        .position(|item| active.as_ref() == Some(item.as_ref()));
    let next = match (has_focus, step) {
        (Some(index), 1) => (index + 1) % items.len().max(1),
        (Some(0), -1) => items.len().saturating_sub(1),
        (Some(index), -1) => index - 1,
        _ => 0,
    };
    if let Some(item) = items.get(next) {
        // What cannot take the focus leaves it where it is.
        let _ = item.focus();
    }
}
