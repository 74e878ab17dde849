//! AC PV that the loads and the batteries of an island cannot take, held back by each inverter's own means.

use super::plant::{IslandInverter, IslandPlant};
use crate::coupling::{DroopBase, IslandMeans};

/// A PV inverter in one step of an island. Powers are means of the step, W.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct IslandPv {
    /// AC power that it could give.
    pub(super) offered_w: f64,
    /// AC power that it gives before it is held back: less for the part of the step in which it still waits.
    pub(super) begun_w: f64,
    /// AC power that it gives.
    pub(super) ac_w: f64,
    /// Whether its contactor stood open when the step began.
    pub(super) open: bool,
    /// Whether it fell off in this step, or its contactor stands open.
    pub(super) off: bool,
}

/// Rounding that is not a surplus, W.
const ROUNDING_W: f64 = 1e-6;

/// Holds AC PV back to `allowed_w`; returns what it gives, W.
///
/// Commanded inverters follow to the watt and are cut first. If the others still give too much, contactors open, one
/// after the other; then frequency rises. Inverters with a droop follow it down to what they give at their nearer
/// over-frequency trip, or at the highest frequency that the storage inverters go to: that is the least that they can be
/// held at. Those that would have to give less fall off, the one with the nearest trip first, and the rest is tried again.
/// An inverter without a droop gives all until its trip is reached.
pub(super) fn hold_back(plant: &IslandPlant, pv: &mut [IslandPv], allowed_w: f64) -> f64 {
    let (mut commanded_w, mut switched_w, mut drooping_w) = (0.0, 0.0, 0.0);
    for (slot, inverter) in pv.iter_mut().zip(&plant.inverters) {
        slot.off = slot.open;
        slot.ac_w = if slot.off { 0.0 } else { slot.begun_w };
        match inverter.means {
            IslandMeans::Command { .. } => commanded_w += slot.ac_w,
            IslandMeans::Contactor { .. } => switched_w += slot.ac_w,
            IslandMeans::Frequency => drooping_w += slot.ac_w,
        }
    }
    let offered_w = commanded_w + switched_w + drooping_w;
    if offered_w <= allowed_w + ROUNDING_W {
        return offered_w;
    }
    for (slot, inverter) in pv.iter_mut().zip(&plant.inverters) {
        if switched_w + drooping_w <= allowed_w + ROUNDING_W {
            break;
        }
        if matches!(inverter.means, IslandMeans::Contactor { .. }) && slot.ac_w > 0.0 {
            switched_w -= slot.ac_w;
            (slot.ac_w, slot.off) = (0.0, true);
        }
    }
    let switched_w = switched_w.max(0.0);
    if switched_w + drooping_w > allowed_w + ROUNDING_W {
        drooping_w = raise_frequency(plant, pv, allowed_w - switched_w);
    }
    let left_w = (allowed_w - switched_w - drooping_w).clamp(0.0, commanded_w);
    if commanded_w > 0.0 {
        for (slot, inverter) in pv.iter_mut().zip(&plant.inverters) {
            if matches!(inverter.means, IslandMeans::Command { .. }) {
                slot.ac_w *= left_w / commanded_w;
            }
        }
    }
    switched_w + drooping_w + left_w
}

/// Raises frequency until the inverters that answer to nothing else give `allowed_w` or less; returns what they give, W.
fn raise_frequency(plant: &IslandPlant, pv: &mut [IslandPv], allowed_w: f64) -> f64 {
    // Every pass but the last takes at least one off, so this ends.
    for _ in 0..=pv.len() {
        let on = |slot: &IslandPv, inverter: &IslandInverter| {
            inverter.means == IslandMeans::Frequency && !slot.off && slot.begun_w > 0.0
        };
        let given_w = |pv: &[IslandPv], hz: f64| -> f64 {
            pv.iter()
                .zip(&plant.inverters)
                .filter(|(slot, inverter)| on(slot, inverter))
                .map(|(slot, inverter)| inverter.given_w(slot.begun_w, hz))
                .sum()
        };
        let nearest_hz = pv
            .iter()
            .zip(&plant.inverters)
            .filter(|(slot, inverter)| on(slot, inverter))
            .fold(f64::INFINITY, |least, (_, one)| least.min(one.trip_hz));
        if nearest_hz == f64::INFINITY {
            break;
        }
        let ceiling_hz = nearest_hz.min(plant.top_hz);
        if given_w(pv, ceiling_hz) <= allowed_w + ROUNDING_W {
            let hz = lowest_hz(plant, pv, &on, &given_w, allowed_w, ceiling_hz);
            for (slot, inverter) in pv.iter_mut().zip(&plant.inverters) {
                if on(slot, inverter) {
                    slot.ac_w = inverter.given_w(slot.begun_w, hz);
                }
            }
            return given_w(pv, hz);
        }
        // Where frequency goes no higher there is no means left but to let all of them fall off.
        for (slot, inverter) in pv.iter_mut().zip(&plant.inverters) {
            if on(slot, inverter) && (nearest_hz > plant.top_hz || inverter.trip_hz <= nearest_hz) {
                (slot.ac_w, slot.off) = (0.0, true);
            }
        }
    }
    0.0
}

/// Lowest frequency at which `given_w` is `allowed_w`: exact, since it falls in straight lines between the frequencies at
/// which an inverter begins to back off or has nothing left to give up.
fn lowest_hz(
    plant: &IslandPlant,
    pv: &[IslandPv],
    on: &impl Fn(&IslandPv, &IslandInverter) -> bool,
    given_w: &impl Fn(&[IslandPv], f64) -> f64,
    allowed_w: f64,
    ceiling_hz: f64,
) -> f64 {
    let bends = || {
        pv.iter()
            .zip(&plant.inverters)
            .filter(|(slot, inverter)| on(slot, inverter))
            .filter_map(|(slot, inverter)| {
                let (from_hz, w_per_hz) = inverter.slope(slot.begun_w)?;
                Some([from_hz, from_hz + slot.begun_w / w_per_hz])
            })
            .flatten()
    };
    let mut hz = bends().fold(ceiling_hz, f64::min);
    let mut at_hz_w = given_w(pv, hz);
    // Two bends for each inverter, and the ceiling.
    for _ in 0..=2 * pv.len() {
        let next_hz = bends().filter(|bend| *bend > hz).fold(ceiling_hz, f64::min);
        let next_w = given_w(pv, next_hz);
        if next_w <= allowed_w && next_w < at_hz_w {
            let share = ((at_hz_w - allowed_w) / (at_hz_w - next_w)).clamp(0.0, 1.0);
            return hz + share * (next_hz - hz);
        }
        (hz, at_hz_w) = (next_hz, next_w);
    }
    ceiling_hz
}

impl IslandInverter {
    /// Frequency from which it backs off, and how fast when it gave `begun_w`, W/Hz; none: it does not.
    fn slope(&self, begun_w: f64) -> Option<(f64, f64)> {
        let (from_hz, slope_per_hz, base) = self.droop?;
        let base_w = match base {
            DroopBase::Rating => self.rated_w(),
            DroopBase::PowerAtStart => begun_w,
        };
        let w_per_hz = slope_per_hz * base_w;
        (w_per_hz > 0.0).then_some((from_hz, w_per_hz))
    }

    /// What it gives at a frequency below its trip, W.
    fn given_w(&self, begun_w: f64, hz: f64) -> f64 {
        self.slope(begun_w).map_or(begun_w, |(from_hz, w_per_hz)| {
            (begun_w - w_per_hz * (hz - from_hz).max(0.0)).max(0.0)
        })
    }
}
