//! What the loads of the home, and those of the backed-up panel, ask of their supply.

use super::Context;
use super::finding::figure;
use super::given::dwelling_loads;
use crate::household::{BaseUse, Device};
use crate::rules::{Clause, Code, HomeCircuits, NecEdition, PooledLoad, measured_load_va};

/// What loads ask of their supply.
pub(super) struct Demand {
    /// How much, VA; watts are taken as volt-amperes.
    pub(super) va: f64,
    /// The rule that it is calculated by.
    pub(super) clause: Clause,
    /// How it comes about, in words, without the result.
    pub(super) how: String,
    /// What it rests on.
    pub(super) assumed: Vec<&'static str>,
}

/// Where diversity comes from.
const ON_SITE_TABLE: &str = "diversity by the usual on-site table, from memory";

/// What all loads of the home ask for; none if not enough is known.
pub(super) fn of_home(context: &Context<'_>) -> Option<Demand> {
    let household = context.household;
    let devices_w = power_w(household.loads.devices.iter());
    match context.code {
        Code::Nec(edition) => {
            if let Some(loads) = context.details.dwelling_loads {
                return Some(if loads.has_added() {
                    let assumed = (edition >= NecEdition::Of2026).then_some(
                        "that what stands counts as in 120.82: 8 kVA whole, 40 % of the rest",
                    );
                    Demand {
                        assumed: assumed.into_iter().collect(),
                        ..pooled(
                            Clause::ExistingDwellingLoad,
                            loads.existing_dwelling(edition),
                        )
                    }
                } else {
                    pooled(Clause::NewDwellingLoad, loads.new_dwelling(edition))
                });
            }
        }
        Code::Iec => {
            if let Some(home) = &household.electrical.home_circuits {
                return Some(diverse(home, 1.0, devices_w));
            }
        }
    }
    let highest_w = highest_metered_w(context)?;
    Some(Demand {
        va: measured_load_va(highest_w, devices_w),
        clause: Clause::MeasuredLoad,
        how: format!(
            "1.25 × {} W metered + {} W of devices",
            figure(highest_w, 0),
            figure(devices_w, 0)
        ),
        assumed: Vec::new(),
    })
}

/// What the loads of the backed-up panel ask for in an outage, when devices that may be shed are off; none if not enough is known.
pub(super) fn in_an_outage(context: &Context<'_>) -> Option<Demand> {
    of_backed_up(context, |device| device.shed_order.is_none())
}

/// What the loads of the backed-up panel ask for while the grid feeds them; none if not enough is known.
pub(super) fn of_backed_up_panel(context: &Context<'_>) -> Option<Demand> {
    of_backed_up(context, |_| true)
}

fn of_backed_up(context: &Context<'_>, runs: impl Fn(&Device) -> bool) -> Option<Demand> {
    let loads = &context.household.loads;
    let share = loads.backed_up_share;
    let running = loads
        .devices
        .iter()
        .filter(|device| device.backed_up && runs(device));
    let devices_w = power_w(running.clone());
    if share <= 0.0 {
        return Some(Demand {
            va: devices_w,
            clause: Clause::NewDwellingLoad,
            how: format!("devices {} W", figure(devices_w, 0)),
            assumed: Vec::new(),
        });
    }
    let holds_at_the_peak = "that the backed-up share holds at the peak";
    if let Some(highest_w) = highest_metered_w(context) {
        return Some(Demand {
            va: 1.25 * share * highest_w + devices_w,
            clause: Clause::MeasuredLoad,
            how: format!(
                "1.25 × {} % of {} W metered + {} W of devices",
                figure(100.0 * share, 1),
                figure(highest_w, 0),
                figure(devices_w, 0)
            ),
            assumed: vec![holds_at_the_peak],
        });
    }
    match context.code {
        Code::Nec(edition) => {
            let dwelling = context.household.electrical.dwelling.as_ref()?;
            let part = dwelling_loads(dwelling, running, share);
            Some(Demand {
                assumed: if share < 1.0 {
                    vec![
                        "that the backed-up share holds for every kind of load",
                        "that the optional method serves for part of a dwelling",
                    ]
                } else {
                    Vec::new()
                },
                ..pooled(Clause::NewDwellingLoad, part.new_dwelling(edition))
            })
        }
        Code::Iec => {
            let home = context.household.electrical.home_circuits.as_ref()?;
            let mut demand = diverse(home, share, devices_w);
            if share < 1.0 {
                demand.assumed.push(holds_at_the_peak);
            }
            Some(demand)
        }
    }
}

/// Highest metered use of the base, W; none if it is not metered.
fn highest_metered_w(context: &Context<'_>) -> Option<f64> {
    match &context.household.loads.base {
        BaseUse::Intervals(metered) => Some(metered.power_w.iter().copied().fold(0.0, f64::max)),
        BaseUse::Yearly { .. } | BaseUse::Monthly { .. } => None,
    }
}

/// Power of devices, W.
pub(super) fn power_w<'a>(devices: impl Iterator<Item = &'a Device>) -> f64 {
    devices.map(|device| device.kind.power_w()).sum()
}

fn pooled(clause: Clause, load: PooledLoad) -> Demand {
    let over_va = (load.pool_va - load.whole_va).max(0.0);
    let mut how = format!("{} VA", figure(load.pool_va.min(load.whole_va), 0));
    if over_va > 0.0 {
        how.push_str(&format!(" + 40 % of {} VA", figure(over_va, 0)));
    }
    if load.beside_va > 0.0 {
        how.push_str(&format!(
            " + {} VA of {}",
            figure(load.beside_va, 0),
            load.beside
        ));
    }
    Demand {
        va: load.va(),
        clause,
        how,
        assumed: Vec::new(),
    }
}

/// A share of the home's circuits with diversity, and devices whole.
fn diverse(home: &HomeCircuits, share: f64, devices_w: f64) -> Demand {
    let parts: Vec<String> = home
        .demand()
        .iter()
        .filter(|part| part.connected_w > 0.0)
        .map(|part| {
            format!(
                "{} {} of {} W",
                part.what,
                figure(part.demand_w, 0),
                figure(part.connected_w, 0)
            )
        })
        .collect();
    let mut how = parts.join(" + ");
    if share < 1.0 {
        how = format!("{} % of ({how})", figure(100.0 * share, 1));
    }
    how.push_str(&format!(" + devices {} W", figure(devices_w, 0)));
    Demand {
        va: share * home.demand_w() + devices_w,
        clause: Clause::NewDwellingLoad,
        how,
        assumed: vec![ON_SITE_TABLE],
    }
}
