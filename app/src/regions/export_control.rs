//! Export control: what passes an export limit while controls take time, and what PV loses to each way of limiting it, on the day of the
//! cursor, second by second.

use couplet_core::export_control::{ExportFigures, ExportTrace, Response};
use leptos::prelude::*;

use super::fold::Fold;
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
        known.with(|known| {
            let known = known
                .as_ref()
                .filter(|known| known.question.option() == id)?;
            match known.found.as_ref() {
                Found::ExportControl(found) => Some(view! {
                    <p class="drill-head">{format::date(found.day)}</p>
                    {picture(&found.trace, found.limit_w)}
                    {table(found, level)}
                }),
                _ => None,
            }
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

fn table(found: &ExportDay, level: Level) -> impl IntoView + use<> {
    let rows = found
        .ways
        .iter()
        .map(|(limited_by, figures)| row(way(*limited_by, level), figures))
        .collect_view();
    view! {
        <div class="fold-frame">
            <table class="fold-table export-table">
                <thead>
                    <tr>
                        <th scope="col">"PV is limited"</th>
                        <th scope="col">"sent out above the limit"</th>
                        <th scope="col">"most above it"</th>
                        <th scope="col">"longest"</th>
                        <th scope="col">"PV lost to the limit itself"</th>
                        <th scope="col">"to the margin"</th>
                        <th scope="col">"to delay"</th>
                        <th scope="col">"to open relays"</th>
                        <th scope="col">"sold"</th>
                        <th scope="col">"ends within 2 s, 5 s, 30 s"</th>
                    </tr>
                </thead>
                <tbody>{rows}</tbody>
            </table>
        </div>
    }
}

fn row(words: &'static str, figures: &ExportFigures) -> impl IntoView + use<> {
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
    view! {
        <tr>
            <th scope="row">{words}</th>
            <td class="figure">{energy(figures.leaked_wh)}</td>
            <td class="figure">{format::power(figures.worst_leak_w).text()}</td>
            <td class="figure">{longest}</td>
            <td class="figure">{energy(figures.lost_to_limit_wh)}</td>
            <td class="figure">{energy(figures.lost_to_margin_wh)}</td>
            <td class="figure">{energy(figures.lost_to_lag_wh)}</td>
            <td class="figure">{energy(figures.lost_to_relay_wh)}</td>
            <td class="figure">{energy(figures.export_wh)}</td>
            <td class="figure">{within}</td>
        </tr>
    }
}

const WIDTH: f64 = 720.0;
const HEIGHT: f64 = 200.0;

/// Greatest export of each minute against the limit, with what the PV inverters could give and gave.
fn picture(trace: &ExportTrace, limit_w: f64) -> impl IntoView + use<> {
    let series = [&trace.peak_export_w, &trace.ac_pv_offered_w, &trace.ac_pv_w];
    let most_w = series
        .iter()
        .flat_map(|values| values.iter().copied())
        .fold(limit_w, f64::max);
    let axis = Axis::reaching(most_w / 1000.0, 3.0);
    let place = move |power_w: f64| HEIGHT * (1.0 - (power_w / 1000.0 / axis.most).clamp(0.0, 1.0));
    let lines = [
        ("ac-offered", &trace.ac_pv_offered_w),
        ("ac", &trace.ac_pv_w),
        ("export", &trace.peak_export_w),
    ]
    .map(|(key, values)| {
        view! { <path class="curve" data-line=key d=path(values, place)></path> }
    })
    .to_vec();
    let limit = place(limit_w);
    let scale = axis
        .ticks()
        .chain([0.0])
        .map(|tick| {
            let style = format!(
                "inset-block-start:{:.2}%",
                100.0 * place(tick * 1000.0) / HEIGHT
            );
            view! { <span style=style>{format::number(tick, axis.decimals())}</span> }
        })
        .collect_view();
    let hours = (0..=24)
        .step_by(4)
        .map(|hour| {
            let style = format!("inset-inline-start:{:.2}%", 100.0 * f64::from(hour) / 24.0);
            view! { <span style=style>{format!("{hour:02}")}</span> }
        })
        .collect_view();
    view! {
        <figure class="survival-chart">
            <figcaption>"kW, as it is set: greatest in each minute"</figcaption>
            <div class="survival-scale" aria-hidden="true">{scale}</div>
            <svg
                role="img"
                aria-label="Greatest export of each minute of the day against the limit; the table below has the figures"
                viewBox=format!("0 0 {WIDTH} {HEIGHT}")
                preserveAspectRatio="none"
            >
                <path class="curve-grid" d=format!("M0 {HEIGHT}H{WIDTH}")></path>
                <path class="curve" data-line="limit" d=format!("M0 {limit:.1}H{WIDTH}")></path>
                {lines}
            </svg>
            <div class="survival-hours" aria-hidden="true">{hours}</div>
        </figure>
        <ul class="drill-key" aria-label="Lines of the chart">
            <li><i data-line="export"></i>"sent out"</li>
            <li><i data-line="limit"></i>"limit"</li>
            <li><i data-line="ac"></i>"AC-joined PV"</li>
            <li><i data-line="ac-offered"></i>"what the sun offers it"</li>
        </ul>
    }
}

/// A line through the points of a day.
fn path(values: &[f64], place: impl Fn(f64) -> f64) -> String {
    let count = values.len().max(1) as f64;
    let mut path = String::new();
    for (index, value) in values.iter().enumerate() {
        let pen = if index == 0 { 'M' } else { 'L' };
        let x = WIDTH * (index as f64 + 0.5) / count;
        path += &format!("{pen}{x:.1} {:.1}", place(*value));
    }
    path
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_goes_through_the_middle_of_each_point() {
        let path = path(&[0.0, 1000.0], |power_w| 200.0 - power_w / 10.0);
        assert_eq!(path, "M180.0 200.0L540.0 100.0");
    }
}
