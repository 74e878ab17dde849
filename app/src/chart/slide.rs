//! A slider over a picture: a place along it is picked by pointer, thumb or key.

use leptos::ev::{KeyboardEvent, PointerEvent};
use leptos::prelude::*;
use wasm_bindgen::JsCast;

/// Covers its box and picks one of `count` equal columns. The picture and the mark of the picked column are drawn by whoever uses it.
#[component]
pub(crate) fn Slide(
    /// What is picked, for a screen reader.
    label: &'static str,
    /// Columns along the box.
    #[prop(into)]
    count: Signal<u32>,
    /// The picked column.
    #[prop(into)]
    at: Signal<u32>,
    /// Columns that one press of a page key moves.
    #[prop(into)]
    page: Signal<u32>,
    /// The picked column in words.
    #[prop(into)]
    spoken: Signal<String>,
    /// Called with the column that is picked.
    on_pick: Callback<u32>,
    /// Called with the column under the pointer, and with none when it leaves.
    #[prop(optional, into)]
    on_point: Option<Callback<Option<u32>>>,
) -> impl IntoView {
    let dragged = RwSignal::new(false);
    let column = move |event: &PointerEvent| {
        let element = event
            .current_target()?
            .dyn_into::<web_sys::Element>()
            .ok()?;
        let area = element.get_bounding_client_rect();
        column_at(
            f64::from(event.client_x()) - area.left(),
            area.width(),
            count.get_untracked(),
        )
    };
    let pick = move |column: Option<u32>| {
        if let Some(column) = column.filter(|column| *column != at.get_untracked()) {
            on_pick.run(column);
        }
    };
    let on_down = move |event: PointerEvent| {
        if event.button() != 0 {
            return;
        }
        if let Some(element) = event
            .current_target()
            .and_then(|target| target.dyn_into::<web_sys::Element>().ok())
        {
            // Without capture a drag ends at the edge of the box: no harm.
            let _ = element.set_pointer_capture(event.pointer_id());
        }
        dragged.set(true);
        pick(column(&event));
    };
    let on_move = move |event: PointerEvent| {
        let column = column(&event);
        if let Some(on_point) = on_point {
            on_point.run(column);
        }
        if dragged.get_untracked() {
            pick(column);
        }
    };
    let on_leave = move |_: PointerEvent| {
        if let Some(on_point) = on_point {
            on_point.run(None);
        }
    };
    let on_key = move |event: KeyboardEvent| {
        if event.ctrl_key() || event.alt_key() || event.meta_key() {
            return;
        }
        let moved = column_by_key(
            &event.key(),
            at.get_untracked(),
            count.get_untracked(),
            page.get_untracked(),
        );
        if moved.is_some() {
            event.prevent_default();
            pick(moved);
        }
    };
    view! {
        <div
            class="slide"
            role="slider"
            tabindex="0"
            aria-label=label
            aria-orientation="horizontal"
            aria-valuemin="0"
            aria-valuemax=move || count.get().saturating_sub(1).to_string()
            aria-valuenow=move || at.get().to_string()
            aria-valuetext=move || spoken.get()
            on:pointerdown=on_down
            on:pointermove=on_move
            on:pointerup=move |_| dragged.set(false)
            on:pointercancel=move |_| dragged.set(false)
            on:pointerleave=on_leave
            on:keydown=on_key
        ></div>
    }
}

/// The column under a place of a box; places beside the box count as its first or last column. None if there is no box.
fn column_at(x_px: f64, width_px: f64, count: u32) -> Option<u32> {
    if count == 0 || width_px <= 0.0 || !x_px.is_finite() {
        return None;
    }
    let place = (x_px / width_px * f64::from(count))
        .floor()
        .clamp(0.0, f64::from(count - 1));
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to the columns"
    )]
    let column = place as u32;
    Some(column)
}

/// The column to which a key leads; none if the key does not move.
fn column_by_key(key: &str, at: u32, count: u32, page: u32) -> Option<u32> {
    let last = count.checked_sub(1)?;
    let moved = match key {
        "ArrowRight" | "ArrowUp" => at.saturating_add(1),
        "ArrowLeft" | "ArrowDown" => at.saturating_sub(1),
        "PageUp" => at.saturating_add(page),
        "PageDown" => at.saturating_sub(page),
        "Home" => 0,
        "End" => last,
        _ => return None,
    };
    Some(moved.min(last))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_beside_the_box_are_its_ends() {
        assert_eq!(column_at(-5.0, 960.0, 96), Some(0));
        assert_eq!(column_at(10.0, 960.0, 96), Some(1));
        assert_eq!(column_at(960.0, 960.0, 96), Some(95));
        assert_eq!(column_at(5.0, 0.0, 96), None);
        assert_eq!(column_at(5.0, 960.0, 0), None);
    }

    #[test]
    fn keys_stop_at_the_ends() {
        assert_eq!(column_by_key("ArrowRight", 95, 96, 4), Some(95));
        assert_eq!(column_by_key("ArrowLeft", 0, 96, 4), Some(0));
        assert_eq!(column_by_key("PageUp", 10, 96, 4), Some(14));
        assert_eq!(column_by_key("PageDown", 2, 96, 4), Some(0));
        assert_eq!(column_by_key("End", 2, 96, 4), Some(95));
        assert_eq!(column_by_key("Tab", 2, 96, 4), None);
        assert_eq!(column_by_key("Home", 2, 0, 4), None);
    }
}
