//! The outlook of an option: its project, its cash flow, what it may cost at most.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::batteries::{BatteryLife, BatteryOutlook, batteries};
use super::hardware::{AgedYear, Runs, YEARS_BETWEEN_RUNS};
use super::lines::{Cost, Costed, Replaced, bought, bought_again, upkeep};
use super::unknowns::{Swing, swings};
use crate::ageing::Ageing;
use crate::check::Checked;
use crate::converter::FitProblem;
use crate::coupling::CouplingOption;
use crate::household::{Finance, GivenFor, Household, IncentiveAmount, LoanTerms};
use crate::money::{
    CashFlow, CostLine, Due, Incentive, IncentiveKind, Loan, MinorUnit, Project, Rates,
    Replacement, YearYield, cash_flow, net_present_value_cur,
};
use crate::year::{Scene, YearRun};

const MONTHS_PER_YEAR: u32 = 12;

/// What an option costs and brings over the years, against the household as it stands.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Outlook {
    /// Decimals of the currency.
    pub minor_unit: MinorUnit,
    /// What is bought at the start.
    pub bought: Vec<Cost>,
    /// Upkeep in a year; none: nothing is new.
    pub upkeep: Option<Cost>,
    /// What is bought again.
    pub replaced: Vec<Replaced>,
    /// What would be bought again as it stands, and is not.
    pub spared: Vec<Replaced>,
    /// How the batteries age.
    pub batteries: Vec<BatteryOutlook>,
    /// Hardware and energy of each year, the first one first.
    pub years: Vec<YearState>,
    /// The cash flow.
    pub flow: CashFlow,
    /// What may be paid at the start at most, so that the option pays within the years looked at, all discounted; incentives
    /// and loan left out. Currency.
    pub most_cost_cur: f64,
    /// Cost of a kilowatt-hour out of store: new storage with its replacements, before incentives, over all energy that it
    /// gives, both discounted; the energy that is put in is left out. None: no storage is new.
    pub stored_cur_per_kwh: Option<f64>,
    /// What each unknown does to the value today, the one that moves it most first.
    pub swings: Vec<Swing>,
    /// What is served, and what that costs; none: there is a utility, which serves all.
    pub served: Option<Served>,
}

/// What an option without a utility serves, and what that costs. Instead of bills there is the fuel of the generator.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Served {
    /// Share of what is asked for that is served in the first year as it stands.
    pub reference_share: f64,
    /// The same with the option.
    pub first_share: f64,
    /// The same in the last year.
    pub last_share: f64,
    /// Value today of all that is paid: what is bought less incentives, upkeep, replacements and fuel, currency. The loan is left
    /// out: the discount rate is the price of money here.
    pub cost_today_cur: f64,
    /// That over all energy that is served, both discounted, currency per kWh; none: nothing is served.
    ///
    /// Source: levelised cost of energy as in Short, Packey & Holt (1995), NREL/TP-462-5173, section 3.
    pub cur_per_kwh: Option<f64>,
}

/// Shares served that lie no further apart count as the same service.
const SAME_SERVICE: f64 = 0.01;

impl Served {
    /// Whether the option serves about as much as what stands: otherwise what it costs more or less is no measure of its worth.
    #[must_use]
    pub fn is_comparable(&self) -> bool {
        (self.first_share - self.reference_share).abs() <= SAME_SERVICE
    }
}

/// Hardware and energy of a year.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct YearState {
    /// Share of the arrays' power that is left.
    pub arrays_left: f64,
    /// Share of each battery's energy that is left when the year begins.
    pub batteries_left: Vec<f64>,
    /// Energy out of the batteries, Wh.
    pub stored_wh: f64,
    /// Share of what the loads ask for that they are given; 1 with a utility.
    pub served_share: f64,
    /// Whether the year was run; otherwise it lies straight between two that were.
    pub run: bool,
}

/// Why there is no outlook.
#[derive(Clone, Debug, PartialEq)]
pub enum OutlookProblem {
    /// The household does not have the option.
    NoOption,
    /// Efficiency figures that no loss law has.
    Fit(FitProblem),
    /// There is no bill: less than a year was run.
    NoBill,
    /// A generator runs, and the price of its fuel is not given.
    NoFuelPrice,
}

impl fmt::Display for OutlookProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoOption => write!(f, "there is no such option"),
            Self::Fit(problem) => write!(f, "{problem}"),
            Self::NoBill => write!(f, "there is no bill of a year"),
            Self::NoFuelPrice => write!(
                f,
                "the generator's fuel has no price: give it with the generator"
            ),
        }
    }
}

impl std::error::Error for OutlookProblem {}

impl From<FitProblem> for OutlookProblem {
    fn from(problem: FitProblem) -> Self {
        Self::Fit(problem)
    }
}

/// What is known of an option's years before anything is varied.
pub(super) struct Study<'a> {
    pub(super) household: &'a Household,
    pub(super) scene: &'a Scene,
    /// As it stands.
    pub(super) reference: &'a Side<'a>,
    /// The option; it is the same as the reference when that is looked at.
    pub(super) option: Side<'a>,
}

/// One of both options that are set against each other.
pub(super) struct Side<'a> {
    pub(super) option: &'a CouplingOption,
    pub(super) batteries: Vec<BatteryOutlook>,
    pub(super) years: Vec<AgedYear>,
}

impl<'a> Side<'a> {
    pub(super) fn new(
        household: &'a Household,
        scene: &'a Scene,
        option: &'a CouplingOption,
        run: &YearRun,
    ) -> Result<Self, OutlookProblem> {
        let mut side = Self {
            option,
            batteries: batteries(option, scene, run),
            years: Vec::new(),
        };
        let mut runs = Runs::new(scene, option);
        runs.take_first(run)?;
        side.years = runs.years(&household.finance, &side.lives(1.0), YEARS_BETWEEN_RUNS)?;
        Ok(side)
    }

    /// Lives of the batteries, each so many times as long as it is reckoned.
    pub(super) fn lives(&self, longer: f64) -> Vec<BatteryLife> {
        (self.batteries.iter().zip(&self.option.storage))
            .map(|(battery, unit)| battery.lasting(&Ageing::from(&unit.battery.ageing), longer))
            .collect()
    }
}

/// The outlook of an option over the years that the household looks at.
///
/// The reference is the household's first option: what it has counts as bought, its aged years are run as well, and what it
/// would have to replace is set against what the option replaces. Year 1 has the hardware as it is; nothing is worth anything
/// after the last year.
///
/// - `scene`, `run`: the option's run over a whole year
///
/// **Errors**: see [`OutlookProblem`].
pub fn outlook(
    household: &Checked<Household>,
    (scene, run): (&Scene, &YearRun),
) -> Result<Outlook, OutlookProblem> {
    let option = household.option(run.id()).ok_or(OutlookProblem::NoOption)?;
    let reference = household.options.first().unwrap_or(option);
    let standing = if reference.id == option.id {
        Side::new(household, scene, reference, run)?
    } else {
        Side::new(household, scene, reference, &scene.run(reference)?)?
    };
    let study = Study {
        household,
        scene,
        reference: &standing,
        option: Side::new(household, scene, option, run)?,
    };
    let project = study.project(
        &study.reference.years,
        &study.option.years,
        study.lives(1.0),
    );
    let flow = cash_flow(&project);
    let minor_unit = household.tariff.minor_unit();
    let years = household.finance.years as usize;
    let (reference_lives, lives) = study.lives(1.0);
    Ok(Outlook {
        minor_unit,
        bought: study.bought(),
        upkeep: study.upkeep(),
        replaced: bought_again(option, &lives, years, minor_unit),
        spared: bought_again(reference, &reference_lives, years, minor_unit),
        years: (study.option.years.iter())
            .map(|year| YearState {
                arrays_left: year.left.arrays,
                batteries_left: year.left.batteries.clone(),
                stored_wh: year.outcome.stored_wh,
                served_share: year.outcome.served_share,
                run: year.run,
            })
            .collect(),
        most_cost_cur: most_cost_cur(&project, &flow),
        stored_cur_per_kwh: study.stored_cur_per_kwh(&project, &lives),
        swings: swings(&study, &project)?,
        served: study.served(&project, &lives),
        batteries: study.option.batteries,
        flow,
    })
}

impl Study<'_> {
    fn at_reference(&self) -> bool {
        self.reference.option.id == self.option.option.id
    }

    pub(super) fn bought(&self) -> Vec<Cost> {
        if self.at_reference() {
            return Vec::new();
        }
        bought(self.option.option, self.household.tariff.minor_unit())
    }

    fn upkeep(&self) -> Option<Cost> {
        if self.at_reference() {
            return None;
        }
        upkeep(self.option.option, self.household.tariff.minor_unit())
    }

    /// Lives of the reference's batteries and of the option's.
    pub(super) fn lives(&self, longer: f64) -> (Vec<BatteryLife>, Vec<BatteryLife>) {
        (self.reference.lives(longer), self.option.lives(longer))
    }

    /// The option as an investment.
    pub(super) fn project(
        &self,
        before: &[AgedYear],
        after: &[AgedYear],
        (reference_lives, lives): (Vec<BatteryLife>, Vec<BatteryLife>),
    ) -> Project {
        let finance = &self.household.finance;
        let minor_unit = self.household.tariff.minor_unit();
        let years = finance.years as usize;
        let option = self.option.option;
        let costs = self.bought();
        let again = |option, lives: &[BatteryLife], sign: f64| {
            bought_again(option, lives, years, minor_unit)
                .into_iter()
                .map(move |replaced| replacement(replaced, sign))
        };
        let incentives = if self.at_reference() {
            Vec::new()
        } else {
            incentives(finance, &costs)
        };
        let costs: Vec<CostLine> = costs.into_iter().map(line).collect();
        let mut project = Project {
            minor_unit,
            years,
            costs,
            incentives,
            loan: None,
            upkeep_cur_per_year: self.upkeep().map_or(0.0, |upkeep| upkeep.cur.value),
            replacements: again(option, &lives, 1.0)
                .chain(again(self.reference.option, &reference_lives, -1.0))
                .collect(),
            yields: before
                .iter()
                .zip(after)
                .map(|(before, after)| YearYield {
                    bill_before_cur: before.outcome.bill_cur,
                    bill_after_cur: after.outcome.bill_cur,
                    stored_wh: after.outcome.stored_wh,
                })
                .collect(),
            rates: Rates {
                energy_price_growth: finance.energy_price_growth,
                price_growth: finance.price_growth,
                discount_rate: finance.discount_rate,
            },
        };
        project.loan = finance.loan.map(|terms| loan(&terms, &project));
        project
    }

    /// What is served, by the option alone: nothing that the reference pays is set against its costs.
    fn served(&self, project: &Project, lives: &[BatteryLife]) -> Option<Served> {
        if self.household.service.utility {
            return None;
        }
        let option = self.option.option;
        let alone = Project {
            loan: None,
            replacements: bought_again(option, lives, project.years, project.minor_unit)
                .into_iter()
                .map(|replaced| replacement(replaced, 1.0))
                .collect(),
            yields: (project.yields.iter())
                .map(|brought| YearYield {
                    bill_before_cur: 0.0,
                    ..*brought
                })
                .collect(),
            ..project.clone()
        };
        let cost_today_cur = -cash_flow(&alone).net_present_value_cur;
        let years = &self.option.years;
        let kwh: Vec<f64> = std::iter::once(0.0)
            .chain(years.iter().map(|year| year.outcome.served_wh / 1000.0))
            .collect();
        let kwh = net_present_value_cur(project.rates.discount_rate, &kwh);
        let share = |year: Option<&AgedYear>| year.map_or(1.0, |year| year.outcome.served_share);
        Some(Served {
            reference_share: share(self.reference.years.first()),
            first_share: share(years.first()),
            last_share: share(years.last()),
            cost_today_cur,
            cur_per_kwh: (kwh > 0.0).then(|| cost_today_cur / kwh),
        })
    }

    /// New storage alone: its lines, its replacements, its energy.
    fn stored_cur_per_kwh(&self, project: &Project, lives: &[BatteryLife]) -> Option<f64> {
        let is_storage =
            |cost: &Cost| matches!(cost.of, Costed::StorageInverter(_) | Costed::Battery(_));
        let costs: Vec<Cost> = self.bought().into_iter().filter(is_storage).collect();
        if costs.is_empty() {
            return None;
        }
        let option = self.option.option;
        let again = bought_again(option, lives, project.years, project.minor_unit);
        let storage = Project {
            costs: costs.into_iter().map(line).collect(),
            incentives: Vec::new(),
            loan: None,
            upkeep_cur_per_year: 0.0,
            replacements: again
                .into_iter()
                .filter(|replaced| is_storage(&replaced.cost))
                .map(|replaced| replacement(replaced, 1.0))
                .collect(),
            ..project.clone()
        };
        cash_flow(&storage).stored_cur_per_kwh
    }
}

fn line(cost: Cost) -> CostLine {
    CostLine {
        name: cost.name,
        cur: cost.cur.value,
    }
}

fn replacement(replaced: Replaced, sign: f64) -> Replacement {
    Replacement {
        name: replaced.cost.name,
        year: replaced.year,
        cur: sign * replaced.cost.cur.value,
    }
}

/// The incentives that an option with these costs gets.
fn incentives(finance: &Finance, costs: &[Cost]) -> Vec<Incentive> {
    let any = |wanted: fn(&Costed) -> bool| costs.iter().any(|cost| wanted(&cost.of));
    let given = |given_for| match given_for {
        GivenFor::AnyCost => !costs.is_empty(),
        GivenFor::NewArrays => any(|of| matches!(of, Costed::Array(_))),
        GivenFor::NewStorage => any(|of| matches!(of, Costed::Battery(_))),
    };
    (finance.incentives.iter())
        .filter(|terms| given(terms.given_for))
        .map(|terms| Incentive {
            name: terms.name.clone(),
            kind: match terms.amount {
                IncentiveAmount::Fixed { fixed_cur } => IncentiveKind::Amount(fixed_cur),
                IncentiveAmount::Share {
                    share,
                    most_cur,
                    year,
                } => IncentiveKind::ShareOfRest {
                    share,
                    most_cur: most_cur.unwrap_or(f64::INFINITY),
                    year: year as usize,
                },
                IncentiveAmount::Yearly { yearly_cur, years } => IncentiveKind::Yearly {
                    cur: yearly_cur,
                    years: years as usize,
                },
            },
        })
        .collect()
}

/// The loan on what is to pay at the start.
pub(super) fn loan(terms: &LoanTerms, project: &Project) -> Loan {
    let start = Project {
        years: 0,
        loan: None,
        ..project.clone()
    };
    let due = cash_flow(&start).rows.first().map(|row| -row.net);
    Loan {
        principal_cur: terms.share * project.minor_unit.cur(due.unwrap_or_default()).max(0.0),
        rate_per_period: terms.rate_per_year / f64::from(MONTHS_PER_YEAR),
        periods: terms.years * MONTHS_PER_YEAR,
        balloon_cur: 0.0,
        due: Due::End,
    }
}

/// Value today of what comes after the start: saving less upkeep and replacements.
fn most_cost_cur(project: &Project, flow: &CashFlow) -> f64 {
    let later_cur: Vec<f64> = flow
        .rows
        .iter()
        .map(|row| {
            project
                .minor_unit
                .cur(row.saving + row.upkeep + row.replacements)
        })
        .collect();
    net_present_value_cur(project.rates.discount_rate, &later_cur)
}
