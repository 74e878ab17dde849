//! All loads over a time grid.

use super::device::device_w;
use super::profile::hourly_w;
use super::resample::{Cells, step_means};
use crate::household::{AcSide, BaseUse, DeviceId, Loads};
use crate::sky::TimeGrid;

/// Power of every load, one value per step, W.
#[derive(Clone, Debug, PartialEq)]
pub struct LoadSeries {
    /// Base use on the grid side.
    pub base_grid_side_w: Vec<f64>,
    /// Base use on the backed-up side.
    pub base_backed_up_w: Vec<f64>,
    /// Each device, in the order of the loads.
    pub devices: Vec<DeviceSeries>,
}

/// Power of a device.
#[derive(Clone, Debug, PartialEq)]
pub struct DeviceSeries {
    /// The device.
    pub id: DeviceId,
    /// Side on which it is wired.
    pub side: AcSide,
    /// Power of each step, W.
    pub power_w: Vec<f64>,
}

impl LoadSeries {
    /// The loads over a time grid.
    ///
    /// - `latitude_deg`: latitude of the site, °, north positive; it decides when the profiles have winter
    /// - `air_c`: air temperature at every step, °C; heat pumps and air conditioners follow it
    ///
    /// Over a whole year the base use has the yearly, monthly or metered energy to rounding, at any step. Hours of the
    /// standard profiles and of the devices' windows are taken as local standard time; public holidays are not known.
    #[must_use]
    pub fn new(loads: &Loads, latitude_deg: f64, grid: &TimeGrid, air_c: &[f64]) -> Self {
        let base_w = match &loads.base {
            BaseUse::Yearly { energy_wh, profile } => step_means(
                &Cells::hourly(&hourly_w(*profile, &[*energy_wh], latitude_deg)),
                grid,
            ),
            BaseUse::Monthly { energy_wh, profile } => step_means(
                &Cells::hourly(&hourly_w(*profile, energy_wh, latitude_deg)),
                grid,
            ),
            BaseUse::Intervals(intervals) => {
                let cells = Cells {
                    values: &intervals.power_w,
                    cell_s: intervals.interval_s,
                };
                step_means(&cells, grid)
            }
        };
        let share = |share: f64| base_w.iter().map(|power_w| share * power_w).collect();
        Self {
            base_grid_side_w: share(1.0 - loads.backed_up_share),
            base_backed_up_w: share(loads.backed_up_share),
            devices: loads
                .devices
                .iter()
                .map(|device| DeviceSeries {
                    id: device.id,
                    side: if device.backed_up {
                        AcSide::BackedUp
                    } else {
                        AcSide::GridSide
                    },
                    power_w: device_w(&device.kind, grid, air_c),
                })
                .collect(),
        }
    }

    /// All loads on one side, W.
    #[must_use]
    pub fn side_w(&self, side: AcSide) -> Vec<f64> {
        let base_w = match side {
            AcSide::GridSide => &self.base_grid_side_w,
            AcSide::BackedUp => &self.base_backed_up_w,
        };
        let mut sum_w = base_w.clone();
        for device in self.devices.iter().filter(|device| device.side == side) {
            for (sum_w, power_w) in sum_w.iter_mut().zip(&device.power_w) {
                *sum_w += power_w;
            }
        }
        sum_w
    }
}
