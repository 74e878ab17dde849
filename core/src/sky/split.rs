//! Beam and diffuse light where only global irradiance is known (Erbs).

/// Lowest cosine of the zenith angle with which a clearness is formed.
const LEAST_COS_ZENITH: f64 = 0.065;

/// Cosine of 87°, less a rounding error: with the sun lower than this all light counts as diffuse.
const BEAM_LIMIT_COS_ZENITH: f64 = 0.052_335_956_242_943_8 - 1e-15;

/// Sunset hour angle at which the daily and monthly correlations part winter from the other seasons, rad (81.4°).
const WINTER_SUNSET_RAD: f64 = 81.4_f64.to_radians();

/// Beam and diffuse parts of global irradiance.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Split {
    /// Global over extraterrestrial irradiance of the level, 0 to 1.
    pub clearness: f64,
    /// Beam irradiance square to the sun, W/m².
    pub dni_w_m2: f64,
    /// Diffuse irradiance of the level, W/m².
    pub dhi_w_m2: f64,
}

/// Splits global irradiance by the sun's true zenith angle.
///
/// - `ghi_w_m2`: global irradiance of the level, 0 to 1500 W/m²
/// - `cos_zenith`: of the true sun
/// - `extraterrestrial_normal_w_m2`: above the air, square to the sun
///
/// Beam and diffuse always add up to the global irradiance: where the sun is more than 87° from overhead, or the beam
/// would be negative, all of it is diffuse. For the clearness the cosine is taken as 0.065 at least.
///
/// Source: Erbs, Klein & Duffie (1982), Solar Energy 28, 293-302, equation 1, doi:10.1016/0038-092X(82)90302-4; the guards
/// are common practice.
#[must_use]
pub fn erbs_split(ghi_w_m2: f64, cos_zenith: f64, extraterrestrial_normal_w_m2: f64) -> Split {
    let level_w_m2 = extraterrestrial_normal_w_m2 * cos_zenith.max(LEAST_COS_ZENITH);
    let clearness = if level_w_m2 > 0.0 {
        (ghi_w_m2 / level_w_m2).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let dhi_w_m2 = erbs_diffuse_share(clearness) * ghi_w_m2;
    let dni_w_m2 = (ghi_w_m2 - dhi_w_m2) / cos_zenith;
    // The comparison also refuses a cosine that is not a number.
    if cos_zenith >= BEAM_LIMIT_COS_ZENITH && dni_w_m2 >= 0.0 {
        Split {
            clearness,
            dni_w_m2,
            dhi_w_m2,
        }
    } else {
        Split {
            clearness,
            dni_w_m2: 0.0,
            dhi_w_m2: ghi_w_m2,
        }
    }
}

/// Diffuse share of an hour's global irradiance, 0 to 1; it jumps at 0.22 and 0.8 by design.
///
/// Source: Erbs, Klein & Duffie (1982), equation 1.
#[must_use]
pub fn erbs_diffuse_share(clearness: f64) -> f64 {
    let k = clearness;
    if k <= 0.22 {
        1.0 - 0.09 * k
    } else if k <= 0.8 {
        0.9511 + k * (-0.1604 + k * (4.388 + k * (-16.638 + k * 12.336)))
    } else {
        0.165
    }
}

/// Diffuse share of a day's global irradiation, 0 to 1.
///
/// Source: Erbs, Klein & Duffie (1982); Duffie & Beckman, 4th ed., equation 2.11.1.
#[must_use]
pub fn erbs_daily_diffuse_share(clearness: f64, sunset_rad: f64) -> f64 {
    let k = clearness;
    if sunset_rad <= WINTER_SUNSET_RAD {
        if k < 0.715 {
            1.0 + k * (-0.2727 + k * (2.4495 + k * (-11.9514 + k * 9.3879)))
        } else {
            0.143
        }
    } else if k < 0.722 {
        1.0 + k * (0.2832 + k * (-2.5557 + k * 0.8448))
    } else {
        0.175
    }
}

/// Diffuse share of a month's global irradiation, 0 to 1; stated for a mean clearness of 0.3 to 0.8.
///
/// Source: Erbs, Klein & Duffie (1982); Duffie & Beckman, 4th ed., equation 2.12.1.
#[must_use]
pub fn erbs_monthly_diffuse_share(clearness: f64, sunset_rad: f64) -> f64 {
    let k = clearness;
    if sunset_rad <= WINTER_SUNSET_RAD {
        1.391 + k * (-3.560 + k * (4.189 - k * 2.137))
    } else {
        1.311 + k * (-3.022 + k * (3.427 - k * 1.821))
    }
}
