//! Rows of money: costs, lives, rates, incentives, a loan. Defaults of costs are placeholders, see [`crate::outlook`].

use super::{Limit, Unit, rows};

const CHOSEN: &str = "Chosen as a starting value; nothing stands behind it but its size.";
const PLACEHOLDER: &str = "An invented round figure that holds a place; it is no price.";

rows! {
    ARRAY_FIRST_CUR: "Array.first_cur", "cost of the array", Cur, 0.0 to 1000000000000.0, 5000.0, PLACEHOLDER;
    CONVERTER_FIRST_CUR: "ConverterCosts.first_cur", "cost of the inverter", Cur, 0.0 to 1000000000000.0, 1000.0, PLACEHOLDER;
    CONVERTER_AGAIN_CUR: "ConverterCosts.again_cur", "cost of another inverter later", Cur, 0.0 to 1000000000000.0, 1000.0, PLACEHOLDER;
    CONVERTER_LIFE_YEARS: "ConverterCosts.life_years", "years until the inverter is replaced", Years, 1.0 to 50.0, 12.0, "Common practice: power electronics outdoors or in a garage, 10 to 15 years.";
    BATTERY_FIRST_CUR: "BatteryCosts.first_cur", "cost of the battery", Cur, 0.0 to 1000000000000.0, 5000.0, PLACEHOLDER;
    BATTERY_AGAIN_CUR: "BatteryCosts.again_cur", "cost of another battery later", Cur, 0.0 to 1000000000000.0, 5000.0, PLACEHOLDER;
    BATTERY_FULL_CYCLES: "BatteryAgeing.full_cycles", "full cycles until the end of life", Count, 100.0 to 100000.0, 4000.0, "From memory: lithium iron phosphate, 3,000 to 6,000 and more at 30 °C.";
    BATTERY_FIRST_YEAR_LOSS: "BatteryAgeing.first_year_loss", "loss by time in the first year at 25 °C", Share, 0.0 to 0.2, 0.02, "From memory: near 2 % for lithium iron phosphate.";
    BATTERY_END_OF_LIFE: "BatteryAgeing.end_of_life", "energy left at the end of life", Share, 0.5 to 0.95, 0.8, "Common practice: a battery is replaced when 80 % is left.";
    OPTION_WORK_CUR: "OptionCosts.work_cur", "work, wiring and small parts", Cur, 0.0 to 1000000000000.0, 2000.0, PLACEHOLDER;
    OPTION_UPKEEP_CUR_PER_YEAR: "OptionCosts.upkeep_cur_per_year", "upkeep", CurPerYear, 0.0 to 1000000000000.0, 100.0, PLACEHOLDER;
    OTHER_FIRST_CUR: "OtherCost.first_cur", "cost", Cur, -1000000000000.0 to 1000000000000.0, 0.0, CHOSEN;

    FINANCE_YEARS: "Finance.years", "years looked at", Years, 1.0 to 40.0, 20.0, CHOSEN;
    FINANCE_DISCOUNT_RATE: "Finance.discount_rate", "discount rate", Share, -0.05 to 0.3, 0.04, CHOSEN;
    FINANCE_ENERGY_PRICE_GROWTH: "Finance.energy_price_growth", "growth of energy prices in a year", Share, -0.1 to 0.2, 0.02, CHOSEN;
    FINANCE_PRICE_GROWTH: "Finance.price_growth", "growth of other prices in a year", Share, -0.1 to 0.2, 0.02, CHOSEN;
    FINANCE_ARRAY_FADE_PER_YEAR: "Finance.array_fade_per_year", "power that arrays lose in a year", Share, 0.0 to 0.05, 0.005, "Jordan & Kurtz, Prog. Photovolt. 21 (2013) 12-29: median of about 2,000 rates, 0.5 % a year.";
    INCENTIVE_FIXED_CUR: "IncentiveAmount.fixed.fixed_cur", "amount", Cur, 0.0 to 1000000000000.0, 1000.0, CHOSEN;
    INCENTIVE_SHARE: "IncentiveAmount.share.share", "share of what is still to pay", Share, 0.0 to 1.0, 0.1, CHOSEN;
    INCENTIVE_MOST_CUR: "IncentiveAmount.share.most_cur", "most that is given", Cur, 0.0 to 1000000000000.0, 5000.0, CHOSEN;
    INCENTIVE_YEAR: "IncentiveAmount.share.year", "year at whose end it comes, 0 for the start", Years, 0.0 to 40.0, 0.0, CHOSEN;
    INCENTIVE_YEARLY_CUR: "IncentiveAmount.yearly.yearly_cur", "amount in a year", CurPerYear, 0.0 to 1000000000000.0, 100.0, CHOSEN;
    INCENTIVE_YEARS: "IncentiveAmount.yearly.years", "years in which it comes", Years, 1.0 to 40.0, 10.0, CHOSEN;
    LOAN_SHARE: "LoanTerms.share", "share that is lent", Share, 0.0 to 1.0, 0.8, CHOSEN;
    LOAN_RATE_PER_YEAR: "LoanTerms.rate_per_year", "interest in a year", Share, 0.0 to 0.5, 0.05, CHOSEN;
    LOAN_YEARS: "LoanTerms.years", "years in which the loan is paid back", Years, 1.0 to 40.0, 10.0, CHOSEN;
}
