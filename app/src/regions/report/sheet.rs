//! The drawing sheet, on a page of its own.

use couplet_core::drawing::{Imprint, Paper, full_sheet, svg};
use leptos::prelude::*;

use super::told::Told;

/// The section.
pub(super) fn sheet(told: &Told, paper: Paper, date: &str) -> AnyView {
    let imprint = Imprint { date };
    let sheet = full_sheet(&told.household, &told.option, &told.details, paper, imprint);
    // The drawing escapes every name that was typed.
    view! { <div class="report-sheet" inner_html=svg(&sheet, "")></div> }.into_any()
}
