//! Years with aged hardware. The year is run again with what is left of arrays and batteries, in chosen years; between them its
//! outcomes go straight.

use super::batteries::BatteryLife;
use super::study::OutlookProblem;
use crate::coupling::CouplingOption;
use crate::household::Finance;
use crate::maths::interpolate;
use crate::outage::OffGridFigures;
use crate::year::{Scene, YearRun};

/// Years between two runs, at most.
pub(super) const YEARS_BETWEEN_RUNS: usize = 5;

/// What is left of the hardware in a year.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Left {
    /// Share of the arrays' power.
    pub(super) arrays: f64,
    /// Share of each battery's energy.
    pub(super) batteries: Vec<f64>,
}

impl Left {
    /// As it is in the first year.
    pub(super) fn all(option: &CouplingOption) -> Self {
        Self {
            arrays: 1.0,
            batteries: vec![1.0; option.storage.len()],
        }
    }

    /// An option of which this is left. Powers stay: they are bounded by the inverters.
    fn of(&self, option: &CouplingOption) -> CouplingOption {
        let mut aged = option.clone();
        for array in &mut aged.arrays {
            array.age_loss = 1.0 - (1.0 - array.age_loss) * self.arrays;
        }
        for (unit, left) in aged.storage.iter_mut().zip(&self.batteries) {
            unit.battery.usable_wh *= left;
        }
        aged
    }
}

/// What a year comes to, at today's prices.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Outcome {
    /// Bill, or without a utility the fuel of the generator, currency.
    pub(super) bill_cur: f64,
    /// Energy out of the batteries, Wh.
    pub(super) stored_wh: f64,
    /// Energy that the loads were given, Wh.
    pub(super) served_wh: f64,
    /// That as a share of what they ask for.
    pub(super) served_share: f64,
}

impl Outcome {
    fn of(scene: &Scene, run: &YearRun) -> Result<Self, OutlookProblem> {
        let stored_wh = run.ledger.battery_discharge_wh;
        Ok(match &run.figures.off_grid {
            None => Self {
                bill_cur: run.figures.bill_cur.ok_or(OutlookProblem::NoBill)?,
                stored_wh,
                served_wh: run.ledger.load_wh,
                served_share: 1.0,
            },
            Some(_) if !scene.is_whole_year() => return Err(OutlookProblem::NoBill),
            Some(island) => Self {
                bill_cur: fuel_cur(island)?,
                stored_wh,
                served_wh: island.served_wh,
                served_share: island.served_share,
            },
        })
    }
}

/// What the fuel of a year costs; fuel that is not burnt needs no price.
fn fuel_cur(island: &OffGridFigures) -> Result<f64, OutlookProblem> {
    match island.fuel_cur {
        Some(fuel_cur) => Ok(fuel_cur),
        None if island.fuel_l > 0.0 => Err(OutlookProblem::NoFuelPrice),
        None => Ok(0.0),
    }
}

/// A year of an option.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct AgedYear {
    /// What is left of the hardware when it begins.
    pub(super) left: Left,
    /// What it comes to.
    pub(super) outcome: Outcome,
    /// Whether it was run; otherwise it lies between two years that were.
    pub(super) run: bool,
}

/// An option in a scene, with the runs that are known.
pub(super) struct Runs<'a> {
    scene: &'a Scene,
    option: &'a CouplingOption,
    known: Vec<(Left, Outcome)>,
}

impl<'a> Runs<'a> {
    pub(super) fn new(scene: &'a Scene, option: &'a CouplingOption) -> Self {
        Self {
            scene,
            option,
            known: Vec::new(),
        }
    }

    /// What a year comes to with what is left of the hardware.
    pub(super) fn year(&mut self, left: &Left) -> Result<Outcome, OutlookProblem> {
        if let Some((_, outcome)) = self.known.iter().find(|(known, _)| known == left) {
            return Ok(*outcome);
        }
        let run = self.scene.run(&left.of(self.option))?;
        let outcome = Outcome::of(self.scene, &run)?;
        self.known.push((left.clone(), outcome));
        Ok(outcome)
    }

    /// Takes over a run with the hardware as it is.
    pub(super) fn take_first(&mut self, run: &YearRun) -> Result<(), OutlookProblem> {
        let outcome = Outcome::of(self.scene, run)?;
        self.known.push((Left::all(self.option), outcome));
        Ok(())
    }

    /// Takes over years that were run.
    pub(super) fn know(&mut self, years: &[AgedYear]) {
        let run = years.iter().filter(|year| year.run);
        self.known
            .extend(run.map(|year| (year.left.clone(), year.outcome)));
    }

    /// Every year of the option: its batteries last as `lives` tell, its arrays fade. Two years that are run are not further
    /// apart than `years_between`.
    pub(super) fn years(
        &mut self,
        finance: &Finance,
        lives: &[BatteryLife],
        years_between: usize,
    ) -> Result<Vec<AgedYear>, OutlookProblem> {
        let years = finance.years as usize;
        let chosen = chosen_years(years, lives, years_between);
        let mut at = Vec::new();
        let mut outcomes = Vec::new();
        for year in &chosen {
            outcomes.push(self.year(&left_in(*year, finance, lives))?);
            at.push(number(*year));
        }
        let series = |of: fn(&Outcome) -> f64| -> Vec<f64> { outcomes.iter().map(of).collect() };
        let bill_cur = series(|outcome| outcome.bill_cur);
        let stored_wh = series(|outcome| outcome.stored_wh);
        let served_wh = series(|outcome| outcome.served_wh);
        let served_share = series(|outcome| outcome.served_share);
        let year = |year: usize| AgedYear {
            left: left_in(year, finance, lives),
            outcome: Outcome {
                bill_cur: interpolate(number(year), &at, &bill_cur),
                stored_wh: interpolate(number(year), &at, &stored_wh),
                served_wh: interpolate(number(year), &at, &served_wh),
                served_share: interpolate(number(year), &at, &served_share),
            },
            run: chosen.contains(&year),
        };
        Ok((1..=years).map(year).collect())
    }
}

/// What is left when a year begins, `year` from 1.
fn left_in(year: usize, finance: &Finance, lives: &[BatteryLife]) -> Left {
    Left {
        arrays: libm::pow(1.0 - finance.array_fade_per_year, number(year) - 1.0),
        batteries: lives.iter().map(|life| life.left_in(year)).collect(),
    }
}

/// Years that are run: the first, the last, some between them, and those on both sides of a replacement, across which nothing
/// goes straight.
fn chosen_years(years: usize, lives: &[BatteryLife], years_between: usize) -> Vec<usize> {
    let mut chosen: Vec<usize> = (1..=years).step_by(years_between.max(1)).collect();
    chosen.push(years);
    for year in lives.iter().flat_map(|life| life.due(years)) {
        chosen.extend([year, year + 1]);
    }
    chosen.sort_unstable();
    chosen.dedup();
    chosen
}

#[expect(clippy::cast_precision_loss, reason = "years are few")]
fn number(year: usize) -> f64 {
    year as f64
}
