//! What the trade says of living off the grid and through outages, as it comes out of whole years: nothing here is written
//! into the calculation.
//!
//! Source of each statement: common practice, unless it says otherwise.

use couplet_core::check::check;
use couplet_core::converter::LossLaw;
use couplet_core::coupling::{CouplingOption, Generator, GridCode, IslandMeans};
use couplet_core::household::{BaseUse, Household, IntervalUse};
use couplet_core::outage::{
    LONGEST_OUTAGE_H, OffGridRun, OutageSurvival, SizedPart, StartSoc, design_month, least_size,
    off_grid, outage_survival, scaled,
};
use couplet_core::year::Scene;
use couplet_tests::any::any_household;
use couplet_tests::{climate_grid, draws};
use proptest::prelude::*;

use crate::common_practice::home;

/// The demonstration [`home`] off the grid, all of it backed up.
fn off_grid_home(
    dc_arrays: &[usize],
    change: impl Fn(&mut Household, &mut CouplingOption),
) -> (Scene, CouplingOption) {
    let household = home(dc_arrays, |household, option| {
        household.service.utility = false;
        household.loads.backed_up_share = 1.0;
        change(household, option);
    });
    let household = check(household).expect("a sound household");
    let scene = Scene::new(&household, Some(&climate_grid()), 900, None).expect("a climate");
    (scene, household.options[0].clone())
}

fn year(dc_arrays: &[usize], change: impl Fn(&mut Household, &mut CouplingOption)) -> OffGridRun {
    let (scene, option) = off_grid_home(dc_arrays, change);
    let run = off_grid(&scene, &option).expect("sound equipment");
    assert!(run.ledger.worst_step_gap < 1e-9);
    run
}

fn set_grid_code(option: &mut CouplingOption, code: GridCode) {
    for inverter in &mut option.pv_inverters {
        inverter.grid_code = code;
    }
}

fn set_means(option: &mut CouplingOption, means: IslandMeans) {
    for inverter in &mut option.pv_inverters {
        inverter.island = means;
    }
}

/// Metered use that is the same every day.
fn daily(power_w: impl Fn(usize) -> f64) -> BaseUse {
    let power_w: Vec<f64> = (0..8760).map(|hour| power_w(hour % 24)).collect();
    BaseUse::Intervals(IntervalUse {
        source: "the same every day".to_owned(),
        interval_s: 3600,
        power_w: power_w.into(),
    })
}

#[test]
fn off_grid_more_is_served_from_dc_pv_than_from_the_same_pv_on_ac() {
    for code in [GridCode::Present, GridCode::Ieee1547Of2003] {
        let figures =
            |dc_arrays: &[usize]| year(dc_arrays, |_, option| set_grid_code(option, code)).figures;
        let (ac, most_dc, dc) = (figures(&[]), figures(&[1, 2]), figures(&[0, 1, 2]));
        assert!(
            ac.ends_dark,
            "{code:?}: it goes dark once and never comes back"
        );
        assert!(!dc.ends_dark && !most_dc.ends_dark);
        let shares = (ac.served_share, most_dc.served_share, dc.served_share);
        assert!(shares.0 + 0.2 < shares.1, "{code:?}: {shares:?}");
        assert!(shares.0 + 0.2 < shares.2, "{code:?}: {shares:?}");
    }
}

/// With a generator beside it, so that no way of joining stays dark.
#[test]
fn off_grid_ac_pv_falls_off_more_the_larger_its_share() {
    for code in [GridCode::Present, GridCode::Ieee1547Of2003] {
        let figures = |dc_arrays: &[usize]| {
            let run = year(dc_arrays, |_, option| {
                set_grid_code(option, code);
                option.generator = Some(Generator::generic("Generator".to_owned(), 8_000.0));
            });
            run.figures
        };
        let (ac, some, dc) = (figures(&[]), figures(&[0]), figures(&[0, 1, 2]));
        let tripped_wh = (ac.ac_tripped_wh, some.ac_tripped_wh, dc.ac_tripped_wh);
        assert!(tripped_wh.0 > tripped_wh.1, "{code:?}: {tripped_wh:?}");
        assert!(tripped_wh.1 > tripped_wh.2, "{code:?}: {tripped_wh:?}");
        assert_eq!(tripped_wh.2, 0.0);
    }
}

#[test]
fn ac_pv_no_larger_than_the_daytime_load_is_neither_throttled_nor_falls_off() {
    let lost_share = |peak_w: f64| {
        let run = year(&[1, 2], |household, option| {
            household.loads.devices.clear();
            household.loads.base = daily(|hour| {
                if (5..20).contains(&hour) {
                    2_000.0
                } else {
                    300.0
                }
            });
            household.loads.base_start = None;
            option.arrays[0].peak_w = peak_w;
            let inverter = &mut option.pv_inverters[0];
            inverter.efficiency.no_load_w *= peak_w / inverter.rated_w;
            inverter.rated_w = peak_w;
            option.storage[0].battery.usable_wh = 60_000.0;
            option.generator = Some(Generator::generic("Generator".to_owned(), 6_000.0));
        });
        let lost_wh = run.figures.ac_throttled_wh + run.figures.ac_tripped_wh;
        lost_wh / (lost_wh + run.ledger.pv_inverter_ac_wh)
    };
    let (small, large) = (lost_share(2_000.0), lost_share(8_000.0));
    assert!(small < 0.02, "no larger than the load: {small:.4} is lost");
    assert!(large > 0.10, "four times the load: {large:.4} is lost");
}

/// A system with a flat battery at the start of the year.
fn from_flat(dc_arrays: &[usize], change: impl Fn(&mut CouplingOption)) -> OffGridRun {
    year(dc_arrays, |_, option| {
        option.storage[0].battery.initial_soc = 0.0;
        change(option);
    })
}

#[test]
fn a_flat_system_never_comes_back_on_ac_pv_alone() {
    let means = [
        IslandMeans::Frequency,
        IslandMeans::Command { response_s: 1.0 },
        IslandMeans::Contactor {
            open_soc: 0.95,
            close_soc: 0.9,
        },
    ];
    for means in means {
        let run = from_flat(&[], |option| set_means(option, means));
        assert_eq!(run.ledger.load_wh, 0.0);
        assert_eq!(run.ledger.pv_inverter_ac_wh, 0.0);
        assert_eq!((run.figures.dark_h, run.figures.ends_dark), (8760.0, true));
    }
}

#[test]
fn a_flat_system_comes_back_on_dc_pv() {
    let run = from_flat(&[2], |_| ());
    let island = run.flows.island.expect("a run without a grid");
    let first = (island.dark_share.iter()).position(|share| *share == 0.0);
    assert!(
        first.is_some_and(|step| step > 0 && step < 14 * 96),
        "{first:?}"
    );
}

#[test]
fn a_flat_system_comes_back_on_a_generator() {
    let run = from_flat(&[], |option| {
        option.generator = Some(Generator::generic("Generator".to_owned(), 8_000.0));
    });
    assert_eq!(run.figures.dark_h, 0.0);
    let served_wh = run.figures.served_wh + run.figures.shed_wh;
    assert!(
        (served_wh / run.figures.wanted_wh - 1.0).abs() < 1e-4,
        "{:?}",
        run.figures
    );
    assert!(run.ledger.pv_inverter_ac_wh > 1e6 && run.figures.fuel_l > 1.0);
    // Idle fuel of each hour and the fuel of the energy.
    let generator = Generator::generic(String::new(), 8_000.0);
    let fuel_l = generator.idle_fuel_l_per_h * run.figures.generator_h
        + generator.fuel_l_per_kwh * run.figures.generator_wh / 1000.0;
    assert!((run.figures.fuel_l - fuel_l).abs() < 1e-6 * fuel_l);
}

#[test]
fn a_flat_system_comes_back_on_the_grid() {
    let (scene, option) = off_grid_home(&[], |household, option| {
        household.service.utility = true;
        option.storage[0].battery.initial_soc = 0.0;
    });
    let run = scene.run(&option).expect("sound equipment");
    let survival = outage_survival(&scene, &run, StartSoc::AsRun)
        .expect("sound equipment")
        .expect("a whole year");
    assert_eq!(survival.lasted_h[0], 0);
    assert!(survival.lasted_h[180 * 24] > 0);
}

#[test]
fn a_dark_bus_on_ac_pv_alone_stays_dark_and_one_with_dc_pv_returns() {
    let survival = |dc_arrays: &[usize]| -> OutageSurvival {
        let (scene, option) = off_grid_home(dc_arrays, |_, _| ());
        let run = scene.run(&option).expect("sound equipment");
        outage_survival(&scene, &run, StartSoc::AsRun)
            .expect("sound equipment")
            .expect("a whole year")
    };
    let (ac, dc) = (survival(&[]).year, survival(&[0, 1, 2]).year);
    assert!(ac.went_dark > 1000 && dc.went_dark > 1000);
    assert_eq!(ac.came_back, 0);
    assert!(dc.came_back > dc.went_dark * 9 / 10, "{dc:?}");
}

/// The autonomy of IEEE 1013 and IEEE 1562 in its simplest case: a full battery alone, no sun, a steady load. Derived: the time
/// is the energy above the shut-down level, times the discharge efficiency, over what the inverter draws for the load.
#[test]
fn a_full_battery_without_sun_lasts_as_long_as_its_energy_over_the_load() {
    let load_w = 450.0;
    let (scene, option) = off_grid_home(&[], |household, option| {
        household.loads.devices.clear();
        household.loads.base = daily(|_| load_w);
        option.arrays.clear();
        option.storage[0].battery.self_discharge_per_month = 0.0;
    });
    let run = scene.run(&option).expect("sound equipment");
    let survival = outage_survival(&scene, &run, StartSoc::At(1.0))
        .expect("sound equipment")
        .expect("a whole year");
    let unit = &option.storage[0];
    let law = LossLaw::fit(&unit.inverter.efficiency, unit.inverter.rated_w).expect("a law");
    let given_wh = unit.battery.usable_wh
        * (1.0 - option.island.shut_down_soc)
        * unit.battery.discharge_efficiency;
    let lasts_h = (given_wh / law.dc_w(load_w)).floor();
    for lasted_h in survival.lasted_h {
        assert_eq!(f64::from(lasted_h), lasts_h);
    }
    // Days of autonomy count the load alone, as practice does.
    let days = off_grid(&scene, &option)
        .expect("sound equipment")
        .figures
        .days_of_autonomy;
    let expected = given_wh / (24.0 * load_w);
    assert!((days.expect("a battery and a load") / expected - 1.0).abs() < 1e-9);
}

#[test]
fn figures_of_survival_agree_with_the_single_outages() {
    let (scene, option) = off_grid_home(&[1, 2], |_, _| ());
    let run = scene.run(&option).expect("sound equipment");
    let survival = outage_survival(&scene, &run, StartSoc::AsRun)
        .expect("sound equipment")
        .expect("a whole year");
    let count = |hours: u16| {
        survival
            .lasted_h
            .iter()
            .filter(|lasted| **lasted >= hours)
            .count()
    };
    let year = &survival.year;
    assert_eq!(year.lasting.len(), usize::from(LONGEST_OUTAGE_H));
    for (hours, share) in (1..).zip(&year.lasting) {
        assert!((share - count(hours) as f64 / 8760.0).abs() < 1e-12);
    }
    assert_eq!(year.worst_h, *survival.lasted_h.iter().min().unwrap());
    assert_eq!(
        survival.lasted_h[usize::from(year.worst_start)],
        year.worst_h
    );
    assert!(year.worst_h <= year.median_h && year.median_h <= year.best_h);
    let mean: f64 = survival
        .seasons
        .iter()
        .zip([90.0, 92.0, 92.0, 91.0])
        .map(|((_, figures), days)| figures.lasting[11] * days / 365.0)
        .sum();
    assert!((mean - year.lasting[11]).abs() < 1e-12);
    // The house stands in the north: summer sun carries further than winter sun.
    assert!(survival.seasons[2].1.lasting[47] > survival.seasons[0].1.lasting[47]);
}

#[test]
fn least_sizes_serve_the_share_and_a_little_less_does_not() {
    let (scene, option) = off_grid_home(&[0, 1, 2], |household, _| {
        household.loads.devices.clear();
        household.loads.base = daily(|_| 300.0);
    });
    let served = |array_scale: f64, battery_scale: f64| {
        let run = off_grid(&scene, &scaled(&option, array_scale, battery_scale));
        run.expect("sound equipment").figures.served_share
    };
    let size = |part, other_scale, share| {
        least_size(&scene, &option, part, other_scale, share, false).expect("sound equipment")
    };
    let battery = size(SizedPart::Batteries, 1.0, 0.99).expect("it can be reached");
    assert!(battery.served_share >= 0.99);
    assert!((served(1.0, battery.battery_scale) - battery.served_share).abs() < 1e-12);
    assert!(served(1.0, battery.battery_scale * 0.98) < 0.99);
    let arrays = size(SizedPart::Arrays, battery.battery_scale, 0.99).expect("it can be reached");
    assert!(arrays.array_scale <= 1.0 + 0.01, "{arrays:?}");
    let more = size(SizedPart::Batteries, 2.0, 0.99).expect("it can be reached");
    assert!(
        more.usable_wh <= battery.usable_wh,
        "more sun asks for more battery"
    );
    assert_eq!(size(SizedPart::Batteries, 1.0, 1.1), None);
    let month = design_month(&scene, &option)
        .expect("sound equipment")
        .expect("a load");
    assert!(
        matches!(month.month, 11 | 0),
        "the darkest month of a northern house: {month:?}"
    );
}

proptest! {
    #![proptest_config(draws(24))]

    /// Where nothing is shed and nothing falls off, more energy at the start carries as far or farther. (A home that sheds its
    /// devices in time may well outlive one that began with more.)
    #[test]
    fn more_energy_at_the_start_never_lasts_shorter(
        household in any_household(),
        low in 0.0..=1.0_f64,
        more in 0.0..=1.0_f64,
    ) {
        let mut household = household;
        household.loads.devices.iter_mut().for_each(|device| device.shed_order = None);
        household.options.truncate(1);
        let option = &mut household.options[0];
        set_means(option, IslandMeans::Command { response_s: 1.0 });
        option.generator = None;
        option.storage.truncate(1);
        let unit = option.storage.first().map(|unit| unit.id);
        option.arrays.retain(|array| array.dc_unit.is_none() || array.dc_unit == unit);
        let household = check(household).expect("a sound household");
        let scene = Scene::new(&household, Some(&climate_grid()), 3600, None).expect("a climate");
        let run = scene.run(&household.options[0]).expect("sound equipment");
        let from = |soc: f64| {
            outage_survival(&scene, &run, StartSoc::At(soc)).expect("sound equipment").expect("a year")
        };
        let (less, more) = (from(low), from(low + more * (1.0 - low)));
        for (hour, (less, more)) in less.lasted_h.iter().zip(&more.lasted_h).enumerate() {
            prop_assert!(less <= more, "hour {}: {} h against {} h", hour, less, more);
        }
    }
}
