//! Undo and redo over whole households.

use std::sync::Arc;

use crate::check::{Problem, Wrong, problems};
use crate::household::Household;

/// A household with the states before and after it. A state is kept whole: a household is a few kB, and its long series
/// are shared between states.
#[derive(Clone, Debug)]
pub struct History {
    present: Arc<Household>,
    past: Vec<Step>,
    future: Vec<Step>,
    open_key: Option<String>,
}

/// A change: what it is called, and the household on the other side of it.
#[derive(Clone, Debug)]
struct Step {
    label: String,
    other_side: Arc<Household>,
}

impl History {
    /// Changes that can be undone; older ones are forgotten.
    pub const LONGEST: usize = 200;

    /// A history that begins with this household.
    #[must_use]
    pub fn new(household: Arc<Household>) -> Self {
        Self {
            present: household,
            past: Vec::new(),
            future: Vec::new(),
            open_key: None,
        }
    }

    /// The household as it is now.
    #[must_use]
    pub fn present(&self) -> &Arc<Household> {
        &self.present
    }

    /// Changes the household. `label` says what was done, for the undo button. Changes in a row with the same `merge_key`
    /// become one, so that the keystrokes in one field are one undo step; a key holds until another change, an undo,
    /// a redo or [`Self::close_merge`].
    ///
    /// Returns whether the change was made. It is not if nothing differs, or if a number is not finite: such a household
    /// has no saved form. What was undone can no longer be redone after a change.
    pub fn change(
        &mut self,
        label: &str,
        merge_key: Option<&str>,
        edit: impl FnOnce(&mut Household),
    ) -> bool {
        let mut next = Household::clone(&self.present);
        edit(&mut next);
        let endless = |problem: &Problem| problem.wrong == Wrong::NotANumber;
        if next == *self.present || problems(&next).iter().any(endless) {
            return false;
        }
        let before = std::mem::replace(&mut self.present, Arc::new(next));
        let merges = merge_key.is_some() && self.open_key.as_deref() == merge_key;
        if merges && !self.past.is_empty() {
            // Typed back to where the field began: nothing is left to undo.
            if self
                .past
                .last()
                .is_some_and(|step| step.other_side == self.present)
            {
                self.past.pop();
                self.open_key = None;
            }
        } else {
            self.past.push(Step {
                label: label.to_owned(),
                other_side: before,
            });
            if self.past.len() > Self::LONGEST {
                self.past.remove(0);
            }
            self.open_key = merge_key.map(str::to_owned);
        }
        self.future.clear();
        true
    }

    /// Ends the merging of changes, as when a field loses focus.
    pub fn close_merge(&mut self) {
        self.open_key = None;
    }

    /// Goes back before the last change. False if there is none.
    pub fn undo(&mut self) -> bool {
        self.open_key = None;
        let Some(step) = self.past.pop() else {
            return false;
        };
        let after = std::mem::replace(&mut self.present, step.other_side);
        self.future.push(Step {
            label: step.label,
            other_side: after,
        });
        true
    }

    /// Makes the change again that was undone last. False if there is none.
    pub fn redo(&mut self) -> bool {
        self.open_key = None;
        let Some(step) = self.future.pop() else {
            return false;
        };
        let before = std::mem::replace(&mut self.present, step.other_side);
        self.past.push(Step {
            label: step.label,
            other_side: before,
        });
        true
    }

    /// What [`Self::undo`] would take back.
    #[must_use]
    pub fn undo_label(&self) -> Option<&str> {
        self.past.last().map(|step| step.label.as_str())
    }

    /// What [`Self::redo`] would make again.
    #[must_use]
    pub fn redo_label(&self) -> Option<&str> {
        self.future.last().map(|step| step.label.as_str())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::demo;

    fn history() -> History {
        History::new(Arc::new(demo()))
    }

    fn rename(history: &mut History, key: Option<&str>, name: &str) -> bool {
        history.change("Rename", key, |household| {
            name.clone_into(&mut household.name)
        })
    }

    #[test]
    fn undo_and_redo_walk_the_same_states() {
        let mut history = history();
        let states: Vec<_> = ["a", "b", "c"]
            .map(|name| {
                rename(&mut history, None, name);
                Arc::clone(history.present())
            })
            .into();
        assert!(history.undo() && history.undo());
        assert_eq!(*history.present(), states[0]);
        assert!(history.redo());
        assert_eq!(*history.present(), states[1]);
        rename(&mut history, None, "d");
        assert!(!history.redo());
        assert_eq!(history.redo_label(), None);
    }

    #[test]
    fn keystrokes_in_one_field_are_one_step() {
        let mut history = history();
        let before = Arc::clone(history.present());
        for name in ["4", "42", "420"] {
            rename(&mut history, Some("name"), name);
        }
        history.close_merge();
        rename(&mut history, Some("name"), "421");
        assert!(history.undo());
        assert_eq!(history.present().name, "420");
        assert!(history.undo());
        assert_eq!(*history.present(), before);
        assert!(!history.undo());
    }

    #[test]
    fn a_change_that_changes_nothing_leaves_no_step() {
        let mut history = history();
        let name = history.present().name.clone();
        assert!(!rename(&mut history, None, &name));
        rename(&mut history, Some("name"), "x");
        rename(&mut history, Some("name"), &name);
        assert_eq!(history.undo_label(), None);
    }

    #[test]
    fn a_number_that_has_no_saved_form_is_not_taken_up() {
        let mut history = history();
        for value in [f64::NAN, f64::INFINITY] {
            assert!(
                !history.change("Tilt", None, |household| household.planes[0].tilt_deg =
                    value)
            );
        }
        assert!(
            history.change("Tilt", None, |household| household.planes[0].tilt_deg =
                400.0)
        );
    }

    #[test]
    fn the_oldest_steps_are_forgotten() {
        let mut history = history();
        for index in 0..History::LONGEST + 50 {
            rename(&mut history, None, &index.to_string());
        }
        let mut undone = 0;
        while history.undo() {
            undone += 1;
        }
        assert_eq!(undone, History::LONGEST);
        assert_eq!(history.present().name, "49");
    }
}
