//! Bills of the months and of the year.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::money::Money;
use crate::sky::{TimeGrid, days_of_month};

use super::clock::BadClock;
use super::energy::{MonthEnergy, month_energies};
use super::settle::{EnergyLine, bought, sold};
use super::tariff::{CarryOver, Export, ExportPrice, Surplus, Tariff, TaxOn};

/// What passed the meter in a run: means of the steps, W.
#[derive(Clone, Copy, Debug)]
pub struct Meter<'a> {
    /// Positive when bought, negative when sold.
    pub meter_w: &'a [f64],
    /// What PV generated, needed where all of it is sold; otherwise it may be empty.
    pub generation_w: &'a [f64],
}

/// What a line of a bill is for. Periods, tiers and demand charges are given by their place in the tariff.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum LineKind {
    /// Fixed charge.
    Fixed,
    /// Energy bought in a period at the price of a tier.
    Energy {
        /// Period.
        period: usize,
        /// Tier.
        tier: usize,
    },
    /// Highest power.
    Demand(usize),
    /// What lifts the charges to the minimum.
    Minimum,
    /// Energy sold in a period (at hourly prices: all of it, under the first period); negative.
    Export(usize),
    /// Energy paid out that was left of net metering in a period; negative.
    CashOut(usize),
    /// Credit of earlier months; negative.
    CreditUsed,
    /// Credit moved on to later months; positive.
    CreditKept,
    /// Credit that is lost at the end of the year; positive.
    CreditLost,
    /// Tax.
    Tax,
}

/// A line of a bill.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Line {
    /// What it is for.
    pub kind: LineKind,
    /// How much: Wh of energy, W of demand, 0 otherwise.
    pub quantity: f64,
    /// Amount; negative in favour of the household.
    pub amount: Money,
}

/// The bill of one month.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct MonthBill {
    /// Month, 0 is January.
    pub month: usize,
    /// Bought in each period, Wh.
    pub import_wh: Vec<f64>,
    /// Sold in each period, Wh.
    pub export_wh: Vec<f64>,
    /// Energy carried on to the next month in each period, Wh.
    pub carried_wh: Vec<f64>,
    /// Highest power under each demand charge, W.
    pub peak_w: Vec<f64>,
    /// Lines.
    pub lines: Vec<Line>,
    /// Sum of the lines.
    pub total: Money,
}

/// The bill of a year.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Bill {
    /// The months in the order in which they are billed: from January, or from the month with which net metering begins.
    pub months: Vec<MonthBill>,
    /// Sum of the months.
    pub total: Money,
}

/// Why there is no bill.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum BillError {
    /// The clock rule cannot be read.
    Clock(BadClock),
    /// The tariff has no period, or a period no tier.
    NoPrice,
    /// A series is shorter than the run, or the list of hourly prices has not 8,760 of them.
    Length,
}

impl fmt::Display for BillError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Clock(BadClock(rule)) => write!(f, "{rule:?} is no clock rule"),
            Self::NoPrice => write!(f, "a period without a price"),
            Self::Length => write!(f, "a series of the wrong length"),
        }
    }
}

impl std::error::Error for BillError {}

impl Bill {
    /// The lines of all months summed by what they are for, in the order of [`LineKind`]. Energy is summed; of demand the highest
    /// month stands. What is carried from month to month and used up again within the year cancels out.
    #[must_use]
    pub fn year_lines(&self) -> Vec<Line> {
        let mut lines: Vec<Line> = Vec::new();
        for line in self.months.iter().flat_map(|month| &month.lines) {
            match lines.iter_mut().find(|known| known.kind == line.kind) {
                Some(known) => {
                    known.amount += line.amount;
                    known.quantity = match line.kind {
                        LineKind::Demand(_) => known.quantity.max(line.quantity),
                        _ => known.quantity + line.quantity,
                    };
                }
                None => lines.push(*line),
            }
        }
        lines.sort_by_key(|line| line.kind);
        lines
    }

    /// Total of a month of the calendar, 0 is January; none: it is not billed.
    #[must_use]
    pub fn month_total(&self, month: usize) -> Option<Money> {
        let found = self.months.iter().find(|bill| bill.month == month);
        found.map(|bill| bill.total)
    }
}

impl Tariff {
    /// The month with which the year that is settled begins, 0 is January.
    #[must_use]
    pub fn first_month(&self) -> usize {
        match self.export {
            Export::NetMetering {
                carry_over: CarryOver::Yearly { first_month },
                ..
            } => first_month % 12,
            _ => 0,
        }
    }
}

impl Meter<'_> {
    /// Bought and sold in a step, W.
    pub(super) fn at(&self, index: usize, export: &Export) -> (f64, f64) {
        let at = |series: &[f64]| series.get(index).copied().unwrap_or(0.0);
        let (meter_w, generation_w) = (at(self.meter_w), at(self.generation_w));
        match export {
            // Apart from PV, the meter would show what everything else draws.
            Export::AllSold { .. } => ((meter_w + generation_w).max(0.0), generation_w.max(0.0)),
            _ => (meter_w.max(0.0), (-meter_w).max(0.0)),
        }
    }
}

/// What a year at the meter costs.
///
/// Every line is rounded to the minor unit, and totals are sums of lines. A tariff's first tier, fixed and minimum charge
/// count once per calendar month by the clock.
///
/// **Errors**: see [`BillError`].
pub fn bill(tariff: &Tariff, grid: &TimeGrid, meter: &Meter<'_>) -> Result<Bill, BillError> {
    if tariff.periods.is_empty() || tariff.periods.iter().any(|period| period.tiers.is_empty()) {
        return Err(BillError::NoPrice);
    }
    let all_sold = matches!(tariff.export, Export::AllSold { .. });
    let hours_fit = match &tariff.export {
        Export::NetBilling {
            price: ExportPrice::Hourly { cur_per_kwh },
            ..
        } => cur_per_kwh.len() == 8760,
        _ => true,
    };
    if meter.meter_w.len() < grid.len()
        || (all_sold && meter.generation_w.len() < grid.len())
        || !hours_fit
    {
        return Err(BillError::Length);
    }
    let energy = month_energies(tariff, grid, meter).map_err(BillError::Clock)?;
    let mut carried = Carried {
        wh: vec![0.0; tariff.periods.len()],
        credit: Money::ZERO,
    };
    let mut bill = Bill::default();
    for place in 0..12 {
        let month = (tariff.first_month() + place) % 12;
        if let Some(energy) = energy.get(month) {
            let month = month_bill(tariff, month, energy, &mut carried, place == 11);
            bill.total += month.total;
            bill.months.push(month);
        }
    }
    Ok(bill)
}

/// What one month hands on to the next.
struct Carried {
    wh: Vec<f64>,
    credit: Money,
}

fn month_bill(
    tariff: &Tariff,
    month: usize,
    energy: &MonthEnergy,
    carried: &mut Carried,
    last: bool,
) -> MonthBill {
    let round = |cur: f64| tariff.minor_unit().round(cur);
    let mut lines = Lines(Vec::new());
    lines.add(LineKind::Fixed, 0.0, round(fixed_cur(tariff, month)));
    lines.add_energy(&bought(tariff, energy, &mut carried.wh), round);
    for (charge, (demand, peak_w)) in tariff.demand.iter().zip(&energy.peak_w).enumerate() {
        lines.add(
            LineKind::Demand(charge),
            *peak_w,
            round(peak_w / 1000.0 * demand.cur_per_kw),
        );
    }
    let minimum = round(tariff.minimum_cur_per_month);
    if lines.total() < minimum {
        lines.add(LineKind::Minimum, 0.0, minimum - lines.total());
    }
    let charges = lines.total();
    lines.add_energy(&sold(tariff, energy, &mut carried.wh, last), round);
    if let Export::NetBilling { surplus, .. } = tariff.export
        && surplus != Surplus::Paid
    {
        carry_credit(surplus, carried, last, minimum, &mut lines);
    }
    let taxed = match tariff.tax_on {
        TaxOn::ToPay => lines.total(),
        TaxOn::Bought => charges,
    };
    lines.add(
        LineKind::Tax,
        0.0,
        round(tariff.minor_unit().cur(taxed.max(Money::ZERO)) * tariff.tax),
    );
    MonthBill {
        month,
        import_wh: energy.import_wh.clone(),
        export_wh: energy.export_wh.clone(),
        carried_wh: carried.wh.clone(),
        peak_w: energy.peak_w.clone(),
        total: lines.total(),
        lines: lines.0,
    }
}

/// The fixed charge of a month, currency.
fn fixed_cur(tariff: &Tariff, month: usize) -> f64 {
    tariff.fixed_cur_per_month + f64::from(days_of_month(month)) * tariff.fixed_cur_per_day
}

/// Uses up credit of earlier months, and keeps what takes the bill below the minimum for later ones.
fn carry_credit(
    surplus: Surplus,
    carried: &mut Carried,
    last: bool,
    minimum: Money,
    lines: &mut Lines,
) {
    lines.add(LineKind::CreditUsed, 0.0, -carried.credit);
    let left = (minimum - lines.total()).max(Money::ZERO);
    carried.credit = left;
    match (last, surplus) {
        (false, _) => lines.add(LineKind::CreditKept, 0.0, left),
        (true, Surplus::CarriedThenLost) => lines.add(LineKind::CreditLost, 0.0, left),
        (true, _) => {}
    }
}

struct Lines(Vec<Line>);

impl Lines {
    /// Adds a line, unless it says nothing.
    fn add(&mut self, kind: LineKind, quantity: f64, amount: Money) {
        if quantity != 0.0 || amount != Money::ZERO {
            self.0.push(Line {
                kind,
                quantity,
                amount,
            });
        }
    }

    fn add_energy(&mut self, energy: &[EnergyLine], round: impl Fn(f64) -> Money) {
        for line in energy {
            self.add(line.kind, line.energy_wh, round(line.cur));
        }
    }

    fn total(&self) -> Money {
        self.0.iter().map(|line| line.amount).sum()
    }
}
