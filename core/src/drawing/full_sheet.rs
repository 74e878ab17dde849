//! The drawing sheet: the diagram with its call-outs, the tables that they refer to, the key and the title block, on paper of a
//! family in landscape.

use super::Paper;
use super::call_out::{CallOuts, TagKind};
use super::ink::{Hue, Ink, Layer, RULE, Shape, THIN, diagram, rectangle, words};
use super::key::Key;
use super::layout::{INSET, MARGIN, layout_of_width};
use super::lettering::{TextStyle, cut};
use super::sheet::{Anchor, Bounds, Point, Sheet};
use super::symbol::SymbolSet;
use super::table::{Column, Table};
use super::title::{self, FIELD_INSET, joins, supply_name};
use crate::coupling::CouplingOption;
use crate::findings::{Circuit, CircuitKind, Details, shown_figure};
use crate::household::Household;
use crate::rules::{Code, Metal, Term};

/// What of the title block is for who makes the sheet to say: the option's own notes are in it already.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Imprint<'a> {
    /// Day on which the sheet is made, as it is to stand there.
    pub date: &'a str,
}

/// The drawing sheet as line work and lettering, x to the right, y down.
#[derive(Clone, Debug, PartialEq)]
pub struct FullSheet {
    /// Width in units of the sheet.
    pub width: f64,
    /// Height in units of the sheet.
    pub height: f64,
    /// Length of a unit on paper, mm.
    pub mm_per_unit: f64,
    /// Name of the paper.
    pub paper: &'static str,
    /// What the sheet is called.
    pub title: String,
    /// All that is drawn.
    pub inks: Vec<Ink>,
}

/// Width from which a sheet grows.
const LEAST_WIDTH: f64 = 1188.0;
/// By how much it grows until all that stands on it has room.
const GROWTH: f64 = 1.05;
/// Space between diagram, tables and title block.
const GAP: f64 = 18.0;
/// Height of the second row of the title block: who and when.
const NOTES: f64 = 46.0;
/// Height of the title block.
const HEIGHT: f64 = title::HEIGHT + NOTES;

/// The drawing sheet of an option.
#[must_use]
pub fn full_sheet(
    household: &Household,
    option: &CouplingOption,
    details: &Details,
    paper: Paper,
    imprint: Imprint<'_>,
) -> FullSheet {
    let call_outs = CallOuts::of(household, option, details);
    let conductors = conductor_table(&call_outs, details.code);
    let markings = marking_table(&call_outs, details.code);
    let mut width = LEAST_WIDTH;
    let (sheet, key, blocks) = loop {
        let sheet = layout_of_width(household, option, None, &call_outs, width);
        width = width.max(sheet.width);
        let key = Key::of(&sheet);
        let blocks = Blocks::of(&conductors, &markings, &key, width);
        let needed = sheet.diagram.bottom + GAP + blocks.height + GAP + HEIGHT + MARGIN;
        if needed <= width / paper.proportion() {
            break (sheet, key, blocks);
        }
        // Height grows in proportion, what is needed does not: an end is certain.
        width *= GROWTH;
    };
    let height = width / paper.proportion();
    let (paper_name, width_mm) = paper.size_for(width);

    let title_top = height - MARGIN - HEIGHT;
    let blocks_top = title_top - GAP - blocks.height;
    let mut inks = Vec::new();
    let frame = Bounds {
        left: MARGIN,
        top: MARGIN,
        right: width - MARGIN,
        bottom: height - MARGIN,
    };
    // The edge of the paper, and the frame.
    inks.push(rectangle(
        Layer::Frame,
        Hue::Soft,
        &frame.wider(MARGIN),
        THIN,
    ));
    inks.push(rectangle(Layer::Frame, Hue::Ink, &frame, RULE));
    let spare = (blocks_top - GAP - sheet.diagram.bottom).max(0.0);
    inks.extend(
        diagram(&sheet)
            .into_iter()
            .map(|ink| lowered(ink, 0.5 * spare)),
    );
    for (left, down, block_width, block) in blocks.placed {
        let at = Point {
            x: left,
            y: blocks_top + down,
        };
        match block {
            Block::Table(table) if table.rows.is_empty() => {}
            Block::Table(table) => table.draw(at, block_width, &mut inks),
            Block::Key => key.draw(at, block_width, &mut inks),
        }
    }
    let room = Bounds {
        top: title_top,
        ..frame
    };
    title_block(
        household,
        option,
        details.code,
        &sheet,
        paper_name,
        imprint,
        room,
        &mut inks,
    );
    FullSheet {
        width,
        height,
        mm_per_unit: width_mm / width,
        paper: paper_name,
        title: format!("Single-line diagram of {}, {}", household.name, option.name),
        inks,
    }
}

enum Block {
    Table(Table),
    Key,
}

/// Where tables and key stand side by side.
struct Blocks {
    /// Each with its left edge, how far it stands below the uppermost, and its width.
    placed: Vec<(f64, f64, f64, Block)>,
    height: f64,
}

impl Blocks {
    fn of(conductors: &Table, markings: &Table, key: &Key, width: f64) -> Self {
        const SHARES: [f64; 3] = [0.42, 0.33, 0.25];
        const BETWEEN: f64 = 22.0;
        let room = width - 2.0 * (MARGIN + INSET) - 2.0 * BETWEEN;
        let [first, second, third] = SHARES.map(|share| share * room);
        let left = MARGIN + INSET;
        let above = conductors.height(first) + GAP;
        // The table of conductors is mostly the shorter one: the last markings stand below it where that makes the sheet lower.
        let split = |at: usize| {
            let (here, there) = markings.split(at, "DISCONNECTS AND LABELS, CONTINUED");
            let height = here.height(second).max(above + there.height(first));
            (height, here, there)
        };
        let (height, here, there) = (1..markings.rows.len())
            .map(split)
            .filter(|(height, ..)| *height < markings.height(second))
            .reduce(|best, other| if other.0 < best.0 { other } else { best })
            .map_or_else(
                || (markings.height(second), markings.clone(), None),
                |(height, here, there)| (height, here, Some(there)),
            );
        let mut placed = vec![
            (left, 0.0, first, Block::Table(conductors.clone())),
            (left + first + BETWEEN, 0.0, second, Block::Table(here)),
            (
                left + first + second + 2.0 * BETWEEN,
                0.0,
                third,
                Block::Key,
            ),
        ];
        placed.extend(there.map(|there| (left, above, first, Block::Table(there))));
        Self {
            placed,
            height: conductors.height(first).max(height).max(key.height()),
        }
    }
}

fn words_column(heading: &'static str, share: f64) -> Column {
    Column {
        heading,
        share,
        tags: None,
    }
}

fn conductor_table(call_outs: &CallOuts, code: Code) -> Table {
    Table {
        title: "CONDUCTORS AND BREAKERS",
        columns: vec![
            Column {
                heading: "No.",
                share: 0.06,
                tags: Some(TagKind::Circuit),
            },
            words_column("Circuit", 0.305),
            words_column("Join", 0.075),
            words_column("Highest", 0.11),
            words_column("Breaker", 0.11),
            words_column("Conductor", 0.14),
            words_column(Term::EarthHeading.under(code), 0.11),
            words_column("Drop", 0.09),
        ],
        rows: call_outs
            .circuits
            .iter()
            .zip(1_usize..)
            .map(|(circuit, number)| conductor_row(call_outs, circuit, number))
            .collect(),
        notes: "In brackets: proposed by calculation, not yet chosen. Copper unless marked Al.",
    }
}

fn conductor_row(call_outs: &CallOuts, circuit: &Circuit, number: usize) -> Vec<String> {
    let bracketed = |text: String, chosen: bool| if chosen { text } else { format!("({text})") };
    let join = match circuit.kind {
        CircuitKind::PvSource | CircuitKind::PvOutput | CircuitKind::StorageOutput => {
            call_outs.join(circuit.part)
        }
        CircuitKind::GeneratorOutput | CircuitKind::Battery | CircuitKind::Transfer => None,
    };
    let breaker = circuit.duty.device_a.map_or_else(
        || "none".to_owned(),
        |device_a| {
            bracketed(
                format!("{} A", shown_figure(device_a, 0)),
                circuit.device_is_chosen,
            )
        },
    );
    let metal = match circuit.run.laying.metal {
        Metal::Copper => "",
        Metal::Aluminium => " Al",
    };
    let conductor = circuit.conductors.map_or_else(
        || "none suits".to_owned(),
        |found| bracketed(format!("{}{metal}", found.label()), circuit.size_is_chosen),
    );
    let earth = circuit
        .earth_label()
        .map_or_else(String::new, |label| format!("{label}{metal}"));
    let drop = circuit.drop_share().map_or_else(String::new, |share| {
        format!("{} %", shown_figure(100.0 * share, 1))
    });
    vec![
        number.to_string(),
        circuit.name.clone(),
        join.map_or_else(String::new, |join| join.tag.clone()),
        format!("{} A", shown_figure(circuit.duty.highest_a, 1)),
        breaker,
        conductor,
        earth,
        drop,
    ]
}

fn marking_table(call_outs: &CallOuts, code: Code) -> Table {
    Table {
        title: "DISCONNECTS AND LABELS",
        columns: vec![
            Column {
                heading: "",
                share: 0.06,
                tags: Some(TagKind::Marking),
            },
            words_column("", 0.66),
            words_column("", 0.28),
        ],
        rows: call_outs
            .markings
            .iter()
            .zip('A'..='Z')
            .map(|(marking, letter)| {
                vec![
                    letter.to_string(),
                    format!("{}: {}", marking.title, marking.asks),
                    marking.clause.source(code).to_string(),
                ]
            })
            .collect(),
        notes: "In our own words; to be checked against the adopted edition and what the utility asks for.",
    }
}

#[expect(
    clippy::too_many_arguments,
    reason = "a title block gathers what all else knows"
)]
fn title_block(
    household: &Household,
    option: &CouplingOption,
    code: Code,
    sheet: &Sheet,
    paper: &str,
    imprint: Imprint<'_>,
    room: Bounds,
    inks: &mut Vec<Ink>,
) {
    let supply = household.service.supply;
    let site = &household.site;
    let below_name = if household.invented {
        "invented demonstration"
    } else {
        "single-line diagram"
    };
    let service = if household.service.utility {
        format!(
            "main breaker {} A",
            shown_figure(household.service.main_breaker_a, 0)
        )
    } else {
        "no utility".to_owned()
    };
    let place = if site.place.is_empty() {
        "not named".to_owned()
    } else {
        site.place.clone()
    };
    let notes = &option.title;
    let of_sheet = [
        (
            0.20,
            "HOUSEHOLD",
            household.name.clone(),
            below_name.to_owned(),
        ),
        (0.17, "OPTION", option.name.clone(), joins(option)),
        (
            0.16,
            "PLACE",
            place,
            position(site.latitude_deg, site.longitude_deg),
        ),
        (0.155, "SERVICE", supply_name(supply).to_owned(), service),
        (
            0.135,
            "CODE",
            code.to_string(),
            format!("symbols: {}", SymbolSet::name(sheet.symbols)),
        ),
        (
            0.18,
            "SHEET",
            format!("1 of 1, {paper}"),
            "planning estimate, not a permit set".to_owned(),
        ),
    ];
    let of_notes = [
        (0.37, "DRAWN FOR", notes.drawn_for.clone(), String::new()),
        (0.315, "CHECKED BY", notes.checked_by.clone(), String::new()),
        (0.135, "REVISION", notes.revision.clone(), String::new()),
        (0.18, "DATE", imprint.date.to_owned(), String::new()),
    ];
    let between = room.bottom - NOTES;
    let above = Bounds {
        bottom: between,
        ..room
    };
    let below = Bounds {
        top: between,
        ..room
    };
    row_of_fields(&of_sheet, above, inks);
    row_of_fields(&of_notes, below, inks);
}

/// Fields side by side: share of the width, heading, what it says, and a line below.
fn row_of_fields(fields: &[(f64, &str, String, String)], room: Bounds, inks: &mut Vec<Ink>) {
    let mut left = room.left;
    for (share, heading, main, below) in fields {
        let right = (left + share * room.width()).min(room.right);
        let bounds = Bounds {
            left,
            right,
            ..room
        };
        inks.push(rectangle(Layer::Frame, Hue::Ink, &bounds, RULE));
        let most = right - left - 1.5 * FIELD_INSET;
        for (said, style, y, hue) in [
            (*heading, TextStyle::Heading, 18.0, Hue::Soft),
            (main.as_str(), TextStyle::Title, 37.0, Hue::Ink),
            (below.as_str(), TextStyle::Detail, 53.0, Hue::Soft),
        ] {
            let said = cut(said, style, most);
            if !said.is_empty() {
                let at = Point {
                    x: left + FIELD_INSET,
                    y: room.top + y,
                };
                inks.push(words(Layer::Frame, hue, style, Anchor::Start, at, &said));
            }
        }
        left = right;
    }
}

/// A position in degrees with a tenth, such as "39.7° N, 105.2° W".
fn position(latitude_deg: f64, longitude_deg: f64) -> String {
    let half = |degrees: f64, positive, negative| {
        let letter = if degrees < 0.0 { negative } else { positive };
        format!("{:.1}° {letter}", libm::fabs(degrees))
    };
    format!(
        "{}, {}",
        half(latitude_deg, 'N', 'S'),
        half(longitude_deg, 'E', 'W')
    )
}

/// A piece further down the sheet.
fn lowered(ink: Ink, by: f64) -> Ink {
    let down = |point: Point| Point {
        y: point.y + by,
        ..point
    };
    let all = |points: Vec<Point>| points.into_iter().map(down).collect();
    let shape = match ink.shape {
        Shape::Line {
            points,
            closed,
            width,
            dash,
        } => Shape::Line {
            points: all(points),
            closed,
            width,
            dash,
        },
        Shape::Curve { points, width } => Shape::Curve {
            points: points.map(down),
            width,
        },
        Shape::Area { points } => Shape::Area {
            points: all(points),
        },
        Shape::Circle {
            middle,
            radius,
            width,
        } => Shape::Circle {
            middle: down(middle),
            radius,
            width,
        },
        Shape::Text(lettering) => Shape::Text(super::Lettering {
            at: down(lettering.at),
            ..lettering
        }),
    };
    Ink { shape, ..ink }
}
