//! What the electrical rules ask about the household: the code, the panels, the dwelling, what only the site can tell.

use couplet_core::findings::Details as Judging;
use couplet_core::household::{
    AcSide, Dwelling, HouseholdElectrical, NeutralAtTransfer, PanelElectrical, PanelFeed,
    RapidShutdown,
};
use couplet_core::limits;
use couplet_core::rules::{Code, HomeCircuits, Term};
use leptos::prelude::*;

use super::super::row::Row;
use super::super::{Details, Schedule};
use super::whole;
use crate::desk::Desk;
use crate::parts::Choice;
use crate::words::Word;

const NEUTRALS: [(Option<NeutralAtTransfer>, &str); 5] = [
    (None, "not known"),
    (Some(NeutralAtTransfer::Solid), "stays connected, one bond"),
    (
        Some(NeutralAtTransfer::SwitchedAndBondedAtSource),
        "switched, inverter bonds it",
    ),
    (
        Some(NeutralAtTransfer::SwitchedWithoutBond),
        "switched, nothing bonds it",
    ),
    (
        Some(NeutralAtTransfer::SolidAndBondedAtSource),
        "stays connected, inverter bonds it too",
    ),
];

const SHUTDOWNS: [(Option<RapidShutdown>, &str); 4] = [
    (None, "not known"),
    (
        Some(RapidShutdown::Listed),
        "listed, or electronics at the modules",
    ),
    (
        Some(RapidShutdown::NotOnBuilding),
        "array not on a building",
    ),
    (Some(RapidShutdown::Absent), "none"),
];

/// The schedule of what the electrical rules ask about the household.
#[component]
pub(in super::super) fn ElectricalSchedule(desk: Desk) -> impl IntoView {
    let row: Row<HouseholdElectrical> = Row::new(
        desk,
        "electrical",
        "electrical",
        |household| Some(&household.electrical),
        |household| Some(&mut household.electrical),
    );
    view! {
        <Schedule clone:row desk name="electrical" title=Word::Electrical>
            <CodeChoice row=row.clone() />
            <Details clone:row desk title=Word::PvSafety>
                {row.choice(
                    "rapid_shutdown",
                    "PV DC is made safe by",
                    &SHUTDOWNS,
                    |given| given.rapid_shutdown,
                    |given, value| given.rapid_shutdown = value,
                )}
                {row.answer("arc_fault_protection", "arc-fault protection of PV", |given| given.arc_fault_protection, |given, value| given.arc_fault_protection = value)}
                {row.answer("dc_fault_detection", Signal::derive(move || desk.term(Term::DcFaultsDetected).to_owned()), |given| given.dc_fault_detection, |given, value| given.dc_fault_detection = value)}
                {row.answer("pv_disconnect", "PV disconnect within reach, lockable", |given| given.pv_disconnect, |given, value| given.pv_disconnect = value)}
                {row.answer("labels_in_place", "all labels are in place", |given| given.labels_in_place, |given, value| given.labels_in_place = value)}
            </Details>
            <Details clone:row desk title=Word::TransferDetails>
                {row.choice(
                    "transfer_by_hand",
                    "switched over",
                    &[(false, "by itself"), (true, "by hand")],
                    |given| given.transfer_by_hand,
                    |given, value| given.transfer_by_hand = value,
                )}
                {row.choice("neutral", "neutral in an outage", &NEUTRALS, |given| given.neutral, |given, value| given.neutral = value)}
                {row.answer("island_device_listed", "transfer device is listed", |given| given.island_device_listed, |given, value| given.island_device_listed = value)}
                {row.optional(
                    &limits::EXPORT_CONTROL_LIMIT_S,
                    "export_control_limit_s",
                    Signal::derive(|| None),
                    |given| given.export_control_limit_s,
                    |given, value| given.export_control_limit_s = value,
                )}
            </Details>
            <Details clone:row desk title=Word::RunDetails>
                {row.optional(
                    &limits::DC_DROP_SHARE,
                    "dc_drop_share",
                    Signal::derive(|| Some(limits::DC_DROP_SHARE.default)),
                    |given| given.dc_drop_share,
                    |given, value| given.dc_drop_share = value,
                )}
                {row.optional(
                    &limits::AC_DROP_SHARE,
                    "ac_drop_share",
                    Signal::derive(|| Some(limits::AC_DROP_SHARE.default)),
                    |given| given.ac_drop_share,
                    |given, value| given.ac_drop_share = value,
                )}
            </Details>
            <Details clone:row desk title=Word::DwellingDetails>{home_fields(&row)}</Details>
            <Details desk title=Word::MainPanelDetails>
                <fieldset id="electrical-grid_side" tabindex="-1">{panel_fields(desk, AcSide::GridSide)}</fieldset>
            </Details>
            <Details clone:row desk title=Word::BackedUpPanelDetails>
                <fieldset id="electrical-backed_up" tabindex="-1">
                    {row.optional(
                        &limits::BACKED_UP_BUSBAR_A,
                        "backed_up_busbar_a",
                        Signal::derive(|| None),
                        |given| given.backed_up_busbar_a,
                        |given, value| given.backed_up_busbar_a = value,
                    )}
                    {panel_fields(desk, AcSide::BackedUp)}
                </fieldset>
            </Details>
        </Schedule>
    }
    .into_any()
}

/// The code that the household is judged by; without a choice the one usual at its supply.
#[component]
fn CodeChoice(row: Row<HouseholdElectrical>) -> impl IntoView {
    let desk = row.desk;
    let items = Signal::derive(move || {
        let usual = desk
            .household
            .with(|household| Code::usual(household.service.supply));
        let mut items = vec![(format!("usual here: {usual}"), true)];
        items.extend(Code::ALL.map(|code| (code.to_string(), true)));
        items
    });
    let chosen = row.read(|given| {
        Some(match given.code {
            None => 0,
            Some(code) => {
                Code::ALL
                    .iter()
                    .position(|other| *other == code)
                    .unwrap_or_default()
                    + 1
            }
        })
    });
    let in_force = move || {
        desk.household
            .with(|household| Judging::code_of(household).to_string())
    };
    view! {
        <Choice
            id=row.id("code")
            label="judged by"
            items=items
            chosen=chosen
            on_change=Callback::new(move |index: usize| {
                let code = index.checked_sub(1).and_then(|index| Code::ALL.get(index).copied());
                row.change(None, "code", |given| given.code = code);
            })
        />
        <p class="note">"Clauses of " {in_force} " are named from public texts and from memory: check them against the edition in force."</p>
    }
    .into_any()
}

/// The dwelling or its circuits, for its load by the code in force.
fn home_fields(row: &Row<HouseholdElectrical>) -> AnyView {
    let desk = row.desk;
    let is_iec = Memo::new(move |_| {
        desk.household
            .with(|household| Judging::code_of(household) == Code::Iec)
    });
    let row = row.clone();
    (move || {
        if is_iec.get() {
            circuit_fields(&row)
        } else {
            dwelling_fields(&row)
        }
    })
    .into_any()
}

/// The home's circuits, for its load with diversity.
fn circuit_fields(row: &Row<HouseholdElectrical>) -> AnyView {
    let given = row.read(|given| given.home_circuits.is_some());
    let numbers = row.clone();
    let number = move |limit: &'static limits::Limit,
                       get: fn(&HomeCircuits) -> f64,
                       set: fn(&mut HomeCircuits, f64)| {
        numbers.quantity_at(
            limit,
            limit.key(),
            None,
            move |given| get(&given.home_circuits.unwrap_or_else(usual_circuits)),
            move |given, value| {
                if let Some(home) = &mut given.home_circuits {
                    set(home, value);
                }
            },
        )
    };
    let socket = row.clone();
    let fields = move || {
        view! {
            {number(&limits::HOME_LIGHTING_W, |home| home.lighting_w, |home, value| home.lighting_w = value)}
            {number(&limits::HOME_HEATING_W, |home| home.heating_w, |home, value| home.heating_w = value)}
            {number(&limits::HOME_COOKING_W, |home| home.cooking_w, |home, value| home.cooking_w = value)}
            {socket.tick(
                "cooking_socket",
                "a socket beside the cooker\u{2019}s switch",
                |given| given.home_circuits.is_some_and(|home| home.cooking_socket),
                |given, value| if let Some(home) = &mut given.home_circuits { home.cooking_socket = value },
            )}
            {number(
                &limits::HOME_INSTANT_HEATERS,
                |home| f64::from(home.instant_heaters),
                |home, value| home.instant_heaters = whole(value),
            )}
            {number(&limits::HOME_INSTANT_HEATER_W, |home| home.instant_heater_w, |home, value| home.instant_heater_w = value)}
            {number(&limits::HOME_STORED_HEAT_W, |home| home.stored_heat_w, |home, value| home.stored_heat_w = value)}
            {number(
                &limits::HOME_SOCKET_CIRCUITS,
                |home| f64::from(home.socket_circuits),
                |home, value| home.socket_circuits = whole(value),
            )}
            {number(&limits::HOME_SOCKET_DEVICE_A, |home| home.socket_device_a, |home, value| home.socket_device_a = value)}
        }
    };
    view! {
        {row.tick(
            "home_circuits",
            "calculate the load of the home with diversity",
            |given| given.home_circuits.is_some(),
            |given, value| given.home_circuits = value.then(usual_circuits),
        )}
        <Show when=move || given.get()>{fields.clone()()}</Show>
    }
    .into_any()
}

fn usual_circuits() -> HomeCircuits {
    HomeCircuits {
        lighting_w: limits::HOME_LIGHTING_W.default,
        heating_w: limits::HOME_HEATING_W.default,
        cooking_w: limits::HOME_COOKING_W.default,
        cooking_socket: false,
        instant_heaters: whole(limits::HOME_INSTANT_HEATERS.default),
        instant_heater_w: limits::HOME_INSTANT_HEATER_W.default,
        stored_heat_w: limits::HOME_STORED_HEAT_W.default,
        socket_circuits: whole(limits::HOME_SOCKET_CIRCUITS.default),
        socket_device_a: limits::HOME_SOCKET_DEVICE_A.default,
    }
}

/// The dwelling, for its load calculation.
fn dwelling_fields(row: &Row<HouseholdElectrical>) -> AnyView {
    let given = row.read(|given| given.dwelling.is_some());
    let numbers = row.clone();
    let get = |given: &HouseholdElectrical| given.dwelling.unwrap_or_else(usual_dwelling);
    view! {
        {row.tick(
            "dwelling",
            "calculate the load of the dwelling",
            |given| given.dwelling.is_some(),
            |given, value| given.dwelling = value.then(usual_dwelling),
        )}
        <Show when=move || given.get()>
            {numbers.quantity_at(
                &limits::DWELLING_FLOOR_M2,
                "floor_m2",
                None,
                move |given| get(given).floor_m2,
                |given, value| if let Some(dwelling) = &mut given.dwelling { dwelling.floor_m2 = value },
            )}
            {numbers.quantity_at(
                &limits::DWELLING_CIRCUITS,
                "appliance_circuits",
                None,
                move |given| f64::from(get(given).appliance_circuits),
                |given, value| if let Some(dwelling) = &mut given.dwelling { dwelling.appliance_circuits = whole(value) },
            )}
            {numbers.quantity_at(
                &limits::DWELLING_APPLIANCES_W,
                "appliances_w",
                None,
                move |given| get(given).appliances_w,
                |given, value| if let Some(dwelling) = &mut given.dwelling { dwelling.appliances_w = value },
            )}
            {numbers.quantity_at(
                &limits::DWELLING_ADDED_APPLIANCES_W,
                "added_appliances_w",
                None,
                move |given| get(given).added_appliances_w,
                |given, value| if let Some(dwelling) = &mut given.dwelling { dwelling.added_appliances_w = value },
            )}
            {numbers.quantity_at(
                &limits::DWELLING_CENTRAL_HEATING_W,
                "central_heating_w",
                None,
                move |given| get(given).central_heating_w,
                |given, value| if let Some(dwelling) = &mut given.dwelling { dwelling.central_heating_w = value },
            )}
            {numbers.tick(
                "central_heating_is_added",
                "that heating is added to a home that stands",
                |given| given.dwelling.is_some_and(|dwelling| dwelling.central_heating_is_added),
                |given, value| if let Some(dwelling) = &mut given.dwelling { dwelling.central_heating_is_added = value },
            )}
        </Show>
    }
    .into_any()
}

fn usual_dwelling() -> Dwelling {
    Dwelling {
        floor_m2: limits::DWELLING_FLOOR_M2.default,
        appliance_circuits: whole(limits::DWELLING_CIRCUITS.default),
        appliances_w: limits::DWELLING_APPLIANCES_W.default,
        added_appliances_w: limits::DWELLING_ADDED_APPLIANCES_W.default,
        central_heating_w: limits::DWELLING_CENTRAL_HEATING_W.default,
        central_heating_is_added: false,
    }
}

/// A panel.
fn panel_fields(desk: Desk, side: AcSide) -> AnyView {
    let (name, what) = match side {
        AcSide::GridSide => ("electrical-grid_side", "main panel"),
        AcSide::BackedUp => ("electrical-backed_up", "backed-up panel"),
    };
    let row: Row<PanelElectrical> = Row::new(
        desk,
        name,
        what,
        move |household| {
            Some(match side {
                AcSide::GridSide => &household.electrical.grid_side,
                AcSide::BackedUp => &household.electrical.backed_up,
            })
        },
        move |household| {
            Some(match side {
                AcSide::GridSide => &mut household.electrical.grid_side,
                AcSide::BackedUp => &mut household.electrical.backed_up,
            })
        },
    );
    let nothing = Signal::derive(|| None);
    let supply_side = (side == AcSide::GridSide).then(|| {
        row.tick(
            "supply_side",
            "sources join ahead of the main breaker",
            |panel| panel.supply_side,
            |panel, value| panel.supply_side = value,
        )
    });
    view! {
        {row.choice(
            "feed",
            "fed",
            &[(PanelFeed::End, "at an end"), (PanelFeed::Centre, "at the centre")],
            |panel| panel.feed,
            |panel, value| panel.feed = value,
        )}
        {row.answer("sources_at_far_end", "sources at the far end", |panel| panel.sources_at_far_end, |panel, value| panel.sources_at_far_end = value)}
        {row.optional(
            &limits::PANEL_LOAD_BREAKERS_A,
            "load_breakers_a",
            nothing,
            |panel| panel.load_breakers_a,
            |panel, value| panel.load_breakers_a = value,
        )}
        {row.optional(
            &limits::PANEL_CONTROL_A,
            "control_a",
            nothing,
            |panel| panel.control_a,
            |panel, value| panel.control_a = value,
        )}
        {row.answer(
            "control_listed",
            "power control system is listed and locked",
            |panel| panel.control_listed,
            |panel, value| panel.control_listed = value,
        )}
        {row.tick(
            "feed_through",
            "conductors leave by feed-through lugs",
            |panel| panel.feed_through,
            |panel, value| panel.feed_through = value,
        )}
        {row.optional(
            &limits::PANEL_FEED_THROUGH_A,
            "feed_through_a",
            nothing,
            |panel| panel.feed_through_a,
            |panel, value| panel.feed_through_a = value,
        )}
        {supply_side}
    }
    .into_any()
}
