//! The gesture: pointer and keys pick a part up, carry it over the buses and set it down.

use couplet_core::drawing::{Moving, Part};
use leptos::ev;
use leptos::prelude::*;
use web_sys::wasm_bindgen::JsCast;

use super::carry::{Carry, Held};
use super::say;
use super::table::Table;

/// Width of the strip at both ends of the frame in which a part in hand pulls the sheet along, px.
const EDGE_PX: f64 = 48.0;
/// How far the sheet is pulled along in one frame, px.
const GLIDE_PX: i32 = 9;

/// A pointer goes down on a part that can be moved.
pub(super) fn pointer_down(table: Table, moving: Moving, event: &ev::PointerEvent) {
    if event.button() != 0 || !event.is_primary() {
        return;
    }
    table.menu.set(None);
    let (x_px, y_px) = (f64::from(event.client_x()), f64::from(event.client_y()));
    let Some(at) = table.on_sheet(x_px, y_px) else {
        return;
    };
    // The pointer stays with the part wherever it goes; a browser that refuses this lets go at the edge of the part.
    if let Some(element) = event
        .current_target()
        .and_then(|target| target.dyn_into::<web_sys::Element>().ok())
    {
        let _ = element.set_pointer_capture(event.pointer_id());
    }
    let carry = table.household.with_untracked(|household| {
        table.option.with_untracked(|option| {
            Carry::pressed(&household.service, option, moving, (x_px, y_px), at)
        })
    });
    table.carry.set(Some(carry));
}

/// The pointer moves.
pub(super) fn pointer_move(table: Table, event: &ev::PointerEvent) {
    if table
        .carry
        .with_untracked(|carry| carry.as_ref().is_none_or(|carry| carry.held == Held::Keys))
    {
        return;
    }
    let was_dragged = dragged(table);
    follow(
        table,
        f64::from(event.client_x()),
        f64::from(event.client_y()),
    );
    if !was_dragged && dragged(table) {
        glide(table);
    }
}

/// A touch that began on a part that can be moved carries it and does not scroll. The style says the same, but not every
/// browser minds it within a drawing.
pub(super) fn touch_move(table: Table, event: &ev::TouchEvent) {
    if event.cancelable() && table.carry.with_untracked(Option::is_some) {
        event.prevent_default();
    }
}

fn dragged(table: Table) -> bool {
    table
        .carry
        .try_with_untracked(|carry| carry.as_ref().is_some_and(Carry::dragged))
        .unwrap_or(false)
}

fn follow(table: Table, x_px: f64, y_px: f64) {
    let Some(to) = table.on_sheet(x_px, y_px) else {
        return;
    };
    let before = over(table);
    table.sheet.with_untracked(|numbered| {
        table.carry.update(|carry| {
            if let Some(carry) = carry {
                carry.moved(&numbered.sheet, (x_px, y_px), to);
            }
        });
    });
    table.pointer_px.set_value((x_px, y_px));
    if over(table) != before {
        say_where(table);
    }
}

/// While a part is dragged to an end of the frame, the sheet scrolls under it.
fn glide(table: Table) {
    request_animation_frame(move || {
        if !dragged(table) {
            return;
        }
        if let Some(frame) = table.frame.try_get_untracked().flatten() {
            let box_px = frame.get_bounding_client_rect();
            let ((x_px, y_px), before) = (table.pointer_px.get_value(), frame.scroll_left());
            if x_px < box_px.left() + EDGE_PX {
                frame.set_scroll_left(before - GLIDE_PX);
            } else if x_px > box_px.right() - EDGE_PX {
                frame.set_scroll_left(before + GLIDE_PX);
            }
            if frame.scroll_left() != before {
                follow(table, x_px, y_px);
            }
        }
        glide(table);
    });
}

/// The pointer goes up: what was lifted is set down.
pub(super) fn pointer_up(table: Table) {
    let Some(carry) = table.carry.get_untracked() else {
        return;
    };
    if carry.held == Held::Keys {
        return;
    }
    table.carry.set(None);
    if carry.dragged() {
        set_down(table, &carry);
    }
}

/// The gesture is given up.
pub(super) fn cancel(table: Table) {
    let Some(carry) = table.carry.get_untracked() else {
        return;
    };
    table.carry.set(None);
    if carry.lifted() {
        table.speak(
            table
                .option
                .with_untracked(|option| say::cancelled(option, carry.moving)),
        );
    }
}

/// A key is pressed on a part.
pub(super) fn key_down(
    table: Table,
    part: Part,
    moving: Option<Moving>,
    event: &ev::KeyboardEvent,
) {
    let key = event.key();
    let held = table
        .carry
        .with_untracked(|carry| carry.as_ref().is_some_and(|carry| carry.held == Held::Keys));
    match key.as_str() {
        "Enter" | " " => {
            event.prevent_default();
            if held {
                let Some(carry) = table.carry.get_untracked() else {
                    return;
                };
                if carry.offer().is_some_and(|offer| offer.refused.is_none()) {
                    table.carry.set(None);
                    set_down(table, &carry);
                } else {
                    say_where(table);
                }
                return;
            }
            table.on_select.run(part);
            if let Some(moving) = moving {
                table
                    .option
                    .with_untracked(|option| table.speak(say::picked_up(option, moving)));
                table.carry.set(Some(by_keys(table, moving)));
            }
        }
        "ArrowLeft" | "ArrowRight" if held => {
            event.prevent_default();
            let right = key == "ArrowRight";
            table.carry.update(|carry| {
                if let Some(carry) = carry {
                    carry.step(right);
                }
            });
            say_where(table);
        }
        "Escape" if held => {
            event.prevent_default();
            event.stop_propagation();
            cancel(table);
        }
        _ => {}
    }
}

/// The focus leaves a part: what the keyboard holds goes back.
pub(super) fn blur(table: Table) {
    if table
        .carry
        .with_untracked(|carry| carry.as_ref().is_some_and(|carry| carry.held == Held::Keys))
    {
        cancel(table);
    }
}

/// Sets a part on a place from the menu.
pub(super) fn choose(table: Table, moving: Moving, index: usize) {
    let mut carry = by_keys(table, moving);
    carry.over = Some(index);
    table.menu.set(None);
    table.focus(moving.part());
    set_down(table, &carry);
}

fn by_keys(table: Table, moving: Moving) -> Carry {
    table.household.with_untracked(|household| {
        table
            .option
            .with_untracked(|option| Carry::by_keys(&household.service, option, moving))
    })
}

fn over(table: Table) -> Option<usize> {
    table
        .carry
        .with_untracked(|carry| carry.as_ref().and_then(|carry| carry.over))
}

fn say_where(table: Table) {
    let words = table.carry.with_untracked(|carry| {
        let carry = carry.as_ref()?;
        let (offer, by_keys) = (carry.offer()?, carry.held == Held::Keys);
        Some(
            table
                .option
                .with_untracked(|option| say::over(option, offer, by_keys)),
        )
    });
    if let Some(words) = words {
        table.speak(words);
    }
}

fn set_down(table: Table, carry: &Carry) {
    let option = table.option.get_untracked();
    match carry.offer() {
        Some(offer) if offer.refused.is_some() => {
            table.speak(say::over(&option, offer, carry.held == Held::Keys))
        }
        Some(offer) if !offer.stands_here => {
            table.speak(say::set_down(&option, carry.moving, offer.target));
            let part = carry.moving.part();
            let left_hand = table.sheet.with_untracked(|numbered| {
                let reach = numbered.sheet.reach(part)?;
                let axis_x = reach.handles.first()?.middle().x;
                Some((part, carry.offset(&numbered.sheet, axis_x)))
            });
            table.landed.set_value(left_hand);
            table.focused.set_value(Some(part));
            table.on_move.run((carry.moving, offer.target));
        }
        _ => table.speak(say::cancelled(&option, carry.moving)),
    }
}
