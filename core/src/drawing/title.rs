//! Title block and legend: what an engineering drawing says of itself.

use super::lettering::{TextStyle, cut, width, words};
use super::sheet::{Anchor, Bounds, FieldText, LegendEntry, Path, Point, Text, TitleField};
use super::symbol::SymbolSet;
use crate::coupling::{CouplingOption, Join};
use crate::household::{Household, Supply};

/// Height of the title block.
pub(super) const HEIGHT: f64 = 64.0;
/// Space between the edge of a field and its words.
pub const FIELD_INSET: f64 = 12.0;

/// The title block, in the given rectangle.
pub(super) fn block(
    household: &Household,
    option: &CouplingOption,
    room: Bounds,
) -> Vec<TitleField> {
    let supply = household.service.supply;
    let place = household.site.place.clone();
    let below_name = if household.invented {
        "invented demonstration".to_owned()
    } else {
        place
    };
    let fields = [
        (
            0.24,
            "HOUSEHOLD",
            FieldText::Said(household.name.clone(), below_name),
        ),
        (
            0.21,
            "OPTION",
            FieldText::Said(option.name.clone(), joins(option)),
        ),
        (0.165, "DRAWN AT", FieldText::DrawnAt),
        (
            0.165,
            "SERVICE",
            FieldText::Said(
                supply_name(supply).to_owned(),
                format!("symbols: {}", SymbolSet::of(supply).name()),
            ),
        ),
        (
            0.22,
            "SHEET",
            FieldText::Said(
                "1 of 1, planning estimate".to_owned(),
                "not for construction".to_owned(),
            ),
        ),
    ];
    let mut left = room.left;
    fields
        .into_iter()
        .map(|(share, heading, text)| {
            let right = (left + share * room.width()).min(room.right);
            let most = right - left - 1.5 * FIELD_INSET;
            let text = match text {
                FieldText::Said(main, below) => FieldText::Said(
                    cut(&main, TextStyle::Title, most),
                    cut(&below, TextStyle::Detail, most),
                ),
                FieldText::DrawnAt => FieldText::DrawnAt,
            };
            let bounds = Bounds {
                left,
                right,
                ..room
            };
            left = right;
            TitleField {
                bounds,
                heading,
                text,
            }
        })
        .collect()
}

pub(super) fn supply_name(supply: Supply) -> &'static str {
    match supply {
        Supply::SplitPhase120V240V60Hz => "120/240 V, 60 Hz",
        Supply::SinglePhase230V50Hz => "230 V 1~, 50 Hz",
        Supply::ThreePhase230V400V50Hz => "230/400 V 3~, 50 Hz",
        Supply::ThreePhase120V208V60Hz => "120/208 V 3~, 60 Hz",
    }
}

/// How many arrays join where, in a few words.
pub(super) fn joins(option: &CouplingOption) -> String {
    let count = |on_ac: bool| {
        option
            .arrays
            .iter()
            .filter(|array| {
                option
                    .join(array)
                    .is_some_and(|join| matches!(join, Join::Ac(_)) == on_ac)
            })
            .count()
    };
    match (count(true), count(false)) {
        (0, 0) => "no arrays".to_owned(),
        (ac, 0) => format!("{ac} on AC"),
        (0, dc) => format!("{dc} on DC"),
        (ac, dc) => format!("{ac} on AC, {dc} on DC"),
    }
}

const SAMPLE: f64 = 30.0;

/// The legend, on one line from `at`: only styles that occur.
pub(super) fn legend(option: &CouplingOption, at: Point) -> Vec<LegendEntry> {
    let standing = option.arrays.iter().any(|array| array.standing)
        || option.pv_inverters.iter().any(|inverter| inverter.standing)
        || option.storage.iter().any(|unit| unit.standing);
    let entries = [
        (true, Path::AcPv, false, "AC-joined PV"),
        (
            !option.storage.is_empty(),
            Path::DcPv,
            false,
            "DC-joined PV",
        ),
        (true, Path::Neutral, false, "grid, loads, storage"),
        (standing, Path::Neutral, true, "existing equipment"),
    ];
    let mut x = at.x;
    entries
        .into_iter()
        .filter(|(occurs, ..)| *occurs)
        .map(|(_, path, standing, meaning)| {
            let from = Point { x, y: at.y - 4.0 };
            let to = Point {
                x: x + SAMPLE,
                y: from.y,
            };
            let text = Text {
                at: Point {
                    x: to.x + 6.0,
                    y: at.y,
                },
                anchor: Anchor::Start,
                style: TextStyle::Detail,
                pieces: words(meaning),
                part: None,
            };
            x = text.at.x + width(meaning, TextStyle::Detail) + 18.0;
            LegendEntry {
                from,
                to,
                path,
                standing,
                text,
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::demo;
    use crate::drawing::layout;

    #[test]
    fn the_caution_of_the_title_block_is_never_cut() {
        let mut household = demo();
        let first = household.options[0].clone();
        household.options = (1..=12)
            .map(|id| CouplingOption {
                id: crate::household::OptionId(id),
                ..first.clone()
            })
            .collect();
        for supply in Supply::ALL {
            household.service.supply = supply;
            let sheet = layout(&household, &household.options[11]);
            let said: Vec<_> = sheet
                .title
                .iter()
                .filter(|field| ["SERVICE", "SHEET"].contains(&field.heading))
                .map(|field| field.text.clone())
                .collect();
            assert_eq!(
                said,
                [
                    FieldText::Said(
                        supply_name(supply).to_owned(),
                        format!("symbols: {}", SymbolSet::of(supply).name())
                    ),
                    FieldText::Said(
                        "1 of 1, planning estimate".to_owned(),
                        "not for construction".to_owned()
                    ),
                ]
            );
        }
    }
}
