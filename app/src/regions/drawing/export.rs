//! The drawing sheet as a file: SVG, PNG and DXF, made on this device.

use std::sync::Arc;

use couplet_core::coupling::CouplingOption;
use couplet_core::drawing::{FullSheet, Imprint, Paper, dxf, full_sheet, svg};
use couplet_core::findings::Details;
use couplet_core::household::Household;
use leptos::prelude::*;
use leptos::task::spawn_local;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, CanvasRenderingContext2d, HtmlCanvasElement, HtmlImageElement, Url};

use super::lettering::faces;
use crate::keep::files;
use crate::parts::Menu;

/// Dots per inch of a PNG.
const DOTS_PER_INCH: f64 = 200.0;
/// Most dots of a PNG: what every browser can hold in one canvas.
const MOST_DOTS: f64 = 16_000_000.0;

/// A menu that hands out the drawing sheet as a file; it is shown once the sheet can be drawn.
pub(super) fn export(
    household: Signal<Arc<Household>>,
    option: Signal<Arc<CouplingOption>>,
    details: Signal<Option<Arc<Details>>>,
    paper: Signal<Paper>,
) -> impl IntoView {
    let busy = RwSignal::new(false);
    let trouble = RwSignal::new(None::<String>);
    let sheet = move || {
        let details = details.get_untracked()?;
        Some(household.with_untracked(|household| {
            option.with_untracked(|option| {
                let date = today();
                let imprint = Imprint { date: &date };
                full_sheet(household, option, &details, paper.get_untracked(), imprint)
            })
        }))
    };
    let name = move |ending: &str| {
        let household = household.with_untracked(|household| household.name.clone());
        let option = option.with_untracked(|option| option.name.clone());
        files::file_name(&format!("{household} {option}"), ending)
    };
    let as_svg = move || {
        let Some(sheet) = sheet() else {
            return;
        };
        let name = name("svg");
        spawn_local(async move {
            files::hand_out(&name, "image/svg+xml", &svg(&sheet, &faces().await));
        });
    };
    let as_dxf = move || {
        if let Some(sheet) = sheet() {
            files::hand_out_bytes(&name("dxf"), "image/vnd.dxf", &dxf(&sheet));
        }
    };
    let as_png = move || {
        let Some(sheet) = sheet().filter(|_| !busy.get_untracked()) else {
            return;
        };
        let name = name("png");
        busy.set(true);
        trouble.set(None);
        spawn_local(async move {
            let done = match png(&sheet).await {
                Ok(picture) => files::hand_out_blob(&name, &picture),
                Err(error) => Err(error),
            };
            let _ = busy.try_set(false);
            if done.is_err() {
                let said = "This browser could not make the PNG. The SVG shows the same sheet.";
                let _ = trouble.try_set(Some(said.to_owned()));
            }
        });
    };
    view! {
        <Show when=move || details.with(Option::is_some)>
            <div class="drawing-export" aria-busy=move || busy.get().to_string()>
                <Menu face="Export drawing">
                    <button type="button" data-export="svg" on:click=move |_| as_svg()>
                        "SVG, for print and the web"
                    </button>
                    <button
                        type="button"
                        data-export="png"
                        disabled=move || busy.get()
                        on:click=move |_| as_png()
                    >
                        "PNG, a picture of 200 dots per inch"
                    </button>
                    <button type="button" data-export="dxf" on:click=move |_| as_dxf()>
                        "DXF, for drawing programs, in mm"
                    </button>
                </Menu>
                <p role="status">
                    {move || {
                        if busy.get() {
                            Some("the picture is being made".to_owned())
                        } else {
                            trouble.get()
                        }
                    }}
                </p>
            </div>
        </Show>
    }
}

/// The day of this device, as year, month and day.
fn today() -> String {
    let now = js_sys::Date::new_0();
    format!(
        "{}-{:02}-{:02}",
        now.get_full_year(),
        now.get_month() + 1,
        now.get_date()
    )
}

/// Width and height of the picture of a sheet, in dots.
fn dots(sheet: &FullSheet) -> (u32, u32) {
    let inches = |units: f64| units * sheet.mm_per_unit / 25.4;
    let (width_in, height_in) = (inches(sheet.width), inches(sheet.height));
    let density = DOTS_PER_INCH.min((MOST_DOTS / (width_in * height_in)).sqrt());
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "no more than the most dots"
    )]
    let whole = |inches: f64| (inches * density).clamp(1.0, MOST_DOTS) as u32;
    (whole(width_in), whole(height_in))
}

/// The sheet as a PNG, on white whatever the page looks like.
///
/// **Errors**: what the browser says.
async fn png(sheet: &FullSheet) -> Result<Blob, JsValue> {
    let drawing = files::blob("image/svg+xml", &svg(sheet, &faces().await).into())?;
    let address = Url::create_object_url_with_blob(&drawing)?;
    let picture = HtmlImageElement::new()?;
    picture.set_src(&address);
    let decoded = JsFuture::from(picture.decode()).await;
    Url::revoke_object_url(&address)?;
    decoded?;
    let canvas: HtmlCanvasElement = document().create_element("canvas")?.unchecked_into();
    let (width, height) = dots(sheet);
    canvas.set_width(width);
    canvas.set_height(height);
    let context: CanvasRenderingContext2d = canvas
        .get_context("2d")?
        .ok_or("no canvas")?
        .unchecked_into();
    context.draw_image_with_html_image_element_and_dw_and_dh(
        &picture,
        0.0,
        0.0,
        f64::from(width),
        f64::from(height),
    )?;
    let made = js_sys::Promise::new(&mut |resolve, reject| {
        let take = Closure::once_into_js(move |blob: JsValue| {
            let heard = if blob.is_null() { &reject } else { &resolve };
            // Nothing is left to be told if the promise cannot be kept.
            let _ = heard.call1(&JsValue::NULL, &blob);
        });
        // A canvas that refuses never calls back; the promise is broken at once.
        if let Err(error) = canvas.to_blob_with_type(take.unchecked_ref(), "image/png") {
            wasm_bindgen::throw_val(error);
        }
    });
    JsFuture::from(made).await.map(JsCast::unchecked_into)
}
