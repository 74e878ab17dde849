//! What is seen while a part is in hand: where it may be set, and its lifted copy.

use std::sync::Arc;

use couplet_core::coupling::CouplingOption;
use couplet_core::drawing::{Bounds, Bus, Drawn, Moving, Part, Sheet, path_data};
use leptos::prelude::*;

use super::picture::{bus_path, of, rect, still};
use super::say;
use super::table::Table;

/// Where a part in hand may be set: a ground behind each bus, and what can be done there.
pub(super) fn zones(table: Table, sheet: &Arc<Sheet>) -> impl IntoView + use<> {
    let sheet = Arc::clone(sheet);
    move || {
        table.in_hand.get().map(|_| {
            let zones: Vec<_> = sheet.buses.iter().map(|bus| zone(table, bus)).collect();
            view! { <g class="zones" aria-hidden="true">{zones}</g> }
        })
    }
}

fn zone(table: Table, bus: &Bus) -> AnyView {
    let key = bus.key;
    let offer = move || {
        table.carry.with(|carry| {
            let carry = carry.as_ref()?;
            carry
                .offers
                .iter()
                .position(|offer| key.takes(offer.target))
                .and_then(|index| Some((*carry.offers.get(index)?, carry.over == Some(index))))
        })
    };
    let legal = move || offer().is_some_and(|(offer, _)| offer.refused.is_none());
    let over = move || offer().is_some_and(|(_, over)| over);
    let label = move || offer().map_or(say::not_offered(key), |(offer, _)| say::zone_label(&offer));
    let inner = Bounds {
        left: bus.zone.left + 6.0,
        top: bus.zone.top + 6.0,
        right: bus.zone.right - 6.0,
        bottom: bus.zone.bottom - 30.0,
    };
    let middle = f64::midpoint(inner.left, inner.right);
    view! {
        <g
            class="zone"
            data-path=bus_path(key)
            data-legal=move || legal().to_string()
            data-over=move || over().to_string()
        >
            {rect("zone-ground", &inner)}
            <path class="landing" d=path_data(&[bus.from, bus.to]) />
            <text class="zone-label" x=middle y=inner.bottom - 10.0 font-size="12.5" text-anchor="middle">
                {label}
            </text>
        </g>
    }
    .into_any()
}

/// What is picked up: the part, and the PV inverter that only this array feeds.
fn picked_up(option: &CouplingOption, moving: Moving) -> Vec<Part> {
    let mut parts = vec![moving.part()];
    if let Moving::Array(id) = moving
        && let Some(array) = option.array(id)
        && array.dc_unit.is_none()
        && option.arrays_on_inverter(array.pv_inverter).count() == 1
    {
        parts.push(Part::PvInverter(array.pv_inverter));
    }
    parts
}

/// The lifted copy that follows the pointer or the arrow keys.
pub(super) fn hand(table: Table, sheet: &Arc<Sheet>) -> impl IntoView + use<> {
    let sheet = Arc::clone(sheet);
    move || {
        let moving = table.in_hand.get()?;
        let drawn: Vec<Drawn> = table.option.with_untracked(|option| {
            picked_up(option, moving)
                .into_iter()
                .map(|part| of(&sheet.drawn, part))
                .collect()
        });
        let slip = table.option.with_untracked(|option| {
            picked_up(option, moving)
                .into_iter()
                .filter_map(|part| sheet.reach(part))
                .flat_map(|reach| &reach.rings)
                .copied()
                .reduce(|all, ring| all.with(&ring))
        });
        let axis_x = sheet
            .reach(moving.part())
            .and_then(|reach| reach.handles.first())
            .map_or(0.0, |handle| handle.middle().x);
        let offset = {
            let sheet = Arc::clone(&sheet);
            move || {
                table.carry.with(|carry| {
                    let offset = carry.as_ref()?.offset(&sheet, axis_x);
                    Some(format!(
                        "transform: translate({:.1}px, {:.1}px)",
                        offset.x, offset.y
                    ))
                })
            }
        };
        let legal = move || {
            table.carry.with(|carry| {
                let offer = carry.as_ref()?.offer()?;
                Some(offer.refused.is_none().to_string())
            })
        };
        let by_keys = move || {
            table
                .carry
                .with(|carry| carry.as_ref().is_some_and(|carry| !carry.dragged()))
                .to_string()
        };
        Some(view! {
            <g class="hand" aria-hidden="true" style=offset data-legal=legal data-by-keys=by_keys>
                {slip.map(|slip| rect("slip", &slip))}
                {drawn.iter().map(|drawn| still(drawn, sheet.symbols)).collect::<Vec<_>>()}
            </g>
        })
    }
}
