//! The bar at the top: the name, the options as tabs of the sheet set, undo and redo, reading level, households.

use couplet_core::household::OptionId;
use leptos::ev;
use leptos::prelude::*;

use super::household_menu::HouseholdMenu;
use crate::desk::Desk;
use crate::keep::SaveState;
use crate::parts::{Menu, Text, focus};
use crate::words::Level;

/// The bar at the top of the page.
#[component]
pub(crate) fn TopBar(
    desk: Desk,
    starting: RwSignal<bool>,
    reporting: RwSignal<bool>,
) -> impl IntoView {
    view! {
        <header class="top-bar">
            <h1 class="wordmark" aria-label="Couplet">
                <span aria-hidden="true">"c"</span>
                <span aria-hidden="true" data-path="ac">"ou"</span>
                <span aria-hidden="true">"pl"</span>
                <span aria-hidden="true" data-path="dc">"et"</span>
            </h1>
            <OptionTabs desk />
            <div class="bar-tools">
                <UndoRedo desk />
                <ReadingLevel desk />
                <button
                    type="button"
                    id="open-report"
                    class="quiet"
                    aria-pressed=move || reporting.get().to_string()
                    on:click=move |_| reporting.update(|reporting| *reporting = !*reporting)
                >
                    "report"
                </button>
                <HouseholdMenu desk starting />
                <Saved desk />
            </div>
        </header>
    }
    .into_any()
}

/// The options as tabs; the arrow keys go from one to the next.
#[component]
fn OptionTabs(desk: Desk) -> impl IntoView {
    let tabs = Memo::new(move |_| {
        desk.household.with(|household| {
            household
                .options
                .iter()
                .map(|option| (option.id, option.name.clone()))
                .collect::<Vec<_>>()
        })
    });
    let go = move |by: isize| {
        let tabs = tabs.get_untracked();
        let open = desk.option_id.get_untracked();
        let at = tabs.iter().position(|(id, _)| *id == open).unwrap_or(0);
        if let Some((id, _)) = at.checked_add_signed(by).and_then(|at| tabs.get(at)) {
            desk.show_option(*id);
            focus_tab(*id);
        }
    };
    let on_key = move |event: ev::KeyboardEvent| {
        let by = match event.key().as_str() {
            "ArrowRight" => 1,
            "ArrowLeft" => -1,
            _ => return,
        };
        event.prevent_default();
        go(by);
    };
    view! {
        <nav class="options" aria-label="Options">
            <div class="tabs" role="tablist" aria-label="Options of this household" on:keydown=on_key>
                <For each=move || tabs.get() key=|tab| tab.clone() let:tab>
                    <OptionTab desk id=tab.0 name=tab.1 />
                </For>
            </div>
            <OptionMenu desk />
        </nav>
    }
}

#[component]
fn OptionTab(desk: Desk, id: OptionId, name: String) -> impl IntoView {
    let open = Memo::new(move |_| desk.option_id.get() == id);
    view! {
        <button
            type="button"
            role="tab"
            id=tab_id(id)
            aria-selected=move || if open.get() { "true" } else { "false" }
            aria-controls="drawing"
            tabindex=move || if open.get() { "0" } else { "-1" }
            on:click=move |_| desk.show_option(id)
        >
            {name}
        </button>
    }
}

fn tab_id(id: OptionId) -> String {
    format!("option-tab-{}", id.0)
}

fn focus_tab(id: OptionId) {
    focus(&tab_id(id));
}

/// What can be done with the open option.
#[component]
fn OptionMenu(desk: Desk) -> impl IntoView {
    let place = Memo::new(move |_| {
        let open = desk.option_id.get();
        desk.household.with(|household| {
            let at = household
                .options
                .iter()
                .position(|option| option.id == open);
            (at.unwrap_or(0), household.options.len())
        })
    });
    let name = move || {
        desk.option
            .with(|option| option.as_ref().map(|option| option.name.clone()))
            .unwrap_or_default()
    };
    let rename = Callback::new(move |name: String| {
        desk.change_option("rename option", Some("option-name"), |option| {
            option.name = name
        });
    });
    view! {
           <button
               type="button"
               class="tab-add"
               title="Add an option: a copy of the open one"
               aria-label="Add an option: a copy of the open one"
               on:click=move |_| {
                   desk.copy_option();
                   focus_tab(desk.option_id.get_untracked());
               }
           >
               "+"
           </button>
           <Menu face="\u{22ef}" label="Change the open option">
                   <Text
                       id="option-name".to_owned()
                       label="Name of this option"
                       value=Signal::derive(name)
                       on_change=rename
                       on_done=Callback::new(move |()| desk.close_merge())
                   />
                   <button
                       type="button"
                       data-stays=""
                       disabled=move || place.get().0 < 2
                       on:click=move |_| desk.shift_option(false)
                   >
                       "Move left"
                   </button>
                   <button
                       type="button"
                       data-stays=""
                       disabled=move || {
    let (at, count) = place.get(); at == 0 || at + 1 >= count }
                       on:click=move |_| desk.shift_option(true)
                   >
                       "Move right"
                   </button>
                   <button
                       type="button"
                       disabled=move || place.get().0 == 0
                       on:click=move |_| desk.delete_option()
                   >
                       "Delete this option"
                   </button>
                   <p class="note">"The first option, as it stands, is always there."</p>
           </Menu>
       }
}

#[component]
fn UndoRedo(desk: Desk) -> impl IntoView {
    let what = |verb: &str, label: Option<String>| match label {
        Some(label) => format!("{verb}: {label}"),
        None => format!("{verb}: nothing"),
    };
    view! {
        <div class="undo-redo">
            <button
                type="button"
                class="quiet"
                disabled=move || desk.undo_label.with(Option::is_none)
                title=move || what("Undo", desk.undo_label.get())
                aria-label=move || what("Undo", desk.undo_label.get())
                aria-keyshortcuts="Control+Z"
                on:click=move |_| desk.undo()
            >
                "undo"
            </button>
            <button
                type="button"
                class="quiet"
                disabled=move || desk.redo_label.with(Option::is_none)
                title=move || what("Redo", desk.redo_label.get())
                aria-label=move || what("Redo", desk.redo_label.get())
                aria-keyshortcuts="Control+Shift+Z"
                on:click=move |_| desk.redo()
            >
                "redo"
            </button>
        </div>
    }
}

#[component]
fn ReadingLevel(desk: Desk) -> impl IntoView {
    let settings = desk.keep.settings;
    let button = move |level: Level, name: &'static str, title: &'static str| {
        view! {
            <button
                type="button"
                class="quiet"
                title=title
                aria-pressed=move || if settings.with(|settings| settings.level == level) { "true" } else { "false" }
                on:click=move |_| settings.update(|settings| settings.level = level)
            >
                {name}
            </button>
        }
    };
    view! {
        <div class="reading-level" role="group" aria-label="Reading level">
            {button(Level::Plain, "plain", "Everyday words, details folded away")}
            {button(Level::Trade, "trade", "Trade words, details open")}
        </div>
    }
}

/// Whether the household is safe.
#[component]
fn Saved(desk: Desk) -> impl IntoView {
    let text = move || match desk.keep.state.get() {
        SaveState::Saved { at_ms } => format!("saved {}", clock_time(at_ms)),
        SaveState::NotSaved(reason) => format!("not saved: {reason}"),
        SaveState::OtherTab => "not saved: changed in another tab".to_owned(),
    };
    let safe = move || matches!(desk.keep.state.get(), SaveState::Saved { .. });
    view! {
        <p class="saved" data-state=move || if safe() { "holds" } else { "breaks" }>
            {text}
        </p>
    }
}

/// Hours and minutes in the browser's locale.
fn clock_time(at_ms: f64) -> String {
    let date = js_sys::Date::new(&at_ms.into());
    let options = js_sys::Object::new();
    for name in ["hour", "minute"] {
        // Setting a property of a plain object does not fail.
        let _ = js_sys::Reflect::set(&options, &name.into(), &"2-digit".into());
    }
    date.to_locale_time_string_with_options("default", &options)
        .into()
}
