//! What the page asks and what the worker answers, as bytes.
//!
//! The worker remembers the last household, so that a look at another day costs no new run. Each request is small enough to be
//! answered within a frame or a few: the page asks for the open option first and then for one other option at a time, so that a
//! change never waits behind work that nobody needs any more.

use std::sync::Arc;

use couplet_core::adviser::Outcome;
use couplet_core::export_control::{ExportFigures, ExportTrace};
use couplet_core::findings::DesignTemperatures;
use couplet_core::foresight::Foresight;
use couplet_core::household::{Household, OptionId};
use couplet_core::island::{Drill, DrillCase, DrillMoment};
use couplet_core::outage::{OutageSurvival, Sizing, StartSoc};
use couplet_core::outlook::Outlook;
use couplet_core::year::{DayTrace, Figures, StripQuantity, YearStrip};
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

/// What the page looks at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct View {
    /// The open option.
    pub(crate) option: OptionId,
    /// Day of the year, 0 is 1 January, to 364.
    pub(crate) day: u32,
    /// Length of a step of the day, s.
    pub(crate) step_s: u32,
    /// What the year strip shows.
    pub(crate) quantity: StripQuantity,
}

/// What the page asks.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) enum Request {
    /// Take this household and show the view of it.
    Household {
        /// The household; it passed the check.
        household: Arc<Household>,
        /// What to show.
        view: View,
    },
    /// Show another view of the last household.
    View(View),
    /// Run this option of the last household.
    Figures(OptionId),
    /// Answer a long question.
    Ask {
        /// The household, if it is another than the last one; it passed the check.
        household: Option<Arc<Household>>,
        /// The question.
        question: Question,
    },
    /// Try every way that follows from an option.
    Advise(Ways),
}

/// The ways that follow from an option, dealt out to several workers.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct Ways {
    /// The household; it passed the check.
    pub(crate) household: Arc<Household>,
    /// The option that the ways follow from.
    pub(crate) option: OptionId,
    /// Which of the workers this one is, from 0: it tries every `workers`-th way.
    pub(crate) worker: usize,
    /// How many workers there are.
    pub(crate) workers: usize,
}

/// Ways that were tried, told as soon as they are known.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct Tried {
    /// How many ways there are for all workers.
    pub(crate) ways: usize,
    /// What came of those that were tried since the last word.
    pub(crate) outcomes: Vec<Outcome>,
}

/// What a long question is about; one question of each is open at a time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Topic {
    /// An outage second by second.
    Drill,
    /// Outages from every hour.
    Survival,
    /// Outages from every hour, by what the batteries hold.
    SurvivalByCharge,
    /// Sizes that serve more without a grid.
    Sizes,
    /// A day under an export limit, second by second.
    ExportControl,
    /// Money over the years.
    Money,
    /// The optimum of the year, and what rules and plans reach of it.
    Best,
    /// What PV makes over the year.
    Generation,
}

/// A long question about an option.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) enum Question {
    /// An outage second by second.
    Drill {
        /// The option.
        option: OptionId,
        /// What is to be tried.
        wish: DrillWish,
    },
    /// Outages from every hour of the year.
    Survival {
        /// The option.
        option: OptionId,
        /// What the batteries hold when the grid goes.
        start: StartSoc,
    },
    /// Outages from every hour of the year, once for each of these charges at the start.
    SurvivalByCharge {
        /// The option.
        option: OptionId,
        /// What the batteries hold when the grid goes.
        starts: Vec<StartSoc>,
    },
    /// Sizes that serve more without a grid.
    Sizes(OptionId),
    /// Money over the years.
    Money(OptionId),
    /// A day under an export limit, second by second.
    ExportControl {
        /// The option.
        option: OptionId,
        /// Day of the year, 0 is 1 January, to 364.
        day: u32,
    },
    /// The optimum of the year, and what rules and plans reach of it.
    Best(OptionId),
    /// What PV makes over the year.
    Generation(OptionId),
}

impl Question {
    /// The option that it is about.
    pub(crate) fn option(&self) -> OptionId {
        match self {
            Self::Drill { option, .. }
            | Self::Survival { option, .. }
            | Self::SurvivalByCharge { option, .. }
            | Self::Sizes(option)
            | Self::Money(option)
            | Self::Best(option)
            | Self::Generation(option)
            | Self::ExportControl { option, .. } => *option,
        }
    }
}

/// Which drill is to be run.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) enum DrillWish {
    /// This one.
    Case(DrillCase),
    /// One that the year of the option tells.
    Moment(DrillMoment),
}

/// What a long question found.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) enum Found {
    /// A drill.
    Drill(Box<Drill>),
    /// Outages from every hour.
    Survival(OutageSurvival),
    /// Outages from every hour, once for each charge that was asked for.
    SurvivalByCharge(Vec<OutageSurvival>),
    /// Sizes that serve more without a grid.
    Sizes(Vec<SizesFor>),
    /// Money over the years.
    Money(Box<Outlook>),
    /// A day under an export limit.
    ExportControl(Box<ExportDay>),
    /// The optimum of the year, and what rules and plans reach of it.
    Best(Box<Foresight>),
    /// What PV makes in each step of the year, W.
    Generation(Vec<f64>),
}

/// What limits PV at the export limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) enum LimitedBy {
    /// What each PV inverter is set to.
    AsSet,
    /// Nothing limits any of them.
    Nothing,
    /// All follow a command.
    Command,
    /// All are dropped by a relay.
    Relay,
}

/// A day under an export limit, second by second.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct ExportDay {
    /// Day of the year, 0 is 1 January.
    pub(crate) day: u32,
    /// The limit, W.
    pub(crate) limit_w: f64,
    /// What each way of limiting comes to.
    pub(crate) ways: Vec<(LimitedBy, ExportFigures)>,
    /// The day as it is set.
    pub(crate) trace: ExportTrace,
}

/// Sizes that serve a wanted share of the loads without the generator.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct SizesFor {
    /// The wanted share, 0 to 1.
    pub(crate) share: f64,
    /// All arrays scaled alike, the batteries as they are; none: no size does.
    pub(crate) arrays: Option<Sizing>,
    /// All batteries scaled alike, the arrays as they are; none: no size does.
    pub(crate) batteries: Option<Sizing>,
    /// Both scaled alike; none: no size does.
    pub(crate) both: Option<Sizing>,
}

/// A view of one option.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct Shown {
    /// Figures of the option.
    pub(crate) figures: Figures,
    /// Its day.
    pub(crate) day: DayTrace,
    /// Its year.
    pub(crate) strip: YearStrip,
    /// The cold and the heat of the site.
    pub(crate) temperatures: DesignTemperatures,
}

/// What the worker answers.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) enum Answer {
    /// The view.
    Shown(Box<Shown>),
    /// Figures of an option that is not viewed.
    Figures {
        /// The option.
        option: OptionId,
        /// Its figures.
        figures: Box<Figures>,
    },
    /// What a long question found.
    Found(Box<Found>),
    /// Every way of this worker was tried; what came of them was told on the way.
    Advised,
    /// The worker has no household, or not this option: it must be sent again.
    SendHousehold,
    /// It cannot be run; the text says why.
    Refused(String),
}

/// The bytes of a request or an answer. Empty if it has no form as bytes, which none of our types is without.
pub(crate) fn to_bytes(value: &impl Serialize) -> Vec<u8> {
    postcard::to_stdvec(value).unwrap_or_default()
}

/// A request or an answer from its bytes.
///
/// **Errors**: the bytes are of something else, as when page and worker are of different builds.
pub(crate) fn from_bytes<T: DeserializeOwned>(bytes: &[u8]) -> Result<T, String> {
    postcard::from_bytes(bytes).map_err(|error| {
        format!("page and calculation do not understand each other ({error}); reload the page")
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use couplet_core::document::demo;

    #[test]
    fn a_request_comes_through_as_it_was_sent() {
        let view = View {
            option: OptionId(2),
            day: 171,
            step_s: 900,
            quantity: StripQuantity::Pv,
        };
        let request = Request::Household {
            household: Arc::new(demo()),
            view,
        };
        assert_eq!(from_bytes(&to_bytes(&request)), Ok(request));
        assert!(from_bytes::<Request>(&[255, 255]).is_err());
    }
}
