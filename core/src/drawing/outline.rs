//! Outlines as SVG path data: what the page draws the sheet with.

use super::sheet::{Point, Symbol, Wire};
use super::symbol::{Stroke, SymbolSet, line_work};

/// The line work of a symbol in its place on the sheet, as SVG path data.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Outline {
    /// What is stroked.
    pub strokes: String,
    /// What is filled.
    pub fills: String,
    /// Letters: the middle of the word, its size and the word.
    pub letters: Vec<(Point, f64, &'static str)>,
}

/// The line work of a symbol in its place on the sheet.
#[must_use]
pub fn outline(symbol: &Symbol, set: SymbolSet) -> Outline {
    let unit = symbol.size / 8.0;
    let at = |x: f64, y: f64| {
        let point = symbol.place(x, y);
        format!("{} {}", short(point.x), short(point.y))
    };
    let polygon = |corners: &[(f64, f64)]| {
        let corners: Vec<String> = corners.iter().map(|&(x, y)| at(x, y)).collect();
        format!("M{}Z", corners.join("L"))
    };
    let rectangle =
        |[x, y, w, h]: [f64; 4]| polygon(&[(x, y), (x + w, y), (x + w, y + h), (x, y + h)]);
    let circle = |[x, y, r]: [f64; 3]| {
        let radius = short(r * unit);
        let (left, right) = (at(x - r, y), at(x + r, y));
        format!("M{left}A{radius} {radius} 0 1 1 {right}A{radius} {radius} 0 1 1 {left}Z")
    };
    let mut drawn = Outline::default();
    for stroke in line_work(symbol.kind, set) {
        match *stroke {
            Stroke::Line([x0, y0, x1, y1]) => {
                drawn.strokes += &format!("M{}L{}", at(x0, y0), at(x1, y1));
            }
            Stroke::Curve([x0, y0, x1, y1, x2, y2, x3, y3]) => {
                drawn.strokes += &format!(
                    "M{}C{} {} {}",
                    at(x0, y0),
                    at(x1, y1),
                    at(x2, y2),
                    at(x3, y3)
                );
            }
            Stroke::Rect(rect) => drawn.strokes += &rectangle(rect),
            Stroke::Bar(rect) => drawn.fills += &rectangle(rect),
            Stroke::Circle(round) => drawn.strokes += &circle(round),
            Stroke::Dot(round) => drawn.fills += &circle(round),
            Stroke::Head([x0, y0, x1, y1, x2, y2]) => {
                drawn.fills += &polygon(&[(x0, y0), (x1, y1), (x2, y2)]);
            }
            Stroke::Letters {
                at: [x, y],
                size,
                text,
            } => drawn.letters.push((symbol.place(x, y), size * unit, text)),
        }
    }
    drawn
}

/// Corners as SVG path data.
#[must_use]
pub fn path_data(points: &[Point]) -> String {
    let corners: Vec<String> = points
        .iter()
        .map(|point| format!("{} {}", short(point.x), short(point.y)))
        .collect();
    format!("M{}", corners.join("L"))
}

/// An arrow of direction on a wire, as path data: it points along the last stretch of the wire, or against it.
#[must_use]
pub fn arrow(wire: &Wire, along: bool, width: f64) -> Option<String> {
    let middle = wire.arrow?;
    let [.., from, to] = wire.points.as_slice() else {
        return None;
    };
    let (dx, dy) = (to.x - from.x, to.y - from.y);
    let length = libm::hypot(dx, dy);
    if length <= 0.0 {
        return None;
    }
    let sign = if along { 1.0 } else { -1.0 };
    let (ux, uy) = (sign * dx / length, sign * dy / length);
    let (long, wide) = (4.5 + 0.6 * width, 3.6 + 0.55 * width);
    let at = |forward: f64, aside: f64| {
        format!(
            "{} {}",
            short(middle.x + forward * ux - aside * uy),
            short(middle.y + forward * uy + aside * ux)
        )
    };
    Some(format!(
        "M{}L{}L{}Z",
        at(long, 0.0),
        at(-long, wide),
        at(-long, -wide)
    ))
}

pub(super) fn short(value: f64) -> String {
    let text = format!("{value:.2}");
    let trimmed = text.trim_end_matches('0').trim_end_matches('.');
    if trimmed == "-0" { "0" } else { trimmed }.to_owned()
}
