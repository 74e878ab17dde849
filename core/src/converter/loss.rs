//! The loss law.

use crate::coupling::Weighting;

/// Loss of a converter that runs: `P_loss = p0 + k1 |P| + k2 P² / P_rated`, with P its AC power.
///
/// `P > 0` is power toward AC, `P < 0` power toward DC; in both directions `P_dc = P + P_loss`, so one quadratic solves
/// either way.
///
/// Source: Schmidt and Sauer (1996), Sonnenenergie 4, 43 (from memory).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LossLaw {
    /// Loss at no load, W.
    pub no_load_w: f64,
    /// Loss in proportion to power.
    pub linear: f64,
    /// Loss with the square of power, as a share of rated power at rated power.
    pub quadratic: f64,
    /// Rated AC power, W.
    pub rated_w: f64,
}

/// What a PV inverter makes of DC power.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct PvConversion {
    /// AC power given, W.
    pub ac_w: f64,
    /// DC power refused because AC is at its rating, W.
    pub clipped_w: f64,
    /// Loss, W.
    pub loss_w: f64,
}

impl LossLaw {
    /// Loss at this AC power, W.
    #[must_use]
    pub fn loss_w(&self, ac_w: f64) -> f64 {
        self.no_load_w + self.linear * ac_w.abs() + self.square_w(ac_w * ac_w)
    }

    /// DC power that goes with this AC power, W: taken from DC when positive, given to DC when negative.
    #[must_use]
    pub fn dc_w(&self, ac_w: f64) -> f64 {
        ac_w + self.loss_w(ac_w)
    }

    /// AC power that goes with this DC power, W: the inverse of [`Self::dc_w`].
    ///
    /// Between 0 and the no-load loss the AC side feeds the loss as well. The form is free of cancellation and holds
    /// for a law without a quadratic term.
    ///
    /// Derived: with `c = P_dc − p0`, `b = 1 ± k1` and `q = k2 / P_rated`, the root of `q P² + b P − c = 0` nearest to 0.
    /// Below the DC power at which charging gives most, AC power stays where it gives most.
    #[must_use]
    pub fn ac_w(&self, dc_w: f64) -> f64 {
        let c = dc_w - self.no_load_w;
        let b = if c >= 0.0 {
            1.0 + self.linear
        } else {
            1.0 - self.linear
        };
        let q = if self.rated_w > 0.0 {
            self.quadratic / self.rated_w
        } else {
            0.0
        };
        2.0 * c / (b + libm::sqrt((b * b + 4.0 * q * c).max(0.0)))
    }

    /// What a one-way PV inverter makes of the DC power offered to it.
    ///
    /// It is off while the offer does not exceed its no-load loss: then the whole offer is loss, and it draws nothing
    /// at night.
    #[must_use]
    pub fn invert_pv(&self, offered_w: f64) -> PvConversion {
        if offered_w <= self.no_load_w {
            return PvConversion {
                ac_w: 0.0,
                clipped_w: 0.0,
                loss_w: offered_w.max(0.0),
            };
        }
        let ac_w = self.ac_w(offered_w);
        if ac_w < self.rated_w {
            return PvConversion {
                ac_w,
                clipped_w: 0.0,
                loss_w: offered_w - ac_w,
            };
        }
        let loss_w = self.loss_w(self.rated_w);
        PvConversion {
            ac_w: self.rated_w,
            clipped_w: (offered_w - self.rated_w - loss_w).max(0.0),
            loss_w,
        }
    }

    /// Efficiency toward AC at a share of rated power, 0 to 1.
    #[must_use]
    pub fn efficiency(&self, load_share: f64) -> f64 {
        let ac_w = load_share * self.rated_w;
        if ac_w > 0.0 {
            ac_w / self.dc_w(ac_w)
        } else {
            0.0
        }
    }

    /// Highest efficiency at any load up to rated power.
    #[must_use]
    pub fn peak_efficiency(&self) -> f64 {
        let share = if self.rated_w <= 0.0 || self.quadratic * self.rated_w <= self.no_load_w {
            1.0
        } else {
            libm::sqrt(self.no_load_w / (self.rated_w * self.quadratic))
        };
        if share > 0.0 {
            self.efficiency(share)
        } else {
            1.0 / (1.0 + self.linear)
        }
    }

    /// Weighted efficiency.
    #[must_use]
    pub fn weighted_efficiency(&self, weighting: Weighting) -> f64 {
        weighting
            .weights()
            .iter()
            .map(|(share, weight)| weight * self.efficiency(*share))
            .sum()
    }

    fn square_w(&self, power_squared: f64) -> f64 {
        if self.rated_w > 0.0 {
            self.quadratic * power_squared / self.rated_w
        } else {
            0.0
        }
    }
}

impl Weighting {
    /// Shares of rated power, each with its weight.
    ///
    /// Source: European weights (from memory, widely published); CEC weights (public texts).
    #[must_use]
    pub fn weights(self) -> [(f64, f64); 6] {
        match self {
            Self::European => [
                (0.05, 0.03),
                (0.10, 0.06),
                (0.20, 0.13),
                (0.30, 0.10),
                (0.50, 0.48),
                (1.00, 0.20),
            ],
            Self::Cec => [
                (0.10, 0.04),
                (0.20, 0.05),
                (0.30, 0.12),
                (0.50, 0.21),
                (0.75, 0.53),
                (1.00, 0.05),
            ],
        }
    }
}
