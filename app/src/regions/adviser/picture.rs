//! The trade-off picture: what each way costs to buy against how long it carries an outage; the ways that no other beats are linked.

use couplet_core::adviser::Outcome;
use leptos::prelude::*;

use crate::format;

const WIDTH: f64 = 640.0;
const HEIGHT: f64 = 240.0;

/// The picture; none where nothing is backed up.
pub(super) fn picture(
    outcomes: &[Outcome],
    frontier: &[usize],
    chosen: usize,
    currency: &str,
) -> Option<AnyView> {
    let fitting: Vec<&Outcome> = outcomes.iter().filter(|outcome| outcome.fits()).collect();
    let most_cur = fitting
        .iter()
        .map(|outcome| outcome.worth.first_cur)
        .fold(1.0, f64::max);
    let hours = |outcome: &Outcome| outcome.backup.map(|backup| f64::from(backup.median_h));
    let most_h = fitting
        .iter()
        .filter_map(|outcome| hours(outcome))
        .fold(None, |most: Option<f64>, hours| {
            Some(most.map_or(hours, |most| most.max(hours)))
        })?;
    let most_h = most_h.max(1.0);
    let at = |outcome: &Outcome| {
        let hours = hours(outcome).unwrap_or(0.0);
        (
            WIDTH * outcome.worth.first_cur / most_cur,
            HEIGHT * (1.0 - hours / most_h),
        )
    };
    // A point without length: its size is that of the pen, which does not stretch with the picture.
    let dot = |outcome: &Outcome| {
        let (x, y) = at(outcome);
        format!("M{x:.1} {y:.1}h0")
    };
    let all: String = fitting.iter().map(|outcome| dot(outcome)).collect();
    let best: Vec<&Outcome> = frontier
        .iter()
        .filter_map(|place| outcomes.get(*place))
        .collect();
    let unbeaten: String = best.iter().map(|outcome| dot(outcome)).collect();
    let looked_at = outcomes.get(chosen).map(dot);
    let left = [0.0, 0.5, 1.0].map(|share| {
        let style = format!("inset-block-start:{:.0}%", 100.0 * (1.0 - share));
        view! { <span style=style>{format::number(share * most_h, 0)} "\u{a0}h"</span> }
    });
    let below = [0.0, 0.25, 0.5, 0.75, 1.0].map(|share| {
        let style = format!("inset-inline-start:{:.0}%", 100.0 * share);
        view! { <span style=style>{format::money(share * most_cur, currency)}</span> }
    });
    let label = format!(
        "What ways cost to buy against the time that half of all outages last; {} ways are not beaten in value, time and cost together",
        best.len()
    );
    Some(
        view! {
            <figure class="curves adviser-picture">
                <figcaption>
                    "time that half of all outages last, against what is bought at the start: each way that fits is a dot; a large one is beaten by no other in value, time and cost together; the ring is about the one chosen above"
                </figcaption>
                <div class="curves-left" aria-hidden="true">{left.collect_view()}</div>
                <svg role="img" aria-label=label viewBox=format!("0 0 {WIDTH} {HEIGHT}") preserveAspectRatio="none">
                    <path class="curve-grid" d=format!("M0 {HEIGHT}H{WIDTH}M0 {}H{WIDTH}M0 0H{WIDTH}", HEIGHT / 2.0)></path>
                    <path class="adviser-ring" d=looked_at.clone()></path>
                    <path class="adviser-ring-inside" d=looked_at></path>
                    <path class="adviser-dots" d=all></path>
                    <path class="adviser-unbeaten" d=unbeaten></path>
                </svg>
                <div class="curves-below" aria-hidden="true">{below.collect_view()}</div>
            </figure>
        }
        .into_any(),
    )
}
