//! Tables of the drawing sheet: a title, headings, rows whose words are wrapped to their columns, and notes.

use super::Part;
use super::call_out::{TAG_HEIGHT, Tag, TagKind, tag_width};
use super::ink::{Hue, Ink, Layer, RULE, THIN, line, tag_inks, words};
use super::lettering::{TextStyle, cut, wrapped};
use super::sheet::{Anchor, Bounds, Point};

/// Height of a line of words.
const LINE: f64 = 12.0;
/// Space above and below the words of a row.
const PAD: f64 = 2.5;
/// Height of a title with its rule.
pub(super) const TITLE: f64 = 20.0;
/// Space between columns.
const BETWEEN: f64 = 8.0;

/// A column.
#[derive(Clone)]
pub(super) struct Column {
    /// Its heading.
    pub(super) heading: &'static str,
    /// Its share of the width of the table.
    pub(super) share: f64,
    /// What its cells are drawn as; none: words.
    pub(super) tags: Option<TagKind>,
}

/// A table.
#[derive(Clone)]
pub(super) struct Table {
    pub(super) title: &'static str,
    pub(super) columns: Vec<Column>,
    /// One cell for each column.
    pub(super) rows: Vec<Vec<String>>,
    pub(super) notes: &'static str,
}

impl Table {
    /// The rows before a place, and those from it on under a title of their own, with the notes.
    pub(super) fn split(&self, at: usize, title: &'static str) -> (Self, Self) {
        let (before, after) = self.rows.split_at(at.min(self.rows.len()));
        let part = |title, rows: &[Vec<String>], notes| Self {
            title,
            columns: self.columns.clone(),
            rows: rows.to_vec(),
            notes,
        };
        (part(self.title, before, ""), part(title, after, self.notes))
    }

    fn cell(&self, column: &Column, text: &str, width: f64) -> Vec<String> {
        match column.tags {
            Some(_) => vec![text.to_owned()],
            None => wrapped(text, TextStyle::Tag, column.share * width - BETWEEN),
        }
    }

    fn row_height(&self, row: &[String], width: f64) -> f64 {
        let lines = self
            .columns
            .iter()
            .zip(row)
            .map(|(column, text)| self.cell(column, text, width).len())
            .max();
        lines.unwrap_or(1).max(1) as f64 * LINE + 2.0 * PAD
    }

    fn headings_height(&self) -> f64 {
        if self.columns.iter().all(|column| column.heading.is_empty()) {
            0.0
        } else {
            LINE + 2.0 * PAD
        }
    }

    /// Height at a width.
    pub(super) fn height(&self, width: f64) -> f64 {
        let rows: f64 = self
            .rows
            .iter()
            .map(|row| self.row_height(row, width))
            .sum();
        let notes = wrapped(self.notes, TextStyle::Tag, width).len() as f64 * LINE;
        TITLE + self.headings_height() + rows + PAD + notes
    }

    /// Draws the table from a corner.
    pub(super) fn draw(&self, at: Point, width: f64, inks: &mut Vec<Ink>) {
        let mut y = title(self.title, at, width, inks);
        let lefts: Vec<f64> = self
            .columns
            .iter()
            .scan(at.x, |left, column| {
                let here = *left;
                *left += column.share * width;
                Some(here)
            })
            .collect();
        let say = |text: &str, x: f64, y: f64, hue| {
            let at = Point { x, y };
            words(Layer::Table, hue, TextStyle::Tag, Anchor::Start, at, text)
        };
        if self.headings_height() > 0.0 {
            for (column, left) in self.columns.iter().zip(&lefts) {
                let most = column.share * width - BETWEEN;
                let heading = cut(column.heading, TextStyle::Tag, most);
                if !heading.is_empty() {
                    inks.push(say(&heading, *left, y + PAD + 9.0, Hue::Soft));
                }
            }
            y += self.headings_height();
            inks.push(rule(at.x, width, y, THIN));
        }
        for row in &self.rows {
            for ((column, left), text) in self.columns.iter().zip(&lefts).zip(row) {
                if let Some(kind) = column.tags.filter(|_| !text.is_empty()) {
                    inks.extend(tag_inks(&tag(kind, text, *left, y + PAD - 0.5)));
                    continue;
                }
                let mut base = y + PAD + 9.0;
                for said in self.cell(column, text, width) {
                    inks.push(say(&said, *left, base, Hue::Ink));
                    base += LINE;
                }
            }
            y += self.row_height(row, width);
            inks.push(rule(at.x, width, y, THIN));
        }
        y += PAD;
        for said in wrapped(self.notes, TextStyle::Tag, width) {
            inks.push(say(&said, at.x, y + 9.0, Hue::Soft));
            y += LINE;
        }
    }
}

/// A title over a rule; returns where what it stands over begins.
pub(super) fn title(title: &str, at: Point, width: f64, inks: &mut Vec<Ink>) -> f64 {
    let base = Point {
        x: at.x,
        y: at.y + 11.0,
    };
    inks.push(words(
        Layer::Table,
        Hue::Soft,
        TextStyle::Bus,
        Anchor::Start,
        base,
        title,
    ));
    inks.push(rule(at.x, width, at.y + TITLE - 4.0, RULE));
    at.y + TITLE - 4.0
}

fn rule(left: f64, width: f64, y: f64, thick: f64) -> Ink {
    let points = vec![Point { x: left, y }, Point { x: left + width, y }];
    line(Layer::Table, Hue::Soft, points, thick)
}

/// A tag in a table or a legend; it belongs to no part.
pub(super) fn tag(kind: TagKind, text: &str, left: f64, top: f64) -> Tag {
    Tag {
        kind,
        text: text.to_owned(),
        bounds: Bounds {
            left,
            top,
            right: left + tag_width(text),
            bottom: top + TAG_HEIGHT,
        },
        part: Part::Service,
    }
}
