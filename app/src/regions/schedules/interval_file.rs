//! A meter's file as the base use: read, looked at, then taken or left.

use std::sync::Arc;

use couplet_core::household::{BaseUse, IntervalUse, Loads};
use couplet_core::loads::csv::CsvUnit;
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
    let pending = RwSignal::new(None::<Arc<MeterYear>>);
    let counts_rest = RwSignal::new(false);
    let items: Vec<_> = UNITS
        .iter()
        .map(|(_, text)| ((*text).to_owned(), true))
        .collect();
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
        let Some((unit, _)) = UNITS.get(unit.get_untracked()) else {
            return;
        };
        let utc_offset_h = desk
            .household
            .with_untracked(|household| household.site.utc_offset_h);
        spawn_local(async move {
            let name = file.name();
            let read = match files::text_of(&file).await {
                Ok(text) => read_meter_file(&name, &text, *unit, utc_offset_h),
                Err(reason) => Err(vec![reason]),
            };
            let (year, said) = match read {
                Ok(year) => (Some(Arc::new(year)), Vec::new()),
                Err(problems) => (None, refused(&name, &problems)),
            };
            let _ = messages.try_set(said);
            let _ = pending.try_set(year);
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
            pending.set(None);
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
                {months(&year)}
                {choice}
                <p class="note" role="status">{said}</p>
                <div class="buttons">
                    <button type="button" id="meter-take" disabled=waits on:click=on_take>"Take it as the use"</button>
                    <button type="button" id="meter-leave" class="quiet" on:click=move |_| pending.set(None)>"Leave it"</button>
                </div>
            </section>
        })
    };
    view! {
        <Choice
            id="meter-unit".to_owned()
            label="values are"
            items=items
            chosen=Signal::derive(move || Some(unit.get()))
            on_change=Callback::new(move |index| unit.set(index))
        />
        <FileButton id="meter-file" accept=".csv,.txt,.xml,text/csv,text/plain,text/xml,application/xml" on_file=read>
            "Give a meter file\u{2026}"
        </FileButton>
        <div class="message" role="status">
            {move || messages.get().into_iter().map(|text| view! { <p>{text}</p> }).collect_view()}
        </div>
        {preview}
        <p class="note">
            "Green Button, or a table with a date and time and a value in each row, over a whole year, every 60, 30 or 15 minutes or shorter. Summer time is set back to standard time; 29 February is left out."
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

fn time_words(year: &MeterYear) -> String {
    if year.summer_time {
        return "summer time, set back to standard time".to_owned();
    }
    match year.utc_offset_s {
        Some(offset_s) => {
            let sign = if offset_s < 0 { '\u{2212}' } else { '+' };
            let minutes = offset_s.unsigned_abs() / 60;
            format!(
                "standard time, UTC{sign}{}:{:02} by the file",
                minutes / 60,
                minutes % 60
            )
        }
        None => "standard time".to_owned(),
    }
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
