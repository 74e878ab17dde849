//! The chain that is timed: sun, split of global light, two planes under a Perez sky, cell temperature, DC power.
//!
//! `tests/bench/sky_vs_pvlib.py` states the same inputs and does the same work with pvlib.

use std::f64::consts::{PI, TAU};

use couplet_core::array::{Gathering, Incidence, Mounting, PvPlane, dc_w_per_w};
use couplet_core::climate::Weather;
use couplet_core::sky::{
    DELTA_T_S, Horizon, Location, Observer, Plane, SkyModel, Skyline, SunTable, TimeGrid,
    erbs_split,
};

const SITE: Location = Location {
    latitude_deg: 36.1,
    longitude_deg: -79.95,
    elevation_m: 273.0,
};
const PLANES: [(f64, f64); 2] = [(30.0, 180.0), (20.0, 270.0)];

/// What the chain starts from.
pub(crate) struct Input {
    grid: TimeGrid,
    weather: Weather,
    skyline: Skyline,
}

/// What it gives, per rated or per square metre, for the check against another program.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Sums {
    dni_wh_m2: f64,
    dhi_wh_m2: f64,
    dc_wh_per_w: [f64; 2],
}

impl Sums {
    pub(crate) fn named(&self) -> [(&'static str, f64); 4] {
        let [dc_1_wh_per_w, dc_2_wh_per_w] = self.dc_wh_per_w;
        [
            ("dni_wh_m2", self.dni_wh_m2),
            ("dhi_wh_m2", self.dhi_wh_m2),
            ("dc_1_wh_per_w", dc_1_wh_per_w),
            ("dc_2_wh_per_w", dc_2_wh_per_w),
        ]
    }
}

impl Input {
    /// An invented year of global light, air temperature and wind.
    pub(crate) fn invented(step_s: u32) -> Self {
        let grid = TimeGrid::whole_year(step_s, -5 * 3600);
        let mut weather = Weather::default();
        for index in 0..grid.len() {
            let (day, hour) = (f64::from(grid.day(index)), grid.hour(index));
            let season = (TAU * (day - 171.0) / 365.0).cos();
            let cloud = 0.6 + 0.4 * (0.9 * day + 0.7 * hour).sin();
            let height = (PI * (hour - 12.4) / (12.0 + 2.2 * season)).cos();
            let lit = (hour - 12.4).abs() < 0.5 * (12.0 + 2.2 * season);
            let ghi_w_m2 = if lit {
                (700.0 + 250.0 * season) * height * cloud
            } else {
                0.0
            };
            weather.ghi_w_m2.push(ghi_w_m2);
            weather.dni_w_m2.push(0.0);
            weather.dhi_w_m2.push(0.0);
            let air_c = 14.0 + 10.0 * season + 5.0 * (TAU * (hour - 15.0) / 24.0).cos();
            weather.air_c.push(air_c);
            weather.wind_m_s.push(2.0 + (0.3 * day).sin());
        }
        Self {
            grid,
            weather,
            skyline: Skyline::new(&Horizon::default()),
        }
    }

    /// All of the chain, from the sun on.
    pub(crate) fn run(&mut self) -> Sums {
        let suns = SunTable::new(&Observer::in_standard_air(SITE), self.grid, DELTA_T_S);
        let weather = &mut self.weather;
        for (((sun, &ghi_w_m2), dni_w_m2), dhi_w_m2) in suns
            .suns
            .iter()
            .zip(&weather.ghi_w_m2)
            .zip(&mut weather.dni_w_m2)
            .zip(&mut weather.dhi_w_m2)
        {
            let split = erbs_split(ghi_w_m2, sun.cos_zenith, sun.extraterrestrial_normal_w_m2);
            (*dni_w_m2, *dhi_w_m2) = (split.dni_w_m2, split.dhi_w_m2);
        }
        let step_h = self.grid.step_h();
        let sum_wh = |values: &[f64]| values.iter().sum::<f64>() * step_h;
        Sums {
            dni_wh_m2: sum_wh(&weather.dni_w_m2),
            dhi_wh_m2: sum_wh(&weather.dhi_w_m2),
            dc_wh_per_w: PLANES.map(|(tilt_deg, azimuth_deg)| {
                let pv = PvPlane {
                    plane: Plane {
                        tilt_rad: tilt_deg.to_radians(),
                        azimuth_rad: azimuth_deg.to_radians(),
                        albedo: 0.2,
                    },
                    sky_model: SkyModel::Perez,
                    skyline: &self.skyline,
                    shade: None,
                    gathering: Gathering::ModuleByModule,
                    incidence: Incidence::Even,
                    mounting: Mounting::OpenRack,
                    power_coefficient_per_c: -0.0035,
                    soiling_share: [0.0; 12],
                };
                sum_wh(&dc_w_per_w(&pv, &suns, weather))
            }),
        }
    }
}
