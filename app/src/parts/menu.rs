//! A menu that opens below its button.

use leptos::ev;
use leptos::html;
use leptos::prelude::*;
use wasm_bindgen::JsCast;

/// A menu that opens below its button. It closes by Escape, by a press elsewhere and by what is chosen in it, except for buttons
/// that carry `data-stays`.
#[component]
pub(crate) fn Menu(
    /// What the button shows.
    face: &'static str,
    /// What the button is called, where its face is no word.
    #[prop(optional)]
    label: Option<&'static str>,
    children: Children,
) -> impl IntoView {
    let details = NodeRef::<html::Details>::new();
    let summary = NodeRef::<html::Summary>::new();
    let close = move || {
        if let Some(details) = details.get_untracked() {
            details.set_open(false);
        }
    };
    let outside = window_event_listener(ev::pointerdown, move |event| {
        let Some(details) = details.try_get_untracked().flatten() else {
            return;
        };
        let target = event
            .target()
            .and_then(|target| target.dyn_into::<web_sys::Node>().ok());
        if details.open() && !details.contains(target.as_ref()) {
            details.set_open(false);
        }
    });
    on_cleanup(move || outside.remove());
    let on_key = move |event: ev::KeyboardEvent| {
        // A field in the menu takes Escape for itself while something is being typed.
        if event.key() == "Escape" && !event.default_prevented() {
            close();
            if let Some(summary) = summary.get_untracked() {
                // It is there and can be focused.
                let _ = summary.focus();
            }
        }
    };
    let on_click = move |event: ev::MouseEvent| {
        let button = event
            .target()
            .and_then(|target| target.dyn_into::<web_sys::Element>().ok())
            .and_then(|target| target.closest("button").ok().flatten());
        if button.is_some_and(|button| !button.has_attribute("data-stays")) {
            close();
        }
    };
    view! {
        <details class="menu" node_ref=details on:keydown=on_key>
            <summary node_ref=summary aria-label=label>
                {face}
            </summary>
            <div class="menu-sheet" on:click=on_click>
                {children()}
            </div>
        </details>
    }
    .into_any()
}
