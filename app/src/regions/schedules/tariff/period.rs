//! A price period: when it holds, and what a kilowatt-hour costs and earns in it.

use couplet_core::bill::{Export, ExportPrice, Period, Tariff, TariffKind, Tier, Window};
use couplet_core::limits;
use leptos::prelude::*;

use super::window::{usual_window, window_fields};
use crate::desk::Desk;
use crate::regions::schedules::Remove;
use crate::regions::schedules::row::Row;
use crate::words::Word;

/// One period.
#[component]
pub(super) fn PeriodFields(desk: Desk, index: usize) -> impl IntoView {
    let row: Row<Period> = Row::new(
        desk,
        format!("tariff-period-{index}"),
        "tariff",
        move |household| household.tariff.periods.get(index),
        move |household| household.tariff.periods.get_mut(index),
    );
    let name = row.read(|period| period.name.clone());
    let has_hours = row.read(|period| !period.windows.is_empty());
    let windows = row.read(|period| period.windows.len());
    let tiers = row.read(|period| period.tiers.len());
    let alone = Memo::new(move |_| {
        desk.household
            .with(|household| household.tariff.periods.len() < 2)
    });
    let by_period = Memo::new(move |_| {
        desk.household.with(|household| {
            matches!(
                household.tariff.export,
                Export::NetBilling {
                    price: ExportPrice::ByPeriod,
                    ..
                }
            )
        })
    });
    let remove = Callback::new(move |()| {
        desk.change("tariff: remove hours", None, |household| {
            if index + 1 < household.tariff.periods.len() {
                household.tariff.periods.remove(index);
            }
        });
    });
    let sell = {
        let row = row.clone();
        move || {
            by_period.get().then(|| {
                row.quantity(
                    &limits::PERIOD_SELL_CUR_PER_KWH,
                    |period| period.sell_cur_per_kwh,
                    |period, value| period.sell_cur_per_kwh = value,
                )
            })
        }
    };
    let more = row.clone();
    let tiered = Memo::new(move |_| tiers.get() > 1);
    let next_tier = {
        let row = row.clone();
        move || {
            let row = row.clone();
            tiered.get().then(|| {
                view! {
                    <button type="button" class="add" on:click=move |_| row.change(None, "add a tier", add_tier)>
                        "Add a tier"
                    </button>
                }
            })
        }
    };
    view! {
        <div class="part">
            <Show when=move || !alone.get()>
                <div class="part-head">
                    {row.text("name", "name", true, |period| &period.name, |period, name| period.name = name)}
                    <Show when=move || has_hours.get()>
                        <Remove what=name on_remove=remove />
                    </Show>
                </div>
            </Show>
            <For each=move || 0..windows.get() key=|window| *window let:window>
                <WindowOfPeriod desk period=index window />
            </For>
            <Show when=move || has_hours.get()>
                <button type="button" class="add" on:click={
                    let more = more.clone();
                    move |_| more.change(None, "add a time", |period| period.windows.push(usual_window()))
                }>
                    {move || desk.word(Word::AddWindow)}
                </button>
            </Show>
            <For each=move || 0..tiers.get() key=|tier| *tier let:tier>
                <TierFields desk period=index tier />
            </For>
            {next_tier}
            {sell}
        </div>
    }
    .into_any()
}

/// One of the times at which a period holds.
#[component]
fn WindowOfPeriod(desk: Desk, period: usize, window: usize) -> impl IntoView {
    let row: Row<Window> = Row::new(
        desk,
        format!("tariff-period-{period}-window-{window}"),
        "tariff",
        move |household| household.tariff.periods.get(period)?.windows.get(window),
        move |household| {
            household
                .tariff
                .periods
                .get_mut(period)?
                .windows
                .get_mut(window)
        },
    );
    let several = Memo::new(move |_| {
        desk.household.with(|household| {
            household
                .tariff
                .periods
                .get(period)
                .is_some_and(|period| period.windows.len() > 1)
        })
    });
    let remove = Callback::new(move |()| {
        desk.change("tariff: remove a time", None, |household| {
            if let Some(period) = household.tariff.periods.get_mut(period)
                && window < period.windows.len()
            {
                period.windows.remove(window);
            }
        });
    });
    view! {
        <div class="window">
            {window_fields(&row)}
            <Show when=move || several.get()>
                <Remove what=Signal::stored("this time".to_owned()) on_remove=remove />
            </Show>
        </div>
    }
    .into_any()
}

/// The price of one tier, and where it ends.
#[component]
fn TierFields(desk: Desk, period: usize, tier: usize) -> impl IntoView {
    let row: Row<Tier> = Row::new(
        desk,
        format!("tariff-period-{period}-tier-{tier}"),
        "tariff",
        move |household| household.tariff.periods.get(period)?.tiers.get(tier),
        move |household| {
            household
                .tariff
                .periods
                .get_mut(period)?
                .tiers
                .get_mut(tier)
        },
    );
    let has_end = row.read(|tier| tier.up_to_wh.is_some());
    let end = {
        let row = row.clone();
        move || {
            has_end.get().then(|| {
                row.quantity(
                    &limits::TIER_UP_TO_WH,
                    |tier| tier.up_to_wh.unwrap_or_default(),
                    |tier, value| tier.up_to_wh = Some(value),
                )
            })
        }
    };
    let several = Memo::new(move |_| {
        desk.household.with(|household| {
            household
                .tariff
                .periods
                .get(period)
                .is_some_and(|period| period.tiers.len() > 2)
        })
    });
    let remove = Callback::new(move |()| {
        desk.change("tariff: remove a tier", None, |household| {
            if let Some(period) = household.tariff.periods.get_mut(period)
                && tier < period.tiers.len()
            {
                period.tiers.remove(tier);
                if let Some(last) = period.tiers.last_mut() {
                    last.up_to_wh = None;
                }
            }
        });
    });
    view! {
        <div class="tier">
            {end}
            {row.quantity(&limits::TIER_CUR_PER_KWH, |tier| tier.cur_per_kwh, |tier, value| tier.cur_per_kwh = value)}
            <Show when=move || several.get()>
                <Remove what=Signal::stored(format!("tier {}", tier + 1)) on_remove=remove />
            </Show>
        </div>
    }
    .into_any()
}

/// The last tier gets an end twice that of the one before it, and another comes after it.
fn add_tier(period: &mut Period) {
    let before_wh = period.tiers.iter().rev().find_map(|tier| tier.up_to_wh);
    let end_wh = before_wh.map_or(limits::TIER_UP_TO_WH.default, |wh| 2.0 * wh);
    if let Some(last) = period.tiers.last_mut() {
        last.up_to_wh = Some(end_wh.min(limits::TIER_UP_TO_WH.most));
        let next = Tier {
            up_to_wh: None,
            ..*last
        };
        period.tiers.push(next);
    }
}

/// Adds hours before the last period, which is for all others.
#[component]
pub(super) fn AddHours(row: Row<Tariff>) -> impl IntoView {
    let desk = row.desk;
    let by_hours = row.read(|tariff| {
        matches!(
            tariff.kind(),
            TariffKind::ByHours | TariffKind::HoursAndTiers
        )
    });
    view! {
        <Show when=move || by_hours.get()>
            <button
                type="button"
                class="add"
                on:click={
                    let row = row.clone();
                    move |_| row.change(None, "add hours", add_hours)
                }
            >
                {move || desk.word(Word::AddHours)}
            </button>
        </Show>
    }
    .into_any()
}

fn add_hours(tariff: &mut Tariff) {
    let place = tariff.periods.len().saturating_sub(1);
    let Some(other) = tariff.periods.last().cloned() else {
        return;
    };
    tariff.periods.insert(
        place,
        Period {
            name: format!("Hours {}", place + 1),
            windows: vec![usual_window()],
            ..other
        },
    );
}
