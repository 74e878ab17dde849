//! Drills: an outage second by second. What is served, what trips, when it goes dark and whether it comes back.

mod advice;
mod chart;
mod events;
mod figures;
mod form;
mod paint;
mod picture;
mod still;
mod told;
mod words;

pub(crate) use still::still;
pub(crate) use told::told;

use std::sync::Arc;

use couplet_core::island::{Drill, DrillCase, IslandRun};
use leptos::prelude::*;

use super::fold::Fold;
use crate::desk::Desk;
use crate::inquiry::Inquiry;
use crate::words::Word;
use crate::work::protocol::{DrillWish, Found, Question, Topic};
use chart::Chart;
use words::Names;

/// What of the drills other regions know: what is asked for, and which second of it the drawing shows.
#[derive(Clone, Copy)]
pub(crate) struct Drilling {
    /// What the form says.
    case: RwSignal<DrillCase>,
    asked: RwSignal<Option<DrillWish>>,
    open: RwSignal<bool>,
    /// The span of the trace that is pointed at.
    span: RwSignal<usize>,
    /// Whether the drawing shows the drill, not the day.
    pub(crate) on_drawing: RwSignal<bool>,
}

impl Drilling {
    pub(crate) fn new() -> Self {
        Self {
            case: RwSignal::new(DrillCase {
                day: 171,
                from_h: 11.0,
                length_h: 6.0,
                soc: Some(1.0),
            }),
            asked: RwSignal::new(None),
            open: RwSignal::new(false),
            span: RwSignal::new(0),
            on_drawing: RwSignal::new(false),
        }
    }

    /// Opens the region with an outage of three days from this hour of the year on.
    pub(crate) fn begin_at(self, hour: u16, soc: Option<f64>) {
        let case = DrillCase {
            day: u32::from(hour / 24),
            from_h: f64::from(hour % 24),
            length_h: 72.0,
            soc,
        };
        self.case.set(case);
        self.open.set(true);
        self.run(DrillWish::Case(case));
    }

    fn run(self, wish: DrillWish) {
        self.span.set(0);
        self.on_drawing.set(false);
        self.asked.set(Some(wish));
    }
}

/// A drill with the names of what takes part.
#[derive(Clone)]
struct Shown {
    found: Arc<Found>,
    names: Arc<Names>,
}

impl PartialEq for Shown {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.found, &other.found) && self.names == other.names
    }
}

impl Shown {
    fn drill(&self) -> Option<&Drill> {
        match self.found.as_ref() {
            Found::Drill(drill) => Some(drill),
            _ => None,
        }
    }

    fn run(&self) -> Option<&IslandRun> {
        self.drill().map(|drill| &drill.run)
    }
}

/// A moment of a drill as the drawing shows it.
#[derive(Clone)]
pub(crate) struct Moment {
    /// Its powers, as a day of one step.
    pub(crate) trace: Arc<couplet_core::year::DayTrace>,
    /// When it is.
    pub(crate) words: String,
}

impl PartialEq for Moment {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.trace, &other.trace)
    }
}

/// The moment that the drawing shows; none while it shows the day.
pub(crate) fn moment(desk: Desk, inquiry: Inquiry, drilling: Drilling) -> Memo<Option<Moment>> {
    let known = inquiry.known(Topic::Drill);
    Memo::new(move |_| {
        if !drilling.on_drawing.get() || !drilling.open.get() {
            return None;
        }
        let option = desk.option_id.get();
        let known = known.get()?;
        let Found::Drill(drill) = known.of(option)?.as_ref() else {
            return None;
        };
        let span = drilling.span.get();
        let (_, second) = drill.when(span);
        Some(Moment {
            trace: Arc::new(drill.instant(span)),
            words: format!("drill, {}", words::clock(f64::from(second), 0.0)),
        })
    })
}

/// The region.
#[component]
pub(crate) fn Drills(desk: Desk, inquiry: Inquiry, drilling: Drilling) -> impl IntoView {
    let open = drilling.open;
    let known = inquiry.known(Topic::Drill);
    let islands = Memo::new(move |_| {
        desk.option.with(|option| {
            option.as_ref().is_some_and(|option| {
                option.generator.is_some()
                    || option
                        .storage
                        .iter()
                        .any(|unit| unit.side == couplet_core::household::AcSide::BackedUp)
            })
        })
    });
    // The form says what was run, also where the year chose it.
    Effect::new(move |_| {
        known.with(|known| {
            if let Some(Found::Drill(drill)) = known.as_ref().map(|known| known.found.as_ref()) {
                drilling.case.set(drill.case);
            }
        });
    });
    Effect::new(move |_| {
        let question = open
            .get()
            .then(|| drilling.asked.get())
            .flatten()
            .map(|wish| Question::Drill {
                option: desk.option_id.get(),
                wish,
            });
        inquiry.ask(Topic::Drill, question);
    });
    let trouble = inquiry.trouble(Topic::Drill);
    let stale = inquiry.stale(Topic::Drill);
    let computing = Memo::new(move |_| drilling.asked.with(Option::is_some) && stale.get());
    let shown = Memo::new(move |_| {
        let id = desk.option_id.get();
        let known = known.get()?;
        let Found::Drill(drill) = known.of(id)?.as_ref() else {
            return None;
        };
        let names = desk.option.with(|option| {
            option
                .as_ref()
                .map(|option| Names::of(option, &drill.inverters, &drill.units, &drill.loads))
        })?;
        Some(Shown {
            found: Arc::clone(&known.found),
            names: Arc::new(names),
        })
    });
    let go = Callback::new(move |span: usize| {
        drilling.span.set(span);
        drilling.on_drawing.set(true);
        // The one cursor of the page goes along.
        let moved = shown.with_untracked(|shown| Some(shown.as_ref()?.drill()?.when(span)));
        if let Some((day, second)) = moved {
            let minute = second / 60;
            desk.cursor.maybe_update(|cursor| {
                let changed = (cursor.day, cursor.minute) != (day, minute);
                (cursor.day, cursor.minute) = (day, minute);
                changed
            });
        }
    });
    let result = move || {
        shown.with(Option::is_some).then(|| {
            view! {
                <Head shown />
                <Chart desk shown span=drilling.span go />
                <OnDrawing drilling />
                <figures::DrillFigures desk shown />
                <events::Events desk shown span=drilling.span go />
            }
        })
    };
    view! {
        <Fold id="drills" title=Signal::derive(move || desk.word(Word::Drills).to_owned()) open stale=computing>
            <p class="fold-note">{move || desk.word(Word::DrillsNote)}</p>
            <Show
                when=move || islands.get()
                fallback=|| view! { <p class="note">"Nothing in this option can hold the backed-up side: it goes dark with the grid. Add storage on the backed-up side or a generator."</p> }
            >
                <form::Form desk case=drilling.case on_run=Callback::new(move |wish| drilling.run(wish)) />
                {move || trouble.get().map(|trouble| view! { <p class="note" role="alert">{trouble}</p> })}
                <div class="drill-result" aria-busy=move || computing.get().to_string()>{result}</div>
            </Show>
        </Fold>
    }
    .into_any()
}

/// When the drill begins, and in one line what comes of it.
#[component]
fn Head(shown: Memo<Option<Shown>>) -> impl IntoView {
    let words = move || {
        shown.with(|shown| {
            let drill = shown.as_ref()?.drill()?;
            Some(told::head(drill))
        })
    };
    view! { <p class="drill-head" role="status">{words}</p> }
}

/// Says that the drawing shows the drill, and gives the way back.
#[component]
fn OnDrawing(drilling: Drilling) -> impl IntoView {
    let shown = drilling.on_drawing;
    view! {
        <p class="fold-note">
            <button
                type="button"
                class="quiet"
                aria-pressed=move || shown.get().to_string()
                on:click=move |_| shown.update(|shown| *shown = !*shown)
            >
                {move || if shown.get() { "The drawing shows this second; back to the day" } else { "Show this second on the drawing" }}
            </button>
        </p>
    }
}
