//! What was read of a file, to be looked at before it is taken.

use couplet_core::loads::csv::{FileTime, offset_words};
use couplet_core::usage::{MeterFileKind, MeterYear, RebuiltUse};
use leptos::prelude::*;

use super::super::MONTHS;
use super::reading::UNITS;
use crate::format;

/// What was read, as name and value.
pub(super) fn facts(year: &MeterYear, time: FileTime) -> AnyView {
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
        ("time", time_words(year, time)),
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

/// The clock that was chosen, else the one that the file tells, in words.
fn time_words(year: &MeterYear, time: FileTime) -> String {
    match time {
        FileTime::AsFound => told_words(year),
        FileTime::Standard => "standard time here, as chosen".to_owned(),
        FileTime::WallClock if year.summer_time => {
            "the clock on the wall, as chosen, set back to standard time in summer".to_owned()
        }
        FileTime::WallClock => {
            "the clock on the wall, as chosen: here it keeps standard time".to_owned()
        }
        FileTime::Offset { utc_offset_s } => format!(
            "{} all year, as chosen, set to standard time here",
            offset_words(utc_offset_s)
        ),
    }
}

/// The clock that the file tells, in words.
fn told_words(year: &MeterYear) -> String {
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
pub(super) fn beginnings(year: &MeterYear, id: &'static str) -> AnyView {
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
        <table class="meter-beginnings" id=id>
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
pub(super) fn months(year: &MeterYear) -> AnyView {
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

/// What the use behind the meter comes to.
///
/// - `measured`: whether what the sun made is from a file
pub(super) fn rebuilt_words(rebuilt: &RebuiltUse, measured: bool) -> String {
    let energy = |wh| format::energy(wh).text();
    let (made, used) = (energy(rebuilt.generation_wh), energy(rebuilt.use_wh));
    let mut said = if measured {
        format!("The sun made {made}; the use behind the meter is then {used} in the year.")
    } else {
        format!(
            "The sun makes {made} in the model; the use behind the meter is then {used} in the year. The model's weather is not that of the metered days: sums hold, single days do not."
        )
    };
    if rebuilt.unexplained_wh >= 500.0 {
        let unexplained = energy(rebuilt.unexplained_wh);
        said.push_str(&if measured {
            format!(
                " In some hours the meter sent out more than the sun made, {unexplained} in the year: are both files of the same days, by the same clock, and of all the panels?"
            )
        } else {
            format!(
                " In some hours the meter sent out more than the model makes, {unexplained} in the year: the arrays or their losses may be set too low, or the weather of those days was better."
            )
        });
    }
    said
}
