//! Money over the years where there is no utility: fuel in place of a bill, and what a kilowatt-hour costs that is served.

use couplet_core::check::{Checked, check};
use couplet_core::coupling::Generator;
use couplet_core::document::demo;
use couplet_core::household::Household;
use couplet_core::outlook::{Outlook, OutlookProblem, outlook};
use couplet_core::year::{Scene, YearRun};
use couplet_tests::any::any_household;
use couplet_tests::{Tolerance, assert_near, assert_within, climate_grid, draws};
use proptest::prelude::*;

const FUEL_CUR_PER_L: f64 = 1.6;

/// The demonstration off the grid: a generator of this power in every option, and no part that ages or grows dearer.
fn off_grid_home(generator_w: f64) -> Household {
    let mut household = demo();
    household.service.utility = false;
    household.loads.backed_up_share = 1.0;
    household.finance.years = 5;
    household.finance.array_fade_per_year = 0.0;
    household.finance.energy_price_growth = 0.0;
    household.finance.price_growth = 0.0;
    for option in &mut household.options {
        let mut generator = Generator::generic("Generator".to_owned(), generator_w);
        generator.standing = true;
        generator.fuel_cur_per_l = Some(FUEL_CUR_PER_L);
        // Before any device is switched off to spare the battery.
        generator.start_soc = 0.5;
        generator.costs.life_years = Some(30.0);
        option.generator = Some(generator);
        for inverter in &mut option.pv_inverters {
            inverter.costs.life_years = Some(30.0);
        }
        for unit in &mut option.storage {
            unit.battery.ageing.first_year_loss = 0.0;
            unit.battery.ageing.full_cycles = 100_000.0;
        }
    }
    household
}

fn laid(
    household: Household,
    number: usize,
) -> (Checked<Household>, YearRun, Result<Outlook, OutlookProblem>) {
    let household = check(household).expect("a sound household");
    let scene = Scene::new(&household, Some(&climate_grid()), 900, None).expect("a climate");
    let run = scene
        .run(&household.options[number])
        .expect("sound equipment");
    let found = outlook(&household, (&scene, &run));
    (household, run, found)
}

/// With every year alike, the levelised cost has a closed form: `(first cost × CRF + fuel + upkeep) / energy`, with the capital
/// recovery factor `CRF = r (1 + r)^n / ((1 + r)^n − 1)`.
///
/// Source: Short, Packey & Holt (1995), NREL/TP-462-5173, "A manual for the economic evaluation of energy efficiency and renewable
/// energy technologies", simple levelised cost; from memory.
#[test]
fn with_every_year_alike_energy_costs_what_the_capital_recovery_factor_says() {
    let mut household = off_grid_home(8_000.0);
    household.finance.discount_rate = 0.06;
    let option = household.options.last_mut().expect("an option");
    option.costs.upkeep_cur_per_year = Some(220.0);
    // A battery ages whatever it is made of; without one every year is the same.
    option.storage.clear();
    for array in &mut option.arrays {
        array.standing = false;
        array.dc_unit = None;
    }
    let number = household.options.len() - 1;
    let (_, run, found) = laid(household, number);
    let found = found.expect("fuel has a price");
    let island = run.figures.off_grid.as_ref().expect("off the grid");
    let first_cur: f64 = found.bought.iter().map(|cost| cost.cur.value).sum();
    assert!(
        first_cur > 0.0 && island.fuel_l > 10.0,
        "{first_cur}, {}",
        island.fuel_l
    );
    assert_eq!(found.replaced, Vec::new());
    let growth = 1.06_f64.powi(5);
    let recovery = 0.06 * growth / (growth - 1.0);
    let yearly_cur = first_cur * recovery + FUEL_CUR_PER_L * island.fuel_l + 220.0;
    let served = found.served.expect("off the grid");
    assert_within(
        served.cur_per_kwh.expect("something is served"),
        yearly_cur / (island.served_wh / 1000.0),
        // Each line of each year is rounded to the cent.
        Tolerance::relative(1e-4),
        "levelised cost",
    );
    assert_near(served.first_share, island.served_share, 1e-12, "served");
    assert_near(served.last_share, island.served_share, 1e-12, "served");
}

/// A generator that bears the whole house serves as much with the option as without: what the option saves is fuel, and can be set
/// against its cost. One that bears little does not, and then the services are unlike.
#[test]
fn fuel_is_saved_where_the_service_is_the_same() {
    for (generator_w, comparable) in [(20_000.0, true), (500.0, false)] {
        let mut household = off_grid_home(generator_w);
        // As it stands: the generator alone.
        let first = &mut household.options[0];
        first.storage.clear();
        first.arrays.clear();
        first.pv_inverters.clear();
        // Inverters and batteries that bear whatever the house asks for at once.
        for unit in (household.options.iter_mut()).flat_map(|option| &mut option.storage) {
            unit.inverter.rated_w = 20_000.0;
            unit.inverter.surge.clear();
            unit.battery.discharge_w = 20_000.0;
        }
        let number = household.options.len() - 1;
        let (_, run, found) = laid(household, number);
        let found = found.expect("fuel has a price");
        let island = run.figures.off_grid.as_ref().expect("off the grid");
        let served = found.served.expect("off the grid");
        assert_eq!(served.is_comparable(), comparable, "{served:?}");
        let first = found.flow.rows[1];
        assert_near(
            found.minor_unit.cur(first.bill_after),
            FUEL_CUR_PER_L * island.fuel_l,
            0.005,
            "fuel",
        );
        if comparable {
            assert!(first.saving > couplet_core::money::Money::ZERO);
        }
    }
}

#[test]
fn fuel_without_a_price_is_asked_for_unless_none_is_burnt() {
    let mut household = off_grid_home(8_000.0);
    for option in &mut household.options {
        option
            .generator
            .as_mut()
            .expect("a generator")
            .fuel_cur_per_l = None;
    }
    let (_, _, found) = laid(household.clone(), 1);
    assert_eq!(found, Err(OutlookProblem::NoFuelPrice));
    for option in &mut household.options {
        option.generator = None;
    }
    let (_, _, found) = laid(household, 1);
    let row = found.expect("no fuel").flow.rows[1];
    assert_eq!(row.bill_after, couplet_core::money::Money::ZERO);
}

#[test]
fn with_a_utility_all_is_served_and_nothing_is_said_of_it() {
    let (_, _, found) = laid(demo(), 1);
    let found = found.expect("a bill");
    assert_eq!(found.served, None);
    assert!(found.years.iter().all(|year| year.served_share == 1.0));
}

proptest! {
    #![proptest_config(draws(8))]

    /// Whatever is typed in: no panic, no number that is none, or the price that is missing.
    #[test]
    fn any_household_off_the_grid_has_costs_or_wants_a_fuel_price(mut household in any_household()) {
        household.service.utility = false;
        let number = household.options.len() - 1;
        prop_assume!(check(household.clone()).is_ok());
        let (_, _, found) = laid(household, number);
        match found {
            Err(problem) => prop_assert_eq!(problem, OutlookProblem::NoFuelPrice),
            Ok(found) => {
                let served = found.served.expect("off the grid");
                prop_assert!(served.cost_today_cur.is_finite());
                prop_assert!(served.cur_per_kwh.is_none_or(f64::is_finite));
                for share in [served.reference_share, served.first_share, served.last_share] {
                    prop_assert!((0.0..=1.0).contains(&share), "{}", share);
                }
            }
        }
    }
}
