//! What a rule of own hours does in the parts of a day, and the windows that come of it.

use super::optimum::{ByHour, Optimum};
use crate::bill::{DayKind, Tariff, Window};
use crate::coupling::{OwnHours, WindowAim};
use crate::running::{PriceRank, by_kind_of_day, in_runs, rank_windows};

/// An hour is one of selling or charging if the optimum moves at least this share of its busiest hour's energy in it.
const BUSY: f64 = 0.3;

/// Parts of a day that own hours tell apart. In all other hours, the dear ones among them, the battery gives to the loads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Part {
    /// The hours in which the optimum sells out of the battery. Where they hold no other part does.
    Selling,
    /// The lowest price of the day; under one price the hours in which the optimum charges from the grid.
    Cheap,
    /// Neither the lowest nor the highest price of the day.
    Middle,
}

/// What the storage does in each part; none: as outside all windows.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct DayPlan {
    pub(super) selling: Option<WindowAim>,
    pub(super) cheap: Option<WindowAim>,
    pub(super) middle: Option<WindowAim>,
}

impl DayPlan {
    /// The plan as windows that hold in these months only.
    pub(super) fn windows(&self, parts: &[(Part, Window)], months: [bool; 12]) -> Vec<OwnHours> {
        let own = |(part, window): &(Part, Window)| {
            let aim = match part {
                Part::Selling => self.selling,
                Part::Cheap => self.cheap,
                Part::Middle => self.middle,
            }?;
            let mut window = *window;
            for (of_window, wanted) in window.months.iter_mut().zip(months) {
                *of_window &= wanted;
            }
            let holds = window.months.contains(&true);
            holds.then_some(OwnHours { window, aim })
        };
        parts.iter().filter_map(own).collect()
    }
}

/// The parts of the days of a tariff with the windows in which they lie; the first that holds counts.
pub(super) fn parts(tariff: &Tariff, optimum: &Optimum) -> Vec<(Part, Window)> {
    let mut parts = busy_windows(&optimum.battery_export_by_hour, Part::Selling);
    let charging = busy_windows(&optimum.grid_charge_by_hour, Part::Cheap);
    for (rank, window) in rank_windows(tariff) {
        match rank {
            PriceRank::Cheap => parts.push((Part::Cheap, window)),
            PriceRank::Middle => parts.push((Part::Middle, window)),
            PriceRank::Dear => {}
            // One price all day long.
            PriceRank::Flat => parts.extend(charging.iter().filter_map(|(part, hours)| {
                let days = days_of_both(hours.days, window.days)?;
                let months = window.months;
                Some((
                    *part,
                    Window {
                        months,
                        days,
                        ..*hours
                    },
                ))
            })),
        }
    }
    parts
}

/// Hours of all months in which much of the energy is moved.
fn busy_windows(by_hour: &ByHour, part: Part) -> Vec<(Part, Window)> {
    let runs = |by_hour_wh: &[f64; 24]| {
        let most_wh = by_hour_wh.iter().copied().fold(0.0, f64::max);
        let busy = |energy_wh: f64| energy_wh > 0.0 && energy_wh >= BUSY * most_wh;
        let hours = (0..24_u32)
            .zip(by_hour_wh)
            .filter(|(_, energy_wh)| busy(**energy_wh));
        in_runs(hours.map(|(hour, _)| (part, f64::from(hour), f64::from(hour + 1))))
    };
    by_kind_of_day(
        &runs(&by_hour.weekdays_wh),
        &runs(&by_hour.weekends_wh),
        [true; 12],
    )
}

/// The days that are of both kinds; none: no day is.
fn days_of_both(one: DayKind, other: DayKind) -> Option<DayKind> {
    match (one, other) {
        (DayKind::All, days) | (days, DayKind::All) => Some(days),
        (one, other) => (one == other).then_some(one),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn busy_hours_in_a_row_are_one_window_and_few_ones_are_left_out() {
        let mut by_hour = ByHour::default();
        for (hour, energy_wh) in [(0, 40.0), (1, 10.0), (18, 100.0), (19, 90.0), (23, 50.0)] {
            by_hour.weekdays_wh[hour] = energy_wh;
            by_hour.weekends_wh[hour] = energy_wh;
        }
        by_hour.weekends_wh[19] = 0.0;
        let told: Vec<_> = busy_windows(&by_hour, Part::Selling)
            .iter()
            .map(|(_, window)| (window.days, window.from_h, window.to_h))
            .collect();
        assert_eq!(
            told,
            [
                (DayKind::All, 23.0, 1.0),
                (DayKind::Weekdays, 18.0, 20.0),
                (DayKind::WeekendsAndHolidays, 18.0, 19.0),
            ]
        );
        assert!(busy_windows(&ByHour::default(), Part::Selling).is_empty());
    }

    #[test]
    fn a_plan_holds_in_its_months() {
        let window = Window {
            months: [true; 12],
            days: DayKind::All,
            from_h: 1.0,
            to_h: 5.0,
        };
        let parts = [(Part::Cheap, window), (Part::Middle, window)];
        let plan = DayPlan {
            cheap: Some(WindowAim::Charge { to_soc: 0.6 }),
            ..DayPlan::default()
        };
        let mut january = [false; 12];
        january[0] = true;
        let windows = plan.windows(&parts, january);
        assert_eq!(windows.len(), 1);
        assert_eq!(windows[0].window.months, january);
        assert!(plan.windows(&parts, [false; 12]).is_empty());
    }
}
