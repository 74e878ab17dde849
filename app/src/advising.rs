//! The adviser at work: every way that follows from an option, tried by workers of its own that tell each outcome as it comes and can
//! be stopped at any time.

use std::sync::Arc;

use couplet_core::adviser::Outcome;
use couplet_core::coupling::CouplingOption;
use couplet_core::household::{Household, OptionId};
use leptos::prelude::*;
use leptos::task::spawn_local;

use crate::desk::Desk;
use crate::keep::HouseholdId;
use crate::study::Study;
use crate::work::protocol::{Answer, Request, Tried, Ways, from_bytes, to_bytes};
use crate::work::worker::{CalcWorker, Reply};

/// More workers than this gain little: each lays out the household for itself.
const MOST_WORKERS: f64 = 4.0;

/// What the ways are tried of.
#[derive(Clone)]
pub(crate) struct Asked {
    /// The household as it was when it was asked.
    pub(crate) household: Arc<Household>,
    /// The option that the ways follow from.
    pub(crate) option: OptionId,
}

impl Asked {
    /// Whether the household computes as it did, but for options that were added.
    fn still_holds(&self, now: &Arc<Household>) -> bool {
        if Arc::ptr_eq(&self.household, now) {
            return true;
        }
        let known = |option: &CouplingOption| self.household.option(option.id).is_some();
        let mut now = Household::clone(now);
        now.options.retain(known);
        self.household.computes_as(&now)
    }
}

impl PartialEq for Asked {
    fn eq(&self, other: &Self) -> bool {
        self.option == other.option && Arc::ptr_eq(&self.household, &other.household)
    }
}

/// The ways that are tried, and what came of them so far.
#[derive(Clone, Copy)]
pub(crate) struct Advising {
    /// What was asked last; none: nothing yet.
    pub(crate) asked: RwSignal<Option<Asked>>,
    /// How many ways there are; 0: not known yet.
    pub(crate) ways: RwSignal<usize>,
    /// What came of those that were tried.
    pub(crate) outcomes: RwSignal<Vec<Outcome>>,
    /// Why it broke off.
    pub(crate) trouble: RwSignal<Option<String>>,
    /// Whether the household can be run at all.
    sound: Memo<bool>,
    /// Whether what was asked of has been changed since in anything that counts; options that were added do not.
    stale: Memo<bool>,
    /// Workers that have not ended yet.
    busy: RwSignal<usize>,
    workers: StoredValue<Vec<CalcWorker>, LocalStorage>,
    desk: Desk,
}

impl Advising {
    /// Nothing is tried before it is asked for.
    pub(crate) fn of(desk: Desk, study: Study) -> Self {
        let asked = RwSignal::new(None::<Asked>);
        let stale = Memo::new(move |_| {
            let now = desk.household.get();
            asked.with(|asked| asked.as_ref().is_some_and(|asked| !asked.still_holds(&now)))
        });
        let advising = Self {
            asked,
            ways: RwSignal::new(0),
            outcomes: RwSignal::new(Vec::new()),
            trouble: RwSignal::new(None),
            sound: Memo::new(move |_| study.problems.with(|problems| problems.is_empty())),
            stale,
            busy: RwSignal::new(0),
            workers: StoredValue::new_local(Vec::new()),
            desk,
        };
        // Another household has nothing to do with what was found for this one.
        Effect::new(move |before: Option<HouseholdId>| {
            let now = desk.id.get();
            if before.is_some_and(|before| before != now) {
                advising.stop();
                asked.set(None);
                advising.outcomes.set(Vec::new());
                advising.trouble.set(None);
            }
            now
        });
        advising
    }

    /// Whether ways are being tried.
    pub(crate) fn is_busy(self) -> bool {
        self.busy.get() > 0
    }

    /// Whether the household can be run.
    pub(crate) fn is_sound(self) -> bool {
        self.sound.get()
    }

    /// Whether the household has been changed since.
    pub(crate) fn is_stale(self) -> bool {
        self.stale.get()
    }

    /// Tries every way that follows from the open option.
    pub(crate) fn start(self) {
        let asked = Asked {
            household: self.desk.household.get_untracked(),
            option: self.desk.option_id.get_untracked(),
        };
        self.stop();
        self.ways.set(0);
        self.outcomes.set(Vec::new());
        self.trouble.set(None);
        self.asked.set(Some(asked.clone()));
        let workers = workers();
        self.busy.set(workers);
        let started = (0..workers).map(|worker| {
            let request = Request::Advise(Ways {
                household: Arc::clone(&asked.household),
                option: asked.option,
                worker,
                workers,
            });
            let calc = CalcWorker::start(|_| {});
            calc.ask(to_bytes(&request), move |reply| self.take(reply));
            calc
        });
        let started = started.collect();
        self.workers.set_value(started);
    }

    /// Stops; what came so far stays.
    pub(crate) fn stop(self) {
        self.workers.set_value(Vec::new());
        self.busy.set(0);
    }

    fn take(self, reply: Reply) {
        let answer = match reply {
            Reply::Progress { part, .. } => {
                let tried = part.as_deref().map(from_bytes::<Tried>);
                if let Some(Ok(tried)) = tried {
                    self.ways.try_set(tried.ways);
                    self.outcomes
                        .try_update(|outcomes| outcomes.extend(tried.outcomes));
                }
                return;
            }
            Reply::Answer(bytes) => from_bytes(&bytes),
            Reply::Failed(reason) => Err(format!("The calculation broke off ({reason}).")),
        };
        self.busy.try_update(|busy| *busy = busy.saturating_sub(1));
        // Each worker holds a household that is laid out. This is its own call: it can only be let go after it.
        spawn_local(async move {
            if self.busy.try_get_untracked() == Some(0) {
                self.workers.try_set_value(Vec::new());
            }
        });
        match answer {
            Ok(Answer::Refused(reason)) | Err(reason) => {
                self.trouble.try_set(Some(reason));
            }
            Ok(_) => {}
        }
    }
}

/// As many workers as there are cores to spare.
fn workers() -> usize {
    let cores = web_sys::window().map_or(2.0, |window| window.navigator().hardware_concurrency());
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a few cores"
    )]
    let workers = (cores - 1.0).clamp(1.0, MOST_WORKERS) as usize;
    workers
}
