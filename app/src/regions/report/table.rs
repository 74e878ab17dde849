//! Tables of the report: they repeat their heads on each page, and no row is broken.

use leptos::prelude::*;

/// The head of a column.
#[derive(Clone, Copy)]
pub(super) enum Head {
    /// Over words.
    Words(&'static str),
    /// Over figures.
    Figure(&'static str),
}

use Head::{Figure, Words};

/// Heads of which the first stands over words and the others over figures.
pub(super) fn figures_under<const N: usize>(heads: [&'static str; N]) -> [Head; N] {
    let mut column = 0;
    heads.map(|head| {
        column += 1;
        if column == 1 {
            Words(head)
        } else {
            Figure(head)
        }
    })
}

/// A table of words and figures; nothing if it has no rows.
pub(super) fn table(heads: &[Head], rows: Vec<Vec<String>>) -> AnyView {
    let rows = rows
        .into_iter()
        .map(|cells| {
            let mut cells = cells.into_iter();
            let first = cells.next().unwrap_or_default();
            (first.into_any(), cells.collect())
        })
        .collect();
    table_of(heads, rows)
}

/// A table whose rows begin with anything that can be shown; nothing if it has no rows.
pub(super) fn table_of(heads: &[Head], rows: Vec<(AnyView, Vec<String>)>) -> AnyView {
    if rows.is_empty() {
        return ().into_any();
    }
    let class = |column: usize| match heads.get(column) {
        Some(Figure(_)) => "figure",
        _ => "",
    };
    let head = heads
        .iter()
        .enumerate()
        .map(|(column, head)| {
            let (Words(words) | Figure(words)) = *head;
            view! { <th scope="col" class=class(column)>{words}</th> }
        })
        .collect_view();
    let rows = rows
        .into_iter()
        .map(|(first, cells)| {
            let cells = cells
                .into_iter()
                .zip(1..)
                .map(|(cell, column)| view! { <td class=class(column)>{cell}</td> })
                .collect_view();
            view! {
                <tr>
                    <td class=class(0)>{first}</td>
                    {cells}
                </tr>
            }
        })
        .collect_view();
    view! {
        <div class="report-frame">
            <table class="report-table">
                <thead>
                    <tr>{head}</tr>
                </thead>
                <tbody>{rows}</tbody>
            </table>
        </div>
    }
    .into_any()
}

/// A list of names with their figures.
pub(super) fn figures(rows: impl IntoIterator<Item = (String, String)>) -> AnyView {
    view! { <dl class="report-figures">{crate::parts::figures(rows)}</dl> }.into_any()
}

/// A part of a section under its own heading; nothing if it is empty.
pub(super) fn under(heading: &'static str, content: Option<AnyView>) -> AnyView {
    match content {
        Some(content) => view! {
            <div class="report-block">
                <h3>{heading}</h3>
                {content}
            </div>
        }
        .into_any(),
        None => ().into_any(),
    }
}

/// A table under its own heading; nothing if it has no rows.
pub(super) fn table_under(
    heading: &'static str,
    heads: &[Head],
    rows: Vec<Vec<String>>,
) -> AnyView {
    under(heading, (!rows.is_empty()).then(|| table(heads, rows)))
}
