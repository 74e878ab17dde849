//! The day chart as plain geometry: what is drawn where, before any canvas.

use couplet_core::foresight::OptimumDay;
use couplet_core::household::DeviceId;
use couplet_core::year::{DayBalance, DayTrace, Source, Use};

use super::names;
use crate::chart::room::{self, Place};
use crate::chart::stack::{self, Layer, step_line};
use crate::chart::ticks::Axis;

/// Minutes of a day.
pub(crate) const DAY_MIN: f64 = 1440.0;

/// A day, stacked and scaled.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct DayPicture {
    /// Minutes per step.
    pub(crate) step_min: f64,
    /// What supplies, from the axis upward.
    pub(crate) above: Vec<Layer<Source>>,
    /// What uses, from the axis downward.
    pub(crate) below: Vec<Layer<Use>>,
    /// The scale of both halves, kW.
    pub(crate) axis_kw: Axis,
    /// State of charge against minutes; empty without storage.
    pub(crate) soc: Vec<(f64, f64)>,
    /// Price of bought energy by steps; none: there is no utility.
    pub(crate) price: Option<PriceLane>,
    /// Times in which the bus is dark, each from and to, as shares of the day.
    pub(crate) dark: Vec<(f64, f64)>,
    /// What an optimum would do with the batteries; none: it is not shown.
    pub(crate) best: Option<BestLines>,
}

/// The optimum's lines over a day.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct BestLines {
    /// State of charge against minutes.
    pub(crate) soc: Vec<(f64, f64)>,
    /// Power of the batteries against minutes, kW, in steps: up where they give, down where they take.
    pub(crate) battery_kw: Vec<(f64, f64)>,
}

impl BestLines {
    fn of(best: &OptimumDay) -> Self {
        let step_min = best.step_s / 60.0;
        Self {
            soc: (1u32..)
                .zip(&best.soc)
                .map(|(end, soc)| (f64::from(end) * step_min, *soc))
                .collect(),
            battery_kw: step_line(&best.battery_w, 0.0, step_min)
                .into_iter()
                .map(|(minute, power_w)| (minute, power_w / 1000.0))
                .collect(),
        }
    }

    fn most_kw(&self) -> f64 {
        let powers = self.battery_kw.iter().map(|(_, kw)| kw.abs());
        powers.fold(0.0, f64::max)
    }
}

impl DayPicture {
    /// Lays out a day, and over it what an optimum would do.
    pub(crate) fn of(trace: &DayTrace, balance: &DayBalance, best: Option<&OptimumDay>) -> Self {
        let best = best.map(BestLines::of);
        let above = stack::stack(&balance.sources);
        let below = stack::stack(&balance.uses);
        let stacked_kw = stack::top_w(&above).max(stack::top_w(&below)) / 1000.0;
        let most_kw = stacked_kw.max(best.as_ref().map_or(0.0, BestLines::most_kw));
        let step_min = step_min(trace);
        // A state of charge is known at the ends of steps; between two of them a constant power makes a straight line.
        let soc = if trace.storage.is_empty() {
            Vec::new()
        } else {
            (1u32..)
                .zip(&trace.soc)
                .map(|(end, soc)| (f64::from(end) * step_min, *soc))
                .collect()
        };
        Self {
            step_min,
            above,
            below,
            axis_kw: Axis::reaching(most_kw, 2.6),
            soc,
            price: (!trace.buy_cur_per_kwh.is_empty())
                .then(|| PriceLane::of(&trace.buy_cur_per_kwh)),
            dark: dark_times(&trace.dark_share),
            best,
        }
    }
}

/// Minutes per step, at least one second.
pub(crate) fn step_min(trace: &DayTrace) -> f64 {
    if trace.step_s.is_finite() && trace.step_s >= 1.0 {
        trace.step_s / 60.0
    } else {
        15.0
    }
}

/// A label in an area of the chart, px from the left and from the top of the plot.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct AreaLabel {
    pub(crate) text: String,
    pub(crate) fill: Fill,
    pub(crate) x_px: f64,
    pub(crate) y_px: f64,
}

/// A full battery's height in the upper half: a little under its edge, where a line would be cut.
pub(crate) const SOC_TOP: f64 = 0.96;

/// Height that a label needs in its area, px.
const LABEL_PX: f64 = 17.0;

/// Labels of all areas that have room for theirs on a plot of this size.
pub(crate) fn area_labels(
    picture: &DayPicture,
    devices: &[(DeviceId, String)],
    width_px: f64,
    height_px: f64,
) -> Vec<AreaLabel> {
    let half_px = height_px / 2.0;
    let px_per_w = half_px / (picture.axis_kw.most * 1000.0);
    let step_px = width_px * picture.step_min / DAY_MIN;
    // Above the axis the line of the state of charge has to stay readable.
    let is_clear = |Place { x_px, y_px }: Place, width_px: f64| {
        !picture.soc.iter().any(|(minute, soc)| {
            let beside_px = (minute / picture.step_min * step_px - x_px).abs();
            beside_px < width_px / 2.0 + step_px
                && (soc * SOC_TOP * half_px - y_px).abs() < LABEL_PX * 0.75
        })
    };
    let place = |inner_w: &[f64], outer_w: &[f64], text: &str, is_above: bool| {
        let scaled = |edge_w: &[f64]| {
            edge_w
                .iter()
                .map(|edge_w| edge_w * px_per_w)
                .collect::<Vec<_>>()
        };
        let width_px = room::label_width_px(text);
        let is_free = |place: Place| !is_above || is_clear(place, width_px);
        room::roomiest(
            &scaled(inner_w),
            &scaled(outer_w),
            step_px,
            (width_px, LABEL_PX),
            is_free,
        )
    };
    let label = |text: String, fill, Place { x_px, y_px }, sign: f64| AreaLabel {
        text,
        fill,
        x_px,
        y_px: half_px + sign * y_px,
    };
    let above = picture.above.iter().filter_map(|layer| {
        let text = names::source(layer.party).to_owned();
        let place = place(&layer.inner_w, &layer.outer_w, &text, true)?;
        Some(label(text, source_fill(layer.party), place, -1.0))
    });
    let below = picture.below.iter().filter_map(|layer| {
        let text = names::used(layer.party, devices);
        let place = place(&layer.inner_w, &layer.outer_w, &text, false)?;
        Some(label(text, use_fill(layer.party, devices), place, 1.0))
    });
    above.chain(below).collect()
}

/// How an area is filled; its name is also that of the swatch in the style sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Fill {
    Ac,
    AcThrottled,
    Dc,
    DcThrottled,
    Storage,
    Grid,
    Load,
    /// A device; neighbours differ.
    Device,
    DeviceNext,
    Unpermitted,
    Converted,
    Throttled,
    Unserved,
}

impl Fill {
    /// Name in the style sheet.
    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::Ac => "ac",
            Self::AcThrottled => "ac-throttled",
            Self::Dc => "dc",
            Self::DcThrottled => "dc-throttled",
            Self::Storage => "storage",
            Self::Grid => "grid",
            Self::Load => "load",
            Self::Device => "device",
            Self::DeviceNext => "device-next",
            Self::Unpermitted => "unpermitted",
            Self::Converted => "converted",
            Self::Throttled => "throttled",
            Self::Unserved => "unserved",
        }
    }
}

/// How a source is filled.
pub(crate) fn source_fill(source: Source) -> Fill {
    match source {
        Source::AcPv => Fill::Ac,
        Source::DcPv => Fill::Dc,
        Source::Battery => Fill::Storage,
        // Without a grid the generator stands in its place.
        Source::Grid | Source::Generator => Fill::Grid,
        Source::AcPvThrottled => Fill::AcThrottled,
        Source::DcPvThrottled => Fill::DcThrottled,
    }
}

/// How a use is filled.
pub(crate) fn use_fill(party: Use, devices: &[(DeviceId, String)]) -> Fill {
    match party {
        Use::Base => Fill::Load,
        Use::Device(id) => {
            let place = devices.iter().position(|(device, _)| *device == id);
            if place.unwrap_or(0).is_multiple_of(2) {
                Fill::Device
            } else {
                Fill::DeviceNext
            }
        }
        Use::Battery => Fill::Storage,
        Use::Sold => Fill::Grid,
        Use::Unpermitted => Fill::Unpermitted,
        Use::Converted => Fill::Converted,
        Use::Throttled => Fill::Throttled,
        Use::Unserved => Fill::Unserved,
    }
}

/// Times in which the bus is dark, from the share of each step for which it is: a step goes dark at its end.
fn dark_times(dark_share: &[f64]) -> Vec<(f64, f64)> {
    let steps = dark_share.len().max(1) as f64;
    let mut times: Vec<(f64, f64)> = Vec::new();
    for (step, share) in dark_share.iter().enumerate() {
        let to = (step + 1) as f64 / steps;
        match times.last_mut() {
            Some((_, last)) if *share >= 1.0 && *last >= step as f64 / steps => *last = to,
            _ if *share > 0.0 => times.push((to - share / steps, to)),
            _ => {}
        }
    }
    times
}

/// The price of bought energy over a day, as runs of one price.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct PriceLane {
    /// Runs: first step, steps, price per kWh.
    pub(crate) runs: Vec<(usize, usize, f64)>,
    least: f64,
    most: f64,
}

impl PriceLane {
    fn of(prices: &[f64]) -> Self {
        let mut runs: Vec<(usize, usize, f64)> = Vec::new();
        for (step, price) in prices.iter().enumerate() {
            match runs.last_mut() {
                Some((_, steps, last)) if (*last - price).abs() < 1e-9 => *steps += 1,
                _ => runs.push((step, 1, *price)),
            }
        }
        let least = prices.iter().copied().fold(f64::INFINITY, f64::min);
        let most = prices.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        Self { runs, least, most }
    }

    /// Height of a price in the lane, 0 for the lowest of the day to 1 for the highest; a single price lies in the middle.
    pub(crate) fn height(&self, price: f64) -> f64 {
        if self.most - self.least > 1e-9 {
            (price - self.least) / (self.most - self.least)
        } else {
            0.5
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use couplet_core::year::Flow;

    fn picture() -> DayPicture {
        let flow = |power_w: f64| vec![power_w; 96];
        DayPicture {
            step_min: 15.0,
            above: stack::stack(&[
                Flow {
                    party: Source::AcPv,
                    power_w: flow(3000.0),
                },
                Flow {
                    party: Source::Grid,
                    power_w: flow(40.0),
                },
            ]),
            below: stack::stack(&[Flow {
                party: Use::Base,
                power_w: flow(3040.0),
            }]),
            axis_kw: Axis::reaching(3.04, 2.6),
            soc: vec![],
            best: None,
            price: Some(PriceLane::of(&[0.2; 96])),
            dark: vec![],
        }
    }

    #[test]
    fn only_areas_with_room_are_labelled() {
        let labels = area_labels(&picture(), &[], 800.0, 240.0);
        let texts: Vec<&str> = labels.iter().map(|label| label.text.as_str()).collect();
        assert_eq!(
            texts,
            vec![
                names::source(Source::AcPv),
                names::used(Use::Base, &[]).as_str()
            ]
        );
    }

    #[test]
    fn labels_of_sources_stand_above_the_axis() {
        let labels = area_labels(&picture(), &[], 800.0, 240.0);
        assert!(labels[0].y_px < 120.0 && labels[1].y_px > 120.0);
    }

    #[test]
    fn nothing_is_labelled_on_a_plot_without_width() {
        assert!(area_labels(&picture(), &[], 0.0, 0.0).is_empty());
    }

    #[test]
    fn dark_steps_run_together_and_begin_within_the_first() {
        assert_eq!(
            dark_times(&[0.0, 0.5, 1.0, 1.0, 0.0, 0.0, 1.0, 0.5]),
            vec![(0.1875, 0.5), (0.75, 0.875), (0.9375, 1.0)]
        );
        assert!(dark_times(&[0.0; 96]).is_empty());
        assert!(dark_times(&[]).is_empty());
    }

    #[test]
    fn prices_run_together() {
        let lane = PriceLane::of(&[0.1, 0.1, 0.3, 0.1]);
        assert_eq!(lane.runs, vec![(0, 2, 0.1), (2, 1, 0.3), (3, 1, 0.1)]);
        assert!((lane.height(0.3) - 1.0).abs() < 1e-12);
        assert!((PriceLane::of(&[0.1]).height(0.1) - 0.5).abs() < 1e-12);
    }
}
