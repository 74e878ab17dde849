//! Fields and other small parts that regions are made of.

mod choice;
mod figures;
mod file_button;
mod menu;
mod quantity;
mod shown_unit;
mod text;
mod unsound;
mod verdict;

pub(crate) use choice::{Choice, Tick};
pub(crate) use figures::figures;
pub(crate) use file_button::FileButton;
pub(crate) use menu::Menu;
pub(crate) use quantity::{OptionalQuantity, Quantity};
pub(crate) use shown_unit::{ShownUnit, fuel, fuel_difference, number_typed};
pub(crate) use text::Text;
pub(crate) use unsound::{Unsound, not_yet, problem_of};
pub(crate) use verdict::{VerdictMark, outline, verdict_key};

use leptos::prelude::request_animation_frame;
use wasm_bindgen::JsCast;

/// What the ids of fields of the conductor schedule contain, which is empty while it is closed.
const CIRCUIT_FIELDS: [&str; 2] = ["-output-", "circuit-"];

/// Goes to a field wherever it is folded away: opens what it lies in, brings it into sight and gives it the focus. Where the field
/// itself is not on the page, its group is: the id without its last piece.
pub(crate) fn go_to_field(id: &str) {
    let document = leptos::prelude::document();
    if document.get_element_by_id(id).is_none()
        && CIRCUIT_FIELDS.iter().any(|group| id.contains(group))
        && let Some(schedule) = document.get_element_by_id("conductors")
        && !schedule.has_attribute("open")
    {
        // An attribute of this name can always be set. The schedule fills itself once it has told that it is open.
        let _ = schedule.set_attribute("open", "");
        let id = id.to_owned();
        request_animation_frame(move || request_animation_frame(move || go_to_field(&id)));
        return;
    }
    let mut id = id;
    let element = loop {
        let found = [id.to_owned(), format!("{id}-title"), format!("{id}-name")]
            .iter()
            .find_map(|id| document.get_element_by_id(id));
        if let Some(element) = found {
            break element;
        }
        match id.rsplit_once('-') {
            Some((group, _)) => id = group,
            None => return,
        }
    };
    let mut folded = element.closest("details").ok().flatten();
    while let Some(details) = folded {
        // An attribute of this name can always be set.
        let _ = details.set_attribute("open", "");
        folded = details
            .parent_element()
            .and_then(|parent| parent.closest("details").ok().flatten());
    }
    element.scroll_into_view();
    focus(&element.id());
}

/// Sets the focus on the element of this id, if it is there.
pub(crate) fn focus(id: &str) {
    let element = leptos::prelude::document().get_element_by_id(id);
    if let Some(element) =
        element.and_then(|element| element.dyn_into::<web_sys::HtmlElement>().ok())
    {
        // It fails for nothing that can be focused.
        let _ = element.focus();
    }
}
