//! A file that was given, and how it is to be read: by which unit and by which clock.

use std::sync::Arc;

use couplet_core::bill::clock_rule_of_zone;
use couplet_core::loads::csv::{CsvUnit, FileTime, SiteTime, offset_words};
use couplet_core::usage::{MeterYear, read_meter_file};
use leptos::prelude::*;
use leptos::task::spawn_local;

use crate::desk::Desk;
use crate::keep::files;
use crate::parts::{Choice, FileButton};

/// Units that can be chosen; none: the one that the file's headings name.
pub(super) const UNITS: [(Option<CsvUnit>, &str); 5] = [
    (None, "as the file says"),
    (Some(CsvUnit::Kwh), "kWh in the interval"),
    (Some(CsvUnit::Wh), "Wh in the interval"),
    (Some(CsvUnit::Kw), "mean kW"),
    (Some(CsvUnit::W), "mean W"),
];

/// What the clocks at the site show.
#[derive(Clone, PartialEq)]
struct SiteClock {
    utc_offset_h: f64,
    /// The rule of the tariff; where that keeps standard time, the one of the place.
    rule: Option<String>,
}

impl SiteClock {
    fn of(desk: Desk) -> Memo<Self> {
        Memo::new(move |_| {
            desk.household.with(|household| {
                let of_place = || clock_rule_of_zone(&household.site.time_zone).map(str::to_owned);
                Self {
                    utc_offset_h: household.site.utc_offset_h,
                    rule: household.tariff.clock_rule.clone().or_else(of_place),
                }
            })
        })
    }
}

/// Clocks that can be chosen: as the file tells, the site's own, and every offset from UTC that is in use somewhere.
fn clocks() -> Vec<(FileTime, String)> {
    const HALF_HOURS: std::ops::RangeInclusive<i64> = -24..=28;
    let own = [
        (FileTime::AsFound, "as the file tells".to_owned()),
        (
            FileTime::WallClock,
            "the clock on the wall here, with summer time".to_owned(),
        ),
        (FileTime::Standard, "standard time here all year".to_owned()),
    ];
    let utc_first = std::iter::once(0).chain(HALF_HOURS.filter(|half| *half != 0));
    let offsets = utc_first.map(|half_hours| {
        let utc_offset_s = half_hours * 1_800;
        let time = FileTime::Offset { utc_offset_s };
        (time, format!("{} all year", offset_words(utc_offset_s)))
    });
    own.into_iter().chain(offsets).collect()
}

/// A file that was given.
#[derive(Clone, PartialEq)]
struct Given {
    name: String,
    text: Result<Arc<str>, String>,
}

/// Faults that are shown; a file has often one fault many times.
const FAULTS_SHOWN: usize = 6;

/// A file that was given and how it is read; any change of it shows at once.
#[derive(Clone, Copy)]
pub(super) struct Reading {
    given: RwSignal<Option<Given>>,
    unit: RwSignal<usize>,
    clock: RwSignal<usize>,
    read: Memo<Option<Result<Arc<MeterYear>, Vec<String>>>>,
}

impl Reading {
    /// Nothing is given yet.
    pub(super) fn of(desk: Desk) -> Self {
        let given = RwSignal::new(None::<Given>);
        let (unit, clock) = (RwSignal::new(0), RwSignal::new(0));
        let site = SiteClock::of(desk);
        let read = Memo::new(move |_| {
            let given = given.get()?;
            let (unit, _) = UNITS.get(unit.get())?;
            let time = time_of(clock.get());
            let read = match &given.text {
                Ok(text) => site.with(|site| {
                    let site = SiteTime {
                        utc_offset_h: site.utc_offset_h,
                        clock_rule: site.rule.as_deref(),
                    };
                    read_meter_file(&given.name, text, *unit, &site, time)
                }),
                Err(reason) => Err(vec![reason.clone()]),
            };
            Some(
                read.map(Arc::new)
                    .map_err(|problems| refused(&given.name, &problems)),
            )
        });
        Self {
            given,
            unit,
            clock,
            read,
        }
    }

    /// The year that was read; none: no file is given, or it cannot be read.
    pub(super) fn year(self) -> Option<Arc<MeterYear>> {
        self.read.with(|read| read.as_ref()?.as_ref().ok().cloned())
    }

    /// The clock that was chosen.
    pub(super) fn time(self) -> FileTime {
        time_of(self.clock.get())
    }

    /// Lays the file aside.
    pub(super) fn leave(self) {
        self.given.set(None);
    }

    fn is_given(self) -> bool {
        self.given.with(Option::is_some)
    }

    fn faults(self) -> Vec<String> {
        self.read.with(|read| match read {
            Some(Err(faults)) => faults.clone(),
            _ => Vec::new(),
        })
    }

    /// Takes a file; it is told by its own clock and in its own unit.
    fn take(self, file: web_sys::File) {
        spawn_local(async move {
            let name = file.name();
            let text = files::text_of(&file).await.map(Arc::from);
            let _ = self.unit.try_set(0);
            let _ = self.clock.try_set(0);
            let _ = self.given.try_set(Some(Given { name, text }));
        });
    }
}

fn time_of(place: usize) -> FileTime {
    (clocks().into_iter().nth(place)).map_or(FileTime::AsFound, |(time, _)| time)
}

/// A button for a file, why it was refused, and once it is given how it is read.
#[component]
pub(super) fn FileGiven(
    reading: Reading,
    /// Names the fields in the page, such as `meter`.
    id: &'static str,
    /// What stands on the button.
    label: &'static str,
    /// Told whenever another file is given.
    on_file: Callback<()>,
) -> impl IntoView {
    let items =
        |texts: Vec<String>| -> Vec<_> { texts.into_iter().map(|text| (text, true)).collect() };
    let units = items(UNITS.map(|(_, text)| text.to_owned()).to_vec());
    let clock_items = items(clocks().into_iter().map(|(_, text)| text).collect());
    let read = Callback::new(move |file: web_sys::File| {
        on_file.run(());
        reading.take(file);
    });
    view! {
        <FileButton id=format!("{id}-file") accept=".csv,.txt,.xml,text/csv,text/plain,text/xml,application/xml" on_file=read>
            {label}
        </FileButton>
        <div class="message" role="alert" id=format!("{id}-refused")>
            {move || reading.faults().into_iter().map(|text| view! { <p>{text}</p> }).collect_view()}
        </div>
        <Show when=move || reading.is_given()>
            <Choice
                id=format!("{id}-unit")
                label="values are"
                items=units.clone()
                chosen=Signal::derive(move || Some(reading.unit.get()))
                on_change=Callback::new(move |index| reading.unit.set(index))
            />
            <Choice
                id=format!("{id}-clock")
                label="times are by"
                items=clock_items.clone()
                chosen=Signal::derive(move || Some(reading.clock.get()))
                on_change=Callback::new(move |index| reading.clock.set(index))
            />
        </Show>
    }
    .into_any()
}

/// Why a file was not taken.
fn refused(name: &str, problems: &[String]) -> Vec<String> {
    let more = problems.len().saturating_sub(FAULTS_SHOWN);
    std::iter::once(format!("{name} was not taken:"))
        .chain(problems.iter().take(FAULTS_SHOWN).cloned())
        .chain((more > 0).then(|| format!("and {more} more")))
        .collect()
}
