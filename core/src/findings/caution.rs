//! What who works on such an installation must know, in our own words.

use crate::rules::{Code, Term};

/// A caution.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Caution {
    /// DC is live by day.
    LiveInDaylight,
    /// Battery fault current.
    BatteryFault,
    /// DC arcs.
    DcArc,
    /// Where a battery may stand.
    BatteryPlace,
    /// Cells that burn.
    CellFire,
    /// Backfeed.
    Backfeed,
    /// Before inspection.
    BeforeInspection,
    /// Neutral and earth.
    NeutralAndEarth,
    /// The roof.
    Roof,
    /// Generators.
    Generator,
    /// Batteries of different kinds.
    MixedBatteries,
    /// Behaviour without the grid.
    IslandIsAnEstimate,
    /// Estimates.
    PlanningOnly,
    /// People who depend on power.
    MedicalEquipment,
}

impl Caution {
    /// Every caution.
    pub const ALL: [Self; 14] = [
        Self::LiveInDaylight,
        Self::BatteryFault,
        Self::DcArc,
        Self::BatteryPlace,
        Self::CellFire,
        Self::Backfeed,
        Self::BeforeInspection,
        Self::NeutralAndEarth,
        Self::Roof,
        Self::Generator,
        Self::MixedBatteries,
        Self::IslandIsAnEstimate,
        Self::PlanningOnly,
        Self::MedicalEquipment,
    ];

    /// The caution in the words of a code.
    #[must_use]
    pub fn words(self, code: Code) -> &'static str {
        match self {
            Self::LiveInDaylight => {
                "PV conductors are live in daylight, and batteries always, even when the main breaker is off: several hundred volts \
                 DC kill. Do not open them."
            }
            Self::BatteryFault => {
                "A battery can drive thousands of amperes through a slipped tool: insulated tools, covers on, no jewellery."
            }
            Self::DcArc => {
                "A DC arc does not go out by itself: only gear rated for DC may break it."
            }
            Self::BatteryPlace => {
                "A battery\u{2019}s place and the clearances around it follow its listing and its maker\u{2019}s instructions; the fire code \
                 may ask for more."
            }
            Self::CellFire => {
                "Lithium cells can burn or give off toxic gas. Do not fight a burning battery indoors: get out, call the fire service, \
                 expect it to light again."
            }
            Self::Backfeed => {
                "A source on any panel can feed back into the lines: people at work on them rely on the isolating device. Never plug a \
                 source into a socket, never defeat the interlock."
            }
            Self::BeforeInspection => {
                "Do not switch on PV or storage before it has been inspected and the utility has given permission."
            }
            Self::NeutralAndEarth => Term::BondCaution.under(code),
            Self::Roof => {
                "Roof work: fall protection, fragile roofs, load, fire setbacks, weather."
            }
            Self::Generator => {
                "A generator never runs indoors: its exhaust kills. It never feeds back into the lines."
            }
            Self::MixedBatteries => {
                "Do not mix batteries of different kind or age, charge them harder than they are rated for, or charge them below their \
                 least temperature."
            }
            Self::IslandIsAnEstimate => {
                "How a standing PV inverter behaves without the grid is proved on site, by a test: what is computed is an estimate."
            }
            Self::PlanningOnly => {
                "These are estimates for planning: codes, the utility's rules and the makers' instructions come first. Qualified, licensed \
                 people design, install, test and connect."
            }
            Self::MedicalEquipment => {
                "Who depends on medical equipment keeps a certified backup of its own and tells the utility."
            }
        }
    }
}
