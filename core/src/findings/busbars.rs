//! Findings of busbars, of the transfer path and of the service.

use super::demand::{self, Demand, power_w};
use super::finding::{Head, against, figure};
use super::generator;
use super::generic::is_three_phase;
use super::storage::known;
use super::{Context, Finding, Missing, PanelDetails, Topic};
use crate::drawing::Part;
use crate::household::{AcSide, PanelFeed};
use crate::limits::Unit;
use crate::rules::{
    Busbar, BusbarCheck, Clause, Code, Device, Source, Term, continuous_basis_a,
    controlled_sources_a,
};

/// Findings of both panels, the path between them and the service.
pub(super) fn judge(context: &Context<'_>, found: &mut Vec<Finding>) {
    let has_utility = context.household.service.utility;
    if has_utility {
        let panel = &context.details.grid_side;
        let sources_a = context.sources_a(AcSide::GridSide) + context.sources_a(AcSide::BackedUp);
        if sources_a > 0.0 {
            if panel.given.supply_side {
                found.push(supply_side(context, sources_a));
            } else {
                on_busbar(context, panel, Part::Service, sources_a, found);
            }
            if panel.given.control_a.is_some() {
                found.push(power_control(context, panel, Part::Service));
            }
        }
        found.push(service_load(context));
    }
    let sources_a = context.sources_a(AcSide::BackedUp);
    if sources_a > 0.0 || (!has_utility && context.option.generator.is_some()) {
        let panel = &context.details.backed_up;
        on_busbar(context, panel, Part::Transfer, sources_a, found);
        if panel.given.control_a.is_some() {
            found.push(power_control(context, panel, Part::Transfer));
        }
        if has_utility {
            found.push(transfer_path(context, sources_a));
        }
    }
}

/// Findings of a panel whose sources join on its busbar.
fn on_busbar(
    context: &Context<'_>,
    panel: &PanelDetails,
    part: Part,
    sources_a: f64,
    found: &mut Vec<Finding>,
) {
    let name = if part == Part::Service {
        "main panel"
    } else {
        "backed-up panel"
    };
    let supply = Supply::of(context, panel, part);
    let of_both = [
        Some(busbar(context, panel, part, name, sources_a, &supply)),
        feed_through(context, panel, part, sources_a, &supply),
    ];
    found.extend(of_both.into_iter().flatten().map(|finding| {
        finding
            .assuming(
                supply.is_generator,
                "that the generator feeds the busbar where its supply does",
            )
            .resting_on(supply.rests_on)
    }));
}

/// What feeds a busbar besides its sources.
struct Supply {
    /// Current that it adds, A.
    device_a: f64,
    /// How it is told in a sum.
    words: String,
    /// Whether it is the generator.
    is_generator: bool,
    /// What its current rests on, if anything.
    rests_on: Option<&'static str>,
}

impl Supply {
    /// On the backed-up side the supply or the generator, whichever is more, since a generator runs only while there is no grid.
    fn of(context: &Context<'_>, panel: &PanelDetails, part: Part) -> Self {
        let has_utility = context.household.service.utility;
        let generator = (context.option.generator.as_ref())
            .filter(|_| part == Part::Transfer)
            .map(|generator| {
                let rated_a = generator::rated_a(context.household, generator);
                let rests_on = generator::rests_on(generator);
                match context.code {
                    Code::Nec(_) => (rests_on, rated_a, "1.25 × ", continuous_basis_a(rated_a)),
                    Code::Iec => (rests_on, rated_a, "", rated_a),
                }
            })
            .filter(|(.., share_a)| !has_utility || *share_a > panel.supply_device_a);
        match generator {
            Some((rests_on, rated_a, factor, share_a)) => Self {
                device_a: share_a,
                words: format!(" + {factor}{} A of the generator", figure(rated_a, 1)),
                is_generator: true,
                rests_on,
            },
            None if has_utility => Self {
                device_a: panel.supply_device_a,
                words: format!(" + {} A supply", figure(panel.supply_device_a, 0)),
                is_generator: false,
                rests_on: None,
            },
            None => Self {
                device_a: 0.0,
                words: String::new(),
                is_generator: false,
                rests_on: None,
            },
        }
    }
}

/// A busbar bears its sources by one of the rules that its code knows.
fn busbar(
    context: &Context<'_>,
    panel: &PanelDetails,
    part: Part,
    name: &str,
    all_sources_a: f64,
    supply: &Supply,
) -> Finding {
    let sources_a = controlled_sources_a(all_sources_a, panel.given.control_a);
    let has_utility = context.household.service.utility;
    // Without a utility no rule of the interconnection of sources serves: the busbar bears the sum.
    let only_whole = context.code == Code::Iec || !has_utility;
    let whole_clause = match has_utility {
        true => Clause::BusbarWhole,
        false => Clause::StandAloneBusbar,
    };
    let head = |clause: Clause| Head {
        rule: "busbar",
        title: "busbar with its sources",
        topic: Topic::Busbars,
        part,
        source: clause.source(context.code),
    };
    let bar = Busbar {
        rating_a: panel.busbar_a.unwrap_or(0.0),
        supply_device_a: supply.device_a,
        sources_a,
        breakers_a: panel
            .given
            .load_breakers_a
            .map(|loads_a| loads_a + continuous_basis_a(sources_a)),
    };
    let far_end_clause = match panel.given.feed {
        PanelFeed::End => Clause::BusbarFarEnd,
        PanelFeed::Centre => Clause::BusbarCentreFed,
    };
    let (factor, whole) = match context.code {
        Code::Nec(_) => ("1.25 × ", bar.whole()),
        Code::Iec => ("", bar.whole_iec()),
    };
    let sum = format!(
        "{name}: {factor}{} A of sources{} = {} A",
        figure(sources_a, 1),
        supply.words,
        figure(whole.value_a, 1)
    );
    if panel.busbar_a.is_none() {
        let least = if only_whole {
            format!(
                "a busbar of {} A bears them",
                figure(libm::ceil(whole.value_a), 0)
            )
        } else {
            format!(
                "a busbar of {} A bears them anywhere, one of {} A with the sources at its far end",
                figure(libm::ceil(whole.value_a), 0),
                figure(libm::ceil(bar.least_far_end_rating_a()), 0)
            )
        };
        return Finding::not_judged(
            head(whole_clause),
            &[Missing::BusbarRating],
            format!("{sum}; {least}"),
        );
    }
    let judged = |clause: Clause, check: BusbarCheck, limit: &str| {
        let sign = against(check.value_a, check.limit_a, true);
        Finding::at_most(
            head(clause),
            check.value_a,
            check.limit_a,
            Unit::A,
            format!("{sum} {sign} {limit}"),
        )
    };
    let rating = figure(bar.rating_a, 0);
    if only_whole || whole.is_met() {
        let least = figure(libm::ceil(whole.value_a), 0);
        let or_else = match has_utility {
            true => "or a smaller supply breaker",
            false => "or hold the sources down",
        };
        return judged(whole_clause, whole, &format!("{rating} A"))
            .remedy(format!("take a busbar of at least {least} A, {or_else}"));
    }
    if let Some(check) = bar.sum()
        && check.is_met()
    {
        let formula = format!(
            "{name}: all breakers but the supply's = {} A ≤ {rating} A",
            figure(check.value_a, 1)
        );
        return Finding::at_most(
            head(Clause::BusbarSum),
            check.value_a,
            check.limit_a,
            Unit::A,
            formula,
        );
    }
    let far_end = bar.far_end();
    let limit = format!("1.2 × {rating} A = {} A", figure(far_end.limit_a, 1));
    if panel.given.sources_at_far_end == Some(false) {
        return judged(Clause::BusbarWhole, whole, &format!("{rating} A"))
            .remedy("move the breakers of the sources to the end away from the supply");
    }
    let remedy = if far_end.is_met() {
        match panel.given.feed {
            PanelFeed::End => {
                "holds only with the breakers of all sources at the end away from the supply, and the label that they must stay there"
                    .to_owned()
            }
            PanelFeed::Centre => {
                "fed at its centre: holds only with the breakers of all sources at one end, and the label that they must stay there"
                    .to_owned()
            }
        }
    } else {
        let smaller_main_a = 1.2 * bar.rating_a - continuous_basis_a(sources_a);
        format!(
            "hold the sources to {} A by a power control system, take a supply breaker of at most {} A if the load permits, take a busbar of \
             at least {} A, or join ahead of the main breaker",
            figure(bar.far_end_room_a(), 1),
            figure(smaller_main_a.max(0.0), 1),
            figure(libm::ceil(bar.least_far_end_rating_a()), 0),
        )
    };
    judged(far_end_clause, far_end, &limit)
        .watched_if(panel.given.sources_at_far_end.is_none())
        .remedy(remedy)
}

/// The conductors that leave by feed-through lugs bear what supply and sources can send into them, as the busbar does anywhere.
fn feed_through(
    context: &Context<'_>,
    panel: &PanelDetails,
    part: Part,
    all_sources_a: f64,
    supply: &Supply,
) -> Option<Finding> {
    if !panel.given.feed_through {
        return None;
    }
    let head = Head {
        rule: "feed-through",
        title: "conductors at feed-through lugs",
        topic: Topic::Busbars,
        part,
        source: match context.household.service.utility {
            true => Clause::BusbarFeedThrough,
            false => Clause::StandAloneBusbar,
        }
        .source(context.code),
    };
    let sources_a = controlled_sources_a(all_sources_a, panel.given.control_a);
    let (factor, value_a) = match context.code {
        Code::Nec(_) => ("1.25 × ", continuous_basis_a(sources_a) + supply.device_a),
        Code::Iec => ("", sources_a + supply.device_a),
    };
    let sum = format!(
        "{factor}{} A of sources{} = {} A",
        figure(sources_a, 1),
        supply.words,
        figure(value_a, 1)
    );
    Some(match panel.given.feed_through_a {
        Some(limit_a) => Finding::at_most(
            head,
            value_a,
            limit_a,
            Unit::A,
            format!(
                "{sum} {} {} A of the conductors",
                against(value_a, limit_a, true),
                figure(limit_a, 0)
            ),
        )
        .remedy("lay larger conductors from the lugs, put a breaker of their ampacity at their beginning, or hold the sources down"),
        None => Finding::not_judged(
            head,
            &[Missing::FeedThroughAmpacity],
            format!("{sum}: both the busbar and the conductors that leave it must bear supply and sources"),
        ),
    })
}

/// A controller that stands in for busbar arithmetic must be fit for it.
fn power_control(context: &Context<'_>, panel: &PanelDetails, part: Part) -> Finding {
    known(
        Head {
            rule: "power-control",
            title: "power control system",
            topic: Topic::Busbars,
            part,
            source: Clause::PowerControl.source(context.code),
        },
        panel.given.control_listed,
        Missing::PowerControlListing,
        "a controller that stands in for busbar arithmetic is listed for it, fails to a safe state and is set by qualified people only",
        "take a listed power control system and lock its setting, or let the busbar bear the sources without it",
    )
}

/// Sources ahead of the service disconnect are no more than the service.
fn supply_side(context: &Context<'_>, sources_a: f64) -> Finding {
    let limit_a = context.household.service.main_breaker_a;
    Finding::at_most(
        Head {
            rule: "supply-side",
            title: "connection ahead of the service disconnect",
            topic: Topic::Busbars,
            part: Part::Service,
            source: Clause::SupplySide.source(context.code),
        },
        sources_a,
        limit_a,
        Unit::A,
        format!(
            "{} A of sources {} {} A of the service; conductors of at least 6 AWG copper or 4 AWG {}, disconnect close to the tap",
            figure(sources_a, 1),
            against(sources_a, limit_a, true),
            figure(limit_a, 0),
            Term::Aluminium.under(context.code)
        ),
    )
    .watched_if(true)
    .remedy("the tap needs the utility's consent and equipment rated for service use; the sources must stay within the service")
}

/// The transfer switch and its breaker carry all sources behind them continuously.
fn transfer_path(context: &Context<'_>, all_sources_a: f64) -> Finding {
    let sources_a = controlled_sources_a(all_sources_a, context.details.backed_up.given.control_a);
    let value_a = match context.code {
        Code::Nec(_) => continuous_basis_a(sources_a),
        Code::Iec => sources_a,
    };
    let limit_a = context.household.service.transfer_a;
    let factor = match context.code {
        Code::Nec(_) => "1.25 × ",
        Code::Iec => "",
    };
    Finding::at_most(
        Head {
            rule: "transfer-path",
            title: "sources through the transfer switch",
            topic: Topic::Busbars,
            part: Part::Transfer,
            source: Clause::Feeder.source(context.code),
        },
        value_a,
        limit_a,
        Unit::A,
        format!(
            "{factor}{} A of sources on the backed-up side = {} A {} {} A",
            figure(sources_a, 1),
            figure(value_a, 1),
            against(value_a, limit_a, true),
            figure(limit_a, 0)
        ),
    )
    .remedy("take a larger transfer switch, or join a source on the grid side")
}

/// A load that a device carries on each line.
struct Carried {
    rule: &'static str,
    title: &'static str,
    part: Part,
    remedy: &'static str,
    /// Rating of the device, A.
    limit_a: f64,
    /// All of it; none: not enough is known.
    demand: Option<Demand>,
    /// Power of the devices in it, W.
    devices_w: f64,
    /// What would settle it.
    missing: Missing,
}

/// The main breaker carries the load of the dwelling.
fn service_load(context: &Context<'_>) -> Finding {
    let household = context.household;
    let load = Carried {
        rule: "service-load",
        title: "load of the dwelling on the main breaker",
        part: Part::Service,
        remedy: "take a larger service, or limit the load by an energy management system",
        limit_a: household.service.main_breaker_a,
        demand: demand::of_home(context),
        devices_w: power_w(household.loads.devices.iter()),
        missing: Missing::Dwelling,
    };
    carried(context, load)
}

/// The transfer switch carries the load of the backed-up panel while the grid feeds it.
pub(super) fn transfer_load(context: &Context<'_>) -> Finding {
    let household = context.household;
    let backed_up = (household.loads.devices.iter()).filter(|device| device.backed_up);
    let load = Carried {
        rule: "transfer-load",
        title: "load of the backed-up panel through the transfer switch",
        part: Part::Transfer,
        remedy: "take a larger transfer switch, or move loads to the grid side",
        limit_a: household.service.transfer_a,
        demand: demand::of_backed_up_panel(context),
        devices_w: power_w(backed_up),
        missing: Missing::BackedUpDwelling,
    };
    carried(context, load)
}

/// Judges a load by all of it, or by its devices alone where those are too much already.
fn carried(context: &Context<'_>, load: Carried) -> Finding {
    let Carried {
        devices_w, limit_a, ..
    } = load;
    let head = |source: Source| Head {
        rule: load.rule,
        title: load.title,
        topic: Topic::Busbars,
        part: load.part,
        source,
    };
    let devices_a = devices_w / context.household.service.supply.power_w(1.0);
    let alone = || (devices_a > limit_a).then(|| demand::of_devices(devices_w));
    match load.demand.or_else(alone) {
        Some(demand) => {
            let head = head(demand.source(demand.clause, context.code));
            let finding = line_load(context, head, &demand, limit_a).remedy(load.remedy);
            let load_a = finding.value;
            finding.with_device(context.code, Device::Service, limit_a, load_a)
        }
        None => Finding::not_judged(
            head(Clause::NewDwellingLoad.source(context.code)),
            &[demand::missing(context, load.missing)],
            format!(
                "devices alone: {} W, {} A of {} A, base use not known",
                figure(devices_w, 0),
                figure(devices_a, 1),
                figure(limit_a, 0)
            ),
        )
        .with_device(context.code, Device::Service, limit_a, Some(devices_a)),
    }
}

/// A load on each line against what a device carries.
fn line_load(context: &Context<'_>, head: Head, demand: &Demand, limit_a: f64) -> Finding {
    let supply = context.household.service.supply;
    let value_a = demand.va / supply.power_w(1.0);
    let mut finding = Finding::at_most(
        head,
        value_a,
        limit_a,
        Unit::A,
        format!(
            "{} = {} VA, {} A {} {} A",
            demand.how,
            figure(demand.va, 0),
            figure(value_a, 1),
            against(value_a, limit_a, true),
            figure(limit_a, 0)
        ),
    )
    .assuming(
        is_three_phase(supply),
        "that the load is spread evenly over the lines",
    );
    finding.assumed.extend(&demand.assumed);
    finding
}
