//! The memo graph: document to results. No arithmetic happens here; the worker computes, the memos hand on what changed.
//!
//! ```text
//! household, option, temperatures of the site ── `judged`: findings, conductor schedule
//! household ── check ─┬─ problems
//!                     └─ checked household ─┬─ worker ── figures of each option
//! option, day, strip quantity ── view ──────┘        └── day and strip of the open option
//! ```
//!
//! One request is under way at a time. When its inputs have changed meanwhile, its answer is dropped and the newest inputs are
//! sent; until an answer fits, the last good result stays and is marked stale.

use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::Arc;

use couplet_core::check::{Problem, problems};
use couplet_core::findings::DesignTemperatures;
use couplet_core::household::{Household, OptionId};
use couplet_core::year::{DayTrace, Figures, StripQuantity, YearStrip};
use leptos::prelude::*;

use crate::desk::{Desk, same_arc};
use crate::work::protocol::{Answer, Request, View, from_bytes, to_bytes};
use crate::work::worker::{CalcWorker, Reply};

/// Step of the day that a reader finds first, s: that of the year.
const QUARTER_HOUR_S: u32 = 900;

/// Results of the household on the desk.
#[derive(Clone, Copy)]
pub(crate) struct Study {
    /// What the year strip shows.
    pub(crate) quantity: Memo<StripQuantity>,
    /// What it was chosen to show; a household with and one without a utility do not have all quantities in common.
    pub(crate) chosen_quantity: RwSignal<StripQuantity>,
    /// Length of a step of the day, s.
    pub(crate) day_step_s: RwSignal<u32>,
    /// What is wrong with the household's inputs; while there is anything, the last good results stay.
    pub(crate) problems: Memo<Arc<Vec<Problem>>>,
    /// Figures of each option that was run.
    pub(crate) figures: Memo<Arc<BTreeMap<OptionId, Arc<Figures>>>>,
    /// The day of the open option.
    pub(crate) day: Memo<Option<Arc<DayTrace>>>,
    /// The year of the open option.
    pub(crate) strip: Memo<Option<Arc<YearStrip>>>,
    /// The cold and the heat of the site; none: not known yet.
    pub(crate) temperatures: Memo<Option<DesignTemperatures>>,
    /// Whether what is shown belongs to older inputs than those on the desk.
    pub(crate) stale: Memo<bool>,
    /// Options whose figures belong to the household on the desk.
    pub(crate) fresh: Memo<Vec<OptionId>>,
    /// How many options are up to date, and how many there are.
    pub(crate) progress: Memo<(usize, usize)>,
    /// What hinders the calculation.
    pub(crate) trouble: Memo<Option<String>>,
}

/// The results that are known.
#[derive(Clone, Default)]
struct Results {
    /// The household that the results belong to.
    household: Option<Arc<Household>>,
    /// The view that day and strip belong to.
    view: Option<View>,
    /// Figures; those of options not named in `fresh` belong to an older household.
    figures: Arc<BTreeMap<OptionId, Arc<Figures>>>,
    fresh: Vec<OptionId>,
    day: Option<Arc<DayTrace>>,
    strip: Option<Arc<YearStrip>>,
    temperatures: Option<DesignTemperatures>,
    trouble: Option<String>,
}

impl Study {
    /// Follows the desk from now on.
    pub(crate) fn of(desk: Desk) -> Self {
        let chosen_quantity = RwSignal::new(StripQuantity::Pv);
        let day_step_s = RwSignal::new(QUARTER_HOUR_S);
        let problems = Memo::new(move |_| {
            desk.household
                .with(|household| Arc::new(problems(household)))
        });
        let checked = Memo::new_with_compare(
            move |before: Option<&Arc<Household>>| {
                let household = desk.household.get();
                match before {
                    Some(before)
                        if problems.with(|problems| !problems.is_empty())
                            || before.computes_as(&household) =>
                    {
                        Arc::clone(before)
                    }
                    _ => household,
                }
            },
            |before, now| !same_arc(before, now),
        );
        let quantity = Memo::new(move |_| {
            let utility = desk.household.with(|household| household.service.utility);
            let offered = StripQuantity::offered(utility);
            let chosen = chosen_quantity.get();
            if offered.contains(&chosen) {
                chosen
            } else {
                StripQuantity::Pv
            }
        });
        let view = Memo::new(move |_| View {
            option: desk.option_id.get(),
            day: desk.cursor.with(|cursor| cursor.day),
            step_s: day_step_s.get(),
            quantity: quantity.get(),
        });

        let results = RwSignal::new(Results::default());
        let asker = Asker::start(results);
        Effect::new(move |_| {
            // A household that cannot be run when the page opens has no older one to stand in for it.
            if problems.with(|problems| problems.is_empty())
                || results.with_untracked(|results| results.household.is_some())
            {
                asker.want(checked.get(), view.get());
            }
        });

        // Whether the results are those of the household on the desk: it can be run, and nothing that counts was changed since.
        let known = move |results: &Results| {
            problems.with(|problems| problems.is_empty())
                && checked.with(|checked| same_arc(results.household.as_ref(), Some(checked)))
        };
        let fits = move |results: &Results| results.view == Some(view.get()) && known(results);
        let fresh = Memo::new(move |_| {
            results.with(|results| {
                if known(results) {
                    results.fresh.clone()
                } else {
                    Vec::new()
                }
            })
        });
        Self {
            quantity,
            chosen_quantity,
            day_step_s,
            problems,
            figures: Memo::new_with_compare(
                move |_| results.with(|results| Arc::clone(&results.figures)),
                |before, now| !same_arc(before, now),
            ),
            day: Memo::new_with_compare(
                move |_| results.with(|results| results.day.clone()),
                |before, now| !same_optional(before, now),
            ),
            strip: Memo::new_with_compare(
                move |_| results.with(|results| results.strip.clone()),
                |before, now| !same_optional(before, now),
            ),
            temperatures: Memo::new(move |_| results.with(|results| results.temperatures)),
            stale: Memo::new(move |_| !results.with(fits)),
            fresh,
            progress: Memo::new(move |_| {
                let options = desk.household.with(|household| household.options.len());
                (fresh.with(Vec::len).min(options), options)
            }),
            trouble: Memo::new(move |_| results.with(|results| results.trouble.clone())),
        }
    }
}

fn same_optional<T>(before: Option<&Option<Arc<T>>>, now: Option<&Option<Arc<T>>>) -> bool {
    match (before, now) {
        (Some(Some(before)), Some(Some(now))) => Arc::ptr_eq(before, now),
        (Some(None), Some(None)) => true,
        _ => false,
    }
}

/// Asks the worker for what is wanted and not yet known, one request at a time.
#[derive(Clone)]
struct Asker(Rc<Asking>);

struct Asking {
    worker: CalcWorker,
    results: RwSignal<Results>,
    wanted: RefCell<Option<(Arc<Household>, View)>>,
    /// The household that the worker holds.
    held: RefCell<Option<Arc<Household>>>,
    under_way: Cell<bool>,
    /// What broke off is not asked again before something changes.
    given_up: Cell<bool>,
}

impl Asker {
    fn start(results: RwSignal<Results>) -> Self {
        let worker = CalcWorker::start(move |trouble| {
            results.try_update(|results| results.trouble = Some(trouble));
        });
        Self(Rc::new(Asking {
            worker,
            results,
            wanted: RefCell::new(None),
            held: RefCell::new(None),
            under_way: Cell::new(false),
            given_up: Cell::new(false),
        }))
    }

    fn want(&self, household: Arc<Household>, view: View) {
        *self.0.wanted.borrow_mut() = Some((household, view));
        self.0.given_up.set(false);
        self.ask_next();
    }

    fn ask_next(&self) {
        let asking = &self.0;
        if asking.under_way.get() || asking.given_up.get() {
            return;
        }
        let Some((household, view)) = asking.wanted.borrow().clone() else {
            return;
        };
        let Some(request) = self.next_request(&household, view) else {
            return;
        };
        if matches!(request, Request::Household { .. }) {
            *asking.held.borrow_mut() = Some(Arc::clone(&household));
        }
        asking.under_way.set(true);
        let asker = self.clone();
        asking.worker.ask(to_bytes(&request), move |reply| {
            asker.on_reply(&household, view, &request, reply);
        });
    }

    /// The view first, then one option at a time; none: everything is known.
    fn next_request(&self, household: &Arc<Household>, view: View) -> Option<Request> {
        // An option that was added while the inputs cannot be run is not in the last good household.
        household.option(view.option)?;
        if !same_arc(self.0.held.borrow().as_ref(), Some(household)) {
            return Some(Request::Household {
                household: Arc::clone(household),
                view,
            });
        }
        self.0.results.with_untracked(|results| {
            let known = same_arc(results.household.as_ref(), Some(household));
            if !known || results.view != Some(view) {
                return Some(Request::View(view));
            }
            household
                .options
                .iter()
                .map(|option| option.id)
                .find(|id| !results.fresh.contains(id))
                .map(Request::Figures)
        })
    }

    fn on_reply(&self, household: &Arc<Household>, view: View, request: &Request, reply: Reply) {
        let answer = match reply {
            Reply::Progress { .. } => return,
            Reply::Answer(bytes) => from_bytes(&bytes),
            Reply::Failed(reason) => {
                // The worker that comes after it holds nothing.
                *self.0.held.borrow_mut() = None;
                Err(broke_off(household, view, request, &reason))
            }
        };
        self.0.under_way.set(false);
        match answer {
            Ok(Answer::SendHousehold) => *self.0.held.borrow_mut() = None,
            Ok(Answer::Refused(reason)) | Err(reason) => self.give_up(reason),
            Ok(answer) => {
                let fits = self
                    .0
                    .wanted
                    .borrow()
                    .as_ref()
                    .is_some_and(|(wanted, wanted_view)| {
                        Arc::ptr_eq(wanted, household)
                            && (*wanted_view == view || matches!(request, Request::Figures(_)))
                    });
                if fits {
                    self.take(household, view, answer);
                }
            }
        }
        self.ask_next();
    }

    fn give_up(&self, reason: String) {
        self.0.given_up.set(true);
        self.0
            .results
            .try_update(|results| results.trouble = Some(reason));
    }

    fn take(&self, household: &Arc<Household>, view: View, answer: Answer) {
        self.0.results.try_update(|results| {
            if !same_arc(results.household.as_ref(), Some(household)) {
                results.household = Some(Arc::clone(household));
                results.fresh.clear();
            }
            results.trouble = None;
            let (option, figures) = match answer {
                Answer::Shown(shown) => {
                    results.view = Some(view);
                    results.day = Some(Arc::new(shown.day));
                    results.strip = Some(Arc::new(shown.strip));
                    results.temperatures = Some(shown.temperatures);
                    (view.option, shown.figures)
                }
                Answer::Figures { option, figures } => (option, *figures),
                Answer::SendHousehold | Answer::Refused(_) | Answer::Found(_) | Answer::Advised => {
                    return;
                }
            };
            if !results.fresh.contains(&option) {
                results.fresh.push(option);
            }
            // What came out the same keeps its allocation, so that nothing is drawn again.
            let same = results
                .figures
                .get(&option)
                .is_some_and(|before| **before == figures);
            if !same {
                Arc::make_mut(&mut results.figures).insert(option, Arc::new(figures));
            }
        });
    }
}

/// What to say when a calculation broke off.
fn broke_off(household: &Household, view: View, request: &Request, reason: &str) -> String {
    let id = match request {
        Request::Figures(id) => *id,
        _ => view.option,
    };
    let name = household
        .option(id)
        .map_or("", |option| option.name.as_str());
    format!(
        "The calculation of \u{201c}{name}\u{201d} broke off ({reason}). The last good results are shown; change something to try again."
    )
}
