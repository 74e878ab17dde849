//! What the reader must know now: what the page shows, what is wrong with the inputs, what was not saved, what can be brought back.

use leptos::prelude::*;

use super::household_menu::export;
use super::schedules::field_of_problem;
use crate::desk::Desk;
use crate::keep::SaveState;
use crate::study::Study;

/// The lines between the top bar and the sheet.
#[component]
pub(crate) fn Notices(desk: Desk, study: Study, starting: RwSignal<bool>) -> impl IntoView {
    let invented = Memo::new(move |_| desk.household.with(|household| household.invented));
    view! {
        <div class="notices">
            <Show when=move || invented.get() && !starting.get()>
                <p class="notice">
                    "Invented demonstration household; nothing here is a real home. "
                    <button type="button" class="strong" on:click=move |_| starting.set(true)>
                        "Start your own household"
                    </button>
                </p>
            </Show>
            <Storage desk />
            <SetAside desk />
            <Show when=move || desk.deleted.with(Option::is_some)>
                <p class="notice" role="status">
                    {move || desk.deleted.with(|deleted| deleted.as_ref().map(|deleted| format!("\u{201c}{}\u{201d} was deleted. ", deleted.name())))}
                    <button type="button" on:click=move |_| desk.bring_back()>"Bring it back"</button>
                    <button type="button" class="quiet" on:click=move |_| desk.deleted.set(None)>"dismiss"</button>
                </p>
            </Show>
            <Show when=move || desk.said.with(Option::is_some)>
                <p class="notice" role="alert" data-state="breaks">
                    {move || desk.said.get()}
                    " "
                    <button type="button" class="quiet" on:click=move |_| desk.said.set(None)>"dismiss"</button>
                </p>
            </Show>
            <Show when=move || study.trouble.with(Option::is_some)>
                <p class="notice" role="alert" data-state="breaks">{move || study.trouble.get()}</p>
            </Show>
            <Problems desk study />
        </div>
    }
    .into_any()
}

/// A save that failed, with the file at once; or a save by another tab, with both ways out.
#[component]
fn Storage(desk: Desk) -> impl IntoView {
    let not_saved = move || match desk.keep.state.get() {
        SaveState::NotSaved(reason) => Some(reason),
        _ => None,
    };
    view! {
        <Show when=move || not_saved().is_some()>
            <p class="notice" role="alert" data-state="breaks">
                {move || not_saved().map(|reason| format!("This household is not saved: {reason}. "))}
                <button type="button" class="strong" on:click=move |_| export(desk)>"Save it as a file"</button>
            </p>
        </Show>
        <Show when=move || desk.keep.state.get() == SaveState::OtherTab>
            <p class="notice" role="alert" data-state="breaks">
                "This household was changed in another tab. Nothing is saved here until you choose. "
                <button type="button" on:click=move |_| desk.take_other_tabs_version()>"Take over the other tab\u{2019}s version"</button>
                <button type="button" on:click=move |_| desk.copy_household()>"Keep this version as a copy"</button>
            </p>
        </Show>
    }
}

/// Saves that could not be read.
#[component]
fn SetAside(desk: Desk) -> impl IntoView {
    view! {
        <For each=move || desk.keep.aside.get() key=|aside| aside.clone() let:aside>
            {
                let reason = aside.reason.clone();
                let (to_download, to_drop) = (aside.clone(), aside);
                let downloaded = RwSignal::new(false);
                view! {
                    <p class="notice" role="alert" data-state="breaks">
                        {format!("A saved household could not be opened and was set aside: {reason}. ")}
                        <button
                            type="button"
                            on:click=move |_| {
                                desk.keep.download_aside(&to_download);
                                downloaded.set(true);
                            }
                        >
                            "Download it"
                        </button>
                        <Show when=move || downloaded.get()>
                            <button
                                type="button"
                                class="quiet"
                                on:click={
                                    let aside = to_drop.clone();
                                    move |_| desk.keep.drop_aside(&aside)
                                }
                            >
                                "take it out of this browser"
                            </button>
                        </Show>
                    </p>
                }
            }
        </For>
    }
}

/// What is wrong with the inputs, each with a link to its field.
#[component]
fn Problems(desk: Desk, study: Study) -> impl IntoView {
    let some = move || study.problems.with(|problems| !problems.is_empty());
    let list = move || {
        let household = desk.household.get();
        study.problems.with(|problems| {
            problems
                .iter()
                .take(8)
                .map(|problem| {
                    let text = format!(
                        "{}: {} \u{2013} {}",
                        problem.label, problem.value, problem.right
                    );
                    match field_of_problem(&problem.path, &household) {
                        Some(field) => {
                            let option = field.option;
                            view! {
                                <li>
                                    <a
                                        href=format!("#{}", field.id)
                                        on:click=move |_| {
                                            if let Some(option) = option {
                                                desk.show_option(option);
                                            }
                                        }
                                    >
                                        {text}
                                    </a>
                                </li>
                            }
                            .into_any()
                        }
                        None => view! { <li>{text}</li> }.into_any(),
                    }
                })
                .collect_view()
        })
    };
    view! {
        <Show when=some>
            <div class="notice" role="alert" data-state="breaks">
                <p>
                    "This household cannot be computed as it stands"
                    {move || study.figures.with(|figures| !figures.is_empty()).then_some("; the last good results stay")}
                    ". What is wrong:"
                </p>
                <ul>{list}</ul>
            </div>
        </Show>
    }
}
