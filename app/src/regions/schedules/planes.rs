//! Roof planes: slope, direction, mounting, horizon and shade.

use couplet_core::array::Mounting;
use couplet_core::household::{Household, PlaneId, RoofPlane};
use couplet_core::limits;
use couplet_core::sky::{Horizon, HorizonPoint};
use leptos::prelude::*;

use super::row::Row;
use super::shade::ShadeEditor;
use super::{Details, Remove, Schedule};
use crate::desk::Desk;
use crate::words::Word;

/// The schedule of roof planes.
#[component]
pub(super) fn Planes(desk: Desk) -> impl IntoView {
    let ids = Memo::new(move |_| {
        desk.household.with(|household| {
            household
                .planes
                .iter()
                .map(|plane| plane.id)
                .collect::<Vec<_>>()
        })
    });
    view! {
        <Schedule desk name="planes" title=Word::Planes>
            <For each=move || ids.get() key=|id| *id let:id>
                <PlaneRow desk id />
            </For>
            <button type="button" class="add" on:click=move |_| add(desk)>
                {move || format!("Add a {}", desk.word(Word::Plane))}
            </button>
        </Schedule>
    }
    .into_any()
}

#[component]
fn PlaneRow(desk: Desk, id: PlaneId) -> impl IntoView {
    let row: Row<RoofPlane> = Row::new(
        desk,
        format!("plane-{}", id.0),
        "plane",
        move |household| household.plane(id),
        move |household| household.planes.iter_mut().find(|plane| plane.id == id),
    );
    let name = row.read(|plane| plane.name.clone());
    // A plane that carries modules in any option stays.
    let used = Memo::new(move |_| desk.household.with(|household| carries(household, id)));
    view! {
        <div class="part" data-selected=move || {
            (desk.selection.get() == Some(couplet_core::drawing::Part::Plane(id))).then_some("true")
        }>
            <div class="part-head">
                {row.text("name", "name", true, |plane| &plane.name, |plane, name| plane.name = name)}
                <Show when=move || !used.get()>
                    <Remove what=name on_remove=Callback::new(move |()| {
                        desk.change("remove a plane", None, |household| household.planes.retain(|plane| plane.id != id));
                    }) />
                </Show>
            </div>
            {row.quantity(&limits::PLANE_TILT_DEG, |plane| plane.tilt_deg, |plane, value| plane.tilt_deg = value)}
            {row.quantity(&limits::PLANE_AZIMUTH_DEG, |plane| plane.azimuth_deg, |plane, value| plane.azimuth_deg = value)}
            <Details clone:row desk title=Word::MountingAndShade>
                {row.choice(
                    "mounting",
                    "mounting",
                    &[
                        (Mounting::RoofStandOff, "on the roof, air behind"),
                        (Mounting::OpenRack, "open rack"),
                        (Mounting::CloseToRoof, "close to the roof"),
                    ],
                    |plane| plane.mounting,
                    |plane, mounting| plane.mounting = mounting,
                )}
                <HorizonEditor row=row.clone() id />
                <ShadeEditor row=row.clone() />
            </Details>
        </div>
    }
    .into_any()
}

fn carries(household: &Household, id: PlaneId) -> bool {
    household
        .options
        .iter()
        .flat_map(|option| &option.arrays)
        .any(|array| array.plane == id)
}

/// Points of the horizon; between them it runs straight.
#[component]
fn HorizonEditor(row: Row<RoofPlane>, id: PlaneId) -> impl IntoView {
    let desk = row.desk;
    let count = row.read(|plane| plane.horizon.0.len());
    let add = row.clone();
    let point_row = move |index: usize| -> Row<HorizonPoint> {
        Row::new(
            desk,
            format!("plane-{}-horizon-{index}", id.0),
            "horizon",
            move |household| household.plane(id)?.horizon.0.get(index),
            move |household| {
                household
                    .planes
                    .iter_mut()
                    .find(|plane| plane.id == id)?
                    .horizon
                    .0
                    .get_mut(index)
            },
        )
    };
    view! {
        <fieldset class="horizon">
            <legend>"horizon"</legend>
            <For each=move || 0..count.get() key=|index| *index let:index>
                {
                    let point = point_row(index);
                    let plane = row.clone();
                    view! {
                        <div class="pair">
                            {point.quantity_at(&limits::HORIZON_AZIMUTH_DEG, "azimuth_deg", Some(format!("direction of point {}", index + 1)), |point| point.azimuth_deg, |point, value| point.azimuth_deg = value)}
                            {point.quantity_at(&limits::HORIZON_ELEVATION_DEG, "elevation_deg", Some(format!("height of point {}", index + 1)), |point| point.elevation_deg, |point, value| point.elevation_deg = value)}
                            <Remove
                                what=format!("point {}", index + 1)
                                on_remove=Callback::new(move |()| plane.change(None, "remove a point of the horizon", |plane| remove_point(&mut plane.horizon, index)))
                            />
                        </div>
                    }
                }
            </For>
            <button type="button" class="add" on:click=move |_| add.change(None, "add a point of the horizon", |plane| add_point(&mut plane.horizon))>
                "Add a point"
            </button>
            <p class="note">"Direction from north clockwise, and height of what stands there."</p>
        </fieldset>
    }
    .into_any()
}

fn add_point(horizon: &mut Horizon) {
    let azimuth_deg = horizon
        .0
        .last()
        .map_or(90.0, |point| (point.azimuth_deg + 30.0).min(360.0));
    horizon.0.push(HorizonPoint {
        azimuth_deg,
        elevation_deg: 5.0,
    });
}

fn remove_point(horizon: &mut Horizon, index: usize) {
    if index < horizon.0.len() {
        horizon.0.remove(index);
    }
}

fn add(desk: Desk) {
    desk.change("add a plane", None, |household| {
        let id = PlaneId::next(household.planes.iter().map(|plane| plane.id));
        // Toward the equator.
        let azimuth_deg = if household.site.latitude_deg < 0.0 {
            0.0
        } else {
            180.0
        };
        household.planes.push(RoofPlane {
            id,
            name: format!("Roof {}", id.0),
            tilt_deg: limits::PLANE_TILT_DEG.default,
            azimuth_deg,
            mounting: Mounting::RoofStandOff,
            horizon: Horizon::default(),
            shade: None,
        });
    });
}
