//! Options set side by side, and the figures of the open one with their difference to another.

pub(crate) mod outcomes;
pub(crate) mod rows;

use std::sync::Arc;

use couplet_core::household::OptionId;
use couplet_core::year::Figures;
use leptos::prelude::*;

use crate::parts::not_yet;

use rows::{FIRST_COST, Row, Written, best, rows};

use crate::format;

/// An option as it is compared.
#[derive(Clone, Debug)]
pub(crate) struct Compared {
    /// The option.
    pub(crate) id: OptionId,
    /// Its name.
    pub(crate) name: String,
    /// Its figures of a year; none until they have been computed.
    pub(crate) figures: Option<Arc<Figures>>,
    /// What is bought at the start, currency.
    pub(crate) first_cur: f64,
    /// Whether newer figures are on their way.
    pub(crate) stale: bool,
}

impl PartialEq for Compared {
    fn eq(&self, other: &Self) -> bool {
        let same_figures = match (&self.figures, &other.figures) {
            (Some(one), Some(two)) => Arc::ptr_eq(one, two),
            (None, None) => true,
            _ => false,
        };
        same_figures
            && self.id == other.id
            && self.name == other.name
            && self.first_cur == other.first_cur
            && self.stale == other.stale
    }
}

/// Options side by side, in their order, each with its difference to one of them.
#[component]
pub(crate) fn Compare(
    /// All options, "As it stands" first.
    #[prop(into)]
    options: Signal<Vec<Compared>>,
    /// The open option.
    #[prop(into)]
    open: Signal<OptionId>,
    /// Called with the option that is to be opened.
    on_open: Callback<OptionId>,
    /// The option to which differences are taken; none: the first.
    #[prop(into)]
    against: Signal<Option<OptionId>>,
    /// Called with the option to which differences are to be taken.
    on_against: Callback<OptionId>,
    /// Whether there is a utility.
    #[prop(into)]
    utility: Signal<bool>,
    /// What values are written in.
    #[prop(into)]
    written: Signal<Written>,
) -> impl IntoView {
    let base = Memo::new(move |_| {
        options.with(|options| {
            let chosen = against.get();
            let found = options.iter().find(|option| Some(option.id) == chosen);
            found.or_else(|| options.first()).map(|option| option.id)
        })
    });
    let heads = move || {
        options
            .get()
            .into_iter()
            .map(|option| head(&option, open, base, on_open, on_against))
            .collect_view()
    };
    let body = move |rows: &'static [Row]| {
        let (options, base, written) = (options.get(), base.get(), written.get());
        rows.iter()
            .map(|row| {
                let value = |option: &Compared| option.figures.as_deref().and_then(row.value);
                cells(row, &value, &options, base, open, &written)
            })
            .collect_view()
    };
    // Where there is no bill, what is bought stands beside what it serves.
    let first_cost = move || {
        let (options, base, written) = (options.get(), base.get(), written.get());
        let value = |option: &Compared| Some(option.first_cur);
        (!utility.get()).then(|| cells(&FIRST_COST, &value, &options, base, open, &written))
    };
    let columns = move || options.with(|options| (options.len() + 1).to_string());
    view! {
        <div class="compare-frame" tabindex="0" role="region" aria-label="Options side by side">
            <table class="compare">
                <caption>
                    "Figures of a year. Under each value stands its difference to the option marked as compared; in each row the best value is marked "
                    <b class="compare-best">"best"</b> "."
                </caption>
                <thead>
                    <tr>
                        <td></td>
                        {heads}
                    </tr>
                </thead>
                <tbody>{move || body(rows(utility.get()).0)} {first_cost}</tbody>
                <tbody>
                    <tr class="compare-part">
                        <th scope="rowgroup" colspan=columns><span>"Ways the energy went: share that arrived"</span></th>
                    </tr>
                    {move || body(rows(utility.get()).1)}
                </tbody>
            </table>
        </div>
    }
    .into_any()
}

/// Heading of an option: opens it, and makes it the one that others are compared to.
fn head(
    option: &Compared,
    open: Signal<OptionId>,
    base: Memo<Option<OptionId>>,
    on_open: Callback<OptionId>,
    on_against: Callback<OptionId>,
) -> impl IntoView + use<> {
    let id = option.id;
    let state = if option.stale || option.figures.is_none() {
        not_yet().get()
    } else {
        ""
    };
    view! {
        <th scope="col" data-open=move || (open.get() == id).then_some("true")>
            <button
                type="button"
                class="compare-open"
                aria-current=move || (open.get() == id).then_some("true")
                on:click=move |_| on_open.run(id)
            >
                {option.name.clone()}
            </button>
            <span class="compare-state">{move || if open.get() == id { "open" } else { "" }} " " {state}</span>
            <label class="compare-against">
                <input
                    type="radio"
                    name="compare-against"
                    prop:checked=move || base.get() == Some(id)
                    on:change=move |_| on_against.run(id)
                />
                "compared"
                <span class="spoken">" to: " {option.name.clone()}</span>
            </label>
        </th>
    }
}

fn cells(
    row: &Row,
    value: &dyn Fn(&Compared) -> Option<f64>,
    options: &[Compared],
    base: Option<OptionId>,
    open: Signal<OptionId>,
    written: &Written,
) -> impl IntoView + use<> {
    let values: Vec<Option<f64>> = options.iter().map(value).collect();
    let best = best(&values, row.better, |value| row.kind.shown(value, written));
    let to = options
        .iter()
        .zip(&values)
        .find(|(option, _)| Some(option.id) == base)
        .and_then(|(_, value)| *value);
    let cells = options
        .iter()
        .zip(values)
        .zip(best)
        .map(|((option, value), best)| {
            let id = option.id;
            let shown = value.map_or_else(|| format::NONE.to_owned(), |value| row.kind.shown(value, written));
            let difference = match (value, to) {
                (Some(value), Some(to)) if Some(id) != base => row.kind.difference(value, to, written),
                _ => String::new(),
            };
            view! {
                <td class="figure" data-open=move || (open.get() == id).then_some("true") data-state=option.stale.then_some("stale")>
                    {best.then(|| view! { <b class="compare-best">"best"</b> })}
                    <span class="compare-value">{shown}</span>
                    <span class="difference">{difference}</span>
                </td>
            }
        })
        .collect_view();
    view! {
        <tr>
            <th scope="row">{row.path.map(|path| view! { <span class="path-mark" data-path=path></span> })} {row.name}</th>
            {cells}
        </tr>
    }
}
