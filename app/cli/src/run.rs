//! Results of a household, as JSON and as intervals.

use couplet_core::household::Household;
use couplet_core::year::{Figures, Ledger, Scene, YearRun, interval_csv, warnings};
use serde::Serialize;

use crate::failure::Failure;
use crate::given::{climate, household, options};

/// Length of a step, s.
const STEP_S: u32 = 900;

/// Which household to run and what to write.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Run {
    /// File of the household; `-` is standard input.
    pub(crate) file: String,
    /// Name of the only option to run; none: all.
    pub(crate) option: Option<String>,
    /// File for the intervals.
    pub(crate) intervals: Option<String>,
}

/// What is printed.
#[derive(Serialize)]
struct Results<'r> {
    household: &'r str,
    invented: bool,
    step_s: u32,
    options: Vec<OptionResults<'r>>,
}

/// Results of one option.
#[derive(Serialize)]
struct OptionResults<'r> {
    id: u32,
    name: &'r str,
    figures: &'r Figures,
    ledger: &'r Ledger,
    ledger_error_wh: f64,
    warnings: Vec<String>,
}

impl Run {
    /// Runs the household and writes its intervals; the results as JSON text.
    pub(crate) fn output(self) -> Result<String, Failure> {
        let household = household(&self.file)?;
        let options = options(&household, self.option.as_deref())?;
        let climate = climate()?;
        let scene = Scene::new(&household, Some(&climate), STEP_S, None)
            .map_err(|_| Failure::Damaged("there is no climate grid in it".to_owned()))?;
        let mut runs = Vec::new();
        for option in options {
            let run = scene.run(option).map_err(|problem| {
                Failure::Damaged(format!("{} passed the check: {problem}", option.name))
            })?;
            runs.push(run);
        }
        if let Some(file) = &self.intervals {
            std::fs::write(file, interval_csv(&scene, &runs)).map_err(|error| Failure::Output {
                file: file.clone(),
                wrong: error.to_string(),
            })?;
        }
        let results = Results {
            household: &household.name,
            invented: household.invented,
            step_s: STEP_S,
            options: runs.iter().map(|run| results(&household, run)).collect(),
        };
        let mut text = serde_json::to_string_pretty(&results)
            .map_err(|error| Failure::Damaged(error.to_string()))?;
        text.push('\n');
        Ok(text)
    }
}

fn results<'r>(household: &Household, run: &'r YearRun) -> OptionResults<'r> {
    OptionResults {
        id: run.option.id.0,
        name: &run.option.name,
        figures: &run.figures,
        ledger: &run.ledger,
        ledger_error_wh: run.ledger.error_wh(),
        warnings: warnings(household, &run.option, &run.figures)
            .iter()
            .map(ToString::to_string)
            .collect(),
    }
}
