//! Graphical symbols as line work on an 8 × 8 box, drawn by us after the ideas of IEC 60617 and IEEE 315.

use crate::household::Supply;

/// Which family of symbols a sheet is drawn with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SymbolSet {
    /// IEC 60617.
    Iec60617,
    /// IEEE 315 (ANSI Y32.2).
    Ieee315,
}

impl SymbolSet {
    /// The family that is read where this supply is found: IEEE 315 on 60 Hz services, IEC 60617 on 50 Hz ones.
    #[must_use]
    pub fn of(supply: Supply) -> Self {
        if supply.frequency_hz() > 55.0 {
            Self::Ieee315
        } else {
            Self::Iec60617
        }
    }

    /// Name of the standard.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Iec60617 => "IEC 60617",
            Self::Ieee315 => "IEEE 315",
        }
    }
}

/// What a symbol stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SymbolKind {
    /// PV generator; terminal below.
    PvGenerator,
    /// Converter from DC (above) to AC (below).
    PvInverter,
    /// Converter from DC to DC: an MPPT input.
    Mppt,
    /// Converter between AC (left) and DC (right), both ways.
    StorageInverter,
    /// Battery of several cells; terminal above.
    Battery,
    /// Circuit breaker.
    Breaker,
    /// Switch that parts a circuit under load; terminals above and below.
    Disconnect,
    /// Transfer switch: it parts the backed-up bus from the grid side.
    TransferSwitch,
    /// Energy meter.
    Meter,
    /// The utility as an AC source; terminal above.
    Utility,
    /// A generator of alternating current, driven by an engine; terminal above.
    Generator,
    /// Loads of many kinds; terminal above.
    Load,
    /// A load that is a motor; terminal above.
    Motor,
    /// A car charger; terminal above.
    CarCharger,
    /// A load that is a heating element; terminal above.
    Heater,
}

/// How a symbol is turned.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turn {
    /// Terminals above and below.
    Upright,
    /// Terminals left and right: mirrored on the diagonal, so that what was above is left and what was left is above.
    Across,
}

/// One piece of line work; x to the right, y down, in units of an eighth of the symbol.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Stroke {
    /// A straight line.
    Line([f64; 4]),
    /// A cubic curve: start, two handles, end.
    Curve([f64; 8]),
    /// A rectangle: left, top, width, height.
    Rect([f64; 4]),
    /// A filled rectangle: left, top, width, height.
    Bar([f64; 4]),
    /// A circle: centre and radius.
    Circle([f64; 3]),
    /// A filled circle: centre and radius.
    Dot([f64; 3]),
    /// A filled triangle: three corners.
    Head([f64; 6]),
    /// Letters centred on a point.
    Letters {
        /// The point.
        at: [f64; 2],
        /// Height of the type.
        size: f64,
        /// The letters.
        text: &'static str,
    },
}

use Stroke::{Bar, Circle, Curve, Dot, Head, Letters, Line, Rect};

const BOX: Stroke = Rect([0.0, 0.0, 8.0, 8.0]);
const DIAGONAL: Stroke = Line([0.0, 8.0, 8.0, 0.0]);

// The mark of direct current, a line over a broken line, and of alternating current, one period of a sine; in the
// upper left and the lower right half of a converter.
const DC_LINE_UPPER: Stroke = Line([1.0, 1.7, 3.8, 1.7]);
const DC_DASH_1_UPPER: Stroke = Line([1.0, 2.7, 1.7, 2.7]);
const DC_DASH_2_UPPER: Stroke = Line([2.05, 2.7, 2.75, 2.7]);
const DC_DASH_3_UPPER: Stroke = Line([3.1, 2.7, 3.8, 2.7]);
const DC_LINE_LOWER: Stroke = Line([4.2, 5.5, 7.0, 5.5]);
const DC_DASH_1_LOWER: Stroke = Line([4.2, 6.5, 4.9, 6.5]);
const DC_DASH_2_LOWER: Stroke = Line([5.25, 6.5, 5.95, 6.5]);
const DC_DASH_3_LOWER: Stroke = Line([6.3, 6.5, 7.0, 6.5]);
const AC_UPPER: Stroke = Curve([0.9, 2.2, 1.9, 0.2, 2.9, 4.2, 3.9, 2.2]);
const AC_LOWER: Stroke = Curve([4.1, 6.0, 5.1, 4.0, 6.1, 8.0, 7.1, 6.0]);

// Light that falls on a cell: two arrows from the upper left.
const LIGHT_1: Stroke = Line([1.0, 1.1, 2.4, 2.9]);
const LIGHT_1_HEAD: Stroke = Head([3.0, 3.7, 1.75, 2.95, 2.65, 2.25]);
const LIGHT_2: Stroke = Line([3.2, 1.1, 4.6, 2.9]);
const LIGHT_2_HEAD: Stroke = Head([5.2, 3.7, 3.95, 2.95, 4.85, 2.25]);
const CELL_LONG: Stroke = Line([1.9, 4.9, 6.1, 4.9]);
const CELL_SHORT: Stroke = Bar([3.0, 5.75, 2.0, 0.55]);
const CELL_STEM: Stroke = Line([4.0, 6.3, 4.0, 8.0]);

const STEM_ABOVE: Stroke = Line([4.0, 0.0, 4.0, 2.2]);
const STEM_BELOW: Stroke = Line([4.0, 6.2, 4.0, 8.0]);
const BLADE: Stroke = Line([4.0, 6.2, 2.0, 2.4]);

/// The line work of a symbol in a family.
#[must_use]
pub fn line_work(kind: SymbolKind, set: SymbolSet) -> &'static [Stroke] {
    match (kind, set) {
        (SymbolKind::PvGenerator, SymbolSet::Iec60617) => &[
            BOX,
            LIGHT_1,
            LIGHT_1_HEAD,
            LIGHT_2,
            LIGHT_2_HEAD,
            CELL_LONG,
            CELL_SHORT,
            CELL_STEM,
        ],
        (SymbolKind::PvGenerator, SymbolSet::Ieee315) => &[
            Circle([4.0, 4.0, 4.0]),
            Line([1.9, 1.5, 2.7, 2.8]),
            Head([3.2, 3.6, 2.15, 2.75, 3.1, 2.2]),
            Line([4.0, 1.1, 4.8, 2.4]),
            Head([5.3, 3.2, 4.25, 2.35, 5.2, 1.8]),
            CELL_LONG,
            CELL_SHORT,
            CELL_STEM,
        ],
        (SymbolKind::PvInverter, SymbolSet::Iec60617) => &[
            BOX,
            DIAGONAL,
            DC_LINE_UPPER,
            DC_DASH_1_UPPER,
            DC_DASH_2_UPPER,
            DC_DASH_3_UPPER,
            AC_LOWER,
        ],
        (SymbolKind::PvInverter, SymbolSet::Ieee315) => &[
            BOX,
            Line([0.0, 4.0, 8.0, 4.0]),
            Letters {
                at: [4.0, 2.0],
                size: 2.7,
                text: "DC",
            },
            Letters {
                at: [4.0, 6.0],
                size: 2.7,
                text: "AC",
            },
        ],
        (SymbolKind::Mppt, SymbolSet::Iec60617) => &[
            BOX,
            DIAGONAL,
            DC_LINE_UPPER,
            DC_DASH_1_UPPER,
            DC_DASH_2_UPPER,
            DC_DASH_3_UPPER,
            DC_LINE_LOWER,
            DC_DASH_1_LOWER,
            DC_DASH_2_LOWER,
            DC_DASH_3_LOWER,
        ],
        (SymbolKind::Mppt, SymbolSet::Ieee315) => &[
            BOX,
            Line([0.0, 4.0, 8.0, 4.0]),
            Letters {
                at: [4.0, 2.0],
                size: 2.7,
                text: "DC",
            },
            Letters {
                at: [4.0, 6.0],
                size: 2.7,
                text: "DC",
            },
        ],
        (SymbolKind::StorageInverter, SymbolSet::Iec60617) => &[
            BOX,
            DIAGONAL,
            AC_UPPER,
            DC_LINE_LOWER,
            DC_DASH_1_LOWER,
            DC_DASH_2_LOWER,
            DC_DASH_3_LOWER,
            Line([1.6, 9.2, 6.4, 9.2]),
            Head([0.6, 9.2, 1.9, 8.65, 1.9, 9.75]),
            Head([7.4, 9.2, 6.1, 8.65, 6.1, 9.75]),
        ],
        (SymbolKind::StorageInverter, SymbolSet::Ieee315) => &[
            BOX,
            Line([4.0, 0.0, 4.0, 8.0]),
            Letters {
                at: [2.0, 4.0],
                size: 2.5,
                text: "AC",
            },
            Letters {
                at: [6.0, 4.0],
                size: 2.5,
                text: "DC",
            },
            Line([1.6, 9.2, 6.4, 9.2]),
            Head([0.6, 9.2, 1.9, 8.65, 1.9, 9.75]),
            Head([7.4, 9.2, 6.1, 8.65, 6.1, 9.75]),
        ],
        (SymbolKind::Battery, _) => &[
            Line([4.0, 0.0, 4.0, 1.4]),
            Line([0.4, 1.4, 7.6, 1.4]),
            Bar([2.3, 2.7, 3.4, 0.6]),
            Line([4.0, 3.4, 4.0, 3.8]),
            Line([4.0, 4.2, 4.0, 4.6]),
            Line([4.0, 5.0, 4.0, 5.4]),
            Line([0.4, 5.5, 7.6, 5.5]),
            Bar([2.3, 6.8, 3.4, 0.6]),
        ],
        (SymbolKind::Breaker, SymbolSet::Iec60617) => &[
            STEM_ABOVE,
            Line([3.2, 1.4, 4.8, 3.0]),
            Line([4.8, 1.4, 3.2, 3.0]),
            BLADE,
            STEM_BELOW,
        ],
        (SymbolKind::Breaker, SymbolSet::Ieee315) => &[
            Line([4.0, 0.0, 4.0, 1.6]),
            Dot([4.0, 1.8, 0.55]),
            Curve([4.0, 1.2, 7.0, 2.2, 7.0, 5.8, 4.0, 6.8]),
            Dot([4.0, 6.2, 0.55]),
            Line([4.0, 6.4, 4.0, 8.0]),
        ],
        (SymbolKind::Disconnect, SymbolSet::Iec60617) => &[
            Line([4.0, 0.0, 4.0, 1.2]),
            Line([3.0, 1.2, 5.0, 1.2]),
            Circle([4.0, 1.75, 0.55]),
            BLADE,
            STEM_BELOW,
        ],
        (SymbolKind::Disconnect, SymbolSet::Ieee315) => &[
            Line([4.0, 0.0, 4.0, 1.5]),
            Circle([4.0, 2.1, 0.6]),
            Line([3.7, 5.7, 2.0, 2.4]),
            Circle([4.0, 6.3, 0.6]),
            Line([4.0, 6.9, 4.0, 8.0]),
        ],
        (SymbolKind::TransferSwitch, SymbolSet::Iec60617) => &[
            STEM_ABOVE,
            Line([3.0, 2.2, 5.0, 2.2]),
            BLADE,
            STEM_BELOW,
            Line([3.0, 4.3, 1.9, 4.3]),
            Rect([0.0, 3.4, 1.8, 1.8]),
        ],
        (SymbolKind::TransferSwitch, SymbolSet::Ieee315) => &[
            Line([4.0, 0.0, 4.0, 1.5]),
            Circle([4.0, 2.1, 0.6]),
            Line([3.7, 5.7, 2.0, 2.4]),
            Circle([4.0, 6.3, 0.6]),
            Line([4.0, 6.9, 4.0, 8.0]),
            Line([2.9, 4.2, 1.9, 4.2]),
            Rect([0.0, 3.3, 1.8, 1.8]),
        ],
        (SymbolKind::Meter, SymbolSet::Iec60617) => &[
            BOX,
            Line([0.0, 1.7, 8.0, 1.7]),
            Letters {
                at: [4.0, 4.9],
                size: 3.4,
                text: "Wh",
            },
        ],
        (SymbolKind::Meter, SymbolSet::Ieee315) => &[
            Circle([4.0, 4.0, 4.0]),
            Letters {
                at: [4.0, 4.0],
                size: 3.2,
                text: "WH",
            },
        ],
        (SymbolKind::Utility, _) => &[
            Circle([4.0, 4.0, 4.0]),
            Curve([1.7, 4.0, 3.3, 0.6, 4.7, 7.4, 6.3, 4.0]),
        ],
        (SymbolKind::Generator, SymbolSet::Iec60617) => &[
            Circle([4.0, 4.0, 4.0]),
            Letters {
                at: [4.0, 3.1],
                size: 3.6,
                text: "G",
            },
            Curve([2.4, 6.0, 3.4, 4.4, 4.6, 7.6, 5.6, 6.0]),
        ],
        (SymbolKind::Generator, SymbolSet::Ieee315) => &[
            Circle([4.0, 4.0, 4.0]),
            Letters {
                at: [4.0, 4.0],
                size: 2.9,
                text: "GEN",
            },
        ],
        (SymbolKind::Load, _) => &[
            Line([4.0, 0.0, 4.0, 4.6]),
            Head([4.0, 8.0, 2.2, 3.6, 5.8, 3.6]),
        ],
        (SymbolKind::Motor, _) => &[
            Circle([4.0, 4.0, 4.0]),
            Letters {
                at: [4.0, 4.0],
                size: 4.0,
                text: "M",
            },
        ],
        (SymbolKind::CarCharger, _) => &[
            BOX,
            Letters {
                at: [4.0, 4.0],
                size: 3.6,
                text: "EV",
            },
        ],
        (SymbolKind::Heater, _) => &[
            Line([4.0, 0.0, 4.0, 2.2]),
            Rect([0.0, 2.2, 8.0, 4.0]),
            Line([2.0, 2.2, 2.0, 6.2]),
            Line([4.0, 2.2, 4.0, 6.2]),
            Line([6.0, 2.2, 6.0, 6.2]),
        ],
    }
}

/// How far the line work of a symbol reaches: left, top, right, bottom, on its 8 × 8 box.
pub(super) fn reach(kind: SymbolKind) -> [f64; 4] {
    match kind {
        SymbolKind::StorageInverter => [0.0, 0.0, 8.0, 9.8],
        SymbolKind::Breaker => [2.0, 0.0, 6.3, 8.0],
        SymbolKind::Disconnect => [2.0, 0.0, 5.0, 8.0],
        SymbolKind::TransferSwitch => [0.0, 0.0, 5.0, 8.0],
        SymbolKind::PvGenerator
        | SymbolKind::PvInverter
        | SymbolKind::Mppt
        | SymbolKind::Battery
        | SymbolKind::Meter
        | SymbolKind::Utility
        | SymbolKind::Generator
        | SymbolKind::Load
        | SymbolKind::Motor
        | SymbolKind::CarCharger
        | SymbolKind::Heater => [0.0, 0.0, 8.0, 8.0],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const KINDS: [SymbolKind; 15] = [
        SymbolKind::Disconnect,
        SymbolKind::PvGenerator,
        SymbolKind::PvInverter,
        SymbolKind::Mppt,
        SymbolKind::StorageInverter,
        SymbolKind::Battery,
        SymbolKind::Breaker,
        SymbolKind::TransferSwitch,
        SymbolKind::Meter,
        SymbolKind::Utility,
        SymbolKind::Generator,
        SymbolKind::Load,
        SymbolKind::Motor,
        SymbolKind::CarCharger,
        SymbolKind::Heater,
    ];

    fn points(stroke: &Stroke) -> Vec<(f64, f64)> {
        let pairs = |numbers: &[f64]| {
            numbers
                .chunks(2)
                .map(|pair| (pair[0], pair[1]))
                .collect::<Vec<_>>()
        };
        match stroke {
            Line(line) => pairs(line),
            // A cubic curve lies within the hull of its ends and the points at three quarters to its handles.
            Curve([x0, y0, x1, y1, x2, y2, x3, y3]) => vec![
                (*x0, *y0),
                (x0 + 0.75 * (x1 - x0), y0 + 0.5 * (y1 - y0)),
                (x3 + 0.75 * (x2 - x3), y3 + 0.5 * (y2 - y3)),
                (*x3, *y3),
            ],
            Rect([x, y, w, h]) | Bar([x, y, w, h]) => vec![(*x, *y), (x + w, y + h)],
            Circle([x, y, r]) | Dot([x, y, r]) => vec![(x - r, y - r), (x + r, y + r)],
            Head(corners) => pairs(corners),
            Letters { at, size, text } => {
                let half = 0.3 * size * if text.len() > 1 { 2.0 } else { 1.2 };
                vec![
                    (at[0] - half, at[1] - 0.35 * size),
                    (at[0] + half, at[1] + 0.35 * size),
                ]
            }
        }
    }

    #[test]
    fn line_work_stays_within_the_reach_of_its_symbol() {
        for kind in KINDS {
            let [left, top, right, bottom] = reach(kind);
            for set in [SymbolSet::Iec60617, SymbolSet::Ieee315] {
                for (x, y) in line_work(kind, set).iter().flat_map(points) {
                    assert!(
                        (left - 1e-9..=right + 1e-9).contains(&x)
                            && (top - 1e-9..=bottom + 1e-9).contains(&y),
                        "{kind:?} in {set:?} reaches ({x}, {y})"
                    );
                }
            }
        }
    }
}
