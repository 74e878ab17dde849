//! What the columns of a CSV file are, guessed from its first rows and its headings.

use super::rows::{DELIMITERS, fields, lines, number};
use super::stamp::{date_numbers, stamp};
use super::{CsvProblem, CsvWrong};

/// How a CSV file is to be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CsvLayout {
    /// What parts the fields.
    pub delimiter: char,
    /// Whether decimals are parted by a comma.
    pub decimal_comma: bool,
    /// Line of the first row with values, from 1.
    pub first_line: usize,
    /// Column of the date, or of date and time, from 0.
    pub date_column: usize,
    /// Column of the time where it stands apart from the date.
    pub time_column: Option<usize>,
    /// Order of day and month where the year stands last.
    pub date_order: DateOrder,
    /// Whether a stamp is the start or the end of its interval.
    pub stamp_edge: StampEdge,
    /// Column of power or energy.
    pub value_column: usize,
    /// Unit of the value.
    pub unit: CsvUnit,
    /// Which way the value counts.
    pub flow: CsvFlow,
}

/// Which way a value counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CsvFlow {
    /// One way: it is not negative.
    OneWay,
    /// Both ways: what is sent out is negative.
    BothWays,
}

/// Order of day and month.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DateOrder {
    /// 31/12/2025.
    DayFirst,
    /// 12/31/2025.
    MonthFirst,
}

/// Which end of its interval a stamp names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StampEdge {
    /// The beginning.
    Start,
    /// The end.
    End,
}

/// Unit of the values.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CsvUnit {
    /// Mean power, W.
    W,
    /// Mean power, kW.
    Kw,
    /// Energy of the interval, Wh.
    Wh,
    /// Energy of the interval, kWh.
    Kwh,
}

/// The first rows of a file as they would be read.
#[derive(Clone, Debug, PartialEq)]
pub struct CsvPreview {
    /// The guess; it may be changed before the file is read.
    pub layout: CsvLayout,
    /// Headings, or numbers of the columns where there are none.
    pub headings: Vec<String>,
    /// The first rows.
    pub rows: Vec<PreviewRow>,
}

/// A row of a preview.
#[derive(Clone, Debug, PartialEq)]
pub struct PreviewRow {
    /// Line of the file, from 1.
    pub line: usize,
    /// Its fields.
    pub fields: Vec<String>,
}

const PREVIEW_ROWS: usize = 8;

/// Rows that are searched for a table before it is given up.
const MOST_PREAMBLE: usize = 200;

impl CsvPreview {
    /// The column of what was sent out, if a heading names it as export or feed-in and its values are numbers.
    #[must_use]
    pub fn sold_column(&self) -> Option<usize> {
        let named = |heading: &String| {
            let heading = heading.to_ascii_lowercase();
            ["export", "feed-in", "feed in", "sent out", "to grid"]
                .iter()
                .any(|word| heading.contains(word))
        };
        let row = self.rows.first()?;
        let column = self.headings.iter().position(named)?;
        let field = row.fields.get(column)?;
        number(field, self.layout.decimal_comma)
            .is_some()
            .then_some(column)
    }
}

impl CsvLayout {
    /// Date and time of a row as one text.
    pub(super) fn stamp_text(&self, fields: &[String]) -> Option<String> {
        let date = fields.get(self.date_column)?;
        match self.time_column {
            None => Some(date.clone()),
            Some(column) => Some(format!("{date} {}", fields.get(column)?)),
        }
    }
}

/// Guesses how a file is to be read, and shows its first rows.
///
/// **Errors**: no row has a date and a number.
pub fn preview(text: &str) -> Result<CsvPreview, CsvProblem> {
    let no_table = CsvProblem {
        line: None,
        wrong: CsvWrong::NoTable,
    };
    let rows: Vec<(usize, &str)> = lines(text).collect();
    let (mut layout, heading) = DELIMITERS
        .into_iter()
        .find_map(|delimiter| table(&rows, delimiter))
        .ok_or(no_table)?;
    layout.date_order = date_order(&rows, &layout);
    layout.stamp_edge = stamp_edge(&rows, &layout);
    let from = rows.iter().filter(|(line, _)| *line >= layout.first_line);
    let shown = from.take(PREVIEW_ROWS).map(|(line, text)| PreviewRow {
        line: *line,
        fields: fields(text, layout.delimiter),
    });
    Ok(CsvPreview {
        headings: heading,
        rows: shown.collect(),
        layout,
    })
}

/// The first row with a date and a number, taken apart by this delimiter, and the headings above it.
fn table(rows: &[(usize, &str)], delimiter: char) -> Option<(CsvLayout, Vec<String>)> {
    let mut above: Vec<String> = Vec::new();
    for (line, text) in rows.iter().take(MOST_PREAMBLE) {
        let found = fields(text, delimiter);
        if let Some(layout) = columns(*line, &found, &above, delimiter) {
            let numbered = (1..=found.len()).map(|column| format!("column {column}"));
            let headings = if above.len() == found.len() {
                above
            } else {
                numbered.collect()
            };
            return Some((layout, headings));
        }
        above = found;
    }
    None
}

/// What the columns of a row are, if one of them is a date and another a number.
fn columns(line: usize, row: &[String], headings: &[String], delimiter: char) -> Option<CsvLayout> {
    let is_stamp = |text: &str| {
        [DateOrder::DayFirst, DateOrder::MonthFirst]
            .into_iter()
            .any(|order| stamp(text, order).is_some())
    };
    let date_column = row.iter().position(|field| is_stamp(field))?;
    let has_time = row.get(date_column)?.contains(':');
    let next_is_time = row
        .get(date_column + 1)
        .is_some_and(|field| is_stamp(&format!("2001-01-01 {field}")) && field.contains(':'));
    let time_column = (!has_time && next_is_time).then_some(date_column + 1);
    // A comma parts decimals only where it does not part fields.
    let decimal_comma = delimiter != ','
        && !row.iter().skip(date_column + 1).any(|field| {
            number(field, false).is_some() && field.contains('.') && !field.contains(',')
        });
    let heading = |column: usize| headings.get(column).map_or("", String::as_str);
    let is_value = |column: usize| {
        column != date_column
            && Some(column) != time_column
            && row
                .get(column)
                .is_some_and(|field| number(field, decimal_comma).is_some())
    };
    let by_unit =
        (0..row.len()).find(|column| is_value(*column) && unit(heading(*column)).is_some());
    // Without a heading that names a unit the last number stands for energy in kWh, as meters mostly write.
    let value_column = by_unit.or_else(|| (0..row.len()).rev().find(|column| is_value(*column)))?;
    Some(CsvLayout {
        delimiter,
        decimal_comma,
        first_line: line,
        date_column,
        time_column,
        date_order: DateOrder::DayFirst,
        stamp_edge: StampEdge::Start,
        value_column,
        unit: unit(heading(value_column)).unwrap_or(CsvUnit::Kwh),
        flow: CsvFlow::OneWay,
    })
}

/// The unit that a heading names as a word of its own.
fn unit(heading: &str) -> Option<CsvUnit> {
    heading
        .to_ascii_lowercase()
        .split(|letter: char| !letter.is_alphanumeric())
        .find_map(|word| match word {
            "kwh" => Some(CsvUnit::Kwh),
            "wh" => Some(CsvUnit::Wh),
            "kw" => Some(CsvUnit::Kw),
            "w" => Some(CsvUnit::W),
            _ => None,
        })
}

/// Month first, if some row can only be read so.
fn date_order(rows: &[(usize, &str)], layout: &CsvLayout) -> DateOrder {
    let month_first = rows
        .iter()
        .filter(|(line, _)| *line >= layout.first_line)
        .filter_map(|(_, text)| {
            let fields = fields(text, layout.delimiter);
            let date = fields.get(layout.date_column)?;
            let date = date
                .split(|letter: char| letter == 'T' || letter.is_whitespace())
                .next()?;
            date_numbers(date)
        })
        .any(|[first, second, _]| first <= 12 && second > 12);
    if month_first {
        DateOrder::MonthFirst
    } else {
        DateOrder::DayFirst
    }
}

/// Stamps are ends if the first lies one interval after midnight and the last on midnight.
fn stamp_edge(rows: &[(usize, &str)], layout: &CsvLayout) -> StampEdge {
    let clock_s = |(_, text): &(usize, &str)| {
        let text = layout.stamp_text(&fields(text, layout.delimiter))?;
        stamp(&text, layout.date_order).map(|stamp| stamp.clock_s)
    };
    let mut data = rows
        .iter()
        .filter(|(line, _)| *line >= layout.first_line)
        .filter_map(clock_s);
    let (Some(first_s), Some(second_s)) = (data.next(), data.next()) else {
        return StampEdge::Start;
    };
    let last_s = data.next_back().unwrap_or(second_s);
    // Files may begin with the newest row.
    let (oldest_s, newest_s) = (first_s.min(last_s), first_s.max(last_s));
    let interval_s = (second_s - first_s).abs();
    if oldest_s.rem_euclid(86_400) == interval_s && newest_s.rem_euclid(86_400) == 0 {
        StampEdge::End
    } else {
        StampEdge::Start
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_told_by_their_headings_and_first_row() {
        let found = preview("Meter 7\n\nfrom;to;Import (kWh);Export (kWh)\n01.01.2025 00:00;01.01.2025 00:15;0,125;0\n13.01.2025 00:00;x;1;0\n").unwrap();
        assert_eq!(found.headings[2], "Import (kWh)");
        let layout = found.layout;
        assert_eq!(
            (layout.delimiter, layout.decimal_comma, layout.first_line),
            (';', true, 4)
        );
        assert_eq!(
            (layout.date_column, layout.value_column, layout.unit),
            (0, 2, CsvUnit::Kwh)
        );
        assert_eq!(layout.date_order, DateOrder::DayFirst);
    }

    #[test]
    fn date_and_time_may_stand_apart_and_month_first() {
        let found = preview("Date,Time,Power W\n01/13/2025,12:15 AM,250\n01/13/2025,12:30 AM,250\n01/14/2025,12:00 AM,1\n").unwrap();
        let layout = found.layout;
        assert_eq!(
            (layout.date_column, layout.time_column, layout.value_column),
            (0, Some(1), 2)
        );
        assert_eq!(
            (layout.date_order, layout.unit),
            (DateOrder::MonthFirst, CsvUnit::W)
        );
        assert_eq!(layout.stamp_edge, StampEdge::End);
    }

    #[test]
    fn a_text_without_a_table_is_refused() {
        for text in ["", "hello", "a,b\n1,2\n", "2025-01-01 00:00\n"] {
            assert_eq!(
                preview(text).unwrap_err().wrong,
                CsvWrong::NoTable,
                "{text}"
            );
        }
    }
}
