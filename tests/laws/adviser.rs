//! Laws of the adviser: what it tells of a way is what the way comes to as an option, and its ranking holds in the whole list.

use couplet_core::adviser::{
    Candidate, Outcome, Trial, Wants, arrays_tried, candidates, frontier, ranked, reasons,
};
use couplet_core::check::{Checked, check, problems};
use couplet_core::coupling::Join;
use couplet_core::document::demo;
use couplet_core::findings::{DesignTemperatures, Details, Verdict, findings};
use couplet_core::household::{AcSide, Household, OptionId};
use couplet_core::outage::{StartSoc, outage_survival};
use couplet_core::outlook::outlook;
use couplet_core::year::Scene;
use couplet_tests::any::any_household;
use couplet_tests::{climate_grid, draws};
use proptest::prelude::*;

/// Hours are enough for laws.
const STEP_S: u32 = 3600;

fn laid(household: Household) -> (Checked<Household>, Scene, DesignTemperatures) {
    let household = check(household).expect("a sound household");
    let grid = climate_grid();
    let scene = Scene::new(&household, Some(&grid), STEP_S, None).expect("a climate");
    let temperatures = DesignTemperatures::of(&household.site, Some(&grid));
    (household, scene, temperatures)
}

/// The demonstration's mixed option; its export is free, so that standing inverters may stay on AC.
fn household() -> Household {
    let mut household = demo();
    household.service.export_limit_w = None;
    household
}

fn outcomes(household: Household, which: impl Fn(usize, &Candidate) -> bool) -> Vec<Outcome> {
    let (household, scene, temperatures) = laid(household);
    let base = &household.options[2];
    let trial = Trial::new(&household, &scene, temperatures, base).expect("a bill");
    candidates(base, Trial::day_wh(&scene))
        .iter()
        .enumerate()
        .filter(|(place, candidate)| which(*place, candidate))
        .filter_map(|(_, candidate)| trial.outcome(candidate).expect("a bill"))
        .collect()
}

/// What the money, the outages and the rules say of an option in their own regions is what the adviser says of it.
#[test]
fn a_way_comes_to_what_it_comes_to_as_an_option() {
    let told = outcomes(household(), |place, _| place % 151 == 3);
    assert!(told.len() >= 4);
    for outcome in &told {
        let mut with = household();
        let id = OptionId(99);
        let base = with.options[2].clone();
        let option = outcome
            .candidate
            .named(&base, id, "Advised".to_owned())
            .unwrap();
        with.options.push(option);
        let (with, scene, temperatures) = laid(with);
        let option = with.option(id).unwrap();
        let run = scene.run(option).unwrap();
        let money = outlook(&with, (&scene, &run)).unwrap();
        let bought_cur: f64 = money.bought.iter().map(|cost| cost.cur.value).sum();
        assert_eq!(outcome.worth.today_cur, money.flow.net_present_value_cur);
        assert_eq!(outcome.worth.payback_years, money.flow.payback_years);
        assert!((outcome.worth.first_cur - bought_cur).abs() < 1e-6);
        assert_eq!(Some(outcome.worth.bill_cur), run.figures.bill_cur);
        let survival = outage_survival(&scene, &run, StartSoc::AsRun)
            .unwrap()
            .unwrap();
        let backup = outcome.backup.unwrap();
        assert_eq!(
            (backup.median_h, backup.worst_h),
            (survival.year.median_h, survival.year.worst_h)
        );
        let details = Details::of(&with, option, &temperatures);
        let breaks = findings(&with, option, &details, &temperatures)
            .iter()
            .any(|finding| finding.verdict == Verdict::Breaks);
        let sends_too_much = run.figures.unpermitted_export_wh >= 1.0;
        assert_eq!(outcome.fits(), !breaks && !sends_too_much);
        assert!(
            outcome.breaks.is_sorted_by(|one, next| one < next),
            "told twice"
        );
    }
}

proptest! {
    #![proptest_config(draws(32))]

    #[test]
    fn whatever_is_tried_could_be_typed(household in any_household(), day_wh in 0.0..1e6) {
        for base in &household.options {
            let ways = candidates(base, day_wh);
            let tried = arrays_tried(base);
            for way in ways.iter().step_by(ways.len() / 20 + 1) {
                let mut with = household.clone();
                with.options.push(way.named(base, OptionId(9_999), "Advised".to_owned()).unwrap());
                prop_assert_eq!(problems(&with), Vec::new());
                for (array, join) in base.arrays.iter().zip(&way.joins).skip(tried) {
                    let stays = base.join(array) == Some(*join) || way.storage.is_none();
                    prop_assert!(stays, "{:?}", way);
                }
            }
        }
    }
}

#[test]
fn what_is_ranked_first_is_worth_most_of_all_that_fit_and_do_what_is_asked_for() {
    let told = outcomes(household(), |place, _| place % 13 == 0);
    assert!(told.iter().any(|outcome| outcome.fits()));
    for least_backup_h in [0, 4, 12, 48] {
        let wants = Wants {
            least_backup_h,
            most_first_cur: Some(25_000.0),
        };
        let order = ranked(&told, &wants);
        for (place, outcome) in told.iter().enumerate() {
            let wanted = outcome.fits()
                && outcome.worth.first_cur <= 25_000.0
                && outcome.backup.unwrap().median_h >= least_backup_h;
            assert_eq!(order.contains(&place), wanted);
        }
        let worth: Vec<f64> = order
            .iter()
            .map(|place| told[*place].worth.today_cur)
            .collect();
        assert!(worth.is_sorted_by(|one, next| one >= next), "{worth:?}");
    }
    // Nothing that fits beats a way of the frontier, and every other way that fits is beaten by one of it.
    let unbeaten = frontier(&told);
    let beats = |one: &Outcome, other: &Outcome| {
        let (a, b) = (&one.worth, &other.worth);
        let (hours, other_hours) = (one.backup.unwrap().median_h, other.backup.unwrap().median_h);
        a.today_cur >= b.today_cur
            && hours >= other_hours
            && a.first_cur <= b.first_cur
            && (a.today_cur > b.today_cur || hours > other_hours || a.first_cur < b.first_cur)
    };
    for (place, outcome) in told
        .iter()
        .enumerate()
        .filter(|(_, outcome)| outcome.fits())
    {
        let beaten = told
            .iter()
            .any(|other| other.fits() && beats(other, outcome));
        assert_eq!(unbeaten.contains(&place), !beaten, "{outcome:?}");
    }
}

/// Common practice, computed: DC coupling is worth more where energy is stored before it is used, and a rule that only AC PV breaks
/// leaves DC.
#[test]
fn under_an_export_limit_an_inverter_that_follows_no_command_is_advised_onto_dc() {
    let own_size = |candidate: &Candidate| {
        let household = demo();
        let unit = &household.options[2].storage[0];
        (candidate.storage).is_some_and(|size| {
            size.usable_wh == unit.battery.usable_wh && size.rated_w == unit.inverter.rated_w
        })
    };
    let told = outcomes(demo(), |_, candidate| own_size(candidate));
    assert_eq!(told.len(), 27);
    let order = ranked(&told, &Wants::default());
    assert!(!order.is_empty());
    for place in &order {
        assert!(
            matches!(told[*place].candidate.joins[0], Join::Dc(_)),
            "the old inverter cannot be held back on AC"
        );
    }
    let why = reasons(&told, order[0]);
    let moved_back = why
        .iter()
        .map(|reason| &told[reason.other])
        .find(|other| other.candidate.joins[0] == Join::Ac(AcSide::GridSide))
        .expect("a reason about the old array");
    assert!(!moved_back.fits());
}
