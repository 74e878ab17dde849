//! Paints the day chart with plotters.

use plotters::coord::Shift;
use plotters::coord::types::RangedCoordf64;
use plotters::element::DashedPathElement;
use plotters::prelude::*;
use plotters_canvas::CanvasBackend;
use web_sys::HtmlCanvasElement;

use super::picture::{DAY_MIN, DayPicture, Fill, SOC_TOP, source_fill, use_fill};
use crate::chart::hatch::hatch;
use crate::chart::palette::{Palette, between};
use crate::chart::stack::{Layer, outline, step_line};
use crate::chart::surface::{OnPaper, Surface};
use couplet_core::household::DeviceId;

type Area = DrawingArea<CanvasBackend, Shift>;
type Plot = DrawingArea<CanvasBackend, Cartesian2d<RangedCoordf64, RangedCoordf64>>;
type Painted = Result<(), Box<dyn std::error::Error>>;

/// Size on paper, as in the style sheet.
pub(crate) const ON_PAPER: OnPaper = OnPaper {
    width_px: 600.0,
    height_px: 240.0,
};

/// Paints a day over the whole canvas: minutes from left to right, kW up and down from the middle.
///
/// Errors: the browser gives no 2D canvas, or refuses to draw on it.
pub(crate) fn paint(
    canvas: &HtmlCanvasElement,
    surface: &Surface,
    picture: &DayPicture,
    devices: &[(DeviceId, String)],
) -> Painted {
    surface.prepare(canvas);
    let backend = CanvasBackend::with_canvas_object(canvas.clone()).ok_or("no canvas")?;
    let area = backend.into_drawing_area();
    let most_kw = picture.axis_kw.most;
    let plot = ChartBuilder::on(&area)
        .build_cartesian_2d(0.0..DAY_MIN, -most_kw..most_kw)?
        .plotting_area()
        .clone();
    let brush = Brush {
        area: &area,
        plot: &plot,
        surface,
    };

    for tick in picture.axis_kw.ticks() {
        brush.rule(tick, 1.0, surface.palette.hairline)?;
        brush.rule(-tick, 1.0, surface.palette.hairline)?;
    }
    for layer in &picture.above {
        brush.layer(layer, picture.step_min, 1.0, source_fill(layer.party))?;
    }
    for layer in &picture.below {
        brush.layer(
            layer,
            picture.step_min,
            -1.0,
            use_fill(layer.party, devices),
        )?;
    }
    brush.rule(0.0, 1.5, surface.palette.ink)?;
    brush.state_of_charge(&picture.soc, most_kw, STORED)?;
    if let Some(best) = &picture.best {
        brush.state_of_charge(&best.soc, most_kw, STORED_AT_BEST)?;
        let line: Vec<(i32, i32)> = (best.battery_kw.iter())
            .map(|point| plot.map_coordinate(point))
            .collect();
        brush.dashed(line, BATTERY_AT_BEST)?;
    }
    area.present()?;
    Ok(())
}

/// A dashed line over the areas, px.
#[derive(Clone, Copy)]
struct Dash {
    on_px: f64,
    off_px: f64,
    width_px: f64,
}

const STORED: Dash = Dash {
    on_px: 5.0,
    off_px: 3.0,
    width_px: 1.5,
};
/// Dots, so that it is told from what is stored under the rule.
const STORED_AT_BEST: Dash = Dash {
    on_px: 2.0,
    off_px: 4.0,
    width_px: 2.0,
};
const BATTERY_AT_BEST: Dash = Dash {
    on_px: 12.0,
    off_px: 4.0,
    width_px: 2.0,
};

struct Brush<'a> {
    area: &'a Area,
    plot: &'a Plot,
    surface: &'a Surface,
}

impl Brush<'_> {
    /// A level line across the plot. As a box of whole pixels it is crisp where a stroke would straddle two rows.
    fn rule(&self, level_kw: f64, width_px: f64, colour: RGBColor) -> Painted {
        let (left, y) = self.plot.map_coordinate(&(0.0, level_kw));
        let (right, _) = self.plot.map_coordinate(&(DAY_MIN, level_kw));
        let thick = self.surface.device_px(width_px);
        let top = y - thick / 2;
        let corners = [(left, top), (right, top + thick)];
        self.area.draw(&Rectangle::new(corners, colour.filled()))?;
        Ok(())
    }

    /// A layer: its fill, its hatching, and a fine line of paper along its outer edge that parts it from the next.
    fn layer<Party>(&self, layer: &Layer<Party>, step_min: f64, sign: f64, fill: Fill) -> Painted {
        let (ground, hatched) = paints(fill, &self.surface.palette);
        let corners: Vec<(f64, f64)> = outline(layer, step_min, sign / 1000.0);
        self.plot.draw(&Polygon::new(corners, ground.filled()))?;
        if let Some(colour) = hatched {
            self.hatching(layer, step_min, sign, colour)?;
        }
        let edge: Vec<(f64, f64)> = step_line(&layer.outer_w, 0.0, step_min)
            .into_iter()
            .map(|(minute, edge_w)| (minute, sign * edge_w / 1000.0))
            .collect();
        let stroke = self.surface.palette.paper.stroke_width(self.stroke(1.0));
        self.plot.draw(&PathElement::new(edge, stroke))?;
        Ok(())
    }

    fn hatching<Party>(
        &self,
        layer: &Layer<Party>,
        step_min: f64,
        sign: f64,
        colour: RGBColor,
    ) -> Painted {
        let gap = self.surface.device_px(6.0);
        let stroke = colour.stroke_width(self.stroke(1.0));
        let mut minute = 0.0;
        for (inner_w, outer_w) in layer.inner_w.iter().zip(&layer.outer_w) {
            let from = self.plot.map_coordinate(&(minute, sign * inner_w / 1000.0));
            minute += step_min;
            let to = self.plot.map_coordinate(&(minute, sign * outer_w / 1000.0));
            for line in hatch(from, to, gap) {
                self.area.draw(&PathElement::new(line, stroke))?;
            }
        }
        Ok(())
    }

    /// State of charge, dashed, on a scale of its own: empty on the axis, full near the top.
    fn state_of_charge(&self, soc: &[(f64, f64)], most_kw: f64, dash: Dash) -> Painted {
        let line: Vec<(i32, i32)> = soc
            .iter()
            .map(|(minute, soc)| {
                self.plot
                    .map_coordinate(&(*minute, soc * SOC_TOP * most_kw))
            })
            .collect();
        self.dashed(line, dash)
    }

    /// A dashed line of ink. A band of paper under it keeps it apart from the areas.
    fn dashed(&self, line: Vec<(i32, i32)>, dash: Dash) -> Painted {
        if line.is_empty() {
            return Ok(());
        }
        let palette = &self.surface.palette;
        let under = palette
            .paper
            .mix(0.7)
            .stroke_width(self.stroke(dash.width_px + 2.5));
        self.area.draw(&PathElement::new(line.clone(), under))?;
        let over = palette.ink.stroke_width(self.stroke(dash.width_px));
        self.area.draw(&DashedPathElement::new(
            line,
            self.surface.device_px(dash.on_px),
            self.surface.device_px(dash.off_px),
            over,
        ))?;
        Ok(())
    }

    fn stroke(&self, width_px: f64) -> u32 {
        self.surface.device_px(width_px).unsigned_abs()
    }
}

/// Ground and hatching of a fill.
fn paints(fill: Fill, palette: &Palette) -> (RGBColor, Option<RGBColor>) {
    let pale = |colour: RGBColor| between(palette.paper, colour, 0.12);
    match fill {
        Fill::Ac => (palette.ac, None),
        Fill::AcThrottled => (pale(palette.ac), Some(palette.ac)),
        Fill::Dc => (palette.dc, None),
        Fill::DcThrottled => (pale(palette.dc), Some(palette.dc)),
        Fill::Storage => (palette.storage, None),
        Fill::Grid => (palette.grid, None),
        Fill::Load => (palette.load, None),
        Fill::Device => (between(palette.load, palette.paper, 0.35), None),
        Fill::DeviceNext => (between(palette.load, palette.paper, 0.55), None),
        Fill::Unpermitted => (palette.grid, Some(palette.ink)),
        Fill::Converted => (palette.ink_soft, None),
        Fill::Throttled => (pale(palette.lost), Some(palette.ink_soft)),
        Fill::Unserved => (palette.paper, Some(palette.load)),
    }
}
