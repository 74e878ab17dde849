//! A name, edited in place.

use couplet_core::check::LONGEST_NAME;
use leptos::ev;
use leptos::prelude::*;

use super::problem_of;

/// A name or another short text. Unless it may be left blank it must not be empty; while it is, the last one stays.
#[component]
pub(crate) fn Text(
    /// Names the field in the page.
    id: String,
    /// What it is.
    #[prop(into)]
    label: Signal<String>,
    /// Whether the label is only spoken, since the text speaks for itself.
    #[prop(optional)]
    label_spoken: bool,
    /// Whether it may be left blank.
    #[prop(optional)]
    may_be_blank: bool,
    /// The text that holds now.
    #[prop(into)]
    value: Signal<String>,
    /// Takes a new text.
    on_change: Callback<String>,
    /// Hears that the typing has ended.
    on_done: Callback<()>,
) -> impl IntoView {
    let draft = RwSignal::new(None::<String>);
    let before = StoredValue::new(None::<String>);
    let empty = Memo::new(move |_| {
        let blank = draft.with(|draft| draft.as_ref().is_some_and(|draft| draft.trim().is_empty()));
        blank && !may_be_blank
    });
    // A field that is taken away while it has the focus is left once more, when nothing of it is there any longer.
    let end = move || {
        if draft.try_set(None).is_some() {
            return;
        }
        before.set_value(None);
        on_done.run(());
    };
    let on_input = move |event: ev::Event| {
        if before.with_value(Option::is_none) {
            before.set_value(Some(value.get_untracked()));
        }
        let typed = event_target_value(&event);
        if may_be_blank || !typed.trim().is_empty() {
            on_change.run(typed.trim().to_owned());
        }
        draft.set(Some(typed));
    };
    let on_key = move |event: ev::KeyboardEvent| match event.key().as_str() {
        "Enter" => end(),
        "Escape" => {
            if let Some(text) = before.get_value() {
                on_change.run(text);
            }
            end();
        }
        _ => {}
    };
    let problem = problem_of(&id);
    let message_id = format!("{id}-message");
    view! {
        <div class="text-field">
            <label for=id.clone() class:spoken=label_spoken>
                {label}
            </label>
            <input
                id=id
                type="text"
                autocomplete="off"
                maxlength=LONGEST_NAME.to_string()
                prop:value=move || draft.get().unwrap_or_else(|| value.get())
                aria-invalid=move || (empty.get() || problem.with(Option::is_some)).then_some("true")
                aria-describedby=message_id.clone()
                on:input=on_input
                on:keydown=on_key
                on:blur=move |_| end()
            />
            <p class="message" id=message_id>
                {move || {
                    let nothing = empty.get().then(|| "Nothing given. Give a name.".to_owned());
                    nothing.or_else(|| problem.get())
                }}
            </p>
        </div>
    }
    .into_any()
}
