//! Figures of the open option, each with its difference to another option or to the option before a move.

use std::sync::Arc;

use couplet_core::year::Figures;
use leptos::prelude::*;

use super::rows::{Row, Written, rows};
use crate::format;
use crate::parts::not_yet;

/// What the open option is compared to.
#[derive(Clone, Debug)]
pub(crate) struct Against {
    /// In words, such as "before the move" or an option's name.
    pub(crate) name: String,
    /// Its figures of a year.
    pub(crate) figures: Arc<Figures>,
}

impl PartialEq for Against {
    fn eq(&self, other: &Self) -> bool {
        self.name == other.name && Arc::ptr_eq(&self.figures, &other.figures)
    }
}

/// The outcome of a year, beside the drawing.
#[component]
pub(crate) fn Outcomes(
    /// Figures of the open option; none until they have been computed.
    #[prop(into)]
    figures: Signal<Option<Arc<Figures>>>,
    /// What it is compared to, if it is compared.
    #[prop(into)]
    against: Signal<Option<Against>>,
    /// Whether newer figures are on their way.
    #[prop(into)]
    stale: Signal<bool>,
    /// Whether there is a utility.
    #[prop(into)]
    utility: Signal<bool>,
    /// What values are written in.
    #[prop(into)]
    written: Signal<Written>,
) -> impl IntoView {
    let lines = move |rows: &'static [Row]| {
        let (figures, against, written) = (figures.get(), against.get(), written.get());
        rows.iter()
            .filter(|row| is_shown(row, figures.as_deref(), against.as_ref()))
            .map(|row| line(row, figures.as_deref(), against.as_ref(), &written))
            .collect_view()
    };
    let compared = move || {
        against
            .get()
            .map(|against| view! { <th scope="col" class="figure">{against.name}</th> })
    };
    let not_yet = not_yet();
    view! {
        <section class="year-figures" aria-label="Figures of this option" aria-busy=move || stale.get().to_string()>
            <table>
                <caption><h2>"This option in a year"</h2></caption>
                <thead>
                    <tr>
                        <td></td>
                        <th scope="col" class="figure">
                            {move || if stale.get() { not_yet.get() } else { "" }}
                        </th>
                        {compared}
                    </tr>
                </thead>
                <tbody>{move || lines(rows(utility.get()).0)}</tbody>
                <tbody>
                    <tr class="year-figures-part">
                        <th scope="rowgroup" colspan="3">
                            <h2>"Ways the energy went"</h2>
                        </th>
                    </tr>
                    {move || lines(rows(utility.get()).1)}
                </tbody>
            </table>
        </section>
    }
    .into_any()
}

/// Beside the drawing only rows stand that say something: an export limit that is never passed needs no line.
fn is_shown(row: &Row, figures: Option<&Figures>, against: Option<&Against>) -> bool {
    let value = |figures: &Figures| (row.value)(figures);
    let here = figures.and_then(value);
    let there = against.and_then(|against| value(&against.figures));
    match row.name {
        "Over export limit" => here.unwrap_or(0.0) > 0.5 || there.unwrap_or(0.0) > 0.5,
        "Used" | "Peak sold" => false,
        _ => figures.is_none() || here.is_some() || there.is_some(),
    }
}

fn line(
    row: &Row,
    figures: Option<&Figures>,
    against: Option<&Against>,
    written: &Written,
) -> impl IntoView + use<> {
    let value = figures.and_then(row.value);
    let shown = value.map_or_else(
        || format::NONE.to_owned(),
        |value| row.kind.shown(value, written),
    );
    let difference = against.map(|against| {
        let difference = match (value, (row.value)(&against.figures)) {
            (Some(value), Some(to)) => row.kind.difference(value, to, written),
            _ => String::new(),
        };
        view! { <td class="figure difference">{difference}</td> }
    });
    view! {
        <tr>
            <th scope="row">{row.path.map(|path| view! { <span class="path-mark" data-path=path></span> })} {row.name}</th>
            <td class="figure outcome">{shown}</td>
            {difference}
        </tr>
    }
}
