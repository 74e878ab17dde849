//! Laws of the drawing sheet and of the files that it is written to: read back by readers that are not ours.

use std::collections::BTreeMap;
use std::io::Cursor;

use couplet_core::coupling::{CouplingOption, TitleNotes};
use couplet_core::document::demo;
use couplet_core::drawing::{
    Bounds, FullSheet, Imprint, Layer, Lettering, Paper, Point, Shape, dxf, full_sheet, svg,
};
use couplet_core::findings::{DesignTemperatures, Details};
use couplet_core::household::{ArrayId, Household, StorageId};
use couplet_tests::any::any_household;
use couplet_tests::{assert_near, draws};
use dxf::entities::EntityType;
use proptest::prelude::*;
use quick_xml::Reader;
use quick_xml::events::Event;

const IMPRINT: Imprint<'static> = Imprint { date: "2026-11-25" };

fn sheet_of(household: &Household, option: &CouplingOption, paper: Paper) -> FullSheet {
    let temperatures = DesignTemperatures::of(&household.site, None);
    let details = Details::of(household, option, &temperatures);
    full_sheet(household, option, &details, paper, IMPRINT)
}

fn letterings(sheet: &FullSheet) -> impl Iterator<Item = (Layer, &Lettering)> {
    sheet.inks.iter().filter_map(|ink| match &ink.shape {
        Shape::Text(lettering) => Some((ink.layer, lettering)),
        _ => None,
    })
}

/// The points that a shape reaches; a curve stays within the hull of its points.
fn reach(shape: &Shape) -> Vec<Point> {
    match shape {
        Shape::Line { points, .. } | Shape::Area { points } => points.clone(),
        Shape::Curve { points, .. } => points.to_vec(),
        Shape::Circle { middle, radius, .. } => [(-1.0, -1.0), (1.0, 1.0)]
            .map(|(x, y)| Point {
                x: middle.x + x * radius,
                y: middle.y + y * radius,
            })
            .to_vec(),
        Shape::Text(lettering) => {
            let Bounds {
                left,
                top,
                right,
                bottom,
            } = lettering.bounds();
            vec![
                Point { x: left, y: top },
                Point {
                    x: right,
                    y: bottom,
                },
            ]
        }
    }
}

/// The option with this many arrays and storage units, those that it has over and over.
fn wider(option: &CouplingOption, count: usize, units: usize) -> CouplingOption {
    let mut option = option.clone();
    let storage = std::mem::take(&mut option.storage);
    option.storage = storage.iter().cycle().take(units).cloned().collect();
    for (unit, id) in option.storage.iter_mut().zip(1..) {
        unit.id = StorageId(id);
    }
    let arrays = std::mem::take(&mut option.arrays);
    option.arrays = arrays.iter().cycle().take(count).cloned().collect();
    for (array, id) in option.arrays.iter_mut().zip(1..) {
        array.id = ArrayId(id);
    }
    option
}

fn assert_sheet_is_sound(sheet: &FullSheet, paper: Paper) {
    let proportion = sheet.width / sheet.height;
    assert_near(proportion, paper.proportion(), 1e-9, "width over height");
    for ink in &sheet.inks {
        for point in reach(&ink.shape) {
            assert!(
                (-1e-9..=sheet.width + 1e-9).contains(&point.x)
                    && (-1e-9..=sheet.height + 1e-9).contains(&point.y),
                "{ink:?} leaves the sheet"
            );
        }
    }
    let boxes: Vec<_> = letterings(sheet)
        .map(|(_, lettering)| (&lettering.text, lettering.bounds()))
        .collect();
    for (index, (text, bounds)) in boxes.iter().enumerate() {
        for (other, other_bounds) in boxes.iter().skip(index + 1) {
            assert!(
                !bounds.meets(other_bounds),
                "“{text}” lies over “{other}”: {bounds:?} and {other_bounds:?}"
            );
        }
    }
    let says = |words: &str| boxes.iter().any(|(text, _)| *text == words);
    assert!(says("planning estimate, not a permit set"));
    assert!(says(IMPRINT.date));
    for heading in ["DRAWN FOR", "CHECKED BY", "REVISION", "DATE"] {
        assert!(says(heading), "{heading}");
    }
}

proptest! {
    #![proptest_config(draws(32))]

    #[test]
    fn lettering_never_overlaps_and_nothing_leaves_the_sheet(
        household in any_household(),
        arrays in 1..=12_usize,
        units in 0..=4_usize,
    ) {
        for option in &household.options {
            for paper in [Paper::A4, Paper::Letter] {
                let option = wider(option, arrays, units.max(option.storage.len()));
                assert_sheet_is_sound(&sheet_of(&household, &option, paper), paper);
            }
        }
    }
}

/// The household's own notes stand in the title block of both files; what was left blank stays blank.
#[test]
fn revision_and_for_whom_a_sheet_is_drawn_stand_in_its_title_block() {
    let household = demo();
    let mut option = household.options[2].clone();
    option.title = TitleNotes {
        revision: "C2".to_owned(),
        drawn_for: "The owners of the house".to_owned(),
        checked_by: String::new(),
    };
    let sheet = sheet_of(&household, &option, Paper::A4);
    let in_dxf = String::from_utf8_lossy(&dxf(&sheet)).into_owned();
    let in_svg = texts_of_svg(&svg(&sheet, ""));
    for words in ["C2", "The owners of the house", "2026-11-25", "CHECKED BY"] {
        assert!(in_svg.iter().any(|text| text == words), "{words}");
        assert!(in_dxf.contains(&format!("\n  1\n{words}\n")), "{words}");
    }
    let of_frame = |sheet: &FullSheet| {
        letterings(sheet)
            .filter(|(layer, _)| *layer == Layer::Frame)
            .count()
    };
    let blank = of_frame(&sheet);
    option.title.checked_by = "N. N.".to_owned();
    assert_eq!(
        of_frame(&sheet_of(&household, &option, Paper::A4)),
        blank + 1
    );
}

/// The demonstration under names that files have to write with care.
fn awkward_demo() -> Household {
    let mut household = demo();
    household.name = "Müller & \"Söhne\" <3>".to_owned();
    household.options[0].name = "50 % \\ 50 %% ^I {a}".to_owned();
    household.options[0].arrays[0].name = "屋根 Ω".to_owned();
    household
}

fn texts_of_svg(text: &str) -> Vec<String> {
    let mut reader = Reader::from_str(text);
    reader.config_mut().check_end_names = true;
    let (mut said, mut depth, mut in_text) = (Vec::new(), 0_i32, false);
    loop {
        match reader.read_event().expect("well-formed XML") {
            Event::Start(tag) => {
                depth += 1;
                in_text = tag.name().as_ref() == "text";
                if in_text {
                    said.push(String::new());
                }
            }
            Event::End(_) => {
                depth -= 1;
                in_text = false;
            }
            Event::Text(words) if in_text => {
                said.last_mut().expect("a text has begun").push_str(&words);
            }
            Event::GeneralRef(name) if in_text => {
                let letter = quick_xml::escape::resolve_xml_entity(&name).expect("a known entity");
                said.last_mut().expect("a text has begun").push_str(letter);
            }
            Event::Eof => break,
            _ => {}
        }
    }
    assert_eq!(depth, 0);
    said.sort();
    said
}

fn texts_of(sheet: &FullSheet) -> Vec<String> {
    let mut texts: Vec<String> = letterings(sheet)
        .map(|(_, lettering)| lettering.text.clone())
        .collect();
    texts.sort();
    texts
}

/// Read by quick-xml.
#[test]
fn an_svg_is_well_formed_and_says_what_the_sheet_says() {
    for household in [demo(), awkward_demo()] {
        for option in &household.options {
            let sheet = sheet_of(&household, option, Paper::A4);
            let file = svg(&sheet, "");
            assert_eq!(texts_of_svg(&file), texts_of(&sheet));
            assert!(file.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\""));
            assert!(file.contains("width=\"297mm\" height=\"210mm\""));
            for outside in ["http:", "https:", "href", "url("] {
                let beyond_its_name = file.replacen("http://www.w3.org/2000/svg", "", 1);
                assert!(
                    !beyond_its_name.contains(outside),
                    "{outside} leads outside"
                );
            }
        }
    }
}

/// Read by the crate `dxf`: what it finds on each layer, and how far it reaches.
#[test]
fn a_dxf_says_what_the_sheet_says_on_the_same_layers_and_in_millimetres() {
    for (household, paper) in [(demo(), Paper::A4), (awkward_demo(), Paper::Letter)] {
        for option in &household.options {
            let sheet = sheet_of(&household, option, paper);
            let read = dxf::Drawing::load(&mut Cursor::new(dxf(&sheet))).expect("a DXF file");
            let mut expected: BTreeMap<(&str, &str), usize> = BTreeMap::new();
            for ink in &sheet.inks {
                let kind = match &ink.shape {
                    Shape::Line { points, width, .. } if points.len() == 2 && *width < 1.6 => {
                        "line"
                    }
                    Shape::Line { .. }
                    | Shape::Curve { .. }
                    | Shape::Circle { width: None, .. } => "polyline",
                    Shape::Area { .. } => "solid",
                    Shape::Circle { .. } => "circle",
                    Shape::Text(_) => "text",
                };
                *expected.entry((ink.layer.name(), kind)).or_default() += 1;
            }
            let mut found: BTreeMap<(&str, &str), usize> = BTreeMap::new();
            let mut texts = Vec::new();
            let (mut right_mm, mut top_mm, mut left_mm, mut bottom_mm) =
                (0.0_f64, 0.0_f64, 1e9_f64, 1e9_f64);
            let mut see = |x: f64, y: f64| {
                (left_mm, right_mm) = (left_mm.min(x), right_mm.max(x));
                (bottom_mm, top_mm) = (bottom_mm.min(y), top_mm.max(y));
            };
            for entity in read.entities() {
                let kind = match &entity.specific {
                    EntityType::Line(line) => {
                        see(line.p1.x, line.p1.y);
                        see(line.p2.x, line.p2.y);
                        "line"
                    }
                    EntityType::Polyline(polyline) => {
                        for vertex in polyline.vertices() {
                            see(vertex.location.x, vertex.location.y);
                        }
                        "polyline"
                    }
                    EntityType::Solid(_) => "solid",
                    EntityType::Circle(_) => "circle",
                    EntityType::Text(text) => {
                        see(text.location.x, text.location.y);
                        see(text.second_alignment_point.x, text.second_alignment_point.y);
                        texts.push(text.value.replace("%%%", "%"));
                        "text"
                    }
                    other => panic!("{other:?} is not written"),
                };
                let layer = entity.common.layer.as_str();
                let layer = Layer::ALL
                    .into_iter()
                    .find(|one| one.name() == layer)
                    .expect("a layer of ours");
                *found.entry((layer.name(), kind)).or_default() += 1;
            }
            assert_eq!(found, expected);
            texts.sort();
            assert_eq!(texts, texts_of(&sheet));
            let (width_mm, height_mm) = match paper {
                Paper::A4 => (297.0, 210.0),
                Paper::Letter => (279.4, 215.9),
            };
            let maximum = &read.header.maximum_drawing_extents;
            for (reached_mm, expected_mm, side) in [
                (left_mm, 0.0, "left"),
                (bottom_mm, 0.0, "bottom"),
                (right_mm, width_mm, "right"),
                (top_mm, height_mm, "top"),
                (maximum.x, width_mm, "width in the header"),
                (maximum.y, height_mm, "height in the header"),
            ] {
                assert_near(reached_mm, expected_mm, 1e-3, side);
            }
            for layer in Layer::ALL {
                assert!(read.layers().any(|one| one.name == layer.name()));
            }
        }
    }
}
