//! What a study comes to.

use serde::{Deserialize, Serialize};

use super::Response;

/// What a day comes to under an export limit with controls that take time. Energies in Wh, times in s from midnight.
///
/// What PV could give (`pv_offered_wh`, AC of PV inverters and DC at MPPT inputs) is what it gave (`pv_taken_wh`) and what was
/// lost to limit, margin, lag and relay, less what was given `beyond`.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct ExportFigures {
    /// Most export permitted, W; none: no limit.
    pub limit_w: Option<f64>,
    /// Energy sent out above the limit.
    pub leaked_wh: f64,
    /// Greatest excess above the limit, W.
    pub worst_leak_w: f64,
    /// When it came.
    pub worst_leak_at_s: f64,
    /// Longest time that the excess stayed above 10 W, s.
    pub longest_leak_s: f64,
    /// When that began.
    pub longest_leak_at_s: f64,
    /// How often the excess rose above 10 W.
    pub leaks: u32,
    /// What PV could give at its converters' ratings.
    pub pv_offered_wh: f64,
    /// What PV gave.
    pub pv_taken_wh: f64,
    /// Lost under any control, however fast: no use for it, no room, and no permission to send it out.
    pub lost_to_limit_wh: f64,
    /// Lost because the control keeps a margin below the limit.
    pub lost_to_margin_wh: f64,
    /// Lost because inverters had not yet come back up to what was permitted.
    pub lost_to_lag_wh: f64,
    /// Lost while relays were open.
    pub lost_to_relay_wh: f64,
    /// Given beyond what was permitted, by inverters that had not yet come down; some of it leaked, batteries took the rest.
    pub beyond_wh: f64,
    /// PV given that was not sent out.
    pub self_consumed_wh: f64,
    /// Used by all loads.
    pub load_wh: f64,
    /// Bought.
    pub import_wh: f64,
    /// Sent out, what leaked included.
    pub export_wh: f64,
    /// What the energy account of the day leaves open, as a share of all that came in or lay stored; rounding is all that is in
    /// it, and that grows with the largest sum that is kept.
    pub account_gap: f64,
}

impl ExportFigures {
    /// Whether every excursion ended in time.
    #[must_use]
    pub fn answers_within(&self, response: Response) -> bool {
        self.longest_leak_s <= response.within_s()
    }
}
