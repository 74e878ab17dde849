//! What must hold for any input.

mod best;
mod billed_runs;
mod bills;
mod common_practice;
mod day_balance;
mod drawing;
mod drills;
mod electrical_rules;
mod export_control;
mod findings;
mod finer_days;
mod foresight;
mod inputs;
mod islanded;
mod light;
mod loads;
mod metered_csv;
mod normal_running;
mod off_grid;
mod outage;
mod outlook;
mod parts_list;
mod problems;
mod seconds;
mod usage;
mod weather;
