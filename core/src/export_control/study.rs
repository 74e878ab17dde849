//! The study itself: a day, step by step.

use serde::{Deserialize, Serialize};

use super::controls::Controls;
use super::figures::ExportFigures;
use super::site::ControlledSite;
use super::trace::{ExportTrace, TraceSpan};
use crate::converter::FitProblem;
use crate::coupling::{Array, CouplingOption};
use crate::household::{AcSide, Household};
use crate::running::AcBus;
use crate::seconds::SecondsDay;
use crate::sky::{DAYS_PER_YEAR, TimeGrid};
use crate::year::{Plant, PriceYear, Scene};

/// A day under an export limit with controls that take time.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct ExportStudy {
    /// What it comes to.
    pub figures: ExportFigures,
    /// Its curves.
    pub trace: ExportTrace,
}

/// Prices are laid out in steps of this length, s.
const PRICE_STEP_S: u32 = 60;
const PRICE_STEPS_PER_DAY: usize = 1440;

/// Runs one option through a day in seconds under the household's export limit.
///
/// - `stored_wh`: energy in each storage unit at midnight, Wh; a unit that is not named starts with its own
/// - `span`: what of the day is traced
///
/// **Storage** aims at what it aims at in the run of a year, second by second, and comes there with a first-order lag; what a
/// battery or an inverter cannot give it does not give even for a moment. DC PV is throttled in the same way.
///
/// **Commanded PV inverters** are told at each poll the most that loads and storage can take and the meter may send out, less
/// the widest margin among them, and follow along their ramp. The controller knows what each could give, and permits
/// them in proportion; what none of them can give now is shared by rating, so that the sun behind a cloud finds a ceiling.
/// Under zero export the margin is bought from the grid.
///
/// **Relays** drop all they carry when export has exceeded the limit by 10 W for the delay, and come back at once after the
/// wait.
///
/// Light and loads stay the same within a step; commands, ramps, relays and lags do not, and are followed exactly: the
/// time within a step is cut at each event, between events every power is a line and an exponential. What batteries and converters do
/// is taken from the mean of the step.
///
/// What a battery near full still takes is held for a step, as in the run of a year. With a taper that is a slow fall; a battery
/// without one (`taper_from_soc` of 1) goes to and fro between full and one step's room, and its leaks depend on the step.
///
/// **Errors**: efficiency figures that no loss law has; a checked household has none.
pub fn study(
    household: &Household,
    option: &CouplingOption,
    day: &SecondsDay,
    stored_wh: &[f64],
    controls: &Controls,
    span: &TraceSpan,
) -> Result<ExportStudy, FitProblem> {
    let step_s = day.step_s;
    let steps = day.steps();
    let plant = Plant::new(&household.service, option, step_s)?;
    // The days beside it too: with summer time the hours of a day by the clock reach into one of them.
    let day_before = (day.day + DAYS_PER_YEAR - 1) % DAYS_PER_YEAR;
    let grid = TimeGrid::days(day_before, 3, PRICE_STEP_S, Scene::utc_offset_s(household));
    let prices = PriceYear::new(&household.tariff, &grid);
    let sum_w = |arrays: &mut dyn Iterator<Item = &Array>| {
        let mut sum_w = vec![0.0; steps];
        for dc_w in arrays.filter_map(|array| day.array_dc_w(array.id)) {
            sum_w
                .iter_mut()
                .zip(dc_w)
                .for_each(|(sum, dc_w)| *sum += dc_w);
        }
        sum_w
    };
    let inverter_dc_w: Vec<Vec<f64>> = (plant.inverters.iter())
        .map(|inverter| sum_w(&mut option.arrays_on_inverter(inverter.id)))
        .collect();
    let unit_dc_w: Vec<Vec<f64>> = (plant.units.iter())
        .map(|unit| sum_w(&mut option.arrays_on_unit(unit.id)))
        .collect();
    let load_grid_side_w = day.load_w(AcSide::GridSide);
    let load_backed_up_w = day.load_w(AcSide::BackedUp);

    // Before the first step all controls stand where the first step wants them.
    let mut site = ControlledSite::new(&plant, *controls, stored_wh);
    let mut trace = ExportTrace::with_room(span, step_s);
    let mut now_s = 0.0;
    let mut step_number = 0.0;
    let usable_wh: f64 = (plant.units.iter())
        .map(|unit| unit.battery.usable_wh())
        .sum();
    for index in 0..steps {
        // Prices change at whole minutes, which are looked up by the middle of the step.
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a minute of the day"
        )]
        let minute = ((now_s + 0.5 * step_s) / f64::from(PRICE_STEP_S)) as usize;
        let aim = prices.aim(&plant.rule, PRICE_STEPS_PER_DAY + minute);
        let load = AcBus {
            grid_side_w: load_grid_side_w[index],
            backed_up_w: load_backed_up_w[index],
        };
        site.begin_step(aim, day.air_c[index], index, &inverter_dc_w, &unit_dc_w);
        let mut point = site.run_step(aim, load, now_s, step_s);
        point.soc = if usable_wh > 0.0 {
            site.stored_wh() / usable_wh
        } else {
            0.0
        };
        trace.add(now_s, step_s, &point);
        step_number += 1.0;
        now_s = step_number * step_s;
    }
    Ok(ExportStudy {
        figures: site.figures(now_s),
        trace,
    })
}
