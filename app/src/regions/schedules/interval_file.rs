//! A meter's file as the base use.

use couplet_core::household::{BaseUse, Loads};
use couplet_core::loads::{IntervalUnit, intervals_from_csv};
use leptos::prelude::*;
use leptos::task::spawn_local;

use super::row::Row;
use crate::keep::files;
use crate::parts::{Choice, FileButton};

const UNITS: [(IntervalUnit, &str); 4] = [
    (IntervalUnit::KilowattHours, "kWh in the interval"),
    (IntervalUnit::WattHours, "Wh in the interval"),
    (IntervalUnit::Kilowatts, "mean kW"),
    (IntervalUnit::Watts, "mean W"),
];

/// Takes a meter's file: one value for each interval of a year.
#[component]
pub(super) fn IntervalFile(row: Row<Loads>) -> impl IntoView {
    let unit = RwSignal::new(0_usize);
    let fault = RwSignal::new(None::<String>);
    let items: Vec<_> = UNITS
        .iter()
        .map(|(_, text)| ((*text).to_owned(), true))
        .collect();
    let take = Callback::new(move |file: web_sys::File| {
        let row = row.clone();
        let Some((unit, _)) = UNITS.get(unit.get_untracked()) else {
            return;
        };
        spawn_local(async move {
            let name = file.name();
            let read = match files::text_of(&file).await {
                Ok(text) => {
                    intervals_from_csv(&text, &name, *unit).map_err(|error| error.to_string())
                }
                Err(reason) => Err(reason),
            };
            match read {
                Ok(metered) => {
                    let _ = fault.try_set(None);
                    row.change(None, "meter file", |loads| {
                        loads.base = BaseUse::Intervals(metered)
                    });
                }
                Err(reason) => {
                    let _ = fault.try_set(Some(format!("{name} was not taken: {reason}")));
                }
            }
        });
    });
    view! {
        <Choice
            id="meter-unit".to_owned()
            label="values are"
            items=items
            chosen=Signal::derive(move || Some(unit.get()))
            on_change=Callback::new(move |index| unit.set(index))
        />
        <FileButton id="meter-file" accept=".csv,.txt,text/csv,text/plain" on_file=take>
            "Give a meter file\u{2026}"
        </FileButton>
        <p class="message" role="status">{move || fault.get()}</p>
        <p class="note">
            "One value per line (the last column), from 1 January 00:00 in standard time, every 15, 30 or 60 minutes for a whole year; 29 February is left out."
        </p>
    }
    .into_any()
}
