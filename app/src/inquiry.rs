//! Long questions about the open option: a drill, outages from every hour, a year off the grid, an export study, the best possible. They go to a worker
//! of their own, so that the figures of a change never wait behind them, and only while their region is open. Until an answer fits
//! the household on the desk, the last good one stays and is marked stale.

use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::Arc;

use couplet_core::household::{Household, OptionId};
use leptos::prelude::*;

use crate::desk::{Desk, same_arc};
use crate::study::Study;
use crate::work::protocol::{Answer, Found, Question, Request, Topic, from_bytes, to_bytes};
use crate::work::worker::{CalcWorker, Reply};

/// An answer with what it was asked of.
#[derive(Clone)]
pub(crate) struct Known {
    household: Arc<Household>,
    /// The question that it answers.
    pub(crate) question: Question,
    /// What was found.
    pub(crate) found: Arc<Found>,
}

impl Known {
    /// Whether it was asked of a household that computes as this one does.
    fn still_holds(&self, household: &Arc<Household>) -> bool {
        Arc::ptr_eq(&self.household, household) || self.household.computes_as(household)
    }

    /// What was found, if it was asked of this option.
    pub(crate) fn of(&self, option: OptionId) -> Option<&Arc<Found>> {
        (self.question.option() == option).then_some(&self.found)
    }
}

impl PartialEq for Known {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.found, &other.found) && Arc::ptr_eq(&self.household, &other.household)
    }
}

/// The questions that are open, and what is known.
#[derive(Clone, Copy)]
pub(crate) struct Inquiry {
    wanted: RwSignal<BTreeMap<Topic, Question>>,
    known: RwSignal<BTreeMap<Topic, Known>>,
    trouble: RwSignal<BTreeMap<Topic, String>>,
    /// The question that is under way, and the share of it that is done.
    under_way: RwSignal<Option<(Topic, f64)>>,
    household: Memo<Arc<Household>>,
    /// Whether the household can be computed at all: nothing is asked of one that cannot.
    pub(crate) sound: Memo<bool>,
}

impl Inquiry {
    /// Follows the desk from now on. No worker is started before the first question.
    pub(crate) fn of(desk: Desk, study: Study) -> Self {
        let inquiry = Self {
            wanted: RwSignal::new(BTreeMap::new()),
            known: RwSignal::new(BTreeMap::new()),
            trouble: RwSignal::new(BTreeMap::new()),
            under_way: RwSignal::new(None),
            household: desk.household,
            sound: Memo::new(move |_| study.problems.with(|problems| problems.is_empty())),
        };
        let asker = Asker::new(inquiry);
        Effect::new(move |_| {
            let wanted = inquiry.wanted.get();
            let sound = inquiry.sound.get();
            let household = desk.household.get();
            if sound {
                asker.want(household, wanted);
            }
        });
        inquiry
    }

    /// Opens a question of a topic, or closes it.
    pub(crate) fn ask(self, topic: Topic, question: Option<Question>) {
        self.wanted.maybe_update(|wanted| match question {
            Some(question) => wanted.insert(topic, question.clone()) != Some(question),
            None => wanted.remove(&topic).is_some(),
        });
    }

    /// The question of a topic that is open now.
    pub(crate) fn asked(self, topic: Topic) -> Option<Question> {
        self.wanted
            .with_untracked(|wanted| wanted.get(&topic).cloned())
    }

    /// What is known of a topic for an option of the household as it is now, whether or not it is still asked for.
    pub(crate) fn answer(self, topic: Topic, option: OptionId) -> Option<Arc<Found>> {
        self.known.with(|known| {
            let known = known.get(&topic)?;
            let holds = self
                .household
                .with(|household| known.still_holds(household));
            known.of(option).filter(|_| holds).cloned()
        })
    }

    /// What is known of a topic, if anything is; it may be stale.
    pub(crate) fn known(self, topic: Topic) -> Memo<Option<Known>> {
        Memo::new(move |_| self.known.with(|known| known.get(&topic).cloned()))
    }

    /// Whether an answer is under way: what is shown belongs to older inputs, or there is nothing yet.
    pub(crate) fn stale(self, topic: Topic) -> Memo<bool> {
        Memo::new(move |_| {
            let question = self.wanted.with(|wanted| wanted.get(&topic).cloned());
            self.known
                .with(|known| match (known.get(&topic), question) {
                    (Some(known), Some(question)) => {
                        known.question != question
                            || self
                                .household
                                .with(|household| !known.still_holds(household))
                    }
                    _ => true,
                })
        })
    }

    /// Share done of the answer that is under way, 0 to 1; none: no answer is, or it does not tell.
    pub(crate) fn share_done(self, topic: Topic) -> Memo<Option<f64>> {
        Memo::new(move |_| {
            let under_way = self.under_way.get();
            under_way.and_then(|(under_way, share)| (under_way == topic).then_some(share))
        })
    }

    /// Why a question could not be answered.
    pub(crate) fn trouble(self, topic: Topic) -> Memo<Option<String>> {
        Memo::new(move |_| self.trouble.with(|trouble| trouble.get(&topic).cloned()))
    }
}

#[derive(Clone)]
struct Asker(Rc<Asking>);

/// The open questions, and the household that they are about.
type Wanted = (Arc<Household>, BTreeMap<Topic, Question>);

struct Asking {
    inquiry: Inquiry,
    worker: RefCell<Option<CalcWorker>>,
    wanted: RefCell<Option<Wanted>>,
    /// The household that the worker holds.
    held: RefCell<Option<Arc<Household>>>,
    under_way: Cell<bool>,
    /// What could not be answered is not asked again before something changes.
    given_up: RefCell<Vec<Topic>>,
}

impl Asker {
    fn new(inquiry: Inquiry) -> Self {
        Self(Rc::new(Asking {
            inquiry,
            worker: RefCell::new(None),
            wanted: RefCell::new(None),
            held: RefCell::new(None),
            under_way: Cell::new(false),
            given_up: RefCell::new(Vec::new()),
        }))
    }

    fn want(&self, household: Arc<Household>, wanted: BTreeMap<Topic, Question>) {
        *self.0.wanted.borrow_mut() = Some((household, wanted));
        self.0.given_up.borrow_mut().clear();
        self.ask_next();
    }

    /// The first question whose answer is not known yet.
    fn next(&self) -> Option<(Arc<Household>, Topic, Question)> {
        let wanted = self.0.wanted.borrow();
        let (household, questions) = wanted.as_ref()?;
        let given_up = self.0.given_up.borrow();
        self.0.inquiry.known.try_with_untracked(|known| {
            questions
                .iter()
                .filter(|(topic, _)| !given_up.contains(topic))
                .find(|(topic, question)| {
                    known.get(topic).is_none_or(|known| {
                        known.question != **question || !known.still_holds(household)
                    })
                })
                .map(|(topic, question)| (Arc::clone(household), *topic, question.clone()))
        })?
    }

    fn ask_next(&self) {
        if self.0.under_way.get() {
            return;
        }
        let Some((household, topic, question)) = self.next() else {
            return;
        };
        let held = same_arc(self.0.held.borrow().as_ref(), Some(&household));
        let request = Request::Ask {
            household: (!held).then(|| Arc::clone(&household)),
            question: question.clone(),
        };
        *self.0.held.borrow_mut() = Some(Arc::clone(&household));
        self.0.under_way.set(true);
        let worker = self
            .0
            .worker
            .borrow_mut()
            // The worker of the figures tells what hinders every worker.
            .get_or_insert_with(|| CalcWorker::start(|_| {}))
            .clone();
        let asker = self.clone();
        worker.ask(to_bytes(&request), move |reply| {
            asker.on_reply(&household, topic, &question, reply);
        });
    }

    fn on_reply(
        &self,
        household: &Arc<Household>,
        topic: Topic,
        question: &Question,
        reply: Reply,
    ) {
        let answer = match reply {
            Reply::Progress { share, .. } => {
                let under_way = self.0.inquiry.under_way;
                under_way.try_set(Some((topic, share)));
                return;
            }
            Reply::Answer(bytes) => from_bytes(&bytes),
            Reply::Failed(reason) => {
                *self.0.held.borrow_mut() = None;
                Err(format!(
                    "This calculation broke off ({reason}). Change something to try again."
                ))
            }
        };
        self.0.under_way.set(false);
        self.0.inquiry.under_way.try_set(None);
        let inquiry = self.0.inquiry;
        match answer {
            Ok(Answer::SendHousehold) => *self.0.held.borrow_mut() = None,
            Ok(Answer::Found(found)) => {
                inquiry.trouble.try_update(|trouble| trouble.remove(&topic));
                // An answer to an older question is shown as stale until the newer one comes.
                inquiry.known.try_update(|known| {
                    known.insert(
                        topic,
                        Known {
                            household: Arc::clone(household),
                            question: question.clone(),
                            found: Arc::new(*found),
                        },
                    )
                });
            }
            Ok(Answer::Refused(reason)) | Err(reason) => {
                self.0.given_up.borrow_mut().push(topic);
                inquiry
                    .trouble
                    .try_update(|trouble| trouble.insert(topic, reason));
            }
            Ok(_) => self.0.given_up.borrow_mut().push(topic),
        }
        self.ask_next();
    }
}
