//! From six answers to a household with first options; whatever was not asked has a stated default.

mod answers;
mod country;
mod storage;

pub use answers::{Answers, EnergyUse, OutageNeed, Place, Prices, StandingPv, Wish};

use crate::array::Mounting;
use crate::bill::{
    DayKind, Export, ExportPrice, Period, Surplus, Tariff, TaxOn, TiersBy, Window,
    clock_rule_of_zone,
};
use crate::coupling::{
    Array, CouplingOption, DcOrder, Generator, GridCode, IslandRunning, OptionCosts, PowerLimiting,
    PvInverter, Running, RunningRule, TitleNotes,
};
use crate::household::{
    AcSide, ArrayId, BaseUse, ClimateSource, Finance, Household, HouseholdElectrical, LoadProfile,
    Loads, OptionId, PlaneId, PvInverterId, RoofPlane, Service, Site, Start, StorageId, Supply,
};
use crate::limits;
use crate::sky::{Horizon, SkyModel};

/// New PV is sized to make what is used in a year at this many hours at rated power.
///
/// Common practice: 900 h to 1,700 h, by climate.
const YIELD_H: f64 = 1_200.0;

/// Less than this is not worth a new array, W.
const LEAST_NEW_PV_W: f64 = 1_000.0;

/// Off the grid PV makes so many times what is used in a year, near the equator and from 50° on; straight between. What is sized by
/// a mean year falls short in its darkest month, the more the farther from the equator.
///
/// Common practice with IEEE 1562: 1.1 to 1.3 times the use of the darkest month, which at 50° has about a third of the sun of a
/// mean month; a generator that stands by carries what the darkest weeks lack.
const OFF_GRID_PV: OffGridTimes = OffGridTimes {
    alone: (1.3, 3.5),
    with_generator: (1.2, 1.8),
};
/// Off the grid the battery holds so many days' use.
///
/// Common practice: three days and more without a generator (IEEE 1013), a day or two with one.
const OFF_GRID_DAYS: OffGridTimes = OffGridTimes {
    alone: (3.0, 3.0),
    with_generator: (1.5, 1.5),
};

/// Off the grid the storage inverter gives so many times the mean power.
///
/// From memory: homes reach five to ten times their mean in a quarter of an hour.
const OFF_GRID_PEAK: f64 = 8.0;

/// How many times, at the equator and from 50° on.
struct OffGridTimes {
    alone: (f64, f64),
    with_generator: (f64, f64),
}

impl OffGridTimes {
    fn at(&self, answers: &Answers) -> f64 {
        let (near, far) = match answers.outage {
            OutageNeed::NoGrid { generator: false } => self.alone,
            _ => self.with_generator,
        };
        let share = (libm::fabs(answers.place.latitude_deg) / 50.0).min(1.0);
        near + share * (far - near)
    }
}

/// Of new PV without any standing, the share that goes on the second plane.
const SECOND_PLANE_SHARE: f64 = 0.4;

const STANDING_PLANE: PlaneId = PlaneId(1);
const MAIN_PLANE: PlaneId = PlaneId(2);
const SECOND_PLANE: PlaneId = PlaneId(3);
const UNIT: StorageId = StorageId(1);

/// A household from six answers: "As it stands", then the same arrays and storage in two or three joins, so that only the
/// joins differ between them.
///
/// Sizes are a beginning (common practice): PV that makes what is used in a year, at most 30 kW of it new; storage for half a
/// day's use, and for a whole day's where the whole home must run on. Without a grid more of both, the joins that come back by
/// themselves first, and a generator if one may stand by. The result is not checked: answers out of their
/// ranges stay and are named by [`crate::check::check`].
#[must_use]
pub fn start(answers: &Answers) -> Household {
    let arrays = arrays(answers);
    let mut options = vec![option(
        answers,
        1,
        "As it stands",
        &standing(&arrays),
        false,
    )];
    let mut joins = joins(&arrays);
    if off_grid(answers) {
        // Only DC PV lifts a flat battery.
        joins.reverse();
    }
    for (name, joins) in joins {
        let id = u32::try_from(options.len()).unwrap_or(0) + 1;
        options.push(option(answers, id, name, &joins, true));
    }
    let mut household = Household {
        name: answers.place.name.clone(),
        invented: false,
        site: site(&answers.place),
        service: service(answers),
        planes: planes(answers, &arrays),
        loads: Loads {
            base: base_use(&answers.energy),
            backed_up_share: backed_up_share(answers.outage),
            base_start: Some(Start {
                power_w: limits::START_POWER_W.default,
                duration_s: limits::START_DURATION_S.default,
            }),
            devices: Vec::new(),
        },
        tariff: tariff(answers),
        electrical: HouseholdElectrical::default(),
        finance: Finance::default(),
        options,
    };
    if off_grid(answers) {
        household.leave_grid();
    }
    household
}

fn off_grid(answers: &Answers) -> bool {
    matches!(answers.outage, OutageNeed::NoGrid { .. })
}

fn site(place: &Place) -> Site {
    Site {
        place: place.name.clone(),
        latitude_deg: place.latitude_deg,
        longitude_deg: place.longitude_deg,
        elevation_m: place.elevation_m,
        utc_offset_h: place.utc_offset_h,
        time_zone: place.time_zone.clone(),
        climate: ClimateSource::Grid,
        seed: 1,
        sky_model: SkyModel::Perez,
        ground_albedo: limits::SITE_GROUND_ALBEDO.default,
        soiling_share: [limits::SITE_SOILING_SHARE.default; 12],
        record_low_c: None,
    }
}

/// The service that homes of the country mostly have; ratings by common practice.
fn service(answers: &Answers) -> Service {
    let supply = country::supply(&answers.place.country);
    let (main_breaker_a, busbar_a, transfer_a) = match supply {
        Supply::SplitPhase120V240V60Hz => (200.0, 200.0, 200.0),
        Supply::SinglePhase230V50Hz => (63.0, 100.0, 63.0),
        Supply::ThreePhase230V400V50Hz => (35.0, 63.0, 35.0),
        Supply::ThreePhase120V208V60Hz => (100.0, 125.0, 100.0),
    };
    Service {
        supply,
        utility: true,
        main_breaker_a,
        busbar_a,
        transfer_a,
        export_limit_w: (answers.wish == Wish::NoExport).then_some(0.0),
    }
}

fn base_use(energy: &EnergyUse) -> BaseUse {
    match energy {
        EnergyUse::Yearly(energy_wh) => BaseUse::Yearly {
            energy_wh: *energy_wh,
            profile: LoadProfile::BdewH25,
        },
        EnergyUse::Monthly(energy_wh) => BaseUse::Monthly {
            energy_wh: *energy_wh,
            profile: LoadProfile::BdewH25,
        },
    }
}

fn yearly_wh(energy: &EnergyUse) -> f64 {
    match energy {
        EnergyUse::Yearly(energy_wh) => *energy_wh,
        EnergyUse::Monthly(energy_wh) => energy_wh.iter().sum(),
    }
}

fn backed_up_share(outage: OutageNeed) -> f64 {
    match outage {
        OutageNeed::Nothing => 0.0,
        OutageNeed::Essential => 0.4,
        OutageNeed::Share(share) => share,
        OutageNeed::WholeHome | OutageNeed::NoGrid { .. } => 1.0,
    }
}

/// The side on which storage and new PV inverters join: the backed-up one if anything must run on.
fn storage_side(outage: OutageNeed) -> AcSide {
    match outage {
        OutageNeed::Nothing => AcSide::GridSide,
        _ => AcSide::BackedUp,
    }
}

fn tariff(answers: &Answers) -> Tariff {
    let (name, sell_cur_per_kwh, periods) = match &answers.prices {
        Prices::Flat {
            buy_cur_per_kwh,
            sell_cur_per_kwh,
        } => (
            "Flat",
            *sell_cur_per_kwh,
            vec![Period::at_one_price(
                "All hours",
                Vec::new(),
                *buy_cur_per_kwh,
            )],
        ),
        Prices::TimeOfUse {
            buy_cur_per_kwh,
            dear_buy_cur_per_kwh,
            dear_from_h,
            dear_to_h,
            sell_cur_per_kwh,
        } => {
            let dear = Window {
                months: [true; 12],
                days: DayKind::All,
                from_h: *dear_from_h,
                to_h: *dear_to_h,
            };
            (
                "Time of use",
                *sell_cur_per_kwh,
                vec![
                    Period::at_one_price("Dear hours", vec![dear], *dear_buy_cur_per_kwh),
                    Period::at_one_price("Other hours", Vec::new(), *buy_cur_per_kwh),
                ],
            )
        }
    };
    Tariff {
        name: name.to_owned(),
        currency: country::currency(&answers.place.country).to_owned(),
        clock_rule: clock_rule_of_zone(&answers.place.time_zone).map(str::to_owned),
        holidays: Vec::new(),
        fixed_cur_per_month: 0.0,
        fixed_cur_per_day: 0.0,
        minimum_cur_per_month: 0.0,
        periods,
        tiers_by: TiersBy::EachPeriod,
        demand: Vec::new(),
        export: Export::NetBilling {
            price: ExportPrice::Flat {
                cur_per_kwh: sell_cur_per_kwh,
            },
            surplus: Surplus::Paid,
        },
        tax: 0.0,
        tax_on: TaxOn::ToPay,
    }
}

/// All arrays, joined on AC.
fn arrays(answers: &Answers) -> Vec<Array> {
    let mut arrays = Vec::new();
    let mut add = |name: &str, plane: PlaneId, peak_w: f64, standing: bool| {
        let id = u32::try_from(arrays.len()).unwrap_or(0) + 1;
        arrays.push(Array {
            standing,
            ..Array::generic(
                ArrayId(id),
                name.to_owned(),
                plane,
                peak_w,
                PvInverterId(id),
            )
        });
    };
    let times = if off_grid(answers) {
        OFF_GRID_PV.at(answers)
    } else {
        1.0
    };
    let wanted_w = (times * yearly_wh(&answers.energy) / YIELD_H).min(30_000.0);
    match &answers.standing {
        Some(standing) => {
            add("Standing PV", STANDING_PLANE, standing.peak_w, true);
            let missing_w = to_100_w(wanted_w - standing.peak_w);
            if missing_w >= LEAST_NEW_PV_W {
                add("New PV", SECOND_PLANE, missing_w, false);
            }
        }
        None => {
            let wanted_w = to_100_w(wanted_w).max(LEAST_NEW_PV_W);
            let second_w = to_100_w(SECOND_PLANE_SHARE * wanted_w);
            add("Main roof", MAIN_PLANE, wanted_w - second_w, false);
            add("Second roof", SECOND_PLANE, second_w, false);
        }
    }
    arrays
}

fn to_100_w(power_w: f64) -> f64 {
    libm::round(power_w / 100.0) * 100.0
}

fn standing(arrays: &[Array]) -> Vec<Array> {
    arrays
        .iter()
        .filter(|array| array.standing)
        .cloned()
        .collect()
}

/// The planes that the arrays lie on. A main roof faces the equator; a second one faces west, or a quarter turn west of
/// what stands.
fn planes(answers: &Answers, arrays: &[Array]) -> Vec<RoofPlane> {
    let to_equator_deg = if answers.place.latitude_deg < 0.0 {
        0.0
    } else {
        180.0
    };
    let standing = answers.standing.as_ref();
    let facing_deg = standing.map_or(to_equator_deg, |standing| standing.azimuth_deg);
    // West of south is clockwise, west of north is not.
    let turn_deg = if to_equator_deg > 0.0 { 90.0 } else { -90.0 };
    let tilt_deg = standing.map_or(limits::PLANE_TILT_DEG.default, |standing| standing.tilt_deg);
    [
        (STANDING_PLANE, "Roof with PV", facing_deg),
        (MAIN_PLANE, "Main roof", facing_deg),
        (
            SECOND_PLANE,
            "Second roof",
            (facing_deg + turn_deg + 360.0) % 360.0,
        ),
    ]
    .into_iter()
    .filter(|(id, ..)| arrays.iter().any(|array| array.plane == *id))
    .map(|(id, name, azimuth_deg)| RoofPlane {
        id,
        name: name.to_owned(),
        tilt_deg,
        azimuth_deg,
        mounting: Mounting::RoofStandOff,
        horizon: Horizon::default(),
        shade: None,
    })
    .collect()
}

/// The joins to begin with, by name. Mixed: what stands stays on AC; of new arrays alone the main one, whose noon energy is
/// mostly stored, goes on DC.
fn joins(arrays: &[Array]) -> Vec<(&'static str, Vec<Array>)> {
    let on_dc = |chosen: &dyn Fn(&Array) -> bool| {
        let mut arrays = arrays.to_vec();
        for array in &mut arrays {
            array.dc_unit = chosen(array).then_some(UNIT);
        }
        arrays
    };
    let some_stand = arrays.iter().any(|array| array.standing);
    let mut joins = vec![("All on AC", arrays.to_vec())];
    if arrays.len() > 1 {
        let mixed = if some_stand {
            on_dc(&|array| !array.standing)
        } else {
            on_dc(&|array| array.plane == MAIN_PLANE)
        };
        joins.push(("Mixed joins", mixed));
    }
    joins.push(("All on DC", on_dc(&|_| true)));
    joins
}

/// An option with these arrays; those on DC are dealt to the storage units in turn.
fn option(
    answers: &Answers,
    id: u32,
    name: &str,
    arrays: &[Array],
    with_storage: bool,
) -> CouplingOption {
    let units = storage::units(answers, arrays);
    let mut arrays = arrays.to_vec();
    let on_dc = arrays.iter_mut().filter_map(|array| array.dc_unit.as_mut());
    for (dc_unit, unit) in on_dc.zip(units.iter().cycle()) {
        *dc_unit = unit.id;
    }
    let pv_inverters = arrays.iter().map(|array| {
        let name = format!("{} inverter", array.name);
        let side = if array.standing {
            AcSide::GridSide
        } else {
            storage_side(answers.outage)
        };
        let generic = PvInverter::generic(array.pv_inverter, name, side, array.peak_w);
        if array.standing {
            PvInverter {
                standing: true,
                limiting: PowerLimiting::None,
                grid_code: GridCode::NotKnown,
                ..generic
            }
        } else {
            generic
        }
    });
    CouplingOption {
        id: OptionId(id),
        name: name.to_owned(),
        title: TitleNotes::default(),
        pv_inverters: pv_inverters.collect(),
        arrays,
        storage: if with_storage { units } else { Vec::new() },
        running: running(answers),
        generator: generator(answers).filter(|_| with_storage),
        island: IslandRunning::default(),
        costs: OptionCosts::default(),
    }
}

/// A generator that carries what the storage inverter does.
fn generator(answers: &Answers) -> Option<Generator> {
    let wanted = answers.outage == OutageNeed::NoGrid { generator: true };
    let least_w = limits::GENERATOR_RATED_W.least;
    wanted.then(|| {
        Generator::generic(
            "Generator".to_owned(),
            storage::off_grid_w(answers).max(least_w),
        )
    })
}

fn running(answers: &Answers) -> Running {
    let rule = match answers.prices {
        Prices::Flat { .. } => RunningRule::SelfConsumption,
        Prices::TimeOfUse { .. } => RunningRule::TimeOfUse {
            discharge_in_middle_hours: true,
            grid_charge_to_soc: None,
            sell_from_battery: false,
        },
    };
    let reserve_soc = match (answers.wish, answers.outage) {
        (Wish::OutageCover, need) if !matches!(need, OutageNeed::NoGrid { .. }) => 0.5,
        (_, OutageNeed::Nothing | OutageNeed::NoGrid { .. }) => 0.0,
        _ => 0.2,
    };
    Running {
        rule,
        reserve_soc,
        dc_order: DcOrder::LoadsBatteryGrid,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::problems;
    use crate::coupling::Join;

    fn answers() -> Answers {
        Answers {
            place: Place {
                name: "Somewhere".to_owned(),
                country: "AT".to_owned(),
                latitude_deg: 48.0,
                longitude_deg: 15.0,
                elevation_m: 300.0,
                utc_offset_h: 1.0,
                time_zone: "Europe/Vienna".to_owned(),
            },
            energy: EnergyUse::Yearly(6e6),
            standing: None,
            outage: OutageNeed::Essential,
            prices: Prices::Flat {
                buy_cur_per_kwh: 0.3,
                sell_cur_per_kwh: 0.07,
            },
            wish: Wish::LowerBill,
        }
    }

    fn names(household: &Household) -> Vec<&str> {
        household
            .options
            .iter()
            .map(|option| option.name.as_str())
            .collect()
    }

    #[test]
    fn without_pv_the_options_differ_only_in_their_joins() {
        let household = start(&answers());
        assert_eq!(problems(&household), Vec::new());
        assert_eq!(
            names(&household),
            ["As it stands", "All on AC", "Mixed joins", "All on DC"]
        );
        assert!(household.options[0].arrays.is_empty());
        let peak_w = |option: &CouplingOption| -> f64 {
            option.arrays.iter().map(|array| array.peak_w).sum()
        };
        for option in &household.options[1..] {
            assert_eq!(peak_w(option), 5_000.0);
            assert_eq!(option.storage, household.options[1].storage);
        }
        assert_eq!(household.planes[1].azimuth_deg, 270.0);
        assert_eq!(household.service.supply, Supply::ThreePhase230V400V50Hz);
        assert_eq!(household.tariff.currency, "EUR");
        let rule = household.tariff.clock_rule.as_deref();
        assert_eq!(rule, Some("CET-1CEST,M3.5.0,M10.5.0/3"));
    }

    #[test]
    fn what_stands_keeps_its_place_until_all_goes_on_dc() {
        let standing = StandingPv {
            peak_w: 3_000.0,
            tilt_deg: 35.0,
            azimuth_deg: 200.0,
        };
        let household = start(&Answers {
            standing: Some(standing),
            ..answers()
        });
        assert_eq!(problems(&household), Vec::new());
        let join = |option: usize, array: usize| {
            let option = &household.options[option];
            option.join(&option.arrays[array])
        };
        assert_eq!(household.options[0].arrays.len(), 1);
        for option in 0..3 {
            assert_eq!(join(option, 0), Some(Join::Ac(AcSide::GridSide)));
        }
        assert_eq!(join(2, 1), Some(Join::Dc(UNIT)));
        assert_eq!(join(3, 0), Some(Join::Dc(UNIT)));
    }

    #[test]
    fn enough_standing_pv_is_left_alone_and_no_mix_is_made_of_one_array() {
        let standing = StandingPv {
            peak_w: 8_000.0,
            tilt_deg: 20.0,
            azimuth_deg: 180.0,
        };
        let household = start(&Answers {
            standing: Some(standing),
            ..answers()
        });
        assert_eq!(
            names(&household),
            ["As it stands", "All on AC", "All on DC"]
        );
        assert_eq!(household.planes.len(), 1);
    }

    #[test]
    fn south_of_the_equator_roofs_face_north_and_west() {
        let mut answers = answers();
        answers.place.latitude_deg = -34.0;
        let household = start(&answers);
        let facing: Vec<f64> = household
            .planes
            .iter()
            .map(|plane| plane.azimuth_deg)
            .collect();
        assert_eq!(facing, [0.0, 270.0]);
    }

    #[test]
    fn without_a_grid_all_is_on_one_bus_and_dc_joins_come_first() {
        let need = |generator| {
            start(&Answers {
                outage: OutageNeed::NoGrid { generator },
                wish: Wish::OutageCover,
                standing: Some(StandingPv {
                    peak_w: 1_000.0,
                    tilt_deg: 40.0,
                    azimuth_deg: 180.0,
                }),
                ..answers()
            })
        };
        let (alone, helped) = (need(false), need(true));
        for household in [&alone, &helped] {
            assert_eq!(problems(household), Vec::new());
            assert!(!household.service.utility);
            assert_eq!(household.loads.backed_up_share, 1.0);
            assert_eq!(
                names(household),
                ["As it stands", "All on DC", "Mixed joins", "All on AC"]
            );
            for option in &household.options {
                let mut inverters = option.pv_inverters.iter();
                assert!(inverters.all(|inverter| inverter.side == AcSide::BackedUp));
                assert_eq!(option.running.reserve_soc, 0.0);
            }
        }
        assert!(
            alone
                .options
                .iter()
                .all(|option| option.generator.is_none())
        );
        assert!(helped.options[1].generator.is_some());
        let usable_wh = |household: &Household| household.options[1].storage[0].battery.usable_wh;
        // 6 MWh a year are 16.4 kWh a day: three days of them, and one and a half.
        assert_eq!(usable_wh(&alone), 49_500.0);
        assert_eq!(usable_wh(&helped), 24_500.0);
        // Eight times the mean of 685 W.
        assert_eq!(alone.options[1].storage[0].inverter.rated_w, 5_500.0);
        // 3.412 times 5 kW at 48°, and 1.776 times, in steps of 100 W.
        let peak_w = |household: &Household| -> f64 {
            let arrays = household.options[1].arrays.iter();
            arrays.map(|array| array.peak_w).sum()
        };
        assert_eq!(peak_w(&alone), 17_100.0);
        assert_eq!(peak_w(&helped), 8_900.0);
    }

    /// 20 kWh in a unit, 40 kWh to 80 kWh at a place (NFPA 855, chapter 15), for homes on the grid and off it, from 2 to 60 MWh a year.
    #[test]
    fn what_is_begun_with_breaks_no_limit_of_energy_or_place() {
        use crate::findings::{DesignTemperatures, Details, Verdict, findings};
        let temperatures = DesignTemperatures {
            low_c: Some(-15.0),
            low_is_estimated: false,
            high_c: Some(33.0),
        };
        let (mut judged, mut most_units) = (0, 0);
        for country in ["US", "AT", "GB"] {
            for outage in [
                OutageNeed::Nothing,
                OutageNeed::Essential,
                OutageNeed::WholeHome,
                OutageNeed::NoGrid { generator: false },
                OutageNeed::NoGrid { generator: true },
            ] {
                for yearly_mwh in [2.0, 4.5, 6.0, 8.0, 13.0, 25.0, 60.0] {
                    let mut answers = Answers {
                        energy: EnergyUse::Yearly(1e6 * yearly_mwh),
                        outage,
                        ..answers()
                    };
                    answers.place.country = country.to_owned();
                    let household = start(&answers);
                    assert_eq!(problems(&household), Vec::new());
                    for option in &household.options {
                        let details = Details::of(&household, option, &temperatures);
                        let found = findings(&household, option, &details, &temperatures);
                        most_units = most_units.max(option.storage.len());
                        let limits = found.iter().filter(|finding| {
                            ["unit-energy", "storage-energy", "storage-place"]
                                .contains(&finding.rule())
                        });
                        for finding in limits {
                            judged += 1;
                            let is_kept = finding.verdict != Verdict::Breaks;
                            assert!(is_kept, "{country} {outage:?} {yearly_mwh}: {finding:?}");
                        }
                    }
                }
            }
        }
        assert!(judged > 300, "{judged}");
        assert_eq!(most_units, 4);
    }

    /// Three days of 6 MWh a year are 49.5 kWh, 55 kWh nominal: three units of 18.3 kWh, and the arrays on DC dealt to them.
    #[test]
    fn a_large_battery_is_several_units_under_the_nec() {
        let mut answers = Answers {
            outage: OutageNeed::NoGrid { generator: false },
            ..answers()
        };
        answers.place.country = "US".to_owned();
        let household = start(&answers);
        let option = &household.options[1];
        let names: Vec<_> = option
            .storage
            .iter()
            .map(|unit| unit.name.as_str())
            .collect();
        assert_eq!(names, ["Storage 1", "Storage 2", "Storage 3"]);
        for unit in &option.storage {
            assert_eq!(unit.battery.usable_wh, 16_500.0);
            assert_eq!(unit.inverter.rated_w, 3_000.0);
        }
        let joins: Vec<_> = option
            .arrays
            .iter()
            .map(|array| option.join(array))
            .collect();
        let on = |id| Some(Join::Dc(StorageId(id)));
        assert_eq!(joins, [on(1), on(2)]);
    }

    #[test]
    fn wishes_set_the_export_limit_and_the_reserve() {
        let no_export = start(&Answers {
            wish: Wish::NoExport,
            outage: OutageNeed::Nothing,
            ..answers()
        });
        assert_eq!(no_export.service.export_limit_w, Some(0.0));
        assert_eq!(no_export.options[1].storage[0].side, AcSide::GridSide);
        assert_eq!(no_export.options[1].running.reserve_soc, 0.0);
        let cover = start(&Answers {
            wish: Wish::OutageCover,
            outage: OutageNeed::WholeHome,
            ..answers()
        });
        assert_eq!(cover.loads.backed_up_share, 1.0);
        assert_eq!(cover.options[1].running.reserve_soc, 0.5);
    }
}
