//! Which unknown matters most.

use super::cash_flow::{CashFlow, Project, cash_flow};

/// A quantity that nobody knows beforehand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unknown {
    /// All costs at the start, as a multiple of those given.
    Costs,
    /// The first year's saving, as a multiple of the one given.
    Saving,
    /// Growth of the prices of energy, share per year.
    EnergyPriceGrowth,
    /// Growth of all other prices, share per year.
    PriceGrowth,
    /// Discount rate, share per year.
    DiscountRate,
    /// Loss of the saving by ageing, share per year.
    Fade,
    /// Upkeep and replacements, as a multiple of those given.
    Upkeep,
}

/// How far an unknown may lie off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// Which one.
    pub unknown: Unknown,
    /// Low value.
    pub low: f64,
    /// High value.
    pub high: f64,
}

/// What an unknown does to the result while all others stay.
#[derive(Clone, Debug, PartialEq)]
pub struct Swing {
    /// What was varied.
    pub range: Range,
    /// Cash flow at the low value.
    pub at_low: CashFlow,
    /// Cash flow at the high value.
    pub at_high: CashFlow,
}

impl Swing {
    /// Distance between both values today, currency.
    #[must_use]
    pub fn width_cur(&self) -> f64 {
        (self.at_high.net_present_value_cur - self.at_low.net_present_value_cur).abs()
    }
}

/// Varies one unknown after the other; the one that moves the value today most comes first.
#[must_use]
pub fn sensitivity(project: &Project, ranges: &[Range]) -> Vec<Swing> {
    let mut swings: Vec<Swing> = ranges
        .iter()
        .map(|range| Swing {
            range: *range,
            at_low: cash_flow(&with(project, range.unknown, range.low)),
            at_high: cash_flow(&with(project, range.unknown, range.high)),
        })
        .collect();
    swings.sort_by(|a, b| b.width_cur().total_cmp(&a.width_cur()));
    swings
}

/// The project with one unknown set.
fn with(project: &Project, unknown: Unknown, value: f64) -> Project {
    let mut project = project.clone();
    match unknown {
        Unknown::Costs => project.costs.iter_mut().for_each(|line| line.cur *= value),
        Unknown::Saving => project.saving_cur_per_year *= value,
        Unknown::EnergyPriceGrowth => project.outlook.energy_price_growth = value,
        Unknown::PriceGrowth => project.outlook.price_growth = value,
        Unknown::DiscountRate => project.outlook.discount_rate = value,
        Unknown::Fade => project.outlook.fade = value,
        Unknown::Upkeep => {
            project.upkeep_cur_per_year *= value;
            project
                .replacements
                .iter_mut()
                .for_each(|line| line.cur *= value);
        }
    }
    project
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::money::{CostLine, MinorUnit, Outlook};

    #[test]
    fn the_unknown_that_moves_most_comes_first() {
        let project = Project {
            minor_unit: MinorUnit::default(),
            years: 10,
            costs: vec![CostLine {
                name: "all".into(),
                cur: 5000.0,
            }],
            incentives: Vec::new(),
            loan: None,
            upkeep_cur_per_year: 10.0,
            replacements: Vec::new(),
            saving_cur_per_year: 800.0,
            stored_wh_per_year: 0.0,
            outlook: Outlook {
                energy_price_growth: 0.0,
                price_growth: 0.0,
                discount_rate: 0.0,
                fade: 0.0,
            },
        };
        let ranges = [
            Range {
                unknown: Unknown::Upkeep,
                low: 0.5,
                high: 1.5,
            },
            Range {
                unknown: Unknown::Saving,
                low: 0.9,
                high: 1.1,
            },
            Range {
                unknown: Unknown::Costs,
                low: 0.9,
                high: 1.1,
            },
        ];
        let swings = sensitivity(&project, &ranges);
        let order: Vec<_> = swings
            .iter()
            .map(|swing| (swing.range.unknown, swing.width_cur()))
            .collect();
        // Without discounting: 10 years of 160, of 1000 once, of 10 a year.
        assert_eq!(
            order,
            [
                (Unknown::Saving, 1600.0),
                (Unknown::Costs, 1000.0),
                (Unknown::Upkeep, 100.0)
            ]
        );
    }
}
