//! What lies on the desk: the household that is open, how it was changed, and what the reader points at.
//!
//! [`Desk`] holds the one signal of the document. The only writers are [`Desk::change`], [`Desk::undo`], [`Desk::redo`] and the
//! functions that put another household on the desk.

use std::sync::Arc;

use couplet_core::coupling::CouplingOption;
use couplet_core::document::{self, History};
use couplet_core::drawing::{self, MoveMark, Moving, Part, Target};
use couplet_core::findings::Details;
use couplet_core::household::{Household, OptionId};
use couplet_core::rules::{Code, Term};
use leptos::prelude::*;

use crate::keep::{HouseholdId, Keep};
use crate::words::Word;

/// The one time that runs through drawing, day and strip.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Cursor {
    /// Day of the year, 0 is 1 January, to 364.
    pub(crate) day: u32,
    /// Minute of the day in local standard time, 0 to 1439.
    pub(crate) minute: u32,
}

/// A household with the states before and after it, and the name under which it is kept.
#[derive(Clone, Debug)]
struct Document {
    id: HouseholdId,
    history: History,
}

/// A household that was deleted and can still be brought back.
#[derive(Clone, Debug)]
pub(crate) struct Deleted {
    id: HouseholdId,
    household: Arc<Household>,
}

impl Deleted {
    /// Its name.
    pub(crate) fn name(&self) -> &str {
        &self.household.name
    }
}

/// The household that is open, and what the reader points at.
#[derive(Clone, Copy)]
pub(crate) struct Desk {
    document: RwSignal<Document>,
    /// The household as it is now.
    pub(crate) household: Memo<Arc<Household>>,
    /// The code that it is judged by.
    pub(crate) code: Memo<Code>,
    /// The name under which it is kept.
    pub(crate) id: Memo<HouseholdId>,
    /// What undo would take back.
    pub(crate) undo_label: Memo<Option<String>>,
    /// What redo would make again.
    pub(crate) redo_label: Memo<Option<String>>,
    /// The option whose tab was opened last; it may have been deleted since: see [`Self::option`].
    open: RwSignal<OptionId>,
    /// The option that is shown: the one that was opened, or the first if that is gone.
    pub(crate) option: Memo<Option<Arc<CouplingOption>>>,
    /// Its id.
    pub(crate) option_id: Memo<OptionId>,
    /// The time that is shown.
    pub(crate) cursor: RwSignal<Cursor>,
    /// The part that the reader points at.
    pub(crate) selection: RwSignal<Option<Part>>,
    /// Which part was moved last, until the move is kept or undone.
    pub(crate) moved: RwSignal<Option<MoveMark>>,
    /// The household that was deleted last.
    pub(crate) deleted: RwSignal<Option<Deleted>>,
    /// What the reader must be told about what they just did.
    pub(crate) said: RwSignal<Option<String>>,
    /// Where households are kept.
    pub(crate) keep: Keep,
}

impl Desk {
    /// Opens the household that was open last, or the demonstration on a first visit.
    pub(crate) fn open(keep: Keep) -> Self {
        let (id, household) = keep
            .open_last()
            .unwrap_or_else(|| (keep.free_id(), Arc::new(document::demo())));
        let document = RwSignal::new(Document {
            id,
            history: History::new(household),
        });
        let household = Memo::new_with_compare(
            move |_| document.with(|document| Arc::clone(document.history.present())),
            |before, now| !same_arc(before, now),
        );
        let open = RwSignal::new(last_option(&household.get_untracked()));
        let option = Memo::new(move |_| {
            household.with(|household| {
                household
                    .option(open.get())
                    .or(household.options.first())
                    .cloned()
                    .map(Arc::new)
            })
        });
        Self {
            document,
            household,
            code: Memo::new(move |_| household.with(|household| Details::code_of(household))),
            id: Memo::new(move |_| document.with(|document| document.id)),
            undo_label: Memo::new(move |_| {
                document.with(|document| document.history.undo_label().map(str::to_owned))
            }),
            redo_label: Memo::new(move |_| {
                document.with(|document| document.history.redo_label().map(str::to_owned))
            }),
            open,
            option,
            option_id: Memo::new(move |_| {
                option.with(|option| option.as_ref().map_or(open.get(), |option| option.id))
            }),
            // A clear day near the longest one, at noon.
            cursor: RwSignal::new(Cursor {
                day: 171,
                minute: 12 * 60,
            }),
            selection: RwSignal::new(None),
            moved: RwSignal::new(None),
            deleted: RwSignal::new(None),
            said: RwSignal::new(None),
            keep,
        }
    }

    /// Changes the household. `label` says what is done, for the undo button; changes in a row with the same `merge_key` are
    /// undone together.
    pub(crate) fn change(
        self,
        label: &str,
        merge_key: Option<&str>,
        edit: impl FnOnce(&mut Household),
    ) {
        if self.moved.with_untracked(Option::is_some) {
            self.moved.set(None);
        }
        // A change that changes nothing wakes nobody.
        self.document
            .maybe_update(|document| document.history.change(label, merge_key, edit));
    }

    /// Changes the open option.
    pub(crate) fn change_option(
        self,
        label: &str,
        merge_key: Option<&str>,
        edit: impl FnOnce(&mut CouplingOption),
    ) {
        let id = self.option_id.get_untracked();
        self.change(label, merge_key, |household| {
            if let Some(option) = household.options.iter_mut().find(|option| option.id == id) {
                edit(option);
            }
        });
    }

    /// Moves a join in the open option and leaves a ghost where it stood. What stands there already, or cannot be set there, stays.
    pub(crate) fn move_join(self, moving: Moving, to: Target) {
        let Some(option) = self.option.get_untracked() else {
            return;
        };
        let Some(from) = drawing::place(&option, moving) else {
            return;
        };
        if from == to {
            return;
        }
        let name = match moving {
            Moving::Array(id) => option.array(id).map(|array| array.name.clone()),
            Moving::Storage(id) => option.storage_unit(id).map(|unit| unit.name.clone()),
        };
        let mut done = false;
        self.change_option(
            &format!("move {}", name.unwrap_or_default()),
            None,
            |option| {
                done = match (moving, to) {
                    (Moving::Array(id), Target::Join(join)) => option.move_array(id, join).is_ok(),
                    (Moving::Storage(id), Target::Side(side)) => option.move_unit(id, side),
                    _ => false,
                };
            },
        );
        if done {
            self.moved.set(Some(MoveMark { part: moving, from }));
        }
    }

    /// Ends the merging of changes, as when a field loses focus.
    pub(crate) fn close_merge(self) {
        self.document.maybe_update(|document| {
            document.history.close_merge();
            false
        });
    }

    /// Goes back before the last change.
    pub(crate) fn undo(self) {
        self.walk(History::undo);
    }

    /// Makes the change again that was undone last.
    pub(crate) fn redo(self) {
        self.walk(History::redo);
    }

    fn walk(self, step: impl FnOnce(&mut History) -> bool) {
        self.moved.set(None);
        self.document.update(|document| {
            step(&mut document.history);
        });
    }

    /// Opens the tab of an option.
    pub(crate) fn show_option(self, id: OptionId) {
        self.moved.set(None);
        self.open.set(id);
    }

    /// Adds a copy of the open option at the end and opens it.
    pub(crate) fn copy_option(self) {
        let Some(option) = self.option.get_untracked() else {
            return;
        };
        let household = self.household.get_untracked();
        let id = OptionId::next(household.options.iter().map(|option| option.id));
        let name = free_name(
            &option.name,
            household.options.iter().map(|option| option.name.as_str()),
        );
        self.change(&format!("add {name}"), None, |household| {
            household.options.push(CouplingOption {
                id,
                name,
                ..CouplingOption::clone(&option)
            });
        });
        self.show_option(id);
    }

    /// Adds an option at the end and opens it; `make` is given its id and its name.
    pub(crate) fn add_option(
        self,
        name: &str,
        make: impl FnOnce(OptionId, String) -> Option<CouplingOption>,
    ) {
        let household = self.household.get_untracked();
        let id = OptionId::next(household.options.iter().map(|option| option.id));
        let names = household.options.iter().map(|option| option.name.as_str());
        let name = match names.clone().any(|taken| taken == name) {
            true => free_name(name, names),
            false => name.to_owned(),
        };
        let Some(option) = make(id, name.clone()) else {
            return;
        };
        self.change(&format!("add {name}"), None, |household| {
            household.options.push(option);
        });
        self.show_option(id);
    }

    /// Deletes the open option, unless it is the first: "As it stands" is always there.
    pub(crate) fn delete_option(self) {
        let id = self.option_id.get_untracked();
        let household = self.household.get_untracked();
        let Some(index) = household.options.iter().position(|option| option.id == id) else {
            return;
        };
        let Some(name) = household
            .options
            .get(index)
            .map(|option| option.name.clone())
        else {
            return;
        };
        if index == 0 {
            return;
        }
        self.change(&format!("delete {name}"), None, |household| {
            household.options.retain(|option| option.id != id);
        });
        if let Some(before) = household.options.get(index - 1) {
            self.show_option(before.id);
        }
    }

    /// Sets the open option one place to the left or right among the tabs; the first stays the first.
    pub(crate) fn shift_option(self, right: bool) {
        let id = self.option_id.get_untracked();
        self.change("reorder options", None, |household| {
            let Some(index) = household.options.iter().position(|option| option.id == id) else {
                return;
            };
            let other = if right {
                index + 1
            } else {
                index.saturating_sub(1)
            };
            if index > 0 && other > 0 && other < household.options.len() {
                household.options.swap(index, other);
            }
        });
    }

    /// Points at a part and opens its schedule.
    pub(crate) fn select(self, part: Part) {
        self.selection.set(Some(part));
        crate::regions::schedules::show_part(part, self.option_id.get_untracked());
    }

    /// Puts a new household on the desk; it is kept under a name of its own from now on.
    pub(crate) fn begin(self, household: Household) {
        self.put(self.keep.free_id(), Arc::new(household));
    }

    /// Opens a kept household. A damaged one is set aside by `keep`, which says so; the desk stays as it is.
    pub(crate) fn open_kept(self, id: HouseholdId) {
        if let Some(household) = self.keep.load(id) {
            self.put(id, household);
        }
    }

    /// Puts a copy of the open household on the desk.
    pub(crate) fn copy_household(self) {
        let household = self.household.get_untracked();
        let names: Vec<String> = self
            .keep
            .list
            .with_untracked(|list| list.iter().map(|entry| entry.name.clone()).collect());
        self.begin(Household {
            name: free_name(&household.name, names.iter().map(String::as_str)),
            ..Household::clone(&household)
        });
    }

    /// Takes the open household away; it can be brought back with [`Self::bring_back`]. Another one, or the demonstration, is opened.
    pub(crate) fn delete_household(self) {
        let id = self.id.get_untracked();
        let household = self.household.get_untracked();
        self.keep.forget(id);
        self.deleted.set(Some(Deleted { id, household }));
        let (id, household) = self
            .keep
            .open_last()
            .unwrap_or_else(|| (self.keep.free_id(), Arc::new(document::demo())));
        self.put(id, household);
    }

    /// Brings back the household that was deleted last.
    pub(crate) fn bring_back(self) {
        if let Some(deleted) = self.deleted.get_untracked() {
            self.put(deleted.id, deleted.household);
        }
    }

    /// Takes over what another tab saved for the open household, as a change that can be undone.
    pub(crate) fn take_other_tabs_version(self) {
        let id = self.id.get_untracked();
        if let Some(theirs) = self.keep.load(id) {
            self.change(
                "take over the other tab\u{2019}s version",
                None,
                |household| {
                    theirs.as_ref().clone_into(household);
                },
            );
            // Where both tabs had come to the same there was no change to save.
            self.keep.save(id, &theirs);
        }
    }

    /// The words for something at the reader's level.
    pub(crate) fn word(self, word: Word) -> &'static str {
        word.at(self.keep.settings.with(|settings| settings.level))
    }

    /// What the trade calls something under the household's code.
    pub(crate) fn term(self, term: Term) -> &'static str {
        term.under(self.code.get())
    }

    /// Tells the reader something about what they just did.
    pub(crate) fn say(self, text: String) {
        self.said.set(Some(text));
    }

    fn put(self, id: HouseholdId, household: Arc<Household>) {
        let option = last_option(&household);
        self.selection.set(None);
        self.moved.set(None);
        if self
            .deleted
            .with_untracked(|deleted| deleted.as_ref().is_some_and(|deleted| deleted.id == id))
        {
            self.deleted.set(None);
        }
        self.document.set(Document {
            id,
            history: History::new(household),
        });
        self.open.set(option);
    }
}

/// Whether both are the same allocation: what did not change is shared between states.
pub(crate) fn same_arc<T>(before: Option<&Arc<T>>, now: Option<&Arc<T>>) -> bool {
    match (before, now) {
        (Some(before), Some(now)) => Arc::ptr_eq(before, now),
        _ => false,
    }
}

/// The tab that is opened first: where joins are mixed there is most to see; else the last.
fn last_option(household: &Household) -> OptionId {
    let mixed = household.options.iter().find(|option| {
        option.arrays.iter().any(|array| array.dc_unit.is_some())
            && option.arrays.iter().any(|array| array.dc_unit.is_none())
    });
    mixed
        .or(household.options.last())
        .map_or(OptionId(1), |option| option.id)
}

/// `name` with the lowest number behind it that is not taken.
fn free_name<'a>(name: &str, taken: impl Iterator<Item = &'a str> + Clone) -> String {
    let stem = name
        .trim_end_matches(|c: char| c.is_ascii_digit())
        .trim_end();
    let stem = if stem.is_empty() { name } else { stem };
    (2..)
        .map(|number| format!("{stem} {number}"))
        .find(|candidate| taken.clone().all(|name| name != candidate))
        .unwrap_or_else(|| stem.to_owned())
}

#[cfg(test)]
mod tests {
    use super::free_name;

    #[test]
    fn a_copy_gets_the_lowest_free_number() {
        let taken = ["Mixed joins", "Mixed joins 2", "All on AC"];
        assert_eq!(free_name("Mixed joins", taken.into_iter()), "Mixed joins 3");
        assert_eq!(
            free_name("Mixed joins 2", taken.into_iter()),
            "Mixed joins 3"
        );
        assert_eq!(free_name("All on AC", taken.into_iter()), "All on AC 2");
    }
}
