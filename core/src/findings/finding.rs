//! A finding: one checked rule with its numbers.

use super::{Caution, Missing};
use crate::drawing::Part;
use crate::limits::Unit;
use crate::rules::Source;

/// One checked rule with its numbers.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// Names the finding within its option: the rule and the part, such as `cold-voltage/array-1`. It stays the same while numbers
    /// change.
    pub id: String,
    /// What is judged, in trade words, such as "string voltage in the cold".
    pub title: &'static str,
    /// What it belongs to.
    pub topic: Topic,
    /// The part that it concerns.
    pub part: Part,
    /// Where the rule is written and how sure its words are.
    pub source: Source,
    /// The rule with the household's numbers in it; without numbers, what the rule asks for.
    pub formula: String,
    /// What is judged; none: not known, or the rule has no number.
    pub value: Option<f64>,
    /// What it is judged by.
    pub limit: Option<f64>,
    /// Unit of both.
    pub unit: Unit,
    /// How far the value is on the good side of the limit, as a share of the limit (of 1 where the limit is 0); negative: on the bad
    /// side.
    pub margin: Option<f64>,
    /// Whether a code asks for it or the trade advises it.
    pub weight: Weight,
    /// What came of it.
    pub verdict: Verdict,
    /// What would mend or secure it; empty if it holds.
    pub remedy: String,
    /// Inputs that would settle it; empty if it is judged.
    pub missing: Vec<Missing>,
    /// Generic values that it rests on; empty if everything was given.
    pub assumed: Vec<&'static str>,
}

/// What came of a rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// It breaks a rule.
    Breaks,
    /// It goes against advice, is close to a limit, or holds only if something is seen to.
    Watch,
    /// It cannot be judged from the inputs.
    NotJudged,
    /// It holds.
    Holds,
}

/// Whether a rule binds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weight {
    /// A code asks for it, or equipment comes to harm.
    Rule,
    /// The trade advises it: going against it is watched, not broken.
    Advice,
}

/// What a finding belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Topic {
    /// PV strings and their circuits.
    Strings,
    /// Output circuits: breakers, conductors, voltage drop.
    Circuits,
    /// Busbars, feeders, the service.
    Busbars,
    /// Batteries.
    Storage,
    /// Running without the grid.
    Backup,
    /// What may be sent to the utility.
    Export,
    /// Shutdown, disconnects, earth.
    Safety,
    /// Labels.
    Markings,
}

impl Verdict {
    /// The verdict in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Breaks => "breaks",
            Self::Watch => "watch",
            Self::NotJudged => "not judged",
            Self::Holds => "holds",
        }
    }
}

/// Share of a limit within which rounding of the arithmetic alone may carry a value.
const ROUNDING: f64 = 1e-9;

/// What names a finding before it is judged.
#[derive(Clone, Copy, Debug)]
pub(super) struct Head {
    pub(super) rule: &'static str,
    pub(super) title: &'static str,
    pub(super) topic: Topic,
    pub(super) part: Part,
    pub(super) source: Source,
}

impl Finding {
    /// Names the rule, whatever part it concerns: the first piece of [`Self::id`], such as `cold-voltage`.
    #[must_use]
    pub fn rule(&self) -> &str {
        self.id.split('/').next().unwrap_or_default()
    }

    /// What who works on what it concerns must know.
    #[must_use]
    pub fn cautions(&self) -> &'static [Caution] {
        match (self.rule(), self.part, self.topic) {
            ("neutral-bond", ..) => &[Caution::NeutralAndEarth],
            ("arc-fault", ..) => &[Caution::DcArc],
            ("storage-listing", ..) => &[Caution::MixedBatteries],
            (_, Part::Generator, _) => &[Caution::Generator],
            (.., Topic::Strings) => &[Caution::LiveInDaylight, Caution::Roof],
            (.., Topic::Busbars) => &[Caution::Backfeed],
            (.., Topic::Storage) => &[
                Caution::BatteryFault,
                Caution::BatteryPlace,
                Caution::CellFire,
            ],
            (.., Topic::Backup) => &[Caution::IslandIsAnEstimate, Caution::MedicalEquipment],
            (.., Topic::Export) => &[Caution::BeforeInspection],
            (.., Topic::Safety | Topic::Circuits | Topic::Markings) => &[],
        }
    }

    /// A rule that wants `value` at most `limit`.
    pub(super) fn at_most(head: Head, value: f64, limit: f64, unit: Unit, formula: String) -> Self {
        Self::measured(head, value, limit, limit - value, unit, formula)
    }

    /// A rule that wants `value` at least `limit`.
    pub(super) fn at_least(
        head: Head,
        value: f64,
        limit: f64,
        unit: Unit,
        formula: String,
    ) -> Self {
        Self::measured(head, value, limit, value - limit, unit, formula)
    }

    fn measured(
        head: Head,
        value: f64,
        limit: f64,
        over: f64,
        unit: Unit,
        formula: String,
    ) -> Self {
        let share = over / if limit == 0.0 { 1.0 } else { limit.abs() };
        // What rounding alone carries past the limit is on it.
        let margin = if share.abs() <= ROUNDING { 0.0 } else { share };
        let mut finding = Self {
            value: Some(value),
            limit: Some(limit),
            unit,
            margin: Some(margin),
            ..Self::bare(head, formula)
        };
        finding.verdict = if !margin.is_finite() {
            finding.margin = None;
            finding.missing.push(Missing::NumbersInRange);
            Verdict::NotJudged
        } else if margin < 0.0 {
            Verdict::Breaks
        } else {
            Verdict::Holds
        };
        finding
    }

    /// A rule without a number.
    pub(super) fn fact(head: Head, holds: bool, formula: String) -> Self {
        Self {
            verdict: if holds {
                Verdict::Holds
            } else {
                Verdict::Breaks
            },
            ..Self::bare(head, formula)
        }
    }

    /// A rule that cannot be judged until `missing` is known.
    pub(super) fn not_judged(head: Head, missing: &[Missing], formula: String) -> Self {
        Self {
            missing: missing.to_vec(),
            ..Self::bare(head, formula)
        }
    }

    fn bare(head: Head, formula: String) -> Self {
        Self {
            id: format!("{}/{}", head.rule, head.part.key()),
            title: head.title,
            topic: head.topic,
            part: head.part,
            source: head.source,
            formula,
            value: None,
            limit: None,
            unit: Unit::Ratio,
            margin: None,
            weight: Weight::Rule,
            verdict: Verdict::NotJudged,
            remedy: String::new(),
            missing: Vec::new(),
            assumed: Vec::new(),
        }
    }

    /// Makes it advice: going against it is watched, not broken.
    pub(super) fn advised(mut self) -> Self {
        self.weight = Weight::Advice;
        if self.verdict == Verdict::Breaks {
            self.verdict = Verdict::Watch;
        }
        self
    }

    /// Watched while the margin is below this share.
    pub(super) fn watched_below(mut self, share: f64) -> Self {
        if self.verdict == Verdict::Holds && self.margin.is_some_and(|margin| margin < share) {
            self.verdict = Verdict::Watch;
        }
        self
    }

    /// Holds only if something is seen to: then it is watched.
    pub(super) fn watched_if(mut self, watched: bool) -> Self {
        if watched && self.verdict == Verdict::Holds {
            self.verdict = Verdict::Watch;
        }
        self
    }

    /// What would mend it; kept unless it holds.
    pub(super) fn remedy(mut self, remedy: impl Into<String>) -> Self {
        if self.verdict != Verdict::Holds {
            self.remedy = remedy.into();
        }
        self
    }

    /// A generic value that it rests on.
    pub(super) fn assuming(mut self, assumed: bool, what: &'static str) -> Self {
        if assumed && !self.assumed.contains(&what) {
            self.assumed.push(what);
        }
        self
    }

    /// A generic value that it rests on, if any.
    pub(super) fn resting_on(self, what: Option<&'static str>) -> Self {
        match what {
            Some(what) => self.assuming(true, what),
            None => self,
        }
    }

    /// Tells it from others of the same rule and part.
    pub(super) fn numbered(mut self, number: usize) -> Self {
        self.id = format!("{}/{number}", self.id);
        self
    }
}

/// A number with at most this many decimals, without trailing zeros, with a true minus sign; a half is rounded up, as the trade does.
pub(super) fn figure(value: f64, decimals: usize) -> String {
    let scale =
        i32::try_from(decimals).map_or(1.0, |decimals| libm::pow(10.0, f64::from(decimals)));
    let scaled = libm::round(value * scale) / scale;
    // Beyond what can be scaled there are no decimals to round.
    let value = if scaled.is_finite() { scaled } else { value };
    let text = format!("{value:.decimals$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        &text
    };
    match text.strip_prefix('-') {
        Some("0") => "0".to_owned(),
        Some(positive) => format!("−{positive}"),
        None => text.to_owned(),
    }
}

/// `≤` or `>`, `≥` or `<`: how a value stands to a limit.
pub(super) fn against(value: f64, limit: f64, at_most: bool) -> &'static str {
    let over = (value - limit) / if limit == 0.0 { 1.0 } else { limit.abs() };
    match at_most {
        true if over <= ROUNDING => "≤",
        true => ">",
        false if over >= -ROUNDING => "≥",
        false => "<",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn head() -> Head {
        Head {
            rule: "rule",
            title: "a rule",
            topic: Topic::Circuits,
            part: Part::Service,
            source: Source::COMMON_PRACTICE,
        }
    }

    fn at_most(value: f64, limit: f64) -> Finding {
        Finding::at_most(head(), value, limit, Unit::A, String::new())
    }

    #[test]
    fn a_verdict_follows_the_margin() {
        assert_eq!(at_most(40.0, 50.0).margin, Some(0.2));
        assert_eq!(at_most(40.0, 50.0).verdict, Verdict::Holds);
        assert_eq!(at_most(50.0 * (1.0 + 1e-12), 50.0).verdict, Verdict::Holds);
        assert_eq!(at_most(51.0, 50.0).verdict, Verdict::Breaks);
        assert_eq!(at_most(51.0, 50.0).advised().verdict, Verdict::Watch);
        assert_eq!(
            at_most(49.9, 50.0).watched_below(0.02).verdict,
            Verdict::Watch
        );
        assert_eq!(at_most(f64::NAN, 50.0).verdict, Verdict::NotJudged);
        let least = Finding::at_least(head(), 40.0, 50.0, Unit::A, String::new());
        assert_eq!((least.margin, least.verdict), (Some(-0.2), Verdict::Breaks));
    }

    #[test]
    fn figures_have_no_idle_zeros() {
        assert_eq!(figure(600.0, 1), "600");
        assert_eq!(figure(508.66, 1), "508.7");
        assert_eq!(figure(15.625, 2), "15.63");
        assert_eq!(figure(f64::INFINITY, 1), "inf");
        assert_eq!(figure(-29.0, 1), "−29");
        assert_eq!(figure(-0.01, 1), "0");
        assert_eq!(figure(0.0027, 4), "0.0027");
    }
}
