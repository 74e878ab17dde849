//! What of the sheet can be reached, where a pointer takes hold of it, and what is picked up with it.

use super::sheet::{Bounds, Drawn, Figure, Point, Reach, Symbol, Text};
use super::symbol::SymbolKind;
use super::{Moving, Part, Tag};
use crate::coupling::CouplingOption;
use crate::household::ArrayId;

/// Least side of what a pointer can take hold of: 44 px where the page shows the sheet at its smallest, four fifths.
const HANDLE: f64 = 56.0;

/// How near two symbols or words of a part stand if one ring goes around both.
const ONE_RING: f64 = 40.0;
/// Space between a part and its ring.
const RING: f64 = 5.0;

/// Half the side of the mark that shows what the rules say of a part.
pub const MARK: f64 = 9.0;
/// Space between a symbol and its mark.
const MARK_GAP: f64 = 4.0;
/// Room that a mark takes beside a symbol.
pub(super) const MARK_ROOM: f64 = MARK_GAP + 2.0 * MARK + 1.0;

/// Where the mark of a part stands that this symbol stands for.
fn mark(symbol: &Symbol) -> Point {
    let Point { x, y } = symbol.middle;
    match symbol.kind {
        // On the bus line, words stand below and a number on each side.
        SymbolKind::StorageInverter => Point { x, y: y - 30.0 },
        SymbolKind::TransferSwitch => Point { x, y: y - 38.0 },
        // The frame is at its left.
        SymbolKind::Meter => Point {
            x: x + 24.0,
            y: y + 25.0,
        },
        _ => Point {
            x: x - 0.5 * symbol.size - MARK_GAP - MARK,
            y,
        },
    }
}

/// Parts in drawn order, each with all that belongs to it.
pub(super) fn reaches(option: &CouplingOption, drawn: &Drawn, tags: &[Tag]) -> Vec<Reach> {
    let mut reaches: Vec<Reach> = Vec::new();
    for symbol in &drawn.symbols {
        let Some(part) = symbol.part else { continue };
        let bounds = symbol.bounds();
        let handle = (!matches!(symbol.kind, SymbolKind::Breaker | SymbolKind::Disconnect))
            .then(|| bounds.at_least(HANDLE));
        if let Some(reach) = reaches.iter_mut().find(|reach| reach.part == part) {
            reach.bounds = reach.bounds.with(&bounds);
            reach.rings.push(bounds);
            if reach.handles.is_empty() && handle.is_some() {
                reach.mark = mark(symbol);
            }
            reach.handles.extend(handle);
        } else {
            reaches.push(Reach {
                part,
                moving: moving(option, part),
                bounds,
                rings: vec![bounds],
                handles: handle.into_iter().collect(),
                mark: mark(symbol),
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
        let tags = tags
            .iter()
            .filter(|tag| tag.part == reach.part)
            .map(|tag| tag.bounds);
        for bounds in figures.map(Figure::bounds).chain(tags) {
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
