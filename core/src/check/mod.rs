//! From what was typed to what can be run: every problem at once, or a [`Checked`] household.

mod coupling;
mod electrical;
mod household;
mod island;
mod money;
mod problem;
mod tariff;
mod walk;

pub use problem::{Problem, Wrong};
pub use walk::{
    LONGEST_NAME, MOST_ARRAYS, MOST_DEMAND_CHARGES, MOST_DEVICES, MOST_HOLIDAYS,
    MOST_HORIZON_POINTS, MOST_INCENTIVES, MOST_OPTIONS, MOST_OTHER_COSTS, MOST_PERIODS,
    MOST_PLANES, MOST_PV_INVERTERS, MOST_STORAGE, MOST_TIERS, MOST_WINDOWS,
};

use std::ops::Deref;

use crate::household::Household;

/// Something that was checked and cannot be changed since: every number is in its range, every id names something.
#[derive(Clone, Debug, PartialEq)]
pub struct Checked<T>(T);

impl<T> Checked<T> {
    /// The thing itself, free to be changed and no longer taken as checked.
    #[must_use]
    pub fn into_inner(self) -> T {
        self.0
    }
}

impl<T> Deref for Checked<T> {
    type Target = T;

    fn deref(&self) -> &T {
        &self.0
    }
}

/// Checks a household.
///
/// **Errors**: every problem there is, in the order of the fields of a saved file.
pub fn check(household: Household) -> Result<Checked<Household>, Vec<Problem>> {
    let problems = problems(&household);
    if problems.is_empty() {
        Ok(Checked(household))
    } else {
        Err(problems)
    }
}

/// What keeps a household from being run; empty: nothing.
#[must_use]
pub fn problems(household: &Household) -> Vec<Problem> {
    let mut walk = walk::Walk::default();
    walk.household(household);
    walk.problems()
}
