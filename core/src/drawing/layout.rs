//! From a household and an option to a sheet. Along x stand the joins: grid side, transfer switch, backed-up side, and
//! the DC bus of each storage unit behind its inverter. Sources stand above their bus, uses and batteries below.

use super::column::{
    self, BESIDE, CONVERTER, Converter, LOAD, Lines, NEAR, PV, STORAGE, SWITCH, Source, Stretch,
    Use, UseKind,
};
use super::flow::FlowKey;
use super::lettering::{TextStyle, amperes, cut, words};
use super::part::units_in_drawn_order;
use super::sheet::{
    Anchor, Bounds, Bus, BusKey, Drawn, Figure, Path, Point, Reach, Sheet, Shown, Symbol, Text,
    Wire,
};
use super::symbol::{SymbolKind, SymbolSet, Turn};
use super::{MoveMark, Moving, Part, place, title};
use crate::coupling::{CouplingOption, StorageUnit};
use crate::household::{AcSide, ArrayId, Household};

/// Least width of a sheet.
const LEAST_WIDTH: f64 = 860.0;
/// Space between the edge of the sheet and its frame.
const MARGIN: f64 = 8.0;
/// Space between the frame and what is drawn.
const INSET: f64 = 20.0;

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
const FEEDER: f64 = 394.0;
const BETWEEN_FEEDERS: f64 = 12.0;

// Along the bus line.
const TRANSFER_WIRE: f64 = 36.0;
const UNIT_AC_WIRE: f64 = 72.0;
const UNIT_DC_WIRE: f64 = 58.0;
const INLINE_FIGURE: f64 = BUS - 19.0;
const FEEDER_LEAD: f64 = 30.0;

/// The sheet of an option.
#[must_use]
pub fn layout(household: &Household, option: &CouplingOption) -> Sheet {
    layout_with_ghost(household, option, None)
}

/// The sheet of an option, with a ghost where a part stood before its last move.
#[must_use]
pub fn layout_with_ghost(
    household: &Household,
    option: &CouplingOption,
    mark: Option<MoveMark>,
) -> Sheet {
    let mark = mark.filter(|mark| place(option, mark.part).is_some_and(|now| now != mark.from));
    let units: Vec<&StorageUnit> = units_in_drawn_order(option).collect();
    // The first unit on the backed-up side prolongs the bus line; the others are reached by feeders below, whose
    // U shapes lie within each other because the nearest unit's feeder leaves its bus furthest to the right.
    let in_line = units
        .first()
        .is_some_and(|unit| unit.side == AcSide::BackedUp);
    let fed: Vec<&StorageUnit> = units.iter().skip(usize::from(in_line)).copied().collect();
    let fed_from = |side| -> Vec<&StorageUnit> {
        fed.iter()
            .filter(|unit| unit.side == side)
            .copied()
            .collect()
    };
    let grid_side = column::on_ac(
        household,
        option,
        mark,
        AcSide::GridSide,
        &fed_from(AcSide::GridSide),
    );
    let backed_up = column::on_ac(
        household,
        option,
        mark,
        AcSide::BackedUp,
        &fed_from(AcSide::BackedUp),
    );
    let dc: Vec<Stretch> = units
        .iter()
        .map(|unit| column::on_dc(option, mark, unit))
        .collect();

    let lead = |index: usize| {
        UNIT_AC_WIRE
            + STORAGE
            + UNIT_DC_WIRE
            + if index == 0 && in_line {
                0.0
            } else {
                FEEDER_LEAD
            }
    };
    let between: f64 = 2.0 * TRANSFER_WIRE + SWITCH + (0..units.len()).map(lead).sum::<f64>();
    let buses: f64 =
        grid_side.width() + backed_up.width() + dc.iter().map(Stretch::width).sum::<f64>();
    let needed = 2.0 * (MARGIN + INSET) + between + buses;
    let width = needed.max(LEAST_WIDTH);
    // What is left over goes to the buses, in proportion.
    let stretch = 1.0 + (width - needed) / buses;

    let mut pen = Pen {
        drawn: Drawn::default(),
        ghost: Drawn::default(),
        buses: Vec::new(),
        feeders: Vec::new(),
        lane: 0.0,
    };
    let mut x = MARGIN + INSET;
    x = pen.stretch_of(BusKey::Ac(AcSide::GridSide), &grid_side, x, stretch);
    x = pen.transfer(household, x);
    x = pen.stretch_of(BusKey::Ac(AcSide::BackedUp), &backed_up, x, stretch);
    for (index, (unit, stretch_of_unit)) in units.iter().zip(&dc).enumerate() {
        x = pen.unit(unit, x, index == 0 && in_line);
        x = pen.stretch_of(BusKey::Dc(unit.id), stretch_of_unit, x, stretch);
    }

    let lowest = FEEDER + pen.lane * BETWEEN_FEEDERS;
    let legend_at = Point {
        x: MARGIN + INSET,
        y: lowest + 12.0,
    };
    let legend = title::legend(option, legend_at);
    let title_top = legend_at.y + 14.0;
    let title = title::block(
        household,
        option,
        Bounds {
            left: MARGIN,
            top: title_top,
            right: width - MARGIN,
            bottom: title_top + title::HEIGHT,
        },
    );
    let frame = Bounds {
        left: MARGIN,
        top: MARGIN,
        right: width - MARGIN,
        bottom: title_top + title::HEIGHT,
    };
    zones(&mut pen.buses, &frame, title_top);
    let reaches = reaches(option, &pen.drawn);
    Sheet {
        width,
        height: frame.bottom + MARGIN,
        frame,
        symbols: SymbolSet::of(household.service.supply),
        buses: pen.buses,
        drawn: pen.drawn,
        ghost: pen.ghost,
        reaches,
        legend,
        title,
    }
}

/// Whom an element belongs to and how it is drawn.
#[derive(Clone, Copy)]
struct Hand {
    part: Part,
    path: Path,
    standing: bool,
    ghost: bool,
}

struct Pen {
    drawn: Drawn,
    ghost: Drawn,
    buses: Vec<Bus>,
    /// Where feeders leave their bus, still to be led to their unit.
    feeders: Vec<(Part, f64)>,
    lane: f64,
}

impl Pen {
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

    /// Draws a bus with all that stands on it from `left`; returns its right end.
    fn stretch_of(&mut self, key: BusKey, on: &Stretch, left: f64, stretch: f64) -> f64 {
        let right = left + on.width() * stretch;
        let name = match key {
            BusKey::Ac(AcSide::GridSide) => "GRID SIDE · AC",
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
            let axis = x + 0.5 * spare + 7.0 + column.extent.left;
            self.below(column, axis);
            x += column.extent.width() + spare;
        }
        right
    }

    fn source(&mut self, key: BusKey, source: &Source, left: f64) {
        let mut axes = Vec::new();
        let mut x = left + 7.0;
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
            if axes.len() > 1 {
                let points = [
                    (*axis, ARRAY_END),
                    (*axis, COLLECTOR),
                    (middle, COLLECTOR),
                    (middle, CONVERTER_TOP),
                ];
                self.wire(hand, Some(flow), &points, None);
            } else {
                self.wire(
                    hand,
                    Some(flow),
                    &[(*axis, ARRAY_END), (*axis, CONVERTER_TOP)],
                    None,
                );
            }
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
    }

    fn battery(&mut self, hand: Hand, unit: &StorageUnit, lines: &Lines, axis: f64) {
        // Positive when the battery gives, so the wire runs from the battery up to the bus.
        let flow = FlowKey::Battery(unit.id);
        let top = LOAD_TOP;
        self.wire(
            hand,
            Some(flow),
            &[(axis, top), (axis, BUS)],
            Some((axis, BUS + 34.0)),
        );
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
        self.figure(hand, soc, Anchor::Start, beside, top + 11.0 + 2.0 * LINE);
    }

    /// Draws the transfer switch from `left`; returns where the backed-up bus begins.
    fn transfer(&mut self, household: &Household, left: f64) -> f64 {
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
        right
    }

    /// Draws a storage inverter from `left`, in line with the backed-up bus or at the end of its feeder; returns where its
    /// DC bus begins.
    fn unit(&mut self, unit: &StorageUnit, left: f64, in_line: bool) -> f64 {
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
        let arrow = Some((inverter - 16.0, BUS));
        if in_line {
            let breaker = start + 10.0;
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
        right
    }

    fn take_feeder(&mut self, part: Part) -> Option<f64> {
        self.feeders
            .iter()
            .find(|(of, _)| *of == part)
            .map(|(_, tap)| *tap)
    }
}

/// Gives every stretch of the sheet to a bus: the borders lie midway between the ends of neighbours.
fn zones(buses: &mut [Bus], frame: &Bounds, bottom: f64) {
    let ends: Vec<(f64, f64)> = buses.iter().map(|bus| (bus.from.x, bus.to.x)).collect();
    let border = |index: usize| {
        let (here, next) = (ends.get(index)?, ends.get(index + 1)?);
        Some(f64::midpoint(here.1, next.0))
    };
    for (index, bus) in buses.iter_mut().enumerate() {
        bus.zone = Bounds {
            left: index.checked_sub(1).and_then(border).unwrap_or(frame.left),
            top: frame.top,
            right: border(index).unwrap_or(frame.right),
            bottom,
        };
    }
}

/// Least side of what a pointer can take hold of.
const HANDLE: f64 = 48.0;

/// How near two symbols or words of a part stand if one ring goes around both.
const ONE_RING: f64 = 40.0;
/// Space between a part and its ring.
const RING: f64 = 5.0;

/// Parts in drawn order, each with all that belongs to it.
fn reaches(option: &CouplingOption, drawn: &Drawn) -> Vec<Reach> {
    let mut reaches: Vec<Reach> = Vec::new();
    for symbol in &drawn.symbols {
        let Some(part) = symbol.part else { continue };
        let bounds = symbol.bounds();
        let handle = (symbol.kind != SymbolKind::Breaker).then(|| bounds.at_least(HANDLE));
        if let Some(reach) = reaches.iter_mut().find(|reach| reach.part == part) {
            reach.bounds = reach.bounds.with(&bounds);
            reach.rings.push(bounds);
            reach.handles.extend(handle);
        } else {
            reaches.push(Reach {
                part,
                moving: moving(option, part),
                bounds,
                rings: vec![bounds],
                handles: handle.into_iter().collect(),
            });
        }
    }
    for reach in &mut reaches {
        let texts = drawn
            .texts
            .iter()
            .filter(|text| text.part == Some(reach.part));
        for bounds in texts.map(Text::bounds) {
            reach.bounds = reach.bounds.with(&bounds);
            reach.rings.push(bounds);
        }
        join_near(&mut reach.rings, ONE_RING);
        let figures = drawn
            .figures
            .iter()
            .filter(|figure| figure.part == Some(reach.part));
        for bounds in figures.map(Figure::bounds) {
            reach.bounds = reach.bounds.with(&bounds);
            // A number beside its wire is within the ring, or clear of it; the ring does not run through it.
            if let Some(ring) = reach
                .rings
                .iter_mut()
                .find(|ring| ring.wider(RING).meets(&bounds))
            {
                *ring = ring.with(&bounds);
            }
        }
        for ring in &mut reach.rings {
            *ring = ring.wider(RING);
        }
        join_near(&mut reach.rings, 0.0);
    }
    reaches
}

/// Joins rectangles that stand no further apart than `apart`, until none do.
fn join_near(all: &mut Vec<Bounds>, apart: f64) {
    let mut apart_from_others = Vec::new();
    while let Some(mut one) = all.pop() {
        while let Some(near) = all
            .iter()
            .position(|other| one.wider(0.5 * apart).meets(&other.wider(0.5 * apart)))
        {
            one = one.with(&all.swap_remove(near));
        }
        apart_from_others.push(one);
    }
    *all = apart_from_others;
}

/// What is picked up with a part. A PV inverter that one array feeds is picked up as that array.
fn moving(option: &CouplingOption, part: Part) -> Option<Moving> {
    match part {
        Part::Array(id) => Some(Moving::Array(id)),
        Part::Storage(id) => Some(Moving::Storage(id)),
        Part::PvInverter(id) => {
            let arrays: Vec<ArrayId> = option
                .arrays_on_inverter(id)
                .map(|array| array.id)
                .collect();
            match arrays.as_slice() {
                [only] => Some(Moving::Array(*only)),
                _ => None,
            }
        }
        _ => None,
    }
}
