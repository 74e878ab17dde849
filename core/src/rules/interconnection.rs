//! What a busbar, a feeder or a service bears when power sources join it.

use super::continuous_basis_a;

/// A busbar with what feeds it and what it feeds, in amperes per line conductor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Busbar {
    /// Rating of the busbar, A.
    pub rating_a: f64,
    /// Rating of the overcurrent device that protects it from the utility's side, A.
    pub supply_device_a: f64,
    /// Rated output current of all power sources that can feed it, storage at its largest output, A.
    pub sources_a: f64,
    /// Ratings of all breakers on it but the one that protects it, loads and sources alike, A; none: not known.
    pub breakers_a: Option<f64>,
}

/// Ways in which a busbar may be shown to bear its sources.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BusbarRule {
    /// 125 % of the sources and the supply device are at most the rating; breakers may stand anywhere.
    Whole,
    /// 125 % of the sources and the supply device are at most 120 % of the rating; the sources stand at the far end.
    FarEnd,
    /// All breakers but the supply device are at most the rating.
    Sum,
}

/// One rule with its numbers: it is met while `value_a` is at most `limit_a`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BusbarCheck {
    /// Which rule.
    pub rule: BusbarRule,
    /// What the rule adds up, A.
    pub value_a: f64,
    /// What it permits, A.
    pub limit_a: f64,
}

impl BusbarCheck {
    /// Whether it is met, but for rounding of the arithmetic.
    #[must_use]
    pub fn is_met(&self) -> bool {
        self.value_a <= self.limit_a * (1.0 + 1e-9)
    }
}

impl Busbar {
    /// The 100 % rule.
    ///
    /// Source: NEC 705.12(B)(1) (2023). IEC 60364-5-55, 551.7.2 adds the sources without the 125 %: see [`Self::whole_iec`].
    #[must_use]
    pub fn whole(&self) -> BusbarCheck {
        BusbarCheck {
            rule: BusbarRule::Whole,
            value_a: continuous_basis_a(self.sources_a) + self.supply_device_a,
            limit_a: self.rating_a,
        }
    }

    /// Supply device and rated currents of the sources are at most the rating of the busbar.
    ///
    /// Source: IEC 60364-5-55, 551.7.2 (from memory).
    #[must_use]
    pub fn whole_iec(&self) -> BusbarCheck {
        BusbarCheck {
            rule: BusbarRule::Whole,
            value_a: self.sources_a + self.supply_device_a,
            limit_a: self.rating_a,
        }
    }

    /// The 120 % rule.
    ///
    /// Source: NEC 705.12(B)(2) (2023).
    #[must_use]
    pub fn far_end(&self) -> BusbarCheck {
        BusbarCheck {
            rule: BusbarRule::FarEnd,
            limit_a: 1.2 * self.rating_a,
            ..self.whole()
        }
    }

    /// The sum rule; none if the breakers are not known.
    ///
    /// Source: NEC 705.12(B)(3) (2023).
    #[must_use]
    pub fn sum(&self) -> Option<BusbarCheck> {
        self.breakers_a.map(|value_a| BusbarCheck {
            rule: BusbarRule::Sum,
            value_a,
            limit_a: self.rating_a,
        })
    }

    /// Most rated source current that the 120 % rule leaves room for, A.
    #[must_use]
    pub fn far_end_room_a(&self) -> f64 {
        ((1.2 * self.rating_a - self.supply_device_a) / 1.25).max(0.0)
    }

    /// Least rating of a busbar that bears the sources by the 120 % rule, A.
    #[must_use]
    pub fn least_far_end_rating_a(&self) -> f64 {
        self.whole().value_a / 1.2
    }
}

/// Least ampacity of a tap of a feeder that carries a source, A.
///
/// - `share_of_feeder`: 1/3 for taps to 25 ft (7.5 m), 1/10 for taps to 10 ft (3 m)
///
/// Source: NEC 705.12(B)(2) and 240.21(B) (from memory).
#[must_use]
pub fn feeder_tap_a(feeder_device_a: f64, sources_a: f64, share_of_feeder: f64) -> f64 {
    share_of_feeder * (feeder_device_a + continuous_basis_a(sources_a))
}

/// Least ampacity of a feeder beyond the point where a source joins it, A: its own device and 125 % of the sources.
///
/// Source: NEC 705.12(A) (2023) (from memory).
#[must_use]
pub fn feeder_beyond_source_a(feeder_device_a: f64, sources_a: f64) -> f64 {
    feeder_device_a + continuous_basis_a(sources_a)
}

/// Current of the sources that counts when a power control system holds them to a setting, A.
///
/// Source: NEC 705.13 (2020), 750.30 (2023).
#[must_use]
pub fn controlled_sources_a(sources_a: f64, setting_a: Option<f64>) -> f64 {
    setting_a.map_or(sources_a, |setting_a| sources_a.min(setting_a.max(0.0)))
}
