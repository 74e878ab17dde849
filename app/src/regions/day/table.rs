//! The day as a table: one row per step, the same quantities as the chart.

use std::sync::Arc;

use couplet_core::foresight::OptimumDay;
use couplet_core::household::DeviceId;
use couplet_core::year::{DayBalance, DayTrace};
use leptos::prelude::*;

use super::names;
use super::picture::{DayPicture, step_min};
use crate::format;

/// Column headings and rows of figures.
#[derive(Clone, Debug, PartialEq)]
struct Rows {
    sources: Vec<String>,
    uses: Vec<String>,
    /// Time and figures of each step.
    rows: Vec<(String, Vec<String>)>,
}

/// The table of a day.
#[component]
pub(crate) fn DayTable(
    /// The day.
    trace: Arc<DayTrace>,
    /// Its balance.
    balance: Arc<DayBalance>,
    /// Its picture: only what is drawn has a column.
    picture: Arc<DayPicture>,
    /// What an optimum would do with the batteries; none: it has no columns.
    best: Option<Arc<OptimumDay>>,
    /// Names of devices.
    devices: Arc<Vec<(DeviceId, String)>>,
    /// ISO 4217 code of the currency.
    currency: String,
) -> impl IntoView {
    let Rows {
        sources,
        uses,
        rows,
    } = rows(&trace, &balance, &picture, best.as_deref(), &devices);
    let best_heads = best.is_some().then(|| {
        view! {
            <th rowspan="2" scope="col" class="figure">"stored, best possible"</th>
            <th rowspan="2" scope="col" class="figure">"battery, best possible"</th>
        }
    });
    let priced = !trace.buy_cur_per_kwh.is_empty();
    let of_prices = if priced {
        format!(", prices in {currency} per kWh")
    } else {
        String::new()
    };
    let caption = format!(
        "{}: mean power of each step in kW, stored energy at its end in %{of_prices}; local standard time",
        format::date(trace.day)
    );
    let last_heads: &[&str] = if priced { &["buy", "sell"] } else { &["dark"] };
    let last_heads = last_heads
        .iter()
        .map(|head| view! { <th rowspan="2" scope="col" class="figure">{*head}</th> })
        .collect_view();
    let heads = |names: &[String]| {
        names
            .iter()
            .map(|name| view! { <th scope="col" class="figure">{name.clone()}</th> })
            .collect_view()
    };
    view! {
        <div class="day-table-frame" tabindex="0" role="region" aria-label="Table of this day">
            <table class="day-table">
                <caption>{caption}</caption>
                <thead>
                    <tr>
                        <th rowspan="2" scope="col">"from"</th>
                        <th colspan=sources.len().to_string() scope="colgroup">"supplied"</th>
                        <th colspan=uses.len().to_string() scope="colgroup">"used"</th>
                        <th rowspan="2" scope="col" class="figure">"stored"</th>
                        {last_heads}
                        {best_heads}
                    </tr>
                    <tr>{heads(&sources)} {heads(&uses)}</tr>
                </thead>
                <tbody>
                    {rows
                        .into_iter()
                        .map(|(time, figures)| {
                            view! {
                                <tr>
                                    <th scope="row">{time}</th>
                                    {figures
                                        .into_iter()
                                        .map(|figure| view! { <td class="figure">{figure}</td> })
                                        .collect_view()}
                                </tr>
                            }
                        })
                        .collect_view()}
                </tbody>
            </table>
        </div>
    }
}

fn rows(
    trace: &DayTrace,
    balance: &DayBalance,
    picture: &DayPicture,
    best: Option<&OptimumDay>,
    devices: &[(DeviceId, String)],
) -> Rows {
    let sources: Vec<_> = picture.above.iter().map(|layer| layer.party).collect();
    let uses: Vec<_> = picture.below.iter().map(|layer| layer.party).collect();
    let step_min = step_min(trace);
    let figures = |step: usize| {
        let at = |values: &[f64]| values.get(step).copied().unwrap_or(0.0);
        let kw = |values: &[f64]| format::number(at(values) / 1000.0, 2);
        let supplied = balance
            .sources
            .iter()
            .filter(|flow| sources.contains(&flow.party))
            .map(|flow| kw(&flow.power_w));
        let used = balance
            .uses
            .iter()
            .filter(|flow| uses.contains(&flow.party))
            .map(|flow| kw(&flow.power_w));
        let soc = if trace.storage.is_empty() {
            format::NONE.to_owned()
        } else {
            format::percent(at(&trace.soc), 0).figure
        };
        let last = if trace.buy_cur_per_kwh.is_empty() {
            let dark = at(&trace.dark_share) > 0.0;
            vec![if dark { "dark" } else { "" }.to_owned()]
        } else {
            [&trace.buy_cur_per_kwh, &trace.sell_cur_per_kwh]
                .map(|prices| format::price(at(prices)))
                .to_vec()
        };
        // A battery that takes has a power below zero here, as it lies below the axis.
        let best = best.into_iter().flat_map(|best| {
            let step = best.step_at(step as f64 * step_min * 60.0);
            let at = |values: &[f64]| values.get(step).copied().unwrap_or(0.0);
            [
                format::percent(at(&best.soc), 0).figure,
                format::number(at(&best.battery_w) / 1000.0, 2),
            ]
        });
        supplied
            .chain(used)
            .chain(std::iter::once(soc))
            .chain(last)
            .chain(best)
            .collect::<Vec<String>>()
    };
    let rows = (0..trace.load_w.len())
        .map(|step| (format::time(minute_of(step, step_min)), figures(step)))
        .collect();
    Rows {
        sources: sources
            .iter()
            .map(|party| names::source(*party).to_owned())
            .collect(),
        uses: uses
            .iter()
            .map(|party| names::used(*party, devices))
            .collect(),
        rows,
    }
}

/// Minute of the day at which a step begins.
pub(crate) fn minute_of(step: usize, step_min: f64) -> u32 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "minutes of a day"
    )]
    let minute = (step as f64 * step_min).floor().clamp(0.0, 1439.0) as u32;
    minute
}
