//! A meter's file as the base use: read, looked at, then taken or left. Where the sun hides part of the use, that part is added from
//! the model or from a second file.

mod reading;
mod shown;

use std::sync::Arc;

use couplet_core::household::{BaseUse, IntervalUse, Loads};
use couplet_core::usage::{MeterYear, RebuiltUse, rebuilt_use};
use leptos::prelude::*;

use super::row::Row;
use crate::desk::Desk;
use crate::inquiry::Inquiry;
use crate::keep::HouseholdId;
use crate::parts::Choice;
use crate::words::Word;
use crate::work::protocol::{Found, Question, Topic};
use reading::{FileGiven, Reading};

/// What the meter of a home with PV counts.
#[derive(Clone, Copy, PartialEq)]
enum Counts {
    /// All that is used.
    All,
    /// What the sun leaves; the model tells what it made.
    RestOfModel,
    /// What the sun leaves; a file tells what it made.
    RestOfFile,
}

const COUNTS: [(Counts, Word); 3] = [
    (Counts::All, Word::MeterCountsAll),
    (Counts::RestOfModel, Word::MeterCountsRest),
    (Counts::RestOfFile, Word::MeterCountsRestOfFile),
];

/// The use that the meter's file tells of, and what it rests on.
#[derive(Clone, Copy)]
struct Behind {
    meter: Reading,
    pv: Reading,
    /// What the reader chose; none: what such a file commonly counts.
    chosen: RwSignal<Option<Counts>>,
    counts: Memo<Counts>,
    /// Whether PV stands already.
    standing: Memo<bool>,
    /// The use with the sun's part in it; none: not asked for, or not known yet.
    rebuilt: Memo<Option<RebuiltUse>>,
    /// What hinders the model.
    trouble: Memo<Option<String>>,
}

impl Behind {
    fn of(desk: Desk, inquiry: Inquiry) -> Self {
        let (meter, pv) = (Reading::of(desk), Reading::of(desk));
        let chosen = RwSignal::new(None);
        // A meter that sends out stands behind the sun.
        let sends = move || (meter.year()).is_some_and(|year| year.sold_w.is_some());
        let counts = Memo::new(move |_| {
            let common = || {
                if sends() {
                    Counts::RestOfModel
                } else {
                    Counts::All
                }
            };
            chosen.get().unwrap_or_else(common)
        });
        // The first option with PV in it, if PV stands there already.
        let first = Memo::new(move |_| {
            desk.household.with(|household| {
                let first = household.options.first()?;
                (!first.arrays.is_empty()).then_some(first.id)
            })
        });
        let modelled = Memo::new(move |_| {
            let asked = sends() && counts.get() == Counts::RestOfModel;
            asked.then(|| first.get()).flatten()
        });
        Effect::new(move |_| {
            inquiry.ask(Topic::Generation, modelled.get().map(Question::Generation));
        });
        let known = inquiry.known(Topic::Generation);
        let stale = inquiry.stale(Topic::Generation);
        let rebuilt = Memo::new(move |_| {
            let year = meter.year()?;
            if counts.get() == Counts::RestOfFile {
                return rebuilt_use(&year, &pv.year()?.bought_w);
            }
            modelled.get()?;
            if stale.get() {
                return None;
            }
            known.with(|known| match known.as_ref()?.found.as_ref() {
                Found::Generation(generation_w) => rebuilt_use(&year, generation_w),
                _ => None,
            })
        });
        Self {
            meter,
            pv,
            chosen,
            counts,
            standing: Memo::new(move |_| first.with(Option::is_some)),
            rebuilt,
            trouble: inquiry.trouble(Topic::Generation),
        }
    }

    /// Whether the sun's part is to be added.
    fn adds_pv(self) -> bool {
        self.standing.get() && self.counts.get() != Counts::All
    }

    /// Whether what is to be taken is not known yet.
    fn waits(self) -> bool {
        self.adds_pv() && self.rebuilt.with(Option::is_none)
    }

    /// The use to be taken.
    fn used(self, year: &MeterYear) -> Option<IntervalUse> {
        if self.adds_pv() {
            self.rebuilt
                .with(|rebuilt| rebuilt.as_ref().map(|rebuilt| rebuilt.intervals.clone()))
        } else {
            Some(year.as_use())
        }
    }

    /// What is said of the sun's part.
    fn said(self, year: &MeterYear) -> Option<String> {
        if !self.adds_pv() {
            return None;
        }
        if year.sold_w.is_none() {
            return Some("This file does not tell what was sent out. In the hours in which the meter stood still the use cannot be known: give a file with both directions.".to_owned());
        }
        let measured = self.counts.get() == Counts::RestOfFile;
        let rebuilt = self.rebuilt.get();
        match (rebuilt, measured) {
            (Some(rebuilt), _) => Some(shown::rebuilt_words(&rebuilt, measured)),
            (None, true) => self.pv.year().map(|_| {
                "The intervals of the two files do not fit each other: give both every 15, 30 or 60 minutes.".to_owned()
            }),
            (None, false) => {
                let computed = || Some("The sun's part is being computed.".to_owned());
                self.trouble.get().or_else(computed)
            }
        }
    }
}

/// Takes a meter's file: Green Button, or rows of date, time and value, over a year.
#[component]
pub(super) fn IntervalFile(row: Row<Loads>, inquiry: Inquiry) -> impl IntoView {
    let desk = row.desk;
    let behind = Behind::of(desk, inquiry);
    let message = RwSignal::new(None::<String>);
    // What was read is for the household that is open.
    Effect::new(move |before: Option<HouseholdId>| {
        let now = desk.id.get();
        if before.is_some_and(|before| before != now) {
            behind.meter.leave();
            behind.pv.leave();
            message.set(None);
        }
        now
    });
    let take = move |used: IntervalUse| {
        let said = format!(
            "A year of {} min intervals was taken.",
            used.interval_s / 60
        );
        row.change(None, "meter file", |loads| {
            loads.base = BaseUse::Intervals(used);
        });
        behind.meter.leave();
        behind.pv.leave();
        message.set(Some(said));
    };
    let preview = move || {
        let year = behind.meter.year()?;
        let (take, told) = (take.clone(), Arc::clone(&year));
        let on_take = {
            let year = Arc::clone(&year);
            move |_| {
                if let Some(used) = untrack(|| behind.used(&year)) {
                    take(used);
                }
            }
        };
        Some(view! {
            <section class="meter-preview" id="meter-preview" aria-label="What was read">
                {let year = Arc::clone(&year); move || shown::facts(&year, behind.meter.time())}
                {shown::beginnings(&year, "meter-beginnings")}
                {shown::months(&year)}
                <Show when=move || behind.standing.get()><SunsPart desk behind /></Show>
                <p class="note" role="status">{move || behind.said(&told)}</p>
                <div class="buttons">
                    <button type="button" id="meter-take" disabled=move || behind.waits() on:click=on_take>"Take it as the use"</button>
                    <button type="button" id="meter-leave" class="quiet" on:click=move |_| behind.meter.leave()>"Leave it"</button>
                </div>
            </section>
        })
    };
    view! {
        <FileGiven
            reading=behind.meter
            id="meter"
            label="Give a meter file\u{2026}"
            on_file=Callback::new(move |()| {
                message.set(None);
                behind.chosen.set(None);
            })
        />
        <div class="message" role="status">{move || message.get().map(|text| view! { <p>{text}</p> })}</div>
        {preview}
        <p class="note">
            "Green Button, or a table with a date and time and a value in each row, over a whole year, every 60, 30 or 15 minutes or shorter. The unit and the clock of its times are told by the file, and can be set when it is looked at; 29 February is left out."
        </p>
    }
    .into_any()
}

/// What the meter of a home with PV counts; what the sun made by the model or by a file.
#[component]
fn SunsPart(desk: Desk, behind: Behind) -> impl IntoView {
    let Behind {
        pv, chosen, counts, ..
    } = behind;
    let items = Signal::derive(move || {
        COUNTS
            .map(|(_, word)| (desk.word(word).to_owned(), true))
            .to_vec()
    });
    let of_file = move || counts.get() == Counts::RestOfFile;
    view! {
        <p class="note">{move || desk.word(Word::NetMeterNote)}</p>
        <Choice
            id="meter-counts".to_owned()
            label="the meter counts"
            items
            chosen=Signal::derive(move || COUNTS.iter().position(|(one, _)| *one == counts.get()))
            on_change=Callback::new(move |place| {
                if let Some((counts, _)) = COUNTS.get::<usize>(place) {
                    chosen.set(Some(*counts));
                }
            })
        />
        <Show when=of_file>
            <FileGiven reading=pv id="pv" label="Give what the panels made\u{2026}" on_file=Callback::new(|()| ()) />
            <p class="note">"A table of what the inverter or its meter counted, of the same year as the meter file."</p>
            {move || pv.year().map(|year| view! { {shown::facts(&year, pv.time())} {shown::beginnings(&year, "pv-beginnings")} })}
        </Show>
    }
    .into_any()
}
