//! A price period: when it holds, and what a kilowatt-hour costs and earns in it.

use couplet_core::bill::{Export, ExportPrice, Period, Tariff, TariffKind, Tier};
use couplet_core::limits;
use leptos::prelude::*;

use super::window::{usual_window, windows_fields};
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
    let tiered = Memo::new(move |_| tiers.get() > 1);
    let next_tier = move || {
        let add = move |_| {
            desk.change("tariff: add a tier", None, |household| {
                household.tariff.add_tier(index);
            });
        };
        tiered.get().then(|| {
            view! {
                <button type="button" class="add" on:click=add>
                    "Add a tier"
                </button>
            }
        })
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
            {windows_fields(
                desk,
                &format!("tariff-period-{index}"),
                move |household| Some(&household.tariff.periods.get(index)?.windows),
                move |household| Some(&mut household.tariff.periods.get_mut(index)?.windows),
            )}
            <For each=move || 0..tiers.get() key=|tier| *tier let:tier>
                <TierFields desk period=index tier />
            </For>
            {next_tier}
            {sell}
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
    let rest =
        move || (tier > 0 && !has_end.get()).then(|| view! { <p class="note">"above that"</p> });
    // Where tiers count the whole month, the end of one is that of others.
    let whole: Row<Tariff> = Row::new(
        desk,
        format!("tariff-period-{period}-tier-{tier}"),
        "tariff",
        |household| Some(&household.tariff),
        |household| Some(&mut household.tariff),
    );
    let end = move || {
        has_end.get().then(|| {
            whole.quantity_at(
                &limits::TIER_UP_TO_WH,
                limits::TIER_UP_TO_WH.key(),
                None,
                move |tariff| {
                    let period = tariff.periods.get(period);
                    let tier = period.and_then(|period| period.tiers.get(tier));
                    tier.and_then(|tier| tier.up_to_wh).unwrap_or_default()
                },
                move |tariff, value| tariff.set_tier_end(period, tier, value),
            )
        })
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
            household.tariff.remove_tier(period, tier);
        });
    });
    view! {
        <div class="tier">
            {end}
            {rest}
            {row.quantity(&limits::TIER_CUR_PER_KWH, |tier| tier.cur_per_kwh, |tier, value| tier.cur_per_kwh = value)}
            <Show when=move || several.get()>
                <Remove what=Signal::stored(format!("tier {}", tier + 1)) on_remove=remove />
            </Show>
        </div>
    }
    .into_any()
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
