//! The day: what supplied and what used power at each step of a day, with the state of charge and the price over it, a cursor shared
//! with the drawing, exact values and a table.

mod names;
mod paint;
mod picture;
mod play;
mod readout;
mod table;

use std::sync::Arc;

use couplet_core::foresight::OptimumDay;
use couplet_core::household::DeviceId;
use couplet_core::year::{DayBalance, DayTrace};
use leptos::ev;
use leptos::prelude::*;

use crate::chart::painting::painting;
use crate::chart::place::at_share;
use crate::chart::slide::Slide;
use crate::chart::ticks::hours_between;
use crate::format;
use crate::parts::not_yet;
use crate::regions::best_possible::Best;
use picture::{DAY_MIN, DayPicture, PriceLane, SOC_TOP, area_labels};
use play::PlayButton;
use readout::{BestReadOut, ReadOut, State};
use table::{DayTable, minute_of};

/// A day with everything that is derived from it once.
#[derive(Clone)]
struct Shown {
    trace: Arc<DayTrace>,
    balance: Arc<DayBalance>,
    picture: Arc<DayPicture>,
    /// What an optimum would do with the batteries; none: it is not shown.
    best: Option<Arc<OptimumDay>>,
}

impl PartialEq for Shown {
    fn eq(&self, other: &Self) -> bool {
        let same_best = match (&self.best, &other.best) {
            (Some(one), Some(other)) => Arc::ptr_eq(one, other),
            (one, other) => one.is_none() && other.is_none(),
        };
        Arc::ptr_eq(&self.trace, &other.trace) && same_best
    }
}

/// The daily energy chart.
#[component]
pub(crate) fn Day(
    /// The day of the open option; none until it has been computed.
    #[prop(into)]
    trace: Signal<Option<Arc<DayTrace>>>,
    /// Whether a newer result is on its way.
    #[prop(into)]
    stale: Signal<bool>,
    /// Names of the household's devices.
    #[prop(into)]
    devices: Signal<Arc<Vec<(DeviceId, String)>>>,
    /// ISO 4217 code of the currency.
    #[prop(into)]
    currency: Signal<String>,
    /// The cursor, minutes after midnight, local standard time.
    #[prop(into)]
    minute: Signal<u32>,
    /// Called with the minute to which the cursor is moved.
    on_minute: Callback<u32>,
    /// Length of a step that is asked for, s.
    #[prop(into)]
    step_s: Signal<u32>,
    /// Called with the length of a step that is chosen, s.
    on_step_s: Callback<u32>,
    /// The optimum laid over the day.
    best: Best,
) -> impl IntoView {
    let shown = Memo::new(move |_| {
        let best = best.day.get();
        trace.get().map(|trace| {
            let balance = Arc::new(DayBalance::of(&trace));
            let picture = Arc::new(DayPicture::of(&trace, &balance, best.as_deref()));
            Shown {
                trace,
                balance,
                picture,
                best,
            }
        })
    });
    let step_min = Memo::new(move |_| {
        shown.with(|shown| shown.as_ref().map_or(15.0, |shown| shown.picture.step_min))
    });
    let steps = Memo::new(move |_| {
        let steps = shown.with(|shown| shown.as_ref().map_or(96, |shown| shown.trace.load_w.len()));
        u32::try_from(steps).unwrap_or(0)
    });
    let step = Memo::new(move |_| step_at(minute.get(), step_min.get(), steps.get()));
    let go = Callback::new(move |step: u32| {
        on_minute.run(minute_of(step as usize, step_min.get_untracked()))
    });
    let heading = move || {
        shown.with(|shown| {
            let day = shown.as_ref().map(|shown| format::date(shown.trace.day));
            day.unwrap_or_else(|| "The day".to_owned())
        })
    };
    let index = Memo::new(move |_| step.get() as usize);
    let state = move || {
        let shown = shown.get()?;
        Some(view! { <State trace=shown.trace currency=currency.get() step=index /> })
    };
    let values = move || {
        let shown = shown.get()?;
        Some(
            view! { <ReadOut balance=shown.balance picture=shown.picture devices=devices.get() step=index /> },
        )
    };
    let not_yet = not_yet();
    view! {
        <section class="day" aria-labelledby="day-heading" aria-busy=move || stale.get().to_string()>
            <header class="day-head">
                <h2 id="day-heading">{heading}</h2>
                <span class="day-note">
                    {move || if stale.get() { not_yet.get() } else { "local standard time" }}
                </span>
                {state}
                <BestSwitch best />
                <StepChoice step_s on_step_s />
                <PlayButton step steps step_min go />
            </header>
            {values}
            {move || shown.get().and_then(|shown| shown.best).map(|best| view! { <BestReadOut best step=index step_min /> })}
            <Chart shown devices step steps step_min go />
            <DayDetails shown devices currency />
        </section>
    }
    .into_any()
}

/// Whether the optimum lies over the day.
#[component]
fn BestSwitch(best: Best) -> impl IntoView {
    let waiting = move || {
        (best.on_day.get() && best.day.with(Option::is_none)).then_some(" (being computed)")
    };
    view! {
        <Show when=move || best.offered.get()>
            <label class="day-step">
                <input
                    type="checkbox"
                    data-action="day-best"
                    prop:checked=best.on_day
                    on:change=move |event| best.on_day.set(event_target_checked(&event))
                />
                " best possible"
                {waiting}
            </label>
        </Show>
    }
}

/// How finely the day is computed.
#[component]
fn StepChoice(step_s: Signal<u32>, on_step_s: Callback<u32>) -> impl IntoView {
    const STEPS_S: [u32; 3] = [900, 300, 60];
    let choose = move |event: ev::Event| {
        if let Ok(chosen_s) = event_target_value(&event).parse() {
            on_step_s.run(chosen_s);
        }
    };
    let offers = STEPS_S.map(|offered_s| {
        view! {
            <option value=offered_s.to_string() selected=move || step_s.get() == offered_s>
                {format!("{} min", offered_s / 60)}
            </option>
        }
    });
    view! {
        <label class="day-step">
            "steps of "
            <select on:change=choose prop:value=move || step_s.get().to_string()>{offers.to_vec()}</select>
        </label>
    }
}

/// The canvas with its scales, labels, price lane and cursor.
#[component]
fn Chart(
    shown: Memo<Option<Shown>>,
    devices: Signal<Arc<Vec<(DeviceId, String)>>>,
    step: Memo<u32>,
    steps: Memo<u32>,
    step_min: Memo<f64>,
    go: Callback<u32>,
) -> impl IntoView {
    let painting = painting(paint::ON_PAPER, move |canvas, surface| {
        let Some(shown) = shown.get() else {
            surface.prepare(canvas);
            return Ok(());
        };
        paint::paint(canvas, surface, &shown.picture, &devices.get())
    });
    let (canvas, size, failed) = (painting.canvas, painting.size_px, painting.failed);
    let labels = move || {
        let (width_px, height_px) = size.get();
        let shown = shown.get()?;
        let labels = area_labels(&shown.picture, &devices.get(), width_px, height_px);
        Some(
            labels
                .into_iter()
                .map(|label| {
                    let place = at_share(label.x_px / width_px, label.y_px / height_px);
                    view! { <span class="day-label" data-fill=label.fill.name() style=place>{label.text}</span> }
                })
                .collect_view(),
        )
    };
    let scale = move || {
        let shown = shown.get()?;
        let axis = shown.picture.axis_kw;
        let ticks: Vec<f64> = axis.ticks().collect();
        let both = ticks
            .iter()
            .rev()
            .map(|tick| (*tick, -1.0))
            .chain([(0.0, 1.0)])
            .chain(ticks.iter().map(|tick| (*tick, 1.0)));
        let ticks = both
            .map(|(tick, sign)| {
                let place = at_share(0.0, 0.5 + sign * tick / axis.most / 2.0);
                view! { <span style=place>{format::number(tick, axis.decimals())}</span> }
            })
            .collect_view();
        Some(ticks)
    };
    let soc_scale = move || {
        let shown = shown.get()?;
        let ticks = [1.0, 0.5, 0.0]
            .map(|soc| view! { <span style=at_share(0.0, 0.5 - soc * SOC_TOP / 2.0)>{format::percent(soc, 0).text()}</span> });
        (!shown.picture.soc.is_empty()).then_some(ticks)
    };
    let hours = move || {
        let every = hours_between(size.get().0);
        (0..=24)
            .step_by(every as usize)
            .map(|hour: u32| {
                let place = at_share(f64::from(hour) / 24.0, 0.0);
                view! { <span style=place>{format!("{hour:02}")}</span> }
            })
            .collect_view()
    };
    let cursor = move || {
        at_share(
            (f64::from(step.get()) + 0.5) * step_min.get() / DAY_MIN,
            0.0,
        )
    };
    let time = move || format::time(minute_of(step.get() as usize, step_min.get()));
    let spoken = Signal::derive(move || {
        shown.with(|shown| {
            let Some(shown) = shown else { return time() };
            let step = step.get();
            let minute = minute_of(step as usize, step_min.get());
            names::spoken(
                &shown.trace,
                &shown.balance,
                &devices.get(),
                step as usize,
                minute,
            )
        })
    });
    let lane_title = move || {
        shown.with(|shown| {
            let shown = shown.as_ref()?;
            Some(if shown.picture.price.is_some() {
                "buy"
            } else {
                "dark"
            })
        })
    };
    let page = Signal::derive(move || {
        let per_hour = 60.0 / step_min.get();
        step_at(60, step_min.get(), steps.get()).max(u32::from(per_hour >= 1.0))
    });
    let point = Callback::new(move |column: Option<u32>| {
        if let Some(column) = column.filter(|column| *column != step.get_untracked()) {
            go.run(column);
        }
    });
    view! {
        <div class="day-chart">
            <div class="day-scale-title" aria-hidden="true">"kW" <span>"▲ supplied"</span> <span>"▼ used"</span></div>
            <div class="day-soc-title" aria-hidden="true">{move || soc_scale().map(|_| "stored")}</div>
            <div class="day-scale" aria-hidden="true">{scale}</div>
            <div class="day-plot" data-state=move || failed.get().then_some("failed")>
                <canvas node_ref=canvas aria-hidden="true"></canvas>
                <div aria-hidden="true">{labels}</div>
                <Show when=move || failed.get()>
                    <p class="day-failed">"The browser could not draw the chart; the table below has all its values."</p>
                </Show>
            </div>
            <div class="day-scale day-scale-soc" aria-hidden="true">{soc_scale}</div>
            <div class="day-lane" aria-hidden="true">{move || shown.get().map(|shown| lane(&shown, size.get().0))}</div>
            <div class="day-lane-title" aria-hidden="true">{lane_title}</div>
            <div class="day-hours" aria-hidden="true">{hours}</div>
            <div class="day-over">
                <div class="day-cursor" style=cursor aria-hidden="true"><span>{time}</span></div>
                <Slide label="Time of day" count=steps at=step page spoken on_pick=go on_point=point />
            </div>
        </div>
    }
}

/// What lies under the chart: the price, or without a grid the times in which the bus is dark.
fn lane(shown: &Shown, width_px: f64) -> AnyView {
    match &shown.picture.price {
        Some(price) => price_lane(price, &shown.trace, width_px).into_any(),
        None => dark_lane(&shown.picture.dark).into_any(),
    }
}

/// The dark times: a bar for each.
fn dark_lane(dark: &[(f64, f64)]) -> impl IntoView + use<> {
    let bars = dark
        .iter()
        .map(|(from, to)| {
            let x = format!("{:.3}", from * 100.0);
            let width = format!("{:.3}", (to - from) * 100.0);
            view! { <rect x=x y="60" width=width height="30"></rect> }
        })
        .collect_view();
    view! { <svg viewBox="0 0 100 100" preserveAspectRatio="none">{bars}</svg> }
}

/// The price of bought energy: a step line, with the price on each run that is wide enough.
fn price_lane(lane: &PriceLane, trace: &DayTrace, width_px: f64) -> impl IntoView + use<> {
    let steps = trace.buy_cur_per_kwh.len().max(1) as f64;
    let mut path = String::new();
    let mut labels = Vec::new();
    for (first, count, price) in &lane.runs {
        let (from, to) = (*first as f64 / steps, (first + count) as f64 / steps);
        // The line keeps to the lower half, so that its labels find room above it.
        let y = 0.9 - 0.4 * lane.height(*price);
        let pen = if path.is_empty() { 'M' } else { 'L' };
        path += &format!(
            "{pen}{:.3} {:.3}L{:.3} {:.3}",
            from * 100.0,
            y * 100.0,
            to * 100.0,
            y * 100.0
        );
        let text = format!("{}\u{a0}/kWh", format::price(*price));
        if (to - from) * width_px > crate::chart::room::label_width_px(&text) {
            let place = at_share(f64::midpoint(from, to), y);
            labels.push(view! { <span style=place>{text}</span> });
        }
    }
    view! {
        <svg viewBox="0 0 100 100" preserveAspectRatio="none">
            <path d=path></path>
        </svg>
        {labels}
    }
}

/// The table and the explanation, made when they are opened.
#[component]
fn DayDetails(
    shown: Memo<Option<Shown>>,
    devices: Signal<Arc<Vec<(DeviceId, String)>>>,
    currency: Signal<String>,
) -> impl IntoView {
    let open = RwSignal::new(false);
    let table = move || {
        let shown = open.get().then(|| shown.get()).flatten()?;
        Some(view! {
            <DayTable
                trace=shown.trace
                balance=shown.balance
                picture=shown.picture
                best=shown.best
                devices=devices.get()
                currency=currency.get()
            />
        })
    };
    view! {
        <div class="day-details">
            <details on:toggle=move |event| {
                open.set(event_target::<web_sys::Element>(&event).has_attribute("open"));
            }>
                <summary>"Table of this day"</summary>
                {table}
            </details>
            <details>
                <summary>"How both halves add up"</summary>
                <p>
                    "AC-joined PV is counted at the AC side of its inverters, DC-joined PV and the battery at the DC bus of the storage "
                    "inverter, the grid at the meter and a generator at its output. What the storage inverter loses stands among the uses, and "
                    "PV that could not be used stands in both halves, hatched. So what is above the axis equals what is below it at every step. "
                    "Losses of PV inverters and inside the battery lie outside these points; the figures of the year hold them. What loads "
                    "wanted and were not given hangs below the uses, hatched; it is no power and in no sum."
                </p>
            </details>
        </div>
    }
}

/// The step in which a minute lies.
fn step_at(minute: u32, step_min: f64, steps: u32) -> u32 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "steps of a day"
    )]
    let step = (f64::from(minute) / step_min + 1e-9).floor().max(0.0) as u32;
    step.min(steps.saturating_sub(1))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_minute_lies_in_its_step_and_back() {
        assert_eq!(step_at(825, 15.0, 96), 55);
        assert_eq!(minute_of(55, 15.0), 825);
        assert_eq!(step_at(839, 15.0, 96), 55);
        assert_eq!(step_at(1440, 15.0, 96), 95);
        assert_eq!(step_at(5, 15.0, 0), 0);
    }
}
