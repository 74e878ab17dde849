//! What the loads of the home, and those of the backed-up panel, ask of their supply.

use super::finding::figure;
use super::given::dwelling_loads;
use super::{Context, Missing};
use crate::household::{BaseUse, Device, Dwelling};
use crate::rules::{
    Clause, Code, DwellingLoads, HomeCircuits, NecEdition, PooledLoad, Source, SourceStatus,
    measured_load_va,
};

/// What loads ask of their supply.
pub(super) struct Demand {
    /// How much, VA; watts are taken as volt-amperes.
    pub(super) va: f64,
    /// The rule that it is calculated by.
    pub(super) clause: Clause,
    /// Whether the rule, written for a whole dwelling, serves for part of one.
    pub(super) of_part: bool,
    /// How it comes about, in words, without the result.
    pub(super) how: String,
    /// What it rests on.
    pub(super) assumed: Vec<&'static str>,
}

impl Demand {
    /// Where a rule that this load enters is written: what a text states for a whole dwelling is by analogy for part of one.
    pub(super) fn source(&self, clause: Clause, code: Code) -> Source {
        let source = clause.source(code);
        match source.status {
            SourceStatus::Published | SourceStatus::OneText if self.of_part => Source {
                status: SourceStatus::ByAnalogy,
                ..source
            },
            _ => source,
        }
    }
}

/// Where diversity comes from.
const ON_SITE_TABLE: &str = "diversity by the usual on-site table, from memory";

/// What a load is calculated from: the dwelling or the circuits of the home if they are given, else what was metered.
enum Basis<'a> {
    Dwelling(&'a Dwelling, NecEdition),
    Circuits(&'a HomeCircuits),
    /// Highest use of the base, W.
    Metered(f64),
}

impl<'a> Basis<'a> {
    fn of(context: &Context<'a>) -> Option<Self> {
        let given = &context.household.electrical;
        let told = match context.code {
            Code::Nec(edition) => {
                (given.dwelling.as_ref()).map(|dwelling| Self::Dwelling(dwelling, edition))
            }
            Code::Iec => given.home_circuits.as_ref().map(Self::Circuits),
        };
        told.or_else(|| highest_metered_w(&context.household.loads.base).map(Self::Metered))
    }
}

/// What would settle a load that nothing is known of: `dwelling` under the NEC.
pub(super) fn missing(context: &Context<'_>, dwelling: Missing) -> Missing {
    match context.code {
        Code::Nec(_) => dwelling,
        Code::Iec => Missing::HomeCircuits,
    }
}

/// What all loads of the home ask for; none if not enough is known.
pub(super) fn of_home(context: &Context<'_>) -> Option<Demand> {
    let devices = &context.household.loads.devices;
    Some(of_share(Basis::of(context)?, devices.iter(), 1.0))
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
    let running = (loads.devices.iter()).filter(|device| device.backed_up && runs(device));
    if share <= 0.0 {
        return Some(of_devices(power_w(running)));
    }
    Some(of_share(Basis::of(context)?, running, share))
}

/// What devices ask for alone, W.
pub(super) fn of_devices(devices_w: f64) -> Demand {
    Demand {
        va: devices_w,
        clause: Clause::NewDwellingLoad,
        of_part: false,
        how: format!("devices {} W", figure(devices_w, 0)),
        assumed: Vec::new(),
    }
}

/// What a share of the base and devices ask for.
fn of_share<'a>(
    basis: Basis<'_>,
    devices: impl Iterator<Item = &'a Device> + Clone,
    share: f64,
) -> Demand {
    let holds_at_the_peak = "that the backed-up share holds at the peak";
    let mut assumed = Vec::new();
    let mut demand = match basis {
        Basis::Dwelling(dwelling, edition) => {
            if share < 1.0 {
                assumed.push("that the backed-up share holds for every kind of load");
                assumed.push("that the optional method serves for part of a dwelling");
            }
            of_dwelling(&dwelling_loads(dwelling, devices, share), edition)
        }
        Basis::Circuits(home) => {
            if share < 1.0 {
                assumed.push(holds_at_the_peak);
            }
            diverse(home, share, power_w(devices))
        }
        Basis::Metered(highest_w) => {
            if share < 1.0 {
                assumed.push(holds_at_the_peak);
            }
            metered(highest_w, share, power_w(devices))
        }
    };
    demand.of_part = share < 1.0;
    demand.assumed.append(&mut assumed);
    demand
}

fn of_dwelling(loads: &DwellingLoads, edition: NecEdition) -> Demand {
    let mut demand = of_sorted(loads, edition);
    let supplement_va = loads.standing.climate.supplement_va + loads.added.climate.supplement_va;
    if supplement_va > 0.0 {
        demand
            .assumed
            .push("that the central heating supplements the heat pump and runs with it");
    }
    demand
}

fn of_sorted(loads: &DwellingLoads, edition: NecEdition) -> Demand {
    if !loads.has_added() {
        return pooled(Clause::NewDwellingLoad, loads.new_dwelling(edition));
    }
    let mut demand = pooled(
        Clause::ExistingDwellingLoad,
        loads.existing_dwelling(edition),
    );
    if edition >= NecEdition::Of2026 {
        demand
            .assumed
            .push("that what stands counts as in 120.82: 8 kVA whole, 40 % of the rest");
    }
    demand
}

fn metered(highest_w: f64, share: f64, devices_w: f64) -> Demand {
    let part = if share < 1.0 {
        format!("{} % of ", figure(100.0 * share, 1))
    } else {
        String::new()
    };
    Demand {
        va: measured_load_va(share * highest_w, devices_w),
        clause: Clause::MeasuredLoad,
        of_part: false,
        how: format!(
            "1.25 × {part}{} W metered + {} W of devices",
            figure(highest_w, 0),
            figure(devices_w, 0)
        ),
        assumed: Vec::new(),
    }
}

/// Highest metered use of the base, W; none if it is not metered.
fn highest_metered_w(base: &BaseUse) -> Option<f64> {
    match base {
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
        of_part: false,
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
        of_part: false,
        how,
        assumed: vec![ON_SITE_TABLE],
    }
}
