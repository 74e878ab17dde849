//! How the storage of the open option is run.

use couplet_core::coupling::{DcOrder, Running, RunningRule};
use couplet_core::household::OptionId;
use couplet_core::limits;
use couplet_core::running::own_hours_like;
use leptos::prelude::*;

use super::arrays::option_mut;
use super::own_hours::OwnHoursList;
use super::row::Row;
use super::{Details, Schedule};
use crate::desk::Desk;
use crate::parts::Choice;
use crate::words::Word;

/// The schedule of the running rule; nothing is shown in an option without storage.
#[component]
pub(super) fn RunningRules(desk: Desk) -> impl IntoView {
    let stores = Memo::new(move |_| {
        let id = desk.option_id.get();
        let stores = desk.option.with(|option| {
            option
                .as_ref()
                .is_some_and(|option| !option.storage.is_empty())
        });
        stores.then_some(id)
    });
    let rule = move || {
        stores.get().map(|id| {
            let row: Row<Running> = Row::new(
                desk,
                format!("option-{}-running", id.0),
                "running rule",
                move |household| household.option(id).map(|option| &option.running),
                move |household| option_mut(household, id).map(|option| &mut option.running),
            );
            view! {
                <Schedule desk name="running" title=Word::Running>
                    <Rule row option=id />
                </Schedule>
            }
        })
    };
    rule.into_any()
}

const TIME_OF_USE: RunningRule = RunningRule::TimeOfUse {
    discharge_in_middle_hours: true,
    grid_charge_to_soc: None,
    sell_from_battery: false,
};

/// The fields of the time-of-use rule.
#[derive(Clone, Copy)]
struct TimeOfUse<'a> {
    middle_hours: &'a bool,
    grid_charge_to_soc: &'a Option<f64>,
    sell: &'a bool,
}

fn time_of_use(running: &Running) -> Option<TimeOfUse<'_>> {
    match &running.rule {
        RunningRule::SelfConsumption | RunningRule::OwnHours { .. } => None,
        RunningRule::TimeOfUse {
            discharge_in_middle_hours,
            grid_charge_to_soc,
            sell_from_battery,
        } => Some(TimeOfUse {
            middle_hours: discharge_in_middle_hours,
            grid_charge_to_soc,
            sell: sell_from_battery,
        }),
    }
}

fn charge_to(running: &Running) -> Option<f64> {
    time_of_use(running).and_then(|rule| *rule.grid_charge_to_soc)
}

fn set_charge_to(running: &mut Running, to_soc: Option<f64>) {
    if let RunningRule::TimeOfUse {
        grid_charge_to_soc, ..
    } = &mut running.rule
    {
        *grid_charge_to_soc = to_soc;
    }
}

/// Rules without their bounds.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
enum Kind {
    #[default]
    OwnUse,
    ByPrice,
    OwnHours,
}

impl Kind {
    fn of(running: &Running) -> Self {
        match running.rule {
            RunningRule::SelfConsumption => Self::OwnUse,
            RunningRule::TimeOfUse { .. } => Self::ByPrice,
            RunningRule::OwnHours { .. } => Self::OwnHours,
        }
    }
}

#[component]
fn Rule(row: Row<Running>, option: OptionId) -> impl IntoView {
    let desk = row.desk;
    let by_price = row.read(|running| time_of_use(running).is_some());
    let from_grid = row.read(|running| charge_to(running).is_some());
    let (inner, innermost) = (row.clone(), row.clone());
    let grid_charge = move || {
        from_grid.get().then(|| {
            innermost.quantity(
                &limits::RUNNING_GRID_CHARGE_TO_SOC,
                |running| charge_to(running).unwrap_or(limits::RUNNING_GRID_CHARGE_TO_SOC.default),
                |running, value| set_charge_to(running, Some(value)),
            )
        })
    };
    let by_price_fields = move || {
        by_price.get().then(|| {
            let inner = inner.clone();
            let grid_charge = grid_charge.clone();
            view! {
                <Details desk title=Word::Rule>
                {inner.tick(
                    "middle-hours",
                    "gives in hours neither dear nor cheap",
                    |running| time_of_use(running).is_some_and(|rule| *rule.middle_hours),
                    |running, value| if let RunningRule::TimeOfUse { discharge_in_middle_hours, .. } = &mut running.rule {
                        *discharge_in_middle_hours = value;
                    },
                )}
                {inner.tick(
                    "grid-charge",
                    "charged from the grid in cheap hours",
                    |running| charge_to(running).is_some(),
                    |running, value| set_charge_to(running, value.then_some(limits::RUNNING_GRID_CHARGE_TO_SOC.default)),
                )}
                {grid_charge}
                {inner.tick(
                    "sell",
                    "sells from the battery in dear hours",
                    |running| time_of_use(running).is_some_and(|rule| *rule.sell),
                    |running, value| if let RunningRule::TimeOfUse { sell_from_battery, .. } = &mut running.rule {
                        *sell_from_battery = value;
                    },
                )}
                </Details>
            }
        })
    };
    let kind = row.read(Kind::of);
    let own = row.clone();
    let own_hours = move || {
        let row = own.clone();
        (kind.get() == Kind::OwnHours).then(|| view! { <OwnHoursList row option /> })
    };
    view! {
        <RuleChoice row=row.clone() />
        {row.quantity(&limits::RUNNING_RESERVE_SOC, |running| running.reserve_soc, |running, value| running.reserve_soc = value)}
        {row.choice(
            "dc-order",
            "DC PV goes to",
            &[
                (DcOrder::LoadsBatteryGrid, "loads \u{203a} battery \u{203a} grid"),
                (DcOrder::BatteryLoadsGrid, "battery \u{203a} loads \u{203a} grid"),
                (DcOrder::LoadsGridBattery, "loads \u{203a} grid \u{203a} battery"),
            ],
            |running| running.dc_order,
            |running, order| running.dc_order = order,
        )}
        {by_price_fields}
        {own_hours}
    }
    .into_any()
}

/// The choice of a rule. Own hours begin with those that do what the rule before them did, so that nothing changes until one is moved.
#[component]
fn RuleChoice(row: Row<Running>) -> impl IntoView {
    const KINDS: [(Kind, &str); 3] = [
        (Kind::OwnUse, "own use"),
        (Kind::ByPrice, "dear and cheap hours"),
        (Kind::OwnHours, "own hours"),
    ];
    let desk = row.desk;
    let chosen = row.read(|running| {
        let kind = Kind::of(running);
        KINDS.iter().position(|(other, _)| *other == kind)
    });
    let items: Vec<_> = (KINDS.iter())
        .map(|(_, words)| ((*words).to_owned(), true))
        .collect();
    let id = row.id("rule");
    let on_change = Callback::new(move |place: usize| {
        let Some((kind, _)) = KINDS.get(place) else {
            return;
        };
        let windows = |rule: &RunningRule| {
            (desk.household).with_untracked(|household| own_hours_like(rule, &household.tariff))
        };
        row.change(None, "aims at", |running| {
            running.rule = match kind {
                Kind::OwnUse => RunningRule::SelfConsumption,
                Kind::ByPrice => TIME_OF_USE,
                Kind::OwnHours => RunningRule::OwnHours {
                    windows: windows(&running.rule),
                },
            }
        });
    });
    view! { <Choice id label="aims at" items chosen on_change /> }.into_any()
}
