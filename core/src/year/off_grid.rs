//! The run of an option where there is no utility: the backed-up bus alone, told as a run with the grid is.

use std::ops::Range;

use super::figures::Figures;
use super::flows::{Flows, InverterFlows, IslandFlows, UnitFlows};
use super::plant::Plant;
use super::run::YearRun;
use super::scene::Scene;
use super::trace::DayTrace;
use crate::converter::FitProblem;
use crate::coupling::CouplingOption;
use crate::household::AcSide;
use crate::outage::{IslandState, OffGridRun, OutagePlant, run_island, shed_places};

impl Scene {
    /// Runs one option without a grid.
    ///
    /// - `stored_wh`: energy in its storage units at the start, Wh; a unit that is not named starts with its own
    /// - `state`: what the bus remembers from before; none: it was live
    ///
    /// **Errors**: as [`Scene::run`].
    pub(super) fn run_off_grid(
        &self,
        option: &CouplingOption,
        stored_wh: &[f64],
        state: Option<&IslandState>,
    ) -> Result<YearRun, FitProblem> {
        let plant = self.plant_holding(option, stored_wh)?;
        let arrays = self.array_runs(option, &plant);
        let island = OutagePlant::new(self, option)?;
        let state = state.cloned().unwrap_or_else(|| {
            let on_bus = (plant.units.iter()).filter(|unit| unit.side == AcSide::BackedUp);
            IslandState::new(&island, on_bus.map(|unit| unit.initial_wh))
        });
        let OffGridRun {
            figures,
            ledger,
            flows,
            ways,
            midnights,
        } = run_island(&island, 0, island.steps(), state);
        let flows = of_all_parts(flows, &plant, island.steps());
        Ok(YearRun {
            option: option.clone(),
            figures: Figures {
                off_grid: Some(figures),
                ..Figures::of(&plant, &flows, &ledger, &ways)
            },
            ledger,
            flows,
            plant,
            arrays,
            midnights,
        })
    }
}

/// Flows of every part of a plant from those of the parts on the backed-up side: nothing happens to the others.
fn of_all_parts(on_bus: Flows, plant: &Plant, steps: usize) -> Flows {
    let (mut inverters, mut units) = (on_bus.inverters.into_iter(), on_bus.units.into_iter());
    Flows {
        inverters: (plant.inverters.iter())
            .map(|inverter| {
                let flows = (inverter.side == AcSide::BackedUp).then(|| inverters.next());
                flows
                    .flatten()
                    .unwrap_or_else(|| InverterFlows::idle(steps))
            })
            .collect(),
        units: (plant.units.iter())
            .map(|unit| {
                let flows = (unit.side == AcSide::BackedUp).then(|| units.next());
                flows
                    .flatten()
                    .unwrap_or_else(|| UnitFlows::idle(unit.initial_wh, steps))
            })
            .collect(),
        ..on_bus
    }
}

/// What a day of a bus without a grid has other than one with: loads as far as they were served, the generator, no price.
pub(super) fn off_grid_day(
    scene: &Scene,
    island: &IslandFlows,
    steps: Range<usize>,
    trace: DayTrace,
) -> DayTrace {
    let cut = |series: &[f64]| -> Vec<f64> {
        series
            .get(steps.clone())
            .map(<[f64]>::to_vec)
            .unwrap_or_default()
    };
    let supplied_share = cut(&island.supplied_share);
    let shed = island.shed.get(steps.clone()).unwrap_or_default();
    let places = shed_places(scene);
    let (wanted_w, served_w) = (cut(&island.wanted_w), cut(&island.served_w));
    let base_w = trace.base_backed_up_w.into_iter().zip(&supplied_share);
    let mut devices = trace.devices;
    for ((device, load), place) in devices.iter_mut().zip(&scene.loads.devices).zip(&places) {
        let on_bus = load.side == AcSide::BackedUp;
        for ((power_w, share), shed) in device.power_w.iter_mut().zip(&supplied_share).zip(shed) {
            let is_shed = place.is_some_and(|place| place < *shed);
            *power_w *= if on_bus && !is_shed { *share } else { 0.0 };
        }
    }
    DayTrace {
        base_grid_side_w: vec![0.0; wanted_w.len()],
        base_backed_up_w: base_w.map(|(power_w, share)| power_w * share).collect(),
        devices,
        unserved_w: (wanted_w.iter().zip(&served_w))
            .map(|(wanted_w, served_w)| (wanted_w - served_w).max(0.0))
            .collect(),
        load_w: served_w,
        generator_w: cut(&island.generator_w),
        dark_share: cut(&island.dark_share),
        buy_cur_per_kwh: Vec::new(),
        sell_cur_per_kwh: Vec::new(),
        ..trace
    }
}
