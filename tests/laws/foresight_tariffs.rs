//! Laws of the best possible under tiers, net metering and demand charges.

use couplet_core::bill::{
    CarryOver, DayKind, DemandCharge, Export, ExportPrice, Meter, Period, Surplus, Tariff, TaxOn,
    Tier, TiersBy, Window, bill, energy_cur, example_tariffs, month_energies,
};
use couplet_core::check::{Checked, check};
use couplet_core::document::demo;
use couplet_core::foresight::{NoForesight, Optimum, Simplified, foresight, measured_cur, optimum};
use couplet_core::household::Household;
use couplet_core::year::{Scene, YearRun};
use couplet_tests::{assert_near, climate_grid};

fn of(tariff: &Tariff, step_s: u32, option: usize, batteries: f64) -> (Scene, YearRun, Optimum) {
    let mut household = demo();
    household.tariff = tariff.clone();
    for unit in &mut household.options[option].storage {
        unit.battery.usable_wh *= batteries;
    }
    let household: Checked<Household> = check(household).expect("sound");
    let scene = Scene::new(&household, Some(&climate_grid()), step_s, None).expect("a climate");
    let run = scene.run(&household.options[option]).expect("sound");
    let found = optimum(&scene, &run).expect("a plan");
    (scene, run, found)
}

fn tiers(ends: &[(f64, f64)], last: f64) -> Vec<Tier> {
    let tier = |up_to_wh, cur_per_kwh| Tier {
        up_to_wh,
        cur_per_kwh,
    };
    (ends.iter())
        .map(|(end_wh, price)| tier(Some(*end_wh), *price))
        .chain([tier(None, last)])
        .collect()
}

fn evening() -> Window {
    Window {
        months: [true; 12],
        days: DayKind::All,
        from_h: 16.0,
        to_h: 21.0,
    }
}

/// Tariffs by name that settle energy by month or year.
fn settled() -> Vec<(&'static str, Tariff)> {
    let base = example_tariffs("EUR", None).remove(0);
    let two = |dear: Vec<Tier>, other: Vec<Tier>| {
        vec![
            Period {
                tiers: dear,
                ..Period::at_one_price("Evening", vec![evening()], 0.0)
            },
            Period {
                tiers: other,
                ..Period::at_one_price("Other", Vec::new(), 0.0)
            },
        ]
    };
    let sold = Export::NetBilling {
        price: ExportPrice::Flat { cur_per_kwh: 0.05 },
        surplus: Surplus::Paid,
    };
    let netted = |carry_over| Export::NetMetering {
        carry_over,
        cash_out_cur_per_kwh: 0.03,
    };
    let yearly = CarryOver::Yearly { first_month: 3 };
    let tariff = |periods, tiers_by, export| Tariff {
        periods,
        tiers_by,
        export,
        ..base.clone()
    };
    let one = vec![Period {
        tiers: tiers(&[(150e3, 0.14), (400e3, 0.22)], 0.34),
        ..Period::at_one_price("All", Vec::new(), 0.0)
    }];
    let dear = || tiers(&[(60e3, 0.26)], 0.40);
    let other = || tiers(&[(150e3, 0.12)], 0.26);
    let month = || two(tiers(&[(250e3, 0.26)], 0.36), tiers(&[(250e3, 0.12)], 0.22));
    let by_hours = || two(tiers(&[], 0.36), tiers(&[], 0.15));
    vec![
        ("tiers", tariff(one, TiersBy::EachPeriod, sold.clone())),
        (
            "hours and tiers",
            tariff(two(dear(), other()), TiersBy::EachPeriod, sold.clone()),
        ),
        (
            "hours and tiers of the month",
            tariff(month(), TiersBy::WholeMonth, sold),
        ),
        (
            "monthly net metering by hours",
            tariff(by_hours(), TiersBy::EachPeriod, netted(CarryOver::Monthly)),
        ),
        (
            "yearly net metering by hours",
            tariff(by_hours(), TiersBy::EachPeriod, netted(yearly)),
        ),
        (
            "monthly net metering, hours and tiers",
            tariff(
                two(dear(), other()),
                TiersBy::EachPeriod,
                netted(CarryOver::Monthly),
            ),
        ),
        (
            "yearly net metering, hours and tiers",
            tariff(two(dear(), other()), TiersBy::EachPeriod, netted(yearly)),
        ),
    ]
}

/// Under each way to settle, a plan within 0.2 % of the optimum is known, counted in what passes the meter in money, no rule beats it, and a larger
/// battery makes it no dearer.
#[test]
fn settled_energy_has_an_optimum_that_a_plan_comes_near() {
    for (name, tariff) in settled() {
        for option in [1, 2] {
            let (scene, run, found) = of(&tariff, 3600, option, 1.0);
            let rule_cur = measured_cur(&scene, &run);
            let turnover_cur: f64 = (run.flows.meter_w.iter())
                .zip(&scene.prices.buy_cur_per_kwh)
                .map(|(meter_w, buy)| meter_w.abs() / 1000.0 * buy)
                .sum();
            assert!(found.cost_cur <= rule_cur + 1e-6, "{name}");
            assert!(
                found.gap_cur <= 2e-3 * turnover_cur,
                "{name}: {}",
                found.gap_cur
            );
            let bounded = [Simplified::Tiers, Simplified::NetMetering];
            assert!(
                !found.simplified.iter().any(|one| bounded.contains(one)),
                "{name}"
            );
            let (_, _, larger) = of(&tariff, 3600, option, 1.5);
            assert!(
                larger.cost_cur <= found.cost_cur + found.gap_cur + 1e-6,
                "{name}"
            );
        }
    }
}

/// A price split into two tiers of the same price is one price, and net metering where nothing is sent out is none.
#[test]
fn what_settles_nothing_changes_nothing() {
    let mut plain = demo().tariff;
    plain.export = Export::Nothing;
    let mut split = plain.clone();
    for period in &mut split.periods {
        let price = period.tiers[0].cur_per_kwh;
        period.tiers = tiers(&[(100e3, price)], price);
    }
    let (_, _, whole) = of(&plain, 3600, 1, 1.0);
    let (_, _, halves) = of(&split, 3600, 1, 1.0);
    assert_near(
        halves.cost_cur,
        whole.cost_cur,
        1e-6,
        "two tiers of one price",
    );
    assert!(halves.gap_cur < 1e-6);

    let mut household = demo();
    household.service.export_limit_w = Some(0.0);
    let costs = |tariff: &Tariff| {
        let mut household = household.clone();
        household.tariff = tariff.clone();
        let household = check(household).expect("sound");
        let scene = Scene::new(&household, Some(&climate_grid()), 3600, None).expect("a climate");
        let run = scene.run(&household.options[1]).expect("sound");
        optimum(&scene, &run).expect("a plan").cost_cur
    };
    let mut netted = plain.clone();
    netted.export = Export::NetMetering {
        carry_over: CarryOver::Monthly,
        cash_out_cur_per_kwh: 0.0,
    };
    assert_near(costs(&netted), costs(&plain), 1e-6, "nothing sent out");
}

/// Tiers that fall, and tiers of the month that the periods do not share, are bounded, and said to be.
#[test]
fn tiers_that_are_only_bounded_are_named_and_still_no_rule_beats_them() {
    let base = settled().remove(2).1;
    let mut falling = base.clone();
    falling.tiers_by = TiersBy::EachPeriod;
    for period in &mut falling.periods {
        period.tiers = tiers(&[(100e3, 0.30)], 0.20);
    }
    let mut unlike = base;
    unlike.periods[1].tiers = tiers(&[(150e3, 0.12)], 0.40);
    for tariff in [falling, unlike] {
        let (scene, run, found) = of(&tariff, 3600, 1, 1.0);
        assert!(found.simplified.contains(&Simplified::Tiers));
        assert!(found.cost_cur <= measured_cur(&scene, &run));
    }
}

/// Surplus that is paid out above the price of energy is bounded, and said to be.
#[test]
fn surplus_dearer_than_energy_is_bounded() {
    let mut tariff = settled().remove(3).1;
    tariff.export = Export::NetMetering {
        carry_over: CarryOver::Monthly,
        cash_out_cur_per_kwh: 0.20,
    };
    let (scene, run, found) = of(&tariff, 3600, 1, 1.0);
    assert!(found.simplified.contains(&Simplified::NetMetering));
    assert!(found.cost_cur <= measured_cur(&scene, &run));
}

/// Tiers and a charge on the highest power at once.
#[test]
fn tiers_and_demand_are_minded_together() {
    let mut tariff = settled().remove(1).1;
    tariff.demand = vec![DemandCharge {
        name: "Power".to_owned(),
        windows: Vec::new(),
        interval_s: 3600,
        cur_per_kw: 8.0,
    }];
    let (scene, run, found) = of(&tariff, 3600, 1, 1.0);
    let rule_cur = measured_cur(&scene, &run);
    assert!(found.cost_cur <= rule_cur);
    assert!(found.gap_cur < 0.01 * rule_cur, "{}", found.gap_cur);
    assert!(!found.simplified.contains(&Simplified::IntervalMeans));
}

/// The measure is the energy and demand of the bill: with no fixed charge, minimum and tax the two are the same, but for the rounding of
/// each line to the cent.
#[test]
fn the_measure_is_the_bill() {
    for (name, mut tariff) in settled() {
        tariff.fixed_cur_per_month = 0.0;
        tariff.demand = vec![DemandCharge {
            name: "Power".to_owned(),
            windows: vec![evening()],
            interval_s: 1800,
            cur_per_kw: 3.0,
        }];
        let mut household = demo();
        household.tariff = tariff.clone();
        let household = check(household).expect("sound");
        let scene = Scene::new(&household, Some(&climate_grid()), 900, None).expect("a climate");
        let run = scene.run(&household.options[1]).expect("sound");
        let billed = run.figures.bill.as_ref().expect("a year");
        let lines: usize = billed.months.iter().map(|month| month.lines.len()).sum();
        #[expect(clippy::cast_precision_loss, reason = "a few lines")]
        let rounding_cur = 0.005 * lines as f64 + 1e-9;
        let billed_cur = tariff.minor_unit().cur(billed.total);
        assert_near(measured_cur(&scene, &run), billed_cur, rounding_cur, name);
    }
}

/// A tax on what is bought is within the prices of the best possible: it is that of a tariff whose prices were typed with the tax.
#[test]
fn a_tax_on_what_is_bought_is_within_the_prices() {
    let mut taxed = example_tariffs("EUR", None).remove(1);
    taxed.tax = 0.25;
    taxed.tax_on = TaxOn::Bought;
    let mut typed = taxed.clone();
    typed.tax = 0.0;
    for tier in (typed.periods.iter_mut()).flat_map(|period| &mut period.tiers) {
        tier.cur_per_kwh *= 1.25;
    }
    let [taxed, typed] = [taxed, typed].map(|tariff| {
        let (scene, run, _) = of(&tariff, 3600, 1, 1.0);
        foresight(&scene, &run, |_| {}).expect("a plan")
    });
    assert_eq!(taxed.optimum.cost_cur, typed.optimum.cost_cur);
    assert_eq!(taxed.rule, typed.rule);
    assert_eq!(taxed.day_ahead, typed.day_ahead);
}

/// Where every line is whole cents anyway, what energy costs before rounding is the bill.
#[test]
fn energy_before_rounding_is_that_of_the_bill() {
    let (_, tariff) = settled().remove(6);
    let mut tariff = tariff;
    tariff.fixed_cur_per_month = 0.0;
    let grid = couplet_core::sky::TimeGrid::whole_year(3600, 3600);
    let meter_w: Vec<f64> = (0..grid.len())
        .map(|index| if index % 5 == 2 { -3000.0 } else { 1000.0 })
        .collect();
    let meter = Meter {
        meter_w: &meter_w,
        generation_w: &[],
    };
    let billed = bill(&tariff, &grid, &meter).expect("sound");
    let months = month_energies(&tariff, &grid, &meter).expect("a clock");
    assert_near(
        energy_cur(&tariff, &months),
        tariff.minor_unit().cur(billed.total),
        1e-6,
        "whole kWh at whole cents",
    );
}

#[test]
fn a_later_tier_below_zero_is_refused_too() {
    let mut household = demo();
    household.tariff.periods[2].tiers = tiers(&[(100e3, 0.2)], -0.1);
    let household = check(household).expect("sound");
    let scene = Scene::new(&household, Some(&climate_grid()), 3600, None).expect("a climate");
    let run = scene.run(&household.options[1]).expect("sound");
    assert_eq!(
        optimum(&scene, &run).unwrap_err(),
        NoForesight::BuyingBelowZero
    );
}
