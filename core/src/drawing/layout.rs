//! From a household and an option to a sheet. Along x stand the joins: grid side, transfer switch, backed-up side, and
//! the DC bus of each storage unit behind its inverter. Sources stand above their bus, uses and batteries below.

use super::column::{self, STORAGE, SWITCH, Stretch};
use super::part::units_in_drawn_order;
use super::pen::{
    BETWEEN_FEEDERS, FEEDER, FEEDER_LEAD, Pen, TRANSFER_WIRE, UNIT_AC_WIRE, UNIT_DC_WIRE,
};
use super::reaches::reaches;
use super::sheet::{Bounds, Bus, BusKey, Point, Sheet};
use super::symbol::SymbolSet;
use super::{CallOuts, MoveMark, place, title};
use crate::coupling::{CouplingOption, StorageUnit};
use crate::household::{AcSide, Household};

/// Least width of a sheet.
const LEAST_WIDTH: f64 = 860.0;
/// Space between the edge of the sheet and its frame.
pub(super) const MARGIN: f64 = 8.0;
/// Space between the frame and what is drawn.
pub(super) const INSET: f64 = 16.0;
/// Space between a dark bus and the backed-up bus where there is no utility.
const DARK_GAP: f64 = 44.0;

/// The sheet of an option.
#[must_use]
pub fn layout(household: &Household, option: &CouplingOption) -> Sheet {
    layout_with(household, option, None, &CallOuts::default())
}

/// The sheet of an option.
///
/// - `mark`: the part that was moved last; a ghost stands where it was
/// - `call_outs`: what is called out for who builds it
#[must_use]
pub fn layout_with(
    household: &Household,
    option: &CouplingOption,
    mark: Option<MoveMark>,
    call_outs: &CallOuts,
) -> Sheet {
    layout_of_width(household, option, mark, call_outs, LEAST_WIDTH)
}

/// The sheet of an option, at least this wide.
pub(super) fn layout_of_width(
    household: &Household,
    option: &CouplingOption,
    mark: Option<MoveMark>,
    call_outs: &CallOuts,
    least_width: f64,
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
        call_outs,
        AcSide::GridSide,
        &fed_from(AcSide::GridSide),
    );
    let backed_up = column::on_ac(
        household,
        option,
        mark,
        call_outs,
        AcSide::BackedUp,
        &fed_from(AcSide::BackedUp),
    );
    let dc: Vec<Stretch> = units
        .iter()
        .map(|unit| column::on_dc(option, mark, call_outs, unit))
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
    // Without a utility there is neither a transfer switch nor a grid side; what was left there is drawn on a dark bus.
    let utility = household.service.utility;
    let left_dark = !utility && !grid_side.is_empty();
    let before_backed_up = match (utility, left_dark) {
        (true, _) => 2.0 * TRANSFER_WIRE + SWITCH,
        (false, true) => DARK_GAP,
        (false, false) => 0.0,
    };
    let grid_side_width = if utility || left_dark {
        grid_side.width()
    } else {
        0.0
    };
    let between: f64 = before_backed_up + (0..units.len()).map(lead).sum::<f64>();
    let buses: f64 =
        grid_side_width + backed_up.width() + dc.iter().map(Stretch::width).sum::<f64>();
    let needed = 2.0 * (MARGIN + INSET) + between + buses;
    let width = needed.max(least_width);
    // What is left over goes to the buses, in proportion.
    let stretch = 1.0 + (width - needed) / buses;

    let mut pen = Pen::new(!utility, call_outs);
    let mut x = MARGIN + INSET;
    if utility || left_dark {
        x = pen.stretch_of(BusKey::Ac(AcSide::GridSide), &grid_side, x, stretch);
        x = if utility {
            pen.transfer(household, x)
        } else {
            x + DARK_GAP
        };
    }
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
    let reaches = reaches(option, &pen.drawn, &pen.tags);
    Sheet {
        width,
        height: frame.bottom + MARGIN,
        frame,
        symbols: SymbolSet::of(household.service.supply),
        buses: pen.buses,
        drawn: pen.drawn,
        tags: pen.tags,
        diagram: Bounds {
            bottom: lowest,
            ..frame
        },
        ghost: pen.ghost,
        reaches,
        legend,
        title,
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
