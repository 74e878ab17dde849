//! How long the backed-up bus lives when the grid goes: an outage from each hour of the year.

use serde::{Deserialize, Serialize};

use super::plant::OutagePlant;
use super::step::{IslandSlots, IslandState, island_step};
use crate::converter::FitProblem;
use crate::household::AcSide;
use crate::sky::month_of_day;
use crate::year::{Scene, YearRun};

/// Longest outage that is looked at, h.
pub const LONGEST_OUTAGE_H: u16 = 168;

/// What the batteries hold when the grid goes.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum StartSoc {
    /// What normal running holds at that hour.
    AsRun,
    /// The same state of charge at every hour, 0 to 1.
    At(f64),
}

/// A quarter of the year as it is at the site.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Season {
    /// December to February in the north, June to August in the south.
    Winter,
    /// The three months after winter.
    Spring,
    /// The three months after spring.
    Summer,
    /// The three months after summer.
    Autumn,
}

/// Outages from every hour of the year.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct OutageSurvival {
    /// What the batteries held when the grid went.
    pub start: StartSoc,
    /// Whole hours from each start until the bus first goes dark, to [`LONGEST_OUTAGE_H`], which means: that long or longer.
    pub lasted_h: Vec<u16>,
    /// Hours that the bus is then dark before it comes back by itself, rounded up; none: it did not go dark, or does not come
    /// back within [`LONGEST_OUTAGE_H`].
    pub dark_h: Vec<Option<u16>>,
    /// The whole year.
    pub year: SurvivalFigures,
    /// Each season, winter first.
    pub seasons: Vec<(Season, SurvivalFigures)>,
}

/// What the outages of a part of the year come to.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SurvivalFigures {
    /// Share of the outages that last 1 h, 2 h, … without a dark hour, 0 to 1; [`LONGEST_OUTAGE_H`] values.
    pub lasting: Vec<f64>,
    /// Shortest time until dark, h.
    pub worst_h: u16,
    /// Hour of the year at which the first of the shortest begins, from 0.
    pub worst_start: u16,
    /// Time that half of them last, h.
    pub median_h: u16,
    /// Longest time, h.
    pub best_h: u16,
    /// Outages in which the bus goes dark.
    pub went_dark: u16,
    /// Of these, those in which it comes back by itself.
    pub came_back: u16,
    /// Dark hours until it comes back that half of those do not exceed; none: none comes back.
    pub median_dark_h: Option<u16>,
}

/// Outages from every hour of a run of a whole year.
///
/// From each hour on, the backed-up bus is alone. The year goes on from its start where an outage passes
/// its end. A generator's gap until it gives power is not taken for a dark hour; a step that is dark from end to end is.
///
/// An outage that comes to the same state as one that began later is not followed further: from there on both are the same.
/// States are the same when no battery differs by more than 1 µWh.
///
/// Returns none if the scene is not a whole year.
///
/// **Errors**: efficiency figures that no loss law has; a checked household has none.
pub fn outage_survival(
    scene: &Scene,
    run: &YearRun,
    start: StartSoc,
) -> Result<Option<OutageSurvival>, FitProblem> {
    let plant = OutagePlant::new(scene, &run.option)?;
    let per_hour = usize::try_from(3600 / scene.grid.step_s.max(1)).unwrap_or(1);
    let hours = HOURS_PER_YEAR;
    if per_hour == 0 || plant.steps() != hours * per_hour {
        return Ok(None);
    }
    let first_wh = run.stored_wh_at_midnight(scene, scene.grid.first_day);
    let mut search = Search::new(&plant, per_hour);
    let mut lasted_h = vec![0; hours];
    let mut dark_h = vec![None; hours];
    // From the last hour to the first, since a state that is known was then followed for long enough.
    for hour in (0..hours).rev() {
        let from = hour * per_hour;
        let stored_wh = start.stored_wh(run, &first_wh, from);
        search.state.begin(stored_wh);
        let end = search.follow(from);
        lasted_h[hour] = u16::try_from(end.dark_in / per_hour)
            .map_or(LONGEST_OUTAGE_H, |hours| hours.min(LONGEST_OUTAGE_H));
        dark_h[hour] = end
            .back_in
            .filter(|_| lasted_h[hour] < LONGEST_OUTAGE_H)
            .and_then(|back_in| u16::try_from((back_in - end.dark_in).div_ceil(per_hour)).ok())
            .filter(|dark_h| *dark_h <= LONGEST_OUTAGE_H);
    }
    let northern = scene.site().latitude_deg >= 0.0;
    let figures = |season: Option<Season>| {
        let chosen =
            |hour: usize| season.is_none_or(|season| Season::of_day(hour / 24, northern) == season);
        SurvivalFigures::of(&lasted_h, &dark_h, chosen)
    };
    Ok(Some(OutageSurvival {
        start,
        year: figures(None),
        seasons: [
            Season::Winter,
            Season::Spring,
            Season::Summer,
            Season::Autumn,
        ]
        .map(|season| (season, figures(Some(season))))
        .to_vec(),
        lasted_h,
        dark_h,
    }))
}

const HOURS_PER_YEAR: usize = 8760;

/// How an outage goes on, counted in steps from where it is looked at.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct End {
    /// First dark step; if none is found, the number of steps that were looked at.
    dark_in: usize,
    /// Whether there is a dark step.
    goes_dark: bool,
    /// First step after that in which the bus lives again.
    back_in: Option<usize>,
    /// Steps from the first dark one on in which `back_in` was looked for.
    looked: usize,
}

impl End {
    /// The same seen from an earlier step.
    fn before(self, passed: usize) -> Self {
        Self {
            dark_in: self.dark_in + passed,
            back_in: self.back_in.map(|back_in| back_in + passed),
            ..self
        }
    }

    /// The same seen from a later step.
    fn after(self, passed: usize) -> Self {
        Self {
            dark_in: self.dark_in.saturating_sub(passed),
            back_in: self.back_in.map(|back_in| back_in.saturating_sub(passed)),
            looked: (self.looked).saturating_sub(passed.saturating_sub(self.dark_in)),
            ..self
        }
    }
}

/// Looked for as long as it may take: it never comes back.
const FOR_EVER: usize = usize::MAX / 2;

/// One known state for each step of the year, and how it goes on from there.
struct Search<'a> {
    plant: &'a OutagePlant,
    state: IslandState,
    slots: IslandSlots,
    /// Longest time that is looked at, before the first dark step and after it, steps.
    longest: usize,
    /// Numbers that describe a state.
    width: usize,
    /// States at the beginning of each step, one after the other.
    keys: Vec<f64>,
    ends: Vec<Option<End>>,
}

impl<'a> Search<'a> {
    fn new(plant: &'a OutagePlant, per_hour: usize) -> Self {
        let width = 2 * plant.units.len() + 2 * plant.inverters.len() + 2;
        Self {
            plant,
            state: IslandState::new(plant, std::iter::empty()),
            slots: IslandSlots::new(plant),
            longest: usize::from(LONGEST_OUTAGE_H) * per_hour,
            width,
            keys: vec![0.0; plant.steps() * width],
            ends: vec![None; plant.steps()],
        }
    }

    /// Follows the outage that begins at step `from` with the state at hand.
    fn follow(&mut self, from: usize) -> End {
        let steps = self.plant.steps();
        let mut dark_at = None;
        let mut passed = 0;
        let end = loop {
            if let Some(end) = self.over(passed, dark_at) {
                break end;
            }
            let place = (from + passed) % steps;
            if let Some(end) = self.known(place, passed, dark_at) {
                break end;
            }
            self.keep(place);
            let offer = self.plant.offer(place);
            let step = island_step(self.plant, &offer, &mut self.state, &mut self.slots);
            if step.goes_dark() {
                dark_at = dark_at.or(Some(passed));
            } else if let Some(dark_in) = dark_at {
                break End {
                    dark_in,
                    goes_dark: true,
                    back_in: Some(passed),
                    looked: passed - dark_in,
                };
            }
            passed += 1;
        };
        for before in 0..passed {
            if let Some(place) = self.ends.get_mut((from + before) % steps) {
                *place = Some(end.after(before));
            }
        }
        end
    }

    /// How the outage ends if it need not be followed beyond `passed` steps.
    fn over(&self, passed: usize, dark_at: Option<usize>) -> Option<End> {
        let Some(dark_in) = dark_at else {
            return (passed >= self.longest).then_some(End {
                dark_in: passed,
                ..End::default()
            });
        };
        let stuck = self.plant.never_restarts() && self.state.stays_shut(self.plant);
        let looked = if stuck { FOR_EVER } else { passed - dark_in };
        (looked >= self.longest).then_some(End {
            dark_in,
            goes_dark: true,
            back_in: None,
            looked,
        })
    }

    /// How the outage ends if the state at hand is the one that is known at this place.
    fn known(&self, place: usize, passed: usize, dark_at: Option<usize>) -> Option<End> {
        let end = self.ends.get(place).copied().flatten()?;
        let key = self
            .keys
            .get(place * self.width..(place + 1) * self.width)?;
        if !key
            .iter()
            .zip(self.key())
            .all(|(known, own)| (known - own).abs() <= SAME)
        {
            return None;
        }
        let Some(dark_in) = dark_at else {
            let far_enough = if end.goes_dark {
                end.back_in.is_some() || end.looked >= self.longest
            } else {
                passed + end.dark_in >= self.longest
            };
            return far_enough.then(|| end.before(passed));
        };
        let looked = passed - dark_in;
        let own = |back_in, looked| End {
            dark_in,
            goes_dark: true,
            back_in,
            looked,
        };
        if end.dark_in > 0 {
            return Some(own(Some(passed), looked));
        }
        let looked = (looked + end.looked).min(FOR_EVER);
        (end.back_in.is_some() || looked >= self.longest)
            .then(|| own(end.back_in.map(|back_in| passed + back_in), looked))
    }

    /// Keeps the state at hand as the one that is known at this place; how it goes on is told later.
    fn keep(&mut self, place: usize) {
        let Self {
            keys, state, width, ..
        } = self;
        if let Some(key) = keys.get_mut(place * *width..(place + 1) * *width) {
            key.iter_mut()
                .zip(state.numbers())
                .for_each(|(kept, own)| *kept = own);
        }
        if let Some(end) = self.ends.get_mut(place) {
            *end = None;
        }
    }

    fn key(&self) -> impl Iterator<Item = f64> {
        self.state.numbers()
    }
}

/// Difference of two stored energies, Wh, or waits, s, that is none.
const SAME: f64 = 1e-6;

impl IslandState {
    /// All that it remembers, as numbers: yes is 1 and no is 0.
    fn numbers(&self) -> impl Iterator<Item = f64> {
        let flag = |yes: bool| f64::from(u8::from(yes));
        let units = (self.units.iter()).flat_map(move |unit| [unit.stored_wh, flag(unit.shut)]);
        let pv = (self.pv.iter()).flat_map(move |pv| [pv.waiting_s, flag(pv.open)]);
        let generator = [flag(self.generator_runs), self.generator_in_s];
        units.chain(pv).chain(generator)
    }
}

impl StartSoc {
    /// What each unit on the backed-up side holds when the grid goes at the beginning of step `from`, Wh; `first_wh` is what
    /// all units held at the start of the run.
    pub(super) fn stored_wh(
        self,
        run: &YearRun,
        first_wh: &[f64],
        from: usize,
    ) -> impl Iterator<Item = f64> {
        run.option
            .storage
            .iter()
            .zip(&run.flows.units)
            .zip(first_wh)
            .filter(|((unit, _), _)| unit.side == AcSide::BackedUp)
            .map(move |((unit, flow), first_wh)| match self {
                Self::At(soc) => soc.clamp(0.0, 1.0) * unit.battery.usable_wh,
                Self::AsRun => {
                    let before = from.checked_sub(1);
                    let stored_wh = before.and_then(|before| flow.stored_wh.get(before));
                    *stored_wh.unwrap_or(first_wh)
                }
            })
    }
}

impl Season {
    /// Season of a day of the year, 0 is 1 January.
    #[must_use]
    pub fn of_day(day: usize, northern: bool) -> Self {
        let month = month_of_day(u32::try_from(day).unwrap_or(0));
        let month = if northern { month } else { month + 6 };
        match (month + 1) % 12 / 3 {
            0 => Self::Winter,
            1 => Self::Spring,
            2 => Self::Summer,
            _ => Self::Autumn,
        }
    }
}

impl SurvivalFigures {
    /// Figures of the start hours that are chosen.
    fn of(lasted_h: &[u16], dark_h: &[Option<u16>], chosen: impl Fn(usize) -> bool) -> Self {
        let count = |number: usize| u16::try_from(number).unwrap_or(u16::MAX);
        let starts = || (0..lasted_h.len()).filter(|hour| chosen(*hour));
        let mut lasted: Vec<u16> = starts().map(|hour| lasted_h[hour]).collect();
        let worst_start = starts().min_by_key(|hour| lasted_h[*hour]).unwrap_or(0);
        lasted.sort_unstable();
        let mut dark: Vec<u16> = starts().filter_map(|hour| dark_h[hour]).collect();
        dark.sort_unstable();
        let all = f64::from(count(lasted.len().max(1)));
        let lasting = (1..=LONGEST_OUTAGE_H)
            .map(|hours| {
                let shorter = lasted.partition_point(|lasted| *lasted < hours);
                f64::from(count(lasted.len() - shorter)) / all
            })
            .collect();
        let half = |sorted: &[u16]| sorted.get(sorted.len().saturating_sub(1) / 2).copied();
        Self {
            lasting,
            worst_h: lasted.first().copied().unwrap_or(0),
            worst_start: count(worst_start),
            median_h: half(&lasted).unwrap_or(0),
            best_h: lasted.last().copied().unwrap_or(0),
            went_dark: count(lasted.partition_point(|lasted| *lasted < LONGEST_OUTAGE_H)),
            came_back: count(dark.len()),
            median_dark_h: half(&dark),
        }
    }
}
