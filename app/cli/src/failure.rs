//! Failures, each kind with an exit code of its own.

use std::fmt;
use std::process::ExitCode;

use couplet_core::check::Problem;

/// Why nothing was printed.
#[derive(Debug, PartialEq)]
pub(crate) enum Failure {
    /// The command line is not understood.
    Usage(String),
    /// A file cannot be read, or is no saved household.
    File {
        /// Name of the file.
        file: String,
        /// What is wrong with it.
        wrong: String,
    },
    /// The household cannot be run.
    Household {
        /// Name of its file.
        file: String,
        /// What keeps it from being run.
        problems: Vec<Problem>,
    },
    /// A file cannot be written.
    Output {
        /// Name of the file.
        file: String,
        /// What is wrong with it.
        wrong: String,
    },
    /// A part of this program is damaged.
    Damaged(String),
}

impl Failure {
    /// The exit code of the program.
    pub(crate) fn code(&self) -> ExitCode {
        ExitCode::from(match self {
            Self::Damaged(_) => 1,
            Self::Usage(_) => 2,
            Self::File { .. } => 3,
            Self::Household { .. } => 4,
            Self::Output { .. } => 5,
        })
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Usage(wrong) => write!(f, "{wrong}; `couplet --help` tells how it is used"),
            Self::File { file, wrong } => write!(f, "{file}: {wrong}"),
            Self::Household { file, problems } => {
                write!(f, "{file}: the household cannot be run")?;
                for problem in problems {
                    write!(f, "\n  {problem}")?;
                }
                Ok(())
            }
            Self::Output { file, wrong } => write!(f, "{file}: cannot be written: {wrong}"),
            Self::Damaged(wrong) => write!(f, "this program is damaged: {wrong}"),
        }
    }
}
