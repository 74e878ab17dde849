//! Closed forms by day and hour against `decomposition_daily.csv`: textbook formulas computed independently, and worked
//! examples of Duffie & Beckman, Solar Engineering of Thermal Processes, 4th ed. 2013.

use couplet_core::sky::{
    cooper_declination_rad, daily_extraterrestrial_wh_m2, erbs_daily_diffuse_share,
    erbs_monthly_diffuse_share, extraterrestrial_between_wh_m2, hourly_share_of_diffuse,
    hourly_share_of_global, sunset_hour_angle_rad,
};
use couplet_tests::{Table, Tolerance, assert_within};

/// Closed forms: only rounding differs.
const CLOSED_FORM: Tolerance = Tolerance::either(1e-10, 1e-14);

#[test]
fn closed_forms_by_day_and_hour_match_independent_values() {
    let table = Table::reference("decomposition_daily.csv");
    for row in table.rows() {
        let place = row.place();
        let check = |computed: f64, column: &str| {
            if let Some(expected) = row.number(column) {
                assert_within(
                    computed,
                    expected,
                    CLOSED_FORM,
                    &format!("{place} {column}"),
                );
            }
        };
        let latitude_rad = row.given("latitude_deg").to_radians();
        let day = row.given("day_of_year");
        let declination_rad = cooper_declination_rad(day);
        let sunset_rad = sunset_hour_angle_rad(latitude_rad, declination_rad);
        check(declination_rad.to_degrees(), "declination_cooper_deg");
        check(sunset_rad.to_degrees(), "sunset_hour_angle_deg");
        let daily_wh_m2 = daily_extraterrestrial_wh_m2(day, latitude_rad, declination_rad);
        check(daily_wh_m2, "h0_Wh_m2_day");
        check(daily_wh_m2 * 0.0036, "h0_MJ_m2_day");
        if let (Some(from_deg), Some(to_deg)) = (
            row.number("hour_angle_start_deg"),
            row.number("hour_angle_end_deg"),
        ) {
            let between_wh_m2 = extraterrestrial_between_wh_m2(
                day,
                latitude_rad,
                declination_rad,
                from_deg.to_radians(),
                to_deg.to_radians(),
            );
            check(between_wh_m2 * 0.0036, "i0_MJ_m2");
        }
        if let Some(mid_deg) = row.number("hour_angle_mid_deg") {
            check(
                hourly_share_of_global(mid_deg.to_radians(), sunset_rad),
                "r_t",
            );
            check(
                hourly_share_of_diffuse(mid_deg.to_radians(), sunset_rad),
                "r_d",
            );
        }
        if let Some(clearness) = row.number("clearness_index") {
            check(
                erbs_daily_diffuse_share(clearness, sunset_rad),
                "diffuse_fraction_daily_erbs",
            );
            check(
                erbs_monthly_diffuse_share(clearness, sunset_rad),
                "diffuse_fraction_monthly_erbs",
            );
        }
    }
}
