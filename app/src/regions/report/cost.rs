//! The bill of a year, line by line.

use leptos::prelude::*;

use super::table::{Head, table};
use super::told::Told;
use crate::regions::bills::lines_in_words;
use Head::{Figure, Words};

/// The section; none without a utility or before the bill is known.
pub(super) fn cost(told: &Told) -> Option<AnyView> {
    let own = told.figures.as_ref()?.bill.as_ref()?;
    let before = told
        .as_it_stands
        .as_ref()
        .and_then(|figures| figures.bill.as_ref());
    let tariff = &told.household.tariff;
    let mut heads = vec![Words("line"), Figure("this option")];
    let mut bills = vec![own];
    if let Some(before) = before {
        heads.push(Figure("as it stands"));
        bills.push(before);
    }
    let rows = lines_in_words(&bills, tariff)
        .into_iter()
        .map(|(line, amounts)| std::iter::once(line).chain(amounts).collect())
        .collect();
    Some(
        view! {
            <p class="note">{format!("A year by the tariff \u{201c}{}\u{201d}, in {}.", tariff.name, tariff.currency)}</p>
            {table(&heads, rows)}
        }
        .into_any(),
    )
}
