//! Figures of a year.

use couplet_core::year::Figures;
use leptos::prelude::*;

use super::table::{Head, figures, table_under};
use super::told::Told;
use crate::format;
use crate::regions::compare::rows::{FIGURES, Row, WAYS};
use crate::regions::off_grid;
use crate::work::protocol::Found;
use Head::{Figure, Words};

/// The section.
pub(super) fn year(told: &Told) -> AnyView {
    if let Some(Found::OffGrid(year)) = told.off_grid.as_deref() {
        let rows = off_grid::rows(&year.figures, told.level, told.units);
        return figures(
            rows.into_iter()
                .map(|(name, figure)| (name.to_owned(), figure)),
        );
    }
    let Some(own) = &told.figures else {
        return view! { <p class="note">"Not computed yet."</p> }.into_any();
    };
    let rows = |rows: &[Row]| {
        rows.iter()
            .filter(|row| (row.value)(own).is_some())
            .map(|row| cells(row, own, told.as_it_stands.as_deref(), told.currency()))
            .collect::<Vec<_>>()
    };
    let mut heads = vec![Words(""), Figure("this option")];
    if told.as_it_stands.is_some() {
        heads.extend([Figure("as it stands"), Figure("difference")]);
    }
    view! {
        {table_under("Energy and bill of a year", &heads, rows(&FIGURES))}
        {table_under("Share that arrived, by the way the energy went", &heads, rows(&WAYS))}
    }
    .into_any()
}

fn cells(row: &Row, own: &Figures, before: Option<&Figures>, currency: &str) -> Vec<String> {
    let value = (row.value)(own);
    let shown = |value: Option<f64>| {
        value.map_or_else(
            || format::NONE.to_owned(),
            |value| row.kind.shown(value, currency),
        )
    };
    let mut cells = vec![row.name.to_owned(), shown(value)];
    if let Some(before) = before {
        let before = (row.value)(before);
        cells.push(shown(before));
        cells.push(match (value, before) {
            (Some(value), Some(before)) => row.kind.difference(value, before),
            _ => String::new(),
        });
    }
    cells
}
