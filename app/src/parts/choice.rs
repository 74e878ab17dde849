//! One of a few, and yes or no.

use leptos::prelude::*;

/// One of a few things, as a menu. Each item is its text and whether it can be chosen.
#[component]
pub(crate) fn Choice(
    /// Names the field in the page.
    id: String,
    /// What it is.
    #[prop(into)]
    label: Signal<String>,
    /// Whether the label is only spoken, since a table's heading shows it.
    #[prop(optional)]
    label_spoken: bool,
    /// What can be chosen, in order.
    #[prop(into)]
    items: Signal<Vec<(String, bool)>>,
    /// Which of them holds; none: nothing of them.
    #[prop(into)]
    chosen: Signal<Option<usize>>,
    /// Takes the place of the chosen item.
    on_change: Callback<usize>,
) -> impl IntoView {
    let options = move || {
        items.with(|items| {
            items
                .iter()
                .enumerate()
                .map(|(index, (text, open))| {
                    view! {
                        <option
                            value=index.to_string()
                            disabled=!open
                            selected=move || chosen.get() == Some(index)
                        >
                            {text.clone()}
                        </option>
                    }
                })
                .collect_view()
        })
    };
    view! {
        <div class="choice">
            <label for=id.clone() class:spoken=label_spoken>
                {label}
            </label>
            <select
                id=id
                prop:value=move || chosen.get().map(|index| index.to_string()).unwrap_or_default()
                on:change=move |event| {
                    if let Ok(index) = event_target_value(&event).parse() {
                        on_change.run(index);
                    }
                }
            >
                {options}
            </select>
        </div>
    }
    .into_any()
}

/// Yes or no.
#[component]
pub(crate) fn Tick(
    /// Names the field in the page.
    id: String,
    /// What holds when it is ticked.
    #[prop(into)]
    label: Signal<String>,
    /// Whether it holds.
    #[prop(into)]
    value: Signal<bool>,
    /// Takes the other answer.
    on_change: Callback<bool>,
) -> impl IntoView {
    view! {
        <div class="tick">
            <label for=id.clone()>{label}</label>
            <input
                id=id
                type="checkbox"
                prop:checked=value
                on:change=move |event| on_change.run(event_target_checked(&event))
            />
        </div>
    }
    .into_any()
}
