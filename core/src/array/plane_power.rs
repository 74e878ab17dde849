//! The whole chain from sun and weather to the DC power of a plane.

use super::incidence::Incidence;
use super::mounting::{HeatLoss, Mounting};
use super::partial_shade::{Gathering, partly_shaded_share};
use super::temperature::{faiman_cell_c, power_share};
use crate::climate::Weather;
use crate::sky::{
    DAYS_PER_YEAR, Light, Plane, ShadeTable, SkyModel, Skyline, Sun, SunTable, Transposition,
    month_of_day,
};

/// A plane of modules and all that stands between the sun and its DC power.
#[derive(Clone, Copy, Debug)]
pub struct PvPlane<'a> {
    /// Where it looks, and the ground before it.
    pub plane: Plane,
    /// How diffuse light is laid on it.
    pub sky_model: SkyModel,
    /// What stands on the horizon.
    pub skyline: &'a Skyline,
    /// Share of the beam lost to near objects: so much of the plane lies in their shadow.
    pub shade: Option<&'a ShadeTable>,
    /// How its modules come to their converter; it decides what a shadow on part of them costs.
    pub gathering: Gathering,
    /// How slanting light is weighed.
    pub incidence: Incidence,
    /// How warm the modules run.
    pub mounting: Mounting,
    /// Change of power with cell temperature, per °C, negative.
    pub power_coefficient_per_c: f64,
    /// Share of light lost to dirt or snow in each month, January first, 0 to 1.
    pub soiling_share: [f64; 12],
}

/// DC power at the maximum power point over rated power, at every step, before the losses of an array's own: wiring, mismatch and
/// age. Arrays on the plane scale it.
///
/// The horizon hides the beam and the light about the sun while it stands before the sun, and its share of the even sky. A shadow
/// takes the beam and the light about the sun from its share of the modules; see [`partly_shaded_share`]. Dirt and the glass act
/// on what is left.
///
/// The series is as long as the shorter of `suns` and `weather`.
#[must_use]
pub fn dc_w_per_w(pv: &PvPlane, suns: &SunTable, weather: &Weather) -> Vec<f64> {
    let ready = ReadyPlane::new(pv);
    let step_s = suns.grid.step_s.max(1) as usize;
    let steps_per_day = (86_400 / step_s).max(1);
    let mut day = suns.grid.first_day % DAYS_PER_YEAR;
    let mut month = month_of_day(day);
    let mut step_of_day = 0;
    suns.suns
        .iter()
        .zip(&weather.ghi_w_m2)
        .zip(&weather.dni_w_m2)
        .zip(&weather.dhi_w_m2)
        .zip(weather.air_c.iter().zip(&weather.wind_m_s))
        .map(
            |((((sun, &ghi_w_m2), &dni_w_m2), &dhi_w_m2), (&air_c, &wind_m_s))| {
                if step_of_day == steps_per_day {
                    step_of_day = 0;
                    day = (day + 1) % DAYS_PER_YEAR;
                    month = month_of_day(day);
                }
                let hour = step_of_day * step_s / 3600;
                step_of_day += 1;
                if ghi_w_m2 <= 0.0 && dni_w_m2 <= 0.0 {
                    return 0.0;
                }
                let light = Light {
                    ghi_w_m2,
                    dni_w_m2,
                    dhi_w_m2,
                };
                ready.dc_share(sun, &light, (air_c, wind_m_s), (month, hour))
            },
        )
        .collect()
}

/// A plane with what does not change from step to step.
struct ReadyPlane<'a> {
    pv: &'a PvPlane<'a>,
    transposition: Transposition,
    sky_kept: f64,
    ground_kept: f64,
    heat_loss: HeatLoss,
}

impl<'a> ReadyPlane<'a> {
    fn new(pv: &'a PvPlane<'a>) -> Self {
        let tilt_rad = pv.plane.tilt_rad;
        Self {
            pv,
            transposition: Transposition::new(&pv.plane, pv.sky_model),
            sky_kept: pv.incidence.sky_modifier(tilt_rad) * pv.skyline.sky_share(&pv.plane),
            ground_kept: pv.incidence.ground_modifier(tilt_rad),
            heat_loss: pv.mounting.heat_loss(),
        }
    }

    #[inline]
    fn dc_share(
        &self,
        sun: &Sun,
        light: &Light,
        (air_c, wind_m_s): (f64, f64),
        (month, hour): (usize, usize),
    ) -> f64 {
        let pv = self.pv;
        let on = self.transposition.light(sun, light);
        let from_sun_w_m2 = if pv.skyline.shows(sun) {
            let cos_incidence = self.transposition.cos_incidence(sun);
            (on.beam_w_m2 + on.circumsolar_w_m2) * pv.incidence.modifier(cos_incidence)
        } else {
            0.0
        };
        let from_elsewhere_w_m2 = (on.isotropic_w_m2 + on.horizon_w_m2) * self.sky_kept
            + on.ground_w_m2 * self.ground_kept;
        let clean_share = 1.0 - pv.soiling_share.get(month).copied().unwrap_or(0.0);
        let share_at = |light_w_m2: f64| {
            let poa_w_m2 = (light_w_m2 * clean_share).max(0.0);
            let cell_c = faiman_cell_c(poa_w_m2, air_c, wind_m_s, self.heat_loss);
            power_share(poa_w_m2, cell_c, pv.power_coefficient_per_c)
        };
        let lit = share_at(from_sun_w_m2 + from_elsewhere_w_m2);
        match pv.shade.map(|shade| shade.lost_share(month, hour)) {
            Some(shaded_share) if shaded_share > 0.0 && from_sun_w_m2 > 0.0 => partly_shaded_share(
                shaded_share,
                lit,
                share_at(from_elsewhere_w_m2),
                pv.gathering,
            ),
            _ => lit,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::array::PHYSICAL;
    use crate::sky::{
        DELTA_T_S, Horizon, HorizonPoint, Location, Observer, TimeGrid, haurwitz_ghi_w_m2,
    };

    /// Energy of a clear June day at 40° N on a south roof, Wh per rated W.
    fn day_wh_per_w(skyline: &Skyline, shade: Option<&ShadeTable>, gathering: Gathering) -> f64 {
        let location = Location {
            latitude_deg: 40.0,
            longitude_deg: 0.0,
            elevation_m: 0.0,
        };
        let grid = TimeGrid::days(171, 1, 900, 0);
        let suns = SunTable::new(&Observer::in_standard_air(location), grid, DELTA_T_S);
        let mut weather = Weather {
            air_c: vec![20.0; grid.len()],
            wind_m_s: vec![1.0; grid.len()],
            ..Weather::default()
        };
        for sun in &suns.suns {
            let ghi_w_m2 = haurwitz_ghi_w_m2(sun.direction.up);
            weather.ghi_w_m2.push(ghi_w_m2);
            weather.dhi_w_m2.push(0.2 * ghi_w_m2);
            weather
                .dni_w_m2
                .push(0.8 * ghi_w_m2 / sun.direction.up.max(0.05));
        }
        let pv = PvPlane {
            plane: Plane {
                tilt_rad: 0.5,
                azimuth_rad: core::f64::consts::PI,
                albedo: 0.2,
            },
            sky_model: SkyModel::Perez,
            skyline,
            shade,
            gathering,
            incidence: Incidence::Physical(PHYSICAL),
            mounting: Mounting::RoofStandOff,
            power_coefficient_per_c: -0.0035,
            soiling_share: [0.0; 12],
        };
        dc_w_per_w(&pv, &suns, &weather).iter().sum::<f64>() * grid.step_h()
    }

    #[test]
    fn a_shadow_costs_energy_and_strings_lose_more_than_modules_one_by_one() {
        let open = Skyline::new(&Horizon::default());
        let hours = (0..24).map(|hour| if hour >= 14 { 0.35 } else { 0.0 });
        let shade = ShadeTable(vec![hours.collect(); 12]);
        let free = day_wh_per_w(&open, None, Gathering::TEN_MODULE_STRINGS);
        let by_module = day_wh_per_w(&open, Some(&shade), Gathering::ModuleByModule);
        let by_string = day_wh_per_w(&open, Some(&shade), Gathering::TEN_MODULE_STRINGS);
        assert!((5.0..8.0).contains(&free), "{free}");
        assert!(by_string < by_module && by_module < free);
    }

    #[test]
    fn a_hill_before_the_morning_sun_costs_energy() {
        let open = Skyline::new(&Horizon::default());
        let hill = [(70.0, 0.0), (75.0, 60.0), (140.0, 60.0), (145.0, 0.0)].map(
            |(azimuth_deg, elevation_deg)| HorizonPoint {
                azimuth_deg,
                elevation_deg,
            },
        );
        let hill = Skyline::new(&Horizon(hill.to_vec()));
        let (free, behind) = (
            day_wh_per_w(&open, None, Gathering::TEN_MODULE_STRINGS),
            day_wh_per_w(&hill, None, Gathering::TEN_MODULE_STRINGS),
        );
        assert!(
            behind < 0.95 * free && behind > 0.7 * free,
            "{behind} of {free}"
        );
    }
}
