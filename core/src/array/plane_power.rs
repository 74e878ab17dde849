//! The whole chain from sun and weather to the DC power of a plane.

use super::incidence::Incidence;
use super::mounting::Mounting;
use super::temperature::{faiman_cell_c, power_share};
use crate::climate::Weather;
use crate::sky::{
    DAYS_PER_YEAR, Light, Plane, ShadeTable, SkyModel, Skyline, SunTable, Transposition,
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
    /// Share of the beam lost to near objects.
    pub shade: Option<&'a ShadeTable>,
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
/// The horizon hides the beam and the light about the sun while it stands before the sun, and its share of the even sky. Shade
/// takes its share of the beam and of the light about the sun. Dirt and the glass act on what is left.
///
/// The series is as long as the shorter of `suns` and `weather`.
#[must_use]
pub fn dc_w_per_w(pv: &PvPlane, suns: &SunTable, weather: &Weather) -> Vec<f64> {
    let transposition = Transposition::new(&pv.plane, pv.sky_model);
    let sky_kept = pv.incidence.sky_modifier(pv.plane.tilt_rad) * pv.skyline.sky_share(&pv.plane);
    let ground_kept = pv.incidence.ground_modifier(pv.plane.tilt_rad);
    let heat_loss = pv.mounting.heat_loss();
    let step_s = suns.grid.step_s.max(1) as usize;
    let steps_per_day = (86_400 / step_s).max(1);

    let steps = suns
        .suns
        .iter()
        .zip(&weather.ghi_w_m2)
        .zip(&weather.dni_w_m2)
        .zip(&weather.dhi_w_m2)
        .zip(&weather.air_c)
        .zip(&weather.wind_m_s);
    let mut day = suns.grid.first_day % DAYS_PER_YEAR;
    let mut month = month_of_day(day);
    let mut step_of_day = 0;
    steps
        .map(
            |(((((sun, &ghi_w_m2), &dni_w_m2), &dhi_w_m2), &air_c), &wind_m_s)| {
                let hour = step_of_day * step_s / 3600;
                let this_month = month;
                step_of_day += 1;
                if step_of_day == steps_per_day {
                    step_of_day = 0;
                    day = (day + 1) % DAYS_PER_YEAR;
                    month = month_of_day(day);
                }
                if ghi_w_m2 <= 0.0 && dni_w_m2 <= 0.0 {
                    return 0.0;
                }
                let light = Light {
                    ghi_w_m2,
                    dni_w_m2,
                    dhi_w_m2,
                };
                let on = transposition.light(sun, &light);
                let seen_share = if pv.skyline.shows(sun) {
                    1.0 - pv
                        .shade
                        .map_or(0.0, |shade| shade.lost_share(this_month, hour))
                } else {
                    0.0
                };
                let from_sun_w_m2 = (on.beam_w_m2 + on.circumsolar_w_m2) * seen_share;
                let from_sun_kept = if from_sun_w_m2 > 0.0 {
                    pv.incidence.modifier(transposition.cos_incidence(sun))
                } else {
                    0.0
                };
                let from_sky_w_m2 = on.isotropic_w_m2 + on.horizon_w_m2;
                let clean_w_m2 = from_sun_w_m2 * from_sun_kept
                    + from_sky_w_m2 * sky_kept
                    + on.ground_w_m2 * ground_kept;
                let soiling_share = pv.soiling_share.get(this_month).copied().unwrap_or(0.0);
                let poa_w_m2 = (clean_w_m2 * (1.0 - soiling_share)).max(0.0);
                let cell_c = faiman_cell_c(poa_w_m2, air_c, wind_m_s, heat_loss);
                power_share(poa_w_m2, cell_c, pv.power_coefficient_per_c)
            },
        )
        .collect()
}
