//! The editor of a running rule's own hours: a list of windows, the first that holds counts.

use couplet_core::bill::Window;
use couplet_core::coupling::{OwnHours, Running, RunningRule, WindowAim};
use couplet_core::household::{Household, OptionId};
use couplet_core::limits;
use leptos::prelude::*;

use super::Remove;
use super::arrays::option_mut;
use super::row::Row;
use super::tariff::{usual_window, window_fields};
use crate::desk::Desk;
use crate::parts::focus;
use crate::words::Word;

/// What the storage may be told to do, with a level where one is needed.
const AIMS: [(WindowAim, Word); 4] = [
    (
        WindowAim::Charge {
            to_soc: limits::RUNNING_WINDOW_TO_SOC.default,
        },
        Word::AimCharge,
    ),
    (WindowAim::Hold, Word::AimHold),
    (WindowAim::Give, Word::AimGive),
    (WindowAim::Sell, Word::AimSell),
];

/// The own hours of a rule; empty for rules without.
pub(super) fn own_hours(running: &Running) -> &[OwnHours] {
    match &running.rule {
        RunningRule::OwnHours { windows } => windows,
        _ => &[],
    }
}

fn own_hours_mut(running: &mut Running) -> Option<&mut Vec<OwnHours>> {
    match &mut running.rule {
        RunningRule::OwnHours { windows } => Some(windows),
        _ => None,
    }
}

/// The hours of an option's rule.
#[component]
pub(super) fn OwnHoursList(row: Row<Running>, option: OptionId) -> impl IntoView {
    let desk = row.desk;
    let count = row.read(|running| own_hours(running).len());
    let add = row.clone();
    let full = move || count.get() >= couplet_core::check::MOST_WINDOWS;
    view! {
        <p class="note">{move || desk.word(Word::OwnHoursNote)}</p>
        <For each=move || 0..count.get() key=|place| *place let:place>
            <Hours desk option place count />
        </For>
        <button
            type="button"
            class="add"
            data-action="add-own-hours"
            disabled=full
            on:click=move |_| add.change(None, "add hours", |running| {
                if let Some(windows) = own_hours_mut(running) {
                    // Changes nothing until it is told what to do.
                    windows.push(OwnHours { window: usual_window(), aim: WindowAim::Give });
                }
            })
        >
            {move || desk.word(Word::AddOwnHours)}
        </button>
    }
    .into_any()
}

fn find(household: &Household, option: OptionId, place: usize) -> Option<&OwnHours> {
    own_hours(&household.option(option)?.running).get(place)
}

fn find_mut(household: &mut Household, option: OptionId, place: usize) -> Option<&mut OwnHours> {
    own_hours_mut(&mut option_mut(household, option)?.running)?.get_mut(place)
}

/// One window: what is done, when, and where it stands in the list.
#[component]
fn Hours(desk: Desk, option: OptionId, place: usize, count: Memo<usize>) -> impl IntoView {
    let name = move |place: usize| format!("option-{}-running-hours-{place}", option.0);
    let row: Row<OwnHours> = Row::new(
        desk,
        name(place),
        "running rule",
        move |household| find(household, option, place),
        move |household| find_mut(household, option, place),
    );
    let window: Row<Window> = Row::new(
        desk,
        name(place),
        "running rule",
        move |household| Some(&find(household, option, place)?.window),
        move |household| Some(&mut find_mut(household, option, place)?.window),
    );
    let change = move |label: &str, edit: &dyn Fn(&mut Vec<OwnHours>)| {
        desk.change(&format!("running rule: {label}"), None, |household| {
            let running = option_mut(household, option).map(|option| &mut option.running);
            if let Some(windows) = running.and_then(own_hours_mut) {
                edit(windows);
            }
        });
    };
    let remove = Callback::new(move |()| {
        change("remove hours", &|windows| {
            if place < windows.len() {
                windows.remove(place);
            }
        });
    });
    // The window goes and takes the focus along, so that it can be moved on.
    let move_to = move |other: usize, way: &str| {
        change("order of the hours", &|windows| {
            if place.max(other) < windows.len() {
                windows.swap(place, other);
            }
        });
        let last = count.get_untracked().saturating_sub(1);
        let way = match other {
            0 => "later",
            other if other == last => "earlier",
            _ => way,
        };
        focus(&format!("{}-{way}", name(other)));
    };
    let charges = row.read(|own| matches!(own.aim, WindowAim::Charge { .. }));
    let level = {
        let row = row.clone();
        move || {
            charges.get().then(|| {
                row.quantity(
                    &limits::RUNNING_WINDOW_TO_SOC,
                    |own| match own.aim {
                        WindowAim::Charge { to_soc } => to_soc,
                        _ => limits::RUNNING_WINDOW_TO_SOC.default,
                    },
                    |own, to_soc| own.aim = WindowAim::Charge { to_soc },
                )
            })
        }
    };
    let title = move || format!("hours {}", place + 1);
    let last = move || place + 1 >= count.get();
    view! {
        <div class="part own-hours" role="group" aria-label=title>
            <div class="part-head">
                <span class="own-hours-title">{title}</span>
                <button
                    type="button"
                    class="quiet"
                    id=format!("{}-earlier", name(place))
                    disabled=move || place == 0
                    title="Earlier in the list"
                    aria-label=move || format!("Move {} earlier in the list", title())
                    on:click=move |_| move_to(place.saturating_sub(1), "earlier")
                >
                    "\u{2191}"
                </button>
                <button
                    type="button"
                    class="quiet"
                    id=format!("{}-later", name(place))
                    disabled=last
                    title="Later in the list"
                    aria-label=move || format!("Move {} later in the list", title())
                    on:click=move |_| move_to(place + 1, "later")
                >
                    "\u{2193}"
                </button>
                <Remove what=Signal::derive(title) on_remove=remove />
            </div>
            {row.choice_in_words("aim", "the battery", &AIMS, listed, set_aim)}
            {level}
            {window_fields(&window)}
        </div>
    }
    .into_any()
}

/// The aim as it stands in the list of aims.
fn listed(own: &OwnHours) -> WindowAim {
    match own.aim {
        WindowAim::Charge { .. } => WindowAim::Charge {
            to_soc: limits::RUNNING_WINDOW_TO_SOC.default,
        },
        other => other,
    }
}

fn set_aim(own: &mut OwnHours, aim: WindowAim) {
    if listed(own) != aim {
        own.aim = aim;
    }
}
