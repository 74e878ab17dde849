//! Figures of a year.

use couplet_core::outage::OffGridFigures;
use couplet_core::year::{Figures, Warning, warnings};
use leptos::prelude::*;

use super::table::{Head, figures, table_under};
use super::told::Told;
use crate::format;
use crate::regions::compare::rows::{Row, Written, rows};
use crate::regions::off_grid;
use crate::words::findings::capital;
use Head::{Figure, Words};

/// The section.
pub(super) fn year(told: &Told) -> AnyView {
    let Some(own) = &told.figures else {
        return view! { <p class="note report-waiting">"Not computed yet: leave the report open until the figures stand here, then print."</p> }.into_any();
    };
    let written = told.written();
    let lines = |rows: &[Row]| {
        rows.iter()
            .filter(|row| (row.value)(own).is_some())
            .map(|row| cells(row, own, told.as_it_stands.as_deref(), &written))
            .collect::<Vec<_>>()
    };
    let (of_year, of_ways) = rows(told.household.service.utility);
    let (heading, off_grid) = match &own.off_grid {
        Some(year) => ("A year without the grid", Some(off_grid(told, own, year))),
        None => ("Energy and bill of a year", None),
    };
    let mut heads = vec![Words(""), Figure("this option")];
    if told.as_it_stands.is_some() {
        heads.extend([Figure("as it stands"), Figure("difference")]);
    }
    view! {
        {table_under(heading, &heads, lines(of_year))}
        {off_grid}
        {table_under("Share that arrived, by the way the energy went", &heads, lines(of_ways))}
    }
    .into_any()
}

/// What the figures leave out of a year without a grid.
fn off_grid(told: &Told, own: &Figures, year: &OffGridFigures) -> AnyView {
    let rows = off_grid::rows(year, told.level).into_iter();
    let cautions = warnings(&told.household, &told.option, own)
        .into_iter()
        .filter(Warning::is_off_grid)
        .map(|caution| view! { <p>{format!("{}.", capital(&caution.to_string()))}</p> })
        .collect_view();
    view! {
        {cautions}
        {figures(rows.map(|(name, figure)| (name.to_owned(), figure)))}
    }
    .into_any()
}

fn cells(row: &Row, own: &Figures, before: Option<&Figures>, written: &Written) -> Vec<String> {
    let value = (row.value)(own);
    let shown = |value: Option<f64>| {
        value.map_or_else(
            || format::NONE.to_owned(),
            |value| row.kind.shown(value, written),
        )
    };
    let mut cells = vec![row.name.to_owned(), shown(value)];
    if let Some(before) = before {
        let before = (row.value)(before);
        cells.push(shown(before));
        cells.push(match (value, before) {
            (Some(value), Some(before)) => row.kind.difference(value, before, written),
            _ => String::new(),
        });
    }
    cells
}
