//! Tables of outside values: CSV read by column name, plain or gzipped, any number of rows.

use std::collections::HashMap;
use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};

use flate2::read::GzDecoder;

/// A file of the reference values. The folder is `tests/reference/values`, or the one that the environment variable
/// `COUPLET_REFERENCE_DIR` names, so that other values in the same columns can judge the same code.
pub fn reference_path(file: &str) -> PathBuf {
    match std::env::var_os("COUPLET_REFERENCE_DIR") {
        Some(folder) => PathBuf::from(folder).join(file),
        None => Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("reference/values")
            .join(file),
    }
}

/// A file of `tests/data`.
pub fn test_data_path(file: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("data")
        .join(file)
}

/// A CSV table in memory.
pub struct Table {
    file: String,
    columns: HashMap<String, usize>,
    records: Vec<csv::StringRecord>,
}

/// One row of a [`Table`].
#[derive(Clone, Copy)]
pub struct Row<'t> {
    table: &'t Table,
    index: usize,
}

impl Table {
    /// Reads a file of the reference values; a name ending in `.gz` is unpacked. The test stops if the file is missing,
    /// is not a table, or has no rows: an empty table would let every check pass.
    pub fn reference(file: &str) -> Self {
        Self::open(&reference_path(file))
    }

    /// Reads a table from any path, as [`Table::reference`] does.
    pub fn open(path: &Path) -> Self {
        let file = path.display().to_string();
        let source = File::open(path).unwrap_or_else(|e| panic!("{file}: {e}"));
        let mut text = String::new();
        if file.ends_with(".gz") {
            GzDecoder::new(source).read_to_string(&mut text)
        } else {
            (&source).read_to_string(&mut text)
        }
        .unwrap_or_else(|e| panic!("{file}: {e}"));
        Self::parse(&file, &text)
    }

    /// Reads a table from text; `file` names it in messages.
    pub fn parse(file: &str, text: &str) -> Self {
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let columns = reader
            .headers()
            .unwrap_or_else(|e| panic!("{file}: {e}"))
            .iter()
            .enumerate()
            .map(|(index, name)| (name.trim().to_owned(), index))
            .collect();
        let records: Vec<_> = reader
            .records()
            .map(|record| record.unwrap_or_else(|e| panic!("{file}: {e}")))
            .collect();
        assert!(!records.is_empty(), "{file} has no rows");
        Self {
            file: file.to_owned(),
            columns,
            records,
        }
    }

    /// The rows in file order.
    pub fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        (0..self.records.len()).map(|index| Row { table: self, index })
    }

    /// Number of rows, at least one.
    pub fn len(&self) -> usize {
        self.records.len()
    }

    /// Never true: a table without rows is refused when it is read.
    pub fn is_empty(&self) -> bool {
        self.records.is_empty()
    }

    /// Whether the table has a column of this name.
    pub fn has(&self, column: &str) -> bool {
        self.columns.contains_key(column)
    }
}

impl<'t> Row<'t> {
    /// The field as it stands, without surrounding blanks. The test stops if there is no such column.
    pub fn text(&self, column: &str) -> &'t str {
        let field = self
            .table
            .columns
            .get(column)
            .unwrap_or_else(|| panic!("{} has no column {column}", self.table.file));
        self.table.records[self.index]
            .get(*field)
            .unwrap_or("")
            .trim()
    }

    /// The number in the field; nothing where it is empty (not applicable); `NaN` where it says `nan` (undefined).
    pub fn number(&self, column: &str) -> Option<f64> {
        let text = self.text(column);
        if text.is_empty() {
            return None;
        }
        Some(
            text.parse()
                .unwrap_or_else(|_| panic!("{}: {column} is not a number: {text}", self.place())),
        )
    }

    /// The number in a field that every row must fill.
    pub fn given(&self, column: &str) -> f64 {
        self.number(column)
            .unwrap_or_else(|| panic!("{}: {column} is empty", self.place()))
    }

    /// `true` or `false` in a field that every row must fill.
    pub fn flag(&self, column: &str) -> bool {
        match self.text(column).to_ascii_lowercase().as_str() {
            "true" | "1" => true,
            "false" | "0" => false,
            other => panic!(
                "{}: {column} is neither true nor false: {other}",
                self.place()
            ),
        }
    }

    /// File and line, for messages.
    pub fn place(&self) -> String {
        let line = self.table.records[self.index]
            .position()
            .map_or(0, csv::Position::line);
        format!("{} line {line}", self.table.file)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_found_by_name_and_empty_is_not_undefined() {
        let table = Table::parse("here", "b,a,flag\n1.5,,true\nnan,inf,False\n");
        let rows: Vec<_> = table.rows().collect();
        assert_eq!(rows.len(), 2);
        assert_eq!(rows[0].given("b"), 1.5);
        assert_eq!(rows[0].number("a"), None);
        assert!(rows[1].given("b").is_nan());
        assert_eq!(rows[1].given("a"), f64::INFINITY);
        assert!(rows[0].flag("flag") && !rows[1].flag("flag"));
    }

    #[test]
    #[should_panic(expected = "has no rows")]
    fn a_table_without_rows_is_refused() {
        Table::parse("here", "a,b\n");
    }
}
