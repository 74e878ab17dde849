//! The bill of a year, line by line, and money over the years.

use leptos::prelude::*;

use super::asked;
use super::table::{Head, table_under, under};
use super::told::Told;
use crate::inquiry::Inquiry;
use crate::regions::bills::lines_in_words;
use crate::regions::money;
use crate::work::protocol::{Found, Topic};
use Head::{Figure, Words};

/// The section; none before the bill is known. Without a utility none is in it.
pub(super) fn cost(told: &Told, inquiry: Inquiry) -> Option<AnyView> {
    let bill = match told.household.service.utility {
        true => Some(bill(told)?),
        false => None,
    };
    let reference = told.household.options.first().map(|first| first.id) == Some(told.option.id);
    let (words, currency) = ((told.level, told.units), told.currency().to_owned());
    let over_years =
        asked::when_known(
            inquiry,
            Topic::Money,
            told.option.id,
            move |found| match found {
                Found::Money(found) => Some(money::results(found, reference, words, &currency)),
                _ => None,
            },
        );
    Some(
        view! {
            {bill}
            {under("Over the years, against the household as it stands", Some(over_years))}
        }
        .into_any(),
    )
}

/// The bill of a year beside the one as it stands; none before it is known.
fn bill(told: &Told) -> Option<AnyView> {
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
            <p class="note">{format!("By the tariff \u{201c}{}\u{201d}, in {}.", tariff.name, tariff.currency)}</p>
            {table_under("Bill of a year", &heads, rows)}
        }
        .into_any(),
    )
}
