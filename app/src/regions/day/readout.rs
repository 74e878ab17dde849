//! Exact values at the cursor, which are the key of the chart as well.

use std::sync::Arc;

use couplet_core::foresight::OptimumDay;
use couplet_core::household::DeviceId;
use couplet_core::year::{DayBalance, DayTrace};
use leptos::prelude::*;

use super::names;
use super::picture::{DayPicture, Fill, source_fill, use_fill};
use super::table::minute_of;
use crate::format;

/// One quantity of the read-out.
#[derive(Clone, Debug, PartialEq)]
struct Entry {
    fill: Fill,
    name: String,
    power_w: Vec<f64>,
}

/// Sources and uses of one step, kW, with their sums.
#[component]
pub(crate) fn ReadOut(
    /// The balance of the day.
    balance: Arc<DayBalance>,
    /// Its picture: only what is drawn is read out.
    picture: Arc<DayPicture>,
    /// Names of devices.
    devices: Arc<Vec<(DeviceId, String)>>,
    /// The step at the cursor.
    step: Memo<usize>,
) -> impl IntoView {
    let sources: Vec<Entry> = picture
        .above
        .iter()
        .map(|layer| Entry {
            fill: source_fill(layer.party),
            name: names::source(layer.party).to_owned(),
            power_w: power_of(&balance.sources, layer.party),
        })
        .collect();
    let uses: Vec<Entry> = picture
        .below
        .iter()
        .map(|layer| Entry {
            fill: use_fill(layer.party, &devices),
            name: names::used(layer.party, &devices),
            power_w: power_of(&balance.uses, layer.party),
        })
        .collect();
    let supplied = balance.clone();
    view! {
        <div class="day-readout">
            <dl>
                <div class="day-entry day-sum">
                    <dt>"Supplied"</dt>
                    <dd class="figure">{move || total(supplied.supplied_w(step.get()))}</dd>
                </div>
                {entries(sources, step)}
            </dl>
            <dl>
                <div class="day-entry day-sum">
                    <dt>"Used"</dt>
                    <dd class="figure">{move || total(balance.used_w(step.get()))}</dd>
                </div>
                {entries(uses, step)}
            </dl>
        </div>
    }
}

/// State of charge and prices of one step; without a grid, whether there is power.
#[component]
pub(crate) fn State(
    /// The day.
    trace: Arc<DayTrace>,
    /// ISO 4217 code of the currency.
    currency: String,
    /// The step at the cursor.
    step: Memo<usize>,
) -> impl IntoView {
    let stored = (!trace.storage.is_empty()).then(|| {
        let trace = trace.clone();
        view! {
            <div class="day-entry">
                <dt><span class="swatch" data-fill="soc"></span>"stored"</dt>
                <dd class="figure">{move || format::percent(at(&trace.soc, step.get()), 0).text()}</dd>
            </div>
        }
    });
    let priced = !trace.buy_cur_per_kwh.is_empty();
    let prices = {
        let trace = trace.clone();
        move || {
            let step = step.get();
            let buy = format::price(at(&trace.buy_cur_per_kwh, step));
            let sell = format::price(at(&trace.sell_cur_per_kwh, step));
            format!("{buy} / {sell}\u{a0}{currency}")
        }
    };
    // Without prices there is no grid: then it matters whether there is power at all.
    let power = move || match at(&trace.dark_share, step.get()) {
        share if share >= 1.0 => "dark",
        share if share > 0.0 => "goes dark",
        _ => "on",
    };
    let last = if priced {
        view! {
            <div class="day-entry">
                <dt><span class="swatch" data-fill="price"></span>"buy / sell per kWh"</dt>
                <dd class="figure">{prices}</dd>
            </div>
        }
        .into_any()
    } else {
        view! {
            <div class="day-entry">
                <dt>"power"</dt>
                <dd class="day-power">{power}</dd>
            </div>
        }
        .into_any()
    };
    view! {
        <dl class="day-state">
            {stored}
            {last}
        </dl>
    }
}

/// What an optimum would do at the step, which is the key of its lines as well.
#[component]
pub(crate) fn BestReadOut(
    /// The optimum's day.
    best: Arc<OptimumDay>,
    /// The step at the cursor.
    step: Memo<usize>,
    /// Minutes per step of the cursor.
    step_min: Memo<f64>,
) -> impl IntoView {
    let (stored, power) = (best.clone(), best);
    let at_cursor = move |best: &OptimumDay, values: &[f64]| {
        at(
            values,
            best.step_at(f64::from(minute_of(step.get(), step_min.get())) * 60.0),
        )
    };
    let battery = move || {
        let power_w = at_cursor(&power, &power.battery_w);
        let words = if power_w > 0.5 {
            "gives "
        } else if power_w < -0.5 {
            "takes "
        } else {
            ""
        };
        format!("{words}{}\u{a0}kW", kw(power_w.abs()))
    };
    view! {
        <dl class="day-state day-best" aria-label="Best possible">
            <div class="day-entry">
                <dt><span class="swatch" data-fill="best-soc"></span>"stored, best possible"</dt>
                <dd class="figure">{move || format::percent(at_cursor(&stored, &stored.soc), 0).text()}</dd>
            </div>
            <div class="day-entry">
                <dt><span class="swatch" data-fill="best-battery"></span>"battery, best possible"</dt>
                <dd class="figure">{battery}</dd>
            </div>
        </dl>
    }
}

fn entries(entries: Vec<Entry>, step: Memo<usize>) -> Vec<impl IntoView> {
    entries
        .into_iter()
        .map(
            |Entry {
                 fill,
                 name,
                 power_w,
             }| {
                view! {
                    <div class="day-entry">
                        <dt><span class="swatch" data-fill=fill.name()></span>{name}</dt>
                        <dd class="figure">{move || kw(at(&power_w, step.get()))}</dd>
                    </div>
                }
            },
        )
        .collect()
}

fn power_of<Party: PartialEq>(flows: &[couplet_core::year::Flow<Party>], party: Party) -> Vec<f64> {
    let flow = flows.iter().find(|flow| flow.party == party);
    flow.map(|flow| flow.power_w.clone()).unwrap_or_default()
}

fn at(values: &[f64], step: usize) -> f64 {
    values.get(step).copied().unwrap_or(0.0)
}

fn kw(power_w: f64) -> String {
    format::number(power_w / 1000.0, 2)
}

fn total(power_w: f64) -> String {
    format!("{}\u{a0}kW", kw(power_w))
}
