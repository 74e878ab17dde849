//! The list of places, fetched from the page's own data when it is asked for first.

use std::sync::Arc;

use couplet_core::climate::{Place, Places};
use couplet_core::household::Site;
use js_sys::{Object, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::Response;

use crate::keep::beside;

/// The list of places, or why it is not there.
#[derive(Clone, Debug)]
pub(crate) enum PlaceList {
    /// Nobody has asked for it.
    NotYet,
    /// It is on its way.
    Coming,
    /// It is here.
    Here(Arc<Places>),
    /// It could not be had; the text says why.
    Missing(String),
}

/// A place that was found.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Found(Place);

impl Found {
    /// Name, region and country.
    pub(crate) fn text(&self) -> String {
        let place = &self.0;
        if place.region.is_empty() {
            format!("{}, {}", place.name, place.country)
        } else {
            format!("{}, {}, {}", place.name, place.region, place.country)
        }
    }

    /// It as the answer to where a household stands.
    pub(crate) fn answer(&self) -> couplet_core::document::Place {
        couplet_core::document::Place {
            name: self.text(),
            country: self.0.country_code.clone(),
            latitude_deg: self.0.latitude_deg,
            longitude_deg: self.0.longitude_deg,
            elevation_m: self.0.elevation_m,
            utc_offset_h: self.utc_offset_h(),
            time_zone: self.0.time_zone.clone(),
        }
    }

    /// Offset of its standard time from UTC, h; from the sun where the browser does not know the time zone.
    pub(crate) fn utc_offset_h(&self) -> f64 {
        standard_offset_h(&self.0.time_zone)
            .unwrap_or_else(|| (self.0.longitude_deg / 15.0).round())
    }

    /// Makes it the place of a site; the record low of the place before does not hold any more, and a weather file of another
    /// place neither.
    pub(crate) fn put_into(&self, site: &mut Site) {
        site.place = self.text();
        site.latitude_deg = self.0.latitude_deg;
        site.longitude_deg = self.0.longitude_deg;
        site.elevation_m = self.0.elevation_m;
        site.utc_offset_h = self.utc_offset_h();
        site.time_zone.clone_from(&self.0.time_zone);
        site.record_low_c = None;
        site.climate = couplet_core::household::ClimateSource::Grid;
    }
}

impl PlaceList {
    /// Fetches the list.
    pub(crate) async fn fetch() -> Self {
        match fetch_text("./data/places.txt.gz").await {
            Ok(text) => match Places::parse(&text) {
                Ok(places) => Self::Here(Arc::new(places)),
                Err(error) => Self::Missing(error.to_string()),
            },
            Err(error) => Self::Missing(
                Reflect::get(&error, &"message".into())
                    .ok()
                    .and_then(|message| message.as_string())
                    .unwrap_or_else(|| "the list of places could not be loaded".to_owned()),
            ),
        }
    }

    /// Places whose name fits what was typed, best first.
    pub(crate) fn search(&self, typed: &str, most: usize) -> Vec<Found> {
        match self {
            Self::Here(places) => places
                .search(typed, most)
                .into_iter()
                .cloned()
                .map(Found)
                .collect(),
            _ => Vec::new(),
        }
    }
}

/// The text of a gzip file beside the page.
async fn fetch_text(address: &str) -> Result<String, JsValue> {
    let bytes = beside::bytes(address, "the list of places").await?;
    // Some servers unpack .gz files on the way; the first two bytes tell.
    let packed = bytes.get_index(0) == 0x1f && bytes.get_index(1) == 0x8b;
    let as_it_came = Response::new_with_opt_js_u8_array(Some(&bytes))?;
    let text = if packed {
        // By name, since the stream types of the binding know less than browsers do.
        let unpacker = Reflect::construct(
            &Reflect::get(&js_sys::global(), &"DecompressionStream".into())?
                .dyn_into::<js_sys::Function>()?,
            &js_sys::Array::of1(&"gzip".into()),
        )?;
        let stream = Reflect::get(&as_it_came, &"body".into())?;
        let pipe: js_sys::Function = Reflect::get(&stream, &"pipeThrough".into())?.dyn_into()?;
        let unpacked = pipe.call1(&stream, &unpacker)?;
        Response::new_with_opt_readable_stream(Some(unpacked.unchecked_ref()))?.text()?
    } else {
        as_it_came.text()?
    };
    JsFuture::from(text)
        .await?
        .as_string()
        .ok_or_else(|| "the list of places is not text".into())
}

/// Offset of standard time from UTC in a time zone, h: the smaller of those in January and July.
fn standard_offset_h(time_zone: &str) -> Option<f64> {
    let offset_h = |month: i32| -> Option<f64> {
        let date = js_sys::Date::new_with_year_month_day(2026, 0, 1);
        date.set_utc_month(u32::try_from(month).ok()?);
        let local = |zone: &str| -> Option<f64> {
            let options = Object::new();
            Reflect::set(&options, &"timeZone".into(), &zone.into()).ok()?;
            let show: js_sys::Function = Reflect::get(&date, &"toLocaleString".into())
                .ok()?
                .dyn_into()
                .ok()?;
            // An unknown time zone throws.
            let text = show.call2(&date, &"en-US".into(), &options).ok()?;
            let at_ms = js_sys::Date::new(&text).get_time();
            at_ms.is_finite().then_some(at_ms)
        };
        Some((local(time_zone)? - local("UTC")?) / 3_600_000.0)
    };
    let quarter = |hours: f64| (hours * 4.0).round() / 4.0;
    Some(quarter(offset_h(0)?.min(offset_h(6)?)))
}
