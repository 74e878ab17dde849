//! A drill: one simulated outage of an option, from a day and hour of its year.

use serde::{Deserialize, Serialize};

use super::advice::{Advice, advise};
use super::engine::{Pace, run};
use super::plant::{IslandDrive, IslandLoad, IslandPlant, LoadStart};
use super::record::IslandRun;
use crate::check::Checked;
use crate::climate::ClimateGrid;
use crate::converter::FitProblem;
use crate::coupling::CouplingOption;
use crate::household::{AcSide, Household, OptionId, PvInverterId, StorageId};
use crate::seconds::SecondsDay;
use crate::sky::DAYS_PER_YEAR;
use crate::year::{NoClimate, Scene, YearRun};

/// Shortest and longest drill, h.
pub const DRILL_LENGTH_H: core::ops::RangeInclusive<f64> = 0.1..=72.0;

const SECONDS_PER_DAY: usize = 86_400;
/// Time that is added to a drill for joining the grid again, s.
const JOINING_S: usize = 60;
/// Seed of clouds and switching: every drill of a day meets the same ones.
const SEED: u64 = 1;

/// What is to be tried.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct DrillCase {
    /// Day of the year on which the grid goes, 0 is 1 January, to 364.
    pub day: u32,
    /// Hour of that day, local standard time, 0 to 24.
    pub from_h: f64,
    /// How long the grid is gone, h; see [`DRILL_LENGTH_H`].
    pub length_h: f64,
    /// State of charge of every battery at that moment, 0 to 1; none: what normal running has left in it.
    pub soc: Option<f64>,
}

/// Moments that are worth a drill.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum DrillMoment {
    /// The day on which the sun brings least against what the backed-up loads want.
    WorstDay,
    /// The noon with the most AC PV on the backed-up side against its loads, the battery full.
    FullAtNoon,
    /// An hour before the first light of this day, the battery at its lowest.
    EmptyAtDawn {
        /// Day of the year, 0 is 1 January.
        day: u32,
    },
}

/// A drill that was run.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Drill {
    /// The option.
    pub option: OptionId,
    /// What was tried.
    pub case: DrillCase,
    /// Nominal frequency, Hz.
    pub nominal_hz: f64,
    /// The PV inverters of the island, in the order of the run's numbers.
    pub inverters: Vec<PvInverterId>,
    /// Its storage units, in that order.
    pub units: Vec<StorageId>,
    /// Its loads by name, in that order; the first is the base use.
    pub loads: Vec<String>,
    /// What happened.
    pub run: IslandRun,
    /// What would mend what went wrong.
    pub advice: Vec<Advice>,
}

/// Why a drill cannot be run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum DrillProblem {
    /// The site takes its weather from the built-in grid, and there is none at hand.
    NoClimate,
    /// Efficiency figures that no loss law has.
    Fit(FitProblem),
}

impl From<NoClimate> for DrillProblem {
    fn from(_: NoClimate) -> Self {
        Self::NoClimate
    }
}

impl From<FitProblem> for DrillProblem {
    fn from(problem: FitProblem) -> Self {
        Self::Fit(problem)
    }
}

/// Runs a drill: what stands on the backed-up side of the option that was run, second by second, with passing clouds and loads
/// that switch. Numbers out of their range are taken as its nearest end.
///
/// - `scene`, `year`: the year of the option, for what the batteries hold at that moment
///
/// **Errors**: see [`DrillProblem`].
pub fn drill(
    household: &Checked<Household>,
    climate: Option<&ClimateGrid>,
    (scene, year): (&Scene, &YearRun),
    case: &DrillCase,
) -> Result<Drill, DrillProblem> {
    let option = &year.option;
    let case = DrillCase {
        day: case.day.min(DAYS_PER_YEAR - 1),
        from_h: within(case.from_h, 0.0, 24.0),
        length_h: within(
            case.length_h,
            *DRILL_LENGTH_H.start(),
            *DRILL_LENGTH_H.end(),
        ),
        soc: case.soc.map(|soc| within(soc, 0.0, 1.0)),
    };
    let stored_wh: Vec<f64> = match case.soc {
        Some(soc) => (option.storage.iter())
            .map(|unit| soc * unit.battery.usable_wh)
            .collect(),
        None => year.stored_wh_at(scene, case.day, case.from_h),
    };
    let plant = IslandPlant::new(&household.service, option, &stored_wh)?;
    let drive = drive(household, climate, option, &plant, &case)?;
    let run = run(&plant, &drive, &Pace::default());
    let advice = advise(&plant, &drive, &run);
    Ok(Drill {
        option: option.id,
        case,
        nominal_hz: plant.nominal_hz,
        inverters: plant.inverters.iter().map(|one| one.id).collect(),
        units: plant.units.iter().map(|one| one.id).collect(),
        loads: drive.loads.into_iter().map(|load| load.name).collect(),
        run,
        advice,
    })
}

fn within(value: f64, least: f64, most: f64) -> f64 {
    if value.is_finite() {
        value.clamp(least, most)
    } else {
        least
    }
}

/// The seconds of an outage for what stands on the backed-up side.
fn drive(
    household: &Checked<Household>,
    climate: Option<&ClimateGrid>,
    option: &CouplingOption,
    plant: &IslandPlant,
    case: &DrillCase,
) -> Result<IslandDrive, DrillProblem> {
    let (first, length) = (seconds(case.from_h), seconds(case.length_h));
    // Off the grid nothing comes back to be joined.
    let joining = if household.service.utility {
        JOINING_S
    } else {
        0
    };
    let mut left = length + joining;
    let devices = || {
        let all = household.loads.devices.iter();
        all.filter(|device| device.backed_up)
    };
    let mut drive = IslandDrive {
        step_s: 1.0,
        inverter_ac_w: vec![Vec::with_capacity(left); plant.inverters.len()],
        unit_dc_w: vec![Vec::with_capacity(left); plant.units.len()],
        loads: core::iter::once(("Base use".to_owned(), None))
            .chain(devices().map(|device| (device.name.clone(), device.shed_order)))
            .map(|(name, shed_order)| IslandLoad {
                name,
                shed_order,
                power_w: Vec::with_capacity(left),
            })
            .collect(),
        starts: Vec::new(),
        air_c: Vec::with_capacity(left),
        #[allow(clippy::cast_precision_loss, reason = "at most three days of seconds")]
        grid_back_s: (household.service.utility).then_some(length as f64),
    };
    let (mut day, mut from) = (
        case.day + u32::from(first >= SECONDS_PER_DAY),
        first % SECONDS_PER_DAY,
    );
    let mut gone_s = 0.0;
    while left > 0 {
        let seconds = SecondsDay::new(household, option, climate, day % DAYS_PER_YEAR, SEED)?;
        let to = SECONDS_PER_DAY.min(from + left);
        take_day(
            &mut drive,
            option,
            plant,
            &seconds,
            from..to,
            gone_s,
            devices().map(|one| one.id),
        );
        #[allow(clippy::cast_precision_loss, reason = "at most three days of seconds")]
        {
            gone_s += (to - from) as f64;
        }
        left -= to - from;
        (day, from) = (day + 1, 0);
    }
    Ok(drive)
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "at most three days of seconds, never negative"
)]
fn seconds(hours: f64) -> usize {
    libm::round(hours * 3600.0) as usize
}

/// Adds the seconds `span` of a day to the drive, which has `gone_s` of them already.
fn take_day(
    drive: &mut IslandDrive,
    option: &CouplingOption,
    plant: &IslandPlant,
    seconds: &SecondsDay,
    span: core::ops::Range<usize>,
    gone_s: f64,
    devices: impl Iterator<Item = crate::household::DeviceId> + Clone,
) {
    let offered_w = |second: usize, arrays: &[&[f64]]| -> f64 {
        let offers = arrays
            .iter()
            .map(|array| array.get(second).copied().unwrap_or(0.0));
        offers.sum()
    };
    for (series, inverter) in drive.inverter_ac_w.iter_mut().zip(&plant.inverters) {
        let arrays: Vec<&[f64]> = option
            .arrays_on_inverter(inverter.id)
            .filter_map(|array| seconds.array_dc_w(array.id))
            .collect();
        series.extend(
            (span.clone()).map(|second| inverter.law.invert_pv(offered_w(second, &arrays)).ac_w),
        );
    }
    for (series, placed) in drive.unit_dc_w.iter_mut().zip(&plant.units) {
        let arrays: Vec<&[f64]> = option
            .arrays_on_unit(placed.id)
            .filter_map(|array| seconds.array_dc_w(array.id))
            .collect();
        series.extend((span.clone()).map(|second| offered_w(second, &arrays)));
    }
    let own = devices.clone().map(|id| {
        let found = seconds.devices.iter().find(|device| device.id == id);
        found.map_or(&[][..], |device| &device.power_w)
    });
    let powers = core::iter::once(&seconds.base_backed_up_w[..]).chain(own);
    for (load, power_w) in drive.loads.iter_mut().zip(powers) {
        let power_w = |second: usize| power_w.get(second).copied().unwrap_or(0.0);
        load.power_w.extend((span.clone()).map(power_w));
    }
    let air_c = |second: usize| seconds.air_c.get(second).copied().unwrap_or(20.0);
    drive.air_c.extend((span.clone()).map(air_c));
    #[allow(clippy::cast_precision_loss, reason = "seconds of a day")]
    let (from_s, to_s) = (span.start as f64, span.end as f64);
    for start in &seconds.starts {
        let load = match start.device {
            None => Some(0),
            Some(id) => devices
                .clone()
                .position(|own| own == id)
                .map(|number| number + 1),
        };
        if let (Some(load), true, AcSide::BackedUp) =
            (load, (from_s..to_s).contains(&start.at_s), start.side)
        {
            drive.starts.push(LoadStart {
                load,
                at_s: start.at_s - from_s + gone_s,
                inrush: start.inrush,
            });
        }
    }
}

/// The drill of a moment, for an option that was run.
#[must_use]
pub fn drill_at(scene: &Scene, year: &YearRun, moment: DrillMoment) -> DrillCase {
    let per_day = scene.steps_per_day();
    let offers = year.backed_up_pv_w();
    let loads = &scene.load_backed_up_w;
    let spare_w = |offer_w: &[f64], step: usize| -> f64 {
        let at = |series: &[f64]| series.get(step).copied().unwrap_or(0.0);
        at(offer_w) - at(loads)
    };
    let days = 0..DAYS_PER_YEAR;
    match moment {
        DrillMoment::WorstDay => {
            let spare_wh = |day: u32| -> f64 {
                day_steps(day, per_day)
                    .map(|step| spare_w(&offers.all_w, step))
                    .sum()
            };
            DrillCase {
                day: days
                    .min_by(|a, b| spare_wh(*a).total_cmp(&spare_wh(*b)))
                    .unwrap_or(0),
                from_h: 0.0,
                length_h: 24.0,
                soc: None,
            }
        }
        DrillMoment::FullAtNoon => {
            let at_noon_w = |day: u32| {
                let noon = day_steps(day, per_day).start + per_day / 2;
                (noon..noon + per_day / 24 + 1)
                    .map(|step| spare_w(&offers.ac_w, step))
                    .sum::<f64>()
            };
            DrillCase {
                day: days
                    .max_by(|a, b| at_noon_w(*a).total_cmp(&at_noon_w(*b)))
                    .unwrap_or(0),
                from_h: 12.0,
                length_h: 4.0,
                soc: Some(1.0),
            }
        }
        DrillMoment::EmptyAtDawn { day } => {
            let day = day.min(DAYS_PER_YEAR - 1);
            let light = day_steps(day, per_day)
                .position(|step| offers.all_w.get(step).is_some_and(|power_w| *power_w > 0.0));
            #[allow(clippy::cast_precision_loss, reason = "steps of a day")]
            let light_h = light.map_or(6.0, |step| step as f64 * 24.0 / per_day as f64);
            DrillCase {
                day,
                from_h: (light_h - 1.0).max(0.0),
                length_h: 12.0,
                soc: Some(year.option.island.shut_down_soc),
            }
        }
    }
}

fn day_steps(day: u32, per_day: usize) -> core::ops::Range<usize> {
    let from = usize::try_from(day).unwrap_or(0) * per_day;
    from..from + per_day
}
