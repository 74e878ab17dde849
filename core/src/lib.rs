//! Couplet's calculation: which array joins where, and what follows from it.

pub mod ageing;
pub mod array;
pub mod battery;
pub mod best;
pub mod bill;
pub mod calendar;
pub mod check;
pub mod climate;
pub mod converter;
pub mod coupling;
pub mod document;
pub mod drawing;
pub mod export_control;
pub mod findings;
pub mod household;
pub mod island;
pub mod limits;
pub mod loads;
pub mod maths;
pub mod money;
pub mod outage;
pub mod rules;
pub mod running;
pub mod seconds;
pub mod sky;
pub mod year;
