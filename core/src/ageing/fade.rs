//! Loss of capacity by cycles and by time.

use serde::{Deserialize, Serialize};

use crate::coupling::BatteryAgeing;
use crate::maths::interpolate;

use super::rainflow::{Cycle, cycles};

/// How many cycles of one depth a battery lasts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CyclePoint {
    /// Depth of discharge of the cycle, share of the capacity, above 0 to 1.
    pub depth: f64,
    /// Whole cycles of this depth until the end of life, above 0.
    pub cycles: f64,
}

/// What time takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CalendarLaw {
    /// Share of the capacity lost in the first year at the reference temperature, 0 to 1.
    pub first_year: f64,
    /// Reference temperature, °C.
    pub reference_c: f64,
    /// Activation energy over the gas constant, K: how steeply warmth hastens it. 0: not at all.
    pub activation_k: f64,
}

/// How a battery ages.
#[derive(Clone, Debug, PartialEq)]
pub struct Ageing {
    /// Cycle life by depth, in rising order of depth; none: cycles take nothing.
    pub cycle_life: Vec<CyclePoint>,
    /// What time takes.
    pub calendar: CalendarLaw,
    /// Share of the capacity that is left at the end of life, such as 0.8.
    pub end_of_life: f64,
}

/// What one year does to a battery.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Wear {
    /// Share of its cycle life that a year of these cycles uses up.
    pub cycle_life_share: f64,
    /// Energy moved, in whole cycles of the full capacity.
    pub equivalent_full_cycles: f64,
    /// Depth of the deepest cycle, share of the capacity.
    pub deepest: f64,
    /// How much faster than at the reference temperature time takes its share.
    pub warmth: f64,
}

/// How long a battery lasts when every year is the same.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Life {
    /// Share of the capacity left at the end of each year, the first one first; it stops at the end of life.
    pub left: Vec<f64>,
    /// Years until the end of life; none: not within the years asked for.
    pub years: Option<f64>,
}

impl Default for Ageing {
    /// A generic lithium iron phosphate battery: see [`BatteryAgeing`].
    fn default() -> Self {
        Self::from(&BatteryAgeing::default())
    }
}

impl From<&BatteryAgeing> for Ageing {
    /// A lithium battery of which three figures are known.
    ///
    /// Common practice: the fade of the life is spread evenly over the cycles. Shallower cycles last longer with the
    /// power 1.1 of the depth, in the middle of published curves for lithium cells. From memory: 24.5 kJ/mol.
    fn from(known: &BatteryAgeing) -> Self {
        let at = |depth: f64| CyclePoint {
            depth,
            cycles: known.full_cycles * libm::pow(depth, -1.1),
        };
        Self {
            cycle_life: [0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0]
                .map(at)
                .to_vec(),
            calendar: CalendarLaw {
                first_year: known.first_year_loss,
                reference_c: 25.0,
                activation_k: 2950.0,
            },
            end_of_life: known.end_of_life,
        }
    }
}

impl Ageing {
    /// What a year does: its states of charge (0 to 1, at equal steps) and its battery temperatures, °C, one per step or fewer
    /// spread evenly over the year. No temperature: the reference temperature.
    #[must_use]
    pub fn wear(&self, soc: &[f64], battery_c: &[f64]) -> Wear {
        let counted = cycles(soc.iter().copied());
        Wear {
            cycle_life_share: self.cycle_life_share(&counted),
            equivalent_full_cycles: counted.iter().map(|cycle| cycle.count * cycle.range).sum(),
            deepest: counted.iter().map(|cycle| cycle.range).fold(0.0, f64::max),
            warmth: self.calendar.warmth(battery_c),
        }
    }

    /// Share of the cycle life that these cycles use up: each one over the number of its depth that a battery lasts.
    ///
    /// Source: Palmgren (1924) and Miner, J. Appl. Mech. 12 (1945) A159-A164: linear damage.
    #[must_use]
    pub fn cycle_life_share(&self, counted: &[Cycle]) -> f64 {
        counted
            .iter()
            .map(|cycle| cycle.count / self.cycles_to_end(cycle.range))
            .sum()
    }

    /// Whole cycles of a depth until the end of life; infinite without a curve or at depth 0.
    ///
    /// Between the points the curve is straight in logarithms of depth and number; beyond them it goes on in the direction of
    /// the last two, and a single point means equal energy for all depths.
    #[must_use]
    pub fn cycles_to_end(&self, depth: f64) -> f64 {
        let sound = |point: &CyclePoint| point.depth > 0.0 && point.cycles > 0.0;
        let points: Vec<(f64, f64)> = self
            .cycle_life
            .iter()
            .filter(|point| sound(point))
            .map(|point| (libm::log(point.depth), libm::log(point.cycles)))
            .collect();
        if depth.is_nan() || depth <= 0.0 || points.is_empty() {
            return f64::INFINITY;
        }
        let x = libm::log(depth);
        let along =
            |(x0, y0): (f64, f64), (x1, y1): (f64, f64)| y0 + (y1 - y0) * (x - x0) / (x1 - x0);
        let logarithm = match points[..] {
            [(x0, y0)] => y0 - (x - x0),
            [first, second, ..] if x < first.0 => along(first, second),
            [.., second, last] if x > last.0 => along(second, last),
            _ => {
                let (xs, ys): (Vec<f64>, Vec<f64>) = points.into_iter().unzip();
                interpolate(x, &xs, &ys)
            }
        };
        libm::exp(logarithm)
    }
}

impl CalendarLaw {
    /// How much faster than at the reference temperature time takes its share, mean over the temperatures.
    ///
    /// Source: Arrhenius, Z. phys. Chem. 4 (1889) 226-248.
    #[must_use]
    pub fn warmth(&self, battery_c: &[f64]) -> f64 {
        const ZERO_C_IN_K: f64 = 273.15;
        let reference_k = self.reference_c + ZERO_C_IN_K;
        let mut sum = 0.0;
        let mut count = 0.0;
        for battery_c in battery_c
            .iter()
            .filter(|battery_c| **battery_c > -ZERO_C_IN_K)
        {
            let battery_k = battery_c + ZERO_C_IN_K;
            sum += libm::exp(self.activation_k * (1.0 / reference_k - 1.0 / battery_k));
            count += 1.0;
        }
        if count > 0.0 { sum / count } else { 1.0 }
    }
}

/// Capacity left year by year, and how long it lasts, up to `most_years`.
///
/// `Q(t) = 1 - a √(w t) - b t`, with `a` the first year's loss by time, `w` the [`Wear::warmth`] and `b` the share of the fade
/// to the end of life that a year's cycles use up. The warmth stands under the root because it speeds up the reaction that the
/// root describes (diffusion through a growing layer), as if more time had passed.
///
/// Source: calendar fade with the root of time and cycle fade with throughput, Wang et al., J. Power Sources 196 (2011)
/// 3942-3948 and 269 (2014) 937-948; both are added as in common practice.
#[must_use]
pub fn life(ageing: &Ageing, wear: &Wear, most_years: usize) -> Life {
    let by_cycles = (1.0 - ageing.end_of_life) * wear.cycle_life_share;
    let by_time = ageing.calendar.first_year * wear.warmth.max(0.0).sqrt();
    let left_after = |years: f64| 1.0 - by_time * years.sqrt() - by_cycles * years;
    let mut left = Vec::new();
    let mut years = 0.0;
    while left.len() < most_years {
        years += 1.0;
        let share = left_after(years);
        if share.is_nan() || share <= ageing.end_of_life {
            break;
        }
        left.push(share);
    }
    let ends = left.len() < most_years;
    // With s = √t: b s² + a s = fade; this form of the root is free of cancellation and holds for b = 0.
    let fade = 1.0 - ageing.end_of_life;
    let root = 2.0 * fade / (by_time + (by_time * by_time + 4.0 * by_cycles * fade).sqrt());
    Life {
        left,
        years: (ends && root.is_finite()).then_some(root * root),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Standards sheet, section 7: `Q = 1 - 0.02 √years - 0.2/4000 EFC` with 250 full cycles a year gives
    /// 0.0125 t + 0.02 √t = 0.2, solved by hand: √t = (-0.02 + √(0.0004 + 0.01)) / 0.025 = 3.27922, t = 10.7533.
    #[test]
    fn years_to_80_percent_follow_root_of_time_and_throughput() {
        let ageing = Ageing::default();
        let wear = Wear {
            cycle_life_share: 250.0 / ageing.cycles_to_end(1.0),
            warmth: 1.0,
            ..Wear::default()
        };
        let life = life(&ageing, &wear, 40);
        assert!((life.years.unwrap() - 10.7533).abs() < 1e-4, "{life:?}");
        assert_eq!(life.left.len(), 10);
        assert!((life.left[3] - (1.0 - 0.04 - 0.05)).abs() < 1e-12);
    }

    #[test]
    fn cycle_life_is_straight_in_logarithms_within_and_beyond_its_points() {
        let ageing = Ageing {
            cycle_life: vec![
                CyclePoint {
                    depth: 0.1,
                    cycles: 40_000.0,
                },
                CyclePoint {
                    depth: 1.0,
                    cycles: 4000.0,
                },
            ],
            ..Ageing::default()
        };
        for (depth, cycles) in [(0.01, 4e5), (0.25, 16_000.0), (1.0, 4000.0), (2.0, 2000.0)] {
            assert!((ageing.cycles_to_end(depth) / cycles - 1.0).abs() < 1e-12);
        }
        assert_eq!(ageing.cycles_to_end(0.0), f64::INFINITY);
    }

    #[test]
    fn a_battery_that_neither_moves_nor_ages_has_no_end() {
        let ageing = Ageing {
            calendar: CalendarLaw {
                first_year: 0.0,
                reference_c: 25.0,
                activation_k: 0.0,
            },
            ..Ageing::default()
        };
        let still = life(&ageing, &ageing.wear(&[0.5; 8], &[]), 25);
        assert_eq!((still.left.len(), still.years), (25, None));
    }

    /// Arrhenius by hand: exp(2950 (1/298.15 - 1/308.15)) = exp(0.321092) = 1.378632.
    #[test]
    fn ten_kelvin_warmer_ages_faster() {
        let warmth = Ageing::default().calendar.warmth(&[35.0, 35.0]);
        assert!((warmth - 1.378_632).abs() < 1e-5, "{warmth}");
    }
}
