//! What is said of the best possible, in plain and in trade words.

use couplet_core::foresight::{Foresight, Simplified};

use crate::format;
use crate::words::Level;

/// Name of the row without batteries.
pub(crate) const WITHOUT: &str = "without a battery";
/// Name of the row of the rule in use.
pub(crate) const RULE: &str = "the rule in use";

fn at(level: Level, plain: &'static str, trade: &'static str) -> &'static str {
    match level {
        Level::Plain => plain,
        Level::Trade => trade,
    }
}

/// How much of the possible saving the rule reaches.
pub(crate) fn sentence(found: &Foresight, level: Level) -> String {
    match found.rule.share {
        None => at(
            level,
            "Under these prices a battery can save nothing, however it is run.",
            "Storage saves nothing here: the optimum costs as much as no storage.",
        )
        .to_owned(),
        Some(share) if share < 0.0 => at(
            level,
            "With this rule the battery costs more at the meter than it saves.",
            "Under this rule storage raises the cost at the meter.",
        )
        .to_owned(),
        Some(share) => {
            let share = format::percent(share, 0).text();
            match level {
                Level::Plain => {
                    format!("This running rule reaches {share} of what any controller could save.")
                }
                Level::Trade => {
                    format!("This running rule reaches {share} of the perfect-foresight saving.")
                }
            }
        }
    }
}

/// Heads of the table.
pub(crate) fn heads(level: Level) -> [&'static str; 4] {
    [
        "run by",
        at(level, "energy costs in a year", "energy cost per year"),
        at(
            level,
            "saved against no battery",
            "saving against no storage",
        ),
        at(level, "of what is possible", "share of the optimum"),
    ]
}

/// Name of the row of the best simple rule.
pub(crate) fn simple(level: Level) -> &'static str {
    at(level, "the best simple rule", "best rule of those tried")
}

/// Name of the row of the day-ahead plan.
pub(crate) fn day_ahead(level: Level) -> &'static str {
    at(
        level,
        "a plan from a forecast",
        "day-ahead plan (yesterday\u{2019}s load, usual sun)",
    )
}

/// Name of the row of the optimum.
pub(crate) fn optimum(level: Level) -> &'static str {
    at(level, "everything known beforehand", "perfect foresight")
}

/// How well the optimum is known.
pub(super) fn gap(amount: &str, level: Level) -> String {
    match level {
        Level::Plain => format!(
            "The best way of running that was found costs {amount} more than what is shown as best; the true best lies between the two."
        ),
        Level::Trade => format!("Duality gap {amount}: the optimum shown is the lower bound."),
    }
}

/// Label of the switch that lays the optimum over the day.
pub(crate) fn on_day(level: Level) -> &'static str {
    at(
        level,
        " show on the day how it would run the battery",
        " optimum on the day chart",
    )
}

/// That no rule that was tried is cheaper.
pub(crate) fn rule_is_best(tried: usize, level: Level) -> String {
    match level {
        Level::Plain => {
            format!(
                "Of {tried} simple rules tried, the one in use costs least. All keep the reserve for outages."
            )
        }
        Level::Trade => {
            format!("The rule in use is the cheapest of {tried} tried at this reserve.")
        }
    }
}

/// What goes before the words of the best simple rule.
pub(crate) fn simple_is(tried: usize, level: Level) -> String {
    match level {
        Level::Plain => {
            format!(
                "Of {tried} simple rules tried, with the same reserve for outages, this costs least:"
            )
        }
        Level::Trade => format!("Cheapest of {tried} rules tried at this reserve:"),
    }
}

/// What the best rule without new hours reaches, where new hours are what makes the best rule better.
pub(super) fn without_new_hours(share: f64, level: Level) -> String {
    let share = format::percent(share, 0).text();
    match level {
        Level::Plain => format!("Without setting hours of your own the best rule reaches {share}."),
        Level::Trade => format!("The best rule without windows of its own reaches {share}."),
    }
}

/// What folds open on other reserves.
pub(super) fn reserves(level: Level) -> &'static str {
    at(
        level,
        "What keeping more or less for outages costs",
        "This rule at other reserves",
    )
}

/// Heads of the table of reserves.
pub(super) fn reserve_heads(level: Level) -> [&'static str; 3] {
    [
        at(level, "kept for outages", "reserve"),
        at(level, "energy costs in a year", "energy cost per year"),
        at(
            level,
            "than with the reserve as it is",
            "against the reserve as set",
        ),
    ]
}

/// On which side the simplifications err.
pub(crate) fn direction(level: Level) -> &'static str {
    at(
        level,
        "Each of these makes the best possible a little cheaper than the equipment can do, so rules are somewhat better than their percentages say. Fixed charges and a tax on what is to pay are left out for all alike, which does not change the shares; a tax on what is bought is in the prices.",
        "Each is a relaxation: the optimum is a lower bound of the cost and the shares are lower bounds. Fixed charges and a tax on the net bill are left out on all sides alike, which leaves the shares as they are; a tax on purchases is in the prices.",
    )
}

/// A simplification in words.
pub(crate) fn simplified(what: Simplified, level: Level) -> &'static str {
    match what {
        Simplified::ConverterLoss => at(
            level,
            "Inverter losses follow straight lines just below the true ones.",
            "Converter loss: tangent below the quadratic loss law.",
        ),
        Simplified::EndState => at(
            level,
            "At the end of the year the battery may be used up down to its reserve.",
            "Final state of charge is free down to the reserve.",
        ),
        Simplified::UnitsPooled => at(
            level,
            "All batteries count as one, with the best efficiency of any.",
            "Storage units are pooled at the best of their efficiencies.",
        ),
        Simplified::Taper => at(
            level,
            "Charging does not slow down toward full.",
            "No constant-voltage taper.",
        ),
        Simplified::SelfDischarge => at(
            level,
            "Stored energy does not fade by itself.",
            "No self-discharge.",
        ),
        Simplified::ColdBattery => at(
            level,
            "The battery may be charged in any cold.",
            "No low-temperature charging limit.",
        ),
        Simplified::StartAtReserve => at(
            level,
            "The year begins with the reserve already in the battery.",
            "Initial state of charge is raised to the reserve.",
        ),
        Simplified::Transfer => at(
            level,
            "The transfer switch carries any power.",
            "No transfer-switch limit.",
        ),
        Simplified::FreePvLimiting => at(
            level,
            "Solar inverters without a command give up just what is above the export limit.",
            "Uncommanded PV is throttled without loss at the export limit.",
        ),
        Simplified::SellingDearer => at(
            level,
            "At times selling pays more than buying costs; there the best possible is only bounded.",
            "Steps with a selling price above the buying price: convex envelope.",
        ),
        Simplified::IntervalMeans => at(
            level,
            "Within each interval over which power is charged everything runs evenly.",
            "Means of the demand interval.",
        ),
        Simplified::DemandCharges => at(
            level,
            "Some charges on the highest power are paid by the rules but not by the best possible.",
            "Demand charges at other hours are left out of the optimum, not of the rules.",
        ),
        Simplified::Tiers => at(
            level,
            "Tiers whose price falls with use count at their lowest price to come.",
            "Falling or unlike tiers are replaced by their convex lower bound.",
        ),
        Simplified::NetMetering => at(
            level,
            "Surplus that is paid out above the price of energy counts as sold at once.",
            "Cash-out above the energy price: netting is replaced by immediate sale.",
        ),
        Simplified::MinimumCharge => at(
            level,
            "The minimum charge of a month is left out for all.",
            "No minimum charge, on either side.",
        ),
        Simplified::LostCredit => at(
            level,
            "Credit counts even where some would be lost at the end of the year, for all.",
            "Forfeited credit counts in full, on either side.",
        ),
    }
}
