//! A new household from six questions, on one sheet: every answer has a default that can be seen, and a first answer is one press away.

mod questions;

use couplet_core::document::{self, Answers};
use leptos::prelude::*;

use crate::desk::Desk;
use questions::{Energy, Outage, PlaceQuestion, PricesQuestion, Standing, WishQuestion};

/// The sheet of six questions. `starting` is set to false when it is done with.
#[component]
pub(crate) fn Start(desk: Desk, starting: RwSignal<bool>) -> impl IntoView {
    let answers = RwSignal::new(questions::defaults());
    let placed = Memo::new(move |_| answers.with(|answers| !answers.place.name.is_empty()));
    let begin = move |_| {
        let household = document::start(&answers.get_untracked());
        desk.begin(household);
        starting.set(false);
    };
    // The sheet is read from its top.
    Effect::new(move |_| crate::parts::focus("start"));
    view! {
        <section id="start" class="start" aria-labelledby="start-title" tabindex="-1">
            <h2 id="start-title">"A new household"</h2>
            <p>
                "Six questions; each has a default, and everything can be changed afterwards. Only the place has none."
            </p>
            <ol class="questions" role="list">
                <PlaceQuestion desk answers />
                <Energy desk answers />
                <Standing desk answers />
                <Outage desk answers />
                <PricesQuestion desk answers />
                <WishQuestion answers />
            </ol>
            <div class="menu-row">
                <button type="button" class="strong" id="begin" disabled=move || !placed.get() on:click=begin>
                    "Draw it"
                </button>
                <button type="button" on:click=move |_| starting.set(false)>"Not now"</button>
                <p class="note" role="status">
                    {move || if placed.get() { "" } else { "First choose a place: question 1." }}
                </p>
            </div>
        </section>
    }
    .into_any()
}

/// Shorthand for the signal that the questions fill.
type Given = RwSignal<Answers>;
