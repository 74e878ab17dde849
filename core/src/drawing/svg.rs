//! The drawing sheet as an SVG file that stands alone: for keeping, sending and printing.

use std::fmt::Write;

use super::full_sheet::FullSheet;
use super::ink::{Dash, Hue, Ink, Layer, Lettering, Shape};
use super::outline::{path_data, short};
use super::sheet::{Anchor, Point};

/// The drawing sheet as an SVG file.
///
/// Its size is that of the paper; every text is held to the room that was kept for it, so that the sheet looks alike wherever it
/// is opened.
///
/// - `faces`: `@font-face` rules of the family `Couplet Sans` with their fonts within them; without any, fonts of like width that
///   the reader has are used
#[must_use]
pub fn svg(sheet: &FullSheet, faces: &str) -> String {
    let mut file = String::new();
    // Writing to a string cannot fail.
    let _ = draw(&mut file, sheet, faces);
    file
}

fn draw(file: &mut String, sheet: &FullSheet, faces: &str) -> std::fmt::Result {
    writeln!(
        file,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" width=\"{}mm\" height=\"{}mm\" \
         font-family=\"'Couplet Sans', 'Barlow Semi Condensed', 'Arial Narrow', Arial, sans-serif\" fill=\"none\" role=\"img\">",
        short(sheet.width * sheet.mm_per_unit),
        short(sheet.height * sheet.mm_per_unit),
        width = short(sheet.width),
        height = short(sheet.height),
    )?;
    writeln!(file, "<title>{}</title>", escaped(&sheet.title))?;
    if !faces.is_empty() {
        writeln!(file, "<style>{faces}</style>")?;
    }
    writeln!(
        file,
        "<rect width=\"{}\" height=\"{}\" fill=\"#ffffff\"/>",
        short(sheet.width),
        short(sheet.height)
    )?;
    for layer in Layer::ALL {
        writeln!(file, "<g id=\"{}\">", layer.name())?;
        for ink in sheet.inks.iter().filter(|ink| ink.layer == layer) {
            piece(file, ink)?;
        }
        writeln!(file, "</g>")?;
    }
    writeln!(file, "</svg>")
}

fn colour(hue: Hue) -> &'static str {
    match hue {
        Hue::Ac => "#1f5c99",
        Hue::Dc => "#b4541a",
        Hue::Ink => "#1d232b",
        Hue::Soft => "#565c64",
    }
}

fn piece(file: &mut String, ink: &Ink) -> std::fmt::Result {
    let hue = colour(ink.hue);
    match &ink.shape {
        Shape::Line {
            points,
            closed,
            width,
            dash,
        } => {
            let close = if *closed { "Z" } else { "" };
            let dash = match dash {
                Dash::Solid => "",
                Dash::Dashed => " stroke-dasharray=\"11 2.5\"",
                Dash::Dotted => " stroke-dasharray=\"1 4\"",
            };
            writeln!(
                file,
                "<path d=\"{}{close}\" stroke=\"{hue}\" stroke-width=\"{width}\"{dash}/>",
                path_data(points)
            )
        }
        Shape::Curve { points, width } => {
            let [start, first, second, end] = points.map(place);
            writeln!(
                file,
                "<path d=\"M{start}C{first} {second} {end}\" stroke=\"{hue}\" stroke-width=\"{width}\"/>"
            )
        }
        Shape::Area { points } => {
            writeln!(file, "<path d=\"{}Z\" fill=\"{hue}\"/>", path_data(points))
        }
        Shape::Circle {
            middle,
            radius,
            width,
        } => {
            let drawn = match width {
                Some(width) => format!("stroke=\"{hue}\" stroke-width=\"{width}\""),
                None => format!("fill=\"{hue}\""),
            };
            writeln!(
                file,
                "<circle cx=\"{}\" cy=\"{}\" r=\"{}\" {drawn}/>",
                short(middle.x),
                short(middle.y),
                short(*radius)
            )
        }
        Shape::Text(lettering) => text(file, lettering, hue),
    }
}

fn place(point: Point) -> String {
    format!("{} {}", short(point.x), short(point.y))
}

fn text(file: &mut String, lettering: &Lettering, hue: &str) -> std::fmt::Result {
    let weight = if lettering.strong { 600 } else { 400 };
    let anchor = match lettering.anchor {
        Anchor::Start => "start",
        Anchor::Middle => "middle",
    };
    writeln!(
        file,
        "<text x=\"{}\" y=\"{}\" font-size=\"{}\" font-weight=\"{weight}\" text-anchor=\"{anchor}\" textLength=\"{}\" \
         lengthAdjust=\"spacingAndGlyphs\" fill=\"{hue}\">{}</text>",
        short(lettering.at.x),
        short(lettering.at.y),
        short(lettering.size),
        short(lettering.width),
        escaped(&lettering.text)
    )
}

/// Text as XML takes it; letters that XML has no place for are left out.
fn escaped(text: &str) -> String {
    text.chars()
        .filter(|letter| !letter.is_control() && !matches!(letter, '\u{fffe}' | '\u{ffff}'))
        .collect::<String>()
        .replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}
