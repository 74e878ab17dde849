//! The page: which region stands where, and what each of them is given.

use leptos::ev;
use leptos::prelude::*;
use wasm_bindgen::JsCast;

use crate::desk::Desk;
use crate::keep::Keep;
use crate::regions::footer::Footer;
use crate::regions::notices::Notices;
use crate::regions::schedules::Schedules;
use crate::regions::top_bar::TopBar;
use crate::study::Study;

/// The whole page.
#[component]
pub(crate) fn Page() -> impl IntoView {
    let keep = Keep::new();
    let desk = Desk::open(keep);
    keep.follow(desk.id, desk.household);
    let study = Study::of(desk);
    let starting = RwSignal::new(false);
    follow_settings(desk);
    listen_for_undo(desk);

    view! {
        <a class="skip" href="#drawing">
            "Skip to the drawing"
        </a>
        <TopBar desk starting />
        <Notices desk study starting />
        <div class="desk">
            <main class="board">
                <section id="drawing" class="region" aria-labelledby="drawing-title" tabindex="-1">
                    <h2 id="drawing-title" class="spoken">"Drawing"</h2>
                </section>
            </main>
            <Schedules desk />
            <aside class="outcomes" aria-label="Outcomes"></aside>
        </div>
        <Footer />
    }
    .into_any()
}

/// Keeps the window's title, theme and reading level as the reader has them.
fn follow_settings(desk: Desk) {
    Effect::new(move |_| {
        let name = desk.household.with(|household| household.name.clone());
        document().set_title(&format!("{name} \u{2013} Couplet"));
    });
    Effect::new(move |_| {
        let settings = desk.keep.settings.get();
        let Some(root) = document().document_element() else {
            return;
        };
        // An attribute that cannot be set leaves the page as the system has it.
        let _ = match settings.theme.attribute() {
            Some(theme) => root.set_attribute("data-theme", theme),
            None => root.remove_attribute("data-theme"),
        };
        let _ = root.set_attribute("data-level", settings.level.attribute());
    });
}

/// Undo and redo by keyboard, wherever the focus is.
fn listen_for_undo(desk: Desk) {
    let listener = window_event_listener(ev::keydown, move |event| {
        if !(event.ctrl_key() || event.meta_key()) || event.alt_key() {
            return;
        }
        match (event.key().to_lowercase().as_str(), event.shift_key()) {
            ("z", false) => {
                event.prevent_default();
                leave_field();
                desk.undo();
            }
            ("z", true) | ("y", false) => {
                event.prevent_default();
                leave_field();
                desk.redo();
            }
            _ => {}
        }
    });
    on_cleanup(move || listener.remove());
}

/// A field that is being typed in shows its draft; an undo must be seen there as well, so the typing ends first.
fn leave_field() {
    if let Some(field) = document()
        .active_element()
        .and_then(|element| element.dyn_into::<web_sys::HtmlInputElement>().ok())
    {
        // Out and in again: the focus stays where it was.
        let _ = field.blur();
        let _ = field.focus();
    }
}
