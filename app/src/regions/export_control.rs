//! Export control: what passes an export limit while controls take time, and what PV loses to each way of limiting it, on the day of the
//! cursor, second by second.

use couplet_core::export_control::{ExportFigures, ExportTrace, Response};
use leptos::prelude::*;

use super::fold::{Fold, fold_table};
use crate::chart::curves::{Curves, curves, in_their_middles};
use crate::chart::ticks::Axis;
use crate::desk::Desk;
use crate::format;
use crate::inquiry::Inquiry;
use crate::words::{Level, Word};
use crate::work::protocol::{ExportDay, Found, LimitedBy, Question, Topic};

/// The region; it is there where the household has an export limit.
#[component]
pub(crate) fn ExportControl(desk: Desk, inquiry: Inquiry) -> impl IntoView {
    let open = RwSignal::new(false);
    let limited = Memo::new(move |_| {
        desk.household.with(|household| {
            household.service.utility && household.service.export_limit_w.is_some()
        })
    });
    let day = Memo::new(move |_| desk.cursor.with(|cursor| cursor.day));
    Effect::new(move |_| {
        let question = (open.get() && limited.get()).then(|| Question::ExportControl {
            option: desk.option_id.get(),
            day: day.get(),
        });
        inquiry.ask(Topic::ExportControl, question);
    });
    let known = inquiry.known(Topic::ExportControl);
    let stale = inquiry.stale(Topic::ExportControl);
    let trouble = inquiry.trouble(Topic::ExportControl);
    let shown = move || {
        let level = desk.keep.settings.with(|settings| settings.level);
        let id = desk.option_id.get();
        known.with(|known| match known.as_ref()?.of(id)?.as_ref() {
            Found::ExportControl(found) => Some(view! {
                <p class="drill-head">{format::date(found.day)}</p>
                {picture(&found.trace, found.limit_w)}
                {fold_table(&HEADS, rows(found, level))}
            }),
            _ => None,
        })
    };
    view! {
        <Show when=move || limited.get()>
            <Fold
                id="export-control"
                title=Signal::derive(move || desk.word(Word::ExportControl).to_owned())
                open
                stale
            >
                <p class="fold-note">{move || desk.word(Word::ExportControlNote)}</p>
                {move || trouble.get().map(|trouble| view! { <p class="note" role="alert">{trouble}</p> })}
                {shown}
            </Fold>
        </Show>
    }
    .into_any()
}

fn way(limited_by: LimitedBy, level: Level) -> &'static str {
    match (limited_by, level) {
        (LimitedBy::AsSet, _) => "as it is set",
        (LimitedBy::Nothing, Level::Plain) => "nothing holds the sun back",
        (LimitedBy::Nothing, Level::Trade) => "no limiting",
        (LimitedBy::Command, Level::Plain) => "every inverter is told",
        (LimitedBy::Command, Level::Trade) => "all commanded",
        (LimitedBy::Relay, Level::Plain) => "every inverter is switched off and on",
        (LimitedBy::Relay, Level::Trade) => "all by relay",
    }
}

/// Heads of the table.
pub(crate) const HEADS: [&str; 10] = [
    "PV is limited",
    "sent out above the limit",
    "most above it",
    "longest",
    "PV lost to the limit itself",
    "to the margin",
    "to delay",
    "to open relays",
    "sold",
    "ends within 2 s, 5 s, 30 s",
];

/// Rows of the table: each way of limiting.
pub(crate) fn rows(found: &ExportDay, level: Level) -> Vec<(&'static str, Vec<String>)> {
    found
        .ways
        .iter()
        .map(|(limited_by, figures)| (way(*limited_by, level), cells(figures)))
        .collect()
}

fn cells(figures: &ExportFigures) -> Vec<String> {
    let energy = |energy_wh: f64| format::energy(energy_wh).text();
    let longest = format!("{}\u{a0}s", format::number(figures.longest_leak_s, 1));
    let within = Response::ALL
        .map(|response| {
            if figures.answers_within(response) {
                "yes"
            } else {
                "no"
            }
        })
        .join(", ");
    vec![
        energy(figures.leaked_wh),
        format::power(figures.worst_leak_w).text(),
        longest,
        energy(figures.lost_to_limit_wh),
        energy(figures.lost_to_margin_wh),
        energy(figures.lost_to_lag_wh),
        energy(figures.lost_to_relay_wh),
        energy(figures.export_wh),
        within,
    ]
}

/// Greatest export of each minute against the limit, with what the PV inverters could give and gave.
pub(crate) fn picture(trace: &ExportTrace, limit_w: f64) -> impl IntoView + use<> {
    let series = [
        ("ac-offered", &trace.ac_pv_offered_w),
        ("ac", &trace.ac_pv_w),
        ("export", &trace.peak_export_w),
    ];
    let most_w = series
        .iter()
        .flat_map(|(_, values)| values.iter().copied())
        .fold(limit_w, f64::max);
    let axis = Axis::reaching(most_w / 1000.0, 3.0);
    let height = |power_w: f64| (power_w / 1000.0 / axis.most).clamp(0.0, 1.0);
    let limit = height(limit_w);
    let mut lines = vec![("limit", vec![(0.0, limit), (1.0, limit)])];
    lines.extend(series.map(|(key, values)| {
        let heights = values.iter().map(|power_w| height(*power_w));
        (key, in_their_middles(heights))
    }));
    view! {
        {curves(Curves {
            caption: "kW, as it is set: greatest in each minute",
            label: "Greatest export of each minute of the day against the limit; the table below has the figures",
            left: axis
                .ticks()
                .chain([0.0])
                .map(|tick| (height(tick * 1000.0), format::number(tick, axis.decimals())))
                .collect(),
            below: (0..=24)
                .step_by(4)
                .map(|hour| (f64::from(hour) / 24.0, format!("{hour:02}")))
                .collect(),
            levels: vec![0.0],
            lines,
        })}
        <ul class="drill-key" aria-label="Lines of the chart">
            <li><i data-line="export"></i>"sent out"</li>
            <li><i data-line="limit"></i>"limit"</li>
            <li><i data-line="ac"></i>"AC-joined PV"</li>
            <li><i data-line="ac-offered"></i>"what the sun offers it"</li>
        </ul>
    }
}
