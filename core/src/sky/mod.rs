//! Where the sun stands and what light reaches a tilted plane: sun positions, light above and below the air, its split into
//! beam and diffuse, the sky models, and what stands between a plane and the sky.

mod atmosphere;
mod clear_sky;
mod extraterrestrial;
mod obstruction;
mod plane;
mod position;
mod split;
mod table;
mod time_grid;

pub use atmosphere::{absolute_air_mass, refraction_rad, relative_air_mass, standard_pressure_pa};
pub use clear_sky::{ClearAir, ClearSky, haurwitz_ghi_w_m2};
pub use extraterrestrial::{
    cooper_declination_rad, daily_extraterrestrial_wh_m2, extraterrestrial_between_wh_m2,
    extraterrestrial_normal_w_m2, global_over_diffuse_share, hourly_share_of_diffuse,
    hourly_share_of_global, spencer_declination_rad, spencer_distance_factor,
    sunset_hour_angle_rad,
};
pub use obstruction::{Horizon, HorizonPoint, ShadeTable, SkyModel, Skyline};
pub use plane::{Light, OnPlane, Plane, Transposition};
pub use position::{Location, Moment, Observer, SunPosition, sun_position};
pub use split::{
    Split, erbs_daily_diffuse_share, erbs_diffuse_share, erbs_monthly_diffuse_share, erbs_split,
};
pub use table::{DELTA_T_S, Direction, Sun, SunTable};
pub use time_grid::{
    DAYS_PER_YEAR, REFERENCE_YEAR, TimeGrid, days_of_month, first_day_of_month, month_of_day,
};
