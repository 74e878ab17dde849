//! The adviser's figures and reasons in words.

use std::collections::BTreeMap;

use couplet_core::adviser::{About, Candidate, Outcome, Reason};
use couplet_core::coupling::{CouplingOption, Join};
use couplet_core::household::AcSide;
use couplet_core::outage::LONGEST_OUTAGE_H;

use crate::format;
use crate::regions::survival::hours;

/// Heads of the table of ways.
pub(super) const HEADS: [&str; 8] = [
    "joins",
    "battery",
    "inverter",
    "to buy",
    "bill",
    "worth today",
    "half of outages last",
    "the shortest",
];

/// How many ways were tried.
pub(super) fn tried(tried: usize, ways: usize) -> String {
    match ways {
        0 => "laying out the household".to_owned(),
        _ => format!("{tried} of {ways} ways tried"),
    }
}

/// Hours that can be asked for.
pub(super) fn asked_hours(hours: u16) -> String {
    match hours {
        0 => "any time".to_owned(),
        LONGEST_OUTAGE_H => "a week".to_owned(),
        hours => format!("{hours}\u{a0}h"),
    }
}

/// What came of all ways.
pub(super) fn sentence(outcomes: &[Outcome], ranked: usize) -> String {
    let breaking = outcomes.iter().filter(|outcome| !outcome.fits()).count();
    let fitting = outcomes.len() - breaking;
    let left = match fitting - ranked {
        0 => String::new(),
        short => format!(", {short} do not do what is asked for"),
    };
    let dropped = match breaking {
        0 => "no way breaks a rule".to_owned(),
        one => format!("{one} break a rule"),
    };
    format!(
        "Of {} ways {dropped}{left}. The others, what is worth most against leaving all as it stands first:",
        outcomes.len()
    )
}

/// Why no way is left.
pub(super) fn nothing(outcomes: &[Outcome]) -> String {
    if outcomes.iter().any(Outcome::fits) {
        return "No way that fits does what is asked for: ask for less time, or let it cost more."
            .to_owned();
    }
    let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
    for title in outcomes.iter().flat_map(|outcome| &outcome.breaks) {
        *counts.entry(title).or_default() += 1;
    }
    let most = counts.into_iter().max_by_key(|(_, count)| *count);
    most.map_or_else(String::new, |(title, count)| {
        format!(
            "Each of the {} ways tried breaks a rule; {count} of them: {title}. See \u{201c}Does it fit?\u{201d} for what would mend it.",
            outcomes.len()
        )
    })
}

/// Where each array joins.
pub(super) fn joins(base: &CouplingOption, candidate: &Candidate) -> String {
    (base.arrays.iter().zip(&candidate.joins))
        .map(|(array, join)| format!("{}: {}", array.name, place(*join)))
        .collect::<Vec<_>>()
        .join("; ")
}

/// A join in words.
fn place(join: Join) -> &'static str {
    match join {
        Join::Ac(AcSide::GridSide) => "AC, main panel",
        Join::Ac(AcSide::BackedUp) => "AC, backed-up panel",
        Join::Dc(_) => "DC",
    }
}

/// Figures of a way, in the order of [`HEADS`].
pub(super) fn cells(outcome: &Outcome, currency: &str) -> [String; 7] {
    let none = || format::NONE.to_owned();
    let size = outcome.candidate.storage;
    let carried = |carried: Option<u16>| carried.map_or_else(none, hours);
    [
        size.map_or_else(none, |size| format::energy(size.usable_wh).text()),
        size.map_or_else(none, |size| format::power(size.rated_w).text()),
        format::money(outcome.worth.first_cur, currency),
        format::money(outcome.worth.bill_cur, currency),
        format::money(outcome.worth.today_cur, currency),
        carried(outcome.backup.map(|backup| backup.median_h)),
        carried(outcome.backup.map(|backup| backup.worst_h)),
    ]
}

/// What one thing done otherwise would have come to; none: there is nothing of the kind in the option.
pub(super) fn reason(
    base: &CouplingOption,
    outcomes: &[Outcome],
    advised: &Outcome,
    reason: &Reason,
    currency: &str,
) -> Option<String> {
    let other = outcomes.get(reason.other)?;
    let (chosen, otherwise) = match reason.about {
        About::Array(place_of) => {
            let name = &base.arrays.get(place_of)?.name;
            let here = place(*advised.candidate.joins.get(place_of)?);
            let there = place(*other.candidate.joins.get(place_of)?);
            (format!("{name} on {here}"), format!("on {there}"))
        }
        About::Energy => {
            let energy = |of: &Outcome| {
                let size = of.candidate.storage?;
                Some(format::energy(size.usable_wh).text())
            };
            (
                format!("{} of battery", energy(advised)?),
                format!("with {}", energy(other)?),
            )
        }
        About::Rating => {
            let rating = |of: &Outcome| {
                let size = of.candidate.storage?;
                Some(format::power(size.rated_w).text())
            };
            (
                format!("{} of inverter", rating(advised)?),
                format!("with {}", rating(other)?),
            )
        }
        About::Storage => match other.candidate.storage {
            None => ("Storage".to_owned(), "without it".to_owned()),
            Some(size) => {
                let energy = format::energy(size.usable_wh).text();
                ("No storage".to_owned(), format!("with {energy}"))
            }
        },
    };
    let broken = (other.breaks.first()).map(|title| format!("it would break a rule ({title})"));
    let mut parts = vec![worth(reason.today_cur, currency)];
    parts.extend(reason.backup_h.and_then(carried));
    let figures = parts.join(" and ");
    Some(match broken {
        Some(broken) => format!("{chosen}: {otherwise} {broken}; {figures}."),
        None => format!("{chosen}: {otherwise} {figures}."),
    })
}

fn worth(today_cur: f64, currency: &str) -> String {
    let amount = format::money(today_cur.abs(), currency);
    if today_cur.abs() < 0.5 {
        "it would be worth the same".to_owned()
    } else if today_cur < 0.0 {
        format!("it would be worth {amount} less today")
    } else {
        format!("it would be worth {amount} more today")
    }
}

fn carried(hours: i32) -> Option<String> {
    match hours {
        0 => None,
        less if less < 0 => Some(format!(
            "half of all outages would be carried {}\u{a0}h less",
            -less
        )),
        more => Some(format!(
            "half of all outages would be carried {more}\u{a0}h longer"
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn differences_are_told_with_their_direction() {
        let amount = format::money(1234.0, "USD");
        assert_eq!(
            worth(-1234.0, "USD"),
            format!("it would be worth {amount} less today")
        );
        assert_eq!(worth(0.2, "USD"), "it would be worth the same");
        assert_eq!(
            carried(-3).as_deref(),
            Some("half of all outages would be carried 3\u{a0}h less")
        );
        assert_eq!(carried(0), None);
    }
}
