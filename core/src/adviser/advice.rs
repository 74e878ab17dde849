//! What the outcomes say: what suits best, what nothing beats, and why each array stands where it does.

use serde::{Deserialize, Serialize};

use super::{Outcome, StorageSize};

/// What a household asks of an option.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Wants {
    /// Time that half of all outages must be carried, h.
    pub least_backup_h: u16,
    /// What may be bought at the start at most, currency; none: anything.
    pub most_first_cur: Option<f64>,
}

/// What a reason is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum About {
    /// The join of an array, by its place in the option.
    Array(usize),
    /// The energy of the storage.
    Energy,
    /// The rating of the storage inverter.
    Rating,
    /// Storage at all.
    Storage,
}

/// What one thing done otherwise would have come to.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Reason {
    /// What is done otherwise.
    pub about: About,
    /// The outcome in which only that is otherwise, by its place.
    pub other: usize,
    /// What the other is worth today beyond what is advised, currency; negative: less.
    pub today_cur: f64,
    /// Hours that half of all outages last beyond what is advised; negative: fewer. None: nothing is backed up.
    pub backup_h: Option<i32>,
    /// What the other needs at the start beyond what is advised, currency.
    pub first_cur: f64,
}

impl Outcome {
    /// Whether no rule is broken and nothing is sent out beyond what is permitted.
    #[must_use]
    pub fn fits(&self) -> bool {
        self.breaks.is_empty()
    }

    /// Whether it does what is asked for.
    #[must_use]
    pub fn meets(&self, wants: &Wants) -> bool {
        self.backup_h() >= wants.least_backup_h
            && wants
                .most_first_cur
                .is_none_or(|most_cur| self.worth.first_cur <= most_cur)
    }

    fn backup_h(&self) -> u16 {
        self.backup.map_or(0, |backup| backup.median_h)
    }

    /// Whether another is nowhere worse and somewhere better: in value, in hours and in what is bought.
    fn is_beaten_by(&self, other: &Self) -> bool {
        let today_cur = (self.worth.today_cur, other.worth.today_cur);
        let hours = (self.backup_h(), other.backup_h());
        let first_cur = (self.worth.first_cur, other.worth.first_cur);
        let nowhere_worse =
            today_cur.1 >= today_cur.0 && hours.1 >= hours.0 && first_cur.1 <= first_cur.0;
        let somewhere_better =
            today_cur.1 > today_cur.0 || hours.1 > hours.0 || first_cur.1 < first_cur.0;
        nowhere_worse && somewhere_better
    }
}

/// Places of the outcomes that fit and do what is asked for, what is worth most today first; of two worth the same, the one that
/// carries longer.
#[must_use]
pub fn ranked(outcomes: &[Outcome], wants: &Wants) -> Vec<usize> {
    let mut places: Vec<usize> = (outcomes.iter().enumerate())
        .filter(|(_, outcome)| outcome.fits() && outcome.meets(wants))
        .map(|(place, _)| place)
        .collect();
    let key = |place: &usize| outcomes.get(*place);
    places.sort_by(|a, b| match (key(a), key(b)) {
        (Some(a), Some(b)) => {
            (b.worth.today_cur.total_cmp(&a.worth.today_cur)).then(b.backup_h().cmp(&a.backup_h()))
        }
        _ => std::cmp::Ordering::Equal,
    });
    places
}

/// Places of the outcomes that fit and that no other fitting one beats: whoever wants more of one thing gives up some of another.
/// What is worth most first.
#[must_use]
pub fn frontier(outcomes: &[Outcome]) -> Vec<usize> {
    let fitting = ranked(outcomes, &Wants::default());
    (fitting.iter())
        .filter(|place| {
            let Some(one) = outcomes.get(**place) else {
                return false;
            };
            !(fitting.iter())
                .any(|other| (outcomes.get(*other)).is_some_and(|other| one.is_beaten_by(other)))
        })
        .copied()
        .collect()
}

/// What each thing done otherwise would have come to: each array on each other bus, the next smaller and larger battery and inverter,
/// and no storage, all else the same; where no storage is advised, the storage that is worth most with the arrays where they are.
#[must_use]
pub fn reasons(outcomes: &[Outcome], advised: usize) -> Vec<Reason> {
    let Some(best) = outcomes.get(advised) else {
        return Vec::new();
    };
    let mut found: Vec<Reason> = Vec::new();
    for (place, other) in outcomes.iter().enumerate() {
        let Some(about) = only_difference(best, other) else {
            continue;
        };
        found.push(Reason {
            about,
            other: place,
            today_cur: other.worth.today_cur - best.worth.today_cur,
            backup_h: best
                .backup
                .zip(other.backup)
                .map(|(best, other)| i32::from(other.median_h) - i32::from(best.median_h)),
            first_cur: other.worth.first_cur - best.worth.first_cur,
        });
    }
    let size = |reason: &Reason| {
        outcomes
            .get(reason.other)
            .and_then(|other| other.candidate.storage)
    };
    if let Some(own) = best.candidate.storage {
        keep_neighbours(&mut found, About::Energy, own.usable_wh, |reason| {
            size(reason).map(|size| size.usable_wh)
        });
        keep_neighbours(&mut found, About::Rating, own.rated_w, |reason| {
            size(reason).map(|size| size.rated_w)
        });
    }
    keep_the_worthiest_storage(&mut found);
    found.sort_by_key(|reason| match reason.about {
        About::Array(place) => (0, place),
        About::Energy => (1, 0),
        About::Rating => (2, 0),
        About::Storage => (3, 0),
    });
    found
}

/// What alone is otherwise; none: nothing, or more than one thing.
fn only_difference(one: &Outcome, other: &Outcome) -> Option<About> {
    let (one, other) = (&one.candidate, &other.candidate);
    let moved: Vec<usize> = (one.joins.iter().zip(&other.joins).enumerate())
        .filter(|(_, (a, b))| a != b)
        .map(|(place, _)| place)
        .collect();
    match (moved.as_slice(), one.storage, other.storage) {
        ([], Some(a), Some(b)) => only_size(a, b),
        ([place], a, b) if a == b => Some(About::Array(*place)),
        // Without storage there is no DC bus, and the AC sides are alike: only one way is left.
        (_, Some(_), None) => Some(About::Storage),
        ([], None, Some(_)) => Some(About::Storage),
        _ => None,
    }
}

/// Of several storages that could be added keeps the one that is worth most.
fn keep_the_worthiest_storage(found: &mut Vec<Reason>) {
    let storages = (found.iter()).filter(|reason| reason.about == About::Storage);
    let best = (storages.max_by(|a, b| a.today_cur.total_cmp(&b.today_cur))).map(|one| one.other);
    found.retain(|reason| reason.about != About::Storage || Some(reason.other) == best);
}

fn only_size(one: StorageSize, other: StorageSize) -> Option<About> {
    match (
        one.usable_wh == other.usable_wh,
        one.rated_w == other.rated_w,
    ) {
        (false, true) => Some(About::Energy),
        (true, false) => Some(About::Rating),
        _ => None,
    }
}

/// Keeps of the reasons about a size the next smaller and the next larger one.
fn keep_neighbours(
    found: &mut Vec<Reason>,
    about: About,
    own: f64,
    size: impl Fn(&Reason) -> Option<f64>,
) {
    let sizes = || {
        (found.iter())
            .filter(|reason| reason.about == about)
            .filter_map(&size)
    };
    let smaller = sizes()
        .filter(|size| *size < own)
        .fold(f64::NEG_INFINITY, f64::max);
    let larger = sizes()
        .filter(|size| *size > own)
        .fold(f64::INFINITY, f64::min);
    found.retain(|reason| {
        reason.about != about || size(reason).is_some_and(|size| size == smaller || size == larger)
    });
}

#[cfg(test)]
mod tests {
    use super::super::{Backup, Candidate};
    use super::*;
    use crate::coupling::Join;
    use crate::ids::{AcSide, StorageId};
    use crate::outlook::Worth;

    const GRID: Join = Join::Ac(AcSide::GridSide);
    const DC: Join = Join::Dc(StorageId(1));

    fn outcome(
        joins: &[Join],
        usable_wh: f64,
        today_cur: f64,
        median_h: u16,
        first_cur: f64,
    ) -> Outcome {
        Outcome {
            candidate: Candidate {
                joins: joins.to_vec(),
                storage: (usable_wh > 0.0).then_some(StorageSize {
                    usable_wh,
                    rated_w: 5_000.0,
                }),
            },
            worth: Worth {
                first_cur,
                rests_on_placeholders: false,
                bill_cur: 0.0,
                today_cur,
                payback_years: None,
            },
            backup: Some(Backup {
                median_h,
                worst_h: 0,
            }),
            self_sufficiency: None,
            throttled_wh: 0.0,
            unpermitted_export_wh: 0.0,
            breaks: Vec::new(),
        }
    }

    #[test]
    fn what_breaks_a_rule_or_does_not_do_what_is_asked_for_is_not_ranked() {
        let mut outcomes = vec![
            outcome(&[GRID], 5_000.0, 100.0, 4, 5_000.0),
            outcome(&[DC], 5_000.0, 200.0, 6, 5_500.0),
            outcome(&[DC], 10_000.0, 150.0, 12, 8_000.0),
            outcome(&[GRID], 10_000.0, 900.0, 20, 1_000.0),
        ];
        outcomes[3].breaks.push("busbar".to_owned());
        let wants = |least_backup_h, most_first_cur| Wants {
            least_backup_h,
            most_first_cur,
        };
        assert_eq!(ranked(&outcomes, &wants(0, None)), [1, 2, 0]);
        assert_eq!(ranked(&outcomes, &wants(8, None)), [2]);
        assert_eq!(ranked(&outcomes, &wants(0, Some(5_200.0))), [0]);
        assert!(ranked(&outcomes, &wants(24, None)).is_empty());
    }

    #[test]
    fn the_frontier_gives_up_something_for_everything() {
        let outcomes = [
            outcome(&[GRID], 5_000.0, 100.0, 4, 5_000.0),
            outcome(&[DC], 5_000.0, 200.0, 6, 5_500.0),
            outcome(&[GRID], 10_000.0, 90.0, 6, 7_000.0),
            outcome(&[DC], 10_000.0, 150.0, 12, 8_000.0),
        ];
        assert_eq!(frontier(&outcomes), [1, 3, 0]);
    }

    #[test]
    fn where_no_storage_is_advised_the_worthiest_is_told() {
        let outcomes = [
            outcome(&[GRID, GRID], 0.0, 20.0, 0, 0.0),
            outcome(&[GRID, GRID], 5_000.0, -10.0, 3, 4_000.0),
            outcome(&[GRID, GRID], 2_500.0, 5.0, 2, 2_000.0),
            outcome(&[DC, GRID], 5_000.0, 15.0, 3, 4_000.0),
        ];
        let found = reasons(&outcomes, 0);
        assert_eq!(found.len(), 1);
        assert_eq!((found[0].about, found[0].other), (About::Storage, 2));
    }

    #[test]
    fn a_reason_differs_in_one_thing_only_and_sizes_are_those_next_to_it() {
        let outcomes = [
            outcome(&[DC, GRID], 10_000.0, 150.0, 12, 8_000.0),
            outcome(&[GRID, GRID], 10_000.0, 120.0, 10, 8_500.0),
            outcome(&[GRID, DC], 10_000.0, 120.0, 10, 8_500.0),
            outcome(&[DC, GRID], 5_000.0, 100.0, 6, 5_500.0),
            outcome(&[DC, GRID], 2_500.0, 50.0, 3, 4_000.0),
            outcome(&[DC, GRID], 15_000.0, 10.0, 18, 10_500.0),
            outcome(&[GRID, GRID], 0.0, 20.0, 0, 0.0),
        ];
        let found: Vec<_> = reasons(&outcomes, 0)
            .into_iter()
            .map(|reason| {
                (
                    reason.about,
                    reason.other,
                    reason.today_cur,
                    reason.backup_h,
                )
            })
            .collect();
        assert_eq!(
            found,
            [
                (About::Array(0), 1, -30.0, Some(-2)),
                (About::Energy, 3, -50.0, Some(-6)),
                (About::Energy, 5, -140.0, Some(6)),
                (About::Storage, 6, -130.0, Some(-12)),
            ]
        );
    }
}
