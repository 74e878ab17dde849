//! An option's backed-up side made ready to run alone, and what drives it.

use crate::battery::BatteryLaw;
use crate::converter::{FitProblem, LossLaw, PvConversion};
use crate::coupling::{
    CouplingOption, FrequencyDroop, Generator, GridCode, IslandMeans, IslandRunning,
};
use crate::household::{AcSide, PvInverterId, Supply};
use crate::island::settings;
use crate::year::{Plant, PlantUnit, Scene};

/// The backed-up side of an option, ready to run alone: every law fitted, every load and offer of the year at hand.
///
/// What stands on the grid side is dark while there is no grid and is no part of it.
#[derive(Clone, Debug, PartialEq)]
pub struct OutagePlant {
    pub(super) inverters: Vec<IslandInverter>,
    pub(super) units: Vec<PlantUnit>,
    pub(super) generator: Option<Generator>,
    pub(super) running: IslandRunning,
    pub(super) step_s: f64,
    /// Highest frequency that the storage inverters go to, Hz.
    pub(super) top_hz: f64,
    /// Number of steps.
    pub(super) steps: usize,
    /// Loads of each step: all of them, then without the devices that are shed first, and so on.
    load_w: Vec<f64>,
    levels: usize,
    offered_dc_w: Vec<f64>,
    made: Vec<PvConversion>,
    unit_dc_w: Vec<f64>,
    air_c: Vec<f64>,
    has_dc_pv: bool,
}

/// A PV inverter on the backed-up bus.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct IslandInverter {
    pub(super) id: PvInverterId,
    law: LossLaw,
    pub(super) means: IslandMeans,
    /// How it backs off as frequency rises; none: all or nothing.
    pub(super) droop: Option<FrequencyDroop>,
    /// The nearer over-frequency trip, Hz.
    pub(super) trip_hz: f64,
    /// Time from a trip or a dark bus until its power is back. The rise to full power counts with half its time.
    pub(super) wait_s: f64,
}

impl IslandInverter {
    pub(super) fn new(
        id: PvInverterId,
        law: LossLaw,
        code: GridCode,
        supply: Supply,
        means: IslandMeans,
    ) -> Self {
        let settings = settings(code, supply);
        let enter = settings.enter_service;
        Self {
            id,
            law,
            means,
            droop: settings.droop,
            trip_hz: settings.over_near.at_hz,
            wait_s: enter.wait_s + enter.ramp_s / 2.0,
        }
    }

    pub(super) fn rated_w(&self) -> f64 {
        self.law.rated_w
    }
}

/// What a step offers and asks for.
#[derive(Clone, Copy, Debug)]
pub(super) struct Offer<'a> {
    /// Loads, from all to those that are never shed, W.
    pub(super) load_w: &'a [f64],
    /// DC power offered to each PV inverter, W.
    pub(super) offered_dc_w: &'a [f64],
    /// What each PV inverter can make of it.
    pub(super) made: &'a [PvConversion],
    /// DC power offered to the MPPT inputs of each unit, W.
    pub(super) unit_dc_w: &'a [f64],
    /// Air temperature, °C.
    pub(super) air_c: f64,
}

impl Offer<'_> {
    /// DC power of all arrays on the backed-up side, W.
    pub(super) fn array_w(&self) -> f64 {
        self.offered_dc_w.iter().sum::<f64>() + self.unit_dc_w.iter().sum::<f64>()
    }
}

impl OutagePlant {
    /// Makes the backed-up side of an option ready to run alone through a scene.
    ///
    /// **Errors**: efficiency figures that no loss law has; a checked household has none.
    pub fn new(scene: &Scene, option: &CouplingOption) -> Result<Self, FitProblem> {
        let step_s = f64::from(scene.grid.step_s);
        let steps = scene.grid.len();
        let supply = scene.service.supply;
        let plant = Plant::new(&scene.service, option, step_s)?;
        let units: Vec<PlantUnit> = plant
            .units
            .into_iter()
            .filter(|unit| unit.side == AcSide::BackedUp)
            .collect();
        let inverters: Vec<IslandInverter> = plant
            .inverters
            .iter()
            .filter(|one| one.side == AcSide::BackedUp)
            .filter_map(|one| {
                let inverter = option.pv_inverter(one.id)?;
                Some(IslandInverter::new(
                    one.id,
                    one.law,
                    inverter.grid_code,
                    supply,
                    inverter.island,
                ))
            })
            .collect();
        let (mut offered_dc_w, mut unit_dc_w) = (
            vec![0.0; steps * inverters.len()],
            vec![0.0; steps * units.len()],
        );
        for array in &option.arrays {
            let Some(power_w) = scene.array_dc_w(array) else {
                continue;
            };
            let (sum_w, place, stride) = match array.dc_unit {
                Some(id) => (
                    &mut unit_dc_w,
                    units.iter().position(|unit| unit.id == id),
                    units.len(),
                ),
                None => (
                    &mut offered_dc_w,
                    inverters.iter().position(|one| one.id == array.pv_inverter),
                    inverters.len(),
                ),
            };
            if let Some(place) = place {
                let own = sum_w.iter_mut().skip(place).step_by(stride);
                own.zip(&power_w).for_each(|(sum, power)| *sum += power);
            }
        }
        let made = offered_dc_w
            .iter()
            .zip(inverters.iter().cycle())
            .map(|(offered_w, inverter)| inverter.law.invert_pv(*offered_w))
            .collect();
        let (load_w, levels) = load_levels(scene);
        Ok(Self {
            inverters,
            units,
            generator: option.generator.clone(),
            running: option.island,
            step_s,
            top_hz: supply.frequency_hz() + option.island.rise_hz,
            steps,
            load_w,
            levels,
            offered_dc_w,
            made,
            has_dc_pv: unit_dc_w.iter().any(|power_w| *power_w > 0.0),
            unit_dc_w,
            air_c: scene.air_c().to_vec(),
        })
    }

    /// Number of steps of a day, at least one.
    pub(super) fn steps_per_day(&self) -> usize {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a step is a whole part of a day"
        )]
        let steps = (86_400.0 / self.step_s) as usize;
        steps.max(1)
    }

    /// Number of steps.
    #[must_use]
    pub fn steps(&self) -> usize {
        self.steps
    }

    /// Energy of all batteries between their lowest and highest permitted state, Wh.
    #[must_use]
    pub fn usable_wh(&self) -> f64 {
        let batteries = self.units.iter().map(|unit| &unit.battery);
        batteries.map(BatteryLaw::usable_wh).sum()
    }

    /// Energy that the loads on the backed-up side ask for, Wh.
    #[must_use]
    pub fn wanted_wh(&self) -> f64 {
        let all_w: f64 = self.load_w.iter().step_by(self.levels).sum();
        all_w * self.step_s / 3600.0
    }

    /// Days of the mean load on the backed-up side that full batteries carry alone, down to the state of charge at which the
    /// inverters shut down; none: no load or no battery.
    ///
    /// Common practice: energy that the battery gives over the energy of a mean day.
    #[must_use]
    pub fn days_of_autonomy(&self) -> Option<f64> {
        let given_wh: f64 = self
            .units
            .iter()
            .map(|unit| unit.battery.usable_wh() * unit.battery.discharge_efficiency())
            .sum::<f64>()
            * (1.0 - self.running.shut_down_soc);
        let days = f64::from(u32::try_from(self.steps).ok()?) * self.step_s / 86_400.0;
        let wanted_wh = self.wanted_wh();
        (wanted_wh > 0.0 && given_wh > 0.0).then(|| given_wh * days / wanted_wh)
    }

    /// Whether a bus whose inverters have all shut down stays dark for ever: nothing but DC PV or a generator lifts a battery.
    pub(super) fn never_restarts(&self) -> bool {
        self.generator.is_none() && !self.has_dc_pv
    }

    /// What step `index` offers and asks for; steps after the last go on from the first.
    pub(super) fn offer(&self, index: usize) -> Offer<'_> {
        let index = index % self.steps.max(1);
        let row = |width: usize| index * width..(index + 1) * width;
        Offer {
            load_w: self.load_w.get(row(self.levels)).unwrap_or_default(),
            offered_dc_w: (self.offered_dc_w.get(row(self.inverters.len()))).unwrap_or_default(),
            made: self.made.get(row(self.inverters.len())).unwrap_or_default(),
            unit_dc_w: self
                .unit_dc_w
                .get(row(self.units.len()))
                .unwrap_or_default(),
            air_c: self.air_c.get(index).copied().unwrap_or(0.0),
        }
    }
}

/// Place of each device in the shed order, 0 is switched off first; none: it is never shed, or not on the backed-up side.
/// Devices of one order share a place.
pub(crate) fn shed_places(scene: &Scene) -> Vec<Option<usize>> {
    let devices = &scene.load_inputs().devices;
    let order_of = |number: usize| {
        let device = devices.get(number)?;
        device.shed_order.filter(|_| device.backed_up)
    };
    let numbers = 0..scene.loads.devices.len();
    let mut orders: Vec<u32> = numbers.clone().filter_map(order_of).collect();
    orders.sort_unstable();
    orders.dedup();
    numbers
        .map(|number| {
            let order = order_of(number)?;
            orders.iter().position(|one| *one == order)
        })
        .collect()
}

/// Loads on the backed-up side, step by step: all, then less one place in the shed order after the other.
fn load_levels(scene: &Scene) -> (Vec<f64>, usize) {
    let places = shed_places(scene);
    let most = places.iter().flatten().max();
    let levels = most.map_or(1, |place| place + 2);
    let mut load_w = vec![0.0; scene.grid.len() * levels];
    for (row, base_w) in load_w
        .chunks_exact_mut(levels)
        .zip(&scene.loads.base_backed_up_w)
    {
        row.fill(*base_w);
    }
    for (number, device) in scene.loads.devices.iter().enumerate() {
        if device.side != AcSide::BackedUp {
            continue;
        }
        // A device is on at every level before its place in the order is reached.
        let place = places.get(number).copied().flatten();
        let on = place.map_or(levels, |place| place + 1);
        for (row, power_w) in load_w.chunks_exact_mut(levels).zip(&device.power_w) {
            row.iter_mut().take(on).for_each(|sum| *sum += power_w);
        }
    }
    (load_w, levels)
}
