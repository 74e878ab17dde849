//! A day's power in two halves that are equal at each step: where it came from and where it went.

use crate::household::DeviceId;

use super::DayTrace;

/// Where power came from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// AC-joined PV, at the AC side of its inverters.
    AcPv,
    /// DC-joined PV, at the DC bus of the storage inverters.
    DcPv,
    /// From the batteries, at the DC bus.
    Battery,
    /// From the generator.
    Generator,
    /// Bought at the meter.
    Grid,
    /// AC-joined PV that was there and was cut or dropped, at AC.
    AcPvThrottled,
    /// DC-joined PV that was there and was throttled, at the DC bus.
    DcPvThrottled,
}

/// Where power went.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Use {
    /// Base use of the household, both sides of the transfer switch.
    Base,
    /// A device.
    Device(DeviceId),
    /// Into the batteries, at the DC bus.
    Battery,
    /// Sold at the meter as far as it is permitted.
    Sold,
    /// Sent out above the export limit.
    Unpermitted,
    /// Lost in the storage inverters, their standby included.
    Converted,
    /// PV that was there and could not be used.
    Throttled,
    /// Wanted by loads and not given: no power, and no part of the sum.
    Unserved,
}

/// One quantity over the day, W, at least 0, one value per step.
#[derive(Clone, Debug, PartialEq)]
pub struct Flow<Party> {
    /// From where or to where.
    pub party: Party,
    /// Mean power of each step, W.
    pub power_w: Vec<f64>,
}

/// A day's power by source and by use. At each step the sources add up to the uses.
///
/// Both halves are counted at the same border: AC-joined PV at the AC side of its inverters, DC-joined PV and batteries at the DC
/// bus of the storage inverters, the grid at the meter. What the storage inverters lose lies inside this border and stands among
/// the uses; what PV inverters and battery cells lose lies outside and is in the figures of the year. Without a grid the generator
/// stands where the grid would.
///
/// Derived: AC side `ac_pv + storage_ac + import = load + export`; DC side `dc_pv + from_battery = to_battery + storage_ac + lost`;
/// the sum of both, with the throttled power added to both halves.
#[derive(Clone, Debug, PartialEq)]
pub struct DayBalance {
    /// Sources, in the order in which they are stacked: used power first, throttled PV last.
    pub sources: Vec<Flow<Source>>,
    /// Uses, in the order in which they are stacked: loads first, then throttled PV; beyond them what was not served.
    pub uses: Vec<Flow<Use>>,
}

impl DayBalance {
    /// The balance of a day. Series shorter than the longest count as 0 W where they have no value.
    #[must_use]
    pub fn of(trace: &DayTrace) -> Self {
        let steps = trace.load_w.len();
        let at = |series: &[f64], step: usize| series.get(step).copied().unwrap_or(0.0);
        let per_step = |value: &dyn Fn(usize) -> f64| (0..steps).map(value).collect::<Vec<_>>();
        let series = |values: &[f64]| per_step(&|step| at(values, step));

        let dc_throttled = per_step(&|step| {
            trace
                .storage
                .iter()
                .map(|unit| at(&unit.throttled_w, step))
                .sum()
        });
        let storage_ac =
            per_step(&|step| trace.storage.iter().map(|unit| at(&unit.ac_w, step)).sum());
        let source = |party, power_w| Flow { party, power_w };
        let sources = vec![
            source(Source::AcPv, series(&trace.ac_pv_w)),
            source(Source::DcPv, series(&trace.dc_pv_w)),
            source(Source::Battery, series(&trace.from_battery_w)),
            source(Source::Generator, series(&trace.generator_w)),
            source(Source::Grid, series(&trace.import_w)),
            source(
                Source::AcPvThrottled,
                per_step(&|step| (at(&trace.throttled_w, step) - at(&dc_throttled, step)).max(0.0)),
            ),
            source(Source::DcPvThrottled, dc_throttled.clone()),
        ];

        let mut uses = vec![Flow {
            party: Use::Base,
            power_w: per_step(&|step| {
                at(&trace.base_grid_side_w, step) + at(&trace.base_backed_up_w, step)
            }),
        }];
        uses.extend(trace.devices.iter().map(|device| Flow {
            party: Use::Device(device.id),
            power_w: series(&device.power_w),
        }));
        let used = |party, power_w| Flow { party, power_w };
        uses.extend([
            used(Use::Battery, series(&trace.to_battery_w)),
            used(
                Use::Sold,
                per_step(&|step| {
                    (at(&trace.export_w, step) - at(&trace.unpermitted_w, step)).max(0.0)
                }),
            ),
            used(Use::Unpermitted, series(&trace.unpermitted_w)),
            used(
                Use::Converted,
                per_step(&|step| {
                    let lost = at(&trace.dc_pv_w, step) + at(&trace.from_battery_w, step)
                        - at(&trace.to_battery_w, step)
                        - at(&storage_ac, step);
                    lost.max(0.0)
                }),
            ),
            used(Use::Throttled, series(&trace.throttled_w)),
            used(Use::Unserved, series(&trace.unserved_w)),
        ]);
        Self { sources, uses }
    }

    /// Sum of all sources in a step, W.
    #[must_use]
    pub fn supplied_w(&self, step: usize) -> f64 {
        sum_at(self.sources.iter(), step)
    }

    /// Sum of all uses in a step, W.
    #[must_use]
    pub fn used_w(&self, step: usize) -> f64 {
        let given = self.uses.iter().filter(|flow| flow.party != Use::Unserved);
        sum_at(given, step)
    }
}

fn sum_at<'f, Party: 'f>(flows: impl Iterator<Item = &'f Flow<Party>>, step: usize) -> f64 {
    flows.filter_map(|flow| flow.power_w.get(step)).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::household::{OptionId, StorageId};
    use crate::year::{DeviceTrace, StorageTrace};

    /// Four steps whose values follow by hand from the converter law loss = 20 + 0.03 |p| W: selling noon surplus under a limit,
    /// charging from AC, discharging, and standby from AC with an empty battery.
    fn day() -> DayTrace {
        let unit = StorageTrace {
            id: StorageId(1),
            ac_w: vec![1000.0, -1000.0, 500.0, -20.0],
            battery_w: vec![-1950.0, -950.0, 535.0, 0.0],
            dc_pv_w: vec![3000.0, 0.0, 0.0, 0.0],
            throttled_w: vec![700.0, 0.0, 0.0, 0.0],
            soc: vec![0.5, 0.6, 0.5, 0.0],
        };
        DayTrace {
            option: OptionId(0),
            day: 171,
            step_s: 21_600.0,
            arrays: vec![],
            pv_inverters: vec![],
            storage: vec![unit],
            base_grid_side_w: vec![300.0, 300.0, 300.0, 300.0],
            base_backed_up_w: vec![200.0, 200.0, 200.0, 200.0],
            devices: vec![DeviceTrace {
                id: DeviceId(3),
                power_w: vec![0.0, 400.0, 100.0, 0.0],
            }],
            load_w: vec![500.0, 900.0, 600.0, 500.0],
            import_w: vec![0.0, 0.0, 100.0, 520.0],
            export_w: vec![2500.0, 100.0, 0.0, 0.0],
            unpermitted_w: vec![500.0, 0.0, 0.0, 0.0],
            transfer_w: vec![0.0; 4],
            generator_w: vec![0.0; 4],
            ac_pv_w: vec![2000.0, 2000.0, 0.0, 0.0],
            dc_pv_w: vec![3000.0, 0.0, 0.0, 0.0],
            from_battery_w: vec![0.0, 0.0, 535.0, 0.0],
            to_battery_w: vec![1950.0, 950.0, 0.0, 0.0],
            throttled_w: vec![900.0, 0.0, 0.0, 0.0],
            loss_w: vec![0.0; 4],
            soc: vec![0.5, 0.6, 0.5, 0.0],
            buy_cur_per_kwh: vec![0.3; 4],
            sell_cur_per_kwh: vec![0.1; 4],
            unserved_w: vec![0.0; 4],
            dark_share: vec![0.0; 4],
        }
    }

    #[test]
    fn sources_add_up_to_uses_at_each_step() {
        let balance = DayBalance::of(&day());
        let expected_w = [5900.0, 2000.0, 635.0, 520.0];
        for (step, expected_w) in expected_w.into_iter().enumerate() {
            assert!((balance.supplied_w(step) - expected_w).abs() < 1e-9);
            assert!((balance.used_w(step) - expected_w).abs() < 1e-9);
        }
    }

    #[test]
    fn inverter_losses_are_what_the_law_says() {
        let balance = DayBalance::of(&day());
        let lost = balance
            .uses
            .iter()
            .find(|flow| flow.party == Use::Converted);
        assert_eq!(
            lost.map(|flow| flow.power_w.clone()),
            Some(vec![50.0, 50.0, 35.0, 20.0])
        );
    }

    #[test]
    fn throttled_pv_is_told_apart_by_join() {
        let balance = DayBalance::of(&day());
        let first = |party| {
            let flow = balance.sources.iter().find(|flow| flow.party == party);
            flow.and_then(|flow| flow.power_w.first().copied())
        };
        assert_eq!(first(Source::AcPvThrottled), Some(200.0));
        assert_eq!(first(Source::DcPvThrottled), Some(700.0));
    }

    #[test]
    fn a_missing_series_counts_as_nothing() {
        let mut trace = day();
        trace.ac_pv_w.clear();
        let balance = DayBalance::of(&trace);
        assert!((balance.supplied_w(0) - 3900.0).abs() < 1e-9);
    }
}
