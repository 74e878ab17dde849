//! What the trade says of AC and DC coupling, as it comes out of whole years: nothing here is written into the calculation.
//!
//! Source of each statement: common practice.

use couplet_core::check::check;
use couplet_core::coupling::{CouplingOption, Join, PowerLimiting, RunningRule};
use couplet_core::document::demo;
use couplet_core::household::{AcSide, BaseUse, Household, IntervalUse};
use couplet_core::year::{Figures, Scene};
use couplet_tests::climate_grid;

const QUARTER_HOUR_S: u32 = 900;

/// The demonstration household with its arrays and its storage unit; the arrays named by position are joined on DC, the
/// others on AC at the backed-up side.
pub(crate) fn home(
    dc_arrays: &[usize],
    change: impl Fn(&mut Household, &mut CouplingOption),
) -> Household {
    let mut household = demo();
    let mut option = household
        .options
        .last()
        .cloned()
        .expect("the demonstration has options");
    let unit = option.storage[0].id;
    let ids: Vec<_> = option.arrays.iter().map(|array| array.id).collect();
    for (number, id) in ids.into_iter().enumerate() {
        let join = if dc_arrays.contains(&number) {
            Join::Dc(unit)
        } else {
            Join::Ac(AcSide::BackedUp)
        };
        option.move_array(id, join).expect("the unit has inputs");
    }
    option.running.rule = RunningRule::SelfConsumption;
    change(&mut household, &mut option);
    household.options = vec![option];
    household
}

fn figures(household: Household) -> Figures {
    let household = check(household).expect("a sound household");
    let scene =
        Scene::new(&household, Some(&climate_grid()), QUARTER_HOUR_S, None).expect("a climate");
    let run = scene.run(&household.options[0]).expect("sound equipment");
    assert!(run.ledger.worst_step_gap < 1e-9);
    run.figures
}

#[test]
fn stored_energy_reaches_loads_with_less_loss_from_dc_pv_than_from_ac_pv() {
    let ways = figures(home(&[1, 2], |_, _| ())).ways;
    let (dc, ac) = (
        ways.dc_pv_stored.efficiency.unwrap(),
        ways.ac_pv_stored.efficiency.unwrap(),
    );
    assert!(dc > ac + 0.02, "stored first: DC {dc:.4}, AC {ac:.4}");
}

#[test]
fn energy_used_as_it_is_made_has_no_more_loss_from_ac_pv_than_from_dc_pv() {
    let ways = figures(home(&[1, 2], |_, _| ())).ways;
    let (dc, ac) = (
        ways.dc_pv_as_made.efficiency.unwrap(),
        ways.ac_pv_as_made.efficiency.unwrap(),
    );
    assert!(ac >= dc, "as made: DC {dc:.4}, AC {ac:.4}");
}

#[test]
fn a_home_with_steady_daytime_load_gains_from_a_mix() {
    let by_day = |household: &mut Household, _: &mut CouplingOption| {
        household.loads.devices.clear();
        let power_w: Vec<f64> = (0..8760)
            .map(|hour| {
                if (7..18).contains(&(hour % 24)) {
                    2_000.0
                } else {
                    700.0
                }
            })
            .collect();
        household.loads.base = BaseUse::Intervals(IntervalUse {
            source: "steady by day".to_owned(),
            interval_s: 3600,
            power_w: power_w.into(),
        });
    };
    let all_ac = figures(home(&[], by_day)).import_wh;
    let mixed = figures(home(&[1, 2], by_day)).import_wh;
    let all_dc = figures(home(&[0, 1, 2], by_day)).import_wh;
    assert!(
        mixed < all_ac && mixed < all_dc,
        "bought: all AC {all_ac:.0}, mixed {mixed:.0}, all DC {all_dc:.0} Wh"
    );
}

#[test]
fn under_zero_export_uncommanded_ac_pv_spills_or_drops_what_dc_pv_throttles() {
    let zero_export = |limiting: PowerLimiting| {
        move |household: &mut Household, option: &mut CouplingOption| {
            household.service.export_limit_w = Some(0.0);
            option
                .pv_inverters
                .iter_mut()
                .for_each(|inverter| inverter.limiting = limiting);
        }
    };
    let spilling = figures(home(&[], zero_export(PowerLimiting::None)));
    let dropping = figures(home(
        &[],
        zero_export(PowerLimiting::Relay { reconnect_s: 300.0 }),
    ));
    let all_dc = figures(home(&[0, 1, 2], zero_export(PowerLimiting::None)));
    assert!(spilling.unpermitted_export_wh > 1e5, "{spilling:?}");
    assert!(
        dropping.unpermitted_export_wh < 1e-3 && dropping.throttled_wh > 1e5,
        "{dropping:?}"
    );
    assert!(
        all_dc.unpermitted_export_wh < 1e-3 && all_dc.throttled_wh > 1e5,
        "{all_dc:?}"
    );
    // Dropping throws away what loads could have used: more must be bought than where DC PV is throttled just enough.
    assert!(
        dropping.import_wh > all_dc.import_wh,
        "{dropping:?}\n{all_dc:?}"
    );
}
