//! Light on a tilted plane.

use super::SkyModel;
use super::table::{Direction, Sun};

/// A plane under the sky.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plane {
    /// Slope from level, rad, 0 to π (a plane that looks down).
    pub tilt_rad: f64,
    /// Direction that the plane faces, rad clockwise from north.
    pub azimuth_rad: f64,
    /// Share of light that the ground before it reflects, 0 to 1.
    pub albedo: f64,
}

impl Plane {
    /// The direction square to the plane.
    #[must_use]
    pub fn normal(&self) -> Direction {
        Direction::from_angles(self.tilt_rad, self.azimuth_rad)
    }
}

/// Light of the level, in its parts.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Light {
    /// Global irradiance of the level, W/m².
    pub ghi_w_m2: f64,
    /// Beam irradiance square to the sun, W/m².
    pub dni_w_m2: f64,
    /// Diffuse irradiance of the level, W/m².
    pub dhi_w_m2: f64,
}

/// Light on a plane, in its parts, W/m² of the plane.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct OnPlane {
    /// Straight from the sun.
    pub beam_w_m2: f64,
    /// From the whole sky evenly.
    pub isotropic_w_m2: f64,
    /// From the sky close about the sun.
    pub circumsolar_w_m2: f64,
    /// From the sky close to the horizon; negative where that is darker than the rest.
    pub horizon_w_m2: f64,
    /// Reflected by the ground.
    pub ground_w_m2: f64,
}

impl OnPlane {
    /// All that comes from the sky but not straight from the sun, W/m².
    #[must_use]
    pub fn sky_w_m2(&self) -> f64 {
        self.isotropic_w_m2 + self.circumsolar_w_m2 + self.horizon_w_m2
    }

    /// All light, W/m².
    #[must_use]
    pub fn global_w_m2(&self) -> f64 {
        self.beam_w_m2 + self.sky_w_m2() + self.ground_w_m2
    }
}

/// A plane with what does not change from step to step, so that a step costs few operations.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Transposition {
    normal: Direction,
    sky_view: f64,
    sin_tilt: f64,
    ground_view: f64,
    model: SkyModel,
}

impl Transposition {
    /// Prepares a plane under a sky model.
    #[must_use]
    pub fn new(plane: &Plane, model: SkyModel) -> Self {
        let (sin_tilt, cos_tilt) = libm::sincos(plane.tilt_rad);
        Self {
            normal: plane.normal(),
            sky_view: 0.5 * (1.0 + cos_tilt),
            sin_tilt,
            ground_view: 0.5 * (1.0 - cos_tilt) * plane.albedo,
            model,
        }
    }

    /// Cosine of the angle between the sun and the direction square to the plane; negative behind it.
    #[must_use]
    pub fn cos_incidence(&self, sun: &Sun) -> f64 {
        self.normal.dot(&sun.direction)
    }

    /// Light on the plane.
    ///
    /// The beam is `dni max(cos θ, 0)`, also where the sun is down: then there should be none in `light`.
    ///
    /// Sources: isotropic: Liu & Jordan (1960), Solar Energy 4, 1-19. Hay & Davies (1980), Proc. First Canadian Solar Radiation
    /// Data Workshop, 59. Perez, Ineichen, Seals, Michalsky & Stewart (1990), Solar Energy 44, 271-289,
    /// doi:10.1016/0038-092X(90)90055-H, coefficients "all sites composite".
    #[inline]
    #[must_use]
    pub fn light(&self, sun: &Sun, light: &Light) -> OnPlane {
        let cos_incidence = self.cos_incidence(sun).max(0.0);
        let sky = match self.model {
            SkyModel::Isotropic => Sky {
                isotropic_w_m2: light.dhi_w_m2 * self.sky_view,
                ..Sky::default()
            },
            SkyModel::HayDavies => self.hay_davies(sun, light, cos_incidence),
            SkyModel::Perez => self.perez(sun, light, cos_incidence),
        };
        OnPlane {
            beam_w_m2: light.dni_w_m2 * cos_incidence,
            isotropic_w_m2: sky.isotropic_w_m2,
            circumsolar_w_m2: sky.circumsolar_w_m2,
            horizon_w_m2: sky.horizon_w_m2,
            ground_w_m2: light.ghi_w_m2 * self.ground_view,
        }
    }

    fn hay_davies(&self, sun: &Sun, light: &Light, cos_incidence: f64) -> Sky {
        if sun.extraterrestrial_normal_w_m2 <= 0.0 {
            return Sky::default();
        }
        let anisotropy = light.dni_w_m2 / sun.extraterrestrial_normal_w_m2;
        let projection = cos_incidence / sun.direction.up.max(0.01745);
        Sky {
            isotropic_w_m2: light.dhi_w_m2 * (1.0 - anisotropy) * self.sky_view,
            circumsolar_w_m2: light.dhi_w_m2 * anisotropy * projection,
            horizon_w_m2: 0.0,
        }
    }

    /// No light from the sky without diffuse light, or while the sun is down, where the air mass is not defined.
    #[inline]
    fn perez(&self, sun: &Sun, light: &Light, cos_incidence: f64) -> Sky {
        let dhi_w_m2 = light.dhi_w_m2;
        // The comparisons also refuse numbers that are not defined.
        if !(dhi_w_m2 > 0.0 && sun.relative_air_mass > 0.0) {
            return Sky::default();
        }
        let z = sun.apparent_zenith_rad;
        let kappa_z3 = 1.041 * z * z * z;
        let clearness = ((dhi_w_m2 + light.dni_w_m2) / dhi_w_m2 + kappa_z3) / (1.0 + kappa_z3);
        let brightness = dhi_w_m2 * sun.relative_air_mass / sun.extraterrestrial_normal_w_m2;
        let [f11, f12, f13, f21, f22, f23] = perez_coefficients(clearness);
        let f1 = (f11 + f12 * brightness + f13 * z).max(0.0);
        let f2 = f21 + f22 * brightness + f23 * z;
        let sky = Sky {
            isotropic_w_m2: dhi_w_m2 * (1.0 - f1) * self.sky_view,
            circumsolar_w_m2: dhi_w_m2 * f1 * cos_incidence / sun.direction.up.max(COS_85),
            horizon_w_m2: dhi_w_m2 * f2 * self.sin_tilt,
        };
        if sky.isotropic_w_m2 + sky.circumsolar_w_m2 + sky.horizon_w_m2 > 0.0 {
            sky
        } else {
            Sky::default()
        }
    }
}

#[derive(Clone, Copy, Debug, Default)]
struct Sky {
    isotropic_w_m2: f64,
    circumsolar_w_m2: f64,
    horizon_w_m2: f64,
}

const COS_85: f64 = 0.087_155_742_747_658_17;

/// Upper bounds of the sky's clearness ε in all bins but the last; a value on a bound belongs to the next bin.
const PEREZ_BOUNDS: [f64; 7] = [1.065, 1.23, 1.5, 1.95, 2.8, 4.5, 6.2];

/// F11, F12, F13, F21, F22, F23 of each bin: Perez et al. (1990), table 6, "all sites composite".
const PEREZ_BINS: [[f64; 6]; 8] = [
    [-0.008, 0.588, -0.062, -0.060, 0.072, -0.022],
    [0.130, 0.683, -0.151, -0.019, 0.066, -0.029],
    [0.330, 0.487, -0.221, 0.055, -0.064, -0.026],
    [0.568, 0.187, -0.295, 0.109, -0.152, -0.014],
    [0.873, -0.392, -0.362, 0.226, -0.462, 0.001],
    [1.132, -1.237, -0.412, 0.288, -0.823, 0.056],
    [1.060, -1.600, -0.359, 0.264, -1.127, 0.131],
    [0.678, -0.327, -0.250, 0.156, -1.377, 0.251],
];

#[inline]
fn perez_coefficients(clearness: f64) -> [f64; 6] {
    let bin = PEREZ_BOUNDS
        .iter()
        .filter(|&&bound| clearness >= bound)
        .count();
    PEREZ_BINS[bin & 7]
}
