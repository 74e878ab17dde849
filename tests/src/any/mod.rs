//! Random valid inputs, drawn from the rows of the limits.

mod coupling;
mod electrical;
mod household;
mod island;
mod loads;
mod money;
mod number;
mod site;
mod storage;
mod tariff;

pub use coupling::{any_option, any_own_hours, any_running};
pub use electrical::{
    any_array_electrical, any_home_circuits, any_household_electrical, any_parallel_laying,
    any_pv_inverter_electrical, any_storage_electrical, any_wiring,
};
pub use household::any_household;
pub use island::{
    any_generator, any_grid_code, any_island_means, any_island_running, any_limiting, any_start,
    any_surge,
};
pub use loads::{any_device, any_loads};
pub use money::{
    any_array_cost, any_battery_ageing, any_battery_costs, any_converter_costs, any_finance,
    any_option_costs,
};
pub use number::any_number;
pub use site::{any_service, any_site};
pub use storage::{any_battery, any_storage_unit};
pub use tariff::any_tariff;
