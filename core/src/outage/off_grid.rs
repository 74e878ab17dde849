//! The backed-up bus alone through a whole run: a year off the grid, or one outage to look at.

use std::ops::Range;

use serde::{Deserialize, Serialize};

use super::account::OffGridAccount;
use super::plant::OutagePlant;
use super::step::{IslandSlots, IslandState, island_step};
use super::survival::{LONGEST_OUTAGE_H, StartSoc};
use crate::converter::FitProblem;
use crate::coupling::CouplingOption;
use crate::year::{Scene, YearRun};

/// A run of the backed-up bus alone.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct OffGridRun {
    /// What the run comes to.
    pub figures: OffGridFigures,
    /// The closed energy account.
    pub account: OffGridAccount,
    /// Every step.
    pub series: OffGridSeries,
}

/// What a run of the backed-up bus alone comes to.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct OffGridFigures {
    /// Energy that the loads on the backed-up side ask for, Wh.
    pub wanted_wh: f64,
    /// Energy that they were given, Wh.
    pub served_wh: f64,
    /// Given over asked for, 0 to 1; 1 if nothing is asked for.
    pub served_share: f64,
    /// Share of the time in which not all loads were served, 0 to 1.
    pub loss_of_load_probability: f64,
    /// Time in which the bus was dark, h.
    pub dark_h: f64,
    /// Longest time without a break in which it was dark, h.
    pub longest_dark_h: f64,
    /// When the longest dark time begins, h from the start of the run.
    pub longest_dark_from_h: f64,
    /// How often it went dark.
    pub went_dark: u32,
    /// Whether it is dark when the run ends.
    pub ends_dark: bool,
    /// Energy not given to devices that were switched off while the bus was alive, Wh.
    pub shed_wh: f64,
    /// AC PV throttled by command or along a droop, Wh at AC.
    pub ac_throttled_wh: f64,
    /// AC PV that fell off, was cut by a contactor, or waited to come back, Wh at AC.
    pub ac_tripped_wh: f64,
    /// AC PV while the bus was dark or the generator held it, Wh at AC.
    pub ac_idle_wh: f64,
    /// DC PV throttled, Wh at the array.
    pub dc_throttled_wh: f64,
    /// Time in which the generator ran, h.
    pub generator_h: f64,
    /// How often it was started.
    pub generator_starts: u32,
    /// Time in which it ran below its least load, h.
    pub generator_low_h: f64,
    /// Energy that it gave, Wh.
    pub generator_wh: f64,
    /// Fuel that it burnt, L.
    pub fuel_l: f64,
    /// Energy taken out of the batteries over their usable energy; none: there is no battery.
    pub equivalent_full_cycles: Option<f64>,
    /// Days of the mean load that full batteries carry alone; none: no load or no battery.
    pub days_of_autonomy: Option<f64>,
}

/// Every step of a run, one value per step; powers are means of the step, W. At each step
/// `ac_pv + dc_pv + from_battery + generator = served + to_battery + converted`, counted where
/// [`crate::year::DayBalance`] counts.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct OffGridSeries {
    /// Length of a step, s.
    pub step_s: f64,
    /// Loads on the backed-up side.
    pub wanted_w: Vec<f64>,
    /// Loads served.
    pub served_w: Vec<f64>,
    /// From the generator.
    pub generator_w: Vec<f64>,
    /// AC PV given.
    pub ac_pv_w: Vec<f64>,
    /// DC PV taken at the DC buses.
    pub dc_pv_w: Vec<f64>,
    /// From the batteries, at their DC buses.
    pub from_battery_w: Vec<f64>,
    /// Into the batteries, at their DC buses.
    pub to_battery_w: Vec<f64>,
    /// Lost in the storage inverters.
    pub converted_w: Vec<f64>,
    /// AC PV throttled.
    pub ac_throttled_w: Vec<f64>,
    /// AC PV fallen off, cut by a contactor, or waiting.
    pub ac_tripped_w: Vec<f64>,
    /// AC PV while the bus is dark or the generator holds it.
    pub ac_idle_w: Vec<f64>,
    /// DC PV throttled, at the array.
    pub dc_throttled_w: Vec<f64>,
    /// Stored energy at the end of the step, as a share of all usable energy, 0 to 1; 0 without a battery.
    pub soc: Vec<f64>,
    /// Whether the bus is dark.
    pub dark: Vec<bool>,
}

/// A year (or whatever the scene's time grid is) without a grid, from the state of charge at the start of a run on.
///
/// **Errors**: efficiency figures that no loss law has; a checked household has none.
pub fn off_grid(scene: &Scene, option: &CouplingOption) -> Result<OffGridRun, FitProblem> {
    let plant = OutagePlant::new(scene, option)?;
    let stored_wh: Vec<f64> = plant.units.iter().map(|unit| unit.initial_wh).collect();
    Ok(run_island(&plant, 0, plant.steps(), &stored_wh))
}

/// One outage of [`LONGEST_OUTAGE_H`] that begins at an hour of a run, to look at; the year goes on from its start where it
/// passes its end.
///
/// **Errors**: as [`off_grid`].
pub fn outage_from(
    scene: &Scene,
    run: &YearRun,
    hour: usize,
    start: StartSoc,
) -> Result<OffGridRun, FitProblem> {
    let plant = OutagePlant::new(scene, &run.option)?;
    let per_hour = usize::try_from(3600 / scene.grid.step_s.max(1))
        .unwrap_or(1)
        .max(1);
    let first_wh = run.stored_wh_at_midnight(scene, scene.grid.first_day);
    let from = hour.saturating_mul(per_hour) % plant.steps().max(1);
    let stored_wh: Vec<f64> = start.stored_wh(run, &first_wh, from).collect();
    let steps = usize::from(LONGEST_OUTAGE_H) * per_hour;
    Ok(run_island(&plant, from, steps, &stored_wh))
}

/// Runs the backed-up bus alone for some steps from `from` on.
fn run_island(plant: &OutagePlant, from: usize, steps: usize, stored_wh: &[f64]) -> OffGridRun {
    let mut state = IslandState::new(plant, stored_wh.iter().copied());
    let mut slots = IslandSlots::new(plant);
    let step_h = plant.step_s / 3600.0;
    let usable_wh = plant.usable_wh();
    let mut figures = OffGridFigures::default();
    let mut account = OffGridAccount::default();
    let mut series = OffGridSeries::with_room(plant.step_s, steps);
    let (mut unserved_h, mut dark_run_h, mut ran) = (0.0, 0.0, false);
    for number in 0..steps {
        let before_wh: f64 = state.units.iter().map(|unit| unit.stored_wh).sum();
        let offer = plant.offer(from + number);
        let step = island_step(plant, &offer, &mut state, &mut slots);
        let flows = OffGridAccount::of_step(plant, &offer, &slots, &step, before_wh);
        account.add(&flows, step_h);
        series.push(&flows);
        series.wanted_w.push(step.wanted_w);
        series.dark.push(step.dark);
        let after_wh: f64 = state.units.iter().map(|unit| unit.stored_wh).sum();
        series.soc.push(if usable_wh > 0.0 {
            after_wh / usable_wh
        } else {
            0.0
        });

        figures.wanted_wh += step.wanted_w * step_h;
        if step.served_w < step.wanted_w * (1.0 - 1e-9) || step.dark {
            unserved_h += step_h;
        }
        if step.dark {
            figures.went_dark += u32::from(dark_run_h == 0.0);
            dark_run_h += step_h;
            figures.dark_h += step_h;
            if dark_run_h > figures.longest_dark_h {
                figures.longest_dark_h = dark_run_h;
                figures.longest_dark_from_h = hours(number + 1, step_h) - dark_run_h;
            }
        } else {
            dark_run_h = 0.0;
            figures.shed_wh += (step.wanted_w - step.served_w).max(0.0) * step_h;
        }
        figures.ends_dark = step.dark;
        let runs = step.generator_share > 0.0;
        if let Some(generator) = plant.generator.as_ref().filter(|_| runs) {
            let run_h = step.generator_share * step_h;
            figures.generator_h += run_h;
            figures.generator_starts += u32::from(!ran);
            let least_w = generator.least_load * generator.rated_w * step.generator_share;
            if step.generator_w < least_w * (1.0 - 1e-9) {
                figures.generator_low_h += run_h;
            }
            figures.fuel_l += generator.idle_fuel_l_per_h * run_h
                + generator.fuel_l_per_kwh * step.generator_w * step_h / 1000.0;
        }
        ran = runs;
    }
    let all_h = hours(steps, step_h);
    let taken_wh = account.battery_discharge_wh + account.battery_discharge_loss_wh;
    OffGridRun {
        figures: OffGridFigures {
            served_wh: account.served_wh,
            served_share: if figures.wanted_wh > 0.0 {
                account.served_wh / figures.wanted_wh
            } else {
                1.0
            },
            loss_of_load_probability: if all_h > 0.0 { unserved_h / all_h } else { 0.0 },
            ac_throttled_wh: account.ac_throttled_wh,
            ac_tripped_wh: account.ac_tripped_wh,
            ac_idle_wh: account.ac_idle_wh,
            dc_throttled_wh: account.dc_throttled_wh,
            generator_wh: account.generator_wh,
            equivalent_full_cycles: (usable_wh > 0.0).then(|| taken_wh / usable_wh),
            days_of_autonomy: plant.days_of_autonomy(),
            ..figures
        },
        account,
        series,
    }
}

/// So many steps in hours.
fn hours(steps: usize, step_h: f64) -> f64 {
    f64::from(u32::try_from(steps).unwrap_or(u32::MAX)) * step_h
}

impl OffGridSeries {
    /// State of charge of all batteries together at an hour from the start of the run, 0 to 1; none: the run does not have it.
    #[must_use]
    pub fn soc_at(&self, hour: f64) -> Option<f64> {
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "steps of a year; a negative hour counts as the first"
        )]
        let step = (hour * 3600.0 / self.step_s) as usize;
        self.soc.get(step.saturating_sub(1)).copied()
    }

    fn with_room(step_s: f64, steps: usize) -> Self {
        let room = || Vec::with_capacity(steps);
        Self {
            step_s,
            wanted_w: room(),
            served_w: room(),
            generator_w: room(),
            ac_pv_w: room(),
            dc_pv_w: room(),
            from_battery_w: room(),
            to_battery_w: room(),
            converted_w: room(),
            ac_throttled_w: room(),
            ac_tripped_w: room(),
            ac_idle_w: room(),
            dc_throttled_w: room(),
            soc: room(),
            dark: Vec::with_capacity(steps),
        }
    }

    fn push(&mut self, flows: &OffGridAccount) {
        self.served_w.push(flows.served_wh);
        self.generator_w.push(flows.generator_wh);
        self.ac_pv_w.push(flows.ac_pv_wh);
        self.dc_pv_w.push(flows.dc_pv_wh);
        self.from_battery_w.push(flows.battery_discharge_wh);
        self.to_battery_w.push(flows.battery_charge_wh);
        self.converted_w.push(flows.storage_inverter_loss_wh);
        self.ac_throttled_w.push(flows.ac_throttled_wh);
        self.ac_tripped_w.push(flows.ac_tripped_wh);
        self.ac_idle_w.push(flows.ac_idle_wh);
        self.dc_throttled_w.push(flows.dc_throttled_wh);
    }

    /// Some steps of it, such as a day; none if it does not have them all.
    #[must_use]
    pub fn part(&self, steps: Range<usize>) -> Option<Self> {
        let cut = |series: &[f64]| series.get(steps.clone()).map(<[f64]>::to_vec);
        Some(Self {
            step_s: self.step_s,
            wanted_w: cut(&self.wanted_w)?,
            served_w: cut(&self.served_w)?,
            generator_w: cut(&self.generator_w)?,
            ac_pv_w: cut(&self.ac_pv_w)?,
            dc_pv_w: cut(&self.dc_pv_w)?,
            from_battery_w: cut(&self.from_battery_w)?,
            to_battery_w: cut(&self.to_battery_w)?,
            converted_w: cut(&self.converted_w)?,
            ac_throttled_w: cut(&self.ac_throttled_w)?,
            ac_tripped_w: cut(&self.ac_tripped_w)?,
            ac_idle_w: cut(&self.ac_idle_w)?,
            dc_throttled_w: cut(&self.dc_throttled_w)?,
            soc: cut(&self.soc)?,
            dark: self.dark.get(steps.clone())?.to_vec(),
        })
    }
}
