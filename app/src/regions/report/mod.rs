//! The report: everything that is known of the open option on paper, made when it is asked for.

mod asked;
mod assumptions;
mod best;
mod cost;
mod export;
mod judged;
mod outage;
mod parts;
mod schedules;
mod sheet;
mod summary;
mod survival;
mod table;
mod told;
mod year;

use std::sync::Arc;

use couplet_core::drawing::Paper;
use couplet_core::findings::Caution;
use couplet_core::household::Supply;
use couplet_core::rules::Code;
use leptos::prelude::*;
use wasm_bindgen::JsCast;

use crate::desk::Desk;
use crate::inquiry::Inquiry;
use crate::judged::Judged;
use crate::regions::drawing::TitleNotes;
use crate::study::Study;
use crate::words::Level;
use crate::work::protocol::Topic;
use asked::{ASKED, TOPICS};
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
    Best,
    Outage,
    Survival,
    Export,
    Cost,
    Assumptions,
    Cautions,
}

impl Section {
    const ALL: [Self; 13] = [
        Self::Summary,
        Self::Sheet,
        Self::Schedules,
        Self::Parts,
        Self::Findings,
        Self::Year,
        Self::Best,
        Self::Outage,
        Self::Survival,
        Self::Export,
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
            Self::Best => "The best possible",
            Self::Outage => "Outage that was tried",
            Self::Survival => "Outages from every hour of the year",
            Self::Export => "Export control",
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
            Self::Best => "best",
            Self::Outage => "outage",
            Self::Survival => "survival",
            Self::Export => "export",
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
    ask_while_open(desk, inquiry, left_out);
    let told = Memo::new_with_compare(
        move |_| {
            let option = desk.option.get()?;
            let household = desk.household.get();
            let figures = study.figures.get();
            let first = household.options.first().map(|first| first.id);
            let found = |topic| inquiry.answer(topic, option.id);
            let settings = desk.keep.settings.get();
            Some(Arc::new(Told {
                details: judged.details.get()?,
                circuits: judged.circuits.get(),
                findings: judged.findings.get(),
                figures: figures.get(&option.id).cloned(),
                as_it_stands: first
                    .filter(|first| *first != option.id)
                    .and_then(|first| figures.get(&first).cloned()),
                drill: found(Topic::Drill),
                survival: found(Topic::SurvivalByCharge),
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
                let content = content(&told, section, paper.get(), &date, inquiry)?;
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
            <Bar desk told inquiry paper left_out reporting />
            <header class="report-part report-head">
                {heading}
                <p class="note">{today()}</p>
                {move || (!inquiry.sound.get()).then(|| view! {
                    <p class="strong-words">"This household cannot be computed as it stands: figures in this report are of the last state that could be."</p>
                })}
            </header>
            {parts}
        </main>
    }
    .into_any()
}

/// Asks what takes long, as long as the report is open; what the desk had asked for is asked again after that.
fn ask_while_open(desk: Desk, inquiry: Inquiry, left_out: RwSignal<Vec<Section>>) {
    let before = TOPICS.map(|topic| inquiry.asked(topic));
    Effect::new(move |_| {
        let option = desk.option_id.get();
        let day = desk.cursor.with(|cursor| cursor.day);
        let left_out = left_out.get();
        let asked: Vec<_> = desk.household.with(|household| {
            let Some(option) = household.option(option) else {
                return Vec::new();
            };
            ASKED
                .into_iter()
                .filter(|section| !left_out.contains(section))
                .filter_map(|section| asked::question(section, household, option, day))
                .collect()
        });
        for topic in TOPICS {
            let question = asked
                .iter()
                .find(|(other, _)| *other == topic)
                .map(|(_, question)| question.clone());
            inquiry.ask(topic, question);
        }
    });
    on_cleanup(move || {
        let option = desk.option_id.get_untracked();
        for (topic, before) in TOPICS.into_iter().zip(before) {
            inquiry.ask(topic, before.filter(|question| question.option() == option));
        }
    });
}

/// What a section holds; none: there is nothing to tell.
fn content(
    told: &Told,
    section: Section,
    paper: Paper,
    date: &str,
    inquiry: Inquiry,
) -> Option<AnyView> {
    Some(match section {
        Section::Summary => summary::summary(told),
        Section::Sheet => sheet::sheet(told, paper, date),
        Section::Schedules => schedules::schedules(told),
        Section::Parts => parts::parts(told),
        Section::Findings => judged::findings(told),
        Section::Year => year::year(told),
        Section::Best => return best::best(told, inquiry),
        Section::Outage => return outage::drill(told),
        Section::Survival => return survival::survival(told, inquiry),
        Section::Export => return export::export(told, inquiry),
        Section::Cost => return cost::cost(told, inquiry),
        Section::Assumptions => assumptions::assumptions(told),
        Section::Cautions => cautions(told.details.code),
    })
}

fn cautions(code: Code) -> AnyView {
    let items = Caution::ALL
        .map(|caution| view! { <li>{caution.words(code)}</li> })
        .into_iter()
        .collect_view();
    view! { <ul>{items}</ul> }.into_any()
}

/// Paper, sections, print; not printed itself.
#[component]
fn Bar(
    desk: Desk,
    told: Memo<Option<Arc<Told>>>,
    inquiry: Inquiry,
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
    let waiting = Memo::new(move |_| {
        let option = desk.option_id.get();
        let left_out = left_out.get();
        let no_year = told.with(|told| told.as_ref().is_some_and(|told| told.figures.is_none()));
        let year = (no_year && !left_out.contains(&Section::Year)).then_some(Section::Year);
        let asked = ASKED
            .into_iter()
            .filter(|section| !left_out.contains(section))
            .filter(|section| {
                let asked = desk.household.with(|household| {
                    household
                        .option(option)
                        .and_then(|option| asked::question(*section, household, option, 0))
                });
                asked.is_some_and(|(topic, _)| {
                    inquiry.answer(topic, option).is_none()
                        && inquiry.trouble(topic).with(Option::is_none)
                })
            });
        year.into_iter()
            .chain(asked)
            .map(Section::heading)
            .collect::<Vec<_>>()
    });
    let waiting = move || {
        let waiting = waiting.get();
        if !inquiry.sound.get() {
            return "Nothing new can be computed: this household cannot be computed as it stands."
                .to_owned();
        }
        match waiting.as_slice() {
            [] => "Everything stands in the report.".to_owned(),
            waiting => format!("Still being computed: {}.", waiting.join(", ")),
        }
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
            <TitleNotes desk at="report" />
            <p class="note">{level}</p>
            <p class="note" role="status" id="report-waiting">{waiting}</p>
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
