//! Paints the chart of a drill with plotters.

use couplet_core::island::IslandTrace;
use plotters::coord::Shift;
use plotters::element::DashedPathElement;
use plotters::prelude::*;
use plotters_canvas::CanvasBackend;
use web_sys::HtmlCanvasElement;

use super::picture::{CHARGE, DrillPicture, Lane, POWER};
use crate::chart::hatch::hatch;
use crate::chart::palette::between;
use crate::chart::surface::{OnPaper, Surface};

type Area = DrawingArea<CanvasBackend, Shift>;
type Painted = Result<(), Box<dyn std::error::Error>>;

/// Size on paper, as in the style sheet.
pub(super) const ON_PAPER: OnPaper = OnPaper {
    width_px: 600.0,
    height_px: 320.0,
};

/// Paints a drill over the whole canvas.
///
/// Errors: the browser gives no 2D canvas, or refuses to draw on it.
pub(super) fn paint(
    canvas: &HtmlCanvasElement,
    surface: &Surface,
    picture: &DrillPicture,
    trace: &IslandTrace,
) -> Painted {
    surface.prepare(canvas);
    let backend = CanvasBackend::with_canvas_object(canvas.clone()).ok_or("no canvas")?;
    let area = backend.into_drawing_area();
    let brush = Brush {
        width: surface.width_px * surface.ratio,
        height: surface.height_px * surface.ratio,
        area: &area,
        surface,
        spans: trace.served_w.len().max(1),
    };
    brush.dark(picture)?;
    brush.grid(picture)?;
    brush.power(picture, trace)?;
    brush.frequency(picture, trace)?;
    let palette = &surface.palette;
    for soc in &trace.unit_soc {
        brush.dashed(soc, 1.0, CHARGE, palette.ink, (5.0, 3.0))?;
    }
    area.present()?;
    Ok(())
}

struct Brush<'a> {
    area: &'a Area,
    surface: &'a Surface,
    width: f64,
    height: f64,
    spans: usize,
}

impl Brush<'_> {
    fn point(&self, x: f64, y: f64) -> (i32, i32) {
        #[expect(clippy::cast_possible_truncation, reason = "pixels of a screen")]
        let point = (
            (x * self.width).round() as i32,
            (y * self.height).round() as i32,
        );
        point
    }

    fn stroke(&self, width_px: f64) -> u32 {
        self.surface.device_px(width_px).unsigned_abs()
    }

    /// A level line across the chart, as a box of whole pixels.
    fn rule(&self, y: f64, width_px: f64, colour: RGBColor) -> Painted {
        let (left, middle) = self.point(0.0, y);
        let (right, _) = self.point(1.0, y);
        let thick = self.surface.device_px(width_px);
        let top = middle - thick / 2;
        let corners = [(left, top), (right, top + thick)];
        self.area.draw(&Rectangle::new(corners, colour.filled()))?;
        Ok(())
    }

    fn grid(&self, picture: &DrillPicture) -> Painted {
        let palette = &self.surface.palette;
        for tick in picture.axis_kw.ticks() {
            self.rule(
                POWER.place(tick / picture.axis_kw.most),
                1.0,
                palette.hairline,
            )?;
        }
        self.rule(POWER.bottom, 1.0, palette.ink)?;
        self.rule(CHARGE.top, 1.0, palette.hairline)?;
        self.rule(CHARGE.bottom, 1.0, palette.ink)?;
        for level in &picture.levels {
            let y = picture.hz_place(level.hz);
            let (left, middle) = self.point(0.0, y);
            let (right, _) = self.point(1.0, y);
            let line = vec![(left, middle), (right, middle)];
            let (dash, gap) = match level.words {
                "nominal" => (1.0, 0.0),
                "start of droop" => (2.0, 4.0),
                "near trip" => (7.0, 4.0),
                _ => (12.0, 3.0),
            };
            let style = palette.ink_soft.stroke_width(self.stroke(1.0));
            if gap > 0.0 {
                let (dash, gap) = (self.surface.device_px(dash), self.surface.device_px(gap));
                self.area
                    .draw(&DashedPathElement::new(line, dash, gap, style))?;
            } else {
                self.area.draw(&PathElement::new(line, style))?;
            }
        }
        Ok(())
    }

    /// Hatched where the bus is dark, through all lanes.
    fn dark(&self, picture: &DrillPicture) -> Painted {
        let palette = &self.surface.palette;
        let ground = between(palette.paper, palette.lost, 0.5);
        let stroke = palette.ink_soft.stroke_width(self.stroke(1.0));
        for (from, to) in &picture.dark {
            let (left, top) = self.point(*from, 0.0);
            let (right, bottom) = self.point(*to, 1.0);
            let right = right.max(left + 1);
            self.area.draw(&Rectangle::new(
                [(left, top), (right, bottom)],
                ground.filled(),
            ))?;
            for line in hatch((left, top), (right, bottom), self.surface.device_px(9.0)) {
                self.area.draw(&PathElement::new(line, stroke))?;
            }
        }
        Ok(())
    }

    fn frequency(&self, picture: &DrillPicture, trace: &IslandTrace) -> Painted {
        let palette = &self.surface.palette;
        let thick = self.surface.device_px(1.5);
        for (span, (lowest, highest)) in trace.lowest_hz.iter().zip(&trace.highest_hz).enumerate() {
            if *highest <= 0.0 {
                continue;
            }
            let lowest = if *lowest > 0.0 { *lowest } else { *highest };
            let x = |span: usize| span as f64 / self.spans as f64;
            let (left, top) = self.point(x(span), picture.hz_place(*highest));
            let (right, bottom) = self.point(x(span + 1), picture.hz_place(lowest));
            let corners = [(left, top), (right.max(left + 1), bottom.max(top + thick))];
            self.area
                .draw(&Rectangle::new(corners, palette.ink.filled()))?;
        }
        Ok(())
    }

    fn power(&self, picture: &DrillPicture, trace: &IslandTrace) -> Painted {
        let palette = &self.surface.palette;
        let most_w = picture.axis_kw.most * 1000.0;
        let wanted: Vec<f64> = trace
            .served_w
            .iter()
            .zip(&trace.unserved_w)
            .map(|(served, unserved)| served + unserved)
            .collect();
        let none = vec![0.0; self.spans];
        self.area_between(&none, &trace.served_w, most_w, palette.load)?;
        let missed = between(palette.paper, palette.load, 0.25);
        self.area_between(&trace.served_w, &wanted, most_w, missed)?;
        self.hatched_between(&trace.served_w, &wanted, most_w)?;
        for offered in &trace.inverter_offered_w {
            self.dashed(offered, most_w, POWER, palette.ac, (2.0, 3.0))?;
        }
        let dc_offered = total(&trace.unit_dc_offered_w, self.spans);
        let dc = total(&trace.unit_dc_w, self.spans);
        if dc_offered.iter().any(|power_w| *power_w > 0.5) {
            self.dashed(&dc_offered, most_w, POWER, palette.dc, (2.0, 3.0))?;
            self.line(&dc, most_w, palette.dc, 2.0)?;
        }
        for given in &trace.inverter_w {
            self.line(given, most_w, palette.ac, 2.0)?;
        }
        if trace.generator_w.iter().any(|power_w| *power_w > 0.5) {
            self.dashed(&trace.generator_w, most_w, POWER, palette.ink, (8.0, 3.0))?;
        }
        Ok(())
    }

    /// Corners of a line of steps in a lane.
    fn corners(&self, values: &[f64], most: f64, lane: Lane) -> Vec<(i32, i32)> {
        let mut corners = Vec::with_capacity(values.len() * 2);
        for (span, value) in values.iter().enumerate() {
            let y = lane.place(value / most);
            corners.push(self.point(span as f64 / self.spans as f64, y));
            corners.push(self.point((span + 1) as f64 / self.spans as f64, y));
        }
        corners.dedup();
        corners
    }

    fn line(&self, values: &[f64], most: f64, colour: RGBColor, width_px: f64) -> Painted {
        let corners = self.corners(values, most, POWER);
        let style = colour.stroke_width(self.stroke(width_px));
        self.area.draw(&PathElement::new(corners, style))?;
        Ok(())
    }

    fn dashed(
        &self,
        values: &[f64],
        most: f64,
        lane: Lane,
        colour: RGBColor,
        (dash, gap): (f64, f64),
    ) -> Painted {
        let corners = self.corners(values, most, lane);
        let style = colour.stroke_width(self.stroke(1.5));
        self.area.draw(&DashedPathElement::new(
            corners,
            self.surface.device_px(dash),
            self.surface.device_px(gap),
            style,
        ))?;
        Ok(())
    }

    fn area_between(&self, inner: &[f64], outer: &[f64], most: f64, colour: RGBColor) -> Painted {
        let mut corners = self.corners(outer, most, POWER);
        corners.extend(self.corners(inner, most, POWER).into_iter().rev());
        self.area.draw(&Polygon::new(corners, colour.filled()))?;
        Ok(())
    }

    /// Hatches what lies between two edges, in columns of some pixels.
    fn hatched_between(&self, inner: &[f64], outer: &[f64], most: f64) -> Painted {
        let gap = self.surface.device_px(6.0);
        let stroke = self.surface.palette.ink_soft.stroke_width(self.stroke(1.0));
        for (span, (inner, outer)) in inner.iter().zip(outer).enumerate() {
            if outer - inner < 1.0 {
                continue;
            }
            let from = self.point(span as f64 / self.spans as f64, POWER.place(inner / most));
            let to = self.point(
                (span + 1) as f64 / self.spans as f64,
                POWER.place(outer / most),
            );
            for line in hatch(from, to, gap) {
                self.area.draw(&PathElement::new(line, stroke))?;
            }
        }
        Ok(())
    }
}

/// The sum of several series.
fn total(series: &[Vec<f64>], spans: usize) -> Vec<f64> {
    (0..spans)
        .map(|at| series.iter().filter_map(|one| one.get(at)).sum())
        .collect()
}
