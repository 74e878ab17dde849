//! What stands on a bus, side by side: sources above it and uses below, each in a column of its own width.

use super::call_out::{TAG_GAP, tag_width};
use super::lettering::Piece;
use super::lettering::{TextStyle, amperes, cut, kilo, plain, two_lines, width, words};
use super::reaches::MARK_ROOM;
use super::sheet::WIDEST_FIGURE;
use super::symbol::SymbolKind;
use super::{CallOuts, MoveMark, Moving, Part, Target};
use crate::coupling::{
    Array, CouplingOption, Generator, Join, Mppt, PowerLimiting, PvInverter, StorageUnit,
};
use crate::findings::CircuitKind;
use crate::household::{AcSide, DeviceKind, Household, StorageId};

/// Side of a PV generator's box.
pub(super) const PV: f64 = 38.0;
/// Side of a converter's box.
pub(super) const CONVERTER: f64 = 32.0;
/// Side of a storage inverter's box.
pub(super) const STORAGE: f64 = 36.0;
/// Side of the box of breakers and switches.
pub(super) const SWITCH: f64 = 26.0;
/// Side of the box of disconnects.
pub(super) const DISCONNECT: f64 = 20.0;
/// Side of the box of loads, meter and utility.
pub(super) const LOAD: f64 = 26.0;
/// Space between a symbol and the words beside it.
pub(super) const BESIDE: f64 = 8.0;
/// Space between a wire and the number beside it.
pub(super) const NEAR: f64 = 8.0;
/// Space between columns.
const BETWEEN: f64 = 12.0;
/// How far left of its axis a tag beside a breaker ends.
pub(super) const BREAKER_REACH: f64 = 0.25 * SWITCH + TAG_GAP;
/// How far left of its axis a tag beside an arrow of direction ends.
pub(super) const ARROW_REACH: f64 = 9.0;
/// How far left of its axis a tag beside a disconnect ends.
pub(super) const DISCONNECT_REACH: f64 = 0.25 * DISCONNECT + TAG_GAP;
/// Widest words beside or below a symbol.
pub(super) const NAME_MOST: f64 = 118.0;

/// Words beside a symbol, one entry per line.
pub(super) type Lines = Vec<(TextStyle, Vec<Piece>)>;

/// Room on both sides of an axis.
#[derive(Clone, Copy, Debug)]
pub(super) struct Extent {
    pub(super) left: f64,
    pub(super) right: f64,
}

impl Extent {
    pub(super) fn width(self) -> f64 {
        self.left + self.right + BETWEEN
    }

    /// With room left of the axis for the mark of a part whose symbol reaches `half` from it.
    fn with_mark_left(mut self, half: f64) -> Self {
        self.left = self.left.max(half + MARK_ROOM);
        self
    }

    /// With room left of the axis for a tag that stands `gap` away from it.
    fn with_tag_left(mut self, text: Option<&str>, gap: f64) -> Self {
        if let Some(text) = text {
            self.left = self.left.max(gap + tag_width(text));
        }
        self
    }

    /// With room for a tag on the axis.
    fn with_tag_on_axis(mut self, text: Option<&str>) -> Self {
        if let Some(text) = text {
            let half = 0.5 * tag_width(text);
            self.left = self.left.max(half);
            self.right = self.right.max(half);
        }
        self
    }
}

fn widest(lines: &Lines) -> f64 {
    lines
        .iter()
        .map(|(style, pieces)| width(&plain(pieces), *style))
        .fold(0.0, f64::max)
}

fn join_text(call_outs: &CallOuts, part: Part) -> Option<&str> {
    call_outs.join(part).map(|join| join.tag.as_str())
}

fn beside(half: f64, lines: &Lines) -> Extent {
    Extent {
        left: half,
        right: (half + BESIDE + widest(lines)).max(NEAR + figure_width()),
    }
}

pub(super) fn figure_width() -> f64 {
    width(WIDEST_FIGURE, TextStyle::Figure)
}

/// A source above a bus: arrays, and the PV inverter that they share.
pub(super) struct Source<'a> {
    pub(super) arrays: Vec<ArrayColumn<'a>>,
    pub(super) converter: Converter<'a>,
    pub(super) ghost: bool,
}

/// One array of a source.
pub(super) struct ArrayColumn<'a> {
    pub(super) array: &'a Array,
    pub(super) lines: Lines,
    pub(super) extent: Extent,
}

/// What stands between arrays and bus.
pub(super) enum Converter<'a> {
    PvInverter(&'a PvInverter, Lines),
    Mppt(&'a Array, Lines),
}

impl Converter<'_> {
    pub(super) fn lines(&self) -> &Lines {
        match self {
            Self::PvInverter(_, lines) | Self::Mppt(_, lines) => lines,
        }
    }
}

impl Source<'_> {
    /// Width without stretching.
    pub(super) fn width(&self) -> f64 {
        let arrays: f64 = self.arrays.iter().map(|column| column.extent.width()).sum();
        // The inverter stands midway between its outermost arrays; its words must end where the source ends.
        let converter = beside(0.5 * CONVERTER, self.converter.lines());
        let first = self.arrays.first().map_or(0.0, |column| column.extent.left);
        let last = self
            .arrays
            .last()
            .map_or(0.0, |column| column.extent.right + BETWEEN);
        let right_of_middle = 0.5 * (arrays - first - last) + last;
        arrays + (converter.right + BETWEEN - right_of_middle).max(0.0)
    }
}

/// A use below a bus.
pub(super) struct Use<'a> {
    pub(super) kind: UseKind<'a>,
    pub(super) lines: Lines,
    pub(super) extent: Extent,
}

/// What is used below a bus.
pub(super) enum UseKind<'a> {
    /// Main breaker, meter and utility.
    Utility,
    /// The generator.
    Generator(&'a Generator),
    /// Base use of this side.
    Base(AcSide),
    /// A device.
    Device(&'a crate::household::Device),
    /// Battery of the DC bus.
    Battery(&'a StorageUnit),
    /// A feeder to a storage unit further right.
    Feeder(StorageId),
    /// The place where a storage unit stood.
    Ghost(&'a StorageUnit),
}

/// Everything on one bus.
pub(super) struct Stretch<'a> {
    pub(super) above: Vec<Source<'a>>,
    pub(super) below: Vec<Use<'a>>,
}

/// Least width of a bus.
const LEAST_BUS: f64 = 96.0;

impl Stretch<'_> {
    /// Width without stretching.
    pub(super) fn width(&self) -> f64 {
        self.above_width().max(self.below_width()).max(LEAST_BUS)
    }

    /// Whether anything stands or stood on the bus.
    pub(super) fn is_empty(&self) -> bool {
        self.above.is_empty() && self.below.is_empty()
    }

    pub(super) fn above_width(&self) -> f64 {
        self.above.iter().map(Source::width).sum()
    }

    pub(super) fn below_width(&self) -> f64 {
        self.below.iter().map(|column| column.extent.width()).sum()
    }
}

/// Everything on the AC bus of a side; `feeders` are the units that a feeder goes to, nearest first.
pub(super) fn on_ac<'a>(
    household: &'a Household,
    option: &'a CouplingOption,
    ghost: Option<MoveMark>,
    call_outs: &CallOuts,
    side: AcSide,
    feeders: &[&'a StorageUnit],
) -> Stretch<'a> {
    let mut above: Vec<Source<'a>> = option
        .pv_inverters
        .iter()
        .filter(|inverter| inverter.side == side)
        .map(|inverter| {
            ac_source(
                inverter,
                option.arrays_on_inverter(inverter.id),
                household,
                call_outs,
            )
        })
        .filter(|source| !source.arrays.is_empty())
        .collect();
    let mut below = Vec::new();
    if side == AcSide::GridSide && household.service.utility {
        below.push(utility(household, call_outs));
    }
    if side == AcSide::BackedUp
        && let Some(standing) = &option.generator
    {
        below.push(generator(standing, call_outs));
    }
    let share = match side {
        AcSide::GridSide => 1.0 - household.loads.backed_up_share,
        AcSide::BackedUp => household.loads.backed_up_share,
    };
    if share > 0.0 {
        let name = match side {
            AcSide::GridSide => "House loads",
            AcSide::BackedUp => "Backed-up loads",
        };
        below.push(load(UseKind::Base(side), name));
    }
    let backed_up = side == AcSide::BackedUp;
    below.extend(
        household
            .loads
            .devices
            .iter()
            .filter(|device| device.backed_up == backed_up)
            .map(|device| load(UseKind::Device(device), &device.name)),
    );
    match ghost.map(|mark| (mark.part, mark.from)) {
        Some((Moving::Array(id), Target::Join(Join::Ac(from)))) if from == side => {
            let stood = option.array(id).and_then(|array| {
                let inverter = option.pv_inverter(array.pv_inverter)?;
                Some((array, inverter))
            });
            if let Some((array, inverter)) = stood {
                above.push(ghost_source(
                    array,
                    Converter::PvInverter(inverter, Lines::new()),
                ));
            }
        }
        Some((Moving::Storage(id), Target::Side(from))) if from == side => {
            if let Some(unit) = option.storage_unit(id) {
                below.push(ghost_unit(unit));
            }
        }
        _ => {}
    }
    below.extend(feeders.iter().rev().map(|unit| {
        Use {
            kind: UseKind::Feeder(unit.id),
            lines: Lines::new(),
            extent: Extent {
                left: 0.5 * SWITCH,
                right: 0.5 * SWITCH,
            }
            .with_tag_left(join_text(call_outs, Part::Storage(unit.id)), BREAKER_REACH),
        }
    }));
    Stretch { above, below }
}

/// Everything on the DC bus of a storage unit.
pub(super) fn on_dc<'a>(
    option: &'a CouplingOption,
    ghost: Option<MoveMark>,
    call_outs: &CallOuts,
    unit: &'a StorageUnit,
) -> Stretch<'a> {
    let mut above: Vec<Source<'a>> = option
        .arrays_on_unit(unit.id)
        .map(|array| Source {
            arrays: vec![array_column(array, call_outs)],
            converter: Converter::Mppt(array, vec![(TextStyle::Detail, words("MPPT"))]),
            ghost: false,
        })
        .collect();
    if let Some((Moving::Array(id), Target::Join(Join::Dc(from)))) =
        ghost.map(|mark| (mark.part, mark.from))
        && from == unit.id
        && let Some(array) = option.array(id)
    {
        above.push(ghost_source(array, Converter::Mppt(array, Lines::new())));
    }
    let mut lines = vec![
        (TextStyle::Name, words("Battery")),
        (TextStyle::Detail, kilo(unit.battery.usable_wh, "kWh")),
    ];
    if !call_outs.is_empty() {
        lines.push((TextStyle::Detail, kilo(unit.battery.discharge_w, "kW")));
    }
    let circuit = call_outs.circuit(Part::Storage(unit.id), CircuitKind::Battery);
    let extent =
        beside(0.5 * CONVERTER, &lines).with_tag_left(circuit.as_deref(), DISCONNECT_REACH);
    Stretch {
        above,
        below: vec![Use {
            kind: UseKind::Battery(unit),
            lines,
            extent,
        }],
    }
}

fn ac_source<'a>(
    inverter: &'a PvInverter,
    arrays: impl Iterator<Item = &'a Array>,
    household: &Household,
    call_outs: &CallOuts,
) -> Source<'a> {
    let mut arrays: Vec<_> = arrays.map(|array| array_column(array, call_outs)).collect();
    // The tags of the inverter stand left of its axis, which is never left of the first array's.
    if let Some(first) = arrays.first_mut() {
        let part = Part::PvInverter(inverter.id);
        first.extent = first
            .extent
            .with_tag_left(
                call_outs.circuit(part, CircuitKind::PvOutput).as_deref(),
                TAG_GAP,
            )
            .with_tag_left(call_outs.marking(part).as_deref(), BREAKER_REACH)
            .with_tag_left(join_text(call_outs, part), ARROW_REACH);
    }
    let mut lines = Lines::new();
    if arrays.len() > 1 {
        lines.push((
            TextStyle::Name,
            words(cut(&inverter.name, TextStyle::Name, NAME_MOST)),
        ));
    }
    lines.push((TextStyle::Detail, kilo(inverter.rated_w, "kW")));
    if household.service.utility && household.service.export_limit_w.is_some() {
        let limiting = match inverter.limiting {
            PowerLimiting::None => "no limiting",
            PowerLimiting::Commanded { .. } => "commanded for export",
            PowerLimiting::Relay { .. } => "relay",
        };
        lines.push((TextStyle::Detail, words(limiting)));
    }
    Source {
        arrays,
        converter: Converter::PvInverter(inverter, lines),
        ghost: false,
    }
}

fn array_column<'a>(array: &'a Array, call_outs: &CallOuts) -> ArrayColumn<'a> {
    let mut lines = vec![
        (
            TextStyle::Name,
            words(cut(&array.name, TextStyle::Name, NAME_MOST)),
        ),
        (TextStyle::Detail, kilo(array.peak_w, "kWp")),
    ];
    if array.standing {
        lines.push((TextStyle::Detail, words("existing")));
    }
    let part = Part::Array(array.id);
    let extent = beside(0.5 * PV, &lines)
        .with_mark_left(0.5 * PV)
        .with_tag_left(
            call_outs.circuit(part, CircuitKind::PvSource).as_deref(),
            DISCONNECT_REACH,
        )
        .with_tag_left(join_text(call_outs, part), ARROW_REACH)
        .with_tag_on_axis(call_outs.marking(part).as_deref());
    ArrayColumn {
        array,
        lines,
        extent,
    }
}

fn ghost_source<'a>(array: &'a Array, converter: Converter<'a>) -> Source<'a> {
    let lines = ghost_lines(&array.name);
    let extent = beside(0.5 * PV, &lines);
    Source {
        arrays: vec![ArrayColumn {
            array,
            lines,
            extent,
        }],
        converter,
        ghost: true,
    }
}

fn ghost_lines(name: &str) -> Lines {
    vec![
        (
            TextStyle::Detail,
            words(cut(name, TextStyle::Detail, NAME_MOST)),
        ),
        (TextStyle::Detail, words("was here")),
    ]
}

fn ghost_unit(unit: &StorageUnit) -> Use<'_> {
    let lines = ghost_lines(&unit.name);
    Use {
        extent: beside(0.5 * STORAGE, &lines),
        kind: UseKind::Ghost(unit),
        lines,
    }
}

fn utility<'a>(household: &Household, call_outs: &CallOuts) -> Use<'a> {
    let service = &household.service;
    let mut lines = vec![
        (TextStyle::Detail, amperes("main", service.main_breaker_a)),
        (TextStyle::Detail, amperes("busbar", service.busbar_a)),
    ];
    match service.export_limit_w {
        Some(limit_w) if limit_w > 0.0 => {
            let mut pieces = words("export to ");
            pieces.extend(kilo(limit_w, "kW"));
            lines.push((TextStyle::Detail, pieces));
        }
        Some(_) => lines.push((TextStyle::Detail, words("zero export"))),
        None => lines.push((TextStyle::Detail, Vec::new())),
    }
    lines.push((TextStyle::Name, words("Utility")));
    Use {
        kind: UseKind::Utility,
        extent: beside(0.5 * LOAD, &lines)
            .with_tag_on_axis(call_outs.marking(Part::Service).as_deref()),
        lines,
    }
}

fn generator<'a>(generator: &'a Generator, call_outs: &CallOuts) -> Use<'a> {
    let mut lines = vec![
        (
            TextStyle::Name,
            words(cut(&generator.name, TextStyle::Name, NAME_MOST)),
        ),
        (TextStyle::Detail, kilo(generator.rated_w, "kW")),
    ];
    if generator.standing {
        lines.push((TextStyle::Detail, words("existing")));
    }
    Use {
        kind: UseKind::Generator(generator),
        extent: beside(0.5 * CONVERTER, &lines)
            .with_mark_left(0.5 * CONVERTER)
            .with_tag_left(
                call_outs
                    .circuit(Part::Generator, CircuitKind::GeneratorOutput)
                    .as_deref(),
                BREAKER_REACH,
            ),
        lines,
    }
}

fn load<'a>(kind: UseKind<'a>, name: &str) -> Use<'a> {
    let lines: Lines = two_lines(name, TextStyle::Name, NAME_MOST)
        .into_iter()
        .map(|line| (TextStyle::Name, words(line)))
        .collect();
    let half = 0.5 * widest(&lines);
    Use {
        kind,
        extent: Extent {
            left: half.max(0.5 * LOAD),
            right: half.max(NEAR + figure_width()),
        }
        .with_mark_left(0.5 * LOAD),
        lines,
    }
}

/// Symbol of a device.
pub(super) fn device_symbol(kind: &DeviceKind) -> SymbolKind {
    match kind {
        DeviceKind::Car { .. } => SymbolKind::CarCharger,
        DeviceKind::HeatPump { .. }
        | DeviceKind::AirConditioner { .. }
        | DeviceKind::PoolPump { .. } => SymbolKind::Motor,
        DeviceKind::WaterHeater { .. } => SymbolKind::Heater,
    }
}

/// Words below a storage inverter.
pub(super) fn unit_lines(unit: &StorageUnit) -> Lines {
    let mut lines: Lines = two_lines(&unit.name, TextStyle::Name, NAME_MOST)
        .into_iter()
        .map(|line| (TextStyle::Name, words(line)))
        .collect();
    lines.push((TextStyle::Detail, kilo(unit.inverter.rated_w, "kW")));
    lines.push((
        TextStyle::Detail,
        match &unit.mppt {
            Some(Mppt { inputs: 1, .. }) => words("1 MPPT input"),
            Some(mppt) => words(format!("{} MPPT inputs", mppt.inputs)),
            None => words("no MPPT input"),
        },
    ));
    if unit.standing {
        lines.push((TextStyle::Detail, words("existing")));
    }
    lines
}

/// The part that a use is reached as.
pub(super) fn part_of(kind: &UseKind) -> Part {
    match kind {
        UseKind::Utility => Part::Service,
        UseKind::Generator(_) => Part::Generator,
        UseKind::Base(side) => Part::Base(*side),
        UseKind::Device(device) => Part::Device(device.id),
        UseKind::Battery(unit) | UseKind::Ghost(unit) => Part::Storage(unit.id),
        UseKind::Feeder(id) => Part::Storage(*id),
    }
}
