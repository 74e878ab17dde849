//! Export control on the day at the cursor, second by second.

use leptos::prelude::*;

use super::asked;
use super::table::{figures_under, table};
use super::told::Told;
use crate::format;
use crate::inquiry::Inquiry;
use crate::regions::export_control::{HEADS, picture, rows};
use crate::work::protocol::{ExportDay, Found, Topic};

/// The section; none where the utility sets no limit, or no PV could pass it.
pub(super) fn export(told: &Told, inquiry: Inquiry) -> Option<AnyView> {
    if !asked::limits_pv(&told.household, &told.option) {
        return None;
    }
    let level = told.level;
    let topic = Topic::ExportControl;
    Some(asked::when_known(
        inquiry,
        topic,
        told.option.id,
        move |found| match found {
            Found::ExportControl(found) => Some(shown(found, level)),
            _ => None,
        },
    ))
}

fn shown(found: &ExportDay, level: crate::words::Level) -> AnyView {
    let heads = figures_under(HEADS);
    let rows = rows(found, level)
        .into_iter()
        .map(|(way, cells)| std::iter::once(way.to_owned()).chain(cells).collect())
        .collect();
    let about = format!(
        "The utility takes no more than {}. Controls need time to answer, so something may pass the limit when clouds break or loads stop. The {} was run second by second as the PV inverters are set, and with each other way of limiting them. The day is the one at the cursor of the desk.",
        format::power(found.limit_w).text(),
        format::date(found.day)
    );
    view! {
        <p>{about}</p>
        {picture(&found.trace, found.limit_w)}
        {table(&heads, rows)}
    }
    .into_any()
}
