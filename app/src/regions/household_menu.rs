//! The menu of households: open, begin, copy, rename, delete; files in and out; how the page is shown.

use couplet_core::document as saved;
use leptos::prelude::*;
use leptos::task::spawn_local;
use wasm_bindgen::JsCast;

use crate::desk::Desk;
use crate::keep::{Theme, UnitSystem, files};
use crate::parts::{Choice, FileButton, Menu, Text};

/// The menu of households.
#[component]
pub(crate) fn HouseholdMenu(desk: Desk, starting: RwSignal<bool>) -> impl IntoView {
    let name = Signal::derive(move || desk.household.with(|household| household.name.clone()));
    let rename = Callback::new(move |name: String| {
        desk.change("rename household", Some("household-name"), |household| {
            household.name = name
        });
    });
    let others = move || {
        let open = desk.id.get();
        desk.keep.list.with(|list| {
            list.iter()
                .filter(|entry| entry.id != open)
                .map(|entry| {
                    let id = entry.id;
                    view! {
                        <li>
                            <button type="button" class="quiet" on:click=move |_| desk.open_kept(id)>
                                {entry.name.clone()}
                            </button>
                        </li>
                    }
                })
                .collect_view()
        })
    };
    view! {
        <Menu face="household">
                <Text
                    id="household-name".to_owned()
                    label="Name of this household"
                    value=name
                    on_change=rename
                    on_done=Callback::new(move |()| desk.close_merge())
                />
                <div class="menu-row">
                    <button type="button" on:click=move |_| starting.set(true)>
                        "New household\u{2026}"
                    </button>
                    <button type="button" on:click=move |_| desk.copy_household()>
                        "Copy this one"
                    </button>
                    <button type="button" on:click=move |_| desk.delete_household()>
                        "Delete this one"
                    </button>
                </div>
                <h2 class="label">"Other households in this browser"</h2>
                <ul role="list" class="households">{others}</ul>
                <button type="button" class="quiet" on:click=move |_| desk.begin(saved::demo())>
                    "Open the invented demonstration"
                </button>
                <h2 class="label">"Files"</h2>
                <div class="menu-row">
                    <button type="button" on:click=move |_| export(desk)>
                        "Export as a file"
                    </button>
                    <FileButton
                        id="import-file"
                        accept=".json,application/json"
                        on_file=Callback::new(move |file| import(desk, file))
                    >
                        "Import a file\u{2026}"
                    </FileButton>
                </div>
                <Appearance desk />
        </Menu>
    }
    .into_any()
}

/// Theme and units.
#[component]
fn Appearance(desk: Desk) -> impl IntoView {
    let settings = desk.keep.settings;
    let themes: Vec<_> = Theme::ALL
        .iter()
        .map(|theme| (theme.name().to_owned(), true))
        .collect();
    let units = vec![
        ("metric (\u{b0}C, m)".to_owned(), true),
        ("US (\u{b0}F, ft)".to_owned(), true),
    ];
    view! {
        <h2 class="label">"Appearance"</h2>
        <Choice
            id="theme".to_owned()
            label="Theme"
            items=themes
            chosen=Signal::derive(move || Theme::ALL.iter().position(|theme| *theme == settings.get().theme))
            on_change=Callback::new(move |index: usize| {
                if let Some(theme) = Theme::ALL.get(index) {
                    settings.update(|settings| settings.theme = *theme);
                }
            })
        />
        <Choice
            id="units".to_owned()
            label="Units"
            items=units
            chosen=Signal::derive(move || Some(usize::from(settings.get().units == UnitSystem::Us)))
            on_change=Callback::new(move |index: usize| {
                settings.update(|settings| {
                    settings.units = if index == 1 { UnitSystem::Us } else { UnitSystem::Metric };
                });
            })
        />
    }
}

/// Offers the household as a file.
pub(crate) fn export(desk: Desk) {
    let household = desk.household.get_untracked();
    files::hand_out(
        &files::file_name(&household.name, "couplet.json"),
        "application/json",
        &saved::write(&household),
    );
}

/// Puts the household of a file on the desk, as one of its own; what cannot be read is said.
pub(crate) fn import(desk: Desk, file: web_sys::File) {
    spawn_local(async move {
        let name = file.name();
        let read = match files::text_of(&file).await {
            Ok(text) => saved::read(&text).map_err(|problem| problem.to_string()),
            Err(reason) => Err(reason),
        };
        match read {
            Ok(read) => {
                desk.said.set(None);
                desk.begin(read.household);
            }
            Err(reason) => desk.say(format!("{name} was not imported: {reason}.")),
        }
    });
}

/// The file of a drop, if there is one.
pub(crate) fn dropped_file(event: &web_sys::DragEvent) -> Option<web_sys::File> {
    event
        .data_transfer()?
        .files()?
        .get(0)
        .map(JsCast::unchecked_into)
}
