//! What all options of a household share: sky, planes, loads and prices over one time grid.

use std::sync::Arc;

use super::prices::PriceYear;
use crate::array::{Gathering, Incidence, PHYSICAL, PvPlane, dc_w_per_w};
use crate::bill::Tariff;
use crate::check::Checked;
use crate::climate::{ClimateGrid, MonthlyClimate, MonthlySums, Weather, synthetic_year};
use crate::coupling::Array;
use crate::household::{AcSide, ClimateSource, Household, Loads, RoofPlane, Service, Site};
use crate::loads::LoadSeries;
use crate::sky::{DELTA_T_S, Location, Observer, Plane, Skyline, SunTable, TimeGrid};

/// What all options of a household share over one time grid.
///
/// Each part is computed once and handed on: a scene that is made with an older one beside it takes over every part whose
/// inputs are the same.
#[derive(Clone, Debug, PartialEq)]
pub struct Scene {
    /// The steps.
    pub grid: TimeGrid,
    /// The service.
    pub service: Service,
    /// Loads, part by part.
    pub loads: Arc<LoadSeries>,
    /// All loads on the grid side, W.
    pub load_grid_side_w: Arc<Vec<f64>>,
    /// All loads on the backed-up side, W.
    pub load_backed_up_w: Arc<Vec<f64>>,
    /// Prices.
    pub prices: Arc<PriceYear>,
    sky: Arc<SkyYear>,
    planes: Vec<Arc<PlaneYear>>,
    load_inputs: Loads,
    pub(super) tariff: Tariff,
}

/// The site takes its weather from the built-in grid, and there is none at hand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NoClimate;

/// Sun and weather of a site.
#[derive(Clone, Debug, PartialEq)]
struct SkyYear {
    site: Site,
    suns: SunTable,
    weather: Weather,
}

/// DC power of modules of one kind on one plane.
#[derive(Clone, Debug, PartialEq)]
struct PlaneYear {
    plane: RoofPlane,
    power_coefficient_per_c: f64,
    dc_w_per_w: Vec<f64>,
}

impl Scene {
    /// The scene with a tax within its prices, where the tariff takes it on what is bought; see [`Tariff::with_tax_within`].
    pub(crate) fn with_tax_within(&self) -> Option<Self> {
        let tariff = self.tariff.with_tax_within()?;
        Some(Self {
            prices: Arc::new(PriceYear::new(&tariff, &self.grid)),
            tariff,
            ..self.clone()
        })
    }

    /// Number of steps of a day.
    #[must_use]
    pub fn steps_per_day(&self) -> usize {
        usize::try_from(86_400 / self.grid.step_s.max(1)).unwrap_or(1)
    }

    /// Lays out a household over a whole year.
    ///
    /// - `climate`: the built-in world grid; needed by sites that take their weather from it
    /// - `step_s`: length of a step, s: 60, 300, 900 or 3600
    /// - `before`: an older scene, whose parts are taken over where their inputs are the same
    ///
    /// **Errors**: the site takes its weather from the built-in grid and none is given.
    pub fn new(
        household: &Checked<Household>,
        climate: Option<&ClimateGrid>,
        step_s: u32,
        before: Option<&Self>,
    ) -> Result<Self, NoClimate> {
        let grid = TimeGrid::whole_year(step_s, utc_offset_s(&household.site));
        Self::over(household, climate, grid, before)
    }

    /// Lays out a household over any time grid, as [`Scene::new`] does over a whole year.
    ///
    /// **Errors**: as there.
    pub fn over(
        household: &Checked<Household>,
        climate: Option<&ClimateGrid>,
        grid: TimeGrid,
        before: Option<&Self>,
    ) -> Result<Self, NoClimate> {
        let site = &household.site;
        let before = before.filter(|scene| scene.grid == grid);
        let sky = match before {
            Some(scene) if scene.sky.site == *site => Arc::clone(&scene.sky),
            _ => Arc::new(SkyYear::new(site, climate, grid)?),
        };
        let same_sky = before.filter(|scene| Arc::ptr_eq(&scene.sky, &sky));
        let (loads, load_grid_side_w, load_backed_up_w) = match same_sky {
            Some(scene) if scene.load_inputs == household.loads => (
                Arc::clone(&scene.loads),
                Arc::clone(&scene.load_grid_side_w),
                Arc::clone(&scene.load_backed_up_w),
            ),
            _ => {
                let loads = LoadSeries::new(
                    &household.loads,
                    site.latitude_deg,
                    &grid,
                    &sky.weather.air_c,
                );
                let (grid_side_w, backed_up_w) = (
                    loads.side_w(AcSide::GridSide),
                    loads.side_w(AcSide::BackedUp),
                );
                (
                    Arc::new(loads),
                    Arc::new(grid_side_w),
                    Arc::new(backed_up_w),
                )
            }
        };
        let prices = match before {
            Some(scene) if scene.tariff == household.tariff => Arc::clone(&scene.prices),
            _ => Arc::new(PriceYear::new(&household.tariff, &grid)),
        };
        let mut planes: Vec<Arc<PlaneYear>> = Vec::new();
        for array in household.options.iter().flat_map(|option| &option.arrays) {
            let Some(plane) = household.plane(array.plane) else {
                continue;
            };
            let coefficient = array.power_coefficient_per_c;
            if planes.iter().any(|year| year.is_of(plane, coefficient)) {
                continue;
            }
            let known = same_sky.and_then(|scene| {
                scene
                    .planes
                    .iter()
                    .find(|year| year.is_of(plane, coefficient))
            });
            planes.push(known.map_or_else(
                || Arc::new(PlaneYear::new(plane, coefficient, &sky)),
                Arc::clone,
            ));
        }
        Ok(Self {
            grid,
            service: household.service.clone(),
            loads,
            load_grid_side_w,
            load_backed_up_w,
            prices,
            sky,
            planes,
            load_inputs: household.loads.clone(),
            tariff: household.tariff.clone(),
        })
    }

    /// Air temperature at every step, °C.
    #[must_use]
    pub fn air_c(&self) -> &[f64] {
        &self.sky.weather.air_c
    }

    /// The sun at every step.
    #[must_use]
    pub fn suns(&self) -> &SunTable {
        &self.sky.suns
    }

    /// Offset of a household's standard time from UTC, s, as a time grid takes it.
    #[must_use]
    pub fn utc_offset_s(household: &Household) -> i32 {
        utc_offset_s(&household.site)
    }

    /// The weather at every step.
    #[must_use]
    pub fn weather(&self) -> &Weather {
        &self.sky.weather
    }

    /// The loads as they were typed in.
    #[must_use]
    pub fn load_inputs(&self) -> &Loads {
        &self.load_inputs
    }

    /// The tariff.
    #[must_use]
    pub fn tariff(&self) -> &Tariff {
        &self.tariff
    }

    /// The site.
    #[must_use]
    pub fn site(&self) -> &Site {
        &self.sky.site
    }

    /// DC power that an array offers at every step, W; none if its plane is not there.
    #[must_use]
    pub fn array_dc_w(&self, array: &Array) -> Option<Vec<f64>> {
        let year = self.planes.iter().find(|year| {
            year.plane.id == array.plane
                && year.power_coefficient_per_c == array.power_coefficient_per_c
        })?;
        let scale_w = array.peak_w * array.kept_share();
        Some(
            year.dc_w_per_w
                .iter()
                .map(|share| scale_w * share)
                .collect(),
        )
    }

    /// Whether an option gives the same results here as in another scene, so that its run need not be repeated.
    #[must_use]
    pub fn runs_alike(&self, other: &Self, arrays: &[Array]) -> bool {
        self.grid == other.grid
            && self.service == other.service
            && Arc::ptr_eq(&self.sky, &other.sky)
            && Arc::ptr_eq(&self.loads, &other.loads)
            && Arc::ptr_eq(&self.prices, &other.prices)
            && arrays.iter().all(|array| {
                let year = |scene: &Self| {
                    scene
                        .planes
                        .iter()
                        .find(|year| {
                            year.plane.id == array.plane
                                && year.power_coefficient_per_c == array.power_coefficient_per_c
                        })
                        .map(Arc::as_ptr)
                };
                year(self) == year(other)
            })
    }
}

/// Offset of the site's standard time from UTC, s.
pub(super) fn utc_offset_s(site: &Site) -> i32 {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a checked offset is a few hours"
    )]
    {
        (site.utc_offset_h * 3600.0) as i32
    }
}

impl SkyYear {
    fn new(site: &Site, climate: Option<&ClimateGrid>, grid: TimeGrid) -> Result<Self, NoClimate> {
        let location = Location {
            latitude_deg: site.latitude_deg,
            longitude_deg: site.longitude_deg,
            elevation_m: site.elevation_m,
        };
        let suns = SunTable::new(&Observer::in_standard_air(location), grid, DELTA_T_S);
        let made = |monthly: &MonthlyClimate| {
            synthetic_year(
                monthly,
                &location,
                &suns,
                u64::from(site.seed),
                MonthlySums::Met,
            )
        };
        let weather = match &site.climate {
            ClimateSource::Grid => made(&climate.ok_or(NoClimate)?.at(&location)),
            ClimateSource::Monthly(monthly) => made(monthly),
            ClimateSource::File(file) => file.on_grid(&suns),
        };
        Ok(Self {
            site: site.clone(),
            suns,
            weather,
        })
    }
}

impl PlaneYear {
    fn new(plane: &RoofPlane, power_coefficient_per_c: f64, sky: &SkyYear) -> Self {
        let site = &sky.site;
        let pv = PvPlane {
            plane: Plane {
                tilt_rad: plane.tilt_deg.to_radians(),
                azimuth_rad: plane.azimuth_deg.to_radians(),
                albedo: site.ground_albedo,
            },
            sky_model: site.sky_model,
            skyline: &Skyline::new(&plane.horizon),
            shade: plane.shade.as_ref(),
            gathering: Gathering::TEN_MODULE_STRINGS,
            incidence: Incidence::Physical(PHYSICAL),
            mounting: plane.mounting,
            power_coefficient_per_c,
            soiling_share: site.soiling_share,
        };
        let dc_w_per_w = dc_w_per_w(&pv, &sky.suns, &sky.weather);
        Self {
            plane: plane.clone(),
            power_coefficient_per_c,
            dc_w_per_w,
        }
    }

    fn is_of(&self, plane: &RoofPlane, power_coefficient_per_c: f64) -> bool {
        self.plane == *plane && self.power_coefficient_per_c == power_coefficient_per_c
    }
}
