//! A meter's file as the base use: read, looked at, then taken or left.

use std::sync::Arc;

use couplet_core::bill::clock_rule_of_zone;
use couplet_core::household::{BaseUse, IntervalUse, Loads};
use couplet_core::loads::csv::{CsvUnit, FileTime, SiteTime, offset_words};
use couplet_core::usage::{MeterFileKind, MeterYear, RebuiltUse, read_meter_file, rebuilt_use};
use leptos::prelude::*;
use leptos::task::spawn_local;

use super::MONTHS;
use super::row::Row;
use crate::format;
use crate::inquiry::Inquiry;
use crate::keep::files;
use crate::parts::{Choice, FileButton};
use crate::words::Word;
use crate::work::protocol::{Found, Question, Topic};

/// Units that can be chosen; none: the one that the file's headings name.
const UNITS: [(Option<CsvUnit>, &str); 5] = [
    (None, "as the file says"),
    (Some(CsvUnit::Kwh), "kWh in the interval"),
    (Some(CsvUnit::Wh), "Wh in the interval"),
    (Some(CsvUnit::Kw), "mean kW"),
    (Some(CsvUnit::W), "mean W"),
];

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

/// What the meter of a home with PV counts.
const COUNTS: [Word; 2] = [Word::MeterCountsAll, Word::MeterCountsRest];

/// Takes a meter's file: Green Button, or rows of date, time and value, over a year.
#[component]
pub(super) fn IntervalFile(row: Row<Loads>, inquiry: Inquiry) -> impl IntoView {
    let desk = row.desk;
    let unit = RwSignal::new(0_usize);
    let messages = RwSignal::new(Vec::<String>::new());
    let clock = RwSignal::new(0_usize);
    let given = RwSignal::new(None::<Given>);
    // What is to be read and how: any change of it shows at once.
    let reading = Memo::new(move |_| {
        let given = given.get()?;
        let (unit, _) = UNITS.get(unit.get())?;
        let (time, _) = clocks().into_iter().nth(clock.get())?;
        // The clock of the tariff; where that keeps standard time, the one of the place.
        let (utc_offset_h, clock_rule) = desk.household.with(|household| {
            let of_place = || clock_rule_of_zone(&household.site.time_zone).map(str::to_owned);
            let rule = household.tariff.clock_rule.clone().or_else(of_place);
            (household.site.utc_offset_h, rule)
        });
        let site = SiteTime {
            utc_offset_h,
            clock_rule: clock_rule.as_deref(),
        };
        let read = match &given.text {
            Ok(text) => read_meter_file(&given.name, text, *unit, &site, time),
            Err(reason) => Err(vec![reason.clone()]),
        };
        Some(
            read.map(Arc::new)
                .map_err(|problems| refused(&given.name, &problems)),
        )
    });
    let pending = Memo::new(move |_| reading.with(|read| read.as_ref()?.as_ref().ok().cloned()));
    let counts_rest = RwSignal::new(false);
    let is_given = Memo::new(move |_| given.with(Option::is_some));
    let faults = Memo::new(move |_| {
        reading.with(|read| match read {
            Some(Err(faults)) => faults.clone(),
            _ => Vec::new(),
        })
    });
    let unit_items: Vec<_> = UNITS
        .iter()
        .map(|(_, text)| ((*text).to_owned(), true))
        .collect();
    let clock_items: Vec<_> = clocks().into_iter().map(|(_, text)| (text, true)).collect();
    // The first option with PV in it, if PV stands there already.
    let standing = Memo::new(move |_| {
        desk.household.with(|household| {
            let first = household.options.first()?;
            (!first.arrays.is_empty()).then_some(first.id)
        })
    });
    let rebuilds = Memo::new(move |_| {
        let both = pending.with(|year| year.as_ref().is_some_and(|year| year.sold_w.is_some()));
        (both && counts_rest.get())
            .then(|| standing.get())
            .flatten()
    });
    Effect::new(move |_| inquiry.ask(Topic::Generation, rebuilds.get().map(Question::Generation)));
    let known = inquiry.known(Topic::Generation);
    let stale = inquiry.stale(Topic::Generation);
    let trouble = inquiry.trouble(Topic::Generation);
    let rebuilt = Memo::new(move |_| {
        rebuilds.get()?;
        if stale.get() {
            return None;
        }
        let year = pending.get()?;
        known.with(|known| match known.as_ref()?.found.as_ref() {
            Found::Generation(generation_w) => rebuilt_use(&year, generation_w),
            _ => None,
        })
    });
    let read = Callback::new(move |file: web_sys::File| {
        spawn_local(async move {
            let name = file.name();
            let text = files::text_of(&file).await.map(Arc::from);
            // Another file is told by its own clock and in its own unit.
            let _ = unit.try_set(0);
            let _ = clock.try_set(0);
            let _ = messages.try_set(Vec::new());
            let _ = given.try_set(Some(Given { name, text }));
        });
    });
    let take = {
        let row = row.clone();
        move |used: IntervalUse| {
            let said = format!(
                "A year of {} min intervals was taken.",
                used.interval_s / 60
            );
            row.change(None, "meter file", |loads| {
                loads.base = BaseUse::Intervals(used);
            });
            given.set(None);
            messages.set(vec![said]);
        }
    };
    let preview = move || {
        let year = pending.get()?;
        let take = take.clone();
        let choice = standing.get().map(|_| {
            let items = Signal::derive(move || {
                COUNTS
                    .map(|word| (desk.word(word).to_owned(), true))
                    .to_vec()
            });
            view! {
                <p class="note">{move || desk.word(Word::NetMeterNote)}</p>
                <Choice
                    id="meter-counts".to_owned()
                    label="the meter counts"
                    items
                    chosen=Signal::derive(move || Some(usize::from(counts_rest.get())))
                    on_change=Callback::new(move |place| counts_rest.set(place == 1))
                />
            }
        });
        let both = year.sold_w.is_some();
        let waits =
            move || counts_rest.get() && standing.get().is_some() && rebuilt.with(Option::is_none);
        let said = move || {
            if !counts_rest.get() || standing.get().is_none() {
                return None;
            }
            if !both {
                return Some("This file does not tell what was sent out. In the hours in which the meter stood still the use cannot be known: give a file with both directions.".to_owned());
            }
            trouble.get().or_else(|| {
                Some(rebuilt.with(|rebuilt| {
                    rebuilt.as_ref().map_or_else(
                        || "The sun's part is being computed.".to_owned(),
                        rebuilt_words,
                    )
                }))
            })
        };
        let on_take = {
            let year = Arc::clone(&year);
            move |_| {
                let used = if counts_rest.get_untracked() && standing.get_untracked().is_some() {
                    rebuilt.with_untracked(|rebuilt| {
                        rebuilt.as_ref().map(|rebuilt| rebuilt.intervals.clone())
                    })
                } else {
                    Some(year.as_use())
                };
                if let Some(used) = used {
                    take(used);
                }
            }
        };
        Some(view! {
            <section class="meter-preview" id="meter-preview" aria-label="What was read">
                {facts(&year)}
                {beginnings(&year)}
                {months(&year)}
                {choice}
                <p class="note" role="status">{said}</p>
                <div class="buttons">
                    <button type="button" id="meter-take" disabled=waits on:click=on_take>"Take it as the use"</button>
                    <button type="button" id="meter-leave" class="quiet" on:click=move |_| given.set(None)>"Leave it"</button>
                </div>
            </section>
        })
    };
    view! {
        <FileButton id="meter-file" accept=".csv,.txt,.xml,text/csv,text/plain,text/xml,application/xml" on_file=read>
            "Give a meter file\u{2026}"
        </FileButton>
        <div class="message" role="status">
            {move || messages.get().into_iter().map(|text| view! { <p>{text}</p> }).collect_view()}
        </div>
        <div class="message" role="alert" id="meter-refused">
            {move || faults.get().into_iter().map(|text| view! { <p>{text}</p> }).collect_view()}
        </div>
        <Show when=move || is_given.get()>
            <Choice
                id="meter-unit".to_owned()
                label="values are"
                items=unit_items.clone()
                chosen=Signal::derive(move || Some(unit.get()))
                on_change=Callback::new(move |index| unit.set(index))
            />
            <Choice
                id="meter-clock".to_owned()
                label="times are by"
                items=clock_items.clone()
                chosen=Signal::derive(move || Some(clock.get()))
                on_change=Callback::new(move |index| clock.set(index))
            />
        </Show>
        {preview}
        <p class="note">
            "Green Button, or a table with a date and time and a value in each row, over a whole year, every 60, 30 or 15 minutes or shorter. The unit and the clock of its times are told by the file, and can be set when it is looked at; 29 February is left out."
        </p>
    }
    .into_any()
}

/// What was read, as name and value.
fn facts(year: &MeterYear) -> AnyView {
    let unit = UNITS
        .iter()
        .find(|(unit, _)| *unit == Some(year.unit))
        .map_or("", |(_, text)| text);
    let mut facts = vec![
        ("file", year.source.clone()),
        (
            "kind",
            match year.kind {
                MeterFileKind::GreenButton => "Green Button".to_owned(),
                MeterFileKind::Table => "table".to_owned(),
            },
        ),
        ("from", year.from.clone()),
        ("to", year.to.clone()),
        ("time", time_words(year)),
        ("interval", format!("{} min", year.interval_s / 60)),
        ("values", unit.to_owned()),
        (
            "direction",
            match year.sold_w {
                Some(_) => "bought and sent out".to_owned(),
                None => "bought only".to_owned(),
            },
        ),
    ];
    let counted = [
        ("gaps filled", year.filled, "from a day nearby"),
        ("there twice", year.repeated, "left out once"),
        ("older years", year.older, "intervals left out"),
        ("other commodities", year.blocks_left_out, "blocks left out"),
    ];
    facts.extend(
        counted
            .into_iter()
            .filter(|(name, count, _)| *count > 0 || *name == "gaps filled")
            .map(|(name, count, what)| match count {
                0 => (name, "none".to_owned()),
                _ => (name, format!("{count}, {what}")),
            }),
    );
    let facts = facts
        .into_iter()
        .map(|(name, value)| view! { <div><dt>{name}</dt><dd>{value}</dd></div> })
        .collect_view();
    view! { <dl class="facts">{facts}</dl> }.into_any()
}

/// The clock that the file tells or was given, in words.
fn time_words(year: &MeterYear) -> String {
    if year.summer_time {
        return "summer time, set back to standard time".to_owned();
    }
    if year.offsets {
        return "with their offset from UTC, set to standard time here".to_owned();
    }
    match year.utc_offset_s {
        Some(offset_s) => format!("standard time of the file, {}", offset_words(offset_s)),
        None if year.kind == MeterFileKind::GreenButton => {
            "set from UTC to standard time here".to_owned()
        }
        None => "set to standard time here".to_owned(),
    }
}

/// Some times as written, and as they are understood.
fn beginnings(year: &MeterYear) -> AnyView {
    let rows = (year.beginnings.iter())
        .map(|beginning| {
            view! {
                <tr>
                    <td>{beginning.written.clone()}</td>
                    <td>{beginning.standard.clone()}</td>
                    <td class="figure">{format::power(beginning.power_w).text()}</td>
                </tr>
            }
        })
        .collect_view();
    view! {
        <table class="meter-beginnings" id="meter-beginnings">
            <thead>
                <tr>
                    <th scope="col">"in the file"</th>
                    <th scope="col">"standard time here"</th>
                    <th scope="col">"mean power"</th>
                </tr>
            </thead>
            <tbody>{rows}</tbody>
        </table>
    }
    .into_any()
}

/// Energy of each month.
fn months(year: &MeterYear) -> AnyView {
    let (bought, sold) = (year.bought_wh(), year.sold_wh());
    let kwh = |wh: f64| format::number(wh / 1000.0, 0);
    let sold_head = sold.map(|_| view! { <th scope="col">"sent out, kWh"</th> });
    let rows = (0..12)
        .map(|month| {
            let sold = sold
                .and_then(|sold| sold.get(month).copied())
                .map(|wh| view! { <td class="figure">{kwh(wh)}</td> });
            view! {
                <tr>
                    <th scope="row">{MONTHS.get(month).copied().unwrap_or_default()}</th>
                    <td class="figure">{kwh(bought.get(month).copied().unwrap_or_default())}</td>
                    {sold}
                </tr>
            }
        })
        .collect_view();
    let sold_year = sold.map(|sold| view! { <td class="figure">{kwh(sold.iter().sum())}</td> });
    view! {
        <table class="meter-months">
            <thead>
                <tr>
                    <td></td>
                    <th scope="col">"bought, kWh"</th>
                    {sold_head}
                </tr>
            </thead>
            <tbody>
                {rows}
                <tr>
                    <th scope="row">"Year"</th>
                    <td class="figure">{kwh(bought.iter().sum())}</td>
                    {sold_year}
                </tr>
            </tbody>
        </table>
    }
    .into_any()
}

fn rebuilt_words(rebuilt: &RebuiltUse) -> String {
    let energy = |wh| format::energy(wh).text();
    let unexplained = if rebuilt.unexplained_wh >= 500.0 {
        format!(
            " In some hours the meter sent out more than the model makes, {} in the year: the arrays or their losses may be set too low, or the weather of those days was better.",
            energy(rebuilt.unexplained_wh)
        )
    } else {
        String::new()
    };
    format!(
        "The sun makes {} in the model; the use behind the meter is then {} in the year. The model's weather is not that of the metered days: sums hold, single days do not.{unexplained}",
        energy(rebuilt.generation_wh),
        energy(rebuilt.use_wh)
    )
}

/// Why a file was not taken.
fn refused(name: &str, problems: &[String]) -> Vec<String> {
    let more = problems.len().saturating_sub(FAULTS_SHOWN);
    std::iter::once(format!("{name} was not taken:"))
        .chain(problems.iter().take(FAULTS_SHOWN).cloned())
        .chain((more > 0).then(|| format!("and {more} more")))
        .collect()
}
