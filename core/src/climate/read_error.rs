//! What is wrong with a file, and where.

use core::fmt;

/// Why a file could not be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadError {
    /// Line, from 1; 0 if the file as a whole is meant.
    pub line: usize,
    /// Column (field), from 1; 0 if the line as a whole is meant.
    pub column: usize,
    /// What stands there, shortened.
    pub found: String,
    /// What should stand there.
    pub expected: String,
}

impl ReadError {
    pub(crate) fn new(line: usize, column: usize, found: &str, expected: &str) -> Self {
        Self {
            line,
            column,
            found: found.trim().chars().take(60).collect(),
            expected: expected.to_owned(),
        }
    }
}

impl fmt::Display for ReadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.line, self.column) {
            (0, _) => {}
            (line, 0) => write!(f, "line {line}: ")?,
            (line, column) => write!(f, "line {line}, column {column}: ")?,
        }
        write!(f, "found \"{}\", expected {}", self.found, self.expected)
    }
}

impl core::error::Error for ReadError {}
