//! The pen: draws one bus, one column or one storage unit after the other, and knows the rows from top to bottom.

use super::call_out::{TAG_GAP, TAG_HEIGHT, Tag, TagKind, tag_width};
use super::column::{
    self, ARROW_REACH, BESIDE, BREAKER_REACH, CONVERTER, Converter, DISCONNECT, DISCONNECT_REACH,
    LOAD, Lines, NEAR, PV, STORAGE, SWITCH, Source, Stretch, Use, UseKind,
};
use super::flow::FlowKey;
use super::lettering::{TextStyle, amperes, cut, words};
use super::sheet::{
    Anchor, Bounds, Bus, BusKey, Drawn, Figure, Path, Point, Shown, Symbol, Text, Wire,
};
use super::symbol::{SymbolKind, Turn};
use super::{CallOuts, Part};
use crate::coupling::StorageUnit;
use crate::findings::CircuitKind;
use crate::household::{AcSide, Household};

// Rows from top to bottom.
const BUS_NAME: f64 = 34.0;
const ARRAY_TOP: f64 = 54.0;
const ARRAY_END: f64 = ARRAY_TOP + PV;
const COLLECTOR: f64 = 119.0;
const CONVERTER_TOP: f64 = 128.0;
const CONVERTER_END: f64 = CONVERTER_TOP + CONVERTER;
const SOURCE_BREAKER: f64 = CONVERTER_END + 5.0;
const BUS: f64 = 246.0;
const USE_BREAKER: f64 = BUS + 8.0;
const USE_FIGURE: f64 = BUS + 58.0;
const USE_ARROW: f64 = BUS + 48.0;
const LOAD_TOP: f64 = BUS + 68.0;
const LOAD_NAME: f64 = LOAD_TOP + LOAD + 16.0;
const METER_TOP: f64 = BUS + 62.0;
const UTILITY_TOP: f64 = METER_TOP + LOAD + 16.0;
const LINE: f64 = 14.0;
const DISCONNECT_TOP: f64 = ARRAY_END + 5.0;
const BATTERY_DISCONNECT: f64 = BUS + 44.0;

// Upper edges of tags.
const ARRAY_MARKING: f64 = 39.0;
const ARRAY_CIRCUIT: f64 = DISCONNECT_TOP + 1.0;
const BREAKER_MARKING: f64 = SOURCE_BREAKER + 9.0;
const OUTPUT_CIRCUIT: f64 = 198.0;
const JOIN: f64 = BUS - 18.0;
const JOIN_BELOW: f64 = BUS + 3.5;
const UNIT_CIRCUIT: f64 = BUS + 11.0;
const UNIT_MARKING: f64 = BUS - 54.0;
const TRANSFER_CIRCUIT: f64 = BUS - 15.5;
const TRANSFER_MARKING: f64 = BUS + 42.0;
const SERVICE_MARKING: f64 = UTILITY_TOP + LOAD + 3.0;
pub(super) const FEEDER: f64 = 394.0;
pub(super) const BETWEEN_FEEDERS: f64 = 12.0;

// Along the bus line.
pub(super) const TRANSFER_WIRE: f64 = 30.0;
pub(super) const UNIT_AC_WIRE: f64 = 60.0;
pub(super) const UNIT_DC_WIRE: f64 = 52.0;
const INLINE_FIGURE: f64 = BUS - 19.0;
pub(super) const FEEDER_LEAD: f64 = 30.0;

/// Whom an element belongs to and how it is drawn.
#[derive(Clone, Copy)]
struct Hand {
    part: Part,
    path: Path,
    standing: bool,
    ghost: bool,
}

pub(super) struct Pen<'a> {
    call_outs: &'a CallOuts,
    pub(super) tags: Vec<Tag>,
    pub(super) drawn: Drawn,
    pub(super) ghost: Drawn,
    pub(super) buses: Vec<Bus>,
    /// Where feeders leave their bus, still to be led to their unit.
    feeders: Vec<(Part, f64)>,
    pub(super) lane: f64,
    off_grid: bool,
}

impl<'a> Pen<'a> {
    pub(super) fn new(off_grid: bool, call_outs: &'a CallOuts) -> Self {
        Self {
            call_outs,
            tags: Vec::new(),
            drawn: Drawn::default(),
            ghost: Drawn::default(),
            buses: Vec::new(),
            feeders: Vec::new(),
            lane: 0.0,
            off_grid,
        }
    }

    fn on(&mut self, ghost: bool) -> &mut Drawn {
        if ghost {
            &mut self.ghost
        } else {
            &mut self.drawn
        }
    }

    fn symbol(&mut self, hand: Hand, kind: SymbolKind, x: f64, top: f64, size: f64) {
        let middle = Point {
            x,
            y: top + 0.5 * size,
        };
        self.on(hand.ghost).symbols.push(Symbol {
            kind,
            middle,
            size,
            turn: Turn::Upright,
            part: Some(hand.part),
            path: hand.path,
            standing: hand.standing,
        });
    }

    fn across(&mut self, hand: Hand, kind: SymbolKind, x: f64, size: f64) {
        self.on(hand.ghost).symbols.push(Symbol {
            kind,
            middle: Point { x, y: BUS },
            size,
            turn: Turn::Across,
            part: Some(hand.part),
            path: hand.path,
            standing: hand.standing,
        });
    }

    fn wire(
        &mut self,
        hand: Hand,
        flow: Option<FlowKey>,
        points: &[(f64, f64)],
        arrow: Option<(f64, f64)>,
    ) {
        let point = |&(x, y): &(f64, f64)| Point { x, y };
        self.on(hand.ghost).wires.push(Wire {
            points: points.iter().map(point).collect(),
            path: hand.path,
            flow: flow.filter(|_| !hand.ghost),
            arrow: arrow.as_ref().map(point).filter(|_| !hand.ghost),
            part: Some(hand.part),
            standing: hand.standing,
        });
    }

    fn figure(&mut self, hand: Hand, shows: Shown, anchor: Anchor, x: f64, y: f64) {
        if hand.ghost {
            return;
        }
        self.drawn.figures.push(Figure {
            at: Point { x, y },
            anchor,
            shows,
            path: hand.path,
            part: Some(hand.part),
        });
    }

    fn lines(&mut self, hand: Hand, lines: &Lines, anchor: Anchor, x: f64, first: f64) {
        let mut y = first;
        for (style, pieces) in lines {
            self.on(hand.ghost).texts.push(Text {
                at: Point { x, y },
                anchor,
                style: *style,
                pieces: pieces.clone(),
                part: Some(hand.part),
            });
            y += LINE;
        }
    }

    /// A tag whose right edge is `gap` left of `axis`.
    fn tag_left(&mut self, part: Part, kind: TagKind, text: String, axis: f64, gap: f64, top: f64) {
        let right = axis - gap;
        let left = right - tag_width(&text);
        self.tag(part, kind, text, left, top);
    }

    /// A tag about `middle`.
    fn tag_about(&mut self, part: Part, kind: TagKind, text: String, middle: f64, top: f64) {
        let left = middle - 0.5 * tag_width(&text);
        self.tag(part, kind, text, left, top);
    }

    fn tag(&mut self, part: Part, kind: TagKind, text: String, left: f64, top: f64) {
        let bounds = Bounds {
            left,
            top,
            right: left + tag_width(&text),
            bottom: top + TAG_HEIGHT,
        };
        self.tags.push(Tag {
            kind,
            text,
            bounds,
            part,
        });
    }

    fn join_tag(&self, part: Part) -> Option<String> {
        self.call_outs.join(part).map(|join| join.tag.clone())
    }

    /// Draws a bus with all that stands on it from `left`; returns its right end.
    pub(super) fn stretch_of(&mut self, key: BusKey, on: &Stretch, left: f64, stretch: f64) -> f64 {
        let right = left + on.width() * stretch;
        let name = match key {
            BusKey::Ac(AcSide::GridSide) if self.off_grid => "NO GRID · DARK",
            BusKey::Ac(AcSide::GridSide) => "GRID SIDE · AC",
            BusKey::Ac(AcSide::BackedUp) if self.off_grid => "OFF-GRID · AC",
            BusKey::Ac(AcSide::BackedUp) => "BACKED UP · AC",
            BusKey::Dc(_) => "DC BUS",
        };
        let middle = f64::midpoint(left, right);
        self.buses.push(Bus {
            key,
            from: Point { x: left, y: BUS },
            to: Point { x: right, y: BUS },
            zone: Bounds {
                left,
                top: BUS,
                right,
                bottom: BUS,
            },
            name: Text {
                at: Point {
                    x: middle,
                    y: BUS_NAME,
                },
                anchor: Anchor::Middle,
                style: TextStyle::Bus,
                pieces: words(cut(name, TextStyle::Bus, right - left)),
                part: None,
            },
        });
        let share = |taken: f64, count: usize| (right - left - taken) / (count.max(1) as f64);
        let spare = share(on.above_width(), on.above.len());
        let mut x = left;
        for source in &on.above {
            let room = source.width() + spare;
            self.source(key, source, x + 0.5 * spare);
            x += room;
        }
        let spare = share(on.below_width(), on.below.len());
        x = left;
        for column in &on.below {
            let axis = x + 0.5 * spare + 6.0 + column.extent.left;
            self.below(column, axis);
            x += column.extent.width() + spare;
        }
        right
    }

    fn source(&mut self, key: BusKey, source: &Source, left: f64) {
        let mut axes = Vec::new();
        let mut x = left + 6.0;
        for column in &source.arrays {
            axes.push((x + column.extent.left, column));
            x += column.extent.width();
        }
        let (Some((first, _)), Some((last, _))) = (axes.first(), axes.last()) else {
            return;
        };
        let middle = f64::midpoint(*first, *last);
        let path = match key {
            BusKey::Ac(_) => Path::AcPv,
            BusKey::Dc(_) => Path::DcPv,
        };
        for (axis, column) in &axes {
            let array = column.array;
            let hand = Hand {
                part: Part::Array(array.id),
                path,
                standing: array.standing,
                ghost: source.ghost,
            };
            let flow = FlowKey::Array(array.id);
            self.symbol(hand, SymbolKind::PvGenerator, *axis, ARRAY_TOP, PV);
            let beside = axis + 0.5 * PV + BESIDE;
            self.lines(hand, &column.lines, Anchor::Start, beside, ARRAY_TOP + 11.0);
            let from = self.array_call_outs(hand, *axis);
            let points = if axes.len() > 1 {
                vec![
                    (*axis, from),
                    (*axis, COLLECTOR),
                    (middle, COLLECTOR),
                    (middle, CONVERTER_TOP),
                ]
            } else {
                vec![(*axis, from), (*axis, CONVERTER_TOP)]
            };
            self.wire(hand, Some(flow), &points, None);
            if path == Path::AcPv {
                self.figure(
                    hand,
                    Shown::Power(flow),
                    Anchor::Start,
                    axis + NEAR,
                    COLLECTOR - 6.0,
                );
            }
        }
        self.converter(source, path, middle);
    }

    /// Tags at an array, and its disconnect where it has DC circuits; returns where its wire goes on from.
    fn array_call_outs(&mut self, hand: Hand, axis: f64) -> f64 {
        if hand.ghost {
            return ARRAY_END;
        }
        if let Some(text) = self.call_outs.marking(hand.part) {
            self.tag_about(hand.part, TagKind::Marking, text, axis, ARRAY_MARKING);
        }
        let Some(text) = self.call_outs.circuit(hand.part, CircuitKind::PvSource) else {
            return ARRAY_END;
        };
        let gap = DISCONNECT_REACH;
        self.tag_left(hand.part, TagKind::Circuit, text, axis, gap, ARRAY_CIRCUIT);
        self.wire(
            hand,
            None,
            &[(axis, ARRAY_END), (axis, DISCONNECT_TOP)],
            None,
        );
        self.symbol(
            hand,
            SymbolKind::Disconnect,
            axis,
            DISCONNECT_TOP,
            DISCONNECT,
        );
        DISCONNECT_TOP + DISCONNECT
    }

    fn converter(&mut self, source: &Source, path: Path, axis: f64) {
        let beside = axis + 0.5 * CONVERTER + BESIDE;
        let arrow = Some((axis, BUS - 15.0));
        let figure_at = (axis + NEAR, BUS - 24.0);
        match &source.converter {
            Converter::PvInverter(inverter, lines) => {
                // Under one array the ghost of the inverter belongs to the array that was picked up.
                let hand = Hand {
                    part: Part::PvInverter(inverter.id),
                    path,
                    standing: inverter.standing,
                    ghost: source.ghost,
                };
                let flow = FlowKey::PvInverter(inverter.id);
                self.symbol(hand, SymbolKind::PvInverter, axis, CONVERTER_TOP, CONVERTER);
                self.lines(hand, lines, Anchor::Start, beside, CONVERTER_TOP + 11.0);
                self.wire(
                    hand,
                    Some(flow),
                    &[(axis, CONVERTER_END), (axis, SOURCE_BREAKER)],
                    None,
                );
                self.symbol(hand, SymbolKind::Breaker, axis, SOURCE_BREAKER, SWITCH);
                self.wire(
                    hand,
                    Some(flow),
                    &[(axis, SOURCE_BREAKER + SWITCH), (axis, BUS)],
                    arrow,
                );
                if !source.ghost {
                    let part = hand.part;
                    if let Some(text) = self.call_outs.marking(part) {
                        let kind = TagKind::Marking;
                        self.tag_left(part, kind, text, axis, BREAKER_REACH, BREAKER_MARKING);
                    }
                    if let Some(text) = self.call_outs.circuit(part, CircuitKind::PvOutput) {
                        self.tag_left(part, TagKind::Circuit, text, axis, TAG_GAP, OUTPUT_CIRCUIT);
                    }
                    if let Some(text) = self.join_tag(part) {
                        self.tag_left(part, TagKind::Join, text, axis, ARROW_REACH, JOIN);
                    }
                }
                self.figure(
                    hand,
                    Shown::Power(flow),
                    Anchor::Start,
                    figure_at.0,
                    figure_at.1,
                );
            }
            Converter::Mppt(array, lines) => {
                let hand = Hand {
                    part: Part::Array(array.id),
                    path,
                    standing: array.standing,
                    ghost: source.ghost,
                };
                let flow = FlowKey::Array(array.id);
                self.symbol(hand, SymbolKind::Mppt, axis, CONVERTER_TOP, CONVERTER);
                self.lines(hand, lines, Anchor::Start, beside, CONVERTER_TOP + 19.0);
                self.wire(
                    hand,
                    Some(flow),
                    &[(axis, CONVERTER_END), (axis, BUS)],
                    arrow,
                );
                if !source.ghost
                    && let Some(text) = self.join_tag(hand.part)
                {
                    self.tag_left(hand.part, TagKind::Join, text, axis, ARROW_REACH, JOIN);
                }
                self.figure(
                    hand,
                    Shown::Power(flow),
                    Anchor::Start,
                    figure_at.0,
                    figure_at.1,
                );
            }
        }
    }

    fn below(&mut self, column: &Use, axis: f64) {
        let part = column::part_of(&column.kind);
        let hand = Hand {
            part,
            path: Path::Neutral,
            standing: false,
            ghost: false,
        };
        match &column.kind {
            UseKind::Utility => self.utility(hand, &column.lines, axis),
            UseKind::Generator(generator) => self.generator(
                Hand {
                    standing: generator.standing,
                    ..hand
                },
                &column.lines,
                axis,
            ),
            UseKind::Base(side) => {
                self.load(
                    hand,
                    FlowKey::Base(*side),
                    SymbolKind::Load,
                    &column.lines,
                    axis,
                );
            }
            UseKind::Device(device) => {
                let symbol = column::device_symbol(&device.kind);
                self.load(
                    hand,
                    FlowKey::Device(device.id),
                    symbol,
                    &column.lines,
                    axis,
                );
            }
            UseKind::Battery(unit) => self.battery(
                Hand {
                    standing: unit.standing,
                    ..hand
                },
                unit,
                &column.lines,
                axis,
            ),
            UseKind::Feeder(_) => {
                self.feeders.push((part, axis));
            }
            UseKind::Ghost(_) => {
                let hand = Hand {
                    ghost: true,
                    ..hand
                };
                self.wire(hand, None, &[(axis, BUS), (axis, LOAD_TOP)], None);
                self.symbol(hand, SymbolKind::StorageInverter, axis, LOAD_TOP, STORAGE);
                let beside = axis + 0.5 * STORAGE + BESIDE;
                self.lines(hand, &column.lines, Anchor::Start, beside, LOAD_TOP + 14.0);
            }
        }
    }

    fn breaker_below(&mut self, hand: Hand, flow: FlowKey, axis: f64) {
        self.wire(hand, Some(flow), &[(axis, BUS), (axis, USE_BREAKER)], None);
        self.symbol(hand, SymbolKind::Breaker, axis, USE_BREAKER, SWITCH);
    }

    fn load(&mut self, hand: Hand, flow: FlowKey, symbol: SymbolKind, lines: &Lines, axis: f64) {
        self.breaker_below(hand, flow, axis);
        let points = [(axis, USE_BREAKER + SWITCH), (axis, LOAD_TOP)];
        self.wire(hand, Some(flow), &points, Some((axis, USE_ARROW)));
        self.figure(
            hand,
            Shown::Power(flow),
            Anchor::Start,
            axis + NEAR,
            USE_FIGURE,
        );
        self.symbol(hand, symbol, axis, LOAD_TOP, LOAD);
        self.lines(hand, lines, Anchor::Middle, axis, LOAD_NAME);
    }

    fn utility(&mut self, hand: Hand, lines: &Lines, axis: f64) {
        // Power bought flows up from the utility, so the wires run from below.
        let flow = FlowKey::Meter;
        let beside = axis + 0.5 * LOAD + BESIDE;
        let up = |from: f64, to: f64| [(axis, from), (axis, to)];
        self.wire(hand, Some(flow), &up(UTILITY_TOP, METER_TOP + LOAD), None);
        let arrow = Some((axis, USE_ARROW));
        self.wire(
            hand,
            Some(flow),
            &up(METER_TOP, USE_BREAKER + SWITCH),
            arrow,
        );
        self.wire(hand, Some(flow), &up(USE_BREAKER, BUS), None);
        self.symbol(hand, SymbolKind::Breaker, axis, USE_BREAKER, SWITCH);
        self.symbol(hand, SymbolKind::Meter, axis, METER_TOP, LOAD);
        self.symbol(hand, SymbolKind::Utility, axis, UTILITY_TOP, LOAD);
        let rows = [
            USE_BREAKER + 11.0,
            USE_BREAKER + 25.0,
            METER_TOP + 25.0,
            UTILITY_TOP + 17.0,
        ];
        for (line, y) in lines.iter().zip(rows) {
            self.lines(hand, &vec![line.clone()], Anchor::Start, beside, y);
        }
        self.figure(
            hand,
            Shown::Power(flow),
            Anchor::Start,
            beside,
            METER_TOP + 11.0,
        );
        if let Some(text) = self.call_outs.marking(hand.part) {
            self.tag_about(hand.part, TagKind::Marking, text, axis, SERVICE_MARKING);
        }
    }

    fn generator(&mut self, hand: Hand, lines: &Lines, axis: f64) {
        // It gives, so the wires run from below.
        let flow = FlowKey::Generator;
        let points = [(axis, LOAD_TOP), (axis, USE_BREAKER + SWITCH)];
        self.wire(hand, Some(flow), &points, Some((axis, USE_ARROW)));
        self.wire(hand, Some(flow), &[(axis, USE_BREAKER), (axis, BUS)], None);
        self.symbol(hand, SymbolKind::Breaker, axis, USE_BREAKER, SWITCH);
        self.figure(
            hand,
            Shown::Power(flow),
            Anchor::Start,
            axis + NEAR,
            USE_FIGURE,
        );
        if let Some(text) = self
            .call_outs
            .circuit(hand.part, CircuitKind::GeneratorOutput)
        {
            let (kind, top) = (TagKind::Circuit, USE_BREAKER + 0.5 * (SWITCH - TAG_HEIGHT));
            self.tag_left(hand.part, kind, text, axis, BREAKER_REACH, top);
        }
        self.symbol(hand, SymbolKind::Generator, axis, LOAD_TOP, CONVERTER);
        let beside = axis + 0.5 * CONVERTER + BESIDE;
        self.lines(hand, lines, Anchor::Start, beside, LOAD_TOP + 11.0);
    }

    fn battery(&mut self, hand: Hand, unit: &StorageUnit, lines: &Lines, axis: f64) {
        // Positive when the battery gives, so the wire runs from the battery up to the bus.
        let flow = FlowKey::Battery(unit.id);
        let top = LOAD_TOP;
        let circuit = self.call_outs.circuit(hand.part, CircuitKind::Battery);
        let from = if let Some(text) = circuit {
            let end = BATTERY_DISCONNECT + DISCONNECT;
            self.wire(hand, Some(flow), &[(axis, top), (axis, end)], None);
            self.symbol(
                hand,
                SymbolKind::Disconnect,
                axis,
                BATTERY_DISCONNECT,
                DISCONNECT,
            );
            let (kind, gap) = (TagKind::Circuit, DISCONNECT_REACH);
            self.tag_left(hand.part, kind, text, axis, gap, BATTERY_DISCONNECT + 3.0);
            BATTERY_DISCONNECT
        } else {
            top
        };
        let arrow = Some((axis, BUS + 34.0));
        self.wire(hand, Some(flow), &[(axis, from), (axis, BUS)], arrow);
        self.figure(
            hand,
            Shown::Power(flow),
            Anchor::Start,
            axis + NEAR,
            BUS + 38.0,
        );
        self.symbol(hand, SymbolKind::Battery, axis, top, CONVERTER);
        let beside = axis + 0.5 * CONVERTER + BESIDE;
        self.lines(hand, lines, Anchor::Start, beside, top + 11.0);
        let soc = Shown::StateOfCharge(unit.id);
        self.figure(
            hand,
            soc,
            Anchor::Start,
            beside,
            top + 11.0 + lines.len() as f64 * LINE,
        );
    }

    /// Draws the transfer switch from `left`; returns where the backed-up bus begins.
    pub(super) fn transfer(&mut self, household: &Household, left: f64) -> f64 {
        let hand = Hand {
            part: Part::Transfer,
            path: Path::Neutral,
            standing: false,
            ghost: false,
        };
        let flow = FlowKey::Transfer;
        let switch = left + TRANSFER_WIRE;
        let right = switch + SWITCH + TRANSFER_WIRE;
        let middle = f64::midpoint(left, right);
        self.wire(hand, Some(flow), &[(left, BUS), (switch, BUS)], None);
        self.across(
            hand,
            SymbolKind::TransferSwitch,
            switch + 0.5 * SWITCH,
            SWITCH,
        );
        let arrow = Some((f64::midpoint(switch + SWITCH, right), BUS));
        self.wire(
            hand,
            Some(flow),
            &[(switch + SWITCH, BUS), (right, BUS)],
            arrow,
        );
        self.figure(
            hand,
            Shown::Power(flow),
            Anchor::Middle,
            middle,
            INLINE_FIGURE,
        );
        let lines = vec![
            (TextStyle::Detail, words("Transfer")),
            (TextStyle::Detail, amperes("", household.service.transfer_a)),
        ];
        self.lines(hand, &lines, Anchor::Middle, middle, BUS + 22.0);
        if let Some(text) = self.call_outs.circuit(hand.part, CircuitKind::Transfer) {
            let middle = left + 0.5 * TRANSFER_WIRE;
            self.tag_about(hand.part, TagKind::Circuit, text, middle, TRANSFER_CIRCUIT);
        }
        if let Some(text) = self.call_outs.marking(hand.part) {
            self.tag_about(hand.part, TagKind::Marking, text, middle, TRANSFER_MARKING);
        }
        right
    }

    /// Draws a storage inverter from `left`, in line with the backed-up bus or at the end of its feeder; returns where its
    /// DC bus begins.
    pub(super) fn unit(&mut self, unit: &StorageUnit, left: f64, in_line: bool) -> f64 {
        let hand = Hand {
            part: Part::Storage(unit.id),
            path: Path::Neutral,
            standing: unit.standing,
            ghost: false,
        };
        let (ac, dc) = (FlowKey::StorageAc(unit.id), FlowKey::StorageDc(unit.id));
        let start = if in_line { left } else { left + FEEDER_LEAD };
        let inverter = start + UNIT_AC_WIRE;
        let end = inverter + STORAGE;
        let right = end + UNIT_DC_WIRE;
        let middle = inverter + 0.5 * STORAGE;
        let arrow = Some((inverter - 14.0, BUS));
        if in_line {
            let breaker = start + 6.0;
            self.wire(hand, Some(ac), &[(breaker, BUS), (start, BUS)], None);
            self.across(hand, SymbolKind::Breaker, breaker + 0.5 * SWITCH, SWITCH);
            self.wire(
                hand,
                Some(ac),
                &[(inverter, BUS), (breaker + SWITCH, BUS)],
                arrow,
            );
        } else if let Some(tap) = self.take_feeder(hand.part) {
            let y = FEEDER + self.lane * BETWEEN_FEEDERS;
            self.lane += 1.0;
            let below = USE_BREAKER + SWITCH;
            let points = [
                (inverter, BUS),
                (start, BUS),
                (start, y),
                (tap, y),
                (tap, below),
            ];
            self.wire(hand, Some(ac), &points, None);
            self.wire(hand, Some(ac), &[(tap, USE_BREAKER), (tap, BUS)], None);
            self.symbol(hand, SymbolKind::Breaker, tap, USE_BREAKER, SWITCH);
            if let Some(text) = self.join_tag(hand.part) {
                self.tag_left(
                    hand.part,
                    TagKind::Join,
                    text,
                    tap,
                    BREAKER_REACH,
                    JOIN_BELOW,
                );
            }
            self.wire(hand, Some(ac), &[(inverter, BUS), (start, BUS)], arrow);
        }
        self.figure(
            hand,
            Shown::Power(ac),
            Anchor::Middle,
            f64::midpoint(start, inverter),
            INLINE_FIGURE,
        );
        self.on(false).symbols.push(Symbol {
            kind: SymbolKind::StorageInverter,
            middle: Point { x: middle, y: BUS },
            size: STORAGE,
            turn: Turn::Upright,
            part: Some(hand.part),
            path: hand.path,
            standing: hand.standing,
        });
        let dc_middle = f64::midpoint(end, right);
        self.wire(
            hand,
            Some(dc),
            &[(right, BUS), (end, BUS)],
            Some((dc_middle, BUS)),
        );
        self.figure(
            hand,
            Shown::Power(dc),
            Anchor::Middle,
            dc_middle,
            INLINE_FIGURE,
        );
        self.lines(
            hand,
            &column::unit_lines(unit),
            Anchor::Middle,
            middle,
            BUS + 46.0,
        );
        let mut left = start + 6.0;
        if let Some(text) = self
            .call_outs
            .circuit(hand.part, CircuitKind::StorageOutput)
        {
            left += tag_width(&text) + 4.0;
            self.tag(hand.part, TagKind::Circuit, text, start + 6.0, UNIT_CIRCUIT);
        }
        if in_line && let Some(text) = self.join_tag(hand.part) {
            self.tag(hand.part, TagKind::Join, text, left, UNIT_CIRCUIT);
        }
        if let Some(text) = self.call_outs.marking(hand.part) {
            self.tag_about(hand.part, TagKind::Marking, text, middle, UNIT_MARKING);
        }
        right
    }

    fn take_feeder(&mut self, part: Part) -> Option<f64> {
        self.feeders
            .iter()
            .find(|(of, _)| *of == part)
            .map(|(_, tap)| *tap)
    }
}
