//! A drawing as plain line work and lettering on layers: what files are written from.

use super::call_out::{Tag, TagKind};
use super::lettering::{TextStyle, plain, width};
use super::sheet::{Anchor, Bounds, BusKey, Drawn, Path, Point, Sheet, Symbol, Text};
use super::symbol::{Stroke, SymbolSet, line_work};

/// What a piece of the drawing is about; files keep the layers apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Layer {
    /// AC-joined PV and the AC buses.
    AcPv,
    /// DC-joined PV and the DC buses.
    DcPv,
    /// Utility, loads and storage.
    Power,
    /// Lettering of the diagram.
    Text,
    /// Tags of conductors and joins.
    CallOut,
    /// Tags of disconnects and labels.
    Marking,
    /// Tables and legend.
    Table,
    /// Frame and title block.
    Frame,
}

impl Layer {
    /// Every layer.
    pub const ALL: [Self; 8] = [
        Self::AcPv,
        Self::DcPv,
        Self::Power,
        Self::Text,
        Self::CallOut,
        Self::Marking,
        Self::Table,
        Self::Frame,
    ];

    /// Its name in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::AcPv => "AC_PV",
            Self::DcPv => "DC_PV",
            Self::Power => "POWER",
            Self::Text => "TEXT",
            Self::CallOut => "CALLOUT",
            Self::Marking => "MARKING",
            Self::Table => "TABLE",
            Self::Frame => "FRAME",
        }
    }
}

/// Colour of a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hue {
    /// AC-joined PV.
    Ac,
    /// DC-joined PV.
    Dc,
    /// All else.
    Ink,
    /// What stands back.
    Soft,
}

/// How a line is broken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dash {
    /// Not at all.
    Solid,
    /// Long dashes: direct current.
    Dashed,
    /// Dots: the border between buses.
    Dotted,
}

/// Words in their place.
#[derive(Clone, Debug, PartialEq)]
pub struct Lettering {
    /// On the base line.
    pub at: Point,
    /// Which point of the words `at` is.
    pub anchor: Anchor,
    /// Size of the type.
    pub size: f64,
    /// Whether it is set strong.
    pub strong: bool,
    /// The words.
    pub text: String,
    /// How wide they run.
    pub width: f64,
}

impl Lettering {
    /// The room it takes.
    #[must_use]
    pub fn bounds(&self) -> Bounds {
        let left = match self.anchor {
            Anchor::Start => self.at.x,
            Anchor::Middle => self.at.x - 0.5 * self.width,
        };
        Bounds {
            left,
            top: self.at.y - 0.76 * self.size,
            right: left + self.width,
            bottom: self.at.y + 0.22 * self.size,
        }
    }
}

/// A shape in units of the sheet.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// Straight lines from point to point.
    Line {
        /// Corners.
        points: Vec<Point>,
        /// Whether the last corner is joined to the first.
        closed: bool,
        /// Width of the line.
        width: f64,
        /// How it is broken.
        dash: Dash,
    },
    /// A cubic curve: start, two handles, end.
    Curve {
        /// Its four points.
        points: [Point; 4],
        /// Width of the line.
        width: f64,
    },
    /// A filled polygon.
    Area {
        /// Corners.
        points: Vec<Point>,
    },
    /// A circle.
    Circle {
        /// Middle.
        middle: Point,
        /// Radius.
        radius: f64,
        /// Width of the line; none: it is filled.
        width: Option<f64>,
    },
    /// Words.
    Text(Lettering),
}

/// A piece of the drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Ink {
    /// Its layer.
    pub layer: Layer,
    /// Its colour.
    pub hue: Hue,
    /// What it is.
    pub shape: Shape,
}

/// Width of the line of a wire.
const WIRE: f64 = 1.4;
/// Width of the line of what stands already.
const STANDING: f64 = 0.8;
/// Width of a rule.
pub(super) const RULE: f64 = 0.8;
/// Width of a thin rule.
pub(super) const THIN: f64 = 0.5;

pub(super) fn line(layer: Layer, hue: Hue, points: Vec<Point>, width: f64) -> Ink {
    Ink {
        layer,
        hue,
        shape: Shape::Line {
            points,
            closed: false,
            width,
            dash: Dash::Solid,
        },
    }
}

pub(super) fn rectangle(layer: Layer, hue: Hue, bounds: &Bounds, width: f64) -> Ink {
    let Bounds {
        left,
        top,
        right,
        bottom,
    } = *bounds;
    Ink {
        layer,
        hue,
        shape: Shape::Line {
            points: [(left, top), (right, top), (right, bottom), (left, bottom)]
                .map(|(x, y)| Point { x, y })
                .to_vec(),
            closed: true,
            width,
            dash: Dash::Solid,
        },
    }
}

pub(super) fn words(
    layer: Layer,
    hue: Hue,
    style: TextStyle,
    anchor: Anchor,
    at: Point,
    text: &str,
) -> Ink {
    let text = text.trim();
    Ink {
        layer,
        hue,
        shape: Shape::Text(Lettering {
            at,
            anchor,
            size: style.size(),
            strong: !matches!(
                style,
                TextStyle::Detail | TextStyle::Heading | TextStyle::Tag
            ),
            text: text.to_owned(),
            width: width(text, style),
        }),
    }
}

fn of_path(path: Path) -> (Layer, Hue) {
    match path {
        Path::AcPv => (Layer::AcPv, Hue::Ac),
        Path::DcPv => (Layer::DcPv, Hue::Dc),
        Path::Neutral => (Layer::Power, Hue::Ink),
    }
}

/// The diagram of a sheet, without its legend, its title block and what changes with the time.
pub(super) fn diagram(sheet: &Sheet) -> Vec<Ink> {
    let mut inks = Vec::new();
    for border in sheet.borders() {
        inks.push(Ink {
            layer: Layer::Frame,
            hue: Hue::Soft,
            shape: Shape::Line {
                points: border.to_vec(),
                closed: false,
                width: THIN,
                dash: Dash::Dotted,
            },
        });
    }
    for bus in &sheet.buses {
        let points = vec![bus.from, bus.to];
        match bus.key {
            BusKey::Ac(_) => inks.push(line(Layer::AcPv, Hue::Ac, points, 5.0)),
            // Direct current runs on two rails: the bus is told apart without its hue.
            BusKey::Dc(_) => inks.extend([-1.6, 1.6].map(|aside| {
                let rail = points.iter().map(|point| Point {
                    y: point.y + aside,
                    ..*point
                });
                line(Layer::DcPv, Hue::Dc, rail.collect(), 1.8)
            })),
        }
        inks.push(text(&bus.name));
    }
    drawn(&sheet.drawn, sheet.symbols, &mut inks);
    for tag in &sheet.tags {
        inks.extend(tag_inks(tag));
    }
    inks
}

fn text(of: &Text) -> Ink {
    let hue = match of.style {
        TextStyle::Name => Hue::Ink,
        _ => Hue::Soft,
    };
    words(
        Layer::Text,
        hue,
        of.style,
        of.anchor,
        of.at,
        &plain(&of.pieces),
    )
}

fn drawn(drawn: &Drawn, set: SymbolSet, inks: &mut Vec<Ink>) {
    for wire in &drawn.wires {
        let (layer, hue) = of_path(wire.path);
        inks.push(Ink {
            layer,
            hue,
            shape: Shape::Line {
                points: wire.points.clone(),
                closed: false,
                width: if wire.standing { STANDING } else { WIRE },
                dash: match wire.path {
                    Path::DcPv => Dash::Dashed,
                    Path::AcPv | Path::Neutral => Dash::Solid,
                },
            },
        });
    }
    for one in &drawn.symbols {
        symbol(one, set, inks);
    }
    inks.extend(
        drawn
            .texts
            .iter()
            .filter(|text| !text.pieces.is_empty())
            .map(text),
    );
}

/// The line work of a symbol in its place.
pub(super) fn symbol(symbol: &Symbol, set: SymbolSet, inks: &mut Vec<Ink>) {
    let (layer, hue) = of_path(symbol.path);
    let width = if symbol.standing { STANDING } else { WIRE };
    let unit = symbol.size / 8.0;
    let at = |x: f64, y: f64| symbol.place(x, y);
    let corners =
        |[x, y, w, h]: [f64; 4]| vec![at(x, y), at(x + w, y), at(x + w, y + h), at(x, y + h)];
    for stroke in line_work(symbol.kind, set) {
        let shape = match *stroke {
            Stroke::Line([x0, y0, x1, y1]) => Shape::Line {
                points: vec![at(x0, y0), at(x1, y1)],
                closed: false,
                width,
                dash: Dash::Solid,
            },
            Stroke::Curve([x0, y0, x1, y1, x2, y2, x3, y3]) => Shape::Curve {
                points: [at(x0, y0), at(x1, y1), at(x2, y2), at(x3, y3)],
                width,
            },
            Stroke::Rect(rect) => Shape::Line {
                points: corners(rect),
                closed: true,
                width,
                dash: Dash::Solid,
            },
            Stroke::Bar(rect) => Shape::Area {
                points: corners(rect),
            },
            Stroke::Circle([x, y, radius]) => Shape::Circle {
                middle: at(x, y),
                radius: radius * unit,
                width: Some(width),
            },
            Stroke::Dot([x, y, radius]) => Shape::Circle {
                middle: at(x, y),
                radius: radius * unit,
                width: None,
            },
            Stroke::Head([x0, y0, x1, y1, x2, y2]) => Shape::Area {
                points: vec![at(x0, y0), at(x1, y1), at(x2, y2)],
            },
            Stroke::Letters {
                at: [x, y],
                size,
                text,
            } => {
                let (middle, size) = (at(x, y), size * unit);
                Shape::Text(Lettering {
                    at: Point {
                        x: middle.x,
                        y: middle.y + 0.35 * size,
                    },
                    anchor: Anchor::Middle,
                    size,
                    strong: true,
                    text: text.to_owned(),
                    width: width_at(text, size),
                })
            }
        };
        inks.push(Ink { layer, hue, shape });
    }
}

fn width_at(text: &str, size: f64) -> f64 {
    width(text, TextStyle::Name) / TextStyle::Name.size() * size
}

/// A tag: conductors in a capsule, markings in a box, joins without a line around.
pub(super) fn tag_inks(tag: &Tag) -> Vec<Ink> {
    let layer = match tag.kind {
        TagKind::Circuit | TagKind::Join => Layer::CallOut,
        TagKind::Marking => Layer::Marking,
    };
    let middle = tag.bounds.middle();
    let around = match tag.kind {
        TagKind::Circuit => Some(Ink {
            layer,
            hue: Hue::Ink,
            shape: Shape::Line {
                points: capsule(&tag.bounds),
                closed: true,
                width: RULE,
                dash: Dash::Solid,
            },
        }),
        TagKind::Marking => Some(rectangle(layer, Hue::Ink, &tag.bounds, RULE)),
        TagKind::Join => None,
    };
    let at = Point {
        x: middle.x,
        y: middle.y + 0.36 * TextStyle::Tag.size(),
    };
    let mut inks: Vec<Ink> = around.into_iter().collect();
    inks.push(words(
        layer,
        Hue::Ink,
        TextStyle::Tag,
        Anchor::Middle,
        at,
        &tag.text,
    ));
    inks
}

/// A rectangle whose ends are half circles, as corners: eight to each end.
#[must_use]
fn capsule(bounds: &Bounds) -> Vec<Point> {
    const STEPS: u32 = 8;
    let radius = 0.5 * bounds.height().min(bounds.width());
    let y = bounds.middle().y;
    let end = |x: f64, from_rad: f64| {
        (0..=STEPS).map(move |step| {
            let angle_rad = from_rad + std::f64::consts::PI * f64::from(step) / f64::from(STEPS);
            Point {
                x: x + radius * libm::cos(angle_rad),
                y: y + radius * libm::sin(angle_rad),
            }
        })
    };
    end(bounds.right - radius, -std::f64::consts::FRAC_PI_2)
        .chain(end(bounds.left + radius, std::f64::consts::FRAC_PI_2))
        .collect()
}
