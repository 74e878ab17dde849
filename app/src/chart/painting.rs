//! A canvas that is painted whenever what it shows, its size or its colours change.

use leptos::html::Canvas;
use leptos::prelude::*;
use web_sys::HtmlCanvasElement;

use super::surface::{OnPaper, Surface, surface_of};

/// A canvas with what is known of its painting.
#[derive(Clone, Copy)]
pub(crate) struct Painting {
    /// Where the canvas stands in the page.
    pub(crate) canvas: NodeRef<Canvas>,
    /// Its width and height, px of the page; 0 until it has any.
    pub(crate) size_px: Memo<(f64, f64)>,
    /// Whether the browser could not paint it.
    pub(crate) failed: RwSignal<bool>,
}

/// A canvas painted by `paint`, which reads the signals of what it shows and must clear the canvas where there is nothing to show.
pub(crate) fn painting<E>(
    on_paper: OnPaper,
    paint: impl Fn(&HtmlCanvasElement, &Surface) -> Result<(), E> + 'static,
) -> Painting {
    let canvas = NodeRef::<Canvas>::new();
    let surface = surface_of(canvas, on_paper);
    let failed = RwSignal::new(false);
    Effect::new(move |_| {
        if let (Some(canvas), Some(surface)) = (canvas.get(), surface.get()) {
            failed.set(paint(&canvas, &surface).is_err());
        }
    });
    let size_px = Memo::new(move |_| {
        surface
            .get()
            .map_or((0.0, 0.0), |surface| (surface.width_px, surface.height_px))
    });
    Painting {
        canvas,
        size_px,
        failed,
    }
}
