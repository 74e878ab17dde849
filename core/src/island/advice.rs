//! From what went wrong in an island to what would mend it, with the numbers.

use serde::{Deserialize, Serialize};

use super::plant::{IslandDrive, IslandPlant};
use super::pv::{PvTrip, droop_floor_w};
use super::record::{Happening, IslandRun};
use super::unit::UnitDown;
use crate::coupling::IslandMeans;

/// What would mend something. Numbers count the plant's inverters and units from 0; powers in W.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Advice {
    /// A droop that trips before it has backed off far enough.
    DroopFloor {
        /// The PV inverter.
        inverter: usize,
        /// Least power that all PV inverters can hold together without tripping, from what the sun offered.
        floor_w: f64,
        /// Least power that loads and batteries took meanwhile.
        sink_w: f64,
        /// Slope that would have reached it before the nearer trip, share of rating per hertz; none: no slope does.
        slope_per_hz: Option<f64>,
        /// Droop setting that goes with this slope, share of nominal frequency for the whole of rated power.
        droop: Option<f64>,
    },
    /// A PV inverter without a droop that dropped and came back again and again.
    AllOrNothing {
        /// The PV inverter.
        inverter: usize,
        /// How often it tripped.
        trips: u32,
    },
    /// The frequency ceiling of the storage inverters lies below what the droop needs.
    RiseTooLow {
        /// Ceiling, Hz above nominal.
        rise_hz: f64,
        /// What would reach the sinks, Hz above nominal.
        needed_hz: f64,
    },
    /// More AC PV than the storage inverters are rated for: a load that drops off sends all of it to them.
    MorePvThanStorage {
        /// Rated AC PV.
        pv_w: f64,
        /// Rated storage inverters.
        storage_w: f64,
    },
    /// A storage inverter was asked for more than it bears.
    InverterTooSmall {
        /// The storage unit.
        unit: usize,
        /// Most that was asked of it.
        asked_w: f64,
        /// Its rating.
        rated_w: f64,
        /// The most that it bears for a moment.
        surge_w: f64,
    },
    /// A battery bore more than its limits for too long.
    BatteryPressed {
        /// The storage unit.
        unit: usize,
        /// Most that came beyond its limits.
        over_w: f64,
    },
    /// The bus went dark for want of energy and nothing could lift the battery: only AC PV stands, and it needs a live bus.
    NothingLiftsTheBattery,
    /// The bus went dark for want of energy and DC PV or a generator lifted it again.
    CameBack {
        /// Time from dark to live, s.
        after_s: f64,
    },
    /// No storage unit stands on the backed-up side: nothing holds the bus.
    NothingHoldsTheBus,
}

/// What would mend what went wrong in a run, the worst first.
#[must_use]
pub fn advise(plant: &IslandPlant, drive: &IslandDrive, run: &IslandRun) -> Vec<Advice> {
    let mut advice = Vec::new();
    if plant.units.is_empty() {
        advice.push(Advice::NothingHoldsTheBus);
        return advice;
    }
    let happened =
        |wanted: &dyn Fn(&Happening) -> bool| run.events.iter().any(|event| wanted(&event.what));
    for (unit, placed) in plant.units.iter().enumerate() {
        let rated_w = placed.unit.law.rated_w;
        if happened(&|what| *what == Happening::UnitWentDown(unit, UnitDown::InverterOverload)) {
            advice.push(Advice::InverterTooSmall {
                unit,
                asked_w: run.figures.worst_inverter_share * rated_w,
                rated_w,
                surge_w: placed
                    .unit
                    .surge
                    .last()
                    .map_or(rated_w, |surge| surge.power_w),
            });
        }
        if happened(&|what| *what == Happening::UnitWentDown(unit, UnitDown::BatteryOverload)) {
            advice.push(Advice::BatteryPressed {
                unit,
                over_w: run.figures.worst_battery_over_w,
            });
        }
    }
    if happened(&|what| matches!(what, Happening::UnitWentDown(_, UnitDown::Empty)))
        && let Some(dark_s) = run.figures.first_dark_s
    {
        match run.figures.back_s {
            Some(back_s) => advice.push(Advice::CameBack {
                after_s: back_s - dark_s,
            }),
            None => {
                let has_dc = drive
                    .unit_dc_w
                    .iter()
                    .flatten()
                    .any(|power_w| *power_w > 0.0);
                if !has_dc && plant.generator.is_none() {
                    advice.push(Advice::NothingLiftsTheBattery);
                }
            }
        }
    }
    trips(plant, run, &mut advice);
    let (pv_w, storage_w) = (plant.pv_rated_w(), plant.storage_rated_w());
    if pv_w > storage_w {
        advice.push(Advice::MorePvThanStorage { pv_w, storage_w });
    }
    advice
}

fn trips(plant: &IslandPlant, run: &IslandRun, advice: &mut Vec<Advice>) {
    let tripped = |inverter: usize| {
        let over = Happening::PvTripped(inverter, PvTrip::OverFrequency);
        let events = run.events.iter().filter(|event| event.what == over).count();
        u32::try_from(events).unwrap_or(u32::MAX)
    };
    let sink_w = run.figures.least_sink_w.unwrap_or(f64::INFINITY);
    let offered_w = run.figures.offered_at_least_sink_w;
    let rated_w = plant.pv_rated_w();
    // What the sun offers, spread over the inverters by rating: the share of rating from which each backs off.
    let start = if rated_w > 0.0 {
        (offered_w / rated_w).min(1.0)
    } else {
        0.0
    };
    let most_hz = plant.nominal_hz + plant.running.rise_hz;
    let floor_w: f64 = (plant.inverters.iter())
        .filter(|one| one.means == IslandMeans::Frequency)
        .map(|one| {
            let own_w = one.law.rated_w;
            droop_floor_w(&one.settings, own_w, start * own_w, most_hz).sustained_w
        })
        .sum();
    for (inverter, one) in plant.inverters.iter().enumerate() {
        let trips = tripped(inverter);
        if trips == 0 {
            continue;
        }
        let Some(droop) = one.settings.droop else {
            advice.push(Advice::AllOrNothing { inverter, trips });
            continue;
        };
        let room_hz = one.settings.over_near.at_hz - droop.from_hz;
        let wanted = start - sink_w / rated_w.max(1.0);
        // A tenth of a hertz before the trip, so that the setting has room.
        let slope_per_hz = (room_hz > 0.1 && wanted > 0.0).then(|| wanted / (room_hz - 0.1));
        advice.push(Advice::DroopFloor {
            inverter,
            floor_w,
            sink_w,
            slope_per_hz,
            droop: slope_per_hz.map(|slope| 1.0 / (slope * plant.nominal_hz)),
        });
    }
    // A ceiling that no droop has used up keeps PV from backing off, and the battery is pressed instead.
    let held = run.figures.worst_battery_over_w > 0.0;
    let needed_hz = plant
        .inverters
        .iter()
        .filter_map(|one| one.settings.droop)
        .map(|droop| {
            let given_up = (start - sink_w / rated_w.max(1.0)).max(0.0);
            // In shares of the rating, from full power.
            droop.at_hz(1.0, 1.0, given_up) - plant.nominal_hz
        })
        .fold(0.0_f64, f64::max);
    let at_ceiling = run.figures.highest_hz >= most_hz - 1e-3;
    if held && at_ceiling && needed_hz > plant.running.rise_hz {
        advice.push(Advice::RiseTooLow {
            rise_hz: plant.running.rise_hz,
            needed_hz,
        });
    }
}
