//! What the electrical rules say of the open option. It takes less than a frame, so it is a memo and no question to the worker.

use std::collections::BTreeMap;
use std::sync::Arc;

use couplet_core::drawing::Part;
use couplet_core::findings::{
    Circuit, DesignTemperatures, Details, Finding, Verdict, conductor_schedule, findings,
};
use couplet_core::household::OptionId;
use leptos::prelude::*;

use crate::desk::Desk;
use crate::study::Study;

/// What the electrical rules say of the open option.
#[derive(Clone, Copy)]
pub(crate) struct Judged {
    /// What they look at: given values, and generic ones in place of those that are not given; none without an option.
    pub(crate) details: Memo<Option<Arc<Details>>>,
    /// Every circuit with what is chosen or proposed for it.
    pub(crate) circuits: Memo<Arc<Vec<Circuit>>>,
    /// What they say; none until the cold and the heat of the site are known.
    pub(crate) findings: Memo<Option<Arc<Vec<Finding>>>>,
    /// How many findings of each verdict each part has.
    pub(crate) tallies: Memo<Arc<BTreeMap<Part, Tally>>>,
}

/// How many findings there are of each verdict.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Tally {
    pub(crate) breaks: usize,
    pub(crate) watch: usize,
    pub(crate) not_judged: usize,
    pub(crate) holds: usize,
}

impl Tally {
    /// Counts findings.
    pub(crate) fn of<'a>(findings: impl IntoIterator<Item = &'a Finding>) -> Self {
        let mut tally = Self::default();
        for finding in findings {
            *tally.count_mut(finding.verdict) += 1;
        }
        tally
    }

    /// How many have this verdict.
    pub(crate) fn count(self, verdict: Verdict) -> usize {
        match verdict {
            Verdict::Breaks => self.breaks,
            Verdict::Watch => self.watch,
            Verdict::NotJudged => self.not_judged,
            Verdict::Holds => self.holds,
        }
    }

    fn count_mut(&mut self, verdict: Verdict) -> &mut usize {
        match verdict {
            Verdict::Breaks => &mut self.breaks,
            Verdict::Watch => &mut self.watch,
            Verdict::NotJudged => &mut self.not_judged,
            Verdict::Holds => &mut self.holds,
        }
    }

    /// The verdict that comes first to be looked at.
    pub(crate) fn worst(self) -> Verdict {
        [Verdict::Breaks, Verdict::Watch, Verdict::NotJudged]
            .into_iter()
            .find(|verdict| self.count(*verdict) > 0)
            .unwrap_or(Verdict::Holds)
    }
}

/// An option, and what was last found of it.
type Last = (OptionId, Arc<Vec<Finding>>);

impl Judged {
    /// Follows the desk from now on.
    pub(crate) fn of(desk: Desk, study: Study) -> Self {
        let temperatures = Memo::new(move |_| {
            study.temperatures.get().or_else(|| {
                // Without the climate, what was typed is all there is.
                study.trouble.with(Option::is_some).then(|| {
                    desk.household
                        .with(|household| DesignTemperatures::of(&household.site, None))
                })
            })
        });
        let details = Memo::new(move |_| {
            let option = desk.option.get()?;
            let temperatures = temperatures.get().unwrap_or_default();
            let units = desk.keep.settings.with(|settings| settings.units);
            let details = desk
                .household
                .with(|household| Details::of(household, &option, &temperatures))
                .told_in(units);
            Some(Arc::new(details))
        });
        let circuits = Memo::new(move |_| {
            let circuits = desk.option.get().and_then(|option| {
                let details = details.get()?;
                let schedule =
                    |household: &Arc<_>| conductor_schedule(household, &option, &details);
                Some(desk.household.with(schedule))
            });
            Arc::new(circuits.unwrap_or_default())
        });
        // Of inputs that cannot be computed nothing is said: what was last found of the option stays.
        let last = Memo::new(move |before: Option<&Option<Last>>| {
            let id = desk.option_id.get();
            if study.problems.with(|problems| !problems.is_empty())
                && let Some(Some(before)) = before
                && before.0 == id
            {
                return Some(before.clone());
            }
            let temperatures = temperatures.get()?;
            let (Some(option), Some(details)) = (desk.option.get(), details.get()) else {
                return Some((id, Arc::default()));
            };
            let found = desk
                .household
                .with(|household| findings(household, &option, &details, &temperatures));
            Some((id, Arc::new(found)))
        });
        let found =
            Memo::new(move |_| last.with(|last| last.as_ref().map(|(_, found)| Arc::clone(found))));
        let tallies = Memo::new(move |_| {
            let mut tallies: BTreeMap<Part, Tally> = BTreeMap::new();
            for finding in found.get().iter().flat_map(|found| found.iter()) {
                *tallies
                    .entry(finding.part)
                    .or_default()
                    .count_mut(finding.verdict) += 1;
            }
            Arc::new(tallies)
        });
        Self {
            details,
            circuits,
            findings: found,
            tallies,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Tally;
    use couplet_core::findings::Verdict;

    #[test]
    fn the_worst_verdict_is_looked_at_first() {
        let tally = Tally {
            watch: 1,
            not_judged: 3,
            holds: 9,
            ..Tally::default()
        };
        assert_eq!(tally.worst(), Verdict::Watch);
        assert_eq!(tally.count(Verdict::NotJudged), 3);
        assert_eq!(Tally::default().worst(), Verdict::Holds);
    }
}
