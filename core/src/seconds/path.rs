//! A line through the means of blocks: it passes from border to border and gives every block its mean.

/// One block of a line.
#[derive(Clone, Copy, Debug)]
pub(super) struct Block {
    /// Value at the start of the block.
    pub(super) from: f64,
    /// Value at its end.
    pub(super) to: f64,
    /// Mean of the block, at least 0.
    pub(super) mean: f64,
    /// Time that an edge takes if there is room for it, s.
    pub(super) edge_s: f64,
    /// Greatest value that the line may take between the borders, at least `mean`.
    pub(super) most: f64,
}

/// An edge shorter than this share of its time gives way to two edges with a level between them.
const LEAST_EDGE_SHARE: f64 = 0.5;

impl Block {
    /// Fills one value per second with its mean.
    ///
    /// One edge joins both borders if it can be placed so that the mean is met. Else two edges lead to a level between
    /// them: with edges of `e` out of `T` seconds the level is `(T mean − e (from + to) / 2) / (T − e)`; the edges are as
    /// short as the bounds 0 and `most` ask for.
    pub(super) fn fill(self, seconds_w: &mut [f64]) {
        let length_s = seconds(seconds_w.len());
        if self.mean <= 0.0 || seconds_w.is_empty() {
            seconds_w.fill(self.mean);
            return;
        }
        let corners = self
            .one_edge(length_s)
            .unwrap_or_else(|| self.two_edges(length_s));
        let mut before = 0.0;
        for (index, value) in seconds_w.iter_mut().enumerate() {
            let sum = integral(&corners, seconds(index + 1));
            *value = (sum - before).max(0.0);
            before = sum;
        }
    }

    fn one_edge(self, length_s: f64) -> Option<Corners> {
        let Self { from, to, mean, .. } = self;
        if (from - mean) * (to - mean) >= 0.0 {
            return None;
        }
        let middle_s = length_s * (mean - to) / (from - to);
        let room_s = 2.0 * middle_s.min(length_s - middle_s);
        let edge_s = self.edge_s.min(room_s);
        if edge_s < LEAST_EDGE_SHARE * self.edge_s.min(length_s) {
            return None;
        }
        let (begin_s, end_s) = (middle_s - 0.5 * edge_s, middle_s + 0.5 * edge_s);
        Some([
            (0.0, from),
            (begin_s, from),
            (end_s, to),
            (length_s, to),
            (length_s, to),
        ])
    }

    fn two_edges(self, length_s: f64) -> Corners {
        let Self {
            from,
            to,
            mean,
            most,
            ..
        } = self;
        let ends = 0.5 * (from + to);
        let mut edge_s = self.edge_s.min(0.5 * length_s);
        if ends > 0.0 {
            edge_s = edge_s.min(length_s * mean / ends);
        }
        if most > ends {
            edge_s = edge_s.min(length_s * (most - mean).max(0.0) / (most - ends));
        }
        let level = (length_s * mean - edge_s * ends) / (length_s - edge_s);
        [
            (0.0, from),
            (edge_s, level),
            (length_s - edge_s, level),
            (length_s, to),
            (length_s, to),
        ]
    }
}

/// Corners of a broken line: time in s, value.
type Corners = [(f64, f64); 5];

/// Integral of a broken line from its start to `to_s`.
fn integral(corners: &Corners, to_s: f64) -> f64 {
    corners
        .windows(2)
        .map(|pair| {
            let ((begin_s, begin), (end_s, end)) = (pair[0], pair[1]);
            let length_s = end_s - begin_s;
            let passed_s = (to_s - begin_s).clamp(0.0, length_s);
            if passed_s <= 0.0 {
                return 0.0;
            }
            let reached = begin + (end - begin) * passed_s / length_s;
            0.5 * (begin + reached) * passed_s
        })
        .sum()
}

/// A number of seconds, or of an index, as a number that counts.
#[expect(
    clippy::cast_precision_loss,
    reason = "a day has fewer seconds than an f64 counts exactly"
)]
pub(super) fn seconds(index: usize) -> f64 {
    index as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_block_has_its_mean_and_stays_in_its_bounds() {
        for (from, to) in [(0.0, 1.0), (1.0, 0.2), (0.9, 0.9), (0.0, 0.0), (1.0, 1.0)] {
            for mean in [1e-6, 0.1, 0.5, 0.85, 1.0] {
                for edge_s in [1.0, 9.5, 30.0, 80.0] {
                    let block = Block {
                        from,
                        to,
                        mean,
                        edge_s,
                        most: 1.0,
                    };
                    let mut filled = [0.0; 60];
                    block.fill(&mut filled);
                    let found = filled.iter().sum::<f64>() / 60.0;
                    assert!((found - mean).abs() < 1e-12, "{block:?}: {found}");
                    let within = |value: &f64| (-1e-12..=1.0 + 1e-12).contains(value);
                    assert!(filled.iter().all(within), "{block:?}: {filled:?}");
                }
            }
        }
    }

    #[test]
    fn an_edge_takes_its_time() {
        let block = Block {
            from: 1.0,
            to: 0.0,
            mean: 0.5,
            edge_s: 10.0,
            most: 1.0,
        };
        let mut filled = [0.0; 60];
        block.fill(&mut filled);
        assert!((filled[24] - 1.0).abs() < 1e-12 && filled[35].abs() < 1e-12);
        assert!((filled[25] - 0.95).abs() < 1e-12);
    }
}
