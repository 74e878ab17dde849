//! The household that is timed: the demonstration, with climate as monthly means typed in, so that no climate grid is needed.

use couplet_core::climate::MonthlyClimate;
use couplet_core::document::demo;
use couplet_core::household::{ClimateSource, Household};

pub(crate) fn home() -> Household {
    let mut household = demo();
    household.site.climate = ClimateSource::Monthly(MonthlyClimate {
        ghi_wh_m2_day: [
            1900., 2700., 3700., 4700., 5600., 6100., 5900., 5300., 4300., 3100., 2000., 1600.,
        ],
        air_mean_c: [-2., 0., 5., 11., 17., 22., 24., 23., 19., 12., 6., 1.],
        air_range_k: [8., 9., 11., 12., 12., 11., 11., 11., 12., 12., 9., 8.],
        yearly_low_c: -20.0,
        yearly_high_c: 32.0,
    });
    household
}
