//! Outages from every hour of the year: how long the backed-up side lives, by season and by what the batteries hold.

use couplet_core::outage::{OutageSurvival, Season, StartSoc, SurvivalFigures};
use leptos::prelude::*;

use super::asked;
use super::table::{figures_under, table_of, table_under};
use super::told::Told;
use crate::format;
use crate::inquiry::Inquiry;
use crate::regions::survival::{HEADS, STARTS, curves, hours, rows, worst};
use crate::work::protocol::{Found, Topic};

/// The section; none without a utility.
pub(super) fn survival(told: &Told, inquiry: Inquiry) -> Option<AnyView> {
    if !told.household.service.utility {
        return None;
    }
    if !asked::islands(&told.option) {
        return Some(
            view! { <p>"Nothing in this option can hold the backed-up side: whenever the grid goes, everything is dark at once."</p> }
                .into_any(),
        );
    }
    let topic = Topic::SurvivalByCharge;
    Some(asked::when_known(
        inquiry,
        topic,
        told.option.id,
        |found| match found {
            Found::SurvivalByCharge(all) => shown(all),
            _ => None,
        },
    ))
}

fn shown(all: &[OutageSurvival]) -> Option<AnyView> {
    let as_run = all
        .iter()
        .find(|survival| survival.start == StartSoc::AsRun)?;
    let heads = figures_under(HEADS);
    let seasons = [
        Season::Winter,
        Season::Spring,
        Season::Summer,
        Season::Autumn,
    ];
    let by_charge = all
        .iter()
        .map(|survival| {
            let of_season = seasons.iter().map(|season| {
                (survival.seasons.iter())
                    .find(|(other, _)| other == season)
                    .map(|(_, figures)| in_short(figures))
                    .unwrap_or_default()
            });
            let charge = STARTS
                .iter()
                .find(|(start, _)| *start == survival.start)
                .map_or("", |(_, words)| *words);
            [charge.to_owned(), in_short(&survival.year)]
                .into_iter()
                .chain(of_season)
                .collect()
        })
        .collect();
    Some(
        view! {
            <p>{sentence(as_run)}</p>
            {curves(as_run)}
            {table_of(&heads, rows(as_run))}
            {table_under(
                "By what the batteries hold when the grid goes",
                &figures_under(["the batteries hold", "whole year", "winter", "spring", "summer", "autumn"]),
                by_charge,
            )}
            <p class="note">
                "Each figure: the time that half of the outages last; in brackets the shortest of them. Outages are looked at for up to a week, in steps of a quarter hour; loads are those of the hours in which they happen, with nobody saving power."
            </p>
        }
        .into_any(),
    )
}

/// What it comes to, in words for everyone.
fn sentence(survival: &OutageSurvival) -> String {
    let year = &survival.year;
    let begin = format!(
        "The grid was let fail once from every hour of the year: {} outages, with the batteries as normal running leaves them.",
        format::number(survival.lasted_h.len() as f64, 0)
    );
    if year.went_dark == 0 {
        return format!("{begin} Not one of them goes dark within a week.");
    }
    let a_day = year.lasting.get(23).copied().unwrap_or_default();
    format!(
        "{begin} {} of them last a whole day without a dark hour; half last {} at least. The shortest is dark after {}; it begins on {}.",
        format::percent(a_day, 0).text(),
        hours(year.median_h),
        hours(year.worst_h),
        worst(survival)
    )
}

/// The time that half of them last, and the shortest.
fn in_short(figures: &SurvivalFigures) -> String {
    format!("{} ({})", hours(figures.median_h), hours(figures.worst_h))
}
