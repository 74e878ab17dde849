//! What a drill comes to, in figures and in advice.

use std::sync::Arc;

use leptos::prelude::*;

use super::{Shown, advice, words};
use crate::desk::Desk;
use crate::format;
use crate::keep::UnitSystem;
use crate::parts::{figures, fuel};
use crate::words::Level;

/// Figures and advice.
#[component]
pub(super) fn DrillFigures(desk: Desk, shown: Memo<Option<Shown>>) -> impl IntoView {
    let level = move || desk.keep.settings.with(|settings| settings.level);
    let units = move || desk.keep.settings.with(|settings| settings.units);
    let rows = move || {
        shown.with(|shown| {
            let shown = shown.as_ref()?;
            Some(figures(rows(shown, level(), units())))
        })
    };
    let advice = move || {
        shown.with(|shown| {
            let drill = shown.as_ref()?.drill()?;
            (!drill.advice.is_empty()).then(|| {
                let names = shown.as_ref().map(|shown| Arc::clone(&shown.names));
                let names = names.unwrap_or_default();
                let sentences = drill
                    .advice
                    .iter()
                    .map(|advice| view! { <li>{advice::said(*advice, &names, level())}</li> })
                    .collect_view();
                view! {
                    <h3 class="label">"What would mend it"</h3>
                    <ul class="drill-advice">{sentences}</ul>
                }
            })
        })
    };
    view! {
        {advice}
        <dl class="drill-figures">{rows}</dl>
    }
    .into_any()
}

pub(super) fn rows(shown: &Shown, level: Level, units: UnitSystem) -> Vec<(&'static str, String)> {
    let Some(run) = shown.run() else {
        return Vec::new();
    };
    let (figures, ledger) = (&run.figures, &run.ledger);
    let energy = |energy_wh: f64| format::energy(energy_wh).text();
    let words = |plain: &'static str, trade: &'static str| match level {
        Level::Plain => plain,
        Level::Trade => trade,
    };
    let hz = |hz: f64| format!("{}\u{a0}Hz", format::number(hz, 2));
    let mut rows = vec![
        (words("loads served", "served"), energy(ledger.served_wh)),
        (
            words("loads not served", "not served"),
            energy(ledger.unserved_wh),
        ),
        (
            words("of that, switched off on purpose", "of that, shed"),
            energy(ledger.shed_wh),
        ),
        ("longest dark time", words::span(figures.longest_dark_s)),
        ("dark in all", words::span(figures.dark_s)),
        (
            words("sun held back, on AC", "AC PV throttled"),
            energy(ledger.ac_throttled_wh),
        ),
        (
            words("sun lost while switched off", "AC PV lost to trips"),
            energy(ledger.ac_tripped_wh),
        ),
        (
            words("sun lost in the dark", "AC PV lost while dark"),
            energy(ledger.ac_dark_wh),
        ),
        (
            words("sun held back, on DC", "DC PV throttled"),
            energy(ledger.dc_throttled_wh),
        ),
        (
            words("inverters switch off", "trips of PV inverters"),
            format!(
                "{}, {} an hour",
                figures.pv_trips,
                format::number(figures.pv_trips_per_h, 1)
            ),
        ),
        (
            words(
                "highest load of the storage inverter",
                "worst inverter power",
            ),
            if figures.inverter_over_s > 0.0 {
                format!(
                    "{} of rating, above it for {}",
                    format::percent(figures.worst_inverter_share, 0).text(),
                    words::span(figures.inverter_over_s)
                )
            } else {
                format!(
                    "{} of rating",
                    format::percent(figures.worst_inverter_share, 0).text()
                )
            },
        ),
        (
            words("battery beyond its limits", "worst battery overload"),
            if figures.worst_battery_over_w > 0.5 {
                format!(
                    "{} for {}",
                    format::power(figures.worst_battery_over_w).text(),
                    words::span(figures.battery_over_s)
                )
            } else {
                "never".to_owned()
            },
        ),
    ];
    if figures.highest_hz > 0.0 {
        rows.push(("lowest frequency", hz(figures.lowest_hz)));
        rows.push(("highest frequency", hz(figures.highest_hz)));
    }
    if figures.generator_s > 0.0 {
        rows.push(("generator runs", words::span(figures.generator_s)));
        rows.push(("fuel", fuel(figures.fuel_l, 1, units)));
    }
    rows
}
