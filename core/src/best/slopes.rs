//! Lengths of straight pieces in the order of their slopes.

/// A convex function of straight pieces, as far as its slopes go: how long it runs at each of the known slopes.
///
/// A binary tree over the slopes, of which each node holds the sum of the lengths below it, made anew from its two
/// children at every change. So a length that is set back to an earlier value sets every sum back to the same bits.
#[derive(Clone, Debug)]
pub(super) struct Slopes {
    /// Sums: the root is at 1, the children of `i` at `2 i` and `2 i + 1`, the slopes from `first_leaf` on.
    sums: Vec<f64>,
    first_leaf: usize,
}

impl Slopes {
    /// Nothing yet, for so many slopes.
    pub(super) fn new(slopes: usize) -> Self {
        let first_leaf = slopes.max(2).next_power_of_two();
        Self {
            sums: vec![0.0; 2 * first_leaf],
            first_leaf,
        }
    }

    /// Length at the slope of this rank.
    pub(super) fn length(&self, rank: usize) -> f64 {
        self.sums[self.first_leaf + rank]
    }

    /// Sets the length at a slope.
    pub(super) fn set(&mut self, rank: usize, length: f64) {
        let mut node = self.first_leaf + rank;
        self.sums[node] = length;
        while node > 1 {
            node /= 2;
            self.sums[node] = self.sums[2 * node] + self.sums[2 * node + 1];
        }
    }

    /// Length of the whole function.
    pub(super) fn total(&self) -> f64 {
        self.sums[1]
    }

    /// Rank of the lowest slope that has a length.
    pub(super) fn lowest(&self) -> Option<usize> {
        self.descend(|sums, node| sums[2 * node] > 0.0)
    }

    /// Rank of the highest slope that has a length.
    pub(super) fn highest(&self) -> Option<usize> {
        self.descend(|sums, node| sums[2 * node + 1] <= 0.0)
    }

    fn descend(&self, to_lower: impl Fn(&[f64], usize) -> bool) -> Option<usize> {
        if self.sums[1] <= 0.0 {
            return None;
        }
        let mut node = 1;
        while node < self.first_leaf {
            node = 2 * node + usize::from(!to_lower(&self.sums, node));
        }
        Some(node - self.first_leaf)
    }

    /// Slope at a position counted from the left end, as its rank, and how far into it the position lies. Positions beyond
    /// an end count as that end; without any length it is the first rank.
    pub(super) fn at(&self, position: f64) -> (usize, f64) {
        let mut node = 1;
        let mut into = position.clamp(0.0, self.sums[1]);
        while node < self.first_leaf {
            let (lower, higher) = (self.sums[2 * node], self.sums[2 * node + 1]);
            // A side without length holds no position, not even its end.
            if higher <= 0.0 || lower > 0.0 && into <= lower {
                node *= 2;
                into = into.min(lower);
            } else {
                into -= lower;
                node = 2 * node + 1;
            }
        }
        (node - self.first_leaf, into.min(self.sums[node]))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pieces_are_found_by_position_and_at_both_ends() {
        let mut slopes = Slopes::new(5);
        assert_eq!((slopes.lowest(), slopes.highest()), (None, None));
        slopes.set(1, 2.0);
        slopes.set(4, 3.0);
        slopes.set(3, 0.5);
        assert_eq!((slopes.lowest(), slopes.highest()), (Some(1), Some(4)));
        assert_eq!(slopes.total(), 5.5);
        assert_eq!(slopes.at(-1.0), (1, 0.0));
        assert_eq!(slopes.at(2.25), (3, 0.25));
        assert_eq!(slopes.at(9.0), (4, 3.0));
        slopes.set(4, 0.0);
        assert_eq!(slopes.highest(), Some(3));
    }
}
