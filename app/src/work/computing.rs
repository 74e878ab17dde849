//! What the worker remembers between requests, so that only what changed is computed again: the scene that all options share, whose
//! parts an edit leaves alone are taken over, and the last run of each option.

use std::sync::Arc;

use couplet_core::adviser::{Trial, candidates};
use couplet_core::check::{Checked, check};
use couplet_core::climate::ClimateGrid;
use couplet_core::coupling::{CouplingOption, PowerLimiting};
use couplet_core::export_control::{Controls, ExportTrace, TraceSpan, study};
use couplet_core::findings::DesignTemperatures;
use couplet_core::foresight::foresight;
use couplet_core::household::{Household, OptionId};
use couplet_core::island::{drill, drill_at};
use couplet_core::limits;
use couplet_core::outage::{OutageSurvival, SizedPart, StartSoc, least_size, outage_survival};
use couplet_core::outlook::outlook;
use couplet_core::seconds::SecondsDay;
use couplet_core::year::{Scene, YearRun};

use super::protocol::{
    Answer, DrillWish, ExportDay, Found, LimitedBy, Question, Request, Shown, SizesFor, Tried,
    View, Ways,
};

/// Length of a step of a year's run, s.
const STEP_S: u32 = 900;

/// Whole runs that are kept: each is some MB.
const MOST_RUNS: usize = 8;

/// Ways whose outcomes are told together: a few times a second.
const TOLD_TOGETHER: usize = 4;

/// What the worker knows.
#[derive(Default)]
pub(super) struct Computing {
    climate: Option<Result<ClimateGrid, String>>,
    now: Option<Now>,
    /// Runs with the scene in which they were made, the newest last.
    runs: Vec<(Arc<Scene>, YearRun)>,
}

/// The household that is computed.
struct Now {
    household: Checked<Household>,
    scene: Arc<Scene>,
}

impl Computing {
    /// Takes the unpacked world grid.
    pub(super) fn set_climate(&mut self, bytes: &[u8]) {
        self.climate = Some(ClimateGrid::decode(bytes).map_err(|error| error.to_string()));
    }

    /// Answers one request. `on_share` is told the share done, 0 to 1, of what takes long.
    pub(super) fn answer(&mut self, request: Request, on_share: &mut dyn FnMut(f64)) -> Answer {
        let answer = match request {
            Request::Household { household, view } => self
                .take(Arc::unwrap_or_clone(household))
                .map_or_else(Answer::Refused, |()| self.view(view)),
            Request::View(view) => self.view(view),
            Request::Figures(option) => self.figures(option),
            Request::Advise(ways) => self.advise(ways, &mut |_, _| {}),
            Request::Ask {
                household,
                question,
            } => household
                .map_or(Ok(()), |household| {
                    self.take(Arc::unwrap_or_clone(household))
                })
                .map_or_else(Answer::Refused, |()| self.find(&question, on_share)),
        };
        if self.runs.len() > MOST_RUNS {
            self.runs.drain(..self.runs.len() - MOST_RUNS);
        }
        answer
    }

    /// Lays out a household, taking over what it has in common with the one before.
    fn take(&mut self, household: Household) -> Result<(), String> {
        let household = check(household).map_err(|problems| {
            problems
                .iter()
                .map(ToString::to_string)
                .collect::<Vec<_>>()
                .join("; ")
        })?;
        let climate = match &self.climate {
            Some(Ok(climate)) => Some(climate),
            _ => None,
        };
        let before = self.now.as_ref().map(|now| now.scene.as_ref());
        let scene = Scene::new(&household, climate, STEP_S, before).map_err(|_| {
            let reason = match &self.climate {
                Some(Err(reason)) => reason,
                _ => "it was not loaded",
            };
            format!("The built-in climate grid cannot be used ({reason}). Reload the page, type monthly values or give a weather file.")
        })?;
        self.now = Some(Now {
            household,
            scene: Arc::new(scene),
        });
        Ok(())
    }

    /// Tries the ways that are this worker's. `on_tried` is told the share done, 0 to 1, and what came of the last few.
    pub(super) fn advise(&mut self, ways: Ways, on_tried: &mut dyn FnMut(f64, &Tried)) -> Answer {
        let Ways {
            household,
            option,
            worker,
            workers,
        } = ways;
        if let Err(reason) = self.take(Arc::unwrap_or_clone(household)) {
            return Answer::Refused(reason);
        }
        let Some(now) = &self.now else {
            return Answer::SendHousehold;
        };
        let Some(base) = now.household.option(option) else {
            return Answer::SendHousehold;
        };
        let climate = self
            .climate
            .as_ref()
            .and_then(|climate| climate.as_ref().ok());
        let temperatures = DesignTemperatures::of(&now.household.site, climate);
        let trial = match Trial::new(&now.household, &now.scene, temperatures, base) {
            Ok(trial) => trial,
            Err(problem) => {
                return Answer::Refused(format!("The ways cannot be tried: {problem}."));
            }
        };
        let ways = candidates(base, Trial::day_wh(&now.scene));
        let mine = ways.len().saturating_sub(worker).div_ceil(workers.max(1));
        let mut tried = Tried {
            ways: ways.len(),
            outcomes: Vec::new(),
        };
        for (done, way) in ways.iter().skip(worker).step_by(workers.max(1)).enumerate() {
            match trial.outcome(way) {
                Ok(outcome) => tried.outcomes.extend(outcome),
                Err(problem) => {
                    return Answer::Refused(format!("A way cannot be tried: {problem}."));
                }
            }
            if tried.outcomes.len() >= TOLD_TOGETHER || done + 1 == mine {
                on_tried((done + 1) as f64 / mine as f64, &tried);
                tried.outcomes.clear();
            }
        }
        Answer::Advised
    }

    fn view(&mut self, view: View) -> Answer {
        match self.run(view.option) {
            Ok(None) => return Answer::SendHousehold,
            Err(reason) => return Answer::Refused(reason),
            Ok(Some(_)) => {}
        }
        // The run that is asked for is the newest now.
        let (Some(now), Some((scene, run))) = (&self.now, self.runs.last()) else {
            return Answer::SendHousehold;
        };
        let climate = self
            .climate
            .as_ref()
            .and_then(|climate| climate.as_ref().ok());
        let day = if view.step_s == STEP_S {
            run.day(scene, view.day)
        } else {
            scene
                .day_at(&now.household, climate, run, view.day, view.step_s)
                .ok()
                .flatten()
        };
        day.map_or_else(
            || Answer::Refused(format!("day {} cannot be shown", view.day + 1)),
            |day| {
                Answer::Shown(Box::new(Shown {
                    figures: run.figures.clone(),
                    day,
                    strip: run.strip(scene, view.quantity),
                    temperatures: DesignTemperatures::of(&now.household.site, climate),
                }))
            },
        )
    }

    fn figures(&mut self, option: OptionId) -> Answer {
        match self.run(option) {
            Ok(None) => Answer::SendHousehold,
            Err(reason) => Answer::Refused(reason),
            Ok(Some((_, run))) => Answer::Figures {
                option,
                figures: Box::new(run.figures.clone()),
            },
        }
    }

    /// Answers a long question of the household that is held.
    fn find(&mut self, question: &Question, on_share: &mut dyn FnMut(f64)) -> Answer {
        match self.run(question.option()) {
            Ok(None) => return Answer::SendHousehold,
            Err(reason) => return Answer::Refused(reason),
            Ok(Some(_)) => {}
        }
        // The run that is asked for is the newest now.
        let (Some(now), Some((scene, run))) = (&self.now, self.runs.last()) else {
            return Answer::SendHousehold;
        };
        let climate = self
            .climate
            .as_ref()
            .and_then(|climate| climate.as_ref().ok());
        let found = match question {
            Question::Drill { wish, .. } => {
                let case = match wish {
                    DrillWish::Case(case) => *case,
                    DrillWish::Moment(moment) => drill_at(scene, run, *moment),
                };
                drill(&now.household, climate, (scene, run), &case)
                    .map(|drill| Found::Drill(Box::new(drill)))
                    .map_err(|problem| format!("This drill cannot be run: {problem:?}"))
            }
            Question::Survival { start, .. } => survival(scene, run, *start).map(Found::Survival),
            Question::SurvivalByCharge { starts, .. } => {
                survival_by_charge(scene, run, starts, on_share).map(Found::SurvivalByCharge)
            }
            Question::Sizes(_) => Ok(Found::Sizes(sizes(scene, &run.option))),
            Question::Money(_) => outlook(&now.household, (scene, run))
                .map(|found| Found::Money(Box::new(found)))
                .map_err(|problem| format!("The years cannot be reckoned: {problem}.")),
            Question::Best(_) => foresight(scene, run, on_share)
                .map(|found| Found::Best(Box::new(found)))
                .map_err(|reason| format!("There is no best possible to compare with: {reason}.")),
            Question::Generation(_) => Ok(Found::Generation(run.flows.generation_w())),
            Question::ExportControl { day, .. } => {
                export_day(&now.household, climate, (scene, run), *day)
                    .map(|day| Found::ExportControl(Box::new(day)))
            }
        };
        found.map_or_else(Answer::Refused, |found| Answer::Found(Box::new(found)))
    }

    /// The run of an option, made now if the one that is known is of something else; none if there is no such option.
    fn run(&mut self, id: OptionId) -> Result<Option<(&Scene, &YearRun)>, String> {
        let Some(now) = &self.now else {
            return Ok(None);
        };
        let Some(option) = now.household.option(id) else {
            return Ok(None);
        };
        let known = self.runs.iter().position(|(_, run)| run.id() == id);
        let entry = match known.map(|index| self.runs.remove(index)) {
            Some((scene, run))
                if same_plant(&run.option, option)
                    && scene.runs_alike(&now.scene, &option.arrays) =>
            {
                (scene, run)
            }
            _ => {
                let run = now.scene.run(option).map_err(|problem| {
                    format!("\u{201c}{}\u{201d} cannot be run: {problem:?}", option.name)
                })?;
                (Arc::clone(&now.scene), run)
            }
        };
        self.runs.push(entry);
        Ok(self.runs.last().map(|(scene, run)| (scene.as_ref(), run)))
    }
}

/// Outages from every hour of the year of a run.
fn survival(scene: &Scene, run: &YearRun, start: StartSoc) -> Result<OutageSurvival, String> {
    outage_survival(scene, run, start)
        .map_err(|problem| format!("Outages cannot be run: {problem:?}"))?
        .ok_or_else(|| "Outages need a whole year.".to_owned())
}

/// The same for each of these charges at the start.
fn survival_by_charge(
    scene: &Scene,
    run: &YearRun,
    starts: &[StartSoc],
    on_share: &mut dyn FnMut(f64),
) -> Result<Vec<OutageSurvival>, String> {
    let all = starts.len().max(1) as f64;
    starts
        .iter()
        .enumerate()
        .map(|(done, start)| {
            on_share(done as f64 / all);
            survival(scene, run, *start)
        })
        .collect()
}

/// Clouds and switching of a day that is studied: every way of limiting meets the same ones.
const EXPORT_SEED: u64 = 1;

/// A day of an option under the export limit, as it is set and with every PV inverter limited in one way.
fn export_day(
    household: &Checked<Household>,
    climate: Option<&ClimateGrid>,
    (scene, run): (&Scene, &YearRun),
    day: u32,
) -> Result<ExportDay, String> {
    let seconds = SecondsDay::new(household, &run.option, climate, day, EXPORT_SEED)
        .map_err(|_| "This day needs the built-in climate grid.".to_owned())?;
    let stored_wh = run.stored_wh_at_midnight(scene, day);
    let relay = PowerLimiting::Relay {
        reconnect_s: limits::LIMITING_RECONNECT_S.default,
    };
    let mut ways = Vec::new();
    let mut trace = ExportTrace::default();
    for (limited_by, limiting) in [
        (LimitedBy::AsSet, None),
        (LimitedBy::Nothing, Some(PowerLimiting::None)),
        (LimitedBy::Command, Some(PowerLimiting::commanded())),
        (LimitedBy::Relay, Some(relay)),
    ] {
        let mut option = run.option.clone();
        for inverter in &mut option.pv_inverters {
            inverter.limiting = limiting.unwrap_or(inverter.limiting);
        }
        let found = study(
            household,
            &option,
            &seconds,
            &stored_wh,
            &Controls::USUAL,
            &TraceSpan::DAY,
        )
        .map_err(|problem| format!("This day cannot be run: {problem:?}"))?;
        if limited_by == LimitedBy::AsSet {
            trace = found.trace;
        }
        ways.push((limited_by, found.figures));
    }
    Ok(ExportDay {
        day,
        limit_w: household.service.export_limit_w.unwrap_or_default(),
        ways,
        trace,
    })
}

/// Whether two options differ in no more than the name on the tab.
fn same_plant(before: &CouplingOption, now: &CouplingOption) -> bool {
    before.id == now.id
        && before.arrays == now.arrays
        && before.pv_inverters == now.pv_inverters
        && before.storage == now.storage
        && before.running == now.running
        && before.generator == now.generator
        && before.island == now.island
}

/// Shares of the loads for which sizes are looked for.
const WANTED_SHARES: [f64; 3] = [0.9, 0.95, 0.99];

/// Least sizes that serve each wanted share without the generator.
fn sizes(scene: &Scene, option: &CouplingOption) -> Vec<SizesFor> {
    let least = |part, share| {
        let found = least_size(scene, option, part, 1.0, share, false);
        found.ok().flatten()
    };
    WANTED_SHARES
        .map(|share| SizesFor {
            share,
            arrays: least(SizedPart::Arrays, share),
            batteries: least(SizedPart::Batteries, share),
            both: least(SizedPart::Both, share),
        })
        .to_vec()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::work::protocol::View;
    use couplet_core::climate::MonthlyClimate;
    use couplet_core::document::demo;
    use couplet_core::household::ClimateSource;
    use couplet_core::year::{Figures, StripQuantity};

    const VIEW: View = View {
        option: OptionId(3),
        day: 171,
        step_s: STEP_S,
        quantity: StripQuantity::Pv,
    };

    /// The demonstration under a made-up climate, so that no grid is needed.
    fn household() -> Household {
        let mut household = demo();
        household.site.climate = ClimateSource::Monthly(MonthlyClimate {
            ghi_wh_m2_day: [4000.0; 12],
            air_mean_c: [12.0; 12],
            air_range_k: [10.0; 12],
            yearly_low_c: -10.0,
            yearly_high_c: 30.0,
        });
        household
    }

    fn shown(computing: &mut Computing, household: Household) -> Figures {
        match computing.answer(
            Request::Household {
                household: Arc::new(household),
                view: VIEW,
            },
            &mut |_| {},
        ) {
            Answer::Shown(shown) => shown.figures,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn what_is_taken_over_gives_the_same_as_a_new_start() {
        let mut kept = Computing::default();
        shown(&mut kept, household());
        let mut changed = household();
        changed.tariff.periods[2].tiers[0].cur_per_kwh *= 2.0;
        changed.options[2].arrays[1].peak_w += 500.0;
        changed.planes[2].tilt_deg += 5.0;
        let figures = shown(&mut kept, changed.clone());
        assert_eq!(figures, shown(&mut Computing::default(), changed));
    }

    #[test]
    fn an_option_that_did_not_change_is_not_run_again() {
        let mut computing = Computing::default();
        shown(&mut computing, household());
        let flows = |computing: &Computing| computing.runs.last().unwrap().1.flows.meter_w.as_ptr();
        let before = flows(&computing);
        let mut changed = household();
        changed.options[0].arrays[0].peak_w += 500.0;
        changed.options[2].name = "Another name".to_owned();
        shown(&mut computing, changed);
        assert_eq!(flows(&computing), before);
    }

    #[test]
    fn what_cannot_be_run_is_refused_with_a_reason_and_the_worker_goes_on() {
        let mut computing = Computing::default();
        assert_eq!(
            computing.answer(Request::View(VIEW), &mut |_| {}),
            Answer::SendHousehold
        );
        let refused = computing.answer(
            Request::Household {
                household: Arc::new(demo()),
                view: VIEW,
            },
            &mut |_| {},
        );
        assert!(matches!(refused, Answer::Refused(reason) if reason.contains("climate grid")));
        shown(&mut computing, household());
        assert_eq!(
            computing.answer(Request::Figures(OptionId(99)), &mut |_| {}),
            Answer::SendHousehold
        );
    }
}
