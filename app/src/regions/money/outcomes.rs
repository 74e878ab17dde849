//! What comes out, in a few figures, each against the household as it stands.

use couplet_core::money::{Irr, Money};
use couplet_core::outlook::Outlook;
use leptos::prelude::*;

use crate::format;
use crate::parts::figures;
use crate::words::Level;

/// A figure with its words.
type Entry = (&'static str, String);

/// The figures. An option that buys nothing has only a saving.
pub(super) fn outcomes(found: &Outlook, level: Level, currency: &str) -> AnyView {
    let held = placeholders(found);
    let note = (held > 0).then(|| {
        let which = match held {
            1 => "One of the figures is a placeholder".to_owned(),
            _ => format!("{held} of the figures are placeholders"),
        };
        view! {
            <p class="money-held" role="note">
                {which} ": invented round numbers, no prices. Until yours stand in their place, what follows only shows how it is reckoned."
            </p>
        }
    });
    let rows = figures(entries(found, level, currency));
    view! {
        {note}
        <dl class="drill-figures" data-state=(held > 0).then_some("placeholder")>{rows}</dl>
    }
    .into_any()
}

/// How many of the amounts behind the result are placeholders.
pub(super) fn placeholders(found: &Outlook) -> usize {
    let first = found.bought.iter().chain(&found.upkeep);
    let again = found.replaced.iter().chain(&found.spared);
    let held_first = first.filter(|cost| !cost.cur.given).count();
    // What is bought again for as much as the first is counted with the first.
    let held_again = again
        .filter(|replaced| !replaced.cost.cur.given)
        .filter(|replaced| !found.bought.iter().any(|cost| cost.of == replaced.cost.of))
        .map(|replaced| replaced.cost.of)
        .fold(Vec::new(), |mut parts, of| {
            if !parts.contains(&of) {
                parts.push(of);
            }
            parts
        });
    held_first + held_again.len()
}

fn entries(found: &Outlook, level: Level, currency: &str) -> Vec<Entry> {
    let words = |plain: &'static str, trade: &'static str| match level {
        Level::Plain => plain,
        Level::Trade => trade,
    };
    let money = |cur: f64| format::money(cur, currency);
    let amount = |amount: Money| money(found.minor_unit.cur(amount));
    let sum = |part: fn(&couplet_core::money::YearRow) -> Money| -> Money {
        found.flow.rows.iter().map(part).sum()
    };
    let years = |years: Option<f64>| match years {
        Some(0.0) => "at once".to_owned(),
        Some(years) => format!("{}\u{a0}years", format::number(years, 1)),
        None => format!("not within {}\u{a0}years", found.years.len()),
    };
    let flow = &found.flow;
    let mut entries = Vec::new();
    let start = flow.rows.first().copied().unwrap_or_default();
    if !found.bought.is_empty() {
        entries.push((words("to buy", "first cost"), amount(-start.costs)));
        let incentives = sum(|row| row.incentives);
        if incentives != Money::ZERO {
            entries.push((words("given by others", "incentives"), amount(incentives)));
        }
        if start.loan != Money::ZERO {
            entries.push((words("lent", "principal"), amount(start.loan)));
            let back = sum(|row| row.loan);
            entries.push((words("interest on the loan", "interest"), amount(-back)));
        }
    }
    if let Some(first) = flow.rows.get(1) {
        let [before, after] = match found.served {
            None => [
                words(
                    "bill of the first year, as it stands",
                    "bill of year 1, reference",
                ),
                words("bill of the first year, this option", "bill of year 1"),
            ],
            Some(_) => [
                words(
                    "fuel of the first year, as it stands",
                    "fuel of year 1, reference",
                ),
                words("fuel of the first year, this option", "fuel of year 1"),
            ],
        };
        // Off the grid what stands is told by itself.
        let beside = found.served.is_none() || !found.bought.is_empty();
        if beside {
            entries.push((before, amount(first.bill_before)));
        }
        entries.push((after, amount(first.bill_after)));
        if beside && super::is_comparable(found) {
            entries.push((
                words("saved in the first year", "saving of year 1"),
                amount(first.saving),
            ));
        }
    }
    if let Some(served) = &found.served {
        let share = |share: f64| format::percent(share, 1).text();
        if !found.bought.is_empty() {
            entries.push((
                words(
                    "served in the first year, as it stands",
                    "served share of year 1, reference",
                ),
                share(served.reference_share),
            ));
        }
        entries.push((
            words(
                "served in the first year, this option",
                "served share of year 1",
            ),
            share(served.first_share),
        ));
        entries.push((
            words("served in the last year", "served share of the last year"),
            share(served.last_share),
        ));
        entries.push((
            words(
                "all that is paid from now on, worth today",
                "present value of all costs",
            ),
            money(served.cost_today_cur),
        ));
        if let Some(per_kwh) = served.cur_per_kwh {
            entries.push((
                words(
                    "a kilowatt-hour used costs",
                    "levelised cost of served energy",
                ),
                format!("{}\u{a0}{currency}/kWh", format::price(per_kwh)),
            ));
        }
    }
    if found.bought.is_empty() || !super::is_comparable(found) {
        return entries;
    }
    entries.push((
        words("would have paid for itself", "simple payback"),
        years(flow.payback_years),
    ));
    if flow.lasting_payback_years != flow.payback_years {
        entries.push((
            words("and for good", "lasting payback"),
            years(flow.lasting_payback_years),
        ));
    }
    entries.push((
        words(
            "the same, with later money counting less",
            "discounted payback",
        ),
        years(flow.discounted_payback_years),
    ));
    entries.push((
        words("worth today, all in all", "net present value"),
        money(flow.net_present_value_cur),
    ));
    let rate = |rate: f64| format::percent(rate, 1).text();
    entries.push((
        words("like money at a yearly rate of", "internal rate of return"),
        match &flow.irr {
            Irr::None => "none".to_owned(),
            Irr::One(one) => rate(*one),
            Irr::Several(rates) => {
                let rates: Vec<String> = rates.iter().map(|one| rate(*one)).collect();
                format!("several: {}", rates.join(", "))
            }
        },
    ));
    entries.push((
        words(
            "may cost at most without a loan, to be worth it",
            "break-even first cost, without loan",
        ),
        money(found.most_cost_cur),
    ));
    if let Some(stored) = found.stored_cur_per_kwh {
        entries.push((
            words(
                "a stored kilowatt-hour costs",
                "levelised cost of stored energy",
            ),
            format!("{}\u{a0}{currency}/kWh", format::price(stored)),
        ));
    }
    entries
}
