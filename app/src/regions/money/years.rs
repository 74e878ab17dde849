//! The cash flow as a table, year by year, to the smallest unit of the currency: rows and columns add up as they stand.

use couplet_core::money::{Money, YearRow};
use couplet_core::outlook::Outlook;
use leptos::prelude::*;

use crate::format;
use crate::words::Level;

/// A column: its heading in plain and trade words, and what stands in it.
type Column = (&'static str, &'static str, fn(&YearRow) -> Money);

const PAID: [Column; 5] = [
    ("bought", "first cost", |row| row.costs),
    ("from others", "incentives", |row| row.incentives),
    ("loan", "loan", |row| row.loan),
    ("upkeep", "upkeep", |row| row.upkeep),
    ("bought again", "replacements", |row| row.replacements),
];

const BILLS: [Column; 2] = [
    ("bill as it stands", "reference bill", |row| row.bill_before),
    ("bill of this option", "bill", |row| row.bill_after),
];

/// Without a utility the fuel stands in place of the bill.
const FUEL: [Column; 2] = [
    ("fuel as it stands", "reference fuel", |row| row.bill_before),
    ("fuel of this option", "fuel", |row| row.bill_after),
];

const SET_AGAINST: [Column; 3] = [
    ("saved", "saving", |row| row.saving),
    ("all in all", "net", |row| row.net),
    ("sum so far", "cumulative", |row| row.sum),
];

/// The table. Columns in which nothing stands are left out.
pub(super) fn table(found: &Outlook, level: Level, currency: &str) -> AnyView {
    let rows = &found.flow.rows;
    let year_cost = if found.served.is_some() { FUEL } else { BILLS };
    let set_against = super::is_comparable(found).then_some(SET_AGAINST);
    let columns: Vec<Column> = (PAID.into_iter().chain(year_cost))
        .chain(set_against.into_iter().flatten())
        .filter(|(_, _, amount)| rows.iter().any(|row| amount(row) != Money::ZERO))
        .collect();
    let words = |plain: &'static str, trade: &'static str| match level {
        Level::Plain => plain,
        Level::Trade => trade,
    };
    let heads = columns
        .iter()
        .map(|(plain, trade, _)| view! { <th scope="col">{words(plain, trade)}</th> })
        .collect_view();
    let decimals = found.minor_unit.decimals.min(4);
    let amount = |amount: Money| match amount {
        Money::ZERO => String::new(),
        amount => format::number(found.minor_unit.cur(amount), decimals),
    };
    let body = rows
        .iter()
        .enumerate()
        .map(|(year, row)| {
            let cells = columns
                .iter()
                .map(|(_, _, of)| view! { <td class="figure">{amount(of(row))}</td> })
                .collect_view();
            let state = year.checked_sub(1).and_then(|index| found.years.get(index));
            let left = |share: f64| format::percent(share, 0).text();
            let served = found.served.map(|_| {
                let share = state.map(|state| format::percent(state.served_share, 1).text());
                view! { <td class="figure">{share}</td> }
            });
            let (arrays, batteries) = state.map_or_else(Default::default, |state| {
                let batteries: Vec<String> = state
                    .batteries_left
                    .iter()
                    .map(|share| left(*share))
                    .collect();
                (left(state.arrays_left), batteries.join(", "))
            });
            view! {
                <tr>
                    <th scope="row">{year.to_string()}</th>
                    {cells}
                    {served}
                    <td class="figure">{arrays}</td>
                    <td class="figure">{batteries}</td>
                </tr>
            }
        })
        .collect_view();
    view! {
        <div class="fold-frame money-years" tabindex="0" role="group" aria-label="Year by year">
            <table class="fold-table">
                <caption>
                    {currency.to_owned()}
                    " at the prices of each year. Year 0 is the start; nothing is worth anything after the last year."
                </caption>
                <thead>
                    <tr>
                        <th scope="col">"year"</th>
                        {heads}
                        {found.served.map(|_| view! { <th scope="col">{words("served", "served share")}</th> })}
                        <th scope="col">{words("panels have left", "arrays left")}</th>
                        <th scope="col">{words("battery has left", "battery left")}</th>
                    </tr>
                </thead>
                <tbody>{body}</tbody>
            </table>
        </div>
    }
    .into_any()
}
