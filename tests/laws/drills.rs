//! Drills of the demonstration household, and the two ways of computing an outage against each other.

use couplet_core::check::{Checked, check};
use couplet_core::document::demo;
use couplet_core::household::Household;
use couplet_core::island::{Advice, Drill, DrillCase, DrillMoment, Happening, drill, drill_at};
use couplet_core::outage::{StartSoc, outage_from};
use couplet_core::year::{Scene, YearRun};
use couplet_tests::climate_grid;

const QUARTER_HOUR_S: u32 = 900;

/// The demonstration with all arrays on the backed-up side, or on DC.
fn household() -> Checked<Household> {
    let mut household = demo();
    for option in &mut household.options {
        for inverter in &mut option.pv_inverters {
            inverter.side = couplet_core::household::AcSide::BackedUp;
        }
    }
    check(household).unwrap()
}

fn year(household: &Checked<Household>, option: usize) -> (Scene, YearRun) {
    let scene = Scene::new(household, Some(&climate_grid()), QUARTER_HOUR_S, None).unwrap();
    let run = scene.run(&household.options[option]).unwrap();
    (scene, run)
}

fn run_drill(household: &Checked<Household>, year: &(Scene, YearRun), case: &DrillCase) -> Drill {
    drill(household, Some(&climate_grid()), (&year.0, &year.1), case).unwrap()
}

/// Over a day the means of quarter hours and the seconds come to the same: what is served within 2 % of what is wanted.
#[test]
fn seconds_and_quarter_hours_tell_the_same_outage() {
    let household = household();
    for option in 1..4 {
        let year = year(&household, option);
        for (day, soc) in [(20, 0.9), (100, 0.5), (172, 0.3), (250, 1.0)] {
            let case = DrillCase {
                day,
                from_h: 0.0,
                length_h: 24.0,
                soc: Some(soc),
            };
            let fine = run_drill(&household, &year, &case);
            let hour = usize::try_from(day * 24).unwrap();
            let coarse = outage_from(&year.0, &year.1, hour, StartSoc::At(soc)).unwrap();
            let island = coarse.flows.island.unwrap();
            let coarse_wh: f64 = island.served_w[..96].iter().sum::<f64>() / 4.0;
            let wanted_wh: f64 = island.wanted_w[..96].iter().sum::<f64>() / 4.0;
            let fine_wh = fine.run.ledger.served_wh;
            assert!(
                (fine_wh - coarse_wh).abs() < 0.02 * wanted_wh,
                "option {option}, day {day}: {fine_wh} and {coarse_wh} of {wanted_wh}, {:?}",
                fine.run.figures
            );
        }
    }
}

/// The older inverter that stands on the roof drops when the battery is full; DC-joined arrays are throttled without a trip.
#[test]
fn a_full_battery_at_noon_tells_ac_from_dc() {
    let household = household();
    let all_ac = year(&household, 1);
    let case = drill_at(&all_ac.0, &all_ac.1, DrillMoment::FullAtNoon);
    let on_ac = run_drill(&household, &all_ac, &case);
    assert!(on_ac.run.figures.pv_trips > 0);
    assert!(
        on_ac
            .run
            .events
            .iter()
            .any(|event| event.what == Happening::HoldingBack)
    );
    assert!(
        on_ac
            .advice
            .iter()
            .any(|one| matches!(one, Advice::AllOrNothing { .. })),
        "{:?}",
        on_ac.advice
    );

    let all_dc = year(&household, 3);
    let on_dc = run_drill(&household, &all_dc, &case);
    assert_eq!(on_dc.run.figures.pv_trips, 0);
    assert!(on_dc.run.ledger.dc_throttled_wh > 0.0);
    assert!((on_dc.run.figures.highest_hz - 60.0).abs() < 1e-9);
}

/// An empty battery at dawn: the option with DC PV comes back by itself, the one with AC PV alone does not.
#[test]
fn an_empty_battery_at_dawn_tells_ac_from_dc() {
    let household = household();
    let all_ac = year(&household, 1);
    let case = drill_at(&all_ac.0, &all_ac.1, DrillMoment::EmptyAtDawn { day: 172 });
    let on_ac = run_drill(&household, &all_ac, &case);
    assert_eq!(on_ac.run.figures.back_s, None);
    assert!(on_ac.advice.contains(&Advice::NothingLiftsTheBattery));
    let on_dc = run_drill(&household, &year(&household, 3), &case);
    assert!(on_dc.run.figures.back_s.is_some());
    assert!(on_dc.run.ledger.served_wh > on_ac.run.ledger.served_wh);
}

/// A household without storage has nothing that holds the bus.
#[test]
fn without_storage_the_bus_is_dark() {
    let household = household();
    let year = year(&household, 0);
    let case = drill_at(&year.0, &year.1, DrillMoment::WorstDay);
    let found = run_drill(&household, &year, &case);
    assert_eq!(found.advice, [Advice::NothingHoldsTheBus]);
    assert!(found.run.ledger.served_wh == 0.0 && found.run.figures.dark_s > 86_000.0);
}
