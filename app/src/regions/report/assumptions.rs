//! Assumptions: where the weather comes from, the methods with their sources, generic values, defaults in force.

use std::collections::BTreeSet;

use couplet_core::check::defaults_in_force;
use couplet_core::household::{ClimateSource, Household};
use couplet_core::sky::SkyModel;
use leptos::prelude::*;

use super::table::{Head, table_under, under};
use super::told::Told;
use crate::format;
use crate::words::{Level, label};
use Head::{Figure, Words};

/// What is computed, and by which published method.
const METHODS: [(&str, &str); 12] = [
    (
        "position of the sun",
        "Reda & Andreas (2004), NREL solar position algorithm",
    ),
    (
        "days of the year from monthly means",
        "Bendt et al. (1981), Graham et al. (1988), Aguiar & Collares-Pereira (1992), Erbs et al. (1983)",
    ),
    ("split of beam and diffuse light", "Erbs (1982)"),
    (
        "modules",
        "De Soto (2006): incidence and single diode; Faiman, IEC 61853-2: cell temperature",
    ),
    (
        "converters",
        "Schmidt & Sauer (1996): standby, proportional and square losses",
    ),
    ("standard load profiles", "BDEW H0 (1999) and H25 (2025)"),
    ("own use and own supply", "Luthander et al. (2015)"),
    (
        "frequency in an outage",
        "IEEE 1547-2018, EN 50549-1, AS/NZS 4777.2:2020 as set for each PV inverter",
    ),
    (
        "ageing of batteries",
        "ASTM E1049 rainflow cycles and calendar ageing",
    ),
    (
        "conductors, breakers, busbars",
        "the code named with the findings; each finding names its clause",
    ),
    ("voltage lost in conductors", "aim of 2 %, common practice"),
    (
        "conductor lengths in the parts list",
        "a tenth more than the runs, common practice",
    ),
];

/// The section.
pub(super) fn assumptions(told: &Told) -> AnyView {
    let rows = |pairs: Vec<(String, String)>| {
        pairs
            .into_iter()
            .map(|(name, words)| vec![name, words])
            .collect()
    };
    let methods = METHODS
        .iter()
        .map(|(what, source)| ((*what).to_owned(), (*source).to_owned()))
        .collect();
    view! {
        {table_under("Site and weather", &[Words(""), Words("")], rows(site(told)))}
        {table_under("Methods", &[Words("what"), Words("source")], rows(methods))}
        {under("Generic values that findings rest on", generic(told))}
        {table_under(
            "Defaults in force",
            &[Words("number"), Figure("default"), Figure("fields"), Words("where it comes from")],
            defaults(told),
        )}
    }
    .into_any()
}

fn site(told: &Told) -> Vec<(String, String)> {
    let site = &told.household.site;
    let weather = match &site.climate {
        ClimateSource::Grid => format!(
            "built-in world grid of monthly means, coarse (1°), made into one synthetic year (seed {})",
            site.seed
        ),
        ClimateSource::Monthly(_) => format!(
            "monthly means typed in, made into one synthetic year (seed {})",
            site.seed
        ),
        ClimateSource::File(_) => "a whole hourly year from a file".to_owned(),
    };
    let sky = match site.sky_model {
        SkyModel::Perez => "Perez (1990)",
        SkyModel::HayDavies => "Hay & Davies (1980)",
        SkyModel::Isotropic => "isotropic",
    };
    let cold = match site.record_low_c {
        Some(low_c) => told.number(&couplet_core::limits::SITE_RECORD_LOW_C, low_c),
        None => "estimated from the climate".to_owned(),
    };
    let pair = |name: &str, words: String| (name.to_owned(), words);
    vec![
        pair(
            "place",
            format!(
                "{}, {}°, {}°",
                site.place,
                format::number(site.latitude_deg, 2),
                format::number(site.longitude_deg, 2)
            ),
        ),
        pair("weather", weather),
        pair("diffuse light on slopes", sky.to_owned()),
        pair("coldest on record", cold),
        pair("tariff", told.household.tariff.name.clone()),
    ]
}

/// What was not given and stands generic or estimated.
fn generic(told: &Told) -> Option<AnyView> {
    let assumed: BTreeSet<&str> = told
        .findings
        .iter()
        .flat_map(|findings| findings.iter())
        .flat_map(|finding| finding.assumed.iter().copied())
        .collect();
    (!assumed.is_empty()).then(|| {
        let words = assumed.into_iter().collect::<Vec<_>>().join("; ");
        view! { <p>{words}"."</p> }.into_any()
    })
}

fn defaults(told: &Told) -> Vec<Vec<String>> {
    // Of the options only the one that is told.
    let household = Household {
        options: vec![couplet_core::coupling::CouplingOption::clone(&told.option)],
        ..Household::clone(&told.household)
    };
    defaults_in_force(&household)
        .into_iter()
        .map(|(limit, fields)| {
            vec![
                // Plain words lean on the schedule in which they stand.
                label(limit, Level::Trade).to_owned(),
                told.number(limit, limit.default),
                fields.to_string(),
                limit.source.to_owned(),
            ]
        })
        .collect()
}
