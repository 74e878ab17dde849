//! A canvas whose backing store matches the pixels of the screen, and which says when it must be painted again: on a new size, another
//! pixel density, another theme, and for the printer.

use std::cell::Cell;
use std::rc::Rc;

use js_sys::{Array, Reflect};
use leptos::html::Canvas;
use leptos::prelude::*;
use wasm_bindgen::prelude::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{
    EventTarget, HtmlCanvasElement, MutationObserver, MutationObserverInit, ResizeObserver,
    ResizeObserverBoxOptions, ResizeObserverOptions,
};

use super::palette::Palette;

/// What a picture on the canvas is painted with. A new value asks for new paint.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Surface {
    /// Width in the page's pixels.
    pub(crate) width_px: f64,
    /// Height in the page's pixels.
    pub(crate) height_px: f64,
    /// Pixels of the backing store per pixel of the page.
    pub(crate) ratio: f64,
    /// Colours of the theme.
    pub(crate) palette: Palette,
}

impl Surface {
    /// A length of the page in whole pixels of the backing store, at least one.
    pub(crate) fn device_px(&self, length_px: f64) -> i32 {
        #[expect(clippy::cast_possible_truncation, reason = "lengths of a screen")]
        let length = (length_px * self.ratio).round() as i32;
        length.max(1)
    }

    /// Gives the canvas its backing store, empty.
    pub(crate) fn prepare(&self, canvas: &HtmlCanvasElement) {
        canvas.set_width(self.device_px(self.width_px).unsigned_abs());
        canvas.set_height(self.device_px(self.height_px).unsigned_abs());
    }
}

/// Pixels per pixel of the page on paper. Chromium plays back what is painted for the printer at a scale that it cuts to a 64th; one
/// over this ratio is 20 of them, so on paper nothing is stretched as long as sizes there are multiples of 5 px.
const PAPER_RATIO: f64 = 64.0 / 20.0;

/// Size of a canvas on paper, px: what the style sheet gives it under `@media print`. Before printing it cannot be measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct OnPaper {
    pub(crate) width_px: f64,
    pub(crate) height_px: f64,
}

/// Media queries after whose change the colours are read again.
const THEME_QUERIES: [&str; 3] = [
    "(prefers-color-scheme: dark)",
    "(prefers-contrast: more)",
    "(forced-colors: active)",
];

/// Watches a canvas. None until it stands on the page and has a size.
pub(crate) fn surface_of(
    canvas: NodeRef<Canvas>,
    on_paper: OnPaper,
) -> ReadSignal<Option<Surface>> {
    let surface = RwSignal::new(None);
    Effect::new(move |_| {
        let Some(canvas) = canvas.get() else { return };
        let watch = StoredValue::new_local(Watch::start(&canvas, on_paper, surface));
        on_cleanup(move || {
            if let Some(watch) = watch.try_update_value(Option::take).flatten() {
                watch.stop();
            }
        });
    });
    surface.read_only()
}

/// Everything that listens for one canvas.
struct Watch {
    sizes: ResizeObserver,
    theme: MutationObserver,
    events: Vec<(EventTarget, &'static str)>,
    on_event: Closure<dyn FnMut(web_sys::Event)>,
    _on_size: Closure<dyn FnMut()>,
    _on_theme: Closure<dyn FnMut()>,
}

impl Watch {
    fn start(
        canvas: &HtmlCanvasElement,
        on_paper: OnPaper,
        surface: RwSignal<Option<Surface>>,
    ) -> Option<Self> {
        let window = web_sys::window()?;
        let root = window.document()?.document_element()?;
        let printing = Rc::new(Cell::new(false));
        let renew = {
            let (canvas, printing) = (canvas.clone(), printing.clone());
            move |colours: Colours| {
                let on_paper = printing.get().then_some(on_paper);
                renew(&canvas, on_paper, colours, surface);
            }
        };
        renew(Colours::Read);

        let on_size = {
            let (renew, printing) = (renew.clone(), printing.clone());
            Closure::<dyn FnMut()>::new(move || {
                // What is painted for the printer has the size it has on paper.
                if !printing.get() {
                    renew(Colours::Keep);
                }
            })
        };
        let sizes = ResizeObserver::new(on_size.as_ref().unchecked_ref()).ok()?;
        observe(&sizes, canvas);

        let on_theme = {
            let (renew, root) = (renew.clone(), root.clone());
            let mut last = root.get_attribute("data-theme");
            Closure::<dyn FnMut()>::new(move || {
                let now = root.get_attribute("data-theme");
                // Reading the colours for paper sets the attribute and puts it back; that is no change.
                if now != last {
                    last = now;
                    renew(Colours::Read);
                }
            })
        };
        let theme = MutationObserver::new(on_theme.as_ref().unchecked_ref()).ok()?;
        let init = MutationObserverInit::new();
        init.set_attributes(true);
        init.set_attribute_filter(&Array::of1(&"data-theme".into()));
        theme.observe_with_options(&root, &init).ok()?;

        let on_event = Closure::<dyn FnMut(web_sys::Event)>::new(move |event: web_sys::Event| {
            match event.type_().as_str() {
                "beforeprint" => printing.set(true),
                "afterprint" => printing.set(false),
                _ => {}
            }
            renew(Colours::Read);
        });
        let mut events: Vec<(EventTarget, &'static str)> = vec![
            (window.clone().into(), "beforeprint"),
            (window.clone().into(), "afterprint"),
        ];
        for query in THEME_QUERIES {
            if let Ok(Some(list)) = window.match_media(query) {
                events.push((list.into(), "change"));
            }
        }
        for (target, kind) in &events {
            let listener = on_event.as_ref().unchecked_ref();
            target
                .add_event_listener_with_callback(kind, listener)
                .ok()?;
        }
        Some(Self {
            sizes,
            theme,
            events,
            on_event,
            _on_size: on_size,
            _on_theme: on_theme,
        })
    }

    fn stop(self) {
        self.sizes.disconnect();
        self.theme.disconnect();
        for (target, kind) in &self.events {
            let listener = self.on_event.as_ref().unchecked_ref();
            // A listener that is already gone is what is wanted.
            let _ = target.remove_event_listener_with_callback(kind, listener);
        }
    }
}

/// Observes the pixels of the screen where the browser can, so that another density counts as another size.
fn observe(sizes: &ResizeObserver, canvas: &HtmlCanvasElement) {
    let entry = Reflect::get(&js_sys::global(), &"ResizeObserverEntry".into())
        .and_then(|entry| Reflect::get(&entry, &"prototype".into()));
    let counts_device_pixels = entry
        .and_then(|prototype: JsValue| {
            Reflect::has(&prototype, &"devicePixelContentBoxSize".into())
        })
        .unwrap_or(false);
    if counts_device_pixels {
        let options = ResizeObserverOptions::new();
        options.set_box(ResizeObserverBoxOptions::DevicePixelContentBox);
        sizes.observe_with_options(canvas, &options);
    } else {
        sizes.observe(canvas);
    }
}

/// Whether the colours may have changed; reading them costs a look at the page's style.
#[derive(Clone, Copy)]
enum Colours {
    Keep,
    Read,
}

fn renew(
    canvas: &HtmlCanvasElement,
    on_paper: Option<OnPaper>,
    colours: Colours,
    surface: RwSignal<Option<Surface>>,
) {
    // The view may be gone when a late event arrives.
    let Some(known) = surface.try_get_untracked() else {
        return;
    };
    let kept = match colours {
        Colours::Keep => known.map(|known| known.palette),
        Colours::Read => None,
    };
    let Some(palette) = kept.or_else(|| Palette::read(canvas, on_paper.is_some())) else {
        return;
    };
    let next = if let Some(OnPaper {
        width_px,
        height_px,
    }) = on_paper
    {
        Surface {
            width_px,
            height_px,
            ratio: PAPER_RATIO,
            palette,
        }
    } else {
        let area = canvas.get_bounding_client_rect();
        Surface {
            width_px: area.width(),
            height_px: area.height(),
            ratio: web_sys::window().map_or(1.0, |window| window.device_pixel_ratio()),
            palette,
        }
    };
    if next.width_px >= 1.0 && next.height_px >= 1.0 && known != Some(next) {
        surface.set(Some(next));
    }
}
