//! Places of ticks along an axis.

/// An axis from 0 to `most` with a tick at every `step`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Axis {
    pub(crate) most: f64,
    pub(crate) step: f64,
}

impl Axis {
    /// An axis that reaches `value` with about `ticks` ticks at 1, 2 or 5 times a power of ten. It ends on a quarter of a step, so that the
    /// greatest value never touches the frame; without a value it ends at 1.
    pub(crate) fn reaching(value: f64, ticks: f64) -> Self {
        let value = if value.is_finite() && value > 0.0 {
            value
        } else {
            1.0
        };
        let rough = value / ticks.max(1.0);
        let decade = 10f64.powf(rough.log10().floor());
        let step = [1.0, 2.0, 5.0, 10.0]
            .into_iter()
            .map(|factor| factor * decade)
            .find(|step| *step >= rough * 0.999)
            .unwrap_or(10.0 * decade);
        let quarter = step / 4.0;
        Self {
            most: (value * 1.02 / quarter).ceil() * quarter,
            step,
        }
    }

    /// The ticks above 0.
    pub(crate) fn ticks(self) -> impl Iterator<Item = f64> {
        (1u32..1000)
            .map(move |count| f64::from(count) * self.step)
            .take_while(move |tick| *tick <= self.most * (1.0 + 1e-9))
    }

    /// Decimals that tell neighbouring ticks apart.
    pub(crate) fn decimals(self) -> u8 {
        [1.0, 10.0, 100.0]
            .into_iter()
            .zip([0, 1, 2])
            .find(|(factor, _)| {
                let scaled = self.step * factor;
                (scaled - scaled.round()).abs() < 1e-6
            })
            .map_or(3, |(_, decimals)| decimals)
    }
}

/// Hours between two labels on a day of `width_px`, so that they stand at least 36 px apart.
pub(crate) fn hours_between(width_px: f64) -> u32 {
    [1, 2, 3, 6]
        .into_iter()
        .find(|hours| width_px / 24.0 * f64::from(*hours) >= 36.0)
        .unwrap_or(12)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_the_value_has_air_above_it() {
        let axis = Axis::reaching(6.9, 3.0);
        assert_eq!(
            axis,
            Axis {
                most: 7.5,
                step: 5.0
            }
        );
        assert_eq!(axis.ticks().collect::<Vec<_>>(), vec![5.0]);
        let axis = Axis::reaching(5.9, 3.0);
        assert_eq!(axis.ticks().collect::<Vec<_>>(), vec![2.0, 4.0, 6.0]);
        assert!(axis.most > 5.9);
    }

    #[test]
    fn an_axis_without_values_still_is_one() {
        for value in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            let axis = Axis::reaching(value, 3.0);
            assert!(axis.most >= 1.0 && axis.ticks().count() >= 1);
        }
    }

    #[test]
    fn decimals_tell_ticks_apart() {
        assert_eq!(
            Axis {
                most: 1.0,
                step: 0.2
            }
            .decimals(),
            1
        );
        assert_eq!(
            Axis {
                most: 10.0,
                step: 5.0
            }
            .decimals(),
            0
        );
        assert_eq!(
            Axis {
                most: 0.1,
                step: 0.05
            }
            .decimals(),
            2
        );
    }

    #[test]
    fn hours_thin_out_on_a_narrow_day() {
        assert_eq!(hours_between(1000.0), 1);
        assert_eq!(hours_between(773.0), 2);
        assert_eq!(hours_between(320.0), 3);
        assert_eq!(hours_between(100.0), 12);
    }
}
