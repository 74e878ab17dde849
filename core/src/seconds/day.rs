//! The day and what it is made of.

use super::appliances::{BaseSeconds, base_seconds};
use super::clouds::Clouds;
use super::cycling::let_cycle;
use crate::check::Checked;
use crate::climate::ClimateGrid;
use crate::coupling::CouplingOption;
use crate::household::{AcSide, ArrayId, DeviceId, Household, Start};
use crate::loads::{DeviceSeries, LoadSeries};
use crate::maths::{Random, interpolate};
use crate::sky::{TimeGrid, haurwitz_ghi_w_m2};
use crate::year::{NoClimate, Scene};

const SECONDS_PER_DAY: usize = 86_400;
const MINUTE_S: u32 = 60;

/// Streams of the random generator: each day of the year has this many, from a number on that the weather does not use.
const STREAMS_PER_DAY: u64 = 4;
const FIRST_STREAM: u64 = 10_000;

/// A day of one option in short steps. Every series has one value per step; powers are means of the step, W.
#[derive(Clone, Debug, PartialEq)]
pub struct SecondsDay {
    /// Day of the year, 0 is 1 January, to 364.
    pub day: u32,
    /// Length of a step, s.
    pub step_s: f64,
    /// DC power that each array could give.
    pub arrays: Vec<ArraySeconds>,
    /// Base use on the grid side.
    pub base_grid_side_w: Vec<f64>,
    /// Base use on the backed-up side.
    pub base_backed_up_w: Vec<f64>,
    /// Each device, in the order of the loads.
    pub devices: Vec<DeviceSeries>,
    /// Air temperature, °C.
    pub air_c: Vec<f64>,
    /// What starts hard, in order of time. The power of a start is on top of the series, which hold running power only.
    pub starts: Vec<HardStart>,
}

/// DC power that an array could give.
#[derive(Clone, Debug, PartialEq)]
pub struct ArraySeconds {
    /// The array.
    pub id: ArrayId,
    /// Power of each step, W.
    pub dc_w: Vec<f64>,
}

/// A start that takes more than running does.
#[derive(Clone, Debug, PartialEq)]
pub struct HardStart {
    /// When it begins, s from midnight.
    pub at_s: f64,
    /// What it takes.
    pub inrush: Start,
    /// The device's name, or the appliance's within the base use.
    pub name: String,
    /// The device; none: it is within the base use.
    pub device: Option<DeviceId>,
    /// Side on which it is wired.
    pub side: AcSide,
}

impl SecondsDay {
    /// A day of an option in steps of 1 s.
    ///
    /// - `day`: day of the year, 0 is 1 January, to 364
    /// - `seed`: another seed, other clouds and other switching; options of one household with one seed have the same
    ///
    /// Each minute of each array has the mean that the day has in steps of a minute; each quarter-hour of the base use on each
    /// side has its mean; each half-hour of a device that follows the air has its energy; the others run by the clock to the
    /// second.
    ///
    /// **Errors**: as [`Scene::new`].
    pub fn new(
        household: &Checked<Household>,
        option: &CouplingOption,
        climate: Option<&ClimateGrid>,
        day: u32,
        seed: u64,
    ) -> Result<Self, NoClimate> {
        let utc_offset_s = Scene::utc_offset_s(household);
        let minutes = TimeGrid::days(day, 1, MINUTE_S, utc_offset_s);
        let scene = Scene::over(household, climate, minutes, None)?;
        Ok(Self::in_scene(household, option, &scene, seed))
    }

    /// The first day of a scene in steps of 1 s; see [`SecondsDay::new`], which makes a scene in steps of a minute. Clouds pass
    /// at the pace of the scene's steps: once or twice in each.
    #[must_use]
    pub fn in_scene(
        household: &Checked<Household>,
        option: &CouplingOption,
        scene: &Scene,
        seed: u64,
    ) -> Self {
        let grid = scene.grid;
        let day = grid.first_day;
        let step_s = usize::try_from(grid.step_s.max(1)).unwrap_or(1);
        let steps = (SECONDS_PER_DAY / step_s).min(grid.len());
        let stream = FIRST_STREAM + STREAMS_PER_DAY * u64::from(day);

        let clearness = (scene.suns().suns.iter())
            .zip(&scene.weather().ghi_w_m2)
            .take(steps)
            .map(|(sun, ghi_w_m2)| {
                let cloudless_w_m2 = haurwitz_ghi_w_m2(sun.direction.up);
                if cloudless_w_m2 > 0.0 {
                    ghi_w_m2 / cloudless_w_m2
                } else {
                    1.0
                }
            });
        let clouds = Clouds::new(clearness, &mut Random::seeded(seed, stream));
        let arrays = (option.arrays.iter())
            .filter_map(|array| {
                let mean_w = scene.array_dc_w(array)?;
                let mut dc_w = clouds.laid_into(mean_w.get(..steps)?, step_s);
                dc_w.resize(SECONDS_PER_DAY, 0.0);
                Some(ArraySeconds { id: array.id, dc_w })
            })
            .collect();

        let seconds = TimeGrid::days(day, 1, 1, grid.utc_offset_s);
        let hours: Vec<f64> = (0..steps).map(|step| grid.hour(step)).collect();
        let air_c: Vec<f64> = (0..seconds.len())
            .map(|second| interpolate(seconds.hour(second), &hours, scene.air_c()))
            .collect();
        let site = &household.site;
        let loads = LoadSeries::new(&household.loads, site.latitude_deg, &seconds, &air_c);
        let mut random = Random::seeded(seed, stream + 1);
        let [grid_side, backed_up] = base_seconds(
            &loads.base_grid_side_w,
            &loads.base_backed_up_w,
            household.loads.backed_up_share,
            &mut random,
        );
        let mut devices = loads.devices;
        let mut random = Random::seeded(seed, stream + 2);
        for (device, series) in household.loads.devices.iter().zip(&mut devices) {
            let_cycle(&device.kind, &mut series.power_w, &mut random);
        }

        let mut starts = base_starts(household, [&grid_side, &backed_up]);
        for (device, series) in household.loads.devices.iter().zip(&devices) {
            let Some(start) = device.start else {
                continue;
            };
            let mut before_w = 0.0;
            for (second, power_w) in series.power_w.iter().enumerate() {
                if before_w <= 0.0 && *power_w > 0.0 && second > 0 {
                    starts.push(HardStart {
                        at_s: super::path::seconds(second),
                        inrush: start,
                        name: device.name.clone(),
                        device: Some(device.id),
                        side: series.side,
                    });
                }
                before_w = *power_w;
            }
        }
        starts.sort_by(|one, other| one.at_s.total_cmp(&other.at_s));
        Self {
            day,
            step_s: 1.0,
            arrays,
            base_grid_side_w: grid_side.power_w,
            base_backed_up_w: backed_up.power_w,
            devices,
            air_c,
            starts,
        }
    }

    /// A day of series that are at hand: `load_backed_up_w` sets the number of steps, there are no devices and no starts, and the
    /// air has one temperature.
    #[must_use]
    pub fn of_series(
        step_s: f64,
        arrays: Vec<ArraySeconds>,
        load_grid_side_w: Vec<f64>,
        load_backed_up_w: Vec<f64>,
        air_c: f64,
    ) -> Self {
        Self {
            day: 0,
            step_s,
            arrays,
            air_c: vec![air_c; load_backed_up_w.len()],
            base_grid_side_w: load_grid_side_w,
            base_backed_up_w: load_backed_up_w,
            devices: Vec::new(),
            starts: Vec::new(),
        }
    }

    /// Number of steps that every series has.
    #[must_use]
    pub fn steps(&self) -> usize {
        let others = [self.base_backed_up_w.len(), self.air_c.len()];
        let arrays = self.arrays.iter().map(|array| array.dc_w.len());
        let devices = self.devices.iter().map(|device| device.power_w.len());
        others
            .into_iter()
            .chain(arrays)
            .chain(devices)
            .fold(self.base_grid_side_w.len(), usize::min)
    }

    /// DC power that an array could give, W; none: the day does not have that array.
    #[must_use]
    pub fn array_dc_w(&self, id: ArrayId) -> Option<&[f64]> {
        let array = self.arrays.iter().find(|array| array.id == id)?;
        Some(&array.dc_w)
    }

    /// All loads on one side, W.
    #[must_use]
    pub fn load_w(&self, side: AcSide) -> Vec<f64> {
        let mut sum_w = match side {
            AcSide::GridSide => self.base_grid_side_w.clone(),
            AcSide::BackedUp => self.base_backed_up_w.clone(),
        };
        for device in self.devices.iter().filter(|device| device.side == side) {
            for (sum_w, power_w) in sum_w.iter_mut().zip(&device.power_w) {
                *sum_w += power_w;
            }
        }
        sum_w
    }
}

/// Hard starts within the base use: those of the pump, and where no pump runs the first appliance of the day.
fn base_starts(household: &Household, sides: [&BaseSeconds; 2]) -> Vec<HardStart> {
    let Some(start) = household.loads.base_start else {
        return Vec::new();
    };
    let all: Vec<_> = [AcSide::GridSide, AcSide::BackedUp]
        .into_iter()
        .zip(sides)
        .flat_map(|(side, base)| base.periods.iter().map(move |period| (side, period)))
        .collect();
    let mut hard: Vec<_> = all
        .iter()
        .filter(|(_, period)| period.starts_hard)
        .collect();
    if hard.is_empty() {
        hard.extend(all.iter().min_by_key(|(_, period)| period.at_s));
    }
    hard.into_iter()
        .map(|(side, period)| HardStart {
            at_s: super::path::seconds(period.at_s),
            inrush: start,
            name: period.name.to_owned(),
            device: None,
            side: *side,
        })
        .collect()
}
