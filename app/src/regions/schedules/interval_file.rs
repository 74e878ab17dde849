//! A meter's file as the base use.

use couplet_core::household::{BaseUse, Loads};
use couplet_core::loads::csv::{CsvProblem, CsvUnit, MeteredYear, preview, read_intervals};
use leptos::prelude::*;
use leptos::task::spawn_local;

use super::row::Row;
use crate::keep::files;
use crate::parts::{Choice, FileButton};

/// Units that can be chosen; none: the one that the file's headings name.
const UNITS: [(Option<CsvUnit>, &str); 5] = [
    (None, "as the file says"),
    (Some(CsvUnit::Kwh), "kWh in the interval"),
    (Some(CsvUnit::Wh), "Wh in the interval"),
    (Some(CsvUnit::Kw), "mean kW"),
    (Some(CsvUnit::W), "mean W"),
];

/// Faults that are shown; a file has often one fault many times.
const FAULTS_SHOWN: usize = 6;

/// Takes a meter's file: rows of date, time and value over a year.
#[component]
pub(super) fn IntervalFile(row: Row<Loads>) -> impl IntoView {
    let unit = RwSignal::new(0_usize);
    let messages = RwSignal::new(Vec::<String>::new());
    let items: Vec<_> = UNITS
        .iter()
        .map(|(_, text)| ((*text).to_owned(), true))
        .collect();
    let take = Callback::new(move |file: web_sys::File| {
        let row = row.clone();
        let Some((unit, _)) = UNITS.get(unit.get_untracked()) else {
            return;
        };
        let household = row.desk.household;
        let utc_offset_h = household.with_untracked(|household| household.site.utc_offset_h);
        spawn_local(async move {
            let name = file.name();
            let said = match files::text_of(&file).await {
                Ok(text) => match metered(&name, &text, *unit, utc_offset_h) {
                    Ok(year) => {
                        let said = told(&year);
                        row.change(None, "meter file", |loads| {
                            loads.base = BaseUse::Intervals(year.intervals)
                        });
                        said
                    }
                    Err(problems) => refused(&name, &problems),
                },
                Err(reason) => vec![format!("{name} was not taken: {reason}")],
            };
            let _ = messages.try_set(said);
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
        <div class="message" role="status">
            {move || messages.get().into_iter().map(|text| view! { <p>{text}</p> }).collect_view()}
        </div>
        <p class="note">
            "A table with a date and time and a value in each row, over a whole year, every 60, 30 or 15 minutes or shorter. Summer time is set back to standard time; 29 February is left out."
        </p>
    }
    .into_any()
}

fn metered(
    name: &str,
    text: &str,
    unit: Option<CsvUnit>,
    utc_offset_h: f64,
) -> Result<MeteredYear, Vec<CsvProblem>> {
    let mut layout = preview(text).map_err(|problem| vec![problem])?.layout;
    if let Some(unit) = unit {
        layout.unit = unit;
    }
    read_intervals(name, text, &layout, utc_offset_h)
}

/// What was done to the rows of a file on the way.
fn told(year: &MeteredYear) -> Vec<String> {
    let minutes = year.intervals.interval_s / 60;
    let mut told = vec![format!("A year of {minutes} min intervals was taken.")];
    if year.summer_time {
        told.push("Its stamps follow summer time; they were set back to standard time.".to_owned());
    }
    if year.filled > 0 {
        told.push(format!(
            "{} missing intervals have the value of the same time on a day nearby.",
            year.filled
        ));
    }
    if year.older_rows > 0 {
        told.push(format!(
            "{} rows of an older year were left out.",
            year.older_rows
        ));
    }
    told
}

/// Why a file was not taken.
fn refused(name: &str, problems: &[CsvProblem]) -> Vec<String> {
    let more = problems.len().saturating_sub(FAULTS_SHOWN);
    std::iter::once(format!("{name} was not taken:"))
        .chain(problems.iter().take(FAULTS_SHOWN).map(ToString::to_string))
        .chain((more > 0).then(|| format!("and {more} more")))
        .collect()
}
