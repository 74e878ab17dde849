//! Couplet's calculation against values from outside: published examples and independent programs. One module per source;
//! the tables stand in `values/`, described in `values/README.md`.

mod array;
mod bills;
mod climate;
mod converter;
mod dispatch_limits;
mod dispatch_lp;
mod dispatch_plan;
mod dispatch_settled;
mod electrical_rules;
mod energy_cases;
mod extraterrestrial;
mod finance;
mod light;
mod own_hours;
mod rainflow;
mod sun_position;
mod tables_are_complete;
mod weather_file;
mod whole_year;
