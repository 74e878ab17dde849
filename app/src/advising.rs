//! The adviser at work: every way that follows from an option, tried by workers of its own that tell each outcome as it comes and can
//! be stopped at any time.

use std::sync::Arc;

use couplet_core::adviser::Outcome;
use couplet_core::household::{Household, OptionId};
use leptos::prelude::*;

use crate::desk::{Desk, same_arc};
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
    /// Workers that have not ended yet.
    busy: RwSignal<usize>,
    workers: StoredValue<Vec<CalcWorker>, LocalStorage>,
    desk: Desk,
}

impl Advising {
    /// Nothing is tried before it is asked for.
    pub(crate) fn of(desk: Desk, study: Study) -> Self {
        Self {
            asked: RwSignal::new(None),
            ways: RwSignal::new(0),
            outcomes: RwSignal::new(Vec::new()),
            trouble: RwSignal::new(None),
            sound: Memo::new(move |_| study.problems.with(|problems| problems.is_empty())),
            busy: RwSignal::new(0),
            workers: StoredValue::new_local(Vec::new()),
            desk,
        }
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
        let household = self.desk.household.get();
        self.asked.with(|asked| {
            asked
                .as_ref()
                .is_some_and(|asked| !same_arc(Some(&asked.household), Some(&household)))
        })
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
