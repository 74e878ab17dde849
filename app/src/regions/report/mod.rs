//! The report: everything that is known of the open option on paper, made when it is asked for.

mod assumptions;
mod cost;
mod judged;
mod outage;
mod parts;
mod schedules;
mod sheet;
mod summary;
mod table;
mod told;
mod year;

use std::sync::Arc;

use couplet_core::drawing::Paper;
use couplet_core::findings::Caution;
use couplet_core::household::Supply;
use leptos::prelude::*;
use wasm_bindgen::JsCast;

use crate::desk::Desk;
use crate::inquiry::Inquiry;
use crate::judged::Judged;
use crate::study::Study;
use crate::words::Level;
use crate::work::protocol::{Found, Question, Topic};
use told::Told;

/// What the report may hold, in its order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Section {
    Summary,
    Sheet,
    Schedules,
    Parts,
    Findings,
    Year,
    Outage,
    Cost,
    Assumptions,
    Cautions,
}

impl Section {
    const ALL: [Self; 10] = [
        Self::Summary,
        Self::Sheet,
        Self::Schedules,
        Self::Parts,
        Self::Findings,
        Self::Year,
        Self::Outage,
        Self::Cost,
        Self::Assumptions,
        Self::Cautions,
    ];

    fn heading(self) -> &'static str {
        match self {
            Self::Summary => "Summary",
            Self::Sheet => "Drawing sheet",
            Self::Schedules => "Schedules",
            Self::Parts => "Parts list",
            Self::Findings => "Findings",
            Self::Year => "Figures of a year",
            Self::Outage => "Outage that was tried",
            Self::Cost => "Money",
            Self::Assumptions => "Assumptions and sources",
            Self::Cautions => "Cautions",
        }
    }

    /// Chooses its page in the style sheet, and names it in the page.
    fn key(self) -> &'static str {
        match self {
            Self::Summary => "summary",
            Self::Sheet => "sheet",
            Self::Schedules => "schedules",
            Self::Parts => "parts",
            Self::Findings => "findings",
            Self::Year => "year",
            Self::Outage => "outage",
            Self::Cost => "cost",
            Self::Assumptions => "assumptions",
            Self::Cautions => "cautions",
        }
    }
}

/// The report of the open option, in place of the desk. `reporting` is set to false when it is done with.
#[component]
pub(crate) fn Report(
    desk: Desk,
    study: Study,
    judged: Judged,
    inquiry: Inquiry,
    reporting: RwSignal<bool>,
) -> impl IntoView {
    let paper = RwSignal::new(usual_paper(desk));
    let left_out = RwSignal::new(Vec::<Section>::new());
    let drill = inquiry.known(Topic::Drill);
    let money = inquiry.known(Topic::Money);
    Effect::new(move |_| {
        if desk.household.with(|household| household.service.utility) {
            inquiry.ask(Topic::Money, Some(Question::Money(desk.option_id.get())));
        }
    });
    let told = Memo::new_with_compare(
        move |_| {
            let option = desk.option.get()?;
            let household = desk.household.get();
            let figures = study.figures.get();
            let first = household.options.first().map(|first| first.id);
            let of_option = |known: Option<crate::inquiry::Known>| -> Option<Arc<Found>> {
                known.and_then(|known| known.of(option.id).cloned())
            };
            let utility = household.service.utility;
            let settings = desk.keep.settings.get();
            Some(Arc::new(Told {
                details: judged.details.get()?,
                circuits: judged.circuits.get(),
                findings: judged.findings.get(),
                figures: figures.get(&option.id).cloned(),
                as_it_stands: first
                    .filter(|first| *first != option.id)
                    .and_then(|first| figures.get(&first).cloned()),
                drill: of_option(drill.get()),
                money: of_option(money.get()).filter(|_| utility),
                level: settings.level,
                units: settings.units,
                household,
                option,
            }))
        },
        |_, _| true,
    );
    let date = today();
    foot(told, date.clone());
    let heading = move || {
        told.get().map(|told| {
            view! {
                <h2 id="report-title" tabindex="-1">{told.household.name.clone()}</h2>
                <p class="report-of">{format!("Option \u{201c}{}\u{201d}, {}", told.option.name, told.household.site.place)}</p>
            }
        })
    };
    let parts = move || {
        let told = told.get()?;
        let left_out = left_out.get();
        let shown = Section::ALL
            .into_iter()
            .filter(|section| !left_out.contains(section))
            .filter_map(|section| {
                let content = content(&told, section, paper.get(), &date)?;
                let id = format!("report-{}", section.key());
                Some(view! {
                    <section class="report-part" data-section=section.key() aria-labelledby=id.clone()>
                        <h2 id=id.clone()>{section.heading()}</h2>
                        {content}
                    </section>
                })
            })
            .collect_view();
        Some(shown)
    };
    Effect::new(move |_| crate::parts::focus("report-title"));
    view! {
        <main id="report" class="report" data-paper=move || paper_key(paper.get()) aria-labelledby="report-title">
            <Bar desk told paper left_out reporting />
            <header class="report-part report-head">{heading} <p class="note">{today()}</p></header>
            {parts}
        </main>
    }
    .into_any()
}

/// What a section holds; none: there is nothing to tell.
fn content(told: &Told, section: Section, paper: Paper, date: &str) -> Option<AnyView> {
    Some(match section {
        Section::Summary => summary::summary(told),
        Section::Sheet => sheet::sheet(told, paper, date),
        Section::Schedules => schedules::schedules(told),
        Section::Parts => parts::parts(told),
        Section::Findings => judged::findings(told),
        Section::Year => year::year(told),
        Section::Outage => return outage::drill(told),
        Section::Cost => return cost::cost(told),
        Section::Assumptions => assumptions::assumptions(told),
        Section::Cautions => cautions(),
    })
}

fn cautions() -> AnyView {
    let items = Caution::ALL
        .map(|caution| view! { <li>{caution.words()}</li> })
        .into_iter()
        .collect_view();
    view! { <ul>{items}</ul> }.into_any()
}

/// Paper, sections, print; not printed itself.
#[component]
fn Bar(
    desk: Desk,
    told: Memo<Option<Arc<Told>>>,
    paper: RwSignal<Paper>,
    left_out: RwSignal<Vec<Section>>,
    reporting: RwSignal<bool>,
) -> impl IntoView {
    let papers = [(Paper::A4, "A4"), (Paper::Letter, "Letter")]
        .map(|(offered, name)| {
            view! {
                <label>
                    <input
                        type="radio"
                        name="report-paper"
                        value=name
                        prop:checked=move || paper.get() == offered
                        on:change=move |_| paper.set(offered)
                    />
                    {name}
                </label>
            }
        })
        .into_iter()
        .collect_view();
    let sections = Section::ALL
        .map(|section| {
            let shown = move || left_out.with(|left_out| !left_out.contains(&section));
            let toggle = move |_| {
                left_out.update(|left_out| {
                    let before = left_out.len();
                    left_out.retain(|other| *other != section);
                    if left_out.len() == before {
                        left_out.push(section);
                    }
                });
            };
            view! {
                <label>
                    <input type="checkbox" data-section=section.key() prop:checked=shown on:change=toggle />
                    {section.heading()}
                </label>
            }
        })
        .into_iter()
        .collect_view();
    let print = move |_| {
        if let Some(window) = web_sys::window() {
            // A browser without a printer shows nothing; the reader sees that.
            let _ = window.print();
        }
    };
    let no_drill = move || {
        let none = told
            .get()
            .is_some_and(|told| told.drill.is_none() && told.household.service.utility);
        none.then_some("No outage was tried on this option yet: it is told here once one was.")
    };
    let back = move |_| {
        reporting.set(false);
        // What opened the report is in the page again on the next frame.
        request_animation_frame(|| crate::parts::focus("open-report"));
    };
    let level = move || match desk.keep.settings.with(|settings| settings.level) {
        Level::Plain => "Words as for the household; choose trade above for a designer's.",
        Level::Trade => "Words of the trade; choose plain above for a household's.",
    };
    view! {
        <div class="report-bar" role="group" aria-label="Report">
            <fieldset>
                <legend>"Paper"</legend>
                {papers}
            </fieldset>
            <fieldset class="report-sections">
                <legend>"Sections"</legend>
                {sections}
            </fieldset>
            <div class="menu-row">
                <button type="button" class="strong" id="report-print" on:click=print>"Print\u{2026}"</button>
                <button
                    type="button"
                    id="parts-csv"
                    on:click=move |_| {
                        if let Some(told) = told.get_untracked() {
                            parts::hand_out(&told);
                        }
                    }
                >
                    "Parts list as CSV"
                </button>
                <button type="button" id="report-back" on:click=back>"Back to the desk"</button>
            </div>
            <p class="note">{level} " " {no_drill}</p>
        </div>
    }
    .into_any()
}

fn paper_key(paper: Paper) -> &'static str {
    match paper {
        Paper::A4 => "a4",
        Paper::Letter => "letter",
    }
}

/// Letter where homes have 120 V, A4 elsewhere.
fn usual_paper(desk: Desk) -> Paper {
    match desk
        .household
        .with_untracked(|household| household.service.supply)
    {
        Supply::SplitPhase120V240V60Hz | Supply::ThreePhase120V208V60Hz => Paper::Letter,
        Supply::SinglePhase230V50Hz | Supply::ThreePhase230V400V50Hz => Paper::A4,
    }
}

/// Today in the browser's locale.
fn today() -> String {
    let options = js_sys::Object::new();
    for (name, value) in [("year", "numeric"), ("month", "long"), ("day", "numeric")] {
        // Setting a property of a plain object does not fail.
        let _ = js_sys::Reflect::set(&options, &name.into(), &value.into());
    }
    js_sys::Date::new_0()
        .to_locale_date_string("default", &options)
        .into()
}

/// Hands the words of the foot of each page to the style sheet, which alone can print them there.
fn foot(told: Memo<Option<Arc<Told>>>, date: String) {
    const NAME: &str = "--report-foot";
    let style = || {
        document()
            .document_element()
            .and_then(|root| root.dyn_into::<web_sys::HtmlElement>().ok())
            .map(|root| root.style())
    };
    Effect::new(move |_| {
        let Some(told) = told.get() else { return };
        let words = format!(
            "{}, option {}, {date}. Planning estimate, not for construction.",
            told.household.name, told.option.name
        );
        if let Some(style) = style() {
            // Without it the foot is empty.
            let _ = style.set_property(NAME, &css_string(&words));
        }
    });
    on_cleanup(move || {
        if let Some(style) = style() {
            let _ = style.remove_property(NAME);
        }
    });
}

/// A text as a string of a style sheet.
fn css_string(text: &str) -> String {
    let mut string = String::from("\"");
    for letter in text.chars() {
        match letter {
            '"' | '\\' => {
                string.push('\\');
                string.push(letter);
            }
            _ if letter.is_control() => string.push(' '),
            _ => string.push(letter),
        }
    }
    string.push('"');
    string
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_cannot_break_out_of_its_string() {
        assert_eq!(
            css_string("Ann's \"old\" \\ house\n"),
            "\"Ann's \\\"old\\\" \\\\ house \""
        );
    }

    #[test]
    fn every_section_has_a_key_of_its_own() {
        let mut keys = Section::ALL.map(Section::key).to_vec();
        keys.sort_unstable();
        keys.dedup();
        assert_eq!(keys.len(), Section::ALL.len());
    }
}
