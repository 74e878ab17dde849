//! The chart of a drill: canvas, scales, names of levels, marks of events, cursor.

use couplet_core::island::{IslandTrace, settings};
use leptos::prelude::*;

use super::picture::{CHARGE, DrillPicture, POWER, marks};
use super::{Shown, paint, words};
use crate::chart::painting::painting;
use crate::chart::place::at_share;
use crate::chart::slide::Slide;
use crate::desk::Desk;
use crate::format;

/// The chart with its key and the values at the cursor.
#[component]
pub(super) fn Chart(
    desk: Desk,
    shown: Memo<Option<Shown>>,
    span: RwSignal<usize>,
    go: Callback<usize>,
) -> impl IntoView {
    let picture = Memo::new(move |_| {
        let supply = desk.household.with(|household| household.service.supply);
        let shown = shown.get()?;
        let drill = shown.drill()?;
        let own: Vec<_> = desk.option.with(|option| {
            option
                .as_ref()
                .map(|option| {
                    drill
                        .inverters
                        .iter()
                        .filter_map(|id| option.pv_inverter(*id))
                        .map(|inverter| settings(inverter.grid_code, supply))
                        .collect()
                })
                .unwrap_or_default()
        });
        Some(DrillPicture::of(
            &drill.run.trace,
            supply.frequency_hz(),
            &own,
        ))
    });
    let painting = painting(paint::ON_PAPER, move |canvas, surface| {
        picture.with(|picture| {
            shown.with(
                |shown| match (picture, shown.as_ref().and_then(Shown::run)) {
                    (Some(picture), Some(run)) => {
                        paint::paint(canvas, surface, picture, &run.trace)
                    }
                    _ => {
                        surface.prepare(canvas);
                        Ok(())
                    }
                },
            )
        })
    });
    let (canvas, size, failed) = (painting.canvas, painting.size_px, painting.failed);
    let levels = move || {
        picture.get().map(|picture| {
            picture
                .named_levels(size.get().1)
                .into_iter()
                .map(|level| {
                    let place = at_share(1.0, picture.hz_place(level.hz));
                    view! { <span style=place>{level.words}</span> }
                })
                .collect_view()
        })
    };
    let scale = move || {
        let picture = picture.get()?;
        let hz = picture
            .named_levels(size.get().1)
            .into_iter()
            .map(|level| (picture.hz_place(level.hz), format::number(level.hz, 1)))
            .collect::<Vec<_>>();
        let axis = picture.axis_kw;
        let kw = axis.ticks().chain([0.0]).map(|tick| {
            (
                POWER.place(tick / axis.most),
                format::number(tick, axis.decimals()),
            )
        });
        let soc = [0.0, 1.0].map(|soc| (CHARGE.place(soc), format::percent(soc, 0).text()));
        let all = hz.into_iter().chain(kw).chain(soc);
        Some(
            all.map(|(place, text)| view! { <span style=at_share(0.0, place)>{text}</span> })
                .collect_view(),
        )
    };
    let marked = move || {
        let picture = picture.get()?;
        let (width_px, _) = size.get();
        shown.with(|shown| {
            let run = shown.as_ref()?.run()?;
            Some(
                marks(&run.events, picture.length_s, width_px)
                    .into_iter()
                    .map(|mark| {
                        let name = mark.words.map(|words| view! { <b>{words}</b> });
                        view! { <span data-state=mark.weight.attribute() style=at_share(mark.place, 0.0)>{name}</span> }
                    })
                    .collect_view(),
            )
        })
    };
    let count = Memo::new(move |_| {
        let spans = shown.with(|shown| {
            shown
                .as_ref()
                .and_then(Shown::run)
                .map_or(1, |run| run.trace.served_w.len().max(1))
        });
        u32::try_from(spans).unwrap_or(1)
    });
    let place = Memo::new(move |_| u32::try_from(span.get()).unwrap_or(0).min(count.get() - 1));
    let page = Memo::new(move |_| (count.get() / 24).max(1));
    let times = move || {
        let picture = picture.get()?;
        let from_s = shown.with(|shown| {
            shown
                .as_ref()?
                .drill()
                .map(|drill| drill.case.from_h * 3600.0)
        })?;
        let every_s = tick_s(picture.length_s, size.get().0);
        let ticks = (0_u32..=60)
            .map(|count| f64::from(count) * every_s)
            .take_while(|at_s| *at_s <= picture.length_s + 1.0)
            .map(|at_s| {
                let clock = words::clock(from_s, at_s);
                let text = clock.get(..5).unwrap_or_default().to_owned();
                view! { <span style=at_share(at_s / picture.length_s, 0.0)>{text}</span> }
            })
            .collect_view();
        Some(ticks)
    };
    let spoken = Signal::derive(move || {
        shown.with(|shown| {
            shown
                .as_ref()
                .map(|shown| readout(shown, place.get() as usize).join(", "))
                .unwrap_or_default()
        })
    });
    let values = move || {
        shown.with(|shown| {
            shown.as_ref().map(|shown| {
                readout(shown, place.get() as usize)
                    .into_iter()
                    .map(|text| view! { <span>{text}</span> })
                    .collect_view()
            })
        })
    };
    let cursor = move || at_share((f64::from(place.get()) + 0.5) / f64::from(count.get()), 0.0);
    let time = move || {
        shown.with(|shown| {
            let drill = shown.as_ref()?.drill()?;
            let at_s = f64::from(place.get()) * drill.run.trace.span_s;
            Some(words::clock(drill.case.from_h * 3600.0, at_s))
        })
    };
    view! {
        <div class="drill-readout">{values}</div>
        <div class="drill-chart">
            <div class="drill-marks" aria-hidden="true">{marked}</div>
            <div class="drill-scale" aria-hidden="true">{scale}</div>
            <div class="drill-plot">
                <canvas node_ref=canvas aria-hidden="true"></canvas>
                <div class="drill-levels" aria-hidden="true">{levels}</div>
                <span class="drill-lane" data-lane="hz" aria-hidden="true">"Hz"</span>
                <span class="drill-lane" data-lane="kw" aria-hidden="true">"kW"</span>
                <span class="drill-lane" data-lane="soc" aria-hidden="true">"stored"</span>
                <Show when=move || failed.get()>
                    <p class="day-failed">"The browser could not draw the chart; the list of events below tells what happens."</p>
                </Show>
                <div class="day-cursor" style=cursor aria-hidden="true"><span>{time}</span></div>
                <Slide label="Second of the drill" count=count at=place page spoken on_pick=Callback::new(move |span: u32| go.run(span as usize)) />
            </div>
            <div class="day-hours drill-hours" aria-hidden="true">{times}</div>
        </div>
        <ul class="drill-key" aria-label="Lines of the chart">
            <li><i data-line="ac"></i>"AC-joined PV"</li>
            <li><i data-line="ac-offered"></i>"what the sun offers it"</li>
            <li><i data-line="dc"></i>"DC-joined PV"</li>
            <li><i data-line="dc-offered"></i>"what the sun offers it"</li>
            <li><i data-line="load"></i>"loads served"</li>
            <li><i data-line="unserved"></i>"loads not served"</li>
            <li><i data-line="generator"></i>"generator"</li>
            <li><i data-line="dark"></i>"dark"</li>
        </ul>
    }
    .into_any()
}

/// The values of a span in words.
fn readout(shown: &Shown, span: usize) -> Vec<String> {
    let Some(drill) = shown.drill() else {
        return Vec::new();
    };
    let trace: &IslandTrace = &drill.run.trace;
    let value = |series: &[f64]| series.get(span).copied().unwrap_or_default();
    let power = |series: &[f64]| format::power(value(series)).text();
    let mut texts = vec![words::clock(
        drill.case.from_h * 3600.0,
        span as f64 * trace.span_s,
    )];
    let (lowest, highest) = (value(&trace.lowest_hz), value(&trace.highest_hz));
    texts.push(if highest <= 0.0 {
        "dark".to_owned()
    } else if highest - lowest.max(0.0) < 0.005 || lowest <= 0.0 {
        format!("{}\u{a0}Hz", format::number(highest, 2))
    } else {
        format!(
            "{} to {}\u{a0}Hz",
            format::number(lowest, 2),
            format::number(highest, 2)
        )
    });
    texts.push(format!("served {}", power(&trace.served_w)));
    if value(&trace.unserved_w) > 0.5 {
        texts.push(format!("not served {}", power(&trace.unserved_w)));
    }
    for (name, given) in shown.names.inverters.iter().zip(&trace.inverter_w) {
        texts.push(format!("{name} {}", power(given)));
    }
    for (number, name) in shown.names.units.iter().enumerate() {
        let of = |series: &[Vec<f64>]| series.get(number).map_or(0.0, |one| value(one));
        let battery_w = of(&trace.unit_battery_w);
        let way = if battery_w < 0.0 { "takes" } else { "gives" };
        texts.push(format!(
            "{name} {way} {}, {} full",
            format::power(battery_w.abs()).text(),
            format::percent(of(&trace.unit_soc), 0).text()
        ));
        let dc_w = of(&trace.unit_dc_w);
        if dc_w > 0.5 {
            texts.push(format!("DC PV {}", format::power(dc_w).text()));
        }
    }
    if value(&trace.generator_w) > 0.5 {
        texts.push(format!("generator {}", power(&trace.generator_w)));
    }
    texts
}

/// Time between ticks, s: round, and so that their words do not touch.
fn tick_s(length_s: f64, width_px: f64) -> f64 {
    let most = (width_px / 56.0).max(2.0);
    [600.0, 1800.0, 3600.0, 7200.0, 10_800.0, 21_600.0, 43_200.0]
        .into_iter()
        .find(|every| length_s / every <= most)
        .unwrap_or(86_400.0)
}

#[cfg(test)]
mod tests {
    use super::tick_s;

    #[test]
    fn ticks_thin_out_on_a_narrow_chart() {
        assert!((tick_s(6.0 * 3600.0, 900.0) - 1800.0).abs() < 1e-9);
        assert!((tick_s(72.0 * 3600.0, 320.0) - 86_400.0).abs() < 1e-9);
    }
}
