//! Laws of the backed-up bus alone: an outage from each hour, and a year off the grid.

use couplet_core::check::check;
use couplet_core::coupling::CouplingOption;
use couplet_core::document::demo;
use couplet_core::household::{AcSide, Household};
use couplet_core::outage::{
    LONGEST_OUTAGE_H, OffGridRun, OutageSurvival, StartSoc, off_grid, outage_from, outage_survival,
};
use couplet_core::year::{IslandFlows, Scene, YearRun};
use couplet_tests::any::any_household;
use couplet_tests::{climate_grid, draws};
use proptest::prelude::*;

/// A household, laid out and run with the grid up.
struct Laid {
    scene: Scene,
    run: YearRun,
    per_hour: usize,
}

impl Laid {
    fn new(household: Household, step_s: u32) -> Self {
        let household = check(household).expect("a sound household");
        let scene = Scene::new(&household, Some(&climate_grid()), step_s, None).expect("a climate");
        let run = scene.run(&household.options[0]).expect("sound equipment");
        let per_hour = usize::try_from(3600 / step_s).expect("a few");
        Self {
            scene,
            run,
            per_hour,
        }
    }

    fn survival(&self, start: StartSoc) -> OutageSurvival {
        outage_survival(&self.scene, &self.run, start)
            .expect("sound equipment")
            .expect("a whole year")
    }

    fn off_grid(&self) -> OffGridRun {
        off_grid(&self.scene, &self.run.option).expect("sound equipment")
    }
}

fn island(run: &OffGridRun) -> &IslandFlows {
    run.flows.island.as_ref().expect("a run without a grid")
}

/// Hours until the first dark step, and dark hours until the bus is back, read off the outage itself.
fn read_off(outage: &OffGridRun, per_hour: usize) -> (u16, Option<usize>) {
    let dark_share = &island(outage).dark_share;
    let Some(first) = dark_share.iter().position(|share| *share > 0.0) else {
        return (LONGEST_OUTAGE_H, None);
    };
    let back = dark_share[first..].iter().position(|share| *share == 0.0);
    (
        u16::try_from(first / per_hour).unwrap(),
        back.map(|steps| steps.div_ceil(per_hour)),
    )
}

fn assert_same_as_each_outage_alone(
    laid: &Laid,
    start: StartSoc,
    hours: impl Iterator<Item = usize>,
) {
    let survival = laid.survival(start);
    for hour in hours {
        let outage = outage_from(&laid.scene, &laid.run, hour, start).expect("sound equipment");
        let (lasted_h, dark_h) = read_off(&outage, laid.per_hour);
        assert_eq!(survival.lasted_h[hour], lasted_h, "hour {hour}");
        // The outage alone ends after a week, dark or not.
        if dark_h.is_some() {
            assert_eq!(
                survival.dark_h[hour].map(usize::from),
                dark_h,
                "hour {hour}"
            );
        }
    }
}

fn assert_closes(option: &CouplingOption, run: &OffGridRun) {
    assert!(run.ledger.worst_step_gap < 1e-9, "{:?}", run.ledger);
    let (flows, island) = (&run.flows, island(run));
    for step in 0..island.served_w.len() {
        let ac_pv_w: f64 = flows.inverters.iter().map(|one| one.ac_w[step]).sum();
        let storage_w: f64 = flows.units.iter().map(|unit| unit.ac_w[step]).sum();
        let (served_w, wanted_w) = (island.served_w[step], island.wanted_w[step]);
        let sources_w = ac_pv_w + storage_w + island.generator_w[step];
        let gap = (sources_w - served_w).abs() / wanted_w.max(ac_pv_w).max(1.0);
        assert!(
            gap < 1e-9,
            "step {step}: {sources_w} W against {served_w} W"
        );
        assert!(
            served_w <= wanted_w * (1.0 + 1e-12),
            "step {step}: more than is wanted"
        );
        let lit_share = 1.0 - island.dark_share[step];
        assert!(
            served_w <= lit_share * wanted_w * (1.0 + 1e-12),
            "step {step}: something is served in the dark"
        );
    }
    let on_bus = option
        .storage
        .iter()
        .filter(|unit| unit.side == AcSide::BackedUp);
    for (unit, flow) in on_bus.zip(&flows.units) {
        for (step, stored_wh) in flow.stored_wh.iter().enumerate() {
            let soc = stored_wh / unit.battery.usable_wh;
            assert!((0.0..=1.0 + 1e-12).contains(&soc), "step {step}: {soc}");
        }
    }
}

#[test]
fn survival_is_that_of_each_outage_alone() {
    for option in 0..3 {
        let mut household = demo();
        household.options = vec![household.options[option].clone()];
        let laid = Laid::new(household, 3600);
        assert_same_as_each_outage_alone(&laid, StartSoc::AsRun, (0..8760).step_by(7));
        assert_same_as_each_outage_alone(&laid, StartSoc::At(0.5), (8600..8760).chain(0..60));
    }
    let mut household = demo();
    household.options = vec![household.options[2].clone()];
    let laid = Laid::new(household, 900);
    assert_same_as_each_outage_alone(&laid, StartSoc::AsRun, (0..8760).step_by(61));
}

proptest! {
    #![proptest_config(draws(24))]

    #[test]
    fn the_account_of_an_island_closes_at_each_step(household in any_household()) {
        let laid = Laid::new(household, 3600);
        assert_closes(&laid.run.option, &laid.off_grid());
    }

    #[test]
    fn survival_of_any_household_is_that_of_each_outage_alone(household in any_household(), soc in 0.0..=1.0_f64) {
        let laid = Laid::new(household, 3600);
        assert_same_as_each_outage_alone(&laid, StartSoc::AsRun, (0..8760).step_by(97));
        assert_same_as_each_outage_alone(&laid, StartSoc::At(soc), (50..8760).step_by(211));
    }
}
