//! The key of the drawing sheet: every symbol, line and tag that occurs, with its meaning.

use super::call_out::TagKind;
use super::ink::{Dash, Hue, Ink, Layer, Shape, symbol, tag_inks, words};
use super::lettering::{TextStyle, cut};
use super::sheet::{Anchor, Path, Point, Sheet, Symbol};
use super::symbol::{SymbolKind, Turn, reach};
use super::table;

/// Height of an entry.
const ENTRY: f64 = 26.0;
/// Side of the box of a symbol.
const SIDE: f64 = 21.0;
/// Room for the sample before its meaning.
const SAMPLE: f64 = 34.0;

enum Sample {
    Symbol(SymbolKind),
    Line(Hue, f64, Dash),
    Tag(TagKind, &'static str),
}

/// The key of a diagram.
pub(super) struct Key {
    entries: Vec<(Sample, &'static str)>,
    set: super::SymbolSet,
}

impl Key {
    pub(super) fn of(sheet: &Sheet) -> Self {
        let mut entries: Vec<(Sample, &'static str)> = Vec::new();
        let mut kinds: Vec<SymbolKind> = Vec::new();
        for symbol in &sheet.drawn.symbols {
            if !kinds.contains(&symbol.kind) {
                kinds.push(symbol.kind);
            }
        }
        entries.extend(
            kinds
                .into_iter()
                .map(|kind| (Sample::Symbol(kind), meaning(kind))),
        );
        let has_path = |path| sheet.drawn.wires.iter().any(|wire| wire.path == path);
        let wires = [
            (Path::AcPv, Hue::Ac, Dash::Solid, "AC-joined PV"),
            (Path::DcPv, Hue::Dc, Dash::Dashed, "DC-joined PV"),
            (Path::Neutral, Hue::Ink, Dash::Solid, "grid, loads, storage"),
        ];
        for (path, hue, dash, words) in wires {
            if has_path(path) {
                entries.push((Sample::Line(hue, 1.4, dash), words));
            }
        }
        if sheet.drawn.symbols.iter().any(|symbol| symbol.standing) {
            let thin = Sample::Line(Hue::Soft, 0.8, Dash::Solid);
            entries.push((thin, "existing equipment"));
        }
        let tags = [
            (TagKind::Circuit, "3", "conductor table"),
            (TagKind::Marking, "A", "disconnect, label"),
            (TagKind::Join, "J1", "join of a source"),
        ];
        for (kind, text, words) in tags {
            if sheet.tags.iter().any(|tag| tag.kind == kind) {
                entries.push((Sample::Tag(kind, text), words));
            }
        }
        Self {
            entries,
            set: sheet.symbols,
        }
    }

    /// Height in two columns.
    pub(super) fn height(&self) -> f64 {
        table::TITLE + self.entries.len().div_ceil(2) as f64 * ENTRY
    }

    /// Draws the key from a corner.
    pub(super) fn draw(&self, at: Point, width: f64, inks: &mut Vec<Ink>) {
        let top = table::title("SYMBOLS AND LINES", at, width, inks) + 4.0;
        let rows = self.entries.len().div_ceil(2);
        for (index, (sample, meaning)) in self.entries.iter().enumerate() {
            let (column, row) = (index / rows.max(1), index % rows.max(1));
            let left = at.x + column as f64 * 0.5 * width;
            let middle = Point {
                x: left + 0.5 * (SAMPLE - 8.0),
                y: top + (row as f64 + 0.5) * ENTRY,
            };
            self.sample(sample, middle, inks);
            let base = Point {
                x: left + SAMPLE,
                y: middle.y + 3.6,
            };
            let said = cut(meaning, TextStyle::Tag, 0.5 * width - SAMPLE - 6.0);
            inks.push(words(
                Layer::Table,
                Hue::Ink,
                TextStyle::Tag,
                Anchor::Start,
                base,
                &said,
            ));
        }
    }

    fn sample(&self, sample: &Sample, middle: Point, inks: &mut Vec<Ink>) {
        match *sample {
            Sample::Symbol(kind) => {
                let [_, top, _, bottom] = reach(kind);
                let mut drawn = Vec::new();
                let off = (0.5 * (top + bottom) - 4.0) * SIDE / 8.0;
                symbol(
                    &Symbol {
                        kind,
                        middle: Point {
                            y: middle.y - off,
                            ..middle
                        },
                        size: SIDE,
                        turn: Turn::Upright,
                        part: None,
                        path: Path::Neutral,
                        standing: false,
                    },
                    self.set,
                    &mut drawn,
                );
                // It explains the diagram; it is no equipment.
                inks.extend(drawn.into_iter().map(|ink| Ink {
                    layer: Layer::Table,
                    ..ink
                }));
            }
            Sample::Line(hue, width, dash) => inks.push(Ink {
                layer: Layer::Table,
                hue,
                shape: Shape::Line {
                    points: [-13.0, 13.0]
                        .map(|x| Point {
                            x: middle.x + x,
                            ..middle
                        })
                        .to_vec(),
                    closed: false,
                    width,
                    dash,
                },
            }),
            Sample::Tag(kind, text) => {
                let mut tag = table::tag(kind, text, 0.0, 0.0);
                let (half_width, half_height) =
                    (0.5 * tag.bounds.width(), 0.5 * tag.bounds.height());
                tag.bounds.left = middle.x - half_width;
                tag.bounds.right = middle.x + half_width;
                tag.bounds.top = middle.y - half_height;
                tag.bounds.bottom = middle.y + half_height;
                inks.extend(tag_inks(&tag).into_iter().map(|ink| Ink {
                    layer: Layer::Table,
                    ..ink
                }));
            }
        }
    }
}

fn meaning(kind: SymbolKind) -> &'static str {
    match kind {
        SymbolKind::PvGenerator => "PV array",
        SymbolKind::PvInverter => "PV inverter",
        SymbolKind::Mppt => "MPPT input",
        SymbolKind::StorageInverter => "storage inverter",
        SymbolKind::Battery => "battery",
        SymbolKind::Breaker => "circuit breaker",
        SymbolKind::Disconnect => "disconnect",
        SymbolKind::TransferSwitch => "transfer switch",
        SymbolKind::Meter => "energy meter",
        SymbolKind::Utility => "utility",
        SymbolKind::Generator => "generator",
        SymbolKind::Load => "loads",
        SymbolKind::Motor => "motor load",
        SymbolKind::CarCharger => "car charger",
        SymbolKind::Heater => "heating load",
    }
}
