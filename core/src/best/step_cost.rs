//! What a step costs, as a function of the energy taken out of store in it.

use super::problem::{BestError, Meter, Step, Steps, Store};

/// Shorter pieces are rounding, Wh.
const LEAST_PIECE_WH: f64 = 1e-9;

/// A straight piece of a step's cost: its slope, currency per Wh taken, and its length, Wh.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Piece {
    pub(super) slope_cur_per_wh: f64,
    pub(super) length_wh: f64,
    /// Place of the slope among all slopes of the horizon.
    pub(super) rank: usize,
}

/// Cost of one step: convex, from `least_wh` taken on, in pieces whose slopes rise.
#[derive(Clone, Copy, Debug)]
pub(super) struct StepCost<'a> {
    pub(super) least_wh: f64,
    pub(super) cost_at_least_cur: f64,
    pub(super) pieces: &'a [Piece],
}

/// Costs of all steps, and the slopes that occur in them.
#[derive(Clone, Debug)]
pub(super) struct StepCosts {
    heads: Vec<Head>,
    pieces: Vec<Piece>,
    /// All slopes in rising order, currency per Wh.
    pub(super) slopes_cur_per_wh: Vec<f64>,
    /// Steps whose true cost is not convex: their lower convex envelope stands here.
    pub(super) relaxed: usize,
}

#[derive(Clone, Copy, Debug)]
struct Head {
    least_wh: f64,
    cost_at_least_cur: f64,
    first_piece: usize,
}

impl StepCosts {
    /// Costs of checked steps, without any cap on import by demand charges. No plan, if a step has none at all.
    ///
    /// `charged` says whether there are demand charges: a price below zero then counts as relaxed, because PV could be
    /// throttled to buy more than the cap.
    pub(super) fn new(
        steps: &Steps<'_>,
        store: &Store,
        meter: &Meter,
        charged: bool,
    ) -> Result<Self, BestError> {
        let mut costs = Self {
            heads: Vec::with_capacity(steps.len()),
            pieces: Vec::with_capacity(4 * steps.len()),
            slopes_cur_per_wh: Vec::new(),
            relaxed: 0,
        };
        for index in 0..steps.len() {
            let view = StepView::new(steps.at(index), steps.step_h(), store, meter);
            let first_piece = costs.pieces.len();
            let (least_w, most_w) = view
                .battery_range_w()
                .ok_or(BestError::NoPlan { step: index })?;
            costs.heads.push(Head {
                least_wh: store.taken_wh(least_w, steps.step_h()),
                cost_at_least_cur: view.cost_cur(least_w),
                first_piece,
            });
            let convex = view.push_pieces(least_w, most_w, &mut costs.pieces);
            let capped = !charged || view.prices_are_plain();
            costs.relaxed += usize::from(!(convex && capped));
        }
        costs.rank_slopes();
        Ok(costs)
    }

    pub(super) fn len(&self) -> usize {
        self.heads.len()
    }

    /// Cost of the step at an index below [`Self::len`].
    pub(super) fn at(&self, index: usize) -> StepCost<'_> {
        let head = self.heads[index];
        let after = self
            .heads
            .get(index + 1)
            .map_or(self.pieces.len(), |next| next.first_piece);
        StepCost {
            least_wh: head.least_wh,
            cost_at_least_cur: head.cost_at_least_cur,
            pieces: &self.pieces[head.first_piece..after],
        }
    }

    /// Rank of the level slope.
    pub(super) fn level_rank(&self) -> usize {
        self.slopes_cur_per_wh.partition_point(|slope| *slope < 0.0)
    }

    fn rank_slopes(&mut self) {
        let mut slopes: Vec<f64> = Vec::with_capacity(self.pieces.len() + 1);
        slopes.push(0.0);
        let mut last = 0.0;
        // Prices repeat for hours, so most repetitions are gone before the sort.
        for piece in &self.pieces {
            if piece.slope_cur_per_wh != last {
                slopes.push(piece.slope_cur_per_wh);
                last = piece.slope_cur_per_wh;
            }
        }
        slopes.sort_unstable_by(f64::total_cmp);
        slopes.dedup();
        for piece in &mut self.pieces {
            piece.rank = slopes.partition_point(|slope| *slope < piece.slope_cur_per_wh);
        }
        self.slopes_cur_per_wh = slopes;
    }
}

impl<'a> StepCost<'a> {
    /// The pieces from `floor_wh` taken on, with where they begin and what that costs; nothing if they all end before.
    pub(super) fn from(
        self,
        floor_wh: f64,
    ) -> Option<(f64, f64, impl Iterator<Item = Piece> + use<'a>)> {
        let mut cut_wh = (floor_wh - self.least_wh).max(0.0);
        let (mut begin_wh, mut cost_cur, mut whole) = (self.least_wh, self.cost_at_least_cur, 0);
        while let Some(piece) = self.pieces.get(whole) {
            if piece.length_wh > cut_wh {
                break;
            }
            cut_wh -= piece.length_wh;
            begin_wh += piece.length_wh;
            cost_cur += piece.slope_cur_per_wh * piece.length_wh;
            whole += 1;
        }
        let rest = self.pieces.get(whole..).unwrap_or_default();
        if let Some(piece) = rest.first() {
            begin_wh += cut_wh;
            cost_cur += piece.slope_cur_per_wh * cut_wh;
        } else if cut_wh > super::recursion::TOUCHING_WH {
            return None;
        }
        let pieces = rest.iter().enumerate().map(move |(index, piece)| Piece {
            length_wh: piece.length_wh - if index == 0 { cut_wh } else { 0.0 },
            ..*piece
        });
        Some((begin_wh, cost_cur, pieces))
    }
}

/// Powers of a step, W, once the battery's is settled.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Settled {
    pub(super) meter_w: f64,
    pub(super) inverter_ac_w: f64,
    pub(super) ac_throttled_w: f64,
    pub(super) dc_throttled_w: f64,
}

/// One step with everything that bounds it.
pub(super) struct StepView<'a> {
    step: Step,
    step_h: f64,
    store: &'a Store,
    import_w: f64,
    export_w: f64,
}

impl<'a> StepView<'a> {
    pub(super) fn new(step: Step, step_h: f64, store: &'a Store, meter: &Meter) -> Self {
        let need_w = step.net_load_w.max(0.0);
        let pv_sold_w = store.ac_w(step.dc_pv_w).min(store.inverter_out_w) - step.net_load_w;
        Self {
            step,
            step_h,
            store,
            import_w: if meter.grid_charge {
                meter.import_w
            } else {
                meter.import_w.min(need_w)
            },
            export_w: if meter.battery_export {
                meter.export_w
            } else {
                meter.export_w.min(pv_sold_w.max(0.0))
            },
        }
    }

    /// The same step with not more than `cap_w` bought.
    pub(super) fn capped(mut self, cap_w: f64) -> Self {
        self.import_w = self.import_w.min(cap_w);
        self
    }

    /// Least battery power at which not more than `cap_w` is bought, W; nothing if the inverter cannot hold it there.
    pub(super) fn battery_at_cap_w(&self, cap_w: f64) -> Option<f64> {
        (self.step.net_load_w - self.store.inverter_out_w <= cap_w)
            .then(|| self.store.dc_w(self.step.net_load_w - cap_w) - self.step.dc_pv_w)
    }

    /// Battery powers at the DC bus between which the step can be run, W.
    fn battery_range_w(&self) -> Option<(f64, f64)> {
        let (step, store) = (&self.step, self.store);
        let reach_wh = store.most_wh - store.least_wh;
        let least_w = (-store.charge_w)
            .max(-step.dc_pv_w - store.inverter_in_w * store.inverter_in_efficiency)
            .max(store.dc_w(step.net_load_w - self.import_w) - step.dc_pv_w)
            .max(store.battery_w(-reach_wh, self.step_h));
        let most_w = store
            .discharge_w
            .min(store.inverter_out_w / store.inverter_out_efficiency)
            .min(store.dc_w(step.net_load_w + step.throttleable_w + self.export_w))
            .min(store.battery_w(reach_wh, self.step_h));
        let met = step.net_load_w - store.inverter_out_w <= self.import_w
            && step.net_load_w + store.inverter_in_w + step.throttleable_w >= -self.export_w;
        // Two limits that say the same differ by rounding.
        let rounding_w = 1e-9 * (1.0 + least_w.abs());
        (met && least_w <= most_w + rounding_w).then(|| (least_w, most_w.max(least_w)))
    }

    /// Meter powers between which throttling can choose, W.
    fn meter_range_w(&self, battery_w: f64) -> (f64, f64) {
        let (step, store) = (&self.step, self.store);
        let most_out_w = store
            .ac_w(step.dc_pv_w + battery_w)
            .min(store.inverter_out_w);
        let least_out_w = store.ac_w(battery_w).max(-store.inverter_in_w);
        let least_w = (step.net_load_w - most_out_w).max(-self.export_w);
        let most_w = (step.net_load_w - least_out_w + step.throttleable_w).min(self.import_w);
        (least_w, most_w.max(least_w))
    }

    fn price_cur_per_kwh(&self, meter_w: f64) -> f64 {
        if meter_w > 0.0 {
            self.step.buy_cur_per_kwh
        } else {
            self.step.sell_cur_per_kwh
        }
    }

    fn meter_cost_cur(&self, meter_w: f64) -> f64 {
        self.price_cur_per_kwh(meter_w) * meter_w * self.step_h / 1000.0
    }

    /// Whether every Wh more at the meter costs more, so that nothing is throttled that can be sold.
    fn prices_are_plain(&self) -> bool {
        0.0 <= self.step.sell_cur_per_kwh && self.step.sell_cur_per_kwh <= self.step.buy_cur_per_kwh
    }

    /// The cheapest meter power, W.
    fn meter_w(&self, battery_w: f64) -> f64 {
        let (least_w, most_w) = self.meter_range_w(battery_w);
        if self.prices_are_plain() {
            return least_w;
        }
        let mut cheapest_w = least_w;
        for meter_w in [0.0_f64.clamp(least_w, most_w), most_w] {
            if self.meter_cost_cur(meter_w) < self.meter_cost_cur(cheapest_w) {
                cheapest_w = meter_w;
            }
        }
        cheapest_w
    }

    /// Most power that can be bought in the step, W; nothing if it cannot be run at all.
    pub(super) fn most_import_w(&self) -> Option<f64> {
        let (least_w, _) = self.battery_range_w()?;
        Some(self.meter_range_w(least_w).0.max(0.0))
    }

    /// Least cost at a battery power, currency.
    pub(super) fn cost_cur(&self, battery_w: f64) -> f64 {
        self.meter_cost_cur(self.meter_w(battery_w))
    }

    /// Every power that follows from the battery's. DC-joined PV is throttled before AC-joined.
    pub(super) fn settle(&self, battery_w: f64) -> Settled {
        let (step, store) = (&self.step, self.store);
        let meter_w = self.meter_w(battery_w);
        let least_out_w = store.ac_w(battery_w).max(-store.inverter_in_w);
        let most_out_w = store
            .ac_w(step.dc_pv_w + battery_w)
            .min(store.inverter_out_w);
        let inverter_ac_w = (step.net_load_w - meter_w)
            .max(least_out_w)
            .min(most_out_w.max(least_out_w));
        Settled {
            meter_w,
            inverter_ac_w,
            ac_throttled_w: (meter_w - step.net_load_w + inverter_ac_w).max(0.0),
            dc_throttled_w: (step.dc_pv_w + battery_w - store.dc_w(inverter_ac_w)).max(0.0),
        }
    }

    /// Change of the cost with the energy taken between two battery powers without a bend, currency per Wh.
    ///
    /// Under plain prices it is a product of price and efficiencies, not a difference of costs: the same price gives the same
    /// bits in every step. Otherwise it is the chord, which is nowhere above the cost: between two bends that is straight
    /// or, where selling is dearer than buying, curved downward.
    fn slope_cur_per_wh(&self, from_w: f64, to_w: f64, length_wh: f64) -> f64 {
        if !self.prices_are_plain() {
            return (self.cost_cur(to_w) - self.cost_cur(from_w)) / length_wh;
        }
        let (step, store) = (&self.step, self.store);
        let battery_w = 0.5 * (from_w + to_w);
        let (meter_w, _) = self.meter_range_w(battery_w);
        let dc_w = step.dc_pv_w + battery_w;
        if meter_w <= -self.export_w || store.ac_w(dc_w) >= store.inverter_out_w {
            return 0.0;
        }
        let ac_per_dc = if dc_w >= 0.0 {
            store.inverter_out_efficiency
        } else {
            1.0 / store.inverter_in_efficiency
        };
        let dc_per_taken = if battery_w >= 0.0 {
            store.discharge_efficiency
        } else {
            1.0 / store.charge_efficiency
        };
        // Adding 0 turns -0 into 0, which the order of slopes would tell apart.
        -self.price_cur_per_kwh(meter_w) * (ac_per_dc * dc_per_taken / 1000.0) + 0.0
    }

    /// Battery powers at which the cost may bend, W.
    fn bends_w(&self) -> [f64; 9] {
        let (step, store) = (&self.step, self.store);
        let (net_w, dc_pv_w) = (step.net_load_w, step.dc_pv_w);
        let throttled_w = net_w + step.throttleable_w;
        [
            0.0,
            // Along the least meter power: inverter turning, at its rating, meter at zero, export at its limit.
            -dc_pv_w,
            store.inverter_out_w / store.inverter_out_efficiency - dc_pv_w,
            store.dc_w(net_w) - dc_pv_w,
            store.dc_w(net_w + self.export_w) - dc_pv_w,
            // Along the most, which counts where a price is negative: inverter at its rating, meter at zero and at its limit.
            -store.inverter_in_w * store.inverter_in_efficiency,
            store.dc_w(throttled_w),
            store.dc_w(throttled_w - self.import_w),
            store.dc_w(throttled_w + self.export_w),
        ]
    }

    /// Puts the pieces between two battery powers after those of earlier steps; says whether the cost is convex.
    ///
    /// Where a slope is lower than the one before it, both become one piece of their mean slope: that makes the lower convex
    /// envelope, the highest convex function that is nowhere above the cost.
    fn push_pieces(&self, least_w: f64, most_w: f64, pieces: &mut Vec<Piece>) -> bool {
        let mut bends_w = self.bends_w();
        bends_w.sort_unstable_by(f64::total_cmp);
        let plain = self.prices_are_plain();
        let first = pieces.len();
        let mut convex = plain || self.step.sell_cur_per_kwh <= self.step.buy_cur_per_kwh;
        let mut from_w = least_w;
        for to_w in bends_w.into_iter().chain([most_w]) {
            let to_w = to_w.min(most_w);
            let length_wh =
                self.store.taken_wh(to_w, self.step_h) - self.store.taken_wh(from_w, self.step_h);
            // Bends that fall together differ by rounding: there is no piece between them.
            if length_wh.is_nan() || length_wh <= LEAST_PIECE_WH {
                continue;
            }
            let mut piece = Piece {
                slope_cur_per_wh: self.slope_cur_per_wh(from_w, to_w, length_wh),
                length_wh,
                rank: 0,
            };
            while let Some(before) = pieces[first..].last().copied() {
                if before.slope_cur_per_wh < piece.slope_cur_per_wh {
                    break;
                }
                let both_wh = before.length_wh + piece.length_wh;
                if before.slope_cur_per_wh > piece.slope_cur_per_wh {
                    convex = false;
                    piece.slope_cur_per_wh = (before.slope_cur_per_wh * before.length_wh
                        + piece.slope_cur_per_wh * piece.length_wh)
                        / both_wh;
                }
                piece.length_wh = both_wh;
                pieces.pop();
            }
            pieces.push(piece);
            from_w = to_w;
        }
        convex
    }
}
