//! From the running rule, the hour's price and the clock to what the storage aims at in a step.

use crate::bill::StepTime;
use crate::coupling::{RunningRule, WindowAim};

/// Where the price of an hour stands among the prices of its day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PriceRank {
    /// The day has one price only.
    Flat,
    /// The lowest price of the day.
    Cheap,
    /// Between the lowest and the highest.
    Middle,
    /// The highest price of the day.
    Dear,
}

impl PriceRank {
    /// The rank of a price of a day whose lowest and highest prices are these, currency per kWh.
    #[must_use]
    pub fn among(price_cur_per_kwh: f64, least: f64, most: f64) -> Self {
        if least >= most {
            Self::Flat
        } else if price_cur_per_kwh >= most {
            Self::Dear
        } else if price_cur_per_kwh <= least {
            Self::Cheap
        } else {
            Self::Middle
        }
    }
}

/// What the storage aims at in a step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Aim {
    /// The meter reads zero; the battery may give and take.
    MeterAtZero,
    /// The meter reads zero as far as PV can make it so; the battery may take and gives nothing.
    Hold,
    /// The grid charges the battery up to this state of charge.
    GridCharge {
        /// State of charge, 0 to 1.
        to_soc: f64,
    },
    /// The battery gives what the meter may send out.
    Sell,
    /// As [`Self::MeterAtZero`], but of what PV leaves over up to this much is sent out before the battery takes the rest.
    SellSurplus {
        /// Power at the meter, W, 0 and up.
        export_w: f64,
    },
}

impl Aim {
    /// What this running rule aims at in an hour of this price rank, at this time by the clock.
    #[must_use]
    pub fn of(rule: &RunningRule, rank: PriceRank, time: &StepTime) -> Self {
        match rule {
            RunningRule::SelfConsumption => Self::MeterAtZero,
            RunningRule::TimeOfUse {
                discharge_in_middle_hours,
                grid_charge_to_soc,
                sell_from_battery,
            } => match rank {
                PriceRank::Flat => Self::MeterAtZero,
                PriceRank::Dear if *sell_from_battery => Self::Sell,
                PriceRank::Dear => Self::MeterAtZero,
                PriceRank::Middle if *discharge_in_middle_hours => Self::MeterAtZero,
                PriceRank::Middle => Self::Hold,
                PriceRank::Cheap => {
                    grid_charge_to_soc.map_or(Self::Hold, |to_soc| Self::GridCharge { to_soc })
                }
            },
            RunningRule::OwnHours { windows } => windows
                .iter()
                .find(|hours| hours.window.holds(time))
                .map_or(Self::MeterAtZero, |hours| hours.aim.into()),
        }
    }

    /// Whether the battery may give.
    #[must_use]
    pub fn may_discharge(self) -> bool {
        matches!(
            self,
            Self::MeterAtZero | Self::Sell | Self::SellSurplus { .. }
        )
    }
}

impl From<WindowAim> for Aim {
    fn from(aim: WindowAim) -> Self {
        match aim {
            WindowAim::Charge { to_soc } => Self::GridCharge { to_soc },
            WindowAim::Hold => Self::Hold,
            WindowAim::Give => Self::MeterAtZero,
            WindowAim::Sell => Self::Sell,
        }
    }
}
