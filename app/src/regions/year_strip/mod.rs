//! The year strip: 365 days of 24 hours of one quantity, from which a day is picked.

mod paint;
mod picture;

use std::sync::Arc;

use couplet_core::year::{StripQuantity, YearStrip as Strip};
use leptos::prelude::*;

use crate::chart::painting::painting;
use crate::chart::slide::Slide;
use crate::format;
use picture::{DAYS, day_text, full_text, month_starts, name};

/// The picture of a year.
#[component]
pub(crate) fn YearStrip(
    /// The strip of the open option; none until it has been computed.
    #[prop(into)]
    strip: Signal<Option<Arc<Strip>>>,
    /// Whether a newer result is on its way.
    #[prop(into)]
    stale: Signal<bool>,
    /// Whether there is a utility.
    #[prop(into)]
    utility: Signal<bool>,
    /// The quantity that is shown.
    #[prop(into)]
    quantity: Signal<StripQuantity>,
    /// Called with the quantity that is chosen.
    on_quantity: Callback<StripQuantity>,
    /// The chosen day, 0 is 1 January.
    #[prop(into)]
    day: Signal<u32>,
    /// Called with the day that is picked.
    on_day: Callback<u32>,
) -> impl IntoView {
    let painting = painting(paint::ON_PAPER, move |canvas, surface| {
        let Some(strip) = strip.get() else {
            surface.prepare(canvas);
            return Ok(());
        };
        paint::paint(canvas, surface, &strip)
    });
    let (canvas, failed) = (painting.canvas, painting.failed);
    let pointed = RwSignal::new(None::<u32>);
    let text_of = move |day: u32| strip.with(|strip| day_text(strip.as_deref(), day));
    let spoken = Signal::derive(move || text_of(day.get()));
    let readout = move || text_of(pointed.get().unwrap_or_else(|| day.get()));
    let frame = move || {
        format!(
            "left:{:.4}%;width:{:.4}%",
            share(day.get()),
            100.0 / f64::from(DAYS)
        )
    };
    let pointer = move || {
        pointed
            .get()
            .map(|day| format!("left:{:.4}%", share(day) + 50.0 / f64::from(DAYS)))
    };
    let key = move || strip.with(|strip| strip.as_deref().map(full_text));
    let choose = move |event| {
        let chosen = event_target_value(&event);
        let offered = StripQuantity::offered(utility.get_untracked());
        if let Some(quantity) = offered.iter().find(|quantity| name(**quantity) == chosen) {
            on_quantity.run(*quantity);
        }
    };
    let offers = move || {
        StripQuantity::offered(utility.get())
            .iter()
            .map(|offered| {
                view! {
                    <option value=name(*offered) selected=move || quantity.get() == *offered>
                        {name(*offered)}
                    </option>
                }
            })
            .collect_view()
    };
    let months = month_starts()
        .map(|(month, start)| {
            let place = format!("left:{:.3}%", start * 100.0);
            view! {
                <span style=place data-initial=format::month_initial(month)>
                    <b>{format::month_short(month)}</b>
                </span>
            }
        })
        .collect_view();
    view! {
        <section class="year-strip" aria-label="The year" aria-busy=move || stale.get().to_string()>
            <header class="year-strip-head">
                <label>
                    <span class="spoken">"Quantity of the year"</span>
                    <select on:change=choose prop:value=move || name(quantity.get())>
                        {offers}
                    </select>
                </label>
                <output class="year-strip-day">{readout}</output>
                <span class="year-strip-key" aria-hidden="true">
                    "0" <span class="year-strip-ramp"></span> {key}
                </span>
            </header>
            <div class="year-strip-hours" aria-hidden="true"><span>"24"</span><span>"12"</span><span>"0"</span></div>
            <div class="year-strip-picture">
                <canvas node_ref=canvas aria-hidden="true"></canvas>
                <Show when=move || failed.get()>
                    <p>"The browser could not draw the year; its days can still be picked."</p>
                </Show>
                <div class="year-strip-pointer" style=pointer hidden=move || pointed.get().is_none()></div>
                <div class="year-strip-frame" style=frame></div>
                <Slide
                    label="Day of the year"
                    count=Signal::derive(|| DAYS)
                    at=day
                    page=Signal::derive(|| 30)
                    spoken
                    on_pick=on_day
                    on_point=Callback::new(move |day| pointed.set(day))
                />
            </div>
            <div class="year-strip-months" aria-hidden="true">{months}</div>
        </section>
    }
    .into_any()
}

/// Left edge of a day, percent of the width.
fn share(day: u32) -> f64 {
    f64::from(day.min(DAYS - 1)) / f64::from(DAYS) * 100.0
}
