//! Laws of the drawing sheet: nothing lies over anything else, whatever is drawn.

use couplet_core::coupling::CouplingOption;
use couplet_core::document::demo;
use couplet_core::drawing::{
    Bounds, CallOuts, Drawn, MARK, MoveMark, Moving, Part, Point, Sheet, Target, Wire, layout,
    layout_with, offers, place, plain,
};
use couplet_core::findings::{DesignTemperatures, Details};
use couplet_core::household::{AcSide, Household, StorageId};
use couplet_tests::any::any_household;
use couplet_tests::draws;
use proptest::prelude::*;

/// Every symbol, word and number of the sheet with what it is.
fn boxes(sheet: &Sheet) -> Vec<(String, Bounds)> {
    let of = |drawn: &Drawn, ghost: &str| {
        let symbols = drawn
            .symbols
            .iter()
            .map(|symbol| (format!("{ghost}{:?}", symbol.kind), symbol.bounds()));
        let texts = drawn
            .texts
            .iter()
            .filter(|text| !text.pieces.is_empty())
            .map(|text| (format!("{ghost}“{}”", plain(&text.pieces)), text.bounds()));
        let figures = drawn
            .figures
            .iter()
            .map(|figure| (format!("{ghost}{:?}", figure.shows), figure.bounds()));
        symbols.chain(texts).chain(figures).collect::<Vec<_>>()
    };
    let mut all = of(&sheet.drawn, "");
    all.extend(of(&sheet.ghost, "ghost of "));
    all.extend(
        sheet
            .buses
            .iter()
            .map(|bus| (format!("name of {:?}", bus.key), bus.name.bounds())),
    );
    all.extend(
        sheet
            .tags
            .iter()
            .map(|tag| (format!("tag {} of {:?}", tag.text, tag.part), tag.bounds)),
    );
    all.extend(sheet.reaches.iter().map(|reach| {
        let mark = Bounds {
            left: reach.mark.x - MARK,
            top: reach.mark.y - MARK,
            right: reach.mark.x + MARK,
            bottom: reach.mark.y + MARK,
        };
        (format!("mark of {:?}", reach.part), mark)
    }));
    all.extend(
        sheet
            .legend
            .iter()
            .map(|entry| (plain(&entry.text.pieces), entry.text.bounds())),
    );
    all
}

/// The stretches of a wire, drawn in a little at their ends so that what a wire ends at is not what it crosses.
fn stretches(wire: &Wire) -> impl Iterator<Item = Bounds> {
    let draw_in = |from: Point, to: Point| {
        let (left, right) = (from.x.min(to.x), from.x.max(to.x));
        let (top, bottom) = (from.y.min(to.y), from.y.max(to.y));
        let (across, down) = (right - left, bottom - top);
        let (by_x, by_y) = if across > down {
            (0.5, -0.5)
        } else {
            (-0.5, 0.5)
        };
        Bounds {
            left: left + by_x,
            top: top + by_y,
            right: right - by_x,
            bottom: bottom - by_y,
        }
    };
    wire.points
        .windows(2)
        .map(move |pair| draw_in(pair[0], pair[1]))
}

fn assert_nothing_overlaps(sheet: &Sheet) {
    let boxes = boxes(sheet);
    for (index, (name, bounds)) in boxes.iter().enumerate() {
        assert!(
            sheet.frame.holds(bounds),
            "{name} reaches out of the frame: {bounds:?} in {:?}",
            sheet.frame
        );
        for (other, other_bounds) in boxes.iter().skip(index + 1) {
            assert!(
                !bounds.meets(other_bounds),
                "{name} lies over {other}: {bounds:?} and {other_bounds:?}"
            );
        }
    }
    for wire in sheet.drawn.wires.iter().chain(&sheet.ghost.wires) {
        for stretch in stretches(wire) {
            for (name, bounds) in &boxes {
                assert!(
                    !bounds.meets(&stretch),
                    "a wire of {:?} crosses {name}: {stretch:?} and {bounds:?}",
                    wire.part
                );
            }
        }
    }
    for [from, to] in sheet.borders() {
        let border = Bounds {
            left: from.x - 0.5,
            top: from.y,
            right: to.x + 0.5,
            bottom: to.y,
        };
        for (name, bounds) in &boxes {
            assert!(!bounds.meets(&border), "a border crosses {name}");
        }
    }
    for field in &sheet.title {
        assert!(sheet.frame.holds(&field.bounds));
        for (name, bounds) in &boxes {
            assert!(
                !bounds.meets(&field.bounds),
                "{name} lies in the title block"
            );
        }
    }
}

/// Every move that the sheet of each option offers, with the option as it is after it.
fn moves(household: &Household) -> Vec<(CouplingOption, MoveMark)> {
    let mut all = Vec::new();
    for option in &household.options {
        let arrays = option.arrays.iter().map(|array| Moving::Array(array.id));
        let units = option.storage.iter().map(|unit| Moving::Storage(unit.id));
        for part in arrays.chain(units) {
            let Some(from) = place(option, part) else {
                continue;
            };
            for offer in offers(&household.service, option, part) {
                let mut moved = option.clone();
                let done = match (part, offer.target) {
                    (Moving::Array(id), Target::Join(join)) => moved.move_array(id, join).is_ok(),
                    (Moving::Storage(id), Target::Side(side)) => moved.move_unit(id, side),
                    _ => false,
                };
                assert_eq!(
                    done,
                    offer.refused.is_none(),
                    "an offer is refused when and only when the move is: {offer:?}"
                );
                if done {
                    all.push((moved, MoveMark { part, from }));
                }
            }
        }
    }
    all
}

/// Without call-outs, and with them.
fn readings(household: &Household, option: &CouplingOption) -> [CallOuts; 2] {
    let temperatures = DesignTemperatures::of(&household.site, None);
    let details = Details::of(household, option, &temperatures);
    [
        CallOuts::default(),
        CallOuts::of(household, option, &details),
    ]
}

/// The option with its arrays, PV inverters and storage units several times over, under long names.
fn many_times(option: &CouplingOption, times: u32) -> CouplingOption {
    const APART: u32 = 100;
    let mut many = option.clone();
    for copy in 1..times {
        let by = copy * APART;
        for unit in &option.storage {
            let mut unit = unit.clone();
            unit.id.0 += by;
            unit.name = format!("Storage in the cellar below the summer kitchen {copy}");
            many.storage.push(unit);
        }
        for inverter in &option.pv_inverters {
            let mut inverter = inverter.clone();
            inverter.id.0 += by;
            many.pv_inverters.push(inverter);
        }
        for array in &option.arrays {
            let mut array = array.clone();
            array.id.0 += by;
            array.name = format!("Shed roof behind the hazel hedge {copy}");
            array.pv_inverter.0 += by;
            array.dc_unit = array.dc_unit.map(|unit| StorageId(unit.0 + by));
            many.arrays.push(array);
        }
    }
    many
}

/// The demonstration as it is drawn and printed, and three times over.
#[test]
fn nothing_of_the_demonstration_lies_over_anything_else() {
    let household = demo();
    for option in &household.options {
        for option in [option.clone(), many_times(option, 3)] {
            for call_outs in readings(&household, &option) {
                assert_nothing_overlaps(&layout_with(&household, &option, None, &call_outs));
            }
        }
    }
}

proptest! {
    #![proptest_config(draws(64))]

    #[test]
    fn symbols_words_and_wires_never_lie_over_each_other(household in any_household(), times in 1..=3_u32) {
        for option in &household.options {
            for option in [option.clone(), many_times(option, times)] {
                for call_outs in readings(&household, &option) {
                    assert_nothing_overlaps(&layout_with(&household, &option, None, &call_outs));
                }
            }
        }
        for (option, mark) in moves(&household) {
            for call_outs in readings(&household, &option) {
                assert_nothing_overlaps(&layout_with(&household, &option, Some(mark), &call_outs));
            }
        }
    }

    #[test]
    fn every_part_of_an_option_is_reached_once(household in any_household()) {
        for option in &household.options {
            let sheet = layout(&household, option);
            let mut expected = Vec::new();
            if household.service.utility {
                expected.extend([Part::Service, Part::Transfer]);
            }
            if option.generator.is_some() {
                expected.push(Part::Generator);
            }
            let share = household.loads.backed_up_share;
            if share < 1.0 {
                expected.push(Part::Base(AcSide::GridSide));
            }
            if share > 0.0 {
                expected.push(Part::Base(AcSide::BackedUp));
            }
            expected.extend(household.loads.devices.iter().map(|device| Part::Device(device.id)));
            expected.extend(option.arrays.iter().map(|array| Part::Array(array.id)));
            expected.extend(option.storage.iter().map(|unit| Part::Storage(unit.id)));
            expected.extend(
                option
                    .pv_inverters
                    .iter()
                    .filter(|inverter| option.arrays_on_inverter(inverter.id).next().is_some())
                    .map(|inverter| Part::PvInverter(inverter.id)),
            );
            let mut reached: Vec<Part> = sheet.reaches.iter().map(|reach| reach.part).collect();
            expected.sort();
            reached.sort();
            prop_assert_eq!(reached, expected);
            for reach in &sheet.reaches {
                prop_assert!(!reach.handles.is_empty());
            }
        }
    }

    #[test]
    fn a_part_stands_in_the_zone_of_its_bus(household in any_household()) {
        for option in &household.options {
            let sheet = layout(&household, option);
            for array in &option.arrays {
                let target = place(option, Moving::Array(array.id)).expect("a checked array has a join");
                let bus = sheet.bus(target).expect("its bus is drawn");
                let reach = sheet.reach(Part::Array(array.id)).expect("it is drawn");
                prop_assert!(bus.zone.holds(&reach.bounds));
            }
        }
    }
}
