//! A run of one option: figures, ledger and flows, and the views on them.

use super::figures::Figures;
use super::flows::{Drive, Flows, run_told};
use super::ledger::Ledger;
use super::off_grid::off_grid_day;
use super::plant::Plant;
use super::scene::{NoClimate, Scene, utc_offset_s};
use super::strip::{StripQuantity, YearStrip};
use super::trace::{ArrayTrace, DayTrace, DeviceTrace, PvInverterTrace, StorageTrace};
use crate::check::Checked;
use crate::climate::ClimateGrid;
use crate::converter::FitProblem;
use crate::coupling::{Array, CouplingOption};
use crate::household::{AcSide, ArrayId, Household, OptionId};
use crate::outage::IslandState;
use crate::running::Aim;
use crate::sky::TimeGrid;

const HOURS_PER_YEAR: usize = 8760;

/// A run of one option over the time grid of its scene.
#[derive(Clone, Debug, PartialEq)]
pub struct YearRun {
    /// The option as it was run.
    pub option: CouplingOption,
    /// What the run comes to.
    pub figures: Figures,
    /// The closed energy account.
    pub ledger: Ledger,
    /// Every flow.
    pub flows: Flows,
    pub(super) plant: Plant,
    pub(super) arrays: Vec<ArrayRun>,
    /// What the bus remembers at the beginning of each day; empty: the grid was up.
    pub(super) midnights: Vec<IslandState>,
}

/// DC power that the sun offers to what stands on the backed-up side, one value per step, W.
#[derive(Clone, Debug, PartialEq)]
pub struct BackedUpPv {
    /// AC-joined arrays.
    pub ac_w: Vec<f64>,
    /// All arrays.
    pub all_w: Vec<f64>,
}

/// DC power offered by an array over a run.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct ArrayRun {
    id: ArrayId,
    offered_w: Vec<f64>,
    /// Where in the plant the array is joined.
    feeds: Feeds,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Feeds {
    Inverter(usize),
    Unit(usize),
}

impl Scene {
    /// Runs one option through the scene. Where there is no utility it is a run of the backed-up bus alone, see
    /// [`crate::outage::off_grid`]: nothing passes the meter, and what stands on the grid side is dark and keeps what it holds.
    ///
    /// **Errors**: efficiency figures that no loss law has; a checked household has none.
    pub fn run(&self, option: &CouplingOption) -> Result<YearRun, FitProblem> {
        self.run_from(option, &[])
    }

    /// Runs one option with this energy in its storage units at the start, Wh; a unit that is not named starts with its own.
    ///
    /// **Errors**: as [`Scene::run`].
    pub fn run_from(
        &self,
        option: &CouplingOption,
        stored_wh: &[f64],
    ) -> Result<YearRun, FitProblem> {
        if !self.service.utility {
            return self.run_off_grid(option, stored_wh, None);
        }
        self.run_told(option, stored_wh, |index, _| {
            self.prices.aim(&option.running.rule, index)
        })
    }

    /// Runs one option with a controller in place of its running rule: it is given the step and what each storage unit holds at its
    /// start, Wh, and tells the aim.
    pub(crate) fn run_told(
        &self,
        option: &CouplingOption,
        stored_wh: &[f64],
        tell: impl FnMut(usize, &[f64]) -> Aim,
    ) -> Result<YearRun, FitProblem> {
        let step_s = f64::from(self.grid.step_s);
        let plant = self.plant_holding(option, stored_wh)?;
        let arrays = self.array_runs(option, &plant);
        let steps = self.grid.len();
        let mut inverter_dc_w = vec![vec![0.0; steps]; plant.inverters.len()];
        let mut unit_dc_w = vec![vec![0.0; steps]; plant.units.len()];
        for array in &arrays {
            let sum_w = match array.feeds {
                Feeds::Inverter(number) => &mut inverter_dc_w[number],
                Feeds::Unit(number) => &mut unit_dc_w[number],
            };
            sum_w
                .iter_mut()
                .zip(&array.offered_w)
                .for_each(|(sum, power)| *sum += power);
        }
        let drive = Drive {
            step_s,
            inverter_dc_w: &inverter_dc_w,
            unit_dc_w: &unit_dc_w,
            load_grid_side_w: &self.load_grid_side_w,
            load_backed_up_w: &self.load_backed_up_w,
            rank: &self.prices.rank,
            time: &self.prices.time,
            air_c: self.air_c(),
        };
        let (flows, ledger, account) = run_told(&plant, &drive, tell);
        let bill = self.bill(&plant, &flows);
        let figures = Figures {
            bill_cur: bill.as_ref().map(|bill| self.minor_unit().cur(bill.total)),
            bill,
            ..Figures::of(&plant, &flows, &ledger, &account)
        };
        Ok(YearRun {
            option: option.clone(),
            figures,
            ledger,
            flows,
            plant,
            arrays,
            midnights: Vec::new(),
        })
    }

    /// An option made ready to run, with this energy in its storage units at the start, Wh.
    pub(super) fn plant_holding(
        &self,
        option: &CouplingOption,
        stored_wh: &[f64],
    ) -> Result<Plant, FitProblem> {
        let mut plant = Plant::new(&self.service, option, f64::from(self.grid.step_s))?;
        for (unit, stored_wh) in plant.units.iter_mut().zip(stored_wh) {
            unit.initial_wh = stored_wh.clamp(0.0, unit.battery.usable_wh());
        }
        Ok(plant)
    }

    /// One day of an option's run at another step: it begins with what the batteries hold at that midnight of the run.
    ///
    /// - `step_s`: length of a step, s, a whole part of a day
    ///
    /// **Errors**: as [`Scene::new`]. None: the run does not have that day.
    pub fn day_at(
        &self,
        household: &Checked<Household>,
        climate: Option<&ClimateGrid>,
        run: &YearRun,
        day: u32,
        step_s: u32,
    ) -> Result<Option<DayTrace>, NoClimate> {
        let grid = TimeGrid::days(day, 1, step_s, utc_offset_s(&household.site));
        let finer = Self::over(household, climate, grid, None)?;
        let stored_wh = run.stored_wh_at_midnight(self, day);
        let midnight = (day.checked_sub(self.grid.first_day))
            .and_then(|days| run.midnights.get(usize::try_from(days).ok()?));
        let run = match midnight {
            Some(state) => finer.run_off_grid(&run.option, &stored_wh, Some(state)),
            None => finer.run_from(&run.option, &stored_wh),
        };
        Ok(run.ok().and_then(|run| run.day(&finer, day)))
    }

    pub(super) fn array_runs(&self, option: &CouplingOption, plant: &Plant) -> Vec<ArrayRun> {
        let feeds = |array: &Array| match array.dc_unit {
            Some(id) => plant
                .units
                .iter()
                .position(|unit| unit.id == id)
                .map(Feeds::Unit),
            None => plant
                .inverters
                .iter()
                .position(|one| one.id == array.pv_inverter)
                .map(Feeds::Inverter),
        };
        option
            .arrays
            .iter()
            .filter_map(|array| {
                let offered_w = self.array_dc_w(array)?;
                Some(ArrayRun {
                    id: array.id,
                    offered_w,
                    feeds: feeds(array)?,
                })
            })
            .collect()
    }
}

impl YearRun {
    /// The option made ready to run.
    #[must_use]
    pub fn plant(&self) -> &Plant {
        &self.plant
    }

    /// The option's id.
    #[must_use]
    pub fn id(&self) -> OptionId {
        self.option.id
    }

    /// What each storage unit holds at the start of a day, Wh.
    #[must_use]
    pub fn stored_wh_at_midnight(&self, scene: &Scene, day: u32) -> Vec<f64> {
        let per_day = 86_400 / scene.grid.step_s.max(1);
        let before = day
            .checked_sub(scene.grid.first_day)
            .and_then(|days| days.checked_mul(per_day)?.checked_sub(1));
        let units = self.plant.units.iter().zip(&self.flows.units);
        units
            .map(|(unit, flow)| {
                let last =
                    before.and_then(|index| flow.stored_wh.get(usize::try_from(index).ok()?));
                last.copied().unwrap_or(unit.initial_wh)
            })
            .collect()
    }

    /// What each storage unit holds at an hour of a day, Wh, `hour` from 0 to 24.
    #[must_use]
    pub fn stored_wh_at(&self, scene: &Scene, day: u32, hour: f64) -> Vec<f64> {
        let step = (f64::from(day.saturating_sub(scene.grid.first_day)) * 24.0 + hour) * 3600.0
            / f64::from(scene.grid.step_s.max(1));
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "steps of a year; a negative hour counts as the first"
        )]
        let before = (step as usize).checked_sub(1);
        (self.plant.units.iter().zip(&self.flows.units))
            .map(|(unit, flow)| {
                let last = before.and_then(|index| flow.stored_wh.get(index));
                last.copied().unwrap_or(unit.initial_wh)
            })
            .collect()
    }

    /// PV that the sun offers to what stands on the backed-up side, over the run.
    #[must_use]
    pub fn backed_up_pv_w(&self) -> BackedUpPv {
        let mut pv = BackedUpPv {
            ac_w: vec![0.0; self.flows.meter_w.len()],
            all_w: vec![0.0; self.flows.meter_w.len()],
        };
        for array in &self.arrays {
            let on_ac = match array.feeds {
                Feeds::Inverter(number) => {
                    if self.plant.inverters[number].side != AcSide::BackedUp {
                        continue;
                    }
                    true
                }
                Feeds::Unit(number) => {
                    if self.plant.units[number].side != AcSide::BackedUp {
                        continue;
                    }
                    false
                }
            };
            let sums = pv.ac_w.iter_mut().zip(&mut pv.all_w);
            for ((ac_w, all_w), offered_w) in sums.zip(&array.offered_w) {
                *all_w += offered_w;
                *ac_w += if on_ac { *offered_w } else { 0.0 };
            }
        }
        pv
    }

    /// One day in detail; none if the run does not have that day.
    #[must_use]
    pub fn day(&self, scene: &Scene, day: u32) -> Option<DayTrace> {
        let per_day = usize::try_from(86_400 / scene.grid.step_s.max(1)).ok()?;
        let from = usize::try_from(day.checked_sub(scene.grid.first_day)?)
            .ok()?
            .checked_mul(per_day)?;
        let steps = from..from.checked_add(per_day)?;
        let (flows, plant) = (&self.flows, &self.plant);
        flows.meter_w.get(steps.clone())?;
        let cut = |series: &[f64]| {
            series
                .get(steps.clone())
                .map(<[f64]>::to_vec)
                .unwrap_or_default()
        };
        let sum = |series: &mut dyn Iterator<Item = Vec<f64>>| {
            series.fold(vec![0.0; per_day], |mut sum: Vec<f64>, one| {
                sum.iter_mut()
                    .zip(one)
                    .for_each(|(sum, power)| *sum += power);
                sum
            })
        };
        let positive = |series: &[f64], sign: f64| -> Vec<f64> {
            series
                .get(steps.clone())
                .unwrap_or_default()
                .iter()
                .map(|power| (sign * power).max(0.0))
                .collect()
        };
        let export_w = positive(&flows.meter_w, -1.0);
        let usable_wh: f64 = plant
            .units
            .iter()
            .map(|unit| unit.battery.usable_wh())
            .sum();
        let share_of =
            |usable_wh: f64| move |wh: f64| if usable_wh > 0.0 { wh / usable_wh } else { 0.0 };
        let stored_wh = sum(&mut flows.units.iter().map(|unit| cut(&unit.stored_wh)));
        let throttled = flows.inverters.iter().map(|one| cut(&one.cut_w));
        let throttled_w =
            sum(&mut throttled.chain(flows.units.iter().map(|unit| cut(&unit.throttled_w))));
        let trace = DayTrace {
            option: self.option.id,
            day,
            step_s: f64::from(scene.grid.step_s),
            arrays: self.array_traces(&steps),
            pv_inverters: (plant.inverters.iter().zip(&flows.inverters))
                .map(|(inverter, flow)| PvInverterTrace {
                    id: inverter.id,
                    ac_w: cut(&flow.ac_w),
                })
                .collect(),
            storage: (plant.units.iter().zip(&flows.units))
                .map(|(unit, flow)| StorageTrace {
                    id: unit.id,
                    ac_w: cut(&flow.ac_w),
                    battery_w: cut(&flow.battery_w),
                    dc_pv_w: cut(&flow.dc_pv_w),
                    throttled_w: cut(&flow.throttled_w),
                    soc: cut(&flow.stored_wh)
                        .into_iter()
                        .map(share_of(unit.battery.usable_wh()))
                        .collect(),
                })
                .collect(),
            base_grid_side_w: cut(&scene.loads.base_grid_side_w),
            base_backed_up_w: cut(&scene.loads.base_backed_up_w),
            devices: (scene.loads.devices.iter())
                .map(|device| DeviceTrace {
                    id: device.id,
                    power_w: cut(&device.power_w),
                })
                .collect(),
            load_w: sum(&mut [&scene.load_grid_side_w, &scene.load_backed_up_w]
                .into_iter()
                .map(|side| cut(side))),
            import_w: positive(&flows.meter_w, 1.0),
            unpermitted_w: export_w
                .iter()
                .map(|power| (power - plant.limits.export_w).max(0.0))
                .collect(),
            export_w,
            generator_w: vec![0.0; per_day],
            transfer_w: cut(&flows.transfer_w),
            ac_pv_w: sum(&mut flows.inverters.iter().map(|one| cut(&one.ac_w))),
            dc_pv_w: sum(&mut flows.units.iter().map(|unit| cut(&unit.dc_pv_w))),
            from_battery_w: sum(&mut flows
                .units
                .iter()
                .map(|unit| positive(&unit.battery_w, 1.0))),
            to_battery_w: sum(&mut flows
                .units
                .iter()
                .map(|unit| positive(&unit.battery_w, -1.0))),
            throttled_w,
            loss_w: cut(&flows.loss_w),
            soc: stored_wh.into_iter().map(share_of(usable_wh)).collect(),
            buy_cur_per_kwh: cut(&scene.prices.buy_cur_per_kwh),
            sell_cur_per_kwh: cut(&scene.prices.sell_cur_per_kwh),
            unserved_w: vec![0.0; per_day],
            dark_share: vec![0.0; per_day],
        };
        Some(match &flows.island {
            Some(island) => off_grid_day(scene, island, steps, trace),
            None => trace,
        })
    }

    fn array_traces(&self, steps: &std::ops::Range<usize>) -> Vec<ArrayTrace> {
        let part = |share_of: f64, whole: f64| if whole > 0.0 { share_of / whole } else { 0.0 };
        let offered_by_all = |feeds: Feeds, index: usize| -> f64 {
            self.arrays
                .iter()
                .filter(|one| one.feeds == feeds)
                .map(|one| one.offered_w[index])
                .sum()
        };
        self.arrays
            .iter()
            .map(|run| {
                // What is refused is shared by the arrays of an inverter or a unit in proportion to what each offers.
                let taken_w = steps.clone().map(|index| {
                    let all_w = offered_by_all(run.feeds, index);
                    let used_w = match run.feeds {
                        Feeds::Inverter(number) => {
                            let flow = &self.flows.inverters[number];
                            let kept = part(flow.ac_w[index], flow.ac_w[index] + flow.cut_w[index]);
                            (all_w - flow.clipped_w[index]) * kept
                        }
                        Feeds::Unit(number) => {
                            self.flows.units[number].dc_pv_w[index]
                                / self.plant.units[number].mppt_efficiency
                        }
                    };
                    run.offered_w[index] * part(used_w, all_w)
                });
                ArrayTrace {
                    id: run.id,
                    taken_w: taken_w.collect(),
                    offered_w: run
                        .offered_w
                        .get(steps.clone())
                        .unwrap_or_default()
                        .to_vec(),
                }
            })
            .collect()
    }

    /// The picture of the year; empty if the run is not a whole year of whole hours.
    #[must_use]
    pub fn strip(&self, scene: &Scene, quantity: StripQuantity) -> YearStrip {
        let per_hour = usize::try_from(3600 / scene.grid.step_s.max(1))
            .unwrap_or(0)
            .max(1);
        let flows = &self.flows;
        let value = |index: usize| -> f64 {
            match quantity {
                StripQuantity::Pv => {
                    flows
                        .inverters
                        .iter()
                        .map(|one| one.ac_w[index])
                        .sum::<f64>()
                        + flows
                            .units
                            .iter()
                            .map(|unit| unit.dc_pv_w[index])
                            .sum::<f64>()
                }
                StripQuantity::Import => flows.meter_w[index].max(0.0),
                StripQuantity::Export => (-flows.meter_w[index]).max(0.0),
                StripQuantity::Throttled => {
                    flows
                        .inverters
                        .iter()
                        .map(|one| one.cut_w[index])
                        .sum::<f64>()
                        + flows
                            .units
                            .iter()
                            .map(|unit| unit.throttled_w[index])
                            .sum::<f64>()
                }
                StripQuantity::Generator | StripQuantity::Unserved | StripQuantity::Dark => {
                    (flows.island.as_ref()).map_or(0.0, |island| match quantity {
                        StripQuantity::Generator => island.generator_w[index],
                        StripQuantity::Unserved => island.wanted_w[index] - island.served_w[index],
                        _ => island.dark_share[index],
                    })
                }
                StripQuantity::Soc => {
                    let usable_wh: f64 = self
                        .plant
                        .units
                        .iter()
                        .map(|unit| unit.battery.usable_wh())
                        .sum();
                    let stored_wh: f64 = flows.units.iter().map(|unit| unit.stored_wh[index]).sum();
                    if usable_wh > 0.0 {
                        stored_wh / usable_wh
                    } else {
                        0.0
                    }
                }
            }
        };
        let steps = flows.meter_w.len();
        let values = if steps == HOURS_PER_YEAR * per_hour {
            (0..HOURS_PER_YEAR)
                .map(|hour| {
                    let from = hour * per_hour;
                    #[expect(
                        clippy::cast_possible_truncation,
                        reason = "a picture needs no more than single precision"
                    )]
                    if quantity == StripQuantity::Soc {
                        value(from + per_hour - 1) as f32
                    } else {
                        ((from..from + per_hour).map(value).sum::<f64>()
                            / f64::from(u32::try_from(per_hour).unwrap_or(1)))
                            as f32
                    }
                })
                .collect()
        } else {
            Vec::new()
        };
        YearStrip {
            option: self.option.id,
            quantity,
            values,
        }
    }
}
