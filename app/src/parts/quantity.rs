//! The field through which every number is typed.

use couplet_core::limits::{Limit, Unit};
use leptos::ev;
use leptos::prelude::*;

use super::ShownUnit;
use super::problem_of;
use crate::format;

/// What is wrong with a typed text.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Fault {
    NotANumber,
    OutOfRange,
}

/// A number with its unit, edited in place.
///
/// Each right number that is typed is handed to `on_change` at once; a wrong one is said beside the field, and the number at the
/// beginning of the typing holds again. Enter and leaving the field end the typing (`on_done`), Escape goes back to the number at its beginning, up and down
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
    view! {
        <Entry
            id
            label
            label_spoken
            limit
            unit
            value=Signal::derive(move || Some(value.get()))
            proposed=None
            on_change=Callback::new(move |value: Option<f64>| {
                if let Some(value) = value {
                    on_change.run(value);
                }
            })
            on_done
        />
    }
    .into_any()
}

/// A number that may be left open: while nothing is typed, what stands in its place is shown in grey, and holds.
#[component]
pub(crate) fn OptionalQuantity(
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
    /// The number that was typed, if one was.
    #[prop(into)]
    value: Signal<Option<f64>>,
    /// What holds while none is typed, if anything does.
    #[prop(into)]
    proposed: Signal<Option<f64>>,
    /// Takes a new right number, or none.
    on_change: Callback<Option<f64>>,
    /// Hears that the typing has ended.
    on_done: Callback<()>,
) -> impl IntoView {
    view! {
        <Entry id label label_spoken limit unit value proposed=Some(proposed) on_change on_done />
    }
    .into_any()
}

/// What was probably meant by a number that is out of range: the sign, or for a coefficient the decimal point, is at fault.
fn meant(limit: &Limit, kept: f64) -> Option<f64> {
    let factors: &[f64] = match limit.unit {
        Unit::PerC => &[-1.0, 100.0, -100.0, 0.01, -0.01],
        _ => &[-1.0],
    };
    factors
        .iter()
        .map(|factor| factor * kept)
        .find(|value| kept != 0.0 && limit.admits(*value))
}

/// The field itself; with `proposed` it may be left open.
#[component]
fn Entry(
    id: String,
    label: Signal<String>,
    label_spoken: bool,
    limit: &'static Limit,
    unit: Signal<ShownUnit>,
    value: Signal<Option<f64>>,
    proposed: Option<Signal<Option<f64>>>,
    on_change: Callback<Option<f64>>,
    on_done: Callback<()>,
) -> impl IntoView {
    // The text that is being typed, and the number at the beginning of it.
    let draft = RwSignal::new(None::<String>);
    let before = StoredValue::new(None::<Option<f64>>);

    let fault = Memo::new(move |_| {
        let typed = draft.get()?;
        if proposed.is_some() && typed.trim().is_empty() {
            return None;
        }
        match unit.with(|unit| unit.read(&typed)) {
            Some(kept) if limit.admits(kept) => None,
            Some(_) => Some(Fault::OutOfRange),
            None => Some(Fault::NotANumber),
        }
    });
    let problem = problem_of(&id);
    let is_wrong = move || fault.with(Option::is_some) || problem.with(Option::is_some);
    let message = move || {
        let found = fault.get().map(|fault| {
            let range = unit
                .with(|unit| format!("{} to {}", unit.text(limit.least), unit.text(limit.most)));
            let typed = draft.get().unwrap_or_default();
            match fault {
                Fault::NotANumber if typed.trim().is_empty() => {
                    format!("Nothing given. Give {range}.")
                }
                Fault::NotANumber if limit.unit == Unit::PerC && typed.to_lowercase().contains('v') => {
                    format!("A figure in V or mV per degree: divide it by the module\u{2019}s voltage. Give {range}.")
                }
                Fault::NotANumber => {
                    format!("\u{201c}{typed}\u{201d} is not a number. Give {range}.")
                }
                Fault::OutOfRange => {
                    let likely = unit
                        .with(|unit| unit.read(&typed))
                        .and_then(|kept| meant(limit, kept))
                        .map(|kept| format!(" Is {} meant?", unit.with(|unit| unit.text(kept))))
                        .unwrap_or_default();
                    format!("{typed} is out of range.{likely} Give {range}.")
                }
            }
        });
        found.or_else(|| problem.get())
    };
    let hint = move || {
        unit.with(|unit| {
            let range = format!("{} to {}.", unit.text(limit.least), unit.text(limit.most));
            match proposed {
                // No amount is usual.
                None if matches!(limit.unit, Unit::Cur | Unit::CurPerYear | Unit::CurPerL) => range,
                None => format!(
                    "{range} Usual: {}. {}",
                    unit.text(limit.default),
                    limit.source
                ),
                Some(proposed) => match proposed.get() {
                    Some(proposed) => {
                        format!("{range} While nothing is typed: {}.", unit.text(proposed))
                    }
                    None => format!("{range} May be left open."),
                },
            }
        })
    };
    let placeholder = move || {
        Some(proposed?.get().map_or_else(
            || format::NONE.to_owned(),
            |proposed| unit.with(|unit| unit.digits_rounded(proposed)),
        ))
    };

    let begin = move || {
        if before.get_value().is_none() {
            before.set_value(Some(value.get_untracked()));
        }
    };
    let put_back = move || {
        if let Some(kept) = before.get_value() {
            on_change.run(kept);
        }
    };
    let take = move |kept: f64| {
        if limit.admits(kept) {
            on_change.run(Some(kept));
        }
    };
    let on_input = move |event: ev::Event| {
        begin();
        let typed = event_target_value(&event);
        let read = unit.with_untracked(|unit| unit.read(&typed));
        match read.filter(|kept| limit.admits(*kept)) {
            Some(kept) => on_change.run(Some(kept)),
            None if proposed.is_some() && typed.trim().is_empty() => on_change.run(None),
            // The beginning of a text that does not fit is no number that was meant.
            None => put_back(),
        }
        draft.set(Some(typed));
    };
    // A field that is taken away while it has the focus is left once more, when nothing of it is there any longer.
    let end = move || {
        let Some(fault) = fault.try_get_untracked() else {
            return;
        };
        if fault.is_none() {
            draft.set(None);
        }
        before.set_value(None);
        on_done.run(());
    };
    let on_key = move |event: ev::KeyboardEvent| match event.key().as_str() {
        "Enter" => end(),
        "Escape" => {
            put_back();
            draft.set(None);
            end();
        }
        key @ ("ArrowUp" | "ArrowDown") => {
            event.prevent_default();
            begin();
            let kept = unit.with_untracked(|unit| {
                unit.step(
                    limit,
                    value
                        .get_untracked()
                        .or_else(|| proposed?.get_untracked())
                        .unwrap_or(limit.default),
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
        <div class="quantity" data-state=move || is_wrong().then_some("wrong")>
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
                    placeholder=placeholder
                    prop:value=move || {
                        draft.get().unwrap_or_else(|| {
                            value.get().map(|value| unit.with(|unit| unit.digits(value))).unwrap_or_default()
                        })
                    }
                    aria-invalid=move || is_wrong().then_some("true")
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

#[cfg(test)]
mod tests {
    use super::meant;
    use couplet_core::limits;

    #[test]
    fn a_wrong_sign_and_a_wrong_unit_are_recognised() {
        let coefficient = &limits::MODULE_VOC_PER_C;
        let near =
            |kept: f64| meant(coefficient, kept).is_some_and(|value| (value + 0.0027).abs() < 1e-9);
        assert!(near(0.0027), "the sign");
        assert!(near(-0.000_027), "a share typed where per cent are shown");
        assert!(near(0.000_027), "both");
        assert!(near(-0.27), "per cent where a share is meant");
        assert_eq!(meant(&limits::MODULE_ISC_A, -13.8), Some(13.8));
        assert_eq!(meant(&limits::MODULE_VOC_V, 0.0), None);
    }
}
