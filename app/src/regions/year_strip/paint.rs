//! Paints the year strip with plotters.

use couplet_core::year::YearStrip;
use plotters::prelude::*;
use plotters_canvas::CanvasBackend;
use web_sys::HtmlCanvasElement;

use super::picture::{DAYS, HOURS, edges, full};
use crate::chart::palette::between;
use crate::chart::surface::{OnPaper, Surface};

/// Shades of the ramp: more than the eye tells apart side by side.
const SHADES: u8 = 48;

/// Size on paper, as in the style sheet.
pub(crate) const ON_PAPER: OnPaper = OnPaper {
    width_px: 600.0,
    height_px: 80.0,
};

/// Paints a year over the whole canvas: days from left to right, hours upward from midnight to midnight, more is darker.
///
/// Errors: the browser gives no 2D canvas, or refuses to draw on it.
pub(crate) fn paint(
    canvas: &HtmlCanvasElement,
    surface: &Surface,
    strip: &YearStrip,
) -> Result<(), Box<dyn std::error::Error>> {
    surface.prepare(canvas);
    let backend = CanvasBackend::with_canvas_object(canvas.clone()).ok_or("no canvas")?;
    let area = backend.into_drawing_area();
    let palette = &surface.palette;
    // Ink, neither of the two hues: what the strip shows comes from both joins, or from the grid.
    let ramp: Vec<RGBColor> = (0..=SHADES)
        .map(|shade| {
            between(
                palette.shade,
                palette.ink,
                f64::from(shade) / f64::from(SHADES),
            )
        })
        .collect();
    let (width, height) = area.dim_in_pixel();
    let columns = edges(DAYS, i32::try_from(width)?);
    let rows = edges(HOURS, i32::try_from(height)?);
    let full = full(strip);

    area.fill(&palette.shade)?;
    for (day, across) in (0..DAYS).zip(columns.windows(2)) {
        for (value, up) in strip.day(day).iter().zip(rows.windows(2).rev()) {
            let share = (f64::from(*value) / full).clamp(0.0, 1.0) * f64::from(SHADES);
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "between 0 and the shades"
            )]
            let shade = share.round() as usize;
            let (&[left, right], &[top, bottom]) = (across, up) else {
                continue;
            };
            if let (1.., Some(colour)) = (shade, ramp.get(shade)) {
                area.draw(&Rectangle::new(
                    [(left, top), (right, bottom)],
                    colour.filled(),
                ))?;
            }
        }
    }
    area.present()?;
    Ok(())
}
