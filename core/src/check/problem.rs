//! What is wrong with an input, as data.

use std::fmt;

use crate::limits::Limit;

/// One thing that keeps a household from being run.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// Path of the field in the household, such as `options[1].arrays[0].peak_w`.
    pub path: String,
    /// What the field is called.
    pub label: String,
    /// The value as it stands, with its unit.
    pub value: String,
    /// What is wrong with it.
    pub wrong: Wrong,
    /// What would be right, as an instruction.
    pub right: String,
    /// The row of the number that is out of its range; none for problems of other kinds.
    pub limit: Option<&'static Limit>,
}

/// Kinds of problem.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wrong {
    /// Not a number, or infinite.
    NotANumber,
    /// A number outside its range.
    OutOfRange,
    /// An id that another part of the same kind has too.
    Duplicate,
    /// An id that names nothing that is there.
    NamesNothing,
    /// A list or a text of the wrong length.
    Length,
    /// It does not go together with another field.
    Inconsistent,
}

impl Wrong {
    fn words(self) -> &'static str {
        match self {
            Self::NotANumber => "is not a number",
            Self::OutOfRange => "is out of range",
            Self::Duplicate => "is there twice",
            Self::NamesNothing => "names nothing that is there",
            Self::Length => "has the wrong length",
            Self::Inconsistent => "does not fit",
        }
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self {
            path,
            label,
            value,
            right,
            ..
        } = self;
        write!(
            f,
            "{path}: {label}: {value} {}; {right}",
            self.wrong.words()
        )
    }
}

impl std::error::Error for Problem {}
