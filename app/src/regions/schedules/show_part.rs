//! Brings the schedule of a part into sight.

use couplet_core::drawing::Part;
use couplet_core::household::OptionId;
use leptos::prelude::*;
use wasm_bindgen::JsCast;
use web_sys::HtmlElement;

/// Scrolls the column of schedules to the part, where it is a column of its own; the page itself stays where it is, and so does the
/// focus, since the part is pointed at on the drawing.
pub(crate) fn show_part(part: Part, option: OptionId) {
    let Some(column) = element("schedules") else {
        return;
    };
    let Some(field) = element(&id_of(part, option)) else {
        return;
    };
    let top = field.get_bounding_client_rect().top() - column.get_bounding_client_rect().top();
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a column is a few thousand pixels high"
    )]
    column.set_scroll_top(column.scroll_top() + top as i32 - 24);
}

fn element(id: &str) -> Option<HtmlElement> {
    document().get_element_by_id(id)?.dyn_into().ok()
}

/// The element that begins the part's schedule.
fn id_of(part: Part, option: OptionId) -> String {
    let of_option = |kind: &str, id: u32| format!("option-{}-{kind}-{id}-name", option.0);
    match part {
        Part::Array(id) => of_option("array", id.0),
        Part::PvInverter(id) => of_option("pv-inverter", id.0),
        Part::Storage(id) => of_option("storage", id.0),
        Part::Device(id) => format!("device-{}-name", id.0),
        Part::Plane(id) => format!("plane-{}-name", id.0),
        Part::Generator => format!("option-{}-generator-name", option.0),
        Part::Base(_) => "loads-title".to_owned(),
        Part::Service | Part::Transfer => "service-title".to_owned(),
    }
}
