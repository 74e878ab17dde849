//! One step of the backed-up bus alone.
//!
//! Everything is a mean of the step: what happens within it (the seconds of a trip, a motor's start) is the matter of
//! [`crate::island`].
//!
//! What is served of a step: as many places of the shed order as it takes are switched off, those first that come first in it,
//! until storage and AC PV carry what is left for the whole step. If they carry not even the loads that are never shed because
//! the batteries hold too little, they carry these until the first battery that is needed is empty, and the bus is dark for the
//! rest of the step. If they do not carry them because their power is too small, the step is dark as a whole: a base load that
//! is on the bus cannot be served in part. With a generator a step that storage does not carry is the generator's as a whole.

use super::held_back::{IslandPv, give_all, hold_back};
use super::plant::{Offer, OutagePlant};
use crate::battery::BatteryStep;
use crate::coupling::{Generator, IslandMeans};
use crate::running::{Reach, UnitSlot, hold_island, island_reach};
use crate::year::PlantUnit;

/// What an island remembers from one step to the next.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct IslandState {
    pub(super) units: Vec<UnitState>,
    pub(super) pv: Vec<InverterState>,
    pub(super) generator_runs: bool,
    /// Time until the generator that was called gives power, s.
    pub(super) generator_in_s: f64,
}

/// A storage unit between two steps.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct UnitState {
    pub(super) stored_wh: f64,
    /// Whether its inverter shut down and waits for its battery to be charged.
    pub(super) shut: bool,
}

/// A PV inverter between two steps.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct InverterState {
    /// Time until it gives power again, from the start of the next step, s.
    pub(super) waiting_s: f64,
    /// Whether its contactor stands open.
    pub(super) open: bool,
}

/// Room for one step's flows, used over and over.
#[derive(Clone, Debug)]
pub(super) struct IslandSlots {
    pub(super) units: Vec<UnitSlot>,
    pub(super) after: Vec<BatteryStep>,
    pub(super) pv: Vec<IslandPv>,
}

/// What a step came to. Powers are means of the step, W.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct IslandStep {
    /// Loads on the backed-up side.
    pub(super) wanted_w: f64,
    /// Loads served.
    pub(super) served_w: f64,
    /// Places in the shed order that were switched off.
    pub(super) shed: usize,
    /// Share of the step, at its end, for which the bus was dark, 0 to 1.
    pub(super) dark_share: f64,
    /// Share of the step for which the generator ran, 0 to 1.
    pub(super) generator_share: f64,
    /// AC power of the generator.
    pub(super) generator_w: f64,
}

impl IslandStep {
    /// Whether the bus was dark for any part of it.
    pub(super) fn goes_dark(&self) -> bool {
        self.dark_share > 0.0
    }

    /// Share of the step in which the loads that were not shed were served, 0 to 1.
    pub(super) fn supplied_share(&self) -> f64 {
        if self.generator_share > 0.0 {
            self.generator_share
        } else {
            1.0 - self.dark_share
        }
    }

    /// The step is served to its end.
    fn serve(&mut self, served_w: f64, shed: usize) {
        (self.served_w, self.shed, self.dark_share) = (served_w, shed, 0.0);
    }
}

impl IslandState {
    /// An island that begins now with this energy in its units, Wh: PV inverters run on.
    pub(crate) fn new(plant: &OutagePlant, stored_wh: impl Iterator<Item = f64>) -> Self {
        let mut state = Self {
            units: vec![UnitState::default(); plant.units.len()],
            pv: vec![InverterState::default(); plant.inverters.len()],
            generator_runs: false,
            generator_in_s: 0.0,
        };
        state.begin(stored_wh);
        state
    }

    /// Begins anew with this energy in the units, Wh.
    pub(super) fn begin(&mut self, stored_wh: impl Iterator<Item = f64>) {
        for (unit, stored_wh) in self.units.iter_mut().zip(stored_wh) {
            *unit = UnitState {
                stored_wh,
                shut: false,
            };
        }
        self.pv.fill(InverterState::default());
        (self.generator_runs, self.generator_in_s) = (false, 0.0);
    }
}

impl IslandState {
    /// Whether every unit is shut down and needs to be charged before it starts again.
    pub(super) fn stays_shut(&self, plant: &OutagePlant) -> bool {
        self.units.iter().zip(&plant.units).all(|(unit, law)| {
            unit.shut
                && unit.stored_wh < 0.999 * plant.running.restart_soc * law.battery.usable_wh()
        })
    }
}

impl IslandSlots {
    pub(super) fn new(plant: &OutagePlant) -> Self {
        Self {
            units: (plant.units.iter())
                .map(|unit| UnitSlot::new(unit.law, true))
                .collect(),
            after: vec![BatteryStep::default(); plant.units.len()],
            pv: vec![IslandPv::default(); plant.inverters.len()],
        }
    }
}

/// One step: writes the flows into `slots` and moves `state` on.
pub(super) fn island_step(
    plant: &OutagePlant,
    offer: &Offer<'_>,
    state: &mut IslandState,
    slots: &mut IslandSlots,
) -> IslandStep {
    let soc = settle_switches(plant, state);
    prepare(plant, offer, state, slots);
    let mut step = IslandStep {
        wanted_w: offer.load_w.first().copied().unwrap_or(0.0),
        dark_share: 1.0,
        ..IslandStep::default()
    };
    if !state.generator_runs {
        carry_alone(plant, offer, soc, slots, &mut step);
        match &plant.generator {
            Some(generator) if step.goes_dark() => {
                (state.generator_runs, state.generator_in_s) = (true, generator.start_delay_s);
            }
            None if step.goes_dark() => carry_until_empty(plant, offer, state, slots, &mut step),
            _ => {}
        }
    }
    if state.generator_runs
        && let Some(generator) = &plant.generator
    {
        run_generator(generator, plant, offer, state, slots, &mut step);
    }
    if step.goes_dark() {
        // Whoever could give more if its battery held more has run empty; the others were overloaded and try again.
        for ((unit, law), slot) in state.units.iter_mut().zip(&plant.units).zip(&slots.units) {
            let floor_wh = plant.running.shut_down_soc * law.battery.usable_wh();
            let above_w = (unit.stored_wh - floor_wh).max(0.0) * law.battery.discharge_efficiency()
                / (plant.step_s / 3600.0);
            unit.shut |= slot.backed_up && above_w <= slot.discharge_limit_w;
        }
        for slot in &mut slots.pv {
            slot.ac_w *= 1.0 - step.dark_share;
        }
    }
    finish(plant, state, slots, &step);
    step
}

/// What the state of charge switches at the start of a step; returns it, 0 to 1 of all batteries together.
fn settle_switches(plant: &OutagePlant, state: &mut IslandState) -> f64 {
    /// Share of the usable energy that is rounding.
    const ROUNDING: f64 = 1e-9;
    let (mut stored_wh, mut usable_wh) = (0.0, 0.0);
    for (unit, law) in state.units.iter_mut().zip(&plant.units) {
        let own_wh = law.battery.usable_wh();
        stored_wh += unit.stored_wh;
        usable_wh += own_wh;
        let soc = unit.stored_wh / own_wh.max(f64::MIN_POSITIVE);
        unit.shut = if unit.shut {
            soc < plant.running.restart_soc - ROUNDING
        } else {
            soc <= plant.running.shut_down_soc + ROUNDING
        };
    }
    let soc = if usable_wh > 0.0 {
        stored_wh / usable_wh
    } else {
        0.0
    };
    if let Some(generator) = &plant.generator {
        if state.generator_runs {
            state.generator_runs = soc < generator.stop_soc - ROUNDING;
        } else {
            // The batteries carry the loads until it gives power.
            state.generator_runs = soc <= generator.start_soc && !state.units.is_empty();
            state.generator_in_s = 0.0;
        }
    }
    for (pv, inverter) in state.pv.iter_mut().zip(&plant.inverters) {
        if let IslandMeans::Contactor {
            open_soc,
            close_soc,
        } = inverter.means
        {
            pv.open = if pv.open {
                soc > close_soc
            } else {
                soc >= open_soc - ROUNDING
            };
        }
    }
    soc
}

/// Fills the slots with what the step offers; units that take part are marked as such, and all stand still until told.
fn prepare(plant: &OutagePlant, offer: &Offer<'_>, state: &IslandState, slots: &mut IslandSlots) {
    for (((slot, law), unit), offered_w) in slots
        .units
        .iter_mut()
        .zip(&plant.units)
        .zip(&state.units)
        .zip(offer.unit_dc_w)
    {
        let usable_wh = law.battery.usable_wh();
        let floor_wh = plant.running.shut_down_soc * usable_wh;
        slot.dc_pv_w = (law.mppt_efficiency * offered_w).min(law.mppt_rated_w);
        slot.charge_limit_w =
            law.battery
                .charge_limit_w(unit.stored_wh, usable_wh, law.place.battery_c(offer.air_c));
        slot.discharge_limit_w = if unit.shut {
            0.0
        } else {
            law.battery.discharge_limit_w(unit.stored_wh, floor_wh)
        };
        slot.backed_up = !unit.shut;
        slot.stand_still();
    }
    for ((slot, pv), made) in slots.pv.iter_mut().zip(&state.pv).zip(offer.made) {
        slot.offered_w = made.ac_w;
        slot.on_share = (1.0 - pv.waiting_s / plant.step_s).max(0.0);
        slot.begun_w = if slot.on_share > 0.0 { made.ac_w } else { 0.0 };
        slot.open = pv.open;
        slot.ac_w = 0.0;
    }
}

/// Storage and AC PV carry the loads, as many of them as they can; the step stays dark if that is not enough.
fn carry_alone(
    plant: &OutagePlant,
    offer: &Offer<'_>,
    soc: f64,
    slots: &mut IslandSlots,
    step: &mut IslandStep,
) {
    if !slots.units.iter().any(|unit| unit.backed_up) {
        return;
    }
    let shed = soc < plant.running.shed_soc;
    let first = if shed {
        offer.load_w.len().saturating_sub(1)
    } else {
        0
    };
    // The usual case: one unit, nothing at its limits, nothing to wait for.
    if let ([unit], Some(load_w)) = (slots.units.as_mut_slice(), offer.load_w.get(first))
        && slots.pv.iter().all(|pv| pv.on_share >= 1.0)
        && unit.gives(load_w - give_all(&mut slots.pv))
    {
        step.serve(*load_w, first);
        return;
    }
    let reach = island_reach(&mut slots.units);
    for (shed, load_w) in offer.load_w.iter().enumerate().skip(first) {
        let pv_w = hold_back(
            &plant.inverters,
            plant.top_hz,
            &mut slots.pv,
            load_w - reach.least_w,
        );
        let missing_w = load_w - pv_w;
        if carries(missing_w, reach.high_w) {
            hold_island(&mut slots.units, missing_w);
            step.serve(*load_w, shed);
            return;
        }
    }
}

/// The loads that are never shed, carried until the first battery that is needed is empty, if power does for them.
fn carry_until_empty(
    plant: &OutagePlant,
    offer: &Offer<'_>,
    state: &IslandState,
    slots: &mut IslandSlots,
    step: &mut IslandStep,
) {
    let Some((load_w, shed)) = offer.load_w.last().zip(offer.load_w.len().checked_sub(1)) else {
        return;
    };
    let floor_wh = |law: &PlantUnit| plant.running.shut_down_soc * law.battery.usable_wh();
    let on_bus = |slot: &UnitSlot| slot.backed_up && slot.discharge_limit_w > 0.0;
    if !slots.units.iter().any(on_bus) {
        return;
    }
    let units = || state.units.iter().zip(&plant.units);
    // What is held bounds how long they give, not how much.
    for (slot, (unit, law)) in slots.units.iter_mut().zip(units()) {
        if slot.backed_up {
            slot.discharge_limit_w = (law.battery).discharge_power_w(unit.stored_wh, floor_wh(law));
        }
    }
    let reach = island_reach(&mut slots.units);
    let pv_w = hold_back(
        &plant.inverters,
        plant.top_hz,
        &mut slots.pv,
        load_w - reach.least_w,
    );
    let enough = carries(load_w - pv_w, reach.high_w);
    if enough {
        hold_island(&mut slots.units, load_w - pv_w);
    }
    let mut share = f64::from(u8::from(enough));
    for (slot, (unit, law)) in slots.units.iter_mut().zip(units()) {
        if slot.backed_up {
            slot.discharge_limit_w = (law.battery).discharge_limit_w(unit.stored_wh, floor_wh(law));
            if slot.discharge_w > 0.0 {
                share = share.min(slot.discharge_limit_w / slot.discharge_w);
            }
        }
    }
    for slot in slots.units.iter_mut().filter(|slot| slot.backed_up) {
        slot.stop_after(share);
    }
    (step.served_w, step.shed) = (share * load_w, shed);
    step.dark_share = 1.0 - share;
}

/// Whether `reach_w` is enough for `wanted_w`, but for rounding.
fn carries(wanted_w: f64, reach_w: f64) -> bool {
    wanted_w <= reach_w + 1e-9 * reach_w.abs().max(1.0)
}

/// The generator carries the loads and charges the batteries, AC PV is held off.
///
/// It gives all that it can while the batteries take it, and throttles DC PV only to reach its least load.
fn run_generator(
    generator: &Generator,
    plant: &OutagePlant,
    offer: &Offer<'_>,
    state: &mut IslandState,
    slots: &mut IslandSlots,
    step: &mut IslandStep,
) {
    let share = (1.0 - state.generator_in_s / plant.step_s).clamp(0.0, 1.0);
    state.generator_in_s = (state.generator_in_s - plant.step_s).max(0.0);
    if share <= 0.0 {
        return;
    }
    for slot in &mut slots.units {
        slot.backed_up = true;
    }
    let Reach {
        least_w,
        low_w,
        high_w,
    } = island_reach(&mut slots.units);
    let rated_w = share * generator.rated_w;
    for (shed, load_w) in offer.load_w.iter().enumerate() {
        let load_w = share * load_w;
        if !carries(load_w, rated_w + high_w) {
            continue;
        }
        let at_least_w = (generator.least_load * rated_w).min(load_w - least_w);
        let generator_w = (load_w - low_w).min(rated_w).max(at_least_w).max(0.0);
        hold_island(&mut slots.units, load_w - generator_w);
        for slot in &mut slots.pv {
            slot.ac_w = 0.0;
        }
        step.serve(load_w, shed);
        step.generator_w = generator_w;
        step.generator_share = share;
        return;
    }
    state.generator_runs = false;
}

/// Batteries and timers at the end of the step.
fn finish(
    plant: &OutagePlant,
    state: &mut IslandState,
    slots: &mut IslandSlots,
    step: &IslandStep,
) {
    for (((unit, law), slot), after) in state
        .units
        .iter_mut()
        .zip(&plant.units)
        .zip(&slots.units)
        .zip(&mut slots.after)
    {
        *after = law
            .battery
            .step(unit.stored_wh, slot.charge_w, slot.discharge_w);
        unit.stored_wh = after.stored_wh;
    }
    let no_bus = step.goes_dark() || step.generator_share > 0.0;
    for ((pv, slot), inverter) in state.pv.iter_mut().zip(&slots.pv).zip(&plant.inverters) {
        if !no_bus && matches!(inverter.means, IslandMeans::Contactor { .. }) {
            pv.open = slot.off;
        }
        pv.waiting_s = if no_bus || slot.off {
            inverter.wait_s
        } else {
            (pv.waiting_s - plant.step_s).max(0.0)
        };
    }
}
