//! From what was typed to what can be run: every problem at once, or a [`Checked`] household.

mod coupling;
mod electrical;
mod household;
mod island;
mod money;
mod prices;
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
use crate::limits::Limit;

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

/// Numbers of a household that stand at their default: the row of each kind with how many numbers there are of it, in the order of the
/// fields of a saved file.
///
/// A number that was typed and happens to be the default counts as well: a file does not tell them apart.
#[must_use]
pub fn defaults_in_force(household: &Household) -> Vec<(&'static Limit, usize)> {
    let mut walk = walk::Walk::default();
    walk.household(household);
    let mut kinds: Vec<(&'static Limit, usize)> = Vec::new();
    for limit in walk.defaults() {
        match kinds
            .iter_mut()
            .find(|(known, _)| known.field == limit.field)
        {
            Some((_, count)) => *count += 1,
            None => kinds.push((limit, 1)),
        }
    }
    kinds
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::demo;
    use crate::limits;

    #[test]
    fn a_number_that_is_changed_is_no_default_any_more() {
        let mut household = demo();
        let count = |household: &Household| {
            defaults_in_force(household)
                .into_iter()
                .find(|(limit, _)| limit.field == limits::SITE_GROUND_ALBEDO.field)
                .map_or(0, |(_, count)| count)
        };
        household.site.ground_albedo = limits::SITE_GROUND_ALBEDO.default;
        assert_eq!(count(&household), 1);
        household.site.ground_albedo += 0.05;
        assert_eq!(count(&household), 0);
    }
}
