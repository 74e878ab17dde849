//! Laws of money over the years: rows add up, aged years are years that were run, and measures mean what they say.

use couplet_core::check::{Checked, check};
use couplet_core::document::demo;
use couplet_core::household::Household;
use couplet_core::money::{
    CashFlow, CostLine, Irr, MinorUnit, Money, Project, Rates, Replacement, YearYield, cash_flow,
    net_present_value_cur, payback_first_years,
};
use couplet_core::outlook::{Outlook, Unknown, outlook};
use couplet_core::year::{Scene, YearRun};
use couplet_tests::any::any_household;
use couplet_tests::{climate_grid, draws};
use proptest::collection::vec;
use proptest::prelude::*;

/// Hours are enough for laws.
const STEP_S: u32 = 3600;

/// A household with the run of one of its options.
struct Laid {
    household: Checked<Household>,
    scene: Scene,
    run: YearRun,
}

impl Laid {
    fn new(household: Household, option: usize) -> Self {
        let household = check(household).expect("a sound household");
        let scene = Scene::new(&household, Some(&climate_grid()), STEP_S, None).expect("a climate");
        let run = scene
            .run(&household.options[option])
            .expect("sound equipment");
        Self {
            household,
            scene,
            run,
        }
    }

    fn outlook(&self) -> Outlook {
        outlook(&self.household, (&self.scene, &self.run)).expect("a bill")
    }
}

fn assert_rows_add_up(flow: &CashFlow) {
    let mut sum = Money::ZERO;
    for (year, row) in flow.rows.iter().enumerate() {
        assert_eq!(row.saving, row.bill_before - row.bill_after, "year {year}");
        let parts = [
            row.costs,
            row.incentives,
            row.loan,
            row.upkeep,
            row.replacements,
            row.saving,
        ];
        assert_eq!(row.net, parts.into_iter().sum(), "year {year}");
        sum += row.net;
        assert_eq!(row.sum, sum, "year {year}");
    }
}

/// No fade, no storage: every year is the year that was run, and the bills of both grow with the prices alone.
#[test]
fn without_fade_every_year_is_the_plain_run() {
    let mut household = demo();
    household.finance.array_fade_per_year = 0.0;
    household.finance.energy_price_growth = 0.03;
    let option = &mut household.options[1];
    option.storage.clear();
    let laid = Laid::new(household, 1);
    let found = laid.outlook();
    let cents = laid.household.tariff.minor_unit();
    let bill_cur = laid.run.figures.bill_cur.expect("a bill");
    let mut growth = 1.0;
    for (year, row) in found.flow.rows.iter().enumerate().skip(1) {
        assert_eq!(row.bill_after, cents.round(bill_cur * growth), "{year}");
        growth *= 1.03;
    }
    assert!(found.years.iter().all(|year| year.arrays_left == 1.0));
}

/// A year that is said to be run gives the bill of a household with that hardware.
#[test]
fn an_aged_year_is_the_run_of_the_aged_hardware() {
    let mut household = demo();
    household.finance.energy_price_growth = 0.0;
    let laid = Laid::new(household, 2);
    let found = laid.outlook();
    let cents = laid.household.tariff.minor_unit();
    let mut judged = 0;
    for (year, state) in found.years.iter().enumerate().filter(|(_, year)| year.run) {
        let mut option = laid.household.options[2].clone();
        for array in &mut option.arrays {
            array.age_loss = 1.0 - (1.0 - array.age_loss) * state.arrays_left;
        }
        for (unit, left) in option.storage.iter_mut().zip(&state.batteries_left) {
            unit.battery.usable_wh *= left;
        }
        let run = laid.scene.run(&option).expect("sound equipment");
        let bill = cents.round(run.figures.bill_cur.expect("a bill"));
        assert_eq!(found.flow.rows[year + 1].bill_after, bill, "{year}");
        judged += 1;
    }
    assert!(judged >= 5, "{judged} years were run");
    let (first, last) = (&found.years[0], &found.years[19]);
    assert_eq!(first.arrays_left, 1.0);
    assert!((last.arrays_left - 0.995_f64.powi(19)).abs() < 1e-12);
    assert!(found.batteries[0].life.years.is_some());
}

#[test]
fn as_it_stands_costs_nothing_and_saves_nothing() {
    let found = Laid::new(demo(), 0).outlook();
    assert_eq!((found.bought.len(), found.upkeep), (0, None));
    assert!(found.flow.rows.iter().all(|row| row.net == Money::ZERO));
    assert_eq!(found.flow.payback_years, Some(0.0));
}

/// With a discount rate not below the growth of prices, what is bought later costs less today; and a battery that keeps more
/// saves more.
#[test]
fn a_battery_that_lasts_longer_never_lowers_the_value_today() {
    let mut before_cur = f64::NEG_INFINITY;
    for full_cycles in [1_000.0, 2_000.0, 4_000.0, 8_000.0, 16_000.0] {
        let mut household = demo();
        for option in &mut household.options {
            for unit in &mut option.storage {
                unit.battery.ageing.full_cycles = full_cycles;
            }
        }
        let value_cur = Laid::new(household, 3).outlook().flow.net_present_value_cur;
        assert!(value_cur >= before_cur, "{full_cycles}: {value_cur}");
        before_cur = value_cur;
    }
}

/// By hand: without incentives and loan a change of all costs by a fifth moves the value today by a fifth of them, and what is
/// paid most at the start is where the value today is 0.
#[test]
fn costs_move_the_value_today_by_themselves() {
    let found = Laid::new(demo(), 1).outlook();
    let cost_cur: f64 = found.bought.iter().map(|cost| cost.cur.value).sum();
    let costs = |unknown| found.swings.iter().find(|swing| swing.unknown == unknown);
    let swing = costs(Unknown::Costs).expect("something is bought");
    assert!((swing.width_cur() - 0.4 * cost_cur).abs() < 0.02);
    assert!(swing.at_low_cur > swing.at_high_cur);
    let value_cur = found.flow.net_present_value_cur;
    assert!((found.most_cost_cur - cost_cur - value_cur).abs() < 0.01);
    // More sun never costs more, and all eight unknowns move something here.
    let sun = costs(Unknown::Sun).expect("there are arrays");
    assert!(sun.at_high_cur > sun.at_low_cur);
    assert_eq!(found.swings.len(), 8);
}

/// A fixed amount is never more than what is to pay, and it goes to the options that it is for.
#[test]
fn an_incentive_goes_where_it_belongs() {
    use couplet_core::household::{GivenFor, IncentiveAmount, IncentiveTerms};
    let mut household = demo();
    household.finance.incentives = vec![IncentiveTerms {
        name: "Storage grant".to_owned(),
        given_for: GivenFor::NewStorage,
        amount: IncentiveAmount::Fixed { fixed_cur: 1e6 },
    }];
    let mut without = household.clone();
    without.options[1].storage.clear();
    let start = |household, option| Laid::new(household, option).outlook().flow.rows[0];
    let row = start(household, 1);
    assert_eq!(row.incentives, -row.costs);
    assert_eq!(start(without, 1).incentives, Money::ZERO);
}

fn any_project() -> impl Strategy<Value = Project> {
    let any_yield =
        (0.0..4_000.0_f64, -1_000.0..4_000.0_f64, 0.0..1e7_f64).prop_map(|(before, after, wh)| {
            YearYield {
                bill_before_cur: before,
                bill_after_cur: after,
                stored_wh: wh,
            }
        });
    (
        1_usize..=40,
        0.0..40_000.0_f64,
        vec((1_usize..40, -5_000.0..9_000.0_f64), 0..4),
        vec(any_yield, 1..6),
        (-0.02..0.1_f64, -0.02..0.1_f64, -0.04..0.2_f64),
        0.0..400.0_f64,
    )
        .prop_map(
            |(years, cost_cur, replacements, yields, rates, upkeep_cur_per_year)| Project {
                minor_unit: MinorUnit::default(),
                years,
                costs: vec![CostLine {
                    name: "all".to_owned(),
                    cur: cost_cur,
                }],
                incentives: Vec::new(),
                loan: None,
                upkeep_cur_per_year,
                replacements: (replacements.into_iter())
                    .map(|(year, cur)| Replacement {
                        name: "part".to_owned(),
                        year,
                        cur,
                    })
                    .collect(),
                yields,
                rates: Rates {
                    energy_price_growth: rates.0,
                    price_growth: rates.1,
                    discount_rate: rates.2,
                },
            },
        )
}

fn net_cur(flow: &CashFlow) -> Vec<f64> {
    let cents = MinorUnit::default();
    flow.rows.iter().map(|row| cents.cur(row.net)).collect()
}

proptest! {
    #![proptest_config(draws(256))]

    #[test]
    fn the_value_today_at_the_internal_rate_is_nothing(project in any_project()) {
        let flow = cash_flow(&project);
        assert_rows_add_up(&flow);
        let rates = match &flow.irr {
            Irr::None => Vec::new(),
            Irr::One(rate) => vec![*rate],
            Irr::Several(rates) => rates.clone(),
        };
        let flows_cur = net_cur(&flow);
        for rate in rates {
            // The terms themselves bound how far rounding takes their sum.
            let sizes: Vec<f64> = flows_cur.iter().map(|flow| flow.abs()).collect();
            let size_cur = net_present_value_cur(rate, &sizes);
            let value_cur = net_present_value_cur(rate, &flows_cur);
            prop_assert!(value_cur.abs() <= 1e-9 * size_cur, "{value_cur} at {rate}");
        }
    }

    #[test]
    fn what_costs_nothing_pays_back_at_once(project in any_project()) {
        let free = Project {
            costs: Vec::new(),
            upkeep_cur_per_year: 0.0,
            replacements: Vec::new(),
            ..project
        };
        prop_assert_eq!(cash_flow(&free).payback_years, Some(0.0));
        prop_assert_eq!(payback_first_years(&[]), None);
    }

    #[test]
    fn what_is_replaced_later_never_lowers_the_value_today(project in any_project(), later in 1_usize..10) {
        let mut sooner = project;
        sooner.rates.price_growth = sooner.rates.price_growth.min(sooner.rates.discount_rate);
        sooner.replacements.iter_mut().for_each(|part| part.cur = part.cur.abs());
        let mut postponed = sooner.clone();
        postponed.replacements.iter_mut().for_each(|part| part.year += later);
        let value = |project| cash_flow(project).net_present_value_cur;
        // Rounding to the cent moves each of up to four lines by half a cent at either time.
        let rounding_cur = 0.04 * (1.0 - sooner.rates.discount_rate).max(1.0).powi(50);
        prop_assert!(value(&postponed) >= value(&sooner) - rounding_cur);
    }
}

proptest! {
    #![proptest_config(draws(12))]

    /// Whatever is typed in: no panic, no number that is none, and every row adds up.
    #[test]
    fn any_household_has_an_outlook_that_adds_up(household in any_household()) {
        let last = household.options.len() - 1;
        let laid = Laid::new(household, last);
        let found = laid.outlook();
        assert_rows_add_up(&found.flow);
        prop_assert_eq!(found.flow.rows.len(), laid.household.finance.years as usize + 1);
        prop_assert!(found.flow.net_present_value_cur.is_finite());
        prop_assert!(found.most_cost_cur.is_finite());
        prop_assert!(found.swings.iter().all(|swing| swing.width_cur().is_finite()));
        for year in &found.years {
            prop_assert!(year.batteries_left.iter().all(|left| (0.0..=1.0).contains(left)));
        }
    }
}
