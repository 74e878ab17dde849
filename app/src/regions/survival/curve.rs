//! The curves: the share of outages that last so many hours, one line for each season, told apart by their stroke.

use couplet_core::outage::LONGEST_OUTAGE_H;
use leptos::prelude::*;

use crate::chart::curves::{Curves, curves};
use crate::format;

/// How a line is called and drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct LineStyle {
    /// Chooses the stroke in the style sheet.
    pub(super) key: &'static str,
    /// What it is of.
    pub(super) name: &'static str,
}

/// The year first, then the seasons from winter on.
pub(super) const LINES: [LineStyle; 5] = [
    LineStyle {
        key: "year",
        name: "the whole year",
    },
    LineStyle {
        key: "winter",
        name: "winter",
    },
    LineStyle {
        key: "spring",
        name: "spring",
    },
    LineStyle {
        key: "summer",
        name: "summer",
    },
    LineStyle {
        key: "autumn",
        name: "autumn",
    },
];

/// One line of the picture.
pub(super) struct PictureLine {
    pub(super) style: LineStyle,
    /// Share that lasts 1 h, 2 h, …
    pub(super) lasting: Vec<f64>,
}

/// The picture.
pub(super) fn picture(lines: Vec<PictureLine>) -> impl IntoView + use<> {
    let hours = f64::from(LONGEST_OUTAGE_H);
    let levels = [0.0, 0.5, 1.0];
    curves(Curves {
        caption: "share of outages that last this long without a dark hour",
        label: "Share of outages that last so many hours; the table below has the figures",
        left: levels
            .map(|share| (share, format::percent(share, 0).text()))
            .to_vec(),
        below: (0..=7)
            .map(|day| {
                let hour = day * 24;
                (f64::from(hour) / hours, format!("{hour}\u{a0}h"))
            })
            .collect(),
        levels: levels.to_vec(),
        lines: lines
            .into_iter()
            .map(|line| (line.style.key, points(&line.lasting, hours)))
            .collect(),
    })
}

/// A line that begins with all outages at 0 h.
fn points(lasting: &[f64], hours: f64) -> Vec<(f64, f64)> {
    let later = lasting
        .iter()
        .enumerate()
        .map(|(index, share)| ((index as f64 + 1.0) / hours, *share));
    std::iter::once((0.0, 1.0)).chain(later).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_curve_begins_with_all_and_ends_with_those_that_last() {
        let points = points(&[1.0, 0.5, 0.0], 4.0);
        assert_eq!(points, [(0.0, 1.0), (0.25, 1.0), (0.5, 0.5), (0.75, 0.0)]);
    }
}
