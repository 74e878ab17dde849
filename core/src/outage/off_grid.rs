//! The backed-up bus alone through a whole run: a year off the grid, or one outage to look at.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::plant::{Offer, OutagePlant};
use super::step::{IslandSlots, IslandState, IslandStep, island_step};
use super::survival::{LONGEST_OUTAGE_H, StartSoc};
use crate::converter::FitProblem;
use crate::coupling::CouplingOption;
use crate::year::{AcFlows, Flows, IslandFlows, Ledger, Scene, WaysAccount, YearRun};

/// A run of the backed-up bus alone.
#[derive(Clone, Debug)]
pub struct OffGridRun {
    /// What the run comes to.
    pub figures: OffGridFigures,
    /// The closed energy account of the bus.
    pub ledger: Ledger,
    /// Every flow of what stands on it.
    pub flows: Flows,
    /// The ways that the energy went.
    pub(crate) ways: WaysAccount,
    /// What the bus remembers at the beginning of each day of the run.
    pub(crate) midnights: Vec<IslandState>,
}

/// What a run of the backed-up bus alone comes to.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
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
    /// What that fuel costs, currency; none: there is no generator, or the price of its fuel is not known.
    pub fuel_cur: Option<f64>,
    /// Energy taken out of the batteries over their usable energy; none: there is no battery.
    pub equivalent_full_cycles: Option<f64>,
    /// Days of the mean load that full batteries carry alone; none: no load or no battery.
    pub days_of_autonomy: Option<f64>,
}

/// A year (or whatever the scene's time grid is) without a grid, from the state of charge at the start of a run on.
///
/// **Errors**: efficiency figures that no loss law has; a checked household has none.
pub fn off_grid(scene: &Scene, option: &CouplingOption) -> Result<OffGridRun, FitProblem> {
    let plant = OutagePlant::new(scene, option)?;
    let stored_wh = plant.units.iter().map(|unit| unit.initial_wh);
    let state = IslandState::new(&plant, stored_wh);
    Ok(run_island(&plant, 0, plant.steps(), state))
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
    let state = IslandState::new(&plant, start.stored_wh(run, &first_wh, from));
    let steps = usize::from(LONGEST_OUTAGE_H) * per_hour;
    Ok(run_island(&plant, from, steps, state))
}

/// Runs the backed-up bus alone for some steps from `from` on.
pub(crate) fn run_island(
    plant: &OutagePlant,
    from: usize,
    steps: usize,
    mut state: IslandState,
) -> OffGridRun {
    let step_h = plant.step_s / 3600.0;
    let per_day = plant.steps_per_day();
    let stored_wh = |state: &IslandState| -> Vec<f64> {
        state.units.iter().map(|unit| unit.stored_wh).collect()
    };
    let mut slots = IslandSlots::new(plant);
    let mut before_wh = stored_wh(&state);
    let mut keeping = Keeping {
        figures: OffGridFigures::default(),
        ledger: Ledger::default(),
        flows: Flows::with_room(plant.inverters.len(), plant.units.len(), steps),
        island: IslandFlows::default(),
        ways: WaysAccount::new(before_wh.iter().copied()),
        unserved_h: 0.0,
        dark_run_h: 0.0,
        generator_ran: false,
    };
    let mut midnights = Vec::new();
    for number in 0..steps {
        if number.is_multiple_of(per_day) {
            midnights.push(state.clone());
        }
        let offer = plant.offer(from + number);
        let step = island_step(plant, &offer, &mut state, &mut slots);
        keeping.keep_flows(plant, &offer, &slots, &step, &mut before_wh, step_h);
        keeping.count(plant, &step, number, step_h);
    }
    let Keeping {
        figures,
        ledger,
        mut flows,
        island,
        ways,
        unserved_h,
        ..
    } = keeping;
    flows.island = Some(island);
    let all_h = hours(steps, step_h);
    let usable_wh = plant.usable_wh();
    let taken_wh = ledger.battery_discharge_wh + ledger.battery_discharge_loss_wh;
    OffGridRun {
        figures: OffGridFigures {
            served_wh: ledger.load_wh,
            served_share: if figures.wanted_wh > 0.0 {
                ledger.load_wh / figures.wanted_wh
            } else {
                1.0
            },
            loss_of_load_probability: if all_h > 0.0 { unserved_h / all_h } else { 0.0 },
            dc_throttled_wh: ledger.dc_pv_throttled_wh,
            generator_wh: ledger.generator_wh,
            fuel_cur: (plant.generator.as_ref())
                .and_then(|generator| Some(generator.fuel_cur_per_l? * figures.fuel_l)),
            equivalent_full_cycles: (usable_wh > 0.0).then(|| taken_wh / usable_wh),
            days_of_autonomy: plant.days_of_autonomy(),
            ..figures
        },
        ledger,
        flows,
        ways,
        midnights,
    }
}

/// What is kept of a run while it goes on.
struct Keeping {
    figures: OffGridFigures,
    ledger: Ledger,
    flows: Flows,
    island: IslandFlows,
    ways: WaysAccount,
    unserved_h: f64,
    /// Time for which the bus has been dark without a break, h.
    dark_run_h: f64,
    generator_ran: bool,
}

impl Keeping {
    /// Books the flows of a step.
    ///
    /// - `before_wh`: what each unit held at its start, which becomes what it holds at its end, Wh
    fn keep_flows(
        &mut self,
        plant: &OutagePlant,
        offer: &Offer<'_>,
        slots: &IslandSlots,
        step: &IslandStep,
        before_wh: &mut [f64],
        step_h: f64,
    ) {
        let flows = &mut self.flows;
        let mut book = Ledger {
            generator_wh: step.generator_w,
            load_wh: step.served_w,
            ..Ledger::default()
        };
        // AC PV gives only while a storage inverter holds the bus and no generator runs.
        let held_share = if step.generator_share > 0.0 {
            0.0
        } else {
            1.0 - step.dark_share
        };
        for (((slot, made), offered_w), flow) in (slots.pv.iter())
            .zip(offer.made)
            .zip(offer.offered_dc_w)
            .zip(&mut flows.inverters)
        {
            let on_share = if slot.off { 0.0 } else { slot.on_share };
            let idle_w = slot.offered_w * (1.0 - held_share);
            let tripped_w = slot.offered_w * held_share * (1.0 - on_share);
            let cut_w = slot.offered_w - slot.ac_w;
            self.figures.ac_idle_wh += idle_w * step_h;
            self.figures.ac_tripped_wh += tripped_w * step_h;
            self.figures.ac_throttled_wh += (cut_w - idle_w - tripped_w) * step_h;
            book.ac_array_wh += offered_w;
            book.pv_inverter_loss_wh += made.loss_w;
            book.pv_inverter_clipped_wh += made.clipped_w;
            book.pv_inverter_ac_wh += slot.ac_w;
            book.ac_pv_cut_wh += cut_w;
            flow.ac_w.push(slot.ac_w);
            flow.cut_w.push(cut_w);
            flow.clipped_w.push(made.clipped_w);
        }
        // The generator takes the place of the meter: AC PV and storage meet the loads before it.
        let ac_pv_w = book.pv_inverter_ac_wh;
        let ac_flows = AcFlows::new(step.served_w, ac_pv_w, step.generator_w, &slots.units);
        self.ways.begin_step(
            &ac_flows,
            book.ac_array_wh - book.pv_inverter_clipped_wh,
            ac_pv_w + book.ac_pv_cut_wh,
            step_h,
        );
        for (number, ((((slot, after), unit), offered_w), (flow, stored_wh))) in
            (slots.units.iter())
                .zip(&slots.after)
                .zip(&plant.units)
                .zip(offer.unit_dc_w)
                .zip(flows.units.iter_mut().zip(before_wh))
                .enumerate()
        {
            book.dc_array_wh += offered_w;
            book.mppt_clipped_wh += unit.clipped_w(*offered_w);
            (self.ways).add_unit(number, slot, unit, *stored_wh, after, &ac_flows, step_h);
            unit.book(&mut book, slot, *stored_wh, after, step_h);
            *stored_wh = after.stored_wh;
            flow.push(unit, slot, after.stored_wh);
        }
        flows.meter_w.push(0.0);
        flows.transfer_w.push(0.0);
        (flows.loss_w).push(book.loss_wh() + book.pv_inverter_clipped_wh + book.mppt_clipped_wh);
        let island = &mut self.island;
        island.wanted_w.push(step.wanted_w);
        island.served_w.push(step.served_w);
        island.shed.push(step.shed);
        island.supplied_share.push(step.supplied_share());
        island.dark_share.push(step.dark_share);
        island.generator_w.push(step.generator_w);
        self.ledger.add(&book, step_h);
    }

    /// Counts what a step adds to the figures.
    fn count(&mut self, plant: &OutagePlant, step: &IslandStep, number: usize, step_h: f64) {
        let figures = &mut self.figures;
        figures.wanted_wh += step.wanted_w * step_h;
        let live_share = 1.0 - step.dark_share;
        let live_wanted_w = live_share * step.wanted_w;
        if step.served_w < live_wanted_w * (1.0 - 1e-9) {
            figures.shed_wh += (live_wanted_w - step.served_w) * step_h;
            self.unserved_h += step_h;
        } else {
            self.unserved_h += step.dark_share * step_h;
        }
        // A step is dark at its end, or as a whole.
        if live_share > 0.0 {
            self.dark_run_h = 0.0;
        }
        if step.goes_dark() {
            figures.went_dark += u32::from(self.dark_run_h == 0.0);
            self.dark_run_h += step.dark_share * step_h;
            figures.dark_h += step.dark_share * step_h;
            if self.dark_run_h > figures.longest_dark_h {
                figures.longest_dark_h = self.dark_run_h;
                figures.longest_dark_from_h = hours(number + 1, step_h) - self.dark_run_h;
            }
        }
        figures.ends_dark = step.goes_dark();
        let runs = step.generator_share > 0.0;
        if let Some(generator) = plant.generator.as_ref().filter(|_| runs) {
            let run_h = step.generator_share * step_h;
            figures.generator_h += run_h;
            figures.generator_starts += u32::from(!self.generator_ran);
            let least_w = generator.least_load * generator.rated_w * step.generator_share;
            if step.generator_w < least_w * (1.0 - 1e-9) {
                figures.generator_low_h += run_h;
            }
            figures.fuel_l += generator.idle_fuel_l_per_h * run_h
                + generator.fuel_l_per_kwh * step.generator_w * step_h / 1000.0;
        }
        self.generator_ran = runs;
    }
}

/// So many steps in hours.
fn hours(steps: usize, step_h: f64) -> f64 {
    f64::from(u32::try_from(steps).unwrap_or(u32::MAX)) * step_h
}
