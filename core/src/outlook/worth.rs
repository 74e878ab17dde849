//! What many options are worth, each against the household as it stands, whose years are run once.

use serde::{Deserialize, Serialize};

use super::lines::Cost;
use super::study::{OutlookProblem, Side, Study};
use crate::check::Checked;
use crate::coupling::CouplingOption;
use crate::household::Household;
use crate::money::cash_flow;
use crate::year::{Scene, YearRun};

/// The household as it stands over the years: what options are set against.
pub struct Standing<'a> {
    household: &'a Household,
    scene: &'a Scene,
    side: Side<'a>,
}

/// What an option costs and is worth; the same figures as in its [`super::Outlook`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Worth {
    /// What is bought at the start, before incentives, currency.
    pub first_cur: f64,
    /// Whether a placeholder stands for any part of it.
    pub rests_on_placeholders: bool,
    /// Bill of the first year, currency.
    pub bill_cur: f64,
    /// Value today of all that it costs and saves over the years looked at, currency; negative: it costs more than it saves.
    pub today_cur: f64,
    /// Years until it has paid for itself for the first time; none: not within the years looked at.
    pub payback_years: Option<f64>,
}

impl<'a> Standing<'a> {
    /// Runs the years of the household's first option.
    ///
    /// **Errors**: see [`OutlookProblem`].
    pub fn new(
        household: &'a Checked<Household>,
        scene: &'a Scene,
    ) -> Result<Self, OutlookProblem> {
        let first = household.options.first().ok_or(OutlookProblem::NoOption)?;
        let side = Side::new(household, scene, first, &scene.run(first)?)?;
        Ok(Self {
            household,
            scene,
            side,
        })
    }

    /// What an option is worth. It need not be one of the household's; it is told from the first one by its id.
    ///
    /// - `run`: its run in the same scene
    ///
    /// **Errors**: see [`OutlookProblem`].
    pub fn worth(&self, option: &CouplingOption, run: &YearRun) -> Result<Worth, OutlookProblem> {
        let study = Study {
            household: self.household,
            scene: self.scene,
            reference: &self.side,
            option: Side::new(self.household, self.scene, option, run)?,
        };
        let bought = study.bought();
        let project = study.project(&self.side.years, &study.option.years, study.lives(1.0));
        let flow = cash_flow(&project);
        Ok(Worth {
            first_cur: bought.iter().map(|cost: &Cost| cost.cur.value).sum(),
            rests_on_placeholders: bought.iter().any(|cost| !cost.cur.given),
            bill_cur: run.figures.bill_cur.ok_or(OutlookProblem::NoBill)?,
            today_cur: flow.net_present_value_cur,
            payback_years: flow.payback_years,
        })
    }
}
