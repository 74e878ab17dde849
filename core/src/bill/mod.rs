//! The electricity bill: a tariff as data, and what a year at the meter costs under it, month by month and line by line.

mod clock;
mod energy;
mod month;
mod prices;
mod tariff;

pub use clock::{BadClock, Clock, StepTime};
pub use month::{Bill, BillError, Line, LineKind, Meter, MonthBill, bill};
pub use prices::{StepPrices, step_prices};
pub use tariff::{
    CarryOver, DayKind, DemandCharge, Export, ExportPrice, Holiday, Period, Surplus, Tariff, Tier,
    Window,
};
