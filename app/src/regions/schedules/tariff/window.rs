//! Hours, days and months at which something holds.

use couplet_core::bill::{DayKind, Window};
use couplet_core::limits;
use leptos::prelude::*;

use super::MonthTicks;
use crate::regions::schedules::Details;
use crate::regions::schedules::row::Row;
use crate::words::Word;

/// Kinds of day as a menu.
const DAYS: [(DayKind, &str); 3] = [
    (DayKind::All, "every day"),
    (DayKind::Weekdays, "Monday to Friday"),
    (DayKind::WeekendsAndHolidays, "weekends and holidays"),
];

/// A window that holds every day from the usual first hour to the usual last one.
pub(in crate::regions::schedules) fn usual_window() -> Window {
    Window {
        months: [true; 12],
        days: DayKind::All,
        from_h: limits::WINDOW_FROM_H.default,
        to_h: limits::WINDOW_TO_H.default,
    }
}

/// The fields of a window.
pub(in crate::regions::schedules) fn window_fields(row: &Row<Window>) -> AnyView {
    let (row, desk) = (row.clone(), row.desk);
    view! {
        {row.quantity(&limits::WINDOW_FROM_H, |window| window.from_h, |window, value| window.from_h = value)}
        {row.quantity(&limits::WINDOW_TO_H, |window| window.to_h, |window, value| window.to_h = value)}
        {row.choice("days", "days", &DAYS, |window| window.days, |window, days| window.days = days)}
        <Details clone:row desk title=Word::Season>
            <MonthTicks row=row.clone() get=|window| window.months set=|window, months| window.months = months />
        </Details>
    }
    .into_any()
}
