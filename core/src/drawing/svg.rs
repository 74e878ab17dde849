//! The sheet as an SVG file of its own: for keeping, sending and printing. The page draws the same outlines itself.

use std::fmt::Write;

use super::flow::{LEAST_SHOWN_W, flow_w, line_width, state_of_charge};
use super::lettering::{TextStyle, plain};
use super::sheet::{
    Anchor, Bounds, Drawn, FieldText, Figure, Path, Point, Sheet, Shown, Symbol, Wire,
};
use super::symbol::{Stroke, SymbolSet, line_work};
use super::title::FIELD_INSET;
use crate::year::DayTrace;

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

fn short(value: f64) -> String {
    let text = format!("{value:.2}");
    let trimmed = text.trim_end_matches('0').trim_end_matches('.');
    if trimmed == "-0" { "0" } else { trimmed }.to_owned()
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}

const AC: &str = "#1f5c99";
const DC: &str = "#b4541a";
const INK: &str = "#1d232b";
const SOFT: &str = "#565c64";
const DC_DASH: &str = " stroke-dasharray=\"11 2.5\"";

fn hue(path: Path) -> &'static str {
    match path {
        Path::AcPv => AC,
        Path::DcPv => DC,
        Path::Neutral => INK,
    }
}

/// The sheet as an SVG file; with a trace, each wire carries the power of that step.
///
/// - `drawn_at`: day and time of the step, in two lines, as they stand in the title block
#[must_use]
pub fn svg(sheet: &Sheet, at: Option<(&DayTrace, usize)>, drawn_at: [&str; 2]) -> String {
    let mut file = String::new();
    // Writing to a string cannot fail.
    let _ = draw(&mut file, sheet, at, drawn_at);
    file
}

fn draw(
    file: &mut String,
    sheet: &Sheet,
    at: Option<(&DayTrace, usize)>,
    drawn_at: [&str; 2],
) -> std::fmt::Result {
    let (width, height) = (short(sheet.width), short(sheet.height));
    writeln!(
        file,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" width=\"{width}\" height=\"{height}\" \
         font-family=\"'Barlow Semi Condensed', 'Arial Narrow', sans-serif\" fill=\"none\">"
    )?;
    writeln!(
        file,
        "<rect width=\"{width}\" height=\"{height}\" fill=\"#ffffff\"/>"
    )?;
    let outer = Bounds {
        left: 0.75,
        top: 0.75,
        right: sheet.width - 0.75,
        bottom: sheet.height - 0.75,
    };
    rect(file, &outer, 1.5)?;
    rect(file, &sheet.frame, 0.8)?;
    for pair in sheet.buses.windows(2) {
        if let [_, next] = pair {
            writeln!(
                file,
                "<path d=\"M{0} {1}V{2}\" stroke=\"{SOFT}\" stroke-width=\"0.7\" stroke-dasharray=\"1 4\"/>",
                short(next.zone.left),
                short(sheet.frame.top + 10.0),
                short(next.from.y - 48.0)
            )?;
        }
    }
    group(file, &sheet.ghost, sheet, at, true)?;
    for bus in &sheet.buses {
        let hue = match bus.key {
            super::BusKey::Ac(_) => AC,
            super::BusKey::Dc(_) => DC,
        };
        let line = path_data(&[bus.from, bus.to]);
        writeln!(
            file,
            "<path d=\"{line}\" stroke=\"{hue}\" stroke-width=\"5\"/>"
        )?;
        if matches!(bus.key, super::BusKey::Dc(_)) {
            writeln!(
                file,
                "<path d=\"{line}\" stroke=\"#ffffff\" stroke-width=\"1.4\"/>"
            )?;
        }
        text(
            file,
            &bus.name.pieces,
            bus.name.at,
            bus.name.anchor,
            TextStyle::Bus,
            SOFT,
        )?;
    }
    group(file, &sheet.drawn, sheet, at, false)?;
    for entry in &sheet.legend {
        let wire = path_data(&[entry.from, entry.to]);
        let (hue, width) = stroke_of(entry.path, entry.standing);
        let dash = if entry.path == Path::DcPv {
            DC_DASH
        } else {
            ""
        };
        writeln!(
            file,
            "<path d=\"{wire}\" stroke=\"{hue}\" stroke-width=\"{}\"{dash}/>",
            1.6 * width
        )?;
        text(
            file,
            &entry.text.pieces,
            entry.text.at,
            entry.text.anchor,
            entry.text.style,
            SOFT,
        )?;
    }
    for field in &sheet.title {
        rect(file, &field.bounds, 0.8)?;
        let x = field.bounds.left + FIELD_INSET;
        let [main, below] = match &field.text {
            FieldText::Said(main, below) => [main.as_str(), below.as_str()],
            FieldText::DrawnAt => drawn_at,
        };
        for (words, style, y, hue) in [
            (field.heading, TextStyle::Heading, 18.0, SOFT),
            (main, TextStyle::Title, 37.0, INK),
            (below, TextStyle::Detail, 53.0, SOFT),
        ] {
            let pieces = super::lettering::words(words);
            let at = Point {
                x,
                y: field.bounds.top + y,
            };
            text(file, &pieces, at, Anchor::Start, style, hue)?;
        }
    }
    writeln!(file, "</svg>")
}

fn stroke_of(path: Path, standing: bool) -> (&'static str, f64) {
    match (path, standing) {
        (Path::Neutral, true) => (SOFT, 0.8),
        (path, true) => (hue(path), 0.8),
        (path, false) => (hue(path), 1.4),
    }
}

fn group(
    file: &mut String,
    drawn: &Drawn,
    sheet: &Sheet,
    at: Option<(&DayTrace, usize)>,
    ghost: bool,
) -> std::fmt::Result {
    let dash = if ghost {
        " stroke-dasharray=\"3 3\""
    } else {
        ""
    };
    if ghost {
        writeln!(file, "<g opacity=\"0.55\"{dash}>")?;
    }
    for wire in &drawn.wires {
        let power_w = wire
            .flow
            .zip(at)
            .and_then(|(key, (trace, step))| flow_w(trace, key, step));
        let width = power_w.map_or(1.4, line_width);
        let dash = if wire.path == Path::DcPv && !ghost {
            DC_DASH
        } else {
            ""
        };
        writeln!(
            file,
            "<path d=\"{}\" stroke=\"{}\" stroke-width=\"{}\"{dash}/>",
            path_data(&wire.points),
            hue(wire.path),
            short(width)
        )?;
        if let Some(power_w) = power_w.filter(|power_w| libm::fabs(*power_w) >= LEAST_SHOWN_W)
            && let Some(head) = arrow(wire, power_w > 0.0, width)
        {
            writeln!(file, "<path d=\"{head}\" fill=\"{}\"/>", hue(wire.path))?;
        }
    }
    for symbol in &drawn.symbols {
        let outline = outline(symbol, sheet.symbols);
        let (hue, width) = stroke_of(symbol.path, symbol.standing);
        writeln!(
            file,
            "<path d=\"{}\" stroke=\"{hue}\" stroke-width=\"{width}\"/>",
            outline.strokes
        )?;
        if !outline.fills.is_empty() {
            writeln!(file, "<path d=\"{}\" fill=\"{hue}\"/>", outline.fills)?;
        }
        for (middle, size, letters) in outline.letters {
            writeln!(
                file,
                "<text x=\"{}\" y=\"{}\" font-size=\"{}\" font-weight=\"600\" text-anchor=\"middle\" fill=\"{hue}\">{letters}</text>",
                short(middle.x),
                short(middle.y + 0.35 * size),
                short(size)
            )?;
        }
    }
    for words in &drawn.texts {
        let hue = if words.style == TextStyle::Name {
            INK
        } else {
            SOFT
        };
        text(
            file,
            &words.pieces,
            words.at,
            words.anchor,
            words.style,
            hue,
        )?;
    }
    for figure in &drawn.figures {
        if let Some(words) = at.and_then(|(trace, step)| reading(figure, trace, step)) {
            let pieces = super::lettering::words(words);
            text(
                file,
                &pieces,
                figure.at,
                figure.anchor,
                TextStyle::Figure,
                hue(figure.path),
            )?;
        }
    }
    if ghost {
        writeln!(file, "</g>")?;
    }
    Ok(())
}

/// What a figure reads; none where nothing flows.
fn reading(figure: &Figure, trace: &DayTrace, step: usize) -> Option<String> {
    match figure.shows {
        Shown::Power(key) => flow_w(trace, key, step)
            .map(libm::fabs)
            .filter(|power_w| *power_w >= LEAST_SHOWN_W)
            .map(|power_w| format!("{:.2} kW", power_w / 1000.0)),
        Shown::StateOfCharge(id) => {
            state_of_charge(trace, id, step).map(|soc| format!("{:.0} %", 100.0 * soc))
        }
    }
}

fn rect(file: &mut String, bounds: &Bounds, width: f64) -> std::fmt::Result {
    writeln!(
        file,
        "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" stroke=\"{INK}\" stroke-width=\"{width}\"/>",
        short(bounds.left),
        short(bounds.top),
        short(bounds.width()),
        short(bounds.height())
    )
}

fn text(
    file: &mut String,
    pieces: &[super::Piece],
    at: Point,
    anchor: Anchor,
    style: TextStyle,
    hue: &str,
) -> std::fmt::Result {
    let weight = match style {
        TextStyle::Detail | TextStyle::Heading => 400,
        TextStyle::Bus | TextStyle::Name | TextStyle::Figure | TextStyle::Title => 600,
    };
    let anchor = match anchor {
        Anchor::Start => "start",
        Anchor::Middle => "middle",
    };
    writeln!(
        file,
        "<text x=\"{}\" y=\"{}\" font-size=\"{}\" font-weight=\"{weight}\" letter-spacing=\"{}\" text-anchor=\"{anchor}\" fill=\"{hue}\">{}</text>",
        short(at.x),
        short(at.y),
        style.size(),
        short(style.spacing() * style.size()),
        escaped(&plain(pieces))
    )
}
