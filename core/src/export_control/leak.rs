//! What passes the limit: how much, how hard, how long.

use super::course::Course;

/// Excess that counts as an excursion, W.
///
/// A lag comes to its goal only in the end; what no meter sees ends an excursion. Common practice: a class 1 meter for 5 A
/// starts at 0.4 % of that, 4.6 W at 230 V (IEC 62053-21, from memory); twice that is taken.
pub(super) const SEEN_W: f64 = 10.0;

/// Excursions above the limit.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Leak {
    pub(super) energy_ws: f64,
    pub(super) worst_w: f64,
    pub(super) worst_at_s: f64,
    pub(super) longest_s: f64,
    pub(super) longest_at_s: f64,
    pub(super) excursions: u32,
    /// Since when export is above the limit, s.
    since_s: Option<f64>,
}

impl Leak {
    /// When a relay of this delay would drop in a course of export less its limit that begins at `from_s`, s.
    pub(super) fn drops_s(&self, excess: &Course, from_s: f64, delay_s: f64) -> Option<f64> {
        let seen = excess.less(SEEN_W);
        let mut since_s = self.since_s;
        let mut begin_s = 0.0;
        for (end_s, is_above) in seen.stretches().iter() {
            if is_above {
                let drop_s = since_s.unwrap_or(from_s + begin_s) + delay_s;
                if drop_s <= from_s + end_s {
                    return Some(drop_s.max(from_s + begin_s));
                }
                since_s = since_s.or(Some(from_s + begin_s));
            } else {
                since_s = None;
            }
            begin_s = end_s;
        }
        None
    }

    /// Adds a course of export less its limit that begins at `from_s`.
    pub(super) fn add(&mut self, excess: &Course, from_s: f64) {
        let above = excess.above();
        self.energy_ws += above.energy_ws;
        if above.most_w > self.worst_w {
            (self.worst_w, self.worst_at_s) = (above.most_w, from_s + above.most_at_s);
        }
        if above.most_w <= SEEN_W {
            self.end(from_s);
            return;
        }
        let mut begin_s = from_s;
        for (end_s, is_above) in excess.less(SEEN_W).stretches().iter() {
            if !is_above {
                self.end(begin_s);
            } else if self.since_s.is_none() {
                self.since_s = Some(begin_s);
                self.excursions += 1;
            }
            begin_s = from_s + end_s;
        }
    }

    /// Ends an excursion, if there is one.
    pub(super) fn end(&mut self, at_s: f64) {
        if let Some(since_s) = self.since_s.take()
            && at_s - since_s > self.longest_s
        {
            (self.longest_s, self.longest_at_s) = (at_s - since_s, since_s);
        }
    }
}
