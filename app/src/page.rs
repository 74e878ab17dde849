//! The page: which region stands where, and what each of them is given.

use std::sync::Arc;

use couplet_core::coupling::{
    CouplingOption, DcOrder, IslandRunning, OptionCosts, Running, RunningRule,
    TitleNotes as TitleWords,
};
use couplet_core::drawing::{MoveMark, Moving, Paper, Part, Target};
use couplet_core::findings::Verdict;
use couplet_core::household::OptionId;
use couplet_core::outlook::first_cost_cur;
use couplet_core::year::{DayTrace, Figures, StripQuantity};
use leptos::ev;
use leptos::prelude::*;
use wasm_bindgen::JsCast;

use crate::advising::Advising;
use crate::desk::{Cursor, Desk};
use crate::format;
use crate::inquiry::Inquiry;
use crate::judged::Judged;
use crate::keep::{Keep, UnitSystem};
use crate::parts::Unsound;
use crate::regions::adviser::Adviser;
use crate::regions::best_possible::{Best, BestPossible};
use crate::regions::bills::Bills;
use crate::regions::compare::outcomes::{Against, Outcomes};
use crate::regions::compare::rows::Written;
use crate::regions::compare::{Compare, Compared};
use crate::regions::day::Day;
use crate::regions::drawing::{Drawing, TitleNotes};
use crate::regions::drills::{Drilling, Drills, moment};
use crate::regions::export_control::ExportControl;
use crate::regions::findings::{Findings, Sifting, Verdicts};
use crate::regions::footer::Footer;
use crate::regions::household_menu::{dropped_file, import};
use crate::regions::money::MoneyOverYears;
use crate::regions::notices::Notices;
use crate::regions::off_grid::OffGrid;
use crate::regions::report::Report;
use crate::regions::schedules::{Conductors, Schedules, field_of_problem};
use crate::regions::start::Start;
use crate::regions::survival::Survival;
use crate::regions::top_bar::TopBar;
use crate::regions::year_strip::YearStrip;
use crate::study::Study;

/// The whole page.
#[component]
pub(crate) fn Page() -> impl IntoView {
    let keep = Keep::new();
    let desk = Desk::open(keep);
    keep.follow(desk.id, desk.household);
    let study = Study::of(desk);
    let utility = Memo::new(move |_| desk.household.with(|household| household.service.utility));
    provide_context(unsound(desk, study));
    let judged = Judged::of(desk, study);
    let sifting = Sifting::of(judged);
    let inquiry = Inquiry::of(desk, study);
    let drilling = Drilling::new();
    // Whether the sheet of six questions lies on the desk.
    let starting = RwSignal::new(false);
    // Whether the report stands in place of the desk.
    let reporting = RwSignal::new(false);
    follow_settings(desk);
    listen_for_undo(desk);

    view! {
        <a class="skip" href="#drawing">
            "Skip to the drawing"
        </a>
        <TopBar desk starting reporting />
        <Notices desk study starting />
        <Show when=move || starting.get() && !reporting.get()>
            <Start desk starting />
        </Show>
        <Show when=move || reporting.get()>
            <Report desk study judged inquiry reporting />
        </Show>
        <div class="desk" hidden=move || starting.get() || reporting.get() on:dragover=|event| event.prevent_default() on:drop=move |event| take_drop(desk, &event)>
            <Board desk study judged sifting inquiry drilling />
            <aside class="outcomes" aria-label="Outcomes">
                <OutcomesOfOption desk study utility />
                <Show when=move || !utility.get()>
                    <OffGrid desk study inquiry />
                </Show>
                <Verdicts desk judged sifting />
            </aside>
            <Schedules desk judged inquiry />
        </div>
        <Show when=move || !reporting.get()>
            <Footer />
        </Show>
    }
    .into_any()
}

/// What is wrong with the inputs, at its fields.
fn unsound(desk: Desk, study: Study) -> Unsound {
    let fields = Memo::new(move |_| {
        let household = desk.household.get();
        study.problems.with(|problems| {
            let at_field = problems.iter().filter_map(|problem| {
                let field = field_of_problem(&problem.path, &household)?;
                let stop = if problem.right.ends_with('?') {
                    ""
                } else {
                    "."
                };
                Some((
                    field.id,
                    format!("{}: {}{stop}", problem.value, problem.right),
                ))
            });
            Arc::new(at_field.collect())
        })
    });
    Unsound {
        some: Signal::derive(move || study.problems.with(|problems| !problems.is_empty())),
        fields,
    }
}

/// Drawing, day, year and the options side by side.
#[component]
fn Board(
    desk: Desk,
    study: Study,
    judged: Judged,
    sifting: Sifting,
    inquiry: Inquiry,
    drilling: Drilling,
) -> impl IntoView {
    let household = desk.household;
    // A file may hold a household without options; its sheet is empty.
    let option = Memo::new(move |_| desk.option.get().unwrap_or_else(|| Arc::new(no_option())));
    let currency =
        Memo::new(move |_| household.with(|household| household.tariff.currency.clone()));
    let devices = Memo::new(move |_| {
        household.with(|household| {
            let names = household
                .loads
                .devices
                .iter()
                .map(|device| (device.id, device.name.clone()));
            Arc::new(names.collect::<Vec<_>>())
        })
    });
    let minute = Memo::new(move |_| desk.cursor.with(|cursor| cursor.minute));
    let day = Memo::new(move |_| desk.cursor.with(|cursor| cursor.day));
    let step = Memo::new(move |_| {
        study.day.with(|day| {
            day.as_ref()
                .map_or(0, |day| step_at(minute.get(), day.step_s, day.load_w.len()))
        })
    });
    let utility = Memo::new(move |_| household.with(|household| household.service.utility));
    // The drawing shows the day at the cursor, or a second of a drill.
    let moment = moment(desk, inquiry, drilling);
    let drawn = Memo::new(move |_| match moment.get() {
        Some(moment) => (Some(ByArc(moment.trace)), 0),
        None => (study.day.get().map(ByArc), step.get()),
    });
    let drawn_trace = Signal::derive(move || drawn.get().0.map(|ByArc(trace)| trace));
    let drawn_step = Signal::derive(move || drawn.get().1);
    let drawn_at = Signal::derive(move || {
        moment.with(|moment| moment.as_ref().map(|moment| moment.words.clone()))
    });
    let best = Best::of(desk, inquiry);
    let advising = Advising::of(desk, study);
    let level = Memo::new(move |_| desk.keep.settings.with(|settings| settings.level));
    let paper = Memo::new(
        move |_| match desk.keep.settings.with(|settings| settings.units) {
            UnitSystem::Metric => Paper::A4,
            UnitSystem::Us => Paper::Letter,
        },
    );
    let against = RwSignal::new(None::<OptionId>);
    let compared = Memo::new(move |_| {
        let (fresh, figures) = (study.fresh.get(), study.figures.get());
        household.with(|household| {
            household
                .options
                .iter()
                .map(|option| Compared {
                    id: option.id,
                    name: option.name.clone(),
                    figures: figures.get(&option.id).cloned(),
                    first_cur: first_cost_cur(option, household.tariff.minor_unit()),
                    stale: !fresh.contains(&option.id),
                })
                .collect::<Vec<_>>()
        })
    });
    view! {
        <main class="board">
            <section id="drawing" class="region" role="tabpanel" aria-label="Drawing" tabindex="-1">
                <Drawing
                    household
                    option
                    trace=drawn_trace
                    step=drawn_step
                    drawn_at
                    stale=study.stale
                    ghost=desk.moved
                    selection=desk.selection
                    details=judged.details
                    level
                    paper
                    tallies=judged.tallies
                    on_mark=Callback::new(move |(part, worst): (Part, Verdict)| sifting.go_to(part, worst))
                    on_select=Callback::new(move |part| desk.select(part))
                    on_move=Callback::new(move |(moving, target): (Moving, Target)| desk.move_join(moving, target))
                    on_keep=Callback::new(move |()| desk.moved.set(None::<MoveMark>))
                    on_undo=Callback::new(move |()| desk.undo())
                />
                <TitleNotes desk at="drawing" />
            </section>
            <Day
                trace=study.day
                stale=study.stale
                devices
                currency
                minute
                on_minute=Callback::new(move |minute| {
                    drilling.on_drawing.set(false);
                    desk.cursor.update(|cursor| cursor.minute = minute);
                })
                step_s=study.day_step_s
                on_step_s=Callback::new(move |step_s| study.day_step_s.set(step_s))
                best
            />
            <YearStrip
                strip=study.strip
                stale=study.stale
                utility
                quantity=study.quantity
                on_quantity=Callback::new(move |quantity: StripQuantity| study.chosen_quantity.set(quantity))
                day
                on_day=Callback::new(move |day| {
                    drilling.on_drawing.set(false);
                    desk.cursor.update(|cursor: &mut Cursor| cursor.day = day);
                })
            />
            <Adviser desk advising />
            <Findings desk judged sifting />
            <Conductors desk judged sifting />
            <Drills desk inquiry drilling />
            <Survival desk inquiry on_drill=Callback::new(move |hour| drilling.begin_at(hour, None)) />
            <ExportControl desk inquiry />
            <BestPossible best />
            <MoneyOverYears desk inquiry />
            <Show when=move || utility.get()>
                <Bills desk options=compared open=desk.option_id />
            </Show>
            <Compare
                options=compared
                open=desk.option_id
                on_open=Callback::new(move |option| desk.show_option(option))
                against
                on_against=Callback::new(move |option| against.set(Some(option)))
                utility
                written=written(desk)
            />
        </main>
    }
    .into_any()
}

/// A trace that is the same only if it is the same allocation.
#[derive(Clone)]
struct ByArc(Arc<DayTrace>);

impl PartialEq for ByArc {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.0, &other.0)
    }
}

fn no_option() -> CouplingOption {
    CouplingOption {
        id: OptionId(0),
        name: String::new(),
        title: TitleWords::default(),
        arrays: Vec::new(),
        pv_inverters: Vec::new(),
        storage: Vec::new(),
        running: Running {
            rule: RunningRule::SelfConsumption,
            reserve_soc: 0.0,
            dc_order: DcOrder::LoadsBatteryGrid,
        },
        generator: None,
        island: IslandRunning::default(),
        costs: OptionCosts::default(),
    }
}

/// The figures of the open option, against the state before the last move or else against the first option.
#[component]
fn OutcomesOfOption(desk: Desk, study: Study, utility: Memo<bool>) -> impl IntoView {
    let figures = Memo::new(move |_| {
        study
            .figures
            .with(|figures| figures.get(&desk.option_id.get()).cloned())
    });
    let before_move = before_move(desk, figures);
    let against = Memo::new(move |_| {
        if let Some(figures) = before_move.get() {
            return Some(Against {
                name: "before the move".to_owned(),
                figures,
            });
        }
        let (id, name) = desk.household.with(|household| {
            household
                .options
                .first()
                .map(|option| (option.id, option.name.clone()))
        })?;
        let figures = study.figures.with(|figures| figures.get(&id).cloned())?;
        (id != desk.option_id.get()).then_some(Against { name, figures })
    });
    let currency = Memo::new(move |_| {
        desk.household
            .with(|household| household.tariff.currency.clone())
    });
    let progress = move || {
        let (done, all) = study.progress.get();
        if study.problems.with(|problems| !problems.is_empty()) {
            String::new()
        } else if study.stale.get() {
            "computing\u{2026}".to_owned()
        } else if done < all {
            format!("{done} of {all} options computed")
        } else {
            String::new()
        }
    };
    // Said when the figures of a change have come, not while they are on their way.
    let spoken = Memo::new(move |before: Option<&String>| {
        if study.stale.get() {
            return before.cloned().unwrap_or_default();
        }
        let name = desk
            .option
            .with(|option| option.as_ref().map(|option| option.name.clone()));
        figures.with(|figures| match (name, figures) {
            (Some(name), Some(figures)) => match &figures.off_grid {
                Some(year) => format!(
                    "{name}, in a year: served {}, dark {}\u{a0}h",
                    format::percent(year.served_share, 1).text(),
                    format::number(year.dark_h, 0)
                ),
                None => format!(
                    "{name}, in a year: bought {}, bill {}",
                    format::energy(figures.import_wh).text(),
                    figures.bill_cur.map_or_else(
                        || format::NONE.to_owned(),
                        |bill_cur| format::money(bill_cur, &currency.get())
                    )
                ),
            },
            _ => String::new(),
        })
    });
    view! {
        <Outcomes figures against stale=study.stale utility written=written(desk) />
        <p class="note progress">{progress}</p>
        <p class="spoken" role="status">{spoken}</p>
    }
    .into_any()
}

/// What figures are written in.
fn written(desk: Desk) -> Memo<Written> {
    Memo::new(move |_| Written {
        currency: desk
            .household
            .with(|household| household.tariff.currency.clone()),
        units: desk.keep.settings.with(|settings| settings.units),
    })
}

/// The figures that stood when the last move was made, as long as the move is neither kept nor undone.
fn before_move(desk: Desk, figures: Memo<Option<Arc<Figures>>>) -> Memo<Option<Arc<Figures>>> {
    Memo::new(move |before: Option<&Option<Arc<Figures>>>| {
        if desk.moved.with(Option::is_none) {
            return None;
        }
        match before {
            Some(Some(figures)) => Some(Arc::clone(figures)),
            // The move has just been made: the worker has not answered to it yet.
            _ => figures.get_untracked(),
        }
    })
}

/// The step of a day at a minute.
fn step_at(minute: u32, step_s: f64, steps: usize) -> usize {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a day has few steps"
    )]
    let step = (f64::from(minute) * 60.0 / step_s) as usize;
    step.min(steps.saturating_sub(1))
}

/// Takes a household's file that was dropped on the page.
fn take_drop(desk: Desk, event: &ev::DragEvent) {
    if let Some(file) = dropped_file(event) {
        event.prevent_default();
        import(desk, file);
    }
}

/// Keeps the window's title, theme and reading level as the reader has them.
fn follow_settings(desk: Desk) {
    Effect::new(move |_| {
        let name = desk.household.with(|household| household.name.clone());
        document().set_title(&format!("{name} \u{2013} Couplet"));
    });
    Effect::new(move |_| {
        let settings = desk.keep.settings.get();
        let Some(root) = document().document_element() else {
            return;
        };
        // An attribute that cannot be set leaves the page as the system has it.
        let _ = match settings.theme.attribute() {
            Some(theme) => root.set_attribute("data-theme", theme),
            None => root.remove_attribute("data-theme"),
        };
        let _ = root.set_attribute("data-level", settings.level.attribute());
    });
}

/// Undo and redo by keyboard, wherever the focus is.
fn listen_for_undo(desk: Desk) {
    let listener = window_event_listener(ev::keydown, move |event| {
        if !(event.ctrl_key() || event.meta_key()) || event.alt_key() {
            return;
        }
        match (event.key().to_lowercase().as_str(), event.shift_key()) {
            ("z", false) => {
                event.prevent_default();
                leave_field();
                desk.undo();
            }
            ("z", true) | ("y", false) => {
                event.prevent_default();
                leave_field();
                desk.redo();
            }
            _ => {}
        }
    });
    on_cleanup(move || listener.remove());
}

/// A field that is being typed in shows its draft; an undo must be seen there as well, so the typing ends first.
fn leave_field() {
    if let Some(field) = document()
        .active_element()
        .and_then(|element| element.dyn_into::<web_sys::HtmlInputElement>().ok())
    {
        // Out and in again: the focus stays where it was.
        let _ = field.blur();
        let _ = field.focus();
    }
}
