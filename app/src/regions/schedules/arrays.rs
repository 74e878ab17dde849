//! Arrays of the open option: power, roof, join, losses.

use couplet_core::coupling::{Array, CouplingOption, Join};
use couplet_core::drawing::{Moving, Target, offers};
use couplet_core::household::{AcSide, ArrayId, Household, PvInverterId};
use couplet_core::limits;
use leptos::prelude::*;

use super::electrical::{module_fields, string_fields};
use super::row::Row;
use super::{Details, Remove, Schedule};
use crate::desk::Desk;
use crate::judged::Judged;
use crate::parts::Choice;
use crate::words::Word;

/// The schedule of arrays.
#[component]
pub(super) fn Arrays(desk: Desk, judged: Judged) -> impl IntoView {
    let ids = Memo::new(move |_| {
        desk.option.with(|option| {
            option
                .as_ref()
                .map(|option| {
                    option
                        .arrays
                        .iter()
                        .map(|array| array.id)
                        .collect::<Vec<_>>()
                })
                .unwrap_or_default()
        })
    });
    // Rows of another option are other rows, even where the ids are the same.
    let rows = move || {
        ids.get()
            .into_iter()
            .map(|id| (desk.option_id.get(), id))
            .collect::<Vec<_>>()
    };
    let no_planes =
        Memo::new(move |_| desk.household.with(|household| household.planes.is_empty()));
    view! {
        <Schedule desk name="arrays" title=Word::Arrays>
            <For each=rows key=|row| *row let:row>
                <ArrayRow desk judged id=row.1 />
            </For>
            <button type="button" class="add" disabled=no_planes on:click=move |_| add(desk)>
                "Add an array"
            </button>
        </Schedule>
    }
    .into_any()
}

#[component]
fn ArrayRow(desk: Desk, judged: Judged, id: ArrayId) -> impl IntoView {
    let option_id = desk.option_id.get_untracked();
    let row: Row<Array> = Row::new(
        desk,
        format!("option-{}-array-{}", option_id.0, id.0),
        "array",
        move |household| household.option(option_id)?.array(id),
        move |household| {
            option_mut(household, option_id)?
                .arrays
                .iter_mut()
                .find(|array| array.id == id)
        },
    );
    let name = row.read(|array| array.name.clone());
    view! {
        <div class="part" data-selected=move || selected(desk, id)>
            <div class="part-head">
                {row.text("name", "name", true, |array| &array.name, |array, name| array.name = name)}
                <Remove what=name on_remove=Callback::new(move |()| remove(desk, id)) />
            </div>
            {row.quantity(&limits::ARRAY_PEAK_W, |array| array.peak_w, |array, value| array.peak_w = value)}
            <JoinChoice desk id=row.id("join") moving=Moving::Array(id) />
            <PlaneChoice row=row.clone() />
            <Details clone:row desk title=Word::ModulesAndStrings>
                {string_fields(&row, judged, id)}
                {module_fields(&row, judged, id)}
            </Details>
            <Details clone:row desk title=Word::Losses>
                {row.quantity(&limits::ARRAY_POWER_COEFFICIENT_PER_C, |array| array.power_coefficient_per_c, |array, value| array.power_coefficient_per_c = value)}
                {row.quantity(&limits::ARRAY_WIRING_LOSS, |array| array.wiring_loss, |array, value| array.wiring_loss = value)}
                {row.quantity(&limits::ARRAY_MISMATCH_LOSS, |array| array.mismatch_loss, |array, value| array.mismatch_loss = value)}
                {row.quantity(&limits::ARRAY_AGE_LOSS, |array| array.age_loss, |array, value| array.age_loss = value)}
                {row.tick("standing", "stands already", |array| array.standing, |array, value| array.standing = value)}
            </Details>
        </div>
    }
    .into_any()
}

fn selected(desk: Desk, id: ArrayId) -> Option<&'static str> {
    (desk.selection.get() == Some(couplet_core::drawing::Part::Array(id))).then_some("true")
}

/// Where an array or a storage unit joins, as a menu: the move by keyboard.
#[component]
pub(super) fn JoinChoice(desk: Desk, id: String, moving: Moving) -> impl IntoView {
    let all = Memo::new(move |_| {
        let service = desk.household.with(|household| household.service.clone());
        desk.option.with(|option| {
            option
                .as_ref()
                .map(|option| offers(&service, option, moving))
                .unwrap_or_default()
        })
    });
    let items = Signal::derive(move || {
        let names = desk.option.with(|option| unit_names(option.as_deref()));
        all.with(|offers| {
            offers
                .iter()
                .map(|offer| {
                    let place = match offer.target {
                        Target::Join(Join::Dc(unit)) => {
                            let name = names
                                .iter()
                                .find(|(id, _)| *id == unit)
                                .map_or("", |(_, name)| name.as_str());
                            format!("DC, {name}")
                        }
                        Target::Join(Join::Ac(side)) => {
                            format!("AC, {}", desk.word(side_word(side)))
                        }
                        Target::Side(side) => desk.word(side_word(side)).to_owned(),
                    };
                    match offer.refused {
                        Some(_) => (format!("{place} (no MPPT inputs)"), false),
                        None => (place, true),
                    }
                })
                .collect::<Vec<_>>()
        })
    });
    let chosen =
        Memo::new(move |_| all.with(|offers| offers.iter().position(|offer| offer.stands_here)));
    let path = move || {
        all.with(|offers| {
            let stands = offers.iter().find(|offer| offer.stands_here)?;
            match stands.target {
                Target::Join(Join::Dc(_)) => Some("dc"),
                Target::Join(Join::Ac(_)) => Some("ac"),
                Target::Side(_) => None,
            }
        })
    };
    view! {
        <div class="join" data-path=path>
            <Choice
                id=id
                label=Signal::derive(move || desk.word(Word::JoinedOn).to_owned())
                items=items
                chosen=chosen
                on_change=Callback::new(move |index: usize| {
                    if let Some(offer) = all.get_untracked().get(index) {
                        desk.move_join(moving, offer.target);
                    }
                })
            />
        </div>
    }
    .into_any()
}

/// The roof plane as a menu.
#[component]
fn PlaneChoice(row: Row<Array>) -> impl IntoView {
    let desk = row.desk;
    let planes = Memo::new(move |_| {
        desk.household.with(|household| {
            household
                .planes
                .iter()
                .map(|plane| (plane.id, plane.name.clone()))
                .collect::<Vec<_>>()
        })
    });
    let plane = row.read(|array| Some(array.plane));
    let chosen = Memo::new(move |_| {
        planes.with(|planes| planes.iter().position(|(id, _)| Some(*id) == plane.get()))
    });
    view! {
        <Choice
            id=row.id("plane")
            label=Signal::derive(move || desk.word(Word::Plane).to_owned())
            items=Signal::derive(move || planes.with(|planes| planes.iter().map(|(_, name)| (name.clone(), true)).collect::<Vec<_>>()))
            chosen=chosen
            on_change=Callback::new(move |index: usize| {
                if let Some((plane, _)) = planes.get_untracked().get(index) {
                    row.change(None, "plane", |array| array.plane = *plane);
                }
            })
        />
    }
    .into_any()
}

/// The word for a side of the transfer point.
pub(super) fn side_word(side: AcSide) -> Word {
    match side {
        AcSide::GridSide => Word::GridSide,
        AcSide::BackedUp => Word::BackedUp,
    }
}

fn unit_names(
    option: Option<&CouplingOption>,
) -> Vec<(couplet_core::household::StorageId, String)> {
    option
        .map(|option| {
            option
                .storage
                .iter()
                .map(|unit| (unit.id, unit.name.clone()))
                .collect()
        })
        .unwrap_or_default()
}

/// An option of the household, to be changed.
pub(super) fn option_mut(
    household: &mut Household,
    id: couplet_core::household::OptionId,
) -> Option<&mut CouplingOption> {
    household.options.iter_mut().find(|option| option.id == id)
}

/// Adds an array on a plane that carries none yet, or else on the first, joined on AC on the backed-up side if anything stands there.
fn add(desk: Desk) {
    let household = desk.household.get_untracked();
    let Some(option) = desk.option.get_untracked() else {
        return;
    };
    let free = household
        .planes
        .iter()
        .find(|plane| option.arrays.iter().all(|array| array.plane != plane.id));
    let Some(plane) = free.or(household.planes.first()) else {
        return;
    };
    let side = if option.storage.is_empty() && household.service.utility {
        AcSide::GridSide
    } else {
        AcSide::BackedUp
    };
    let (plane, name) = (plane.id, plane.name.clone());
    desk.change_option("add an array", None, |option| {
        let id = ArrayId::next(option.arrays.iter().map(|array| array.id));
        // No inverter of this id stands yet: the move onto AC adds a generic one.
        let inverter = PvInverterId::next(option.pv_inverters.iter().map(|inverter| inverter.id));
        option.arrays.push(Array::generic(
            id,
            name,
            plane,
            limits::ARRAY_PEAK_W.default,
            inverter,
        ));
        // The array is there and AC is always open, so the move cannot be refused.
        let _ = option.move_array(id, Join::Ac(side));
    });
}

/// Takes an array away, and its PV inverter with it if no other array names it.
fn remove(desk: Desk, id: ArrayId) {
    desk.change_option("remove an array", None, |option| {
        option.arrays.retain(|array| array.id != id);
        let named: Vec<PvInverterId> = option
            .arrays
            .iter()
            .map(|array| array.pv_inverter)
            .collect();
        option
            .pv_inverters
            .retain(|inverter| named.contains(&inverter.id));
    });
}
