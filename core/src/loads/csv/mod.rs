//! Metered intervals from a CSV file: what its columns are, and the year that they hold.

mod file_time;
mod layout;
mod rows;
mod stamp;
mod year;

pub(crate) use file_time::WallClock;
pub use file_time::{FileTime, SiteTime};
pub use layout::{
    CsvFlow, CsvLayout, CsvPreview, CsvUnit, DateOrder, PreviewRow, StampEdge, preview,
};
pub use stamp::offset_words;
pub(crate) use stamp::words;
pub use year::{Beginning, MeteredYear, read_intervals};
pub(crate) use year::{MOST_FILLED, beginnings, filled, slot_of};

use std::fmt;

/// Something in a CSV file that keeps it from being used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CsvProblem {
    /// Line of the file, from 1; none: the file as a whole.
    pub line: Option<usize>,
    /// What is wrong.
    pub wrong: CsvWrong,
}

/// Kinds of problem in a CSV file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum CsvWrong {
    /// No row has a date and a number.
    NoTable,
    /// The date and time cannot be read.
    Stamp(String),
    /// The value is not a number.
    Number(String),
    /// The value is negative or beyond any household: exported energy has no place in the use.
    OutOfRange(String),
    /// The interval was there before with another value.
    Duplicate(String),
    /// Intervals are missing after this line.
    Missing {
        /// First missing interval.
        from: String,
        /// How many intervals in a row.
        intervals: usize,
    },
    /// The rows lie at no usable distance.
    Interval {
        /// Most common distance of rows, s.
        seconds: i64,
    },
    /// There are more problems than are listed.
    More(usize),
}

impl fmt::Display for CsvProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(line) = self.line {
            write!(f, "line {line}: ")?;
        }
        match &self.wrong {
            CsvWrong::NoTable => write!(
                f,
                "no row has a date and a number; give a column with date and time and one with power or energy"
            ),
            CsvWrong::Stamp(found) => write!(
                f,
                "{found:?} is no date and time; give such as 2025-01-31 13:45 or 31.01.2025 13:45"
            ),
            CsvWrong::Number(found) => write!(f, "{found:?} is not a number"),
            CsvWrong::OutOfRange(found) => write!(
                f,
                "{found} is out of range; give the power used, from 0 W to 1000000 W, without what was exported"
            ),
            CsvWrong::Duplicate(at) => {
                write!(
                    f,
                    "the interval from {at} is there twice with unlike values; remove one of them, or choose the clock by which the file was written"
                )
            }
            CsvWrong::Missing { from, intervals: 1 } => write!(
                f,
                "the interval from {from} is missing; give a whole year of 365 days"
            ),
            CsvWrong::Missing { from, intervals } => write!(
                f,
                "{intervals} intervals are missing from {from} on; give a whole year of 365 days"
            ),
            CsvWrong::Interval { seconds } => write!(
                f,
                "rows lie {seconds} s apart; give intervals of 15, 30 or 60 min, or whole fractions of 15 min from 1 min on"
            ),
            CsvWrong::More(count) => write!(f, "and {count} more problems"),
        }
    }
}

impl std::error::Error for CsvProblem {}
