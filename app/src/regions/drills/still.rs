//! A drill as a still picture of lines, for paper.

use couplet_core::island::Drill;
use leptos::prelude::*;

use super::words;
use crate::chart::curves::{Curves, curves, in_their_middles};
use crate::chart::ticks::Axis;
use crate::format;

/// Most points of a line: more than a printer tells apart on a page.
const MOST_POINTS: usize = 720;

/// The picture: power of loads and PV, and what is stored, over the time of the drill.
pub(crate) fn still(drill: &Drill) -> AnyView {
    let trace = &drill.run.trace;
    let sum = |series: &[Vec<f64>]| -> Vec<f64> {
        (0..trace.served_w.len())
            .map(|at| series.iter().filter_map(|one| one.get(at)).sum())
            .collect()
    };
    let powers = [
        ("ac", thinned(&sum(&trace.inverter_w))),
        ("dc", thinned(&sum(&trace.unit_dc_w))),
        ("year", thinned(&trace.served_w)),
    ];
    let most_w = powers
        .iter()
        .flat_map(|(_, values)| values.iter().copied())
        .fold(0.0, f64::max);
    let axis = Axis::reaching(most_w / 1000.0, 3.0);
    let mut lines: Vec<_> = powers
        .into_iter()
        .map(|(key, values)| {
            let heights = values
                .into_iter()
                .map(|power_w| (power_w / 1000.0 / axis.most).clamp(0.0, 1.0));
            (key, in_their_middles(heights))
        })
        .collect();
    lines.extend(
        trace
            .unit_soc
            .iter()
            .map(|soc| ("limit", in_their_middles(thinned(soc).into_iter()))),
    );
    let length_s = trace.span_s * trace.served_w.len() as f64;
    let from_s = drill.case.from_h * 3600.0;
    let clock = |share: f64| {
        let clock = words::clock(from_s, share * length_s);
        clock.get(..5).unwrap_or_default().to_owned()
    };
    view! {
        {curves(Curves {
            caption: "kW; what is stored as a share of the height",
            label: "Power of loads and PV and what is stored, over the time of the outage",
            left: axis
                .ticks()
                .chain([0.0])
                .map(|tick| (tick / axis.most, format::number(tick, axis.decimals())))
                .collect(),
            below: (0..=4)
                .map(|quarter| f64::from(quarter) / 4.0)
                .map(|share| (share, clock(share)))
                .collect(),
            levels: vec![0.0],
            lines,
        })}
        <ul class="drill-key" aria-label="Lines of the picture">
            <li><i data-line="year"></i>"loads served"</li>
            <li><i data-line="ac"></i>"AC-joined PV"</li>
            <li><i data-line="dc"></i>"DC-joined PV"</li>
            <li><i data-line="limit"></i>"stored"</li>
        </ul>
    }
    .into_any()
}

/// Means of as many neighbours as leave no more points than a line may have.
fn thinned(values: &[f64]) -> Vec<f64> {
    let each = values.len().div_ceil(MOST_POINTS).max(1);
    values
        .chunks(each)
        .map(|chunk| chunk.iter().sum::<f64>() / chunk.len() as f64)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_line_is_thinned_to_means_and_a_short_one_kept() {
        assert_eq!(thinned(&[1.0, 2.0]), [1.0, 2.0]);
        let long: Vec<f64> = (0..2 * MOST_POINTS).map(|at| (at % 2) as f64).collect();
        let thin = thinned(&long);
        assert_eq!(thin.len(), MOST_POINTS);
        assert!(thin.iter().all(|mean| (mean - 0.5).abs() < 1e-12));
    }
}
