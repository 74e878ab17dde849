//! The grid code of a PV inverter: which one, what it asks for, and the numbers of own settings.

use couplet_core::coupling::{
    DroopBase, EnterService, FrequencyDroop, FrequencySettings, FrequencyTrip, GridCode, PvInverter,
};
use couplet_core::island::settings;
use couplet_core::limits;
use leptos::prelude::*;

use super::row::Row;
use crate::format;
use crate::words::Word;

/// Which code, without the numbers of own settings.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
enum Kind {
    #[default]
    Present,
    NotKnown,
    Ieee1547Of2003,
    Ieee1547aOf2014,
    Ul1741SupplementA,
    Ieee1547Of2018,
    En50549,
    VdeArN4105,
    UkG99,
    AsNzs4777,
    Own,
}

const KINDS: [(Kind, Word); 11] = [
    (Kind::Present, Word::CodePresent),
    (Kind::NotKnown, Word::CodeNotKnown),
    (Kind::Ieee1547Of2018, Word::CodeIeee1547Of2018),
    (Kind::Ul1741SupplementA, Word::CodeUl1741SupplementA),
    (Kind::Ieee1547aOf2014, Word::CodeIeee1547aOf2014),
    (Kind::Ieee1547Of2003, Word::CodeIeee1547Of2003),
    (Kind::En50549, Word::CodeEn50549),
    (Kind::VdeArN4105, Word::CodeVdeArN4105),
    (Kind::UkG99, Word::CodeUkG99),
    (Kind::AsNzs4777, Word::CodeAsNzs4777),
    (Kind::Own, Word::CodeOwn),
];

fn kind(code: GridCode) -> Kind {
    match code {
        GridCode::Present => Kind::Present,
        GridCode::NotKnown => Kind::NotKnown,
        GridCode::Ieee1547Of2003 => Kind::Ieee1547Of2003,
        GridCode::Ieee1547aOf2014 => Kind::Ieee1547aOf2014,
        GridCode::Ul1741SupplementA => Kind::Ul1741SupplementA,
        GridCode::Ieee1547Of2018 => Kind::Ieee1547Of2018,
        GridCode::En50549 => Kind::En50549,
        GridCode::VdeArN4105 => Kind::VdeArN4105,
        GridCode::UkG99 => Kind::UkG99,
        GridCode::AsNzs4777 => Kind::AsNzs4777,
        GridCode::Own(_) => Kind::Own,
    }
}

/// The code of a kind; own settings begin with what held before.
fn code(kind: Kind, before: FrequencySettings) -> GridCode {
    match kind {
        Kind::Present => GridCode::Present,
        Kind::NotKnown => GridCode::NotKnown,
        Kind::Ieee1547Of2003 => GridCode::Ieee1547Of2003,
        Kind::Ieee1547aOf2014 => GridCode::Ieee1547aOf2014,
        Kind::Ul1741SupplementA => GridCode::Ul1741SupplementA,
        Kind::Ieee1547Of2018 => GridCode::Ieee1547Of2018,
        Kind::En50549 => GridCode::En50549,
        Kind::VdeArN4105 => GridCode::VdeArN4105,
        Kind::UkG99 => GridCode::UkG99,
        Kind::AsNzs4777 => GridCode::AsNzs4777,
        Kind::Own => GridCode::Own(before),
    }
}

/// The choice of the code, with what it asks for, or the numbers of own settings.
pub(super) fn grid_code_fields(row: &Row<PvInverter>) -> AnyView {
    let desk = row.desk;
    let own = row.read(|inverter| matches!(inverter.grid_code, GridCode::Own(_)));
    let in_force = {
        let now = row.now;
        Memo::new(move |_| {
            let supply = desk.household.with(|household| household.service.supply);
            now.with(|inverter| {
                inverter
                    .as_ref()
                    .map(|inverter| settings(inverter.grid_code, supply))
            })
        })
    };
    let numbers = row.clone();
    let below = move || {
        if own.get() {
            own_fields(&numbers)
        } else {
            view! { <p class="note">{move || in_force.get().map(|settings| said(&settings))}</p> }
                .into_any()
        }
    };
    view! {
        {row.choice_in_words(
            "grid_code",
            "built to",
            &KINDS,
            |inverter| kind(inverter.grid_code),
            move |inverter, chosen| {
                let supply = desk.household.with_untracked(|household| household.service.supply);
                inverter.grid_code = code(chosen, settings(inverter.grid_code, supply));
            },
        )}
        {below}
    }
    .into_any()
}

/// What settings do, in a line or two.
fn said(settings: &FrequencySettings) -> String {
    let hz = |value: f64, decimals: u8| format!("{}\u{a0}Hz", format::number(value, decimals));
    let s = |value: f64| {
        let decimals = if value < 1.0 { 2 } else { 0 };
        format!("{}\u{a0}s", format::number(value, decimals))
    };
    let back_off = settings.droop.map_or_else(
        || "All or nothing".to_owned(),
        |droop| {
            format!(
                "Backs off above {} by {} for each hertz",
                hz(droop.from_hz, 2),
                format::percent(droop.slope_per_hz, 0).text()
            )
        },
    );
    let (near, far) = (settings.over_near, settings.over_far);
    let trips = if (near.at_hz, near.after_s) == (far.at_hz, far.after_s) {
        format!(
            "trips above {} after {}",
            hz(near.at_hz, 1),
            s(near.after_s)
        )
    } else {
        format!(
            "trips above {} after {}, above {} after {}",
            hz(near.at_hz, 1),
            s(near.after_s),
            hz(far.at_hz, 1),
            s(far.after_s)
        )
    };
    let enter = settings.enter_service;
    format!(
        "{back_off}; {trips}; comes back after {} between {} and {}.",
        s(enter.wait_s),
        hz(enter.from_hz, 2),
        hz(enter.to_hz, 2)
    )
}

fn own(inverter: &PvInverter) -> Option<&FrequencySettings> {
    match &inverter.grid_code {
        GridCode::Own(own) => Some(own),
        _ => None,
    }
}

fn own_mut(inverter: &mut PvInverter) -> Option<&mut FrequencySettings> {
    match &mut inverter.grid_code {
        GridCode::Own(own) => Some(own),
        _ => None,
    }
}

fn droop(inverter: &PvInverter) -> Option<&FrequencyDroop> {
    own(inverter)?.droop.as_ref()
}

fn droop_mut(inverter: &mut PvInverter) -> Option<&mut FrequencyDroop> {
    own_mut(inverter)?.droop.as_mut()
}

fn own_fields(row: &Row<PvInverter>) -> AnyView {
    view! {
        {droop_fields(row)}
        <fieldset class="trips">
            <legend>"trips above"</legend>
            {trip_fields(row, "over_near", |own| &own.over_near, |own| &mut own.over_near)}
            {trip_fields(row, "over_far", |own| &own.over_far, |own| &mut own.over_far)}
        </fieldset>
        <fieldset class="trips">
            <legend>"trips below"</legend>
            {trip_fields(row, "under_near", |own| &own.under_near, |own| &mut own.under_near)}
            {trip_fields(row, "under_far", |own| &own.under_far, |own| &mut own.under_far)}
        </fieldset>
        <fieldset class="trips">
            <legend>"comes back"</legend>
            {enter_fields(row)}
        </fieldset>
    }
    .into_any()
}

/// A number of the droop; nothing changes where there is none.
macro_rules! of_droop {
    ($row:expr, $limit:ident, $field:ident) => {
        $row.quantity_at(
            &limits::$limit,
            concat!("droop-", stringify!($field)),
            None,
            |inverter| droop(inverter).map_or(limits::$limit.default, |droop| droop.$field),
            |inverter, value| {
                if let Some(droop) = droop_mut(inverter) {
                    droop.$field = value;
                }
            },
        )
    };
}

fn droop_fields(row: &Row<PvInverter>) -> AnyView {
    let has = row.read(|inverter| droop(inverter).is_some());
    let held =
        row.read(|inverter| droop(inverter).is_some_and(|droop| droop.held_until_hz.is_some()));
    let numbers = row.clone();
    let held_field = {
        let row = row.clone();
        move || {
            held.get().then(|| {
                row.quantity_at(
                    &limits::DROOP_HELD_UNTIL_HZ,
                    "droop-held_until_hz",
                    None,
                    |inverter| {
                        droop(inverter)
                            .and_then(|droop| droop.held_until_hz)
                            .unwrap_or(limits::DROOP_HELD_UNTIL_HZ.default)
                    },
                    |inverter, value| {
                        if let Some(droop) = droop_mut(inverter) {
                            droop.held_until_hz = Some(value);
                        }
                    },
                )
            })
        }
    };
    let fields = move || {
        has.get().then(|| {
            view! {
                {of_droop!(numbers, DROOP_FROM_HZ, from_hz)}
                {of_droop!(numbers, DROOP_SLOPE_PER_HZ, slope_per_hz)}
                {numbers.choice(
                    "droop-of",
                    "as a share of",
                    &[(DroopBase::Rating, "its rating"), (DroopBase::PowerAtStart, "its power at the start")],
                    |inverter| droop(inverter).map_or(DroopBase::Rating, |droop| droop.of),
                    |inverter, of| if let Some(droop) = droop_mut(inverter) { droop.of = of },
                )}
                {of_droop!(numbers, DROOP_RESPONSE_S, response_s)}
                {numbers.tick(
                    "droop-held",
                    "stays low until frequency has come down",
                    |inverter| droop(inverter).is_some_and(|droop| droop.held_until_hz.is_some()),
                    |inverter, held| if let Some(droop) = droop_mut(inverter) {
                        droop.held_until_hz = held.then_some(droop.from_hz);
                    },
                )}
                {held_field.clone()}
            }
        })
    };
    view! {
        {row.tick(
            "droop",
            "backs off as frequency rises",
            |inverter| droop(inverter).is_some(),
            |inverter, backs_off| if let Some(own) = own_mut(inverter) {
                own.droop = backs_off.then_some(FrequencyDroop {
                    from_hz: f64::midpoint(own.enter_service.to_hz, own.over_near.at_hz),
                    slope_per_hz: limits::DROOP_SLOPE_PER_HZ.default,
                    of: DroopBase::Rating,
                    held_until_hz: None,
                    response_s: limits::DROOP_RESPONSE_S.default,
                });
            },
        )}
        {fields}
    }
    .into_any()
}

fn trip_fields(
    row: &Row<PvInverter>,
    key: &'static str,
    get: fn(&FrequencySettings) -> &FrequencyTrip,
    get_mut: fn(&mut FrequencySettings) -> &mut FrequencyTrip,
) -> AnyView {
    let words = match key {
        "over_near" | "under_near" => "nearer",
        _ => "farther",
    };
    view! {
        <div class="pair">
            {row.quantity_at(
                &limits::TRIP_AT_HZ,
                &format!("{key}-at_hz"),
                Some(format!("{words} trip")),
                move |inverter| own(inverter).map_or(limits::TRIP_AT_HZ.default, |own| get(own).at_hz),
                move |inverter, at_hz| if let Some(own) = own_mut(inverter) { get_mut(own).at_hz = at_hz },
            )}
            {row.quantity_at(
                &limits::TRIP_AFTER_S,
                &format!("{key}-after_s"),
                Some(format!("time beyond the {words} trip")),
                move |inverter| own(inverter).map_or(limits::TRIP_AFTER_S.default, |own| get(own).after_s),
                move |inverter, after_s| if let Some(own) = own_mut(inverter) { get_mut(own).after_s = after_s },
            )}
        </div>
    }
    .into_any()
}

/// A number of coming back.
macro_rules! of_enter {
    ($row:expr, $limit:ident, $field:ident, $words:literal) => {
        $row.quantity_at(
            &limits::$limit,
            concat!("enter_service-", stringify!($field)),
            Some($words.to_owned()),
            |inverter| own(inverter).map_or(limits::$limit.default, |own| own.enter_service.$field),
            |inverter, value| {
                if let Some(FrequencySettings {
                    enter_service: EnterService { $field, .. },
                    ..
                }) = own_mut(inverter)
                {
                    *$field = value;
                }
            },
        )
    };
}

fn enter_fields(row: &Row<PvInverter>) -> AnyView {
    view! {
        {of_enter!(row, ENTER_FROM_HZ, from_hz, "above")}
        {of_enter!(row, ENTER_TO_HZ, to_hz, "below")}
        {of_enter!(row, ENTER_WAIT_S, wait_s, "after")}
        {of_enter!(row, ENTER_RAMP_S, ramp_s, "rises within")}
    }
    .into_any()
}

#[cfg(test)]
mod tests {
    use super::*;
    use couplet_core::household::Supply;

    #[test]
    fn a_code_is_said_with_its_numbers() {
        let said = said(&settings(
            GridCode::Ieee1547Of2018,
            Supply::SplitPhase120V240V60Hz,
        ));
        assert_eq!(
            said,
            "Backs off above 60.04\u{a0}Hz by 33\u{a0}% for each hertz; trips above 61.2\u{a0}Hz after 300\u{a0}s, \
             above 62.0\u{a0}Hz after 0.16\u{a0}s; comes back after 300\u{a0}s between 59.50\u{a0}Hz and 60.10\u{a0}Hz."
        );
    }

    #[test]
    fn every_kind_leads_to_its_code_and_back() {
        let before = settings(GridCode::En50549, Supply::SinglePhase230V50Hz);
        for (chosen, _) in KINDS {
            assert_eq!(kind(code(chosen, before)), chosen);
        }
    }
}
