//! A power over a short time: a line and what fades of a first-order lag.

use crate::maths::bracketed_root;

/// `P(t) = start + slope t + fading exp(−t / lag)` from 0 to `length_s`; without a lag nothing fades.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Course {
    pub(super) start_w: f64,
    pub(super) slope_w_per_s: f64,
    pub(super) fading_w: f64,
    pub(super) lag_s: f64,
    pub(super) length_s: f64,
}

/// The part of a course above a level.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Above {
    /// Its integral, W s.
    pub(super) energy_ws: f64,
    /// Greatest excess, W; 0 if there is none.
    pub(super) most_w: f64,
    /// When it is greatest, s.
    pub(super) most_at_s: f64,
}

/// How near a crossing is found, s.
const CROSSING_S: f64 = 1e-12;

impl Course {
    /// First-order answer of `from_w` to a goal that moves along a line.
    ///
    /// Derived: `lag P' = goal − P` with `goal = g + g' t` has `P = goal − lag g' + (P0 − g + lag g') exp(−t / lag)`.
    pub(super) fn following(
        from_w: f64,
        goal_w: f64,
        slope_w_per_s: f64,
        lag_s: f64,
        length_s: f64,
    ) -> Self {
        let behind_w = if lag_s > 0.0 {
            lag_s * slope_w_per_s
        } else {
            0.0
        };
        Self {
            start_w: goal_w - behind_w,
            slope_w_per_s,
            fading_w: if lag_s > 0.0 {
                from_w - goal_w + behind_w
            } else {
                0.0
            },
            lag_s,
            length_s,
        }
    }

    /// What is left of the fading part after a time, 0 to 1.
    fn left(&self, at_s: f64) -> f64 {
        if self.lag_s > 0.0 {
            libm::exp(-at_s / self.lag_s)
        } else {
            0.0
        }
    }

    /// Power at a time, W.
    pub(super) fn at_w(&self, at_s: f64) -> f64 {
        let fading_w = if self.fading_w == 0.0 {
            0.0
        } else {
            self.fading_w * self.left(at_s)
        };
        self.start_w + self.slope_w_per_s * at_s + fading_w
    }

    /// Integral from one time to another, W s.
    pub(super) fn between_ws(&self, from_s: f64, to_s: f64) -> f64 {
        let line_ws = (self.start_w + 0.5 * self.slope_w_per_s * (from_s + to_s)) * (to_s - from_s);
        if self.fading_w == 0.0 {
            return line_ws;
        }
        line_ws + self.fading_w * self.lag_s * (self.left(from_s) - self.left(to_s))
    }

    /// Integral over the whole course, W s.
    pub(super) fn integral_ws(&self) -> f64 {
        self.between_ws(0.0, self.length_s)
    }

    /// The same course against a level: positive above it.
    pub(super) fn less(self, level_w: f64) -> Self {
        Self {
            start_w: self.start_w - level_w,
            ..self
        }
    }

    /// The time at which the course turns, if it does within its length.
    fn turn_s(&self) -> Option<f64> {
        if self.fading_w == 0.0 || self.lag_s <= 0.0 {
            return None;
        }
        let ratio = self.slope_w_per_s * self.lag_s / self.fading_w;
        if ratio <= 0.0 || ratio >= 1.0 {
            return None;
        }
        let at_s = -self.lag_s * libm::log(ratio);
        (at_s < self.length_s).then_some(at_s)
    }

    /// Ends of the stretches on which the course keeps to one side of 0, in order: there are at most two crossings, since it
    /// turns at most once.
    pub(super) fn stretches(&self) -> Stretches {
        let turn_s = self.turn_s();
        let mut stretches = Stretches::default();
        let mut from_s = 0.0;
        for to_s in turn_s.into_iter().chain([self.length_s]) {
            let (from_w, to_w) = (self.at_w(from_s), self.at_w(to_s));
            if from_w * to_w < 0.0
                && let Some(root_s) =
                    bracketed_root(|at_s| self.at_w(at_s), from_s, to_s, CROSSING_S)
            {
                stretches.push(root_s, from_w > 0.0);
                stretches.push(to_s, to_w > 0.0);
            } else {
                stretches.push(to_s, from_w > 0.0 || to_w > 0.0);
            }
            from_s = to_s;
        }
        stretches
    }

    /// The part above 0.
    pub(super) fn above(&self) -> Above {
        let mut above = Above::default();
        for at_s in [Some(0.0), self.turn_s(), Some(self.length_s)]
            .into_iter()
            .flatten()
        {
            let power_w = self.at_w(at_s);
            if power_w > above.most_w {
                (above.most_w, above.most_at_s) = (power_w, at_s);
            }
        }
        if above.most_w > 0.0 {
            let mut from_s = 0.0;
            for (to_s, is_above) in self.stretches().iter() {
                if is_above {
                    above.energy_ws += self.between_ws(from_s, to_s).max(0.0);
                }
                from_s = to_s;
            }
        }
        above
    }
}

/// Stretches of a course: the end of each, and whether it lies above 0.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Stretches {
    ends: [(f64, bool); 4],
    count: usize,
}

impl Stretches {
    fn push(&mut self, to_s: f64, is_above: bool) {
        if let Some(end) = self.ends.get_mut(self.count) {
            *end = (to_s, is_above);
            self.count += 1;
        }
    }

    pub(super) fn iter(&self) -> impl Iterator<Item = (f64, bool)> + '_ {
        self.ends.iter().copied().take(self.count)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Rectangles of 1 µs against the closed form; the sum is good to the width of a rectangle times the course's swing.
    #[test]
    fn what_lies_above_is_what_a_fine_sum_finds() {
        for (start_w, slope_w_per_s, fading_w) in [
            (-100.0, 0.0, 900.0),
            (50.0, -400.0, 0.0),
            (-300.0, 500.0, 600.0),
            (120.0, -500.0, -400.0),
            (-1.0, 0.0, 0.0),
        ] {
            let course = Course {
                start_w,
                slope_w_per_s,
                fading_w,
                lag_s: 0.3,
                length_s: 1.0,
            };
            let sum_ws: f64 = (0..1_000_000)
                .map(|step| course.at_w((f64::from(step) + 0.5) * 1e-6).max(0.0) * 1e-6)
                .sum();
            let above = course.above();
            assert!(
                (above.energy_ws - sum_ws).abs() < 1e-6,
                "{course:?}: {above:?}, {sum_ws}"
            );
        }
    }

    #[test]
    fn a_lag_follows_a_moving_goal_at_its_distance() {
        let course = Course::following(0.0, 0.0, 10.0, 0.3, 100.0);
        assert_eq!(course.at_w(0.0), 0.0);
        assert!((course.at_w(100.0) - (1_000.0 - 3.0)).abs() < 1e-9);
    }
}
