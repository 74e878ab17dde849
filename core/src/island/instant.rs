//! A moment of a drill as the drawing shows it.

use super::Drill;
use crate::sky::DAYS_PER_YEAR;
use crate::year::{DayTrace, PvInverterTrace, StorageTrace};

const SECONDS_PER_DAY: u32 = 86_400;

impl Drill {
    /// Day of the year and second of that day at which a span of the trace begins.
    #[must_use]
    pub fn when(&self, span: usize) -> (u32, u32) {
        let at_s = self.case.from_h * 3600.0 + span as f64 * self.run.trace.span_s;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a drill lasts days, and none begins before midnight"
        )]
        let at_s = at_s.max(0.0) as u32;
        let day = (self.case.day + at_s / SECONDS_PER_DAY) % DAYS_PER_YEAR;
        (day, at_s % SECONDS_PER_DAY)
    }

    /// The powers of a span of the trace as a day of a single step. The grid is gone, so nothing passes meter and transfer
    /// switch. What the trace does not tell apart (each array, each load) has no series.
    #[must_use]
    pub fn instant(&self, span: usize) -> DayTrace {
        let trace = &self.run.trace;
        let at = |series: &[f64]| -> Vec<f64> { series.get(span).copied().into_iter().collect() };
        let of = |series: &[Vec<f64>], number: usize| -> Vec<f64> {
            series.get(number).map(|one| at(one)).unwrap_or_default()
        };
        let sum = |series: &[Vec<f64>], sign: f64| -> Vec<f64> {
            let values = series.iter().filter_map(|one| one.get(span));
            vec![values.map(|power_w| (sign * power_w).max(0.0)).sum()]
        };
        let socs: Vec<f64> = (trace.unit_soc.iter())
            .filter_map(|one| one.get(span).copied())
            .collect();
        DayTrace {
            option: self.option,
            day: self.when(span).0,
            step_s: trace.span_s,
            arrays: Vec::new(),
            pv_inverters: (self.inverters.iter().enumerate())
                .map(|(number, id)| PvInverterTrace {
                    id: *id,
                    ac_w: of(&trace.inverter_w, number),
                })
                .collect(),
            storage: (self.units.iter().enumerate())
                .map(|(number, id)| StorageTrace {
                    id: *id,
                    ac_w: of(&trace.unit_ac_w, number),
                    battery_w: of(&trace.unit_battery_w, number),
                    dc_pv_w: of(&trace.unit_dc_w, number),
                    throttled_w: Vec::new(),
                    soc: of(&trace.unit_soc, number),
                })
                .collect(),
            base_grid_side_w: vec![0.0],
            base_backed_up_w: Vec::new(),
            devices: Vec::new(),
            load_w: at(&trace.served_w),
            import_w: vec![0.0],
            export_w: vec![0.0],
            unpermitted_w: vec![0.0],
            transfer_w: vec![0.0],
            generator_w: at(&trace.generator_w),
            ac_pv_w: sum(&trace.inverter_w, 1.0),
            dc_pv_w: sum(&trace.unit_dc_w, 1.0),
            from_battery_w: sum(&trace.unit_battery_w, 1.0),
            to_battery_w: sum(&trace.unit_battery_w, -1.0),
            throttled_w: Vec::new(),
            loss_w: Vec::new(),
            soc: match socs.len() {
                0 => Vec::new(),
                units => vec![socs.iter().sum::<f64>() / units as f64],
            },
            buy_cur_per_kwh: Vec::new(),
            sell_cur_per_kwh: Vec::new(),
            unserved_w: at(&trace.unserved_w),
            dark_share: Vec::new(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::{DrillCase, IslandRun, IslandTrace};
    use super::*;
    use crate::drawing::{FlowKey, flow_w, state_of_charge};
    use crate::household::{OptionId, StorageId};

    #[test]
    fn a_drill_over_new_year_goes_on_in_january_and_shows_its_powers() {
        let drill = Drill {
            option: OptionId(3),
            case: DrillCase {
                day: 364,
                from_h: 23.0,
                length_h: 2.0,
                soc: None,
            },
            nominal_hz: 50.0,
            inverters: Vec::new(),
            units: vec![StorageId(1)],
            loads: Vec::new(),
            run: IslandRun {
                trace: IslandTrace {
                    span_s: 3600.0,
                    unit_battery_w: vec![vec![900.0, -500.0]],
                    unit_dc_w: vec![vec![0.0, 700.0]],
                    unit_soc: vec![vec![0.4, 0.5]],
                    ..IslandTrace::default()
                },
                ..IslandRun::default()
            },
            advice: Vec::new(),
        };
        assert_eq!(drill.when(0), (364, 82_800));
        assert_eq!(drill.when(1), (0, 0));
        let instant = drill.instant(1);
        let id = StorageId(1);
        assert_eq!(flow_w(&instant, FlowKey::StorageDc(id), 0), Some(200.0));
        assert_eq!(flow_w(&instant, FlowKey::Meter, 0), Some(0.0));
        assert_eq!(state_of_charge(&instant, id, 0), Some(0.5));
    }
}
