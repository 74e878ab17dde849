//! What was asked for, and the failures that there are, each with an exit code of its own.

use std::fmt;
use std::process::ExitCode;

use couplet_core::document::{demo, schema, write};

const HELP: &str = "\
couplet: how a home's PV is joined to its storage, and what follows

usage:
  couplet demo                 print the demonstration household as a file
  couplet schema               print the JSON Schema of such a file
  couplet --help | --version

exit codes:
  0 done   2 wrong usage   3 file cannot be read   4 household cannot be run   5 cannot write
";

/// What was asked for.
#[derive(Debug, PartialEq)]
pub(crate) enum Command {
    /// How to use it.
    Help,
    /// Its version.
    Version,
    /// The demonstration household.
    Demo,
    /// The schema of a saved file.
    Schema,
}

/// Why nothing was printed.
#[derive(Debug, PartialEq)]
pub(crate) enum Failure {
    /// The command line is not understood.
    Usage(String),
}

/// Understands the words after the program's name.
pub(crate) fn parse(words: impl Iterator<Item = String>) -> Result<Command, Failure> {
    let words: Vec<String> = words.collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    match words.as_slice() {
        ["--help" | "-h" | "help", ..] => Ok(Command::Help),
        ["--version" | "-V"] => Ok(Command::Version),
        ["demo"] => Ok(Command::Demo),
        ["schema"] => Ok(Command::Schema),
        [] => Err(Failure::Usage("say what to do".to_owned())),
        [word, ..] => Err(Failure::Usage(format!("`{word}` is not understood here"))),
    }
}

impl Command {
    /// Does what was asked; what is to be printed.
    pub(crate) fn output(self) -> Result<String, Failure> {
        match self {
            Self::Help => Ok(HELP.to_owned()),
            Self::Version => Ok(format!("couplet {}\n", env!("CARGO_PKG_VERSION"))),
            Self::Demo => Ok(write(&demo())),
            Self::Schema => Ok(format!("{:#}\n", schema())),
        }
    }
}

impl Failure {
    pub(crate) fn code(&self) -> ExitCode {
        match self {
            Self::Usage(_) => ExitCode::from(2),
        }
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Usage(what) => write!(f, "{what}; `couplet --help` tells how it is used"),
        }
    }
}
