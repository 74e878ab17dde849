//! The field through which every number is typed.

use couplet_core::limits::Limit;
use leptos::ev;
use leptos::prelude::*;

use super::ShownUnit;

/// What is wrong with a typed text.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Fault {
    NotANumber,
    OutOfRange,
}

/// A number with its unit, edited in place.
///
/// Each right number that is typed is handed to `on_change` at once; a wrong one is said beside the field, and the last right one
/// stays. Enter and leaving the field end the typing (`on_done`), Escape goes back to the number at its beginning, up and down
/// step through round numbers (with Shift through larger steps).
#[component]
pub(crate) fn Quantity(
    /// Names the field in the page, and links a problem to it.
    id: String,
    /// What it is.
    #[prop(into)]
    label: Signal<String>,
    /// Whether the label is only spoken, since a table's heading shows it.
    #[prop(optional)]
    label_spoken: bool,
    /// Its row: range, default and where that comes from.
    limit: &'static Limit,
    /// How it is shown.
    #[prop(into)]
    unit: Signal<ShownUnit>,
    /// The number that holds now.
    #[prop(into)]
    value: Signal<f64>,
    /// Takes a new right number.
    on_change: Callback<f64>,
    /// Hears that the typing has ended.
    on_done: Callback<()>,
) -> impl IntoView {
    // The text that is being typed, and the number at the beginning of it.
    let draft = RwSignal::new(None::<String>);
    let before = StoredValue::new(None::<f64>);

    let fault = Memo::new(move |_| {
        let typed = draft.get()?;
        match unit.with(|unit| unit.read(&typed)) {
            Some(kept) if limit.admits(kept) => None,
            Some(_) => Some(Fault::OutOfRange),
            None => Some(Fault::NotANumber),
        }
    });
    let message = move || {
        fault.get().map(|fault| {
            let range = unit
                .with(|unit| format!("{} to {}", unit.text(limit.least), unit.text(limit.most)));
            let typed = draft.get().unwrap_or_default();
            match fault {
                Fault::NotANumber if typed.trim().is_empty() => {
                    format!("Nothing given. Give {range}.")
                }
                Fault::NotANumber => {
                    format!("\u{201c}{typed}\u{201d} is not a number. Give {range}.")
                }
                Fault::OutOfRange => format!("{typed} is out of range. Give {range}."),
            }
        })
    };
    let hint = move || {
        unit.with(|unit| {
            format!(
                "{} to {}. Usual: {}. {}",
                unit.text(limit.least),
                unit.text(limit.most),
                unit.text(limit.default),
                limit.source
            )
        })
    };

    let begin = move || {
        if before.get_value().is_none() {
            before.set_value(Some(value.get_untracked()));
        }
    };
    let take = move |kept: f64| {
        if limit.admits(kept) {
            on_change.run(kept);
        }
    };
    let on_input = move |event: ev::Event| {
        begin();
        let typed = event_target_value(&event);
        if let Some(kept) = unit.with_untracked(|unit| unit.read(&typed)) {
            take(kept);
        }
        draft.set(Some(typed));
    };
    let end = move || {
        if fault.get_untracked().is_none() {
            draft.set(None);
        }
        before.set_value(None);
        on_done.run(());
    };
    let on_key = move |event: ev::KeyboardEvent| match event.key().as_str() {
        "Enter" => end(),
        "Escape" => {
            if let Some(kept) = before.get_value() {
                on_change.run(kept);
            }
            draft.set(None);
            end();
        }
        key @ ("ArrowUp" | "ArrowDown") => {
            event.prevent_default();
            begin();
            let kept = unit.with_untracked(|unit| {
                unit.step(
                    limit,
                    value.get_untracked(),
                    key == "ArrowUp",
                    event.shift_key(),
                )
            });
            draft.set(None);
            take(kept);
        }
        _ => {}
    };

    let message_id = format!("{id}-message");
    view! {
        <div class="quantity" data-state=move || fault.with(Option::is_some).then_some("wrong")>
            <label for=id.clone() class:spoken=label_spoken>
                {label}
            </label>
            <span class="entry">
                <input
                    id=id
                    type="text"
                    inputmode="decimal"
                    autocomplete="off"
                    title=hint
                    prop:value=move || draft.get().unwrap_or_else(|| unit.with(|unit| unit.digits(value.get())))
                    aria-invalid=move || fault.with(Option::is_some).then_some("true")
                    aria-describedby=message_id.clone()
                    on:input=on_input
                    on:keydown=on_key
                    on:blur=move |_| end()
                />
                <span class="unit">{move || unit.with(|unit| unit.symbol.clone())}</span>
            </span>
            <p class="message" id=message_id>
                {message}
            </p>
        </div>
    }
    .into_any()
}
