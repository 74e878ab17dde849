//! What energy costs and earns: prices outside all periods, and periods with prices of their own.

use couplet_core::bill::{DayKind, Export, ExportPrice, Period, Surplus, Tariff, Window};
use couplet_core::limits;
use leptos::prelude::*;

use super::row::Row;
use super::{Details, MONTHS, Remove, Schedule};
use crate::desk::Desk;
use crate::words::Word;

/// The schedule of the tariff.
#[component]
pub(super) fn TariffSchedule(desk: Desk) -> impl IntoView {
    let row: Row<Tariff> = Row::new(
        desk,
        "tariff",
        "tariff",
        |household| Some(&household.tariff),
        |household| Some(&mut household.tariff),
    );
    let count = row.read(|tariff| tariff.periods.len());
    let add = row.clone();
    let flat = row.clone();
    let sold_flat = row.read(|tariff| flat_price(&tariff.export).is_some());
    let sell_flat = move || {
        sold_flat.get().then(|| {
            flat.quantity(
                &limits::EXPORT_FLAT_CUR_PER_KWH,
                |tariff| flat_price(&tariff.export).unwrap_or_default(),
                |tariff, value| tariff.export = sold_at(value),
            )
        })
    };
    view! {
        <Schedule clone:row desk name="tariff" title=Word::Tariff>
            <For each=move || 0..count.get() key=|index| *index let:index>
                <PeriodRow desk index />
            </For>
            <button
                type="button"
                class="add"
                on:click=move |_| add.change(None, "add hours", |tariff| {
                    let place = tariff.periods.len().saturating_sub(1);
                    tariff.periods.insert(place, new_period(place));
                })
            >
                "Add hours with their own prices"
            </button>
            {sell_flat}
            <Details clone:row desk title=Word::CurrencyAndCharge>
                {row.text("currency", "currency (ISO 4217)", false, |tariff| &tariff.currency, |tariff, currency| {
                    // A code is three letters; while it is being typed the last one stays.
                    if currency.len() == 3 && currency.chars().all(|c| c.is_ascii_alphabetic()) {
                        tariff.currency = currency.to_ascii_uppercase();
                    }
                })}
                {row.quantity(&limits::TARIFF_FIXED_CUR_PER_MONTH, |tariff| tariff.fixed_cur_per_month, |tariff, value| tariff.fixed_cur_per_month = value)}
            </Details>
        </Schedule>
    }
    .into_any()
}

fn flat_price(export: &Export) -> Option<f64> {
    match export {
        Export::NetBilling {
            price: ExportPrice::Flat { cur_per_kwh },
            ..
        } => Some(*cur_per_kwh),
        _ => None,
    }
}

fn sold_at(cur_per_kwh: f64) -> Export {
    Export::NetBilling {
        price: ExportPrice::Flat { cur_per_kwh },
        surplus: Surplus::Paid,
    }
}

fn new_period(number: usize) -> Period {
    let hours = Window {
        months: [true; 12],
        days: DayKind::All,
        from_h: limits::WINDOW_FROM_H.default,
        to_h: limits::WINDOW_TO_H.default,
    };
    Period {
        sell_cur_per_kwh: limits::PERIOD_SELL_CUR_PER_KWH.default,
        ..Period::at_one_price(
            &format!("Hours {}", number + 1),
            vec![hours],
            limits::TIER_CUR_PER_KWH.default,
        )
    }
}

#[component]
fn PeriodRow(desk: Desk, index: usize) -> impl IntoView {
    let row: Row<Period> = Row::new(
        desk,
        format!("tariff-period-{index}"),
        "tariff",
        move |household| household.tariff.periods.get(index),
        move |household| household.tariff.periods.get_mut(index),
    );
    let hours: Row<Window> = Row::new(
        desk,
        format!("tariff-period-{index}"),
        "tariff",
        move |household| household.tariff.periods.get(index)?.windows.first(),
        move |household| household.tariff.periods.get_mut(index)?.windows.first_mut(),
    );
    let name = row.read(|period| period.name.clone());
    let has_hours = row.read(|period| !period.windows.is_empty());
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
    let sell = row.clone();
    let sell = move || {
        by_period.get().then(|| {
            sell.quantity(
                &limits::PERIOD_SELL_CUR_PER_KWH,
                |period| period.sell_cur_per_kwh,
                |period, value| period.sell_cur_per_kwh = value,
            )
        })
    };
    let hours_fields = move || {
        has_hours.get().then(|| {
            view! {
                {hours.quantity(&limits::WINDOW_FROM_H, |hours| hours.from_h, |hours, value| hours.from_h = value)}
                {hours.quantity(&limits::WINDOW_TO_H, |hours| hours.to_h, |hours, value| hours.to_h = value)}
                <Details clone:hours desk title=Word::DaysAndMonths>
                    {hours.choice(
                        "days",
                        "days",
                        &[
                            (DayKind::All, "every day"),
                            (DayKind::Weekdays, "Monday to Friday"),
                            (DayKind::WeekendsAndHolidays, "weekends and holidays"),
                        ],
                        |hours| hours.days,
                        |hours, days| hours.days = days,
                    )}
                    <MonthTicks row=hours.clone() get=|hours| hours.months set=|hours, months| hours.months = months />
                </Details>
            }
        })
    };
    view! {
        <div class="part">
            <div class="part-head">
                {row.text("name", "name", true, |period| &period.name, |period, name| period.name = name)}
                <Show when=move || has_hours.get()>
                    <Remove what=name on_remove=remove />
                </Show>
            </div>
            {row.quantity(
                &limits::TIER_CUR_PER_KWH,
                |period| period.tiers.first().map_or(0.0, |tier| tier.cur_per_kwh),
                |period, value| if let Some(tier) = period.tiers.first_mut() { tier.cur_per_kwh = value },
            )}
            {sell}
            {hours_fields}
        </div>
    }
    .into_any()
}

/// Twelve months, each yes or no.
#[component]
pub(super) fn MonthTicks<T: Clone + PartialEq + Send + Sync + 'static>(
    row: Row<T>,
    get: fn(&T) -> [bool; 12],
    set: fn(&mut T, [bool; 12]),
) -> impl IntoView {
    let months = row.read(get);
    let ticks = MONTHS
        .into_iter()
        .enumerate()
        .map(|(month, name)| {
            let row = row.clone();
            let ticked =
                move || months.with(|months| months.get(month).copied().unwrap_or_default());
            view! {
                <label class="month-tick">
                    <input
                        type="checkbox"
                        prop:checked=ticked
                        on:change=move |event| {
                            let mut months = months.get_untracked();
                            if let Some(ticked) = months.get_mut(month) {
                                *ticked = event_target_checked(&event);
                            }
                            row.change(None, "months", |part| set(part, months));
                        }
                    />
                    {name}
                </label>
            }
        })
        .collect_view();
    view! {
        <fieldset class="months">
            <legend>"months"</legend>
            {ticks}
        </fieldset>
    }
    .into_any()
}
