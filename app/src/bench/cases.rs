//! What is timed, in the page and natively: the same work from the same text. Pure calculation, nothing of the browser.

use couplet_core::array::{Gathering, Incidence, Mounting, PHYSICAL, PvPlane, dc_w_per_w};
use couplet_core::check::check;
use couplet_core::climate::Weather;
use couplet_core::findings::{DesignTemperatures, Details, conductor_schedule, findings};
use couplet_core::island::{Pace, run};
use couplet_core::loads::csv::{FileTime, SiteTime};
use couplet_core::outage::{StartSoc, outage_survival};
use couplet_core::outlook::outlook;
use couplet_core::sky::{
    DELTA_T_S, Horizon, Location, Observer, Plane, SkyModel, Skyline, SunTable, TimeGrid,
    erbs_split, haurwitz_ghi_w_m2,
};
use couplet_core::usage::read_meter_file;
use couplet_core::year::Scene;
use home::home;

#[path = "home.rs"]
mod home;
#[path = "island.rs"]
mod island;
#[path = "meter.rs"]
mod meter;

/// Work that gives a number which depends on all of it.
pub(crate) type Case = Box<dyn FnMut() -> f64>;

pub(crate) const SCENE: &str = "household laid out over a year, 35,040 steps";
pub(crate) const YEAR: &str = "year of one option, 35,040 steps, three arrays, one storage unit";
pub(crate) const SKY_HOURS: &str = "sun to DC power of two planes, 8,760 steps";
pub(crate) const SKY_FIVE_MINUTES: &str = "sun to DC power of two planes, 105,120 steps";

pub(crate) const ISLAND: &str = "24 h of an island at 1 s, six PV inverters, two storage units";
pub(crate) const OUTLOOK: &str = "money of one option over 20 years, aged years and unknowns run";
pub(crate) const SURVIVAL: &str = "outages from each of 8,760 hours, one option";

pub(crate) const FINDINGS: &str = "findings and conductor schedule of one option, a hundred times";

pub(crate) const METER_TABLE: &str = "meter's table of two years read, 70,080 rows";
pub(crate) const METER_FEED: &str = "Green Button of two years read, 70,080 intervals";

const QUARTER_HOUR_S: u32 = 900;

/// Makes a case ready; what is made here is not timed.
pub(crate) fn prepare(name: &str) -> Option<Case> {
    match name {
        SCENE => {
            let household = check(home()).ok()?;
            Some(Box::new(move || {
                Scene::new(&household, None, QUARTER_HOUR_S, None)
                    .map_or(f64::NAN, |scene| scene.weather().ghi_w_m2.iter().sum())
            }))
        }
        YEAR => {
            let household = check(home()).ok()?;
            let option = household.options.get(2)?.clone();
            let scene = Scene::new(&household, None, QUARTER_HOUR_S, None).ok()?;
            Some(Box::new(move || {
                scene
                    .run(&option)
                    .map_or(f64::NAN, |run| run.figures.import_wh)
            }))
        }
        ISLAND => {
            let (plant, drive) = island::island(6, 24)?;
            Some(Box::new(move || {
                run(&plant, &drive, &Pace::default()).ledger.served_wh
            }))
        }
        SURVIVAL => {
            let household = check(home()).ok()?;
            let option = household.options.get(2)?.clone();
            let scene = Scene::new(&household, None, QUARTER_HOUR_S, None).ok()?;
            let year = scene.run(&option).ok()?;
            Some(Box::new(move || {
                let found = outage_survival(&scene, &year, StartSoc::AsRun);
                let survival = found.ok().flatten();
                survival.map_or(f64::NAN, |found| f64::from(found.year.median_h))
            }))
        }
        FINDINGS => {
            let household = home();
            let option = household.options.get(2)?.clone();
            let temperatures = DesignTemperatures::of(&household.site, None);
            Some(Box::new(move || {
                let mut margins = 0.0;
                for _ in 0..100 {
                    let details = Details::of(&household, &option, &temperatures);
                    let circuits = conductor_schedule(&household, &option, &details);
                    let found = findings(&household, &option, &details, &temperatures);
                    margins += found.iter().filter_map(|one| one.margin).sum::<f64>();
                    margins += circuits.iter().map(|one| one.basis_a).sum::<f64>();
                }
                margins
            }))
        }
        OUTLOOK => {
            let household = check(home()).ok()?;
            let option = household.options.get(2)?.clone();
            let scene = Scene::new(&household, None, QUARTER_HOUR_S, None).ok()?;
            let year = scene.run(&option).ok()?;
            Some(Box::new(move || {
                outlook(&household, (&scene, &year))
                    .map_or(f64::NAN, |found| found.flow.net_present_value_cur)
            }))
        }
        METER_TABLE => Some(meter_file(meter::table())),
        METER_FEED => Some(meter_file(meter::feed())),
        SKY_HOURS => Some(sky_chain(3600)),
        SKY_FIVE_MINUTES => Some(sky_chain(300)),
        _ => None,
    }
}

fn meter_file(text: String) -> Case {
    Box::new(move || {
        let site = SiteTime {
            utc_offset_h: -5.0,
            clock_rule: None,
        };
        read_meter_file("meter", &text, None, &site, FileTime::AsFound)
            .map_or(f64::NAN, |year| year.bought_wh().iter().sum())
    })
}

/// Sun position, split of global light and DC power of two planes; the global light itself is given.
fn sky_chain(step_s: u32) -> Case {
    let observer = Observer::in_standard_air(Location {
        latitude_deg: 39.9,
        longitude_deg: -82.4,
        elevation_m: 290.0,
    });
    let grid = TimeGrid::whole_year(step_s, -5 * 3600);
    let steps = grid.len();
    let sun_up = SunTable::new(&observer, grid, DELTA_T_S);
    let ghi_w_m2: Vec<f64> = sun_up
        .suns
        .iter()
        .map(|sun| 0.7 * haurwitz_ghi_w_m2(sun.direction.up))
        .collect();
    let mut weather = Weather {
        ghi_w_m2,
        dni_w_m2: vec![0.0; steps],
        dhi_w_m2: vec![0.0; steps],
        air_c: vec![12.0; steps],
        wind_m_s: vec![2.0; steps],
    };
    let skyline = Skyline::new(&Horizon::default());
    Box::new(move || {
        let suns = SunTable::new(&observer, grid, DELTA_T_S);
        for (index, sun) in suns.suns.iter().enumerate() {
            let split = erbs_split(
                weather.ghi_w_m2[index],
                sun.cos_zenith,
                sun.extraterrestrial_normal_w_m2,
            );
            weather.dni_w_m2[index] = split.dni_w_m2;
            weather.dhi_w_m2[index] = split.dhi_w_m2;
        }
        [(30.0_f64, 172.0_f64), (20.0, 262.0)]
            .iter()
            .map(|(tilt_deg, azimuth_deg)| {
                let pv = PvPlane {
                    plane: Plane {
                        tilt_rad: tilt_deg.to_radians(),
                        azimuth_rad: azimuth_deg.to_radians(),
                        albedo: 0.2,
                    },
                    sky_model: SkyModel::Perez,
                    skyline: &skyline,
                    shade: None,
                    gathering: Gathering::ModuleByModule,
                    incidence: Incidence::Physical(PHYSICAL),
                    mounting: Mounting::RoofStandOff,
                    power_coefficient_per_c: -0.0035,
                    soiling_share: [0.02; 12],
                };
                dc_w_per_w(&pv, &suns, &weather).iter().sum::<f64>()
            })
            .sum()
    })
}
