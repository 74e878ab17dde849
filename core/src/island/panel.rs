//! The loads of an island: what runs, what starts hard, what is shed and comes back.

use super::plant::IslandDrive;
use super::record::Happening;
use super::recorder::Recorder;

/// Time for which a shed load stays off at least, s. Chosen.
const LEAST_OFF_S: f64 = 60.0;
/// Part of the spare power that a load may take to come back. Chosen.
const RETURN_SHARE: f64 = 0.9;

/// The panel of the backed-up loads.
pub(super) struct Panel<'a> {
    drive: &'a IslandDrive,
    loads: Vec<Load>,
    next_start: usize,
}

#[derive(Clone, Copy, Debug, Default)]
struct Load {
    /// Since when it is shed, s; none: it is on.
    shed_since_s: Option<f64>,
    /// Inrush on top of what runs, W, until the time beside it.
    inrush_w: f64,
    inrush_until_s: f64,
}

/// Loads of an instant, W.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Demand {
    /// Loads that are switched on, with their inrush.
    pub(super) load_w: f64,
    /// The same without inrush.
    pub(super) firm_w: f64,
    /// Loads that the shed order has switched off.
    pub(super) shed_w: f64,
}

impl<'a> Panel<'a> {
    pub(super) fn new(drive: &'a IslandDrive) -> Self {
        Self {
            drive,
            loads: vec![Load::default(); drive.loads.len()],
            next_start: 0,
        }
    }

    /// All loads of a step, switched off or not, W.
    pub(super) fn wanted_w(&self, step: usize) -> f64 {
        self.drive.loads.iter().map(|load| load.power_w[step]).sum()
    }

    pub(super) fn demand(&self, step: usize) -> Demand {
        let mut demand = Demand::default();
        for (load, state) in self.drive.loads.iter().zip(&self.loads) {
            let power_w = load.power_w[step];
            if state.shed_since_s.is_some() {
                demand.shed_w += power_w;
            } else {
                demand.firm_w += power_w;
                demand.load_w += power_w + state.inrush_w;
            }
        }
        demand
    }

    /// Starts whose time has come add their inrush; those that are over drop it. A start on a dark bus is none.
    pub(super) fn begin_starts(
        &mut self,
        step: usize,
        time_s: f64,
        live: bool,
        recorder: &mut Recorder,
    ) {
        while let Some(start) = self.drive.starts.get(self.next_start) {
            if start.at_s > time_s + 1e-9 {
                break;
            }
            self.next_start += 1;
            let (Some(load), Some(state)) = (
                self.drive.loads.get(start.load),
                self.loads.get_mut(start.load),
            ) else {
                continue;
            };
            if live && load.power_w[step] > 0.0 && state.shed_since_s.is_none() {
                state.inrush_w = start.inrush.power_w;
                state.inrush_until_s = start.at_s + start.inrush.duration_s;
                recorder.event(
                    time_s,
                    Happening::LoadStarted(start.load, start.inrush.power_w),
                );
            }
        }
        for load in &mut self.loads {
            if load.inrush_w > 0.0 && time_s >= load.inrush_until_s - 1e-9 {
                load.inrush_w = 0.0;
            }
        }
    }

    /// Time until a start begins or ends, s.
    pub(super) fn next_event_s(&self, time_s: f64) -> f64 {
        let begins_s = self.drive.starts.get(self.next_start).map(|one| one.at_s);
        let running = self.loads.iter().filter(|load| load.inrush_w > 0.0);
        running
            .map(|load| load.inrush_until_s)
            .chain(begins_s)
            .map(|at_s| at_s - time_s)
            .fold(f64::INFINITY, f64::min)
    }

    /// Switches off the next load of the shed order that runs; false: there is none left.
    pub(super) fn shed_next(&mut self, step: usize, time_s: f64, recorder: &mut Recorder) -> bool {
        let next = (self.drive.loads.iter().zip(&self.loads).enumerate())
            .filter(|(_, (load, state))| load.power_w[step] > 0.0 && state.shed_since_s.is_none())
            .filter_map(|(number, (load, _))| Some((load.shed_order?, number)))
            .min();
        let Some((_, number)) = next else {
            return false;
        };
        self.loads[number] = Load {
            shed_since_s: Some(time_s),
            ..Load::default()
        };
        recorder.event(time_s, Happening::LoadShed(number));
        true
    }

    /// Switches on the last load of the shed order that rested long enough and fits into the spare power.
    pub(super) fn bring_back(
        &mut self,
        step: usize,
        time_s: f64,
        spare_w: f64,
        recorder: &mut Recorder,
    ) {
        let fits = |(load, state): &(&super::plant::IslandLoad, &Load)| {
            let rested =
                (state.shed_since_s).is_some_and(|since_s| time_s - since_s >= LEAST_OFF_S);
            rested && load.power_w[step] <= RETURN_SHARE * spare_w
        };
        let ready = (self.drive.loads.iter().zip(&self.loads).enumerate())
            .filter(|(_, one)| fits(one))
            .filter_map(|(number, (load, _))| Some((load.shed_order?, number)))
            .max();
        if let Some((_, number)) = ready {
            self.loads[number].shed_since_s = None;
            recorder.event(time_s, Happening::LoadBack(number));
        }
    }

    /// The bus went dark: nothing starts any more.
    pub(super) fn darken(&mut self) {
        self.loads.iter_mut().for_each(|load| load.inrush_w = 0.0);
    }
}
