//! The least cost from each step to the end, and the way through it.

use super::problem::{BestError, Store};
use super::slopes::Slopes;
use super::step_cost::{Piece, StepCosts};

/// Two ends that are this near touch, Wh: sums of lengths differ by rounding.
pub(super) const TOUCHING_WH: f64 = 1e-6;

/// Least cost from a step to the end of the horizon, as a function of the stored energy at its start: convex, in pieces.
#[derive(Clone, Debug)]
pub(super) struct CostToGo {
    /// Least stored energy from which the end can be reached, Wh.
    least_wh: f64,
    /// Cost there, currency.
    cost_at_least_cur: f64,
    slopes: Slopes,
}

/// What it takes to undo the steps of a [`CostToGo`] one by one.
#[derive(Clone, Debug, Default)]
pub(super) struct Trail {
    /// Lengths as they were before each change, and the ranks of their slopes.
    changes: Vec<(usize, f64)>,
    /// One mark per step taken.
    marks: Vec<Mark>,
}

#[derive(Clone, Copy, Debug)]
struct Mark {
    /// Changes made before the step.
    before_step: usize,
    /// Changes made before the window cut its ends off.
    before_cut: usize,
    /// Least stored energy before the cut, Wh.
    uncut_least_wh: f64,
}

impl CostToGo {
    /// After the last step: nothing more to pay, within the window for the end.
    pub(super) fn at_end(costs: &StepCosts, store: &Store) -> Self {
        let least_wh = store.end_least_wh.max(store.least_wh);
        let most_wh = store.end_most_wh.min(store.most_wh);
        let mut slopes = Slopes::new(costs.slopes_cur_per_wh.len());
        slopes.set(costs.level_rank(), most_wh - least_wh);
        Self {
            least_wh,
            cost_at_least_cur: 0.0,
            slopes,
        }
    }

    /// Goes one step back in time. `floor_wh` is the least energy that must be taken out of store in the step (negative:
    /// the most that may be put in); the trail, if given, learns how to undo it.
    ///
    /// Adding the energy taken to what is stored after the step gives what was stored before it, so the pieces of both
    /// functions are laid end to end in the order of their slopes, and what is then outside the window falls off.
    pub(super) fn step_back(
        &mut self,
        costs: &StepCosts,
        index: usize,
        floor_wh: f64,
        store: &Store,
        mut trail: Option<&mut Trail>,
    ) -> Result<(), BestError> {
        let no_plan = BestError::NoPlan { step: index };
        let (begin_wh, begin_cur, pieces) = costs.at(index).from(floor_wh).ok_or(no_plan)?;
        let before_step = trail.as_ref().map_or(0, |trail| trail.changes.len());
        for piece in pieces {
            let length_wh = self.slopes.length(piece.rank);
            self.change(piece.rank, length_wh + piece.length_wh, &mut trail);
        }
        self.least_wh += begin_wh;
        self.cost_at_least_cur += begin_cur;
        if let Some(trail) = trail.as_deref_mut() {
            trail.marks.push(Mark {
                before_step,
                before_cut: trail.changes.len(),
                uncut_least_wh: self.least_wh,
            });
        }
        self.cut(costs, store, &mut trail).ok_or(no_plan)
    }

    /// Cuts off what lies outside the window; nothing if all of it does.
    fn cut(
        &mut self,
        costs: &StepCosts,
        store: &Store,
        trail: &mut Option<&mut Trail>,
    ) -> Option<()> {
        let mut below_wh = store.least_wh - self.least_wh;
        while below_wh > 0.0 {
            let Some(rank) = self.slopes.lowest() else {
                return (below_wh <= TOUCHING_WH).then_some(());
            };
            let length_wh = self.slopes.length(rank);
            let cut_wh = below_wh.min(length_wh);
            self.change(rank, length_wh - cut_wh, trail);
            self.least_wh += cut_wh;
            self.cost_at_least_cur += costs.slopes_cur_per_wh.get(rank)? * cut_wh;
            below_wh -= cut_wh;
        }
        let mut above_wh = self.least_wh + self.slopes.total() - store.most_wh;
        while above_wh > 0.0 {
            let Some(rank) = self.slopes.highest() else {
                return (above_wh <= TOUCHING_WH).then_some(());
            };
            let length_wh = self.slopes.length(rank);
            let cut_wh = above_wh.min(length_wh);
            self.change(rank, length_wh - cut_wh, trail);
            above_wh -= cut_wh;
        }
        Some(())
    }

    fn change(&mut self, rank: usize, length_wh: f64, trail: &mut Option<&mut Trail>) {
        if let Some(trail) = trail.as_deref_mut() {
            trail.changes.push((rank, self.slopes.length(rank)));
        }
        self.slopes.set(rank, length_wh);
    }

    /// Least cost with this much stored, currency; nothing if the end cannot be reached from there.
    pub(super) fn cost_cur(&self, costs: &StepCosts, stored_wh: f64) -> Option<f64> {
        let mut left_wh = stored_wh - self.least_wh;
        if left_wh < -TOUCHING_WH || left_wh > self.slopes.total() + TOUCHING_WH {
            return None;
        }
        let mut cost_cur = self.cost_at_least_cur;
        for (rank, slope) in costs.slopes_cur_per_wh.iter().enumerate() {
            let length_wh = self.slopes.length(rank).min(left_wh.max(0.0));
            cost_cur += slope * length_wh;
            left_wh -= length_wh;
        }
        Some(cost_cur)
    }

    /// Undoes the last step taken back and says how much energy is best taken out of store in it, Wh, if this much is
    /// stored at its start.
    ///
    /// The stored energy is a position in the sorted pieces; the pieces below it are used up, and those of them that the
    /// step itself has put in are what it takes. Where its own piece and later ones have one slope any split is as cheap,
    /// and the one that moves least energy is chosen. Nothing is left to undo: 0.
    pub(super) fn step_forward(
        &mut self,
        costs: &StepCosts,
        index: usize,
        floor_wh: f64,
        stored_wh: f64,
        trail: &mut Trail,
    ) -> f64 {
        let Some(mark) = trail.marks.pop() else {
            return 0.0;
        };
        self.undo(trail, mark.before_cut);
        let (rank, into_wh) = self.slopes.at(stored_wh - mark.uncut_least_wh);
        let both_wh = self.slopes.length(rank);
        let Some((mut taken_wh, _, pieces)) = costs.at(index).from(floor_wh) else {
            return 0.0;
        };
        let mut own_wh = 0.0;
        for Piece {
            rank: own,
            length_wh,
            ..
        } in pieces
        {
            if own < rank {
                taken_wh += length_wh;
            } else if own == rank {
                own_wh += length_wh;
            }
        }
        self.undo(trail, mark.before_step);
        let least_wh = taken_wh + (into_wh - (both_wh - own_wh)).clamp(0.0, own_wh);
        let most_wh = taken_wh + own_wh.min(into_wh);
        0.0_f64.clamp(least_wh, most_wh.max(least_wh))
    }

    /// Change of the least cost with the energy stored at the beginning of the step that was last taken back, currency per Wh.
    pub(super) fn worth_cur_per_wh(
        &self,
        costs: &StepCosts,
        store: &Store,
        stored_wh: f64,
        trail: &Trail,
    ) -> f64 {
        let least_wh = (trail.marks.last()).map_or(self.least_wh, |mark| {
            mark.uncut_least_wh.max(store.least_wh)
        });
        let (rank, _) = self.slopes.at(stored_wh - least_wh);
        costs.slopes_cur_per_wh.get(rank).copied().unwrap_or(0.0)
    }

    fn undo(&mut self, trail: &mut Trail, changes: usize) {
        while trail.changes.len() > changes {
            if let Some((rank, length_wh)) = trail.changes.pop() {
                self.slopes.set(rank, length_wh);
            }
        }
    }
}
