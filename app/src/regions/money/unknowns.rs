//! Which unknown matters most: a table whose middle column is the picture, one bar for each unknown from its low value to its
//! high one.

use couplet_core::outlook::{Outlook, Swing, Unknown};
use leptos::prelude::*;

use crate::format;
use crate::words::Level;

/// Width of a bar's field.
const WIDTH: f64 = 200.0;

/// The table.
pub(super) fn unknowns(found: &Outlook, level: Level, currency: &str) -> AnyView {
    let middle_cur = found.flow.net_present_value_cur;
    let reach = found
        .swings
        .iter()
        .flat_map(|swing| [swing.at_low_cur, swing.at_high_cur])
        .fold((middle_cur, middle_cur), |(least, most), value| {
            (least.min(value), most.max(value))
        });
    let x = |cur: f64| WIDTH * (cur - reach.0) / (reach.1 - reach.0).max(f64::MIN_POSITIVE);
    let rows = found
        .swings
        .iter()
        .map(|swing| {
            let (low, middle, high) = (x(swing.at_low_cur), x(middle_cur), x(swing.at_high_cur));
            let side = |to: f64| format!("M{middle:.1} 3H{to:.1}V13H{middle:.1}Z");
            view! {
                <tr>
                    <th scope="row">{name(swing.unknown, level)}</th>
                    <td class="figure">{value(swing, swing.low)}</td>
                    <td class="figure">{format::money(swing.at_low_cur, currency)}</td>
                    <td>
                        <svg class="money-swing" viewBox=format!("0 0 {WIDTH} 16") preserveAspectRatio="none" aria-hidden="true">
                            <path class="money-low" d=side(low)></path>
                            <path class="money-high" d=side(high)></path>
                            <path class="curve" d=format!("M{middle:.1} 0V16")></path>
                        </svg>
                    </td>
                    <td class="figure">{format::money(swing.at_high_cur, currency)}</td>
                    <td class="figure">{value(swing, swing.high)}</td>
                </tr>
            }
        })
        .collect_view();
    let worth = match level {
        Level::Plain => "worth today",
        Level::Trade => "net present value",
    };
    view! {
        <div class="fold-frame" tabindex="0" role="group" aria-label="What matters most">
            <table class="fold-table money-unknowns">
                <caption>
                    {format!("Each is changed alone; in the middle: {}. ", format::money(middle_cur, currency))}
                    <svg class="line-sample" viewBox="0 0 28 8" aria-hidden="true"><path d="M0 0h28v8H0Z" class="money-low"></path></svg>
                    "low "
                    <svg class="line-sample" viewBox="0 0 28 8" aria-hidden="true"><path d="M0 0h28v8H0Z" class="money-high"></path></svg>
                    "high"
                </caption>
                <thead>
                    <tr>
                        <th scope="col">"unknown"</th>
                        <th scope="col">"low"</th>
                        <th scope="col">{worth}</th>
                        <th scope="col"><span class="spoken">"picture"</span></th>
                        <th scope="col">{worth}</th>
                        <th scope="col">"high"</th>
                    </tr>
                </thead>
                <tbody>{rows}</tbody>
            </table>
        </div>
    }
    .into_any()
}

fn name(unknown: Unknown, level: Level) -> &'static str {
    match (unknown, level) {
        (Unknown::Costs, Level::Plain) => "what it costs to buy",
        (Unknown::Costs, Level::Trade) => "first cost",
        (Unknown::Upkeep, _) => "upkeep and replacements",
        (Unknown::EnergyPriceGrowth, Level::Plain) => "energy gets dearer by",
        (Unknown::EnergyPriceGrowth, Level::Trade) => "energy price escalation",
        (Unknown::PriceGrowth, Level::Plain) => "other things get dearer by",
        (Unknown::PriceGrowth, Level::Trade) => "other price escalation",
        (Unknown::DiscountRate, Level::Plain) => "what money earns elsewhere",
        (Unknown::DiscountRate, Level::Trade) => "discount rate",
        (Unknown::Load, Level::Plain) => "what the house uses",
        (Unknown::Load, Level::Trade) => "load",
        (Unknown::Sun, Level::Plain) => "what the sun gives",
        (Unknown::Sun, Level::Trade) => "array yield",
        (Unknown::BatteryLife, Level::Plain) => "how long the battery lasts",
        (Unknown::BatteryLife, Level::Trade) => "battery life",
    }
}

/// A rate per year, or a multiple as its distance from what is reckoned.
fn value(swing: &Swing, value: f64) -> String {
    match swing.unknown {
        Unknown::EnergyPriceGrowth | Unknown::PriceGrowth | Unknown::DiscountRate => {
            format!("{} a year", format::percent(value, 1).text())
        }
        _ => format!("{}\u{a0}%", format::difference(100.0 * (value - 1.0), 0)),
    }
}
