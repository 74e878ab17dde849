//! The walk over the fields: where it is, and what it has found.

use std::fmt::Display;

use super::prices;
use super::{Problem, Wrong};
use crate::limits::{Limit, Unit};

/// Most options of a household.
pub const MOST_OPTIONS: usize = 32;
/// Most roof planes of a household.
pub const MOST_PLANES: usize = 32;
/// Most devices of a household.
pub const MOST_DEVICES: usize = 32;
/// Most price periods of a tariff.
pub const MOST_PERIODS: usize = 48;
/// Most windows of a price period, a demand charge or a running rule.
pub const MOST_WINDOWS: usize = 24;
/// Most tiers of a price period.
pub const MOST_TIERS: usize = 12;
/// Most demand charges of a tariff.
pub const MOST_DEMAND_CHARGES: usize = 12;
/// Most holidays of a tariff.
pub const MOST_HOLIDAYS: usize = 60;
/// Most points of a horizon.
pub const MOST_HORIZON_POINTS: usize = 720;
/// Most arrays of an option.
pub const MOST_ARRAYS: usize = 32;
/// Most PV inverters of an option, idle ones included.
pub const MOST_PV_INVERTERS: usize = 64;
/// Most storage units of an option.
pub const MOST_STORAGE: usize = 8;
/// Most incentives of a household.
pub const MOST_INCENTIVES: usize = 16;
/// Most other costs of an option.
pub const MOST_OTHER_COSTS: usize = 32;
/// Most characters of a name.
pub const LONGEST_NAME: usize = 200;

/// Walks a household and gathers problems. Each method for a type takes the value apart without `..`, so that a new field
/// does not compile before it is checked.
#[derive(Default)]
pub(super) struct Walk {
    path: String,
    problems: Vec<Problem>,
    defaults: Vec<&'static Limit>,
    /// Currency of the prices that are walked through, where they have a usual size; a series of hours has been as dear as any.
    pub(super) told_in: Option<&'static str>,
}

impl Walk {
    pub(super) fn problems(self) -> Vec<Problem> {
        self.problems
    }

    /// The rows of all numbers that stand at their default, one entry for each number.
    pub(super) fn defaults(self) -> Vec<&'static Limit> {
        self.defaults
    }

    /// Goes into a field.
    pub(super) fn field(&mut self, key: &str, inside: impl FnOnce(&mut Self)) {
        let outside = self.path.len();
        if outside > 0 {
            self.path.push('.');
        }
        self.path.push_str(key);
        inside(self);
        self.path.truncate(outside);
    }

    /// Goes into an element of the list at which the walk is.
    pub(super) fn element(&mut self, index: usize, inside: impl FnOnce(&mut Self)) {
        let outside = self.path.len();
        self.path.push_str(&format!("[{index}]"));
        inside(self);
        self.path.truncate(outside);
    }

    /// Goes into every element of the list in a field; the list must not be longer than `most`.
    pub(super) fn each<T>(
        &mut self,
        key: &str,
        label: &str,
        items: &[T],
        most: usize,
        mut inside: impl FnMut(&mut Self, &T),
    ) {
        self.field(key, |walk| {
            if items.len() > most {
                let (value, right) = (items.len(), format!("give at most {most}"));
                walk.report(label, value, Wrong::Length, right);
            }
            for (index, item) in items.iter().take(most).enumerate() {
                walk.element(index, |walk| inside(walk, item));
            }
        });
    }

    /// Ids of one list must differ.
    pub(super) fn different_ids<T>(
        &mut self,
        key: &str,
        what: &str,
        items: &[T],
        id: impl Fn(&T) -> u32,
    ) {
        for (index, item) in items.iter().enumerate() {
            let earlier = items.iter().take(index).any(|other| id(other) == id(item));
            if earlier {
                self.field(key, |walk| {
                    walk.element(index, |walk| {
                        walk.field("id", |walk| {
                            let right = format!("give each {what} an id of its own");
                            walk.report(
                                &format!("id of the {what}"),
                                id(item),
                                Wrong::Duplicate,
                                right,
                            );
                        });
                    });
                });
            }
        }
    }

    /// A number in the field that its row names.
    pub(super) fn number(&mut self, limit: &'static Limit, value: f64) {
        self.field(limit.key(), |walk| walk.number_here(limit, value));
    }

    /// A number that may be absent.
    pub(super) fn optional(&mut self, limit: &'static Limit, value: Option<f64>) {
        if let Some(value) = value {
            self.number(limit, value);
        }
    }

    /// Twelve numbers in the field that their row names.
    pub(super) fn months(&mut self, limit: &'static Limit, values: &[f64; 12]) {
        self.field(limit.key(), |walk| {
            for (index, value) in values.iter().enumerate() {
                walk.element(index, |walk| walk.number_here(limit, *value));
            }
        });
    }

    /// A series of this length in the field that its row names. Of its values only the first wrong one is told, with how
    /// many more there are.
    pub(super) fn series(&mut self, limit: &'static Limit, length: usize, values: &[f64]) {
        self.field(limit.key(), |walk| {
            if values.len() != length {
                let right = format!("give {length} values, one for each interval of 365 days");
                let value = format!("{} values", values.len());
                walk.report(limit.label, value, Wrong::Length, right);
            }
            let mut wrong = values
                .iter()
                .enumerate()
                .filter(|(_, value)| !limit.admits(**value));
            if let Some((index, value)) = wrong.next() {
                let others = wrong.count();
                walk.element(index, |walk| walk.number_here(limit, *value));
                if let (Some(problem), 1..) = (walk.problems.last_mut(), others) {
                    problem
                        .value
                        .push_str(&format!(" (and {others} more values)"));
                }
            }
        });
    }

    /// The number at which the walk is.
    pub(super) fn number_here(&mut self, limit: &'static Limit, value: f64) {
        if limit.admits(value) {
            self.not_in_hundredths(limit, value);
            if value.total_cmp(&limit.default).is_eq() {
                self.defaults.push(limit);
            }
            return;
        }
        let wrong = if value.is_finite() {
            Wrong::OutOfRange
        } else {
            Wrong::NotANumber
        };
        let right = format!("give {}", limit.range());
        self.report(limit.label, limit.unit.text(value), wrong, right);
        if let Some(problem) = self.problems.last_mut() {
            problem.limit = Some(limit);
        }
    }

    /// A price beyond all that is paid was typed in hundredths of the currency.
    fn not_in_hundredths(&mut self, limit: &'static Limit, cur: f64) {
        let (Some(currency), Some((dearest_cur, per))) =
            (self.told_in, prices::dearest(limit.unit))
        else {
            return;
        };
        if cur.abs() > dearest_cur {
            let unit = format!("{currency}/{per}");
            let meant = (cur * 1e4).round() / 1e6;
            self.report(
                limit.label,
                format!("{cur} {unit}"),
                Wrong::Inconsistent,
                format!("give it in {unit}, not in hundredths: is {meant} meant?"),
            );
        }
    }

    /// A text in a field; it may be empty, but not endless.
    pub(super) fn name(&mut self, key: &str, text: &str) {
        let length = text.chars().count();
        if length > LONGEST_NAME {
            self.field(key, |walk| {
                let right = format!("give at most {LONGEST_NAME} characters");
                walk.report(key, format!("{length} characters"), Wrong::Length, right);
            });
        }
    }

    /// Hours of a window: each in its range, and not the same, since that could mean none or all of the day.
    pub(super) fn window(&mut self, from: (&'static Limit, f64), to: (&'static Limit, f64)) {
        self.number(from.0, from.1);
        self.number(to.0, to.1);
        if from.1 == to.1 {
            self.inconsistent(
                to.0.key(),
                to.0.label,
                Unit::Hours.text(to.1),
                "give another hour than the one of the start; 0 h to 24 h is the whole day",
            );
        }
    }

    /// A number that must not be above another one.
    pub(super) fn at_most(&mut self, low: (&'static Limit, f64), high: (&'static Limit, f64)) {
        if low.1 > high.1 {
            self.inconsistent(
                low.0.key(),
                low.0.label,
                low.0.unit.text(low.1),
                format!(
                    "give at most the {}: {}",
                    high.0.label,
                    high.0.unit.text(high.1)
                ),
            );
        }
    }

    /// A field that does not go together with another.
    pub(super) fn inconsistent(
        &mut self,
        key: &str,
        label: &str,
        value: impl Display,
        right: impl Into<String>,
    ) {
        self.field(key, |walk| {
            walk.report(label, value, Wrong::Inconsistent, right)
        });
    }

    /// An id in a field that names nothing.
    pub(super) fn names_nothing(
        &mut self,
        key: &str,
        label: &str,
        id: u32,
        right: impl Into<String>,
    ) {
        self.field(key, |walk| {
            walk.report(label, id, Wrong::NamesNothing, right)
        });
    }

    /// Notes a problem at which the walk is.
    pub(super) fn report(
        &mut self,
        label: &str,
        value: impl Display,
        wrong: Wrong,
        right: impl Into<String>,
    ) {
        self.problems.push(Problem {
            path: self.path.clone(),
            label: label.to_owned(),
            value: value.to_string(),
            wrong,
            right: right.into(),
            limit: None,
        });
    }
}
