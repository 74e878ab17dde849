//! Fields and other small parts that regions are made of.

mod choice;
mod file_button;
mod menu;
mod quantity;
mod shown_unit;
mod text;

pub(crate) use choice::{Choice, Tick};
pub(crate) use file_button::FileButton;
pub(crate) use menu::Menu;
pub(crate) use quantity::Quantity;
pub(crate) use shown_unit::{ShownUnit, fuel};
pub(crate) use text::Text;

use wasm_bindgen::JsCast;

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
