//! What a way comes to: its year, outages from every hour, the electrical rules, the money of all years.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use super::Candidate;
use crate::check::Checked;
use crate::converter::FitProblem;
use crate::coupling::CouplingOption;
use crate::findings::{DesignTemperatures, Details, Verdict, findings};
use crate::household::Household;
use crate::ids::OptionId;
use crate::outage::{StartSoc, outage_survival};
use crate::outlook::{OutlookProblem, Standing, Worth};
use crate::year::Scene;

/// What a way comes to.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Outcome {
    /// The way.
    pub candidate: Candidate,
    /// What it costs and is worth.
    pub worth: Worth,
    /// How long it carries the backed-up loads; none: nothing is wired to the backed-up side.
    pub backup: Option<Backup>,
    /// Share of the loads' energy that came from PV, 0 to 1; none: no loads.
    pub self_sufficiency: Option<f64>,
    /// PV that could not be used, Wh.
    pub throttled_wh: f64,
    /// Energy sent out above the export limit, Wh.
    pub unpermitted_export_wh: f64,
    /// Rules that it breaks, each once, by the title of its finding; empty: it fits.
    pub breaks: Vec<String>,
}

/// Energy of a year from which on what is sent out above the export limit breaks it, Wh: less is rounding.
const UNPERMITTED_WH: f64 = 1.0;

/// How long the backed-up loads are carried when the grid goes, over an outage from each hour of the year.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Backup {
    /// Time that half of the outages last without a dark hour, h.
    pub median_h: u16,
    /// Shortest, h.
    pub worst_h: u16,
}

/// What all ways of a household are tried in.
pub struct Trial<'a> {
    household: &'a Household,
    scene: &'a Scene,
    temperatures: DesignTemperatures,
    base: &'a CouplingOption,
    standing: Standing<'a>,
    /// Of the option that is tried: none of the household's.
    id: OptionId,
}

impl<'a> Trial<'a> {
    /// Runs the household as it stands over the years.
    ///
    /// - `base`: the option that the ways follow from
    ///
    /// **Errors**: see [`OutlookProblem`]; without a utility there is no bill.
    pub fn new(
        household: &'a Checked<Household>,
        scene: &'a Scene,
        temperatures: DesignTemperatures,
        base: &'a CouplingOption,
    ) -> Result<Self, OutlookProblem> {
        Ok(Self {
            household,
            scene,
            temperatures,
            base,
            standing: Standing::new(household, scene)?,
            id: OptionId::next(household.options.iter().map(|option| option.id)),
        })
    }

    /// Use of a mean day, Wh.
    #[must_use]
    pub fn day_wh(scene: &Scene) -> f64 {
        let step_h = f64::from(scene.grid.step_s) / 3600.0;
        let sum_w: f64 = (scene.load_grid_side_w.iter())
            .chain(scene.load_backed_up_w.iter())
            .sum();
        let hours = step_h * scene.load_grid_side_w.len().max(1) as f64;
        sum_w * step_h / hours * 24.0
    }

    /// What a way comes to; none: it does not follow from the option.
    ///
    /// **Errors**: see [`OutlookProblem`].
    pub fn outcome(&self, candidate: &Candidate) -> Result<Option<Outcome>, OutlookProblem> {
        let Some(option) = candidate.named(self.base, self.id, String::new()) else {
            return Ok(None);
        };
        let run = self.scene.run(&option)?;
        let backup = self.backup(&run)?;
        let details = Details::of(self.household, &option, &self.temperatures);
        let mut breaks: BTreeSet<String> =
            findings(self.household, &option, &details, &self.temperatures)
                .into_iter()
                .filter(|finding| finding.verdict == Verdict::Breaks)
                .map(|finding| finding.title.to_owned())
                .collect();
        if run.figures.unpermitted_export_wh >= UNPERMITTED_WH {
            breaks.insert("export beyond what is permitted".to_owned());
        }
        Ok(Some(Outcome {
            candidate: candidate.clone(),
            worth: self.standing.worth(&option, &run)?,
            backup,
            self_sufficiency: run.figures.self_sufficiency,
            throttled_wh: run.figures.throttled_wh,
            unpermitted_export_wh: run.figures.unpermitted_export_wh,
            breaks: breaks.into_iter().collect(),
        }))
    }

    fn backup(&self, run: &crate::year::YearRun) -> Result<Option<Backup>, FitProblem> {
        if self
            .scene
            .load_backed_up_w
            .iter()
            .all(|power_w| *power_w <= 0.0)
        {
            return Ok(None);
        }
        let survival = outage_survival(self.scene, run, StartSoc::AsRun)?;
        Ok(survival.map(|found| Backup {
            median_h: found.year.median_h,
            worst_h: found.year.worst_h,
        }))
    }
}
