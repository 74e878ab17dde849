//! AC PV that the loads and the batteries of an island cannot take, held back by each inverter's own means.

use super::plant::IslandInverter;
use crate::coupling::IslandMeans;

/// A PV inverter in one step of an island. Powers are means of the step, W.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct IslandPv {
    /// AC power that it could give.
    pub(super) offered_w: f64,
    /// Share of the step in which it does not wait to come back, 0 to 1.
    pub(super) on_share: f64,
    /// AC power that it gives while it is on, before it is held back.
    pub(super) begun_w: f64,
    /// AC power that it gives; while the means below are at work, that which it gives while it is on.
    pub(super) ac_w: f64,
    /// Whether its contactor stood open when the step began.
    pub(super) open: bool,
    /// Whether it fell off in this step, or its contactor stands open.
    pub(super) off: bool,
}

/// Rounding that is not a surplus, W.
const ROUNDING_W: f64 = 1e-6;

/// Holds AC PV back to `allowed_w`; returns what it gives as a mean of the step, W.
///
/// An inverter that comes back within the step comes back with all that it has: power while it is on decides, not its mean.
/// Commanded inverters follow to the watt and are cut first. If the others still give too much, contactors open, one
/// after the other; then frequency rises. Inverters with a droop follow it down to what they give at their nearer
/// over-frequency trip, or at the highest frequency that the storage inverters go to: that is the least that they can be
/// held at. Those that would have to give less fall off, the one with the nearest trip first, and the rest is tried again.
/// An inverter without a droop gives all until its trip is reached.
///
/// - `top_hz`: highest frequency that the storage inverters go to, Hz
pub(super) fn hold_back(
    inverters: &[IslandInverter],
    top_hz: f64,
    pv: &mut [IslandPv],
    allowed_w: f64,
) -> f64 {
    if give_all(pv) > allowed_w + ROUNDING_W {
        use_means(inverters, top_hz, pv, allowed_w);
    }
    pv.iter_mut()
        .map(|slot| {
            slot.ac_w *= slot.on_share;
            slot.ac_w
        })
        .sum()
}

/// Holds inverters back that all give what they have.
fn use_means(inverters: &[IslandInverter], top_hz: f64, pv: &mut [IslandPv], allowed_w: f64) {
    let (mut commanded_w, mut switched_w, mut drooping_w) = (0.0, 0.0, 0.0);
    for (slot, inverter) in pv.iter().zip(inverters) {
        match inverter.means {
            IslandMeans::Command { .. } => commanded_w += slot.ac_w,
            IslandMeans::Contactor { .. } => switched_w += slot.ac_w,
            IslandMeans::Frequency => drooping_w += slot.ac_w,
        }
    }
    for (slot, inverter) in pv.iter_mut().zip(inverters) {
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
        drooping_w = raise_frequency(inverters, top_hz, pv, allowed_w - switched_w);
    }
    let left_w = (allowed_w - switched_w - drooping_w).clamp(0.0, commanded_w);
    if commanded_w > 0.0 {
        for (slot, inverter) in pv.iter_mut().zip(inverters) {
            if matches!(inverter.means, IslandMeans::Command { .. }) {
                slot.ac_w *= left_w / commanded_w;
            }
        }
    }
}

/// Lets every inverter whose contactor is closed give all that it has; returns what they give while they are on, W.
pub(super) fn give_all(pv: &mut [IslandPv]) -> f64 {
    pv.iter_mut()
        .map(|slot| {
            slot.off = slot.open;
            slot.ac_w = if slot.off { 0.0 } else { slot.begun_w };
            slot.ac_w
        })
        .sum()
}

/// Raises frequency until the inverters that answer to nothing else give `allowed_w` or less; returns what they give, W.
fn raise_frequency(
    inverters: &[IslandInverter],
    top_hz: f64,
    pv: &mut [IslandPv],
    allowed_w: f64,
) -> f64 {
    // Every pass but the last takes at least one off, so this ends.
    for _ in 0..=pv.len() {
        let on = |slot: &IslandPv, inverter: &IslandInverter| {
            inverter.means == IslandMeans::Frequency && !slot.off && slot.begun_w > 0.0
        };
        let given_w = |pv: &[IslandPv], hz: f64| -> f64 {
            pv.iter()
                .zip(inverters)
                .filter(|(slot, inverter)| on(slot, inverter))
                .map(|(slot, inverter)| inverter.given_w(slot.begun_w, hz))
                .sum()
        };
        let nearest_hz = pv
            .iter()
            .zip(inverters)
            .filter(|(slot, inverter)| on(slot, inverter))
            .fold(f64::INFINITY, |least, (_, one)| least.min(one.trip_hz));
        if nearest_hz == f64::INFINITY {
            break;
        }
        let ceiling_hz = nearest_hz.min(top_hz);
        if given_w(pv, ceiling_hz) <= allowed_w + ROUNDING_W {
            let hz = lowest_hz(inverters, pv, &on, &given_w, allowed_w, ceiling_hz);
            for (slot, inverter) in pv.iter_mut().zip(inverters) {
                if on(slot, inverter) {
                    slot.ac_w = inverter.given_w(slot.begun_w, hz);
                }
            }
            return given_w(pv, hz);
        }
        // Where frequency goes no higher there is no means left but to let all of them fall off.
        for (slot, inverter) in pv.iter_mut().zip(inverters) {
            if on(slot, inverter) && (nearest_hz > top_hz || inverter.trip_hz <= nearest_hz) {
                (slot.ac_w, slot.off) = (0.0, true);
            }
        }
    }
    0.0
}

/// Lowest frequency at which `given_w` is `allowed_w`: exact, since it falls in straight lines between the frequencies at
/// which an inverter begins to back off or has nothing left to give up.
fn lowest_hz(
    inverters: &[IslandInverter],
    pv: &[IslandPv],
    on: &impl Fn(&IslandPv, &IslandInverter) -> bool,
    given_w: &impl Fn(&[IslandPv], f64) -> f64,
    allowed_w: f64,
    ceiling_hz: f64,
) -> f64 {
    let bends = || {
        pv.iter()
            .zip(inverters)
            .filter(|(slot, inverter)| on(slot, inverter))
            .filter_map(|(slot, inverter)| {
                let droop = inverter.droop?;
                let empty_hz = droop.at_hz(inverter.rated_w(), slot.begun_w, slot.begun_w);
                Some([droop.from_hz, empty_hz])
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
    /// What it gives at a frequency below its trip, W.
    fn given_w(&self, begun_w: f64, hz: f64) -> f64 {
        self.droop
            .map_or(begun_w, |droop| droop.given_w(self.rated_w(), begun_w, hz))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::converter::LossLaw;
    use crate::coupling::GridCode;
    use crate::household::{PvInverterId, Supply};

    const AT_60_HZ: Supply = Supply::SplitPhase120V240V60Hz;
    const AT_50_HZ: Supply = Supply::SinglePhase230V50Hz;

    fn inverter(
        rated_w: f64,
        code: GridCode,
        supply: Supply,
        means: IslandMeans,
    ) -> IslandInverter {
        let law = LossLaw {
            no_load_w: 0.0,
            linear: 0.0,
            quadratic: 0.0,
            rated_w,
        };
        IslandInverter::new(PvInverterId(1), law, code, supply, means)
    }

    fn by_frequency(rated_w: f64, code: GridCode, supply: Supply) -> IslandInverter {
        inverter(rated_w, code, supply, IslandMeans::Frequency)
    }

    /// What inverters at full power give when only `allowed_w` can be taken, W.
    fn given_w(inverters: &[IslandInverter], top_hz: f64, allowed_w: f64) -> Vec<f64> {
        let mut pv: Vec<_> = inverters
            .iter()
            .map(|inverter| IslandPv {
                offered_w: inverter.rated_w(),
                begun_w: inverter.rated_w(),
                on_share: 1.0,
                ..IslandPv::default()
            })
            .collect();
        let sum_w = hold_back(inverters, top_hz, &mut pv, allowed_w);
        let given_w: Vec<f64> = pv.iter().map(|slot| slot.ac_w).collect();
        assert!((given_w.iter().sum::<f64>() - sum_w).abs() < 1e-6);
        assert!(sum_w <= allowed_w + ROUNDING_W);
        given_w
    }

    fn assert_least_share(code: GridCode, supply: Supply, top_hz: f64, least: f64) {
        let one = [by_frequency(10_000.0, code, supply)];
        let above = 10_000.0 * least + 1.0;
        assert!((given_w(&one, top_hz, above)[0] - above).abs() < 1e-6);
        if least > 0.0 {
            assert_eq!(given_w(&one, top_hz, 10_000.0 * least - 1.0), [0.0]);
        }
    }

    /// IEEE 1547-2018, tables 18 and 24: from full output 61.2 Hz leaves 1 - (61.2 - 60.036) / (60 * 0.05) = 0.612 of it.
    #[test]
    fn default_droop_of_2018_holds_61_percent_and_no_less() {
        assert_least_share(GridCode::Ieee1547Of2018, AT_60_HZ, 62.2, 0.612);
    }

    /// VDE-AR-N 4105, 40 %/Hz from 50.2 Hz, trip at 51.5 Hz: 1 - 0.4 * 1.3 = 0.48.
    #[test]
    fn forty_percent_per_hertz_hold_48_percent_at_51_5_hz() {
        assert_least_share(GridCode::VdeArN4105, AT_50_HZ, 52.2, 0.48);
    }

    /// AS/NZS 4777.2:2020, 4.5.3: a straight line to nothing at 52.0 Hz.
    #[test]
    fn a_droop_that_ends_at_nothing_is_held_at_nothing() {
        assert_least_share(GridCode::AsNzs4777, AT_50_HZ, 52.2, 0.0);
        let one = [by_frequency(5_000.0, GridCode::AsNzs4777, AT_50_HZ)];
        assert!(given_w(&one, 52.2, 0.0)[0].abs() < 1e-6);
    }

    /// Derived: at a highest frequency of 60.6 Hz the 2018 droop leaves 1 - (60.6 - 60.036) / 3 = 0.812.
    #[test]
    fn storage_that_goes_no_higher_holds_less_back() {
        assert_least_share(GridCode::Ieee1547Of2018, AT_60_HZ, 60.6, 0.812);
    }

    #[test]
    fn an_inverter_that_comes_back_within_the_step_falls_off_again_if_its_power_is_still_too_much()
    {
        let one = [by_frequency(3_000.0, GridCode::Ieee1547Of2003, AT_60_HZ)];
        let given_w = |allowed_w: f64| {
            let mut pv = [IslandPv {
                offered_w: 3_000.0,
                begun_w: 3_000.0,
                on_share: 0.5,
                ..IslandPv::default()
            }];
            hold_back(&one, 62.2, &mut pv, allowed_w)
        };
        assert_eq!((given_w(2_000.0), given_w(3_000.0)), (0.0, 1_500.0));
    }

    #[test]
    fn an_inverter_without_a_droop_gives_all_or_nothing() {
        let one = [by_frequency(3_000.0, GridCode::Ieee1547Of2003, AT_60_HZ)];
        assert_eq!(given_w(&one, 62.2, 3_000.0), [3_000.0]);
        assert_eq!(given_w(&one, 62.2, 2_999.0), [0.0]);
    }

    /// Derived: 500 W of 7 kW are 60.036 + 3 * 0.5 / 7 = 60.25 Hz, below the 60.5 Hz of the older rule; 2 kW would be 60.89 Hz.
    #[test]
    fn a_newer_inverter_spares_an_older_one_as_far_as_its_droop_reaches() {
        let both = [
            by_frequency(3_000.0, GridCode::Ieee1547Of2003, AT_60_HZ),
            by_frequency(7_000.0, GridCode::Ieee1547Of2018, AT_60_HZ),
        ];
        let little = given_w(&both, 62.2, 9_500.0);
        assert!((little[0] - 3_000.0).abs() < 1e-6 && (little[1] - 6_500.0).abs() < 1e-6);
        assert_eq!(given_w(&both, 62.2, 8_000.0), [0.0, 7_000.0]);
    }

    #[test]
    fn commanded_inverters_take_the_cut_before_any_other_falls_off() {
        let command = IslandMeans::Command { response_s: 1.0 };
        let contactor = IslandMeans::Contactor {
            open_soc: 1.0,
            close_soc: 0.9,
        };
        let all = [
            inverter(4_000.0, GridCode::Present, AT_60_HZ, command),
            by_frequency(3_000.0, GridCode::Ieee1547Of2003, AT_60_HZ),
            inverter(2_000.0, GridCode::Present, AT_60_HZ, contactor),
        ];
        assert_eq!(given_w(&all, 62.2, 6_000.0), [1_000.0, 3_000.0, 2_000.0]);
        assert_eq!(given_w(&all, 62.2, 4_500.0), [1_500.0, 3_000.0, 0.0]);
        assert_eq!(given_w(&all, 62.2, 1_000.0), [1_000.0, 0.0, 0.0]);
    }
}
