//! The curves: the share of outages that last so many hours, one line for each season, told apart by their stroke.

use couplet_core::outage::LONGEST_OUTAGE_H;
use leptos::prelude::*;

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

const WIDTH: f64 = 640.0;
const HEIGHT: f64 = 200.0;

/// The picture.
pub(super) fn curve(lines: &[PictureLine]) -> impl IntoView + use<> {
    let hours = f64::from(LONGEST_OUTAGE_H);
    let paths = lines
        .iter()
        .map(|line| view! { <path class="curve" data-line=line.style.key d=path(&line.lasting, hours)></path> })
        .collect_view();
    let levels = [0.0, 0.5, 1.0]
        .map(|share| {
            let y = HEIGHT * (1.0 - share);
            view! {
                <path class="curve-grid" d=format!("M0 {y}H{WIDTH}")></path>
            }
        })
        .to_vec();
    let level_words = [0.0, 0.5, 1.0]
        .map(|share| {
            let style = format!("inset-block-start:{:.2}%", 100.0 * (1.0 - share));
            view! { <span style=style>{format::percent(share, 0).text()}</span> }
        })
        .to_vec();
    let days = (0..=7)
        .map(|day| {
            let style = format!(
                "inset-inline-start:{:.2}%",
                100.0 * f64::from(day) * 24.0 / hours
            );
            view! { <span style=style>{format!("{}\u{a0}h", day * 24)}</span> }
        })
        .collect_view();
    view! {
        <figure class="survival-chart">
            <figcaption>"share of outages that last this long without a dark hour"</figcaption>
            <div class="survival-scale" aria-hidden="true">{level_words}</div>
            <svg
                role="img"
                aria-label="Share of outages that last so many hours; the table below has the figures"
                viewBox=format!("0 0 {WIDTH} {HEIGHT}")
                preserveAspectRatio="none"
            >
                {levels}
                {paths}
            </svg>
            <div class="survival-hours" aria-hidden="true">{days}</div>
        </figure>
    }
}

/// A falling line of steps from all outages at 0 h on.
fn path(lasting: &[f64], hours: f64) -> String {
    let mut path = String::from("M0 0");
    for (index, share) in lasting.iter().enumerate() {
        let x = WIDTH * (index as f64 + 1.0) / hours;
        let y = HEIGHT * (1.0 - share);
        path += &format!("L{x:.1} {y:.1}");
    }
    path
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_curve_begins_with_all_and_ends_with_those_that_last() {
        let path = path(&[1.0, 0.5, 0.25, 0.0], 4.0);
        assert_eq!(path, "M0 0L160.0 0.0L320.0 100.0L480.0 150.0L640.0 200.0");
    }
}
