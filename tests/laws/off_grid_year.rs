//! Laws of the year of a household without a utility, told as the year of one with is.

use couplet_core::check::{Checked, check};
use couplet_core::converter::LossLaw;
use couplet_core::coupling::{CouplingOption, Generator};
use couplet_core::document::demo;
use couplet_core::drawing::{FlowKey, flow_w};
use couplet_core::household::{BaseUse, Household, IntervalUse};
use couplet_core::year::{
    DayBalance, DayTrace, Scene, StripQuantity, Use, Warning, YearRun, interval_csv, warnings,
};
use couplet_tests::any::any_household;
use couplet_tests::{climate_grid, draws};
use proptest::prelude::*;

use crate::common_practice::home;

/// A household without a utility, laid out, and its first option run.
struct Year {
    household: Checked<Household>,
    scene: Scene,
    run: YearRun,
}

impl Year {
    fn new(mut household: Household, step_s: u32) -> Self {
        household.leave_grid();
        let household = check(household).expect("a sound household");
        let scene = Scene::new(&household, Some(&climate_grid()), step_s, None).expect("a climate");
        let run = scene.run(&household.options[0]).expect("sound equipment");
        Self {
            household,
            scene,
            run,
        }
    }

    /// The demonstration's home with these arrays on DC, the others on AC.
    fn of_home(dc_arrays: &[usize], change: impl Fn(&mut Household, &mut CouplingOption)) -> Self {
        Self::new(home(dc_arrays, change), 900)
    }

    fn strip(&self, quantity: StripQuantity) -> Vec<f32> {
        let strip = self.run.strip(&self.scene, quantity);
        assert_eq!(strip.values.len(), 8760);
        strip.values
    }

    fn days(&self) -> impl Iterator<Item = DayTrace> {
        (0..365).map(|day| self.run.day(&self.scene, day).expect("a day of the year"))
    }
}

fn energy_wh(trace: &DayTrace, power_w: &[f64]) -> f64 {
    power_w.iter().sum::<f64>() * trace.step_s / 3600.0
}

fn with_generator(_: &mut Household, option: &mut CouplingOption) {
    option.generator = Some(Generator::generic("Generator".to_owned(), 8_000.0));
}

/// Base use of the same power at every hour, and nothing else.
fn steady(household: &mut Household, power_w: f64) {
    household.loads.devices.clear();
    household.loads.base_start = None;
    household.loads.base = BaseUse::Intervals(IntervalUse {
        source: "steady".to_owned(),
        interval_s: 3600,
        power_w: vec![power_w; 8760].into(),
    });
}

#[track_caller]
fn assert_near(value: f64, expected: f64, tolerance: f64) {
    let gap = (value - expected).abs();
    assert!(
        gap <= tolerance * expected.abs().max(1.0),
        "{value} against {expected}"
    );
}

/// Every law that one year must keep.
fn assert_sound(year: &Year) {
    let ledger = &year.run.ledger;
    assert!(ledger.worst_step_gap < 1e-9, "{ledger:?}");
    let figures = &year.run.figures;
    let off_grid = figures.off_grid.as_ref().expect("there is no utility");
    assert!(figures.bill.is_none() && ledger.import_wh == 0.0 && ledger.export_wh == 0.0);
    assert!((0.0..=1.0 + 1e-12).contains(&off_grid.served_share));
    assert_near(off_grid.served_wh, ledger.load_wh, 1e-12);
    let cut_wh = off_grid.ac_throttled_wh + off_grid.ac_tripped_wh + off_grid.ac_idle_wh;
    assert_near(cut_wh, ledger.ac_pv_cut_wh, 1e-9);
    let (mut served_wh, mut unserved_wh, mut generator_wh, mut dark_h) = (0.0, 0.0, 0.0, 0.0);
    for trace in year.days() {
        let balance = DayBalance::of(&trace);
        for step in 0..trace.load_w.len() {
            let (supplied_w, used_w) = (balance.supplied_w(step), balance.used_w(step));
            let gap_w = (supplied_w - used_w).abs();
            assert!(
                gap_w <= 1e-9 * used_w.max(1.0),
                "day {}, step {step}: {supplied_w} W supplied, {used_w} W used",
                trace.day
            );
            let parts_w: f64 = trace.base_backed_up_w[step]
                + trace
                    .devices
                    .iter()
                    .map(|device| device.power_w[step])
                    .sum::<f64>();
            assert_near(parts_w, trace.load_w[step], 1e-9);
            assert!((0.0..=1.0 + 1e-12).contains(&trace.soc[step]));
            assert!(trace.unserved_w[step] >= 0.0 && trace.load_w[step] >= 0.0);
            if trace.dark_share[step] >= 1.0 {
                assert_eq!((trace.load_w[step], trace.ac_pv_w[step]), (0.0, 0.0));
            }
        }
        served_wh += energy_wh(&trace, &trace.load_w);
        unserved_wh += energy_wh(&trace, &trace.unserved_w);
        generator_wh += energy_wh(&trace, &trace.generator_w);
        dark_h += energy_wh(&trace, &trace.dark_share);
    }
    assert_near(served_wh, ledger.load_wh, 1e-9);
    assert_near(served_wh + unserved_wh, off_grid.wanted_wh, 1e-9);
    assert_near(generator_wh, ledger.generator_wh, 1e-9);
    assert_near(dark_h, off_grid.dark_h, 1e-9);
    let dark: f64 = year
        .strip(StripQuantity::Dark)
        .iter()
        .copied()
        .map(f64::from)
        .sum();
    assert_near(dark, off_grid.dark_h, 1e-5);
    let unserved: f64 = year
        .strip(StripQuantity::Unserved)
        .iter()
        .copied()
        .map(f64::from)
        .sum();
    assert_near(unserved, unserved_wh, 1e-5);
}

#[test]
fn a_year_without_a_utility_closes_and_is_the_sum_of_its_days() {
    for dc_arrays in [&[][..], &[1], &[0, 1, 2]] {
        assert_sound(&Year::of_home(dc_arrays, |_, _| ()));
        assert_sound(&Year::of_home(dc_arrays, with_generator));
    }
}

/// A day begins with all that the bus remembers of the day before: whether it is dark, what waits, whether the generator runs.
#[test]
fn a_day_that_is_run_again_by_itself_is_the_day_of_the_year() {
    let climate = climate_grid();
    let without = |_: &mut Household, _: &mut CouplingOption| ();
    for year in [
        Year::of_home(&[2], without),
        Year::of_home(&[], without),
        Year::of_home(&[1], with_generator),
    ] {
        for day in (0..365).step_by(13) {
            let again = year
                .scene
                .day_at(&year.household, Some(&climate), &year.run, day, 900)
                .expect("a climate")
                .expect("a day of the year");
            let day_of_year = year.run.day(&year.scene, day).expect("a day of the year");
            // The weather of a day alone differs from that of the year in the last digit.
            for (series, again_series) in [
                (&day_of_year.load_w, &again.load_w),
                (&day_of_year.unserved_w, &again.unserved_w),
                (&day_of_year.generator_w, &again.generator_w),
                (&day_of_year.ac_pv_w, &again.ac_pv_w),
                (&day_of_year.dc_pv_w, &again.dc_pv_w),
                (&day_of_year.soc, &again.soc),
                (&day_of_year.dark_share, &again.dark_share),
            ] {
                assert_eq!(series.len(), again_series.len());
                for (value, again) in series.iter().zip(again_series) {
                    assert!((value - again).abs() < 1e-6, "day {day}: {value} {again}");
                }
            }
        }
        // In finer steps it is nearly the same: the sun is taken in the middle of each.
        let (mut fine_wh, mut coarse_wh) = (0.0, 0.0);
        for day in (3..365).step_by(40) {
            let fine = year
                .scene
                .day_at(&year.household, Some(&climate), &year.run, day, 300)
                .expect("a climate")
                .expect("a day of the year");
            let coarse = year.run.day(&year.scene, day).expect("a day of the year");
            fine_wh += energy_wh(&fine, &fine.load_w);
            coarse_wh += energy_wh(&coarse, &coarse.load_w);
        }
        assert!(
            (fine_wh - coarse_wh).abs() <= 0.03 * coarse_wh + 200.0,
            "{fine_wh} {coarse_wh}"
        );
    }
}

/// Common practice: only DC PV or a generator charges a flat battery; AC PV needs a grid to follow.
#[test]
fn on_ac_pv_alone_a_bus_that_went_dark_stays_dark_and_the_strip_shows_it() {
    let told = |year: &Year| {
        let option = &year.household.options[0];
        warnings(&year.household, option, &year.run.figures)
    };
    let year = Year::of_home(&[], |_, _| ());
    let dark = year.strip(StripQuantity::Dark);
    let first = dark
        .iter()
        .position(|share| *share > 0.0)
        .expect("it goes dark in winter");
    assert!(dark[first + 1..].iter().all(|share| *share == 1.0));
    let (stored, unserved) = (
        year.strip(StripQuantity::Soc),
        year.strip(StripQuantity::Unserved),
    );
    assert!(stored[first..].iter().all(|soc| *soc < 0.1));
    assert!(unserved[first + 1..].iter().all(|power_w| *power_w > 0.0));
    assert!(told(&year).contains(&Warning::StaysDark));
    assert_eq!(
        year.run
            .figures
            .off_grid
            .as_ref()
            .map(|year| year.went_dark),
        Some(1)
    );

    let on_dc = Year::of_home(&[0, 1, 2], |_, _| ());
    let dark = on_dc.strip(StripQuantity::Dark);
    let first = dark
        .iter()
        .position(|share| *share > 0.0)
        .expect("it goes dark in winter");
    assert!(dark[first + 1..].contains(&0.0), "DC PV brings it back");
    let helped = Year::of_home(&[], with_generator);
    assert!(
        helped
            .strip(StripQuantity::Dark)
            .iter()
            .all(|share| *share == 0.0)
    );
    for year in [on_dc, helped] {
        assert!(!told(&year).contains(&Warning::StaysDark));
    }
}

/// Derived: a full battery alone gives its energy above the shut-down level, times its discharge efficiency; the load gets the share
/// of it that the inverter passes on. Nothing is left over for want of a whole step.
#[test]
fn a_step_is_served_until_the_battery_is_empty() {
    let load_w = 450.0;
    let year = Year::of_home(&[], |household, option| {
        steady(household, load_w);
        option.arrays.clear();
        option.storage[0].battery.initial_soc = 1.0;
        option.storage[0].battery.self_discharge_per_month = 0.0;
    });
    let option = &year.household.options[0];
    let unit = &option.storage[0];
    let law = LossLaw::fit(&unit.inverter.efficiency, unit.inverter.rated_w).expect("a law");
    let given_wh = unit.battery.usable_wh
        * (1.0 - option.island.shut_down_soc)
        * unit.battery.discharge_efficiency;
    let lasts_h = given_wh / law.dc_w(load_w);
    let off_grid = year
        .run
        .figures
        .off_grid
        .as_ref()
        .expect("there is no utility");
    assert_near(year.run.ledger.load_wh, load_w * lasts_h, 1e-9);
    assert_near(off_grid.dark_h, 8760.0 - lasts_h, 1e-9);
    assert_near(off_grid.longest_dark_from_h, lasts_h, 1e-9);
    let island = year.run.flows.island.as_ref().expect("there is no utility");
    let parts = island
        .dark_share
        .iter()
        .filter(|share| **share > 0.0 && **share < 1.0);
    assert_eq!(parts.count(), 1, "it goes dark within a step");
}

/// A load that is larger than the inverter is not served in part; one that has a place in the shed order is switched off instead.
#[test]
fn a_load_above_the_power_is_shed_or_the_step_is_dark() {
    let overloaded = |shed_order: Option<u32>| {
        let year = Year::of_home(&[0, 1, 2], |household, option| {
            let device = household.loads.devices[0].clone();
            steady(household, 300.0);
            household.loads.devices = vec![device];
            household.loads.devices[0].shed_order = shed_order;
            let inverter = &mut option.storage[0].inverter;
            inverter.efficiency.no_load_w *= 1_000.0 / inverter.rated_w;
            inverter.rated_w = 1_000.0;
            option.storage[0].battery.usable_wh = 60_000.0;
            option.storage[0].battery.initial_soc = 1.0;
        });
        let wanted_w = year
            .run
            .flows
            .island
            .clone()
            .expect("there is no utility")
            .wanted_w;
        let most_w = wanted_w.iter().copied().fold(0.0, f64::max);
        assert!(most_w > 1_000.0, "{most_w} W are wanted at most");
        year.run.figures.off_grid.expect("there is no utility")
    };
    let (kept, shed) = (overloaded(None), overloaded(Some(1)));
    assert!(kept.dark_h > 10.0 && kept.shed_wh < 1.0, "{kept:?}");
    assert!(
        shed.dark_h < kept.dark_h && shed.shed_wh > 1_000.0,
        "{shed:?}"
    );
    assert!(shed.served_wh > kept.served_wh);
}

/// The arrows of the drawing meet on the bus: what comes onto it in a step is what leaves it.
#[test]
fn the_wires_of_the_drawing_add_up_on_the_bus() {
    let year = Year::of_home(&[2], with_generator);
    let option = &year.household.options[0];
    let mut ran = 0;
    for day in [10, 100, 200, 340] {
        let trace = year.run.day(&year.scene, day).expect("a day of the year");
        for step in 0..trace.load_w.len() {
            let at = |key: FlowKey| flow_w(&trace, key, step).unwrap_or(0.0);
            let on_w: f64 = (trace.pv_inverters.iter())
                .map(|one| at(FlowKey::PvInverter(one.id)))
                .sum::<f64>()
                + (option.storage.iter())
                    .map(|unit| at(FlowKey::StorageAc(unit.id)))
                    .sum::<f64>()
                + at(FlowKey::Generator);
            let off_w: f64 = at(FlowKey::Base(couplet_core::household::AcSide::BackedUp))
                + (trace.devices.iter())
                    .map(|device| at(FlowKey::Device(device.id)))
                    .sum::<f64>();
            assert!(
                (on_w - off_w).abs() < 1e-6,
                "day {day}, step {step}: {on_w} and {off_w}"
            );
            assert_eq!((at(FlowKey::Meter), at(FlowKey::Transfer)), (0.0, 0.0));
            ran += usize::from(at(FlowKey::Generator) > 0.0);
        }
    }
    assert!(ran > 0, "the generator runs in winter");
}

#[test]
fn intervals_of_an_off_grid_year_hold_what_the_figures_tell() {
    let year = Year::of_home(&[2], with_generator);
    let csv = interval_csv(&year.scene, [&year.run]);
    let mut rows = csv.split("\r\n");
    let headings: Vec<&str> = rows.next().expect("a heading").split(',').collect();
    assert!(!headings.contains(&"import_w") && !headings.contains(&"buy_cur_per_kwh"));
    let rows: Vec<Vec<&str>> = rows
        .filter(|row| !row.is_empty())
        .map(|row| row.split(',').collect())
        .collect();
    assert_eq!(rows.len(), 35_040);
    let sum_wh = |name: &str| -> f64 {
        let column = headings
            .iter()
            .position(|heading| *heading == name)
            .expect("a column");
        rows.iter()
            .map(|row| row[column].parse::<f64>().expect("a number") / 4.0)
            .sum()
    };
    let figures = year
        .run
        .figures
        .off_grid
        .as_ref()
        .expect("there is no utility");
    // Powers are written to a tenth of a watt.
    let rounding_wh = 35_040.0 * 0.05 / 4.0;
    for (name, expected_wh) in [
        ("load_w", figures.served_wh),
        ("unserved_w", figures.wanted_wh - figures.served_wh),
        ("generator_w", figures.generator_wh),
        ("throttled_w", year.run.figures.throttled_wh),
    ] {
        let gap_wh = (sum_wh(name) - expected_wh).abs();
        assert!(gap_wh <= rounding_wh, "{name}: {gap_wh} Wh");
    }
    assert!((sum_wh("dark_share") * 4.0 * 0.25 - figures.dark_h).abs() < 0.02);
}

/// What is left on the side that is dark is named, and does nothing.
#[test]
fn what_stays_on_the_grid_side_is_dark_and_named() {
    let mut household = demo();
    household.options.truncate(2);
    household.service.utility = false;
    let household = check(household).expect("a sound household");
    let scene = Scene::new(&household, Some(&climate_grid()), 900, None).expect("a climate");
    for (option, nothing_holds) in household.options.iter().zip([true, false]) {
        let run = scene.run(option).expect("sound equipment");
        let told = warnings(&household, option, &run.figures);
        assert!(told.contains(&Warning::OnTheDarkSide));
        assert_eq!(told.contains(&Warning::NothingHoldsTheBus), nothing_holds);
        let trace = run.day(&scene, 172).expect("a day of the year");
        assert!(trace.base_grid_side_w.iter().all(|power_w| *power_w == 0.0));
        for (inverter, flow) in run.plant().inverters.iter().zip(&run.flows.inverters) {
            if inverter.side == couplet_core::household::AcSide::GridSide {
                assert!(flow.ac_w.iter().all(|power_w| *power_w == 0.0));
            }
        }
    }
}

/// The use on the day chart that is no power stands outside the sums.
#[test]
fn what_is_not_served_hangs_below_the_uses() {
    let year = Year::of_home(&[], |_, _| ());
    let trace = year.run.day(&year.scene, 364).expect("a day of the year");
    let balance = DayBalance::of(&trace);
    let unserved = balance.uses.last().expect("uses");
    assert_eq!(unserved.party, Use::Unserved);
    assert!(unserved.power_w.iter().all(|power_w| *power_w > 0.0));
    assert!((0..96).all(|step| balance.supplied_w(step) == balance.used_w(step)));
}

proptest! {
    #![proptest_config(draws(16))]

    #[test]
    fn any_household_without_a_utility_has_a_sound_year(household in any_household()) {
        assert_sound(&Year::new(household, 3600));
    }
}
