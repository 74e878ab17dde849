//! How much of slanting light the glass of a module lets through.

/// The glass before the cells.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Glass {
    /// Refractive index against air.
    pub refractive_index: f64,
    /// Light absorbed per length, 1/m.
    pub extinction_per_m: f64,
    /// Thickness, m.
    pub thickness_m: f64,
}

/// Plain low-iron glass of 2 mm: De Soto, Klein & Beckman (2006).
pub const PHYSICAL: Glass = Glass {
    refractive_index: 1.526,
    extinction_per_m: 4.0,
    thickness_m: 0.002,
};

/// How slanting light is weighed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Incidence {
    /// All light counts alike.
    Even,
    /// Refraction, reflection and absorption of the glass.
    Physical(Glass),
    /// One coefficient (ASHRAE).
    Ashrae {
        /// Loss per unit of `1/cos θ − 1`; 0.05 is common for plain glass.
        b0: f64,
    },
}

impl Incidence {
    /// Light let through over that let through at normal incidence, 0 to 1; 0 from behind.
    #[inline]
    #[must_use]
    pub fn modifier(self, cos_incidence: f64) -> f64 {
        match self {
            Self::Even if cos_incidence > 0.0 => 1.0,
            Self::Even => 0.0,
            Self::Physical(glass) => glass.modifier(cos_incidence),
            Self::Ashrae { b0 } => ashrae_modifier(cos_incidence, b0),
        }
    }

    /// The modifier of light from the whole sky on a tilted plane.
    ///
    /// Source: Brandemuehl & Beckman (1980), Solar Energy 24, 511-513, in the form of Duffie & Beckman, 4th ed.,
    /// equation 5.4.2: the sky acts like a beam at 59.7° − 0.1388 β + 0.001497 β².
    #[must_use]
    pub fn sky_modifier(self, tilt_rad: f64) -> f64 {
        let b = tilt_rad.to_degrees();
        self.modifier_at_deg(59.7 + b * (-0.1388 + b * 0.001_497))
    }

    /// The modifier of light that the ground reflects on a tilted plane.
    ///
    /// Source: as [`Incidence::sky_modifier`], equation 5.4.1: 90° − 0.5788 β + 0.002693 β².
    #[must_use]
    pub fn ground_modifier(self, tilt_rad: f64) -> f64 {
        let b = tilt_rad.to_degrees();
        self.modifier_at_deg(90.0 + b * (-0.5788 + b * 0.002_693))
    }

    fn modifier_at_deg(self, incidence_deg: f64) -> f64 {
        self.modifier(libm::cos(incidence_deg.clamp(0.0, 90.0).to_radians()))
    }
}

impl Glass {
    /// Light let through over that let through at normal incidence, 0 to 1; 0 from behind.
    ///
    /// Source: De Soto, Klein & Beckman (2006), Solar Energy 80, 78-88, equations 13 to 15,
    /// doi:10.1016/j.solener.2005.06.010, with the reflection of both polarisations by Fresnel's equations.
    #[inline]
    #[must_use]
    pub fn modifier(self, cos_incidence: f64) -> f64 {
        let cos_1 = cos_incidence.min(1.0);
        // Along the surface nothing enters; the rounding of a right angle counts as right.
        if cos_1 <= 1e-15 || cos_1.is_nan() {
            return 0.0;
        }
        let n = self.refractive_index;
        let absorption = self.extinction_per_m * self.thickness_m;
        let cos_2 = (1.0 - (1.0 - cos_1 * cos_1) / (n * n)).sqrt();
        let across = (cos_1 - n * cos_2) / (cos_1 + n * cos_2);
        let along = (cos_2 - n * cos_1) / (cos_2 + n * cos_1);
        let straight = (n - 1.0) / (n + 1.0);
        (1.0 - 0.5 * (across * across + along * along)) / (1.0 - straight * straight)
            * libm::exp(absorption - absorption / cos_2)
    }
}

/// Light let through over that let through at normal incidence by one coefficient, 0 to 1; 0 from behind.
///
/// Source: ASHRAE 93-77; Souka & Safwat (1966), Solar Energy 10, 170-174.
#[inline]
#[must_use]
pub fn ashrae_modifier(cos_incidence: f64, b0: f64) -> f64 {
    if cos_incidence <= 1e-15 {
        return 0.0;
    }
    (1.0 - b0 * (1.0 / cos_incidence - 1.0)).max(0.0)
}
