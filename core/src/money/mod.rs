//! What a project costs and brings over the years: cash flow, payback, net present value, internal rate of return, levelised
//! cost of stored energy. No figure is a promise.

mod amount;
mod cash_flow;
mod loan;
mod measure;

pub use amount::{MinorUnit, Money};
pub use cash_flow::{
    CashFlow, CostLine, Incentive, IncentiveKind, Project, Rates, Replacement, YearRow, YearYield,
    cash_flow,
};
pub use loan::{Due, Loan};
pub use measure::{
    Irr, discounted, growing_annuity_cur, irr, levelised_cost_cur_per_unit, net_present_value_cur,
    payback_first_years, payback_last_years,
};
