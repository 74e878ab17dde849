//! A sheet as data: what is drawn where, in units that are one CSS pixel when the sheet is shown at its own size;
//! x to the right, y down.

use super::flow::FlowKey;
use super::lettering::{Piece, TextStyle, plain, width};
use super::symbol::{SymbolKind, SymbolSet, Turn, reach};
use super::{Moving, Part, Tag, Target};
use crate::coupling::Join;
use crate::household::{AcSide, StorageId};

/// A point of the sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// To the right.
    pub x: f64,
    /// Down.
    pub y: f64,
}

/// A rectangle of the sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// Left edge.
    pub left: f64,
    /// Upper edge.
    pub top: f64,
    /// Right edge.
    pub right: f64,
    /// Lower edge.
    pub bottom: f64,
}

impl Bounds {
    /// Width.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.right - self.left
    }

    /// Height.
    #[must_use]
    pub fn height(&self) -> f64 {
        self.bottom - self.top
    }

    /// Middle.
    #[must_use]
    pub fn middle(&self) -> Point {
        Point {
            x: f64::midpoint(self.left, self.right),
            y: f64::midpoint(self.top, self.bottom),
        }
    }

    /// Whether two rectangles share more than an edge.
    #[must_use]
    pub fn meets(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    /// Whether the other lies wholly within this one.
    #[must_use]
    pub fn holds(&self, other: &Self) -> bool {
        self.left <= other.left
            && self.right >= other.right
            && self.top <= other.top
            && self.bottom >= other.bottom
    }

    /// The smallest rectangle around both.
    #[must_use]
    pub fn with(&self, other: &Self) -> Self {
        Self {
            left: self.left.min(other.left),
            top: self.top.min(other.top),
            right: self.right.max(other.right),
            bottom: self.bottom.max(other.bottom),
        }
    }

    /// Wider by `by` on every side.
    #[must_use]
    pub fn wider(&self, by: f64) -> Self {
        Self {
            left: self.left - by,
            top: self.top - by,
            right: self.right + by,
            bottom: self.bottom + by,
        }
    }

    /// The same middle, at least this wide and high.
    #[must_use]
    pub fn at_least(&self, size: f64) -> Self {
        let middle = self.middle();
        let half_width = 0.5 * self.width().max(size);
        let half_height = 0.5 * self.height().max(size);
        Self {
            left: middle.x - half_width,
            top: middle.y - half_height,
            right: middle.x + half_width,
            bottom: middle.y + half_height,
        }
    }
}

/// Which path a line belongs to; it decides the hue, and the dash of the DC-joined path.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Path {
    /// From an AC-joined array to its AC bus; the AC buses.
    AcPv,
    /// From a DC-joined array to its DC bus; the DC buses.
    DcPv,
    /// All else: utility, loads, storage.
    Neutral,
}

/// A symbol on the sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Symbol {
    /// What it stands for.
    pub kind: SymbolKind,
    /// Its middle.
    pub middle: Point,
    /// Side of its 8 × 8 box.
    pub size: f64,
    /// How it is turned.
    pub turn: Turn,
    /// The part it belongs to.
    pub part: Option<Part>,
    /// Its path.
    pub path: Path,
    /// Whether it stands already.
    pub standing: bool,
}

impl Symbol {
    /// What its line work covers.
    #[must_use]
    pub fn bounds(&self) -> Bounds {
        let unit = self.size / 8.0;
        let [left, top, right, bottom] = reach(self.kind);
        let (left, top, right, bottom) = match self.turn {
            Turn::Upright => (left, top, right, bottom),
            Turn::Across => (top, left, bottom, right),
        };
        let corner = Point {
            x: self.middle.x - 0.5 * self.size,
            y: self.middle.y - 0.5 * self.size,
        };
        Bounds {
            left: corner.x + left * unit,
            top: corner.y + top * unit,
            right: corner.x + right * unit,
            bottom: corner.y + bottom * unit,
        }
    }

    /// Takes a point of the 8 × 8 box to the sheet.
    #[must_use]
    pub fn place(&self, x: f64, y: f64) -> Point {
        let unit = self.size / 8.0;
        let (x, y) = match self.turn {
            Turn::Upright => (x, y),
            Turn::Across => (y, x),
        };
        Point {
            x: self.middle.x - 0.5 * self.size + x * unit,
            y: self.middle.y - 0.5 * self.size + y * unit,
        }
    }
}

/// A wire; the power it carries is positive from its first point to its last.
#[derive(Clone, Debug, PartialEq)]
pub struct Wire {
    /// Corners.
    pub points: Vec<Point>,
    /// Its path.
    pub path: Path,
    /// The power it carries.
    pub flow: Option<FlowKey>,
    /// Middle of the arrow that shows the direction, if this wire bears it; it lies on the last stretch.
    pub arrow: Option<Point>,
    /// The part it belongs to.
    pub part: Option<Part>,
    /// Whether it stands already.
    pub standing: bool,
}

/// Which point of a text its place is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// Its start.
    Start,
    /// Its middle.
    Middle,
}

/// Words on the sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// On the base line.
    pub at: Point,
    /// Which point of the text `at` is.
    pub anchor: Anchor,
    /// How it is set.
    pub style: TextStyle,
    /// What it says.
    pub pieces: Vec<Piece>,
    /// The part it belongs to.
    pub part: Option<Part>,
}

impl Text {
    /// The room it takes.
    #[must_use]
    pub fn bounds(&self) -> Bounds {
        text_bounds(self.at, self.anchor, self.style, &plain(&self.pieces))
    }
}

/// A quantity that is written beside its wire at the chosen time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shown {
    /// Power, its size without sign: the arrow gives the direction.
    Power(FlowKey),
    /// State of charge of a storage unit.
    StateOfCharge(StorageId),
}

/// A number on the sheet that changes with the time.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// On the base line.
    pub at: Point,
    /// Which point of the number `at` is.
    pub anchor: Anchor,
    /// What it shows.
    pub shows: Shown,
    /// Its path.
    pub path: Path,
    /// The part it belongs to.
    pub part: Option<Part>,
}

/// The widest number that room is kept for.
pub(super) const WIDEST_FIGURE: &str = "00.00 kW";

impl Figure {
    /// The room that is kept for it.
    #[must_use]
    pub fn bounds(&self) -> Bounds {
        text_bounds(self.at, self.anchor, TextStyle::Figure, WIDEST_FIGURE)
    }
}

fn text_bounds(at: Point, anchor: Anchor, style: TextStyle, text: &str) -> Bounds {
    let wide = width(text, style);
    let left = match anchor {
        Anchor::Start => at.x,
        Anchor::Middle => at.x - 0.5 * wide,
    };
    Bounds {
        left,
        top: at.y - 0.76 * style.size(),
        right: left + wide,
        bottom: at.y + 0.22 * style.size(),
    }
}

/// Which bus.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BusKey {
    /// An AC bus.
    Ac(AcSide),
    /// The DC bus of a storage unit.
    Dc(StorageId),
}

impl BusKey {
    /// Whether something set on `target` connects here.
    #[must_use]
    pub fn takes(self, target: Target) -> bool {
        match (self, target) {
            (Self::Ac(side), Target::Join(Join::Ac(other)) | Target::Side(other)) => side == other,
            (Self::Dc(unit), Target::Join(Join::Dc(other))) => unit == other,
            _ => false,
        }
    }
}

/// A bus: the thick line that a join is a place on, with the stretch of the sheet in which something may be set on it.
#[derive(Clone, Debug, PartialEq)]
pub struct Bus {
    /// Which bus.
    pub key: BusKey,
    /// Left end of the line.
    pub from: Point,
    /// Right end of the line.
    pub to: Point,
    /// Where a part in hand is taken to mean this bus.
    pub zone: Bounds,
    /// Name, cut to the room above the bus.
    pub name: Text,
}

/// Symbols, wires, words and numbers.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawn {
    /// Symbols.
    pub symbols: Vec<Symbol>,
    /// Wires.
    pub wires: Vec<Wire>,
    /// Words.
    pub texts: Vec<Text>,
    /// Numbers that change with the time.
    pub figures: Vec<Figure>,
}

/// A part that can be reached by pointer and keyboard.
#[derive(Clone, Debug, PartialEq)]
pub struct Reach {
    /// The part.
    pub part: Part,
    /// What is picked up with it; none: it cannot be moved.
    pub moving: Option<Moving>,
    /// All that belongs to it.
    pub bounds: Bounds,
    /// What is drawn around when it has the focus or is selected: one rectangle for each place where it stands.
    pub rings: Vec<Bounds>,
    /// Where a pointer takes hold of it.
    pub handles: Vec<Bounds>,
    /// Middle of the mark that shows what the rules say of it: room is kept there, [`MARK`] to each side.
    pub mark: Point,
}

/// What a field of the title block says.
#[derive(Clone, Debug, PartialEq)]
pub enum FieldText {
    /// Fixed words: what stands in the field, and the line below.
    Said(String, String),
    /// The day and the time that the powers are of.
    DrawnAt,
}

/// A field of the title block.
#[derive(Clone, Debug, PartialEq)]
pub struct TitleField {
    /// Its rectangle.
    pub bounds: Bounds,
    /// Its heading.
    pub heading: &'static str,
    /// What it says.
    pub text: FieldText,
}

/// A line of the legend: a sample and its meaning.
#[derive(Clone, Debug, PartialEq)]
pub struct LegendEntry {
    /// Left end of the sample line.
    pub from: Point,
    /// Right end of the sample line.
    pub to: Point,
    /// Path of the sample.
    pub path: Path,
    /// Whether the sample is drawn as standing equipment.
    pub standing: bool,
    /// What it means.
    pub text: Text,
}

/// The sheet of an option.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
    /// The frame within which everything stands.
    pub frame: Bounds,
    /// Family of the symbols.
    pub symbols: SymbolSet,
    /// Buses from left to right.
    pub buses: Vec<Bus>,
    /// What the option is made of.
    pub drawn: Drawn,
    /// What stood elsewhere before the last move.
    pub ghost: Drawn,
    /// Tags that refer to the tables of the drawing sheet.
    pub tags: Vec<Tag>,
    /// What the diagram takes of the sheet: all but legend and title block.
    pub diagram: Bounds,
    /// Parts in the order in which they are reached.
    pub reaches: Vec<Reach>,
    /// Legend of the line styles.
    pub legend: Vec<LegendEntry>,
    /// Title block.
    pub title: Vec<TitleField>,
}

impl Sheet {
    /// The bus that something set on `target` connects to.
    #[must_use]
    pub fn bus(&self, target: Target) -> Option<&Bus> {
        self.buses.iter().find(|bus| bus.key.takes(target))
    }

    /// The borders between neighbouring buses: upper and lower end of each. They end above what stands on the bus line.
    pub fn borders(&self) -> impl Iterator<Item = [Point; 2]> + '_ {
        const ABOVE_BUS: f64 = 58.0;
        self.buses.iter().skip(1).map(|bus| {
            let x = bus.zone.left;
            let (top, bottom) = (self.frame.top + 10.0, bus.from.y - ABOVE_BUS);
            [Point { x, y: top }, Point { x, y: bottom }]
        })
    }

    /// How a part is reached, if it is drawn.
    #[must_use]
    pub fn reach(&self, part: Part) -> Option<&Reach> {
        self.reaches.iter().find(|reach| reach.part == part)
    }
}
