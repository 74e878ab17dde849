//! Own hours for a household: plans of a day that the optimum suggests, put together to seasons, then tried hour by hour.
//!
//! What a rule does in one month hardly touches what another month costs, since a battery carries a day or two. So every plan of a day is
//! run through the whole year once, and the months' costs tell where it suits: months in a row with one plan are a season, and the best
//! way to cut the year into seasons is found without another run. Then ends, levels and days of the windows are moved one at a time, as
//! long as the year gets cheaper, and windows that are hardly worth it are left out. What counts in the end is always the true run.

use super::day_plan::{DayPlan, Part, parts};
use super::measure::{at_step_prices_by_month_cur, measured_cur};
use super::optimum::Optimum;
use super::simple_rules::{charge_levels, matters};
use crate::bill::{DayKind, Window};
use crate::converter::FitProblem;
use crate::coupling::{CouplingOption, OwnHours, Running, RunningRule, WindowAim};
use crate::running::joined;
use crate::year::{Scene, YearRun};

/// Most seasons of a rule.
const MOST_SEASONS: usize = 3;
/// Most runs of a year that moving the windows may take.
const MOST_MOVES: usize = 72;
/// Moves of an end, h, and of a level, state of charge, from coarse to fine.
const MOVES: [(f64, f64); 3] = [(2.0, 0.2), (1.0, 0.1), (0.5, 0.05)];

/// A rule of own hours and what it costs.
#[derive(Clone, Debug, PartialEq)]
struct Tried {
    windows: Vec<OwnHours>,
    cost_cur: f64,
}

/// Runs rules of own hours through the year.
struct Trials<'a, F> {
    scene: &'a Scene,
    option: CouplingOption,
    runs: usize,
    on_run: F,
}

impl<F: FnMut(usize)> Trials<'_, F> {
    fn run(&mut self, windows: &[OwnHours]) -> Result<YearRun, FitProblem> {
        self.option.running.rule = RunningRule::OwnHours {
            windows: windows.to_vec(),
        };
        let run = self.scene.run(&self.option)?;
        self.runs += 1;
        (self.on_run)(self.runs);
        Ok(run)
    }

    fn months_cur(&mut self, windows: &[OwnHours]) -> Result<[f64; 12], FitProblem> {
        let run = self.run(windows)?;
        Ok(at_step_prices_by_month_cur(self.scene, &run))
    }

    fn tried(&mut self, windows: Vec<OwnHours>) -> Result<Tried, FitProblem> {
        let run = self.run(&windows)?;
        let cost_cur = measured_cur(self.scene, &run);
        Ok(Tried { windows, cost_cur })
    }
}

/// The best rule of own hours that was found.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct BestOwnHours {
    pub(super) running: Running,
    /// What it costs by the measure, currency.
    pub(super) cost_cur: f64,
    /// How many rules were tried.
    pub(super) tried: usize,
}

/// The best own hours that a search finds; none if neither the tariff nor the optimum suggests any.
///
/// - `option`: with the running in which only the rule is to be replaced
/// - `worth_cur`: what a season or a window must save to be there, currency
/// - `on_run`: told the number of years run so far; at most [`most_runs`]
///
/// **Errors**: as [`Scene::run`].
pub(super) fn best_own_hours(
    scene: &Scene,
    option: &CouplingOption,
    optimum: &Optimum,
    worth_cur: f64,
    on_run: impl FnMut(usize),
) -> Result<Option<BestOwnHours>, FitProblem> {
    let parts = parts(scene.tariff(), optimum);
    let plans = day_plans(option, optimum, &parts);
    let mut trials = Trials {
        scene,
        option: option.clone(),
        runs: 0,
        on_run,
    };
    let mut months_cur = Vec::with_capacity(plans.len());
    for plan in &plans {
        months_cur.push(trials.months_cur(&plan.windows(&parts, [true; 12]))?);
    }
    let mut best: Option<Tried> = None;
    for seasons in 1..=MOST_SEASONS {
        let seasons = best_seasons(&months_cur, seasons);
        let windows = seasons
            .iter()
            .filter_map(|season| Some(plans.get(season.plan)?.windows(&parts, season.months())))
            .flatten()
            .map(|own| (own.aim, own.window));
        let windows: Vec<OwnHours> = joined(windows)
            .into_iter()
            .map(|(aim, window)| OwnHours { window, aim })
            .collect();
        if (best.as_ref()).is_some_and(|best| best.windows == windows) {
            continue;
        }
        let tried = trials.tried(windows)?;
        if (best.as_ref()).is_none_or(|best| tried.cost_cur < best.cost_cur - worth_cur) {
            best = Some(tried);
        }
    }
    let Some(start) = best.filter(|best| !best.windows.is_empty()) else {
        return Ok(None);
    };
    let last_run = trials.runs + MOST_MOVES;
    let lean = without_idle_windows(&mut trials, start, worth_cur, last_run)?;
    let moved = moved(&mut trials, lean, option.running.reserve_soc, last_run)?;
    let found = without_idle_windows(&mut trials, moved, worth_cur, last_run)?;
    let running = Running {
        rule: RunningRule::OwnHours {
            windows: found.windows,
        },
        ..option.running.clone()
    };
    Ok(Some(BestOwnHours {
        running,
        cost_cur: found.cost_cur,
        tried: trials.runs,
    }))
}

/// Most runs of a year that [`best_own_hours`] takes.
pub(super) fn most_runs(option: &CouplingOption, scene: &Scene, optimum: &Optimum) -> usize {
    let parts = parts(scene.tariff(), optimum);
    day_plans(option, optimum, &parts).len() + MOST_SEASONS + MOST_MOVES
}

/// Plans of a day that an optimum of this shape does not make pointless.
fn day_plans(option: &CouplingOption, optimum: &Optimum, parts: &[(Part, Window)]) -> Vec<DayPlan> {
    let levels: Vec<WindowAim> = if matters(option, optimum.grid_charge_wh) {
        charge_levels(&optimum.grid_charge_soc, option.running.reserve_soc)
            .map(|to_soc| WindowAim::Charge { to_soc })
            .collect()
    } else {
        Vec::new()
    };
    let aims = |part: Part, aims: &[WindowAim]| -> Vec<Option<WindowAim>> {
        let there = parts.iter().any(|(other, _)| *other == part);
        let some = aims.iter().copied().filter(|_| there);
        std::iter::once(None).chain(some.map(Some)).collect()
    };
    let charging: Vec<WindowAim> = std::iter::once(WindowAim::Hold)
        .chain(levels.iter().copied())
        .collect();
    // Between the cheap and the dear hours a battery is filled rather than begun: the higher levels are enough.
    let topping_up: Vec<WindowAim> = std::iter::once(WindowAim::Hold)
        .chain(levels.iter().copied().skip(levels.len() / 2))
        .collect();
    let selling: &[WindowAim] = if matters(option, optimum.battery_export_wh) {
        &[WindowAim::Sell]
    } else {
        &[]
    };
    let mut plans = Vec::new();
    for cheap in aims(Part::Cheap, &charging) {
        for middle in aims(Part::Middle, &topping_up) {
            for selling in aims(Part::Selling, selling) {
                plans.push(DayPlan {
                    cheap,
                    middle,
                    selling,
                });
            }
        }
    }
    plans
}

/// Months in a row with one plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Season {
    first_month: usize,
    length: usize,
    plan: usize,
}

impl Season {
    fn months(&self) -> [bool; 12] {
        let mut months = [false; 12];
        for (month, holds) in months.iter_mut().enumerate() {
            *holds = (month + 12 - self.first_month) % 12 < self.length;
        }
        months
    }
}

/// The cheapest way to cut the year into at most so many seasons, each with its best plan; `months_cur` has the costs of each plan.
fn best_seasons(months_cur: &[[f64; 12]], most: usize) -> Vec<Season> {
    let best_in = |first_month: usize, length: usize| -> Option<(f64, Season)> {
        let cost_cur = |months_cur: &[f64; 12]| -> f64 {
            let months = months_cur.iter().cycle().skip(first_month);
            months.take(length).sum()
        };
        let costs_cur = months_cur.iter().map(cost_cur).enumerate();
        costs_cur
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(plan, cost_cur)| {
                let season = Season {
                    first_month,
                    length,
                    plan,
                };
                (cost_cur, season)
            })
    };
    let mut best: Option<(f64, Vec<Season>)> = None;
    for cuts in all_cuts(most) {
        let nexts = cuts
            .iter()
            .skip(1)
            .copied()
            .chain(cuts.first().map(|first| first + 12));
        let seasons: Option<Vec<(f64, Season)>> = cuts
            .iter()
            .zip(nexts)
            .map(|(from, next)| best_in(*from, next - from))
            .collect();
        let Some(seasons) = seasons else { continue };
        let cost_cur = seasons.iter().map(|(cost_cur, _)| cost_cur).sum();
        if best
            .as_ref()
            .is_none_or(|(least_cur, _)| cost_cur < *least_cur)
        {
            best = Some((
                cost_cur,
                seasons.into_iter().map(|(_, season)| season).collect(),
            ));
        }
    }
    best.map_or_else(Vec::new, |(_, seasons)| seasons)
}

/// Every choice of one to `most` first months, in rising order. With a single one the season is the whole year.
fn all_cuts(most: usize) -> Vec<Vec<usize>> {
    let mut all = vec![vec![0]];
    let mut longest: Vec<Vec<usize>> = (0..12).map(|month| vec![month]).collect();
    for _ in 1..most {
        longest = longest
            .iter()
            .flat_map(|cuts| {
                let after = cuts.last().map_or(0, |last| last + 1);
                (after..12).map(|month| cuts.iter().copied().chain([month]).collect())
            })
            .collect();
        all.extend(longest.iter().cloned());
    }
    all
}

/// Leaves out windows as long as each saves less than it is worth, the last ones first.
fn without_idle_windows(
    trials: &mut Trials<'_, impl FnMut(usize)>,
    mut best: Tried,
    worth_cur: f64,
    last_run: usize,
) -> Result<Tried, FitProblem> {
    for place in (0..best.windows.len()).rev() {
        if trials.runs >= last_run || best.windows.len() == 1 {
            break;
        }
        let mut windows = best.windows.clone();
        windows.remove(place);
        let tried = trials.tried(windows)?;
        if tried.cost_cur < best.cost_cur + worth_cur {
            best = tried;
        }
    }
    Ok(best)
}

/// A change of one window.
#[derive(Clone, Copy, Debug)]
enum Move {
    From(f64),
    To(f64),
    Level(f64),
    Days(DayKind),
}

/// Moves windows one at a time as long as the year gets cheaper, coarse moves first.
fn moved(
    trials: &mut Trials<'_, impl FnMut(usize)>,
    mut best: Tried,
    reserve_soc: f64,
    last_run: usize,
) -> Result<Tried, FitProblem> {
    for (hours, level) in MOVES {
        for place in 0..best.windows.len() {
            let moves = [
                Move::Level(-level),
                Move::Level(level),
                Move::From(hours),
                Move::From(-hours),
                Move::To(-hours),
                Move::To(hours),
                Move::Days(DayKind::Weekdays),
                Move::Days(DayKind::All),
            ];
            for one in moves {
                // A move that helped is made again.
                while trials.runs < last_run {
                    let mut windows = best.windows.clone();
                    let Some(own) = windows.get_mut(place) else {
                        break;
                    };
                    let Some(other) = after_move(own, one, reserve_soc) else {
                        break;
                    };
                    *own = other;
                    let tried = trials.tried(windows)?;
                    if tried.cost_cur >= best.cost_cur - 1e-9 * best.cost_cur.abs() {
                        break;
                    }
                    best = tried;
                }
            }
        }
    }
    Ok(best)
}

/// The window after a move; none if it makes no sense.
fn after_move(own: &OwnHours, one: Move, reserve_soc: f64) -> Option<OwnHours> {
    let mut window = own.window;
    let mut aim = own.aim;
    let length_h = |window: &Window| match (window.to_h - window.from_h).rem_euclid(24.0) {
        0.0 => 24.0,
        length_h => length_h,
    };
    let before_h = length_h(&window);
    match one {
        Move::From(hours) => {
            window.from_h = (window.from_h + hours).rem_euclid(24.0);
            let makes_sense = (0.5..=24.0).contains(&(before_h - hours));
            makes_sense.then_some(())?;
        }
        Move::To(hours) => {
            window.to_h = (window.to_h + hours).rem_euclid(24.0);
            let makes_sense = (0.5..=24.0).contains(&(before_h + hours));
            makes_sense.then_some(())?;
        }
        Move::Level(by) => {
            let WindowAim::Charge { to_soc } = &mut aim else {
                return None;
            };
            let level = ((*to_soc + by) * 20.0).round() / 20.0;
            (reserve_soc < level && level <= 1.0).then_some(())?;
            *to_soc = level;
        }
        Move::Days(days) => {
            (window.days != days).then_some(())?;
            window.days = days;
        }
    }
    if window.from_h == window.to_h {
        (window.from_h, window.to_h) = (0.0, 24.0);
    }
    Some(OwnHours { window, aim })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_year_is_cut_where_the_plans_change() {
        // Plan 0 suits November to February, plan 1 the other months.
        let cold = |month: usize| !(2..=9).contains(&month);
        let months_cur: Vec<[f64; 12]> = [true, false]
            .map(|winter| {
                std::array::from_fn(|month| if cold(month) == winter { 1.0 } else { 2.0 })
            })
            .to_vec();
        let seasons = best_seasons(&months_cur, 2);
        assert_eq!(seasons.len(), 2);
        let winter = seasons.iter().find(|season| season.plan == 0).unwrap();
        assert_eq!((winter.first_month, winter.length), (10, 4));
        assert!(winter.months()[10] && winter.months()[1] && !winter.months()[2]);
        assert_eq!(best_seasons(&months_cur, 1).len(), 1);
        assert_eq!(best_seasons(&[], 2), []);
    }

    #[test]
    fn cuts_are_all_there_once() {
        assert_eq!(all_cuts(1), [vec![0]]);
        assert_eq!(all_cuts(2).len(), 1 + 66);
        assert_eq!(all_cuts(3).len(), 1 + 66 + 220);
    }

    #[test]
    fn a_window_is_moved_within_a_day() {
        let own = |from_h: f64, to_h: f64| OwnHours {
            window: Window {
                months: [true; 12],
                days: DayKind::All,
                from_h,
                to_h,
            },
            aim: WindowAim::Charge { to_soc: 0.8 },
        };
        let ends = |own: OwnHours| (own.window.from_h, own.window.to_h);
        let night = own(23.0, 6.0);
        let after = |one| after_move(&night, one, 0.2);
        assert_eq!(after(Move::From(2.0)).map(ends), Some((1.0, 6.0)));
        assert_eq!(after(Move::To(-2.0)).map(ends), Some((23.0, 4.0)));
        assert_eq!(after_move(&own(1.0, 2.0), Move::From(1.0), 0.2), None);
        assert_eq!(after_move(&own(0.0, 24.0), Move::From(-1.0), 0.2), None);
        let whole = after_move(&own(1.0, 0.0), Move::To(1.0), 0.2).unwrap();
        assert_eq!(ends(whole), (0.0, 24.0));
        let level = |by| match after(Move::Level(by)).map(|own| own.aim) {
            Some(WindowAim::Charge { to_soc }) => Some(to_soc),
            _ => None,
        };
        assert_eq!((level(0.2), level(0.4)), (Some(1.0), None));
        assert_eq!(level(-0.6), None);
    }
}
