//! The price over the hours of a day, one strip for weekdays and one for weekends in each season.

use couplet_core::bill::{PriceRun, Season, seasons};
use leptos::prelude::*;

use crate::desk::Desk;
use crate::format;
use crate::words::months_in_words;

/// The strips of the tariff.
#[component]
pub(super) fn PriceStrip(desk: Desk) -> impl IntoView {
    let tariff = Memo::new(move |_| desk.household.with(|household| household.tariff.clone()));
    let strips = move || {
        tariff.with(|tariff| {
            let seasons = seasons(tariff);
            let runs = || seasons.iter().flat_map(|season| season.weekday.iter().chain(&season.weekend));
            let least = runs().map(|run| run.buy_cur_per_kwh).fold(f64::INFINITY, f64::min);
            let most = runs().map(|run| run.buy_cur_per_kwh).fold(f64::NEG_INFINITY, f64::max);
            let name = |run: &PriceRun| tariff.periods.get(run.period).map_or(String::new(), |period| period.name.clone());
            seasons
                .iter()
                .flat_map(rows)
                .map(|(head, runs)| {
                    let spoken = runs.iter().map(|run| spoken(run, &name(run))).collect::<Vec<_>>().join(", ");
                    let parts = runs
                        .iter()
                        .map(|run| {
                            let share = (run.to_h - run.from_h) / 24.0;
                            // Height is the price above the least of the tariff; one price stands at half.
                            let height = if most - least > 1e-9 {
                                0.2 + 0.8 * (run.buy_cur_per_kwh - least) / (most - least)
                            } else {
                                0.5
                            };
                            let price = format::price(run.buy_cur_per_kwh);
                            let style = format!("inline-size: {:.3}%; --price-height: {:.1}%", share * 100.0, height * 100.0);
                            view! {
                                <span class="price-run" style=style title=spoken_title(run, &name(run))>
                                    <span class="price-text">{(share >= 0.12).then_some(price)}</span>
                                </span>
                            }
                        })
                        .collect_view();
                    view! {
                        <div class="price-row">
                            <span class="price-head">{head.clone()}</span>
                            <span class="price-runs" role="img" aria-label=format!("{head}: {spoken}")>{parts}</span>
                        </div>
                    }
                })
                .collect_view()
        })
    };
    let unit = move || {
        tariff.with(|tariff| {
            let tiered = tariff.periods.iter().any(|period| period.tiers.len() > 1);
            format!(
                "price{} in {} per kWh over the hours, by the clock",
                if tiered { " of the first tier" } else { "" },
                tariff.currency
            )
        })
    };
    view! {
        <div class="price-strip" id="tariff-strip">
            <p class="note">{unit}</p>
            {strips}
            <div class="price-row price-hours" aria-hidden="true">
                <span class="price-head"></span>
                <span class="price-scale"><span>"0"</span><span>"6"</span><span>"12"</span><span>"18"</span><span>"24 h"</span></span>
            </div>
        </div>
    }
    .into_any()
}

/// Weekdays and weekends, or both in one where they are the same.
fn rows(season: &Season) -> Vec<(String, Vec<PriceRun>)> {
    let months = months_in_words(&season.months);
    if season.weekday == season.weekend {
        return vec![(months, season.weekday.clone())];
    }
    vec![
        (format!("{months} Mon\u{2013}Fri"), season.weekday.clone()),
        (format!("{months} weekend"), season.weekend.clone()),
    ]
}

fn spoken(run: &PriceRun, name: &str) -> String {
    format!(
        "{} {}",
        spoken_title(run, name),
        format::price(run.buy_cur_per_kwh)
    )
}

fn spoken_title(run: &PriceRun, name: &str) -> String {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "half hours of a day"
    )]
    let time = |hour: f64| format::time((hour * 60.0) as u32);
    format!("{name} {} to {}", time(run.from_h), time(run.to_h))
}
