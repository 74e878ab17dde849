//! Light of a cloudless sky.

/// Global irradiance of the level under a cloudless sky by the sun's height alone, W/m²; 0 while the sun is down.
///
/// Source: Haurwitz (1945), J. Meteorology 2, 154-166, and (1946) 3, 123-124.
#[must_use]
pub fn haurwitz_ghi_w_m2(cos_apparent_zenith: f64) -> f64 {
    if cos_apparent_zenith <= 0.0 {
        return 0.0;
    }
    1098.0 * cos_apparent_zenith * libm::exp(-0.059 / cos_apparent_zenith)
}

/// The air of a cloudless sky over a site, with what does not change with the sun's height.
///
/// Source: Ineichen & Perez (2002), Solar Energy 73, 151-157, doi:10.1016/S0038-092X(02)00045-2, with the factor 0.163 and
/// the limit of the beam that are common practice.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClearAir {
    linke_turbidity: f64,
    fh1: f64,
    fh2: f64,
    cg1: f64,
    cg2: f64,
}

/// Global, beam and diffuse light of a cloudless sky.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ClearSky {
    /// Global irradiance of the level, W/m².
    pub ghi_w_m2: f64,
    /// Beam irradiance square to the sun, W/m².
    pub dni_w_m2: f64,
    /// Diffuse irradiance of the level, W/m².
    pub dhi_w_m2: f64,
}

impl ClearAir {
    /// - `linke_turbidity`: at air mass 2; near 2 in very clean, cold air, 3 in clean warm air, 5 and more in haze
    /// - `elevation_m`: height above sea level
    #[must_use]
    pub fn new(linke_turbidity: f64, elevation_m: f64) -> Self {
        Self {
            linke_turbidity,
            fh1: libm::exp(-elevation_m / 8000.0),
            fh2: libm::exp(-elevation_m / 1250.0),
            cg1: 5.09e-5 * elevation_m + 0.868,
            cg2: 3.92e-5 * elevation_m + 0.0387,
        }
    }

    /// Global irradiance of the level, W/m²; 0 while the sun is down.
    ///
    /// - `cos_apparent_zenith`: of the sun with refraction
    /// - `absolute_air_mass`: Kasten & Young, times pressure over that of sea level; not a number while the sun is down
    /// - `extraterrestrial_normal_w_m2`: above the air, square to the sun
    #[must_use]
    pub fn ghi_w_m2(
        &self,
        cos_apparent_zenith: f64,
        absolute_air_mass: f64,
        extraterrestrial_normal_w_m2: f64,
    ) -> f64 {
        // The comparison also refuses numbers that are not defined.
        if cos_apparent_zenith > 0.0 && absolute_air_mass > 0.0 {
            let haze = self.fh1 + self.fh2 * (self.linke_turbidity - 1.0);
            self.cg1
                * extraterrestrial_normal_w_m2
                * cos_apparent_zenith
                * libm::exp(-self.cg2 * absolute_air_mass * haze)
        } else {
            0.0
        }
    }

    /// Global, beam and diffuse light; arguments as for [`ClearAir::ghi_w_m2`]. Zeros while the sun is down.
    #[must_use]
    pub fn light(
        &self,
        cos_apparent_zenith: f64,
        absolute_air_mass: f64,
        extraterrestrial_normal_w_m2: f64,
    ) -> ClearSky {
        let (tl, i0) = (self.linke_turbidity, extraterrestrial_normal_w_m2);
        let ghi_w_m2 = self.ghi_w_m2(cos_apparent_zenith, absolute_air_mass, i0);
        if ghi_w_m2 <= 0.0 {
            return ClearSky::default();
        }
        let b = 0.664 + 0.163 / self.fh1;
        let beam_w_m2 = b * i0 * libm::exp(-0.09 * absolute_air_mass * (tl - 1.0));
        let limit =
            (1.0 - (0.1 - 0.2 * libm::exp(-tl)) / (0.1 + 0.882 / self.fh1)) / cos_apparent_zenith;
        let dni_w_m2 = beam_w_m2.min(ghi_w_m2 * limit.max(0.0));
        ClearSky {
            ghi_w_m2,
            dni_w_m2,
            dhi_w_m2: ghi_w_m2 - dni_w_m2 * cos_apparent_zenith,
        }
    }
}
