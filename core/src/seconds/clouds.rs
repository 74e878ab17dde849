//! Passing clouds within the minutes of a day.

use super::path::{Block, seconds};
use crate::maths::Random;

/// Light under a cloud that hides the sun, as a share of the cloudless sky.
///
/// Common practice: a cumulus leaves a quarter to a third, the diffuse light.
const UNDER_CLOUD: f64 = 0.3;

/// Shortest and longest time that the edge of a cloud takes over a roof, s.
///
/// From memory: Lappalainen & Valkealahti (2015), Solar Energy 112, 55-67, find transitions of about 10 s in the mean, most
/// of them between a few seconds and half a minute. The middle of the even spread over the logarithm taken here is 9.5 s.
const EDGE_S: (f64, f64) = (3.0, 30.0);

/// The clouds of a day: they are the same for all arrays of a site.
pub(super) struct Clouds {
    /// Light of each step over that of a cloudless sky, 0.05 to 1.
    clearness: Vec<f64>,
    /// Clearness at the border before each step and after the last one.
    at_border: Vec<f64>,
    /// Time that the edges within each step take, s.
    edge_s: Vec<f64>,
}

impl Clouds {
    /// Clouds for steps of this clearness.
    ///
    /// At the border of two steps the sun is out or hidden, as often as their clearness says, if the sky is broken; under a
    /// clear or an overcast sky nothing passes.
    pub(super) fn new(clearness: impl Iterator<Item = f64>, random: &mut Random) -> Self {
        let clearness: Vec<f64> = clearness.map(|share| share.clamp(0.05, 1.0)).collect();
        let edge_s = (clearness.iter())
            .map(|_| EDGE_S.0 * libm::pow(EDGE_S.1 / EDGE_S.0, random.share()))
            .collect();
        let at_border = (0..=clearness.len())
            .map(|border| {
                let mean = border_mean(&clearness, border);
                let sunny_share = ((mean - UNDER_CLOUD) / (1.0 - UNDER_CLOUD)).clamp(0.0, 1.0);
                let state = if random.share() < sunny_share {
                    1.0
                } else {
                    UNDER_CLOUD
                };
                mean + broken_share(mean) * (state - mean)
            })
            .collect();
        Self {
            clearness,
            at_border,
            edge_s,
        }
    }

    /// Lays the clouds into means of steps of `step_s` seconds; returns one value per second.
    ///
    /// Every step keeps its mean; no second is below 0 or above what the step would have under a cloudless sky, taken as its
    /// mean over its clearness.
    pub(super) fn laid_into(&self, step_mean_w: &[f64], step_s: usize) -> Vec<f64> {
        let cloudless_w: Vec<f64> = (step_mean_w.iter().zip(&self.clearness))
            .map(|(mean_w, clearness)| mean_w / clearness)
            .collect();
        let border_w = |border: usize| {
            self.at_border.get(border).copied().unwrap_or(0.0) * border_mean(&cloudless_w, border)
        };
        let mut filled_w = vec![0.0; step_mean_w.len() * step_s];
        let steps = step_mean_w.iter().zip(&cloudless_w).zip(&self.edge_s);
        for (index, (((mean, most), edge_s), seconds_w)) in
            steps.zip(filled_w.chunks_mut(step_s.max(1))).enumerate()
        {
            let block = Block {
                from: border_w(index).min(*most),
                to: border_w(index + 1).min(*most),
                mean: *mean,
                edge_s: *edge_s,
                most: *most,
            };
            block.fill(seconds_w);
        }
        filled_w
    }
}

/// How broken a sky of this clearness is, 0 to 1: not at all when clear (above 0.95) or overcast (below 0.25).
fn broken_share(clearness: f64) -> f64 {
    let clear = ((0.95 - clearness) / 0.10).clamp(0.0, 1.0);
    let overcast = ((clearness - 0.25) / 0.15).clamp(0.0, 1.0);
    clear * overcast
}

/// Mean of the values on both sides of a border; at the ends the value there.
pub(super) fn border_mean(values: &[f64], border: usize) -> f64 {
    let both = values
        .get(border.saturating_sub(1)..values.len().min(border + 1))
        .unwrap_or_default();
    if both.is_empty() {
        return 0.0;
    }
    both.iter().sum::<f64>() / seconds(both.len())
}
