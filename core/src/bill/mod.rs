//! The electricity bill: a tariff as data, and what a year at the meter costs under it, month by month and line by line.

mod clock;
mod energy;
mod hourly_file;
mod kind;
mod month;
mod prices;
mod season;
mod settle;
mod tariff;
mod zones;

pub use clock::{BadClock, Clock, StepTime};
pub use energy::{MonthEnergy, month_energies};
pub use hourly_file::read_hourly_prices;
pub use kind::{TariffKind, example_tariffs};
pub use month::{Bill, BillError, Line, LineKind, Meter, MonthBill, bill};
pub use prices::{DemandSteps, StepPrices, demand_steps, step_prices};
pub use season::{PriceRun, Season, seasons};
pub use settle::energy_cur;
pub use tariff::{
    CarryOver, DayKind, DemandCharge, Export, ExportPrice, Holiday, Period, Surplus, Tariff, TaxOn,
    Tier, TiersBy, Window,
};
pub use zones::{CLOCK_RULES, ClockRule, clock_rule_of_zone};
