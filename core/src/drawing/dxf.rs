//! The drawing sheet as a DXF text file of release 12 (AC1009): lines, polylines, circles, areas and texts on layers by discipline,
//! in mm on paper, y upwards.

use std::fmt::Write;

use super::full_sheet::FullSheet;
use super::ink::{Dash, Ink, Layer, Lettering, Shape};
use super::sheet::Point;

/// Cap height over size of the type.
const CAP_HEIGHT: f64 = 0.7;
/// Lines of at least this width are drawn with it; thinner ones are lines without width, as the program that opens them has it.
const THICK: f64 = 1.6;
/// Straight pieces in place of a curve, which release 12 does not know.
const CURVE_PIECES: u32 = 16;

/// The drawing sheet as a DXF file.
///
/// Source: the group codes of DXF release 12. Texts are fitted between their two ends, so that no font makes them overlap. The file is
/// in code page 1252; letters that it lacks stand as `\U+` and their code point.
#[must_use]
pub fn dxf(sheet: &FullSheet) -> Vec<u8> {
    let mut file = File {
        text: String::new(),
        height: sheet.height,
        mm_per_unit: sheet.mm_per_unit,
    };
    let corner = (
        sheet.width * sheet.mm_per_unit,
        sheet.height * sheet.mm_per_unit,
    );
    file.header(corner);
    file.tables();
    file.group(0, "SECTION");
    file.group(2, "ENTITIES");
    for ink in &sheet.inks {
        file.entity(ink);
    }
    file.group(0, "ENDSEC");
    file.group(0, "EOF");
    file.text.chars().filter_map(in_code_page).collect()
}

struct File {
    text: String,
    height: f64,
    mm_per_unit: f64,
}

/// Colour of a layer by its index, from the 255 that every reader of DXF knows.
fn colour(layer: Layer) -> &'static str {
    match layer {
        Layer::AcPv => "5",
        Layer::DcPv => "30",
        Layer::Power | Layer::Text | Layer::CallOut | Layer::Marking | Layer::Frame => "7",
        Layer::Table => "8",
    }
}

impl File {
    fn group(&mut self, code: u32, value: &str) {
        // Writing to a string cannot fail.
        let _ = writeln!(self.text, "{code:>3}\n{value}");
    }

    fn number(&mut self, code: u32, value: f64) {
        let value = if value.is_finite() { value } else { 0.0 };
        let _ = writeln!(self.text, "{code:>3}\n{value:.4}");
    }

    fn length(&mut self, code: u32, units: f64) {
        self.number(code, units * self.mm_per_unit);
    }

    /// A point: x with `code`, y with the code ten above.
    fn point(&mut self, code: u32, at: Point) {
        self.length(code, at.x);
        self.length(code + 10, self.height - at.y);
    }

    fn header(&mut self, (width_mm, height_mm): (f64, f64)) {
        self.group(0, "SECTION");
        self.group(2, "HEADER");
        self.group(9, "$ACADVER");
        self.group(1, "AC1009");
        self.group(9, "$DWGCODEPAGE");
        self.group(3, "ANSI_1252");
        for (low, high) in [("$EXTMIN", "$EXTMAX"), ("$LIMMIN", "$LIMMAX")] {
            self.group(9, low);
            self.number(10, 0.0);
            self.number(20, 0.0);
            self.group(9, high);
            self.number(10, width_mm);
            self.number(20, height_mm);
        }
        self.group(9, "$LTSCALE");
        self.number(40, 1.0);
        self.group(0, "ENDSEC");
    }

    fn tables(&mut self) {
        self.group(0, "SECTION");
        self.group(2, "TABLES");
        let line_types: [(&str, &str, &[f64]); 3] = [
            ("CONTINUOUS", "Solid line", &[]),
            ("DASHED", "__ __ __", &[11.0, -2.5]),
            ("DOTTED", ". . . .", &[1.0, -4.0]),
        ];
        self.group(0, "TABLE");
        self.group(2, "LTYPE");
        self.group(70, &line_types.len().to_string());
        for (name, picture, dashes) in line_types {
            self.group(0, "LTYPE");
            self.group(2, name);
            self.group(70, "0");
            self.group(3, picture);
            self.group(72, "65");
            self.group(73, &dashes.len().to_string());
            self.length(40, dashes.iter().map(|dash| dash.abs()).sum());
            for dash in dashes {
                self.length(49, *dash);
            }
        }
        self.group(0, "ENDTAB");
        self.group(0, "TABLE");
        self.group(2, "LAYER");
        self.group(70, &(Layer::ALL.len() + 1).to_string());
        self.layer("0", "7");
        for layer in Layer::ALL {
            self.layer(layer.name(), colour(layer));
        }
        self.group(0, "ENDTAB");
        self.group(0, "TABLE");
        self.group(2, "STYLE");
        self.group(70, "1");
        self.group(0, "STYLE");
        self.group(2, "STANDARD");
        self.group(70, "0");
        self.number(40, 0.0);
        self.number(41, 1.0);
        self.number(50, 0.0);
        self.group(71, "0");
        self.number(42, 2.5);
        self.group(3, "txt");
        self.group(4, "");
        self.group(0, "ENDTAB");
        self.group(0, "ENDSEC");
    }

    fn layer(&mut self, name: &str, colour: &str) {
        self.group(0, "LAYER");
        self.group(2, name);
        self.group(70, "0");
        self.group(62, colour);
        self.group(6, "CONTINUOUS");
    }

    fn begin(&mut self, kind: &str, layer: Layer, dash: Dash) {
        self.group(0, kind);
        self.group(8, layer.name());
        match dash {
            Dash::Solid => {}
            Dash::Dashed => self.group(6, "DASHED"),
            Dash::Dotted => self.group(6, "DOTTED"),
        }
    }

    fn entity(&mut self, ink: &Ink) {
        let layer = ink.layer;
        match &ink.shape {
            Shape::Line {
                points,
                closed,
                width,
                dash,
            } => match points.as_slice() {
                [from, to] if *width < THICK => {
                    self.begin("LINE", layer, *dash);
                    self.point(10, *from);
                    self.point(11, *to);
                }
                _ => {
                    let wide = if *width < THICK { 0.0 } else { *width };
                    let corners = points.iter().map(|point| (*point, 0.0));
                    self.polyline(layer, *dash, *closed, wide, corners);
                }
            },
            Shape::Curve { points, .. } => {
                let corners = (0..=CURVE_PIECES).map(|piece| {
                    let share = f64::from(piece) / f64::from(CURVE_PIECES);
                    (on_curve(points, share), 0.0)
                });
                self.polyline(layer, Dash::Solid, false, 0.0, corners);
            }
            Shape::Area { points } => self.area(layer, points),
            Shape::Circle {
                middle,
                radius,
                width: Some(_),
            } => {
                self.begin("CIRCLE", layer, Dash::Solid);
                self.point(10, *middle);
                self.length(40, *radius);
            }
            Shape::Circle {
                middle,
                radius,
                width: None,
            } => {
                // Two half circles of half the radius, as wide as the radius: a filled disc.
                let ends = [-0.5, 0.5].map(|side| {
                    let x = middle.x + side * radius;
                    (Point { x, y: middle.y }, 1.0)
                });
                self.polyline(layer, Dash::Solid, true, *radius, ends.into_iter());
            }
            Shape::Text(lettering) => self.lettering(layer, lettering),
        }
    }

    /// Corners, each with the bulge of the piece that begins there.
    fn polyline(
        &mut self,
        layer: Layer,
        dash: Dash,
        closed: bool,
        width: f64,
        corners: impl Iterator<Item = (Point, f64)>,
    ) {
        self.begin("POLYLINE", layer, dash);
        self.group(66, "1");
        self.number(10, 0.0);
        self.number(20, 0.0);
        self.group(70, if closed { "1" } else { "0" });
        self.length(40, width);
        self.length(41, width);
        for (corner, bulge) in corners {
            self.group(0, "VERTEX");
            self.group(8, layer.name());
            self.point(10, corner);
            if bulge != 0.0 {
                self.number(42, bulge);
            }
        }
        self.group(0, "SEQEND");
        self.group(8, layer.name());
    }

    /// A filled triangle or rectangle; other areas do not occur.
    fn area(&mut self, layer: Layer, points: &[Point]) {
        // The corners of a solid go across: third and fourth are exchanged; a triangle has its last corner twice.
        let corners = match points {
            [a, b, c] => [a, b, c, c],
            [a, b, c, d] => [a, b, d, c],
            _ => return,
        };
        self.begin("SOLID", layer, Dash::Solid);
        for (corner, code) in corners.into_iter().zip(10..) {
            self.point(code, *corner);
        }
    }

    fn lettering(&mut self, layer: Layer, lettering: &Lettering) {
        let bounds = lettering.bounds();
        let on_base = |x| Point {
            x,
            y: lettering.at.y,
        };
        self.begin("TEXT", layer, Dash::Solid);
        self.point(10, on_base(bounds.left));
        self.length(40, CAP_HEIGHT * lettering.size);
        self.group(1, &escaped(&lettering.text));
        self.group(72, "5");
        self.point(11, on_base(bounds.right));
    }
}

fn on_curve(points: &[Point; 4], share: f64) -> Point {
    let rest = 1.0 - share;
    let weights = [
        rest * rest * rest,
        3.0 * rest * rest * share,
        3.0 * rest * share * share,
        share * share * share,
    ];
    points
        .iter()
        .zip(weights)
        .fold(Point { x: 0.0, y: 0.0 }, |sum, (point, weight)| Point {
            x: sum.x + weight * point.x,
            y: sum.y + weight * point.y,
        })
}

/// A letter in code page 1252, if it has it: Latin 1, and of the others those that the sheet itself uses.
fn in_code_page(letter: char) -> Option<u8> {
    match letter {
        '…' => Some(0x85),
        '’' => Some(0x92),
        '–' => Some(0x96),
        '\u{80}'..='\u{9f}' => None,
        _ => u8::try_from(u32::from(letter)).ok(),
    }
}

/// Text as DXF takes it: what the code page lacks, and what DXF reads as more than itself, by its code point.
fn escaped(text: &str) -> String {
    let mut escaped = String::new();
    for letter in text.chars().filter(|letter| !letter.is_control()) {
        match letter {
            // Four digits are all that a code point may have.
            '\u{10000}'.. => escaped.push('?'),
            // A caret begins a control sign, a caret and a space are one caret.
            '^' => escaped.push_str("^ "),
            _ if in_code_page(letter).is_some() && !matches!(letter, '\\' | '{' | '}') => {
                escaped.push(letter);
            }
            _ => {
                let _ = write!(escaped, "\\U+{:04X}", u32::from(letter));
            }
        }
    }
    // Two percent signs begin a special sign; three are one percent sign.
    if escaped.contains("%%") {
        escaped.replace('%', "%%%")
    } else {
        escaped
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_that_dxf_reads_as_more_stand_as_their_code_point() {
        assert_eq!(escaped("6 mm² – 0.7 %"), "6 mm² – 0.7 %");
        assert_eq!(escaped("Ω 家"), "\\U+03A9 \\U+5BB6");
        assert_eq!(escaped("a\\b^I"), "a\\U+005Cb^ I");
        assert_eq!(escaped("%%d"), "%%%%%%d");
    }
}
