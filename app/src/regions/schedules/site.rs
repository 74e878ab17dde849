//! The site: place, weather of the year, sky.

use couplet_core::climate::{MonthlyClimate, WeatherFile};
use couplet_core::household::{ClimateSource, Site};
use couplet_core::limits;
use couplet_core::sky::SkyModel;
use leptos::prelude::*;
use leptos::task::spawn_local;

use super::place::PlaceSearch;
use super::row::Row;
use super::{Details, MONTHS, Schedule};
use crate::desk::Desk;
use crate::keep::files;
use crate::parts::FileButton;
use crate::place_list::Found;
use crate::words::Word;

/// Where the weather comes from, without its numbers.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
enum ClimateKind {
    #[default]
    Grid,
    Monthly,
    File,
}

impl ClimateKind {
    fn of(climate: &ClimateSource) -> Self {
        match climate {
            ClimateSource::Grid => Self::Grid,
            ClimateSource::Monthly(_) => Self::Monthly,
            ClimateSource::File(_) => Self::File,
        }
    }
}

/// The schedule of the site.
#[component]
pub(super) fn SiteSchedule(desk: Desk) -> impl IntoView {
    let row: Row<Site> = Row::new(
        desk,
        "site",
        "site",
        |household| Some(&household.site),
        |household| Some(&mut household.site),
    );
    let to_place = row.clone();
    let on_place = Callback::new(move |found: Found| {
        to_place.change(None, "place", |site| found.put_into(site));
    });
    view! {
        <Schedule clone:row desk name="site" title=Word::Site>
            {row.text("place", "place", false, |site| &site.place, |site, place| site.place = place)}
            <PlaceSearch id="site-search" on_place />
            <WeatherSource row=row.clone() />
            <Details clone:row desk title=Word::Position>
                {row.quantity(&limits::SITE_LATITUDE_DEG, |site| site.latitude_deg, |site, value| site.latitude_deg = value)}
                {row.quantity(&limits::SITE_LONGITUDE_DEG, |site| site.longitude_deg, |site, value| site.longitude_deg = value)}
                {row.quantity(&limits::SITE_ELEVATION_M, |site| site.elevation_m, |site, value| site.elevation_m = value)}
                {row.quantity(&limits::SITE_UTC_OFFSET_H, |site| site.utc_offset_h, |site, value| site.utc_offset_h = value)}
            </Details>
            <Details clone:row desk title=Word::SkyAndDirt>
                <RecordLow row=row.clone() />
                {row.quantity(&limits::SITE_GROUND_ALBEDO, |site| site.ground_albedo, |site, value| site.ground_albedo = value)}
                {row.choice(
                    "sky-model",
                    "sky model",
                    &[(SkyModel::Perez, "Perez"), (SkyModel::HayDavies, "Hay\u{2013}Davies"), (SkyModel::Isotropic, "isotropic")],
                    |site| site.sky_model,
                    |site, model| site.sky_model = model,
                )}
                <Twelve
                    row=row.clone()
                    legend="light lost to dirt"
                    key="soiling_share"
                    limit=&limits::SITE_SOILING_SHARE
                    get=|site| site.soiling_share
                    set=|site, month, value| if let Some(share) = site.soiling_share.get_mut(month) { *share = value }
                />
            </Details>
        </Schedule>
    }
    .into_any()
}

/// Twelve numbers, January first.
#[component]
fn Twelve(
    row: Row<Site>,
    legend: &'static str,
    key: &'static str,
    limit: &'static limits::Limit,
    get: fn(&Site) -> [f64; 12],
    set: fn(&mut Site, usize, f64),
) -> impl IntoView {
    let fields = MONTHS
        .into_iter()
        .enumerate()
        .map(|(month, name)| {
            row.quantity_at(
                limit,
                &format!("{key}-{month}"),
                Some(name.to_owned()),
                move |site| get(site).get(month).copied().unwrap_or_default(),
                move |site, value| set(site, month, value),
            )
        })
        .collect_view();
    view! {
        <fieldset class="twelve">
            <legend>{legend}</legend>
            {fields}
        </fieldset>
    }
    .into_any()
}

/// The record low, or the climate's estimate.
#[component]
fn RecordLow(row: Row<Site>) -> impl IntoView {
    let known = row.read(|site| site.record_low_c.is_some());
    let number = row.clone();
    let field = move || {
        known.get().then(|| {
            number.quantity(
                &limits::SITE_RECORD_LOW_C,
                |site| {
                    site.record_low_c
                        .unwrap_or(limits::SITE_RECORD_LOW_C.default)
                },
                |site, value| site.record_low_c = Some(value),
            )
        })
    };
    view! {
        {row.tick("knows-record-low", "the record low is known", |site| site.record_low_c.is_some(), |site, known| {
            site.record_low_c = known.then_some(limits::SITE_RECORD_LOW_C.default);
        })}
        {field}
    }
    .into_any()
}

/// Where the weather of the year comes from.
#[component]
fn WeatherSource(row: Row<Site>) -> impl IntoView {
    let desk = row.desk;
    let kind = row.read(|site| ClimateKind::of(&site.climate));
    let inner = row.clone();
    let fields = move || match kind.get() {
        ClimateKind::Grid => ().into_any(),
        ClimateKind::Monthly => monthly_fields(&inner),
        ClimateKind::File => {
            let name = inner.read(|site| match &site.climate {
                ClimateSource::File(file) => file.name.clone(),
                _ => String::new(),
            });
            view! { <p class="value-line">{move || name.get()}</p> }.into_any()
        }
    };
    view! {
        {row.choice(
            "climate",
            "weather",
            &[(ClimateKind::Grid, "built-in world grid"), (ClimateKind::Monthly, "monthly values"), (ClimateKind::File, "from a weather file")],
            |site| ClimateKind::of(&site.climate),
            |site, kind| match kind {
                ClimateKind::Grid => site.climate = ClimateSource::Grid,
                ClimateKind::Monthly => site.climate = ClimateSource::Monthly(default_months()),
                // A file cannot be made up: it is chosen by giving one.
                ClimateKind::File => {}
            },
        )}
        {fields}
        <Details clone:row desk title=Word::WeatherFile>
            <WeatherFileField row=row.clone() />
        </Details>
    }
    .into_any()
}

fn default_months() -> MonthlyClimate {
    MonthlyClimate {
        ghi_wh_m2_day: [limits::CLIMATE_GHI_WH_M2_DAY.default; 12],
        air_mean_c: [limits::CLIMATE_AIR_MEAN_C.default; 12],
        air_range_k: [limits::CLIMATE_AIR_RANGE_K.default; 12],
        yearly_low_c: limits::CLIMATE_YEARLY_LOW_C.default,
        yearly_high_c: limits::CLIMATE_YEARLY_HIGH_C.default,
    }
}

fn months(site: &Site) -> MonthlyClimate {
    match &site.climate {
        ClimateSource::Monthly(months) => months.clone(),
        _ => default_months(),
    }
}

fn set_month(
    site: &mut Site,
    month: usize,
    value: f64,
    which: fn(&mut MonthlyClimate) -> &mut [f64; 12],
) {
    if let ClimateSource::Monthly(months) = &mut site.climate
        && let Some(kept) = which(months).get_mut(month)
    {
        *kept = value;
    }
}

fn monthly_fields(row: &Row<Site>) -> AnyView {
    view! {
        <Twelve
            row=row.clone()
            legend="sun on the level, a day"
            key="ghi_wh_m2_day"
            limit=&limits::CLIMATE_GHI_WH_M2_DAY
            get=|site| months(site).ghi_wh_m2_day
            set=|site, month, value| set_month(site, month, value, |months| &mut months.ghi_wh_m2_day)
        />
        <Twelve
            row=row.clone()
            legend="mean air temperature"
            key="air_mean_c"
            limit=&limits::CLIMATE_AIR_MEAN_C
            get=|site| months(site).air_mean_c
            set=|site, month, value| set_month(site, month, value, |months| &mut months.air_mean_c)
        />
        <Twelve
            row=row.clone()
            legend="from the day\u{2019}s lowest to its highest"
            key="air_range_k"
            limit=&limits::CLIMATE_AIR_RANGE_K
            get=|site| months(site).air_range_k
            set=|site, month, value| set_month(site, month, value, |months| &mut months.air_range_k)
        />
        {row.quantity(
            &limits::CLIMATE_YEARLY_LOW_C,
            |site| months(site).yearly_low_c,
            |site, value| if let ClimateSource::Monthly(months) = &mut site.climate { months.yearly_low_c = value },
        )}
        {row.quantity(
            &limits::CLIMATE_YEARLY_HIGH_C,
            |site| months(site).yearly_high_c,
            |site, value| if let ClimateSource::Monthly(months) = &mut site.climate { months.yearly_high_c = value },
        )}
    }
    .into_any()
}

/// Takes an EPW or TMY3 file.
#[component]
fn WeatherFileField(row: Row<Site>) -> impl IntoView {
    let fault = RwSignal::new(None::<String>);
    let take = Callback::new(move |file: web_sys::File| {
        let row = row.clone();
        spawn_local(async move {
            let name = file.name();
            let read = match files::text_of(&file).await {
                Ok(text) => WeatherFile::read(&text).map_err(|error| error.to_string()),
                Err(reason) => Err(reason),
            };
            match read {
                Ok(weather) => {
                    let _ = fault.try_set(None);
                    row.change(None, "weather file", |site| {
                        site.latitude_deg = weather.latitude_deg;
                        site.longitude_deg = weather.longitude_deg;
                        site.elevation_m = weather.elevation_m;
                        site.utc_offset_h = weather.utc_offset_h;
                        site.place.clone_from(&weather.name);
                        site.climate = ClimateSource::File(weather);
                    });
                }
                Err(reason) => {
                    let _ = fault.try_set(Some(format!("{name} was not taken: {reason}")));
                }
            }
        });
    });
    view! {
        <FileButton id="weather-file" accept=".epw,.csv,text/csv,text/plain" on_file=take>
            "Give an EPW or TMY3 file\u{2026}"
        </FileButton>
        <p class="message" role="status">{move || fault.get()}</p>
        <p class="note">"A whole hourly year. Place and position are taken from the file."</p>
    }
    .into_any()
}
