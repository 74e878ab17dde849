//! From datasheet efficiencies to the loss law.

use std::fmt;

use super::LossLaw;
use crate::coupling::ConverterEfficiency;

/// Why no loss law has these datasheet figures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FitProblem {
    /// A figure is not a number, or out of its range.
    NotAFigure,
    /// The no-load power alone costs more than the peak efficiency allows.
    NoLoadTooHigh {
        /// Most no-load power that goes with the peak efficiency, W.
        most_w: f64,
    },
    /// The weighted efficiency lies nearer to the peak than the no-load power allows.
    WeightedTooHigh {
        /// Highest weighted efficiency that goes with the other figures.
        most: f64,
    },
    /// The weighted efficiency lies further below the peak than any loss law has it.
    WeightedTooLow {
        /// Lowest weighted efficiency that goes with the other figures.
        least: f64,
    },
}

impl fmt::Display for FitProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotAFigure => write!(
                f,
                "efficiencies between 50 and 100 %, no-load power from 0 W, rated power above 0 W"
            ),
            Self::NoLoadTooHigh { most_w } => write!(
                f,
                "with this peak efficiency the no-load power is at most {most_w:.1} W"
            ),
            Self::WeightedTooHigh { most } => {
                write!(
                    f,
                    "with this peak efficiency and no-load power the weighted efficiency is at most {:.2} %",
                    floor_to_hundredth(100.0 * most)
                )
            }
            Self::WeightedTooLow { least } => {
                write!(
                    f,
                    "with this peak efficiency and no-load power the weighted efficiency is at least {:.2} %",
                    -floor_to_hundredth(-100.0 * least)
                )
            }
        }
    }
}

fn floor_to_hundredth(value: f64) -> f64 {
    libm::floor(value * 100.0) / 100.0
}

impl LossLaw {
    /// The loss law with this peak efficiency, weighted efficiency and no-load power.
    ///
    /// - `efficiency`: datasheet figures
    /// - `rated_w`: rated AC power, W
    ///
    /// The peak fixes the linear term for every quadratic one; the weighted efficiency is then highest where the peak
    /// lies near the middle of the weights and falls on either side. Of the two laws that meet it the one with its peak
    /// at the lower load is taken, as converters of the trade have it; the other one where that does not reach.
    ///
    /// Derived: loss per AC power is `p0/P + k1 + k2 P/P_rated`, least at `P = √(p0 P_rated / k2)`.
    ///
    /// **Errors**: figures that no law has.
    pub fn fit(efficiency: &ConverterEfficiency, rated_w: f64) -> Result<Self, FitProblem> {
        let ConverterEfficiency {
            peak,
            weighted,
            weighting,
            no_load_w,
        } = *efficiency;
        let sound = (0.5..1.0).contains(&peak)
            && (0.5..1.0).contains(&weighted)
            && no_load_w >= 0.0
            && rated_w > 0.0;
        if !sound || !no_load_w.is_finite() || !rated_w.is_finite() {
            return Err(FitProblem::NotAFigure);
        }
        let least_loss = 1.0 / peak - 1.0;
        let no_load = no_load_w / rated_w;
        if no_load > least_loss {
            return Err(FitProblem::NoLoadTooHigh {
                most_w: least_loss * rated_w,
            });
        }
        let law = |quadratic: f64| {
            let linear = if quadratic <= no_load {
                least_loss - no_load - quadratic
            } else {
                least_loss - 2.0 * libm::sqrt(no_load * quadratic)
            };
            Self {
                no_load_w,
                linear: linear.max(0.0),
                quadratic,
                rated_w,
            }
        };
        let weighted_at = |quadratic: f64| law(quadratic).weighted_efficiency(weighting);
        let most_quadratic = if no_load > 0.0 {
            (least_loss * least_loss / (4.0 * no_load)).min(1.0)
        } else {
            1.0
        };
        let most_quadratic = if most_quadratic < no_load {
            least_loss - no_load
        } else {
            most_quadratic
        };
        let best_quadratic = highest(weighted_at, 0.0, most_quadratic);
        let most = weighted_at(best_quadratic);
        if weighted > most {
            return Err(FitProblem::WeightedTooHigh { most });
        }
        let (low_peak, high_peak) = (weighted_at(most_quadratic), weighted_at(0.0));
        if weighted >= low_peak {
            Ok(law(crossing(
                weighted_at,
                best_quadratic,
                most_quadratic,
                weighted,
            )))
        } else if weighted >= high_peak {
            Ok(law(crossing(weighted_at, best_quadratic, 0.0, weighted)))
        } else {
            Err(FitProblem::WeightedTooLow {
                least: low_peak.min(high_peak),
            })
        }
    }
}

/// Where a function with one hill is highest, by golden section, to the resolution that a maximum has.
fn highest(f: impl Fn(f64) -> f64, from: f64, to: f64) -> f64 {
    const GOLDEN: f64 = 0.618_033_988_749_894_8;
    let (mut a, mut b) = (from, to);
    let (mut x1, mut x2) = (b - GOLDEN * (b - a), a + GOLDEN * (b - a));
    let (mut f1, mut f2) = (f(x1), f(x2));
    for _ in 0..100 {
        if f1 < f2 {
            a = x1;
            (x1, f1) = (x2, f2);
            x2 = a + GOLDEN * (b - a);
            f2 = f(x2);
        } else {
            b = x2;
            (x2, f2) = (x1, f1);
            x1 = b - GOLDEN * (b - a);
            f1 = f(x1);
        }
    }
    0.5 * (a + b)
}

/// Where a function that falls from `high` to `low` meets `value`, by bisection to the last bits.
fn crossing(f: impl Fn(f64) -> f64, mut high: f64, mut low: f64, value: f64) -> f64 {
    for _ in 0..200 {
        let middle = 0.5 * (high + low);
        if f(middle) >= value {
            high = middle;
        } else {
            low = middle;
        }
    }
    0.5 * (high + low)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::coupling::Weighting;

    #[test]
    fn a_fitted_law_has_the_figures_it_was_fitted_to() {
        for (peak, weighted, no_load_w) in [
            (0.976, 0.970, 15.0),
            (0.966, 0.958, 30.0),
            (0.985, 0.98, 5.0),
            (0.95, 0.93, 0.0),
        ] {
            for weighting in [Weighting::European, Weighting::Cec] {
                let law = LossLaw::fit(
                    &ConverterEfficiency {
                        peak,
                        weighted,
                        weighting,
                        no_load_w,
                    },
                    5000.0,
                )
                .unwrap();
                assert!((law.peak_efficiency() - peak).abs() < 1e-12, "{law:?}");
                assert!(
                    (law.weighted_efficiency(weighting) - weighted).abs() < 1e-12,
                    "{law:?}"
                );
                assert!(law.linear >= 0.0 && law.quadratic >= 0.0);
            }
        }
    }

    #[test]
    fn generic_equipment_of_any_size_can_be_fitted() {
        use crate::coupling::{PvInverter, StorageUnit};
        use crate::household::{AcSide, PvInverterId, StorageId};
        for rated_w in [300.0, 1000.0, 5000.0, 30_000.0] {
            let pv = PvInverter::generic(
                PvInverterId(1),
                String::new(),
                AcSide::GridSide,
                1.2 * rated_w,
            );
            assert!(LossLaw::fit(&pv.efficiency, pv.rated_w).is_ok());
            let unit = StorageUnit::generic(
                StorageId(1),
                String::new(),
                AcSide::BackedUp,
                rated_w,
                10_000.0,
            );
            assert!(LossLaw::fit(&unit.inverter.efficiency, unit.inverter.rated_w).is_ok());
        }
    }

    #[test]
    fn figures_that_contradict_each_other_are_refused_with_what_would_be_right() {
        let figures = ConverterEfficiency {
            peak: 0.97,
            weighted: 0.969,
            weighting: Weighting::European,
            no_load_w: 50.0,
        };
        let Err(FitProblem::WeightedTooHigh { most }) = LossLaw::fit(&figures, 5000.0) else {
            panic!("fitted")
        };
        assert!(
            LossLaw::fit(
                &ConverterEfficiency {
                    weighted: most - 1e-6,
                    ..figures
                },
                5000.0
            )
            .is_ok()
        );
        let figures = ConverterEfficiency {
            no_load_w: 500.0,
            ..figures
        };
        assert!(matches!(
            LossLaw::fit(&figures, 5000.0),
            Err(FitProblem::NoLoadTooHigh { .. })
        ));
    }
}
