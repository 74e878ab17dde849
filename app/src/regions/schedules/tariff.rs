//! What energy costs and earns: prices outside all periods, and periods with prices of their own.

use couplet_core::household::{Days, PricePeriod, Tariff};
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
    view! {
        <Schedule clone:row desk name="tariff" title=Word::Tariff>
            {row.quantity(&limits::TARIFF_BUY_CUR_PER_KWH, |tariff| tariff.buy_cur_per_kwh, |tariff, value| tariff.buy_cur_per_kwh = value)}
            {row.quantity(&limits::TARIFF_SELL_CUR_PER_KWH, |tariff| tariff.sell_cur_per_kwh, |tariff, value| tariff.sell_cur_per_kwh = value)}
            <For each=move || 0..count.get() key=|index| *index let:index>
                <PeriodRow desk index />
            </For>
            <button
                type="button"
                class="add"
                on:click=move |_| add.change(None, "add hours", |tariff| tariff.periods.push(new_period(tariff.periods.len())))
            >
                "Add hours with their own prices"
            </button>
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

fn new_period(number: usize) -> PricePeriod {
    PricePeriod {
        name: format!("Hours {}", number + 1),
        months: [true; 12],
        days: Days::All,
        from_h: limits::PERIOD_FROM_H.default,
        to_h: limits::PERIOD_TO_H.default,
        buy_cur_per_kwh: limits::PERIOD_BUY_CUR_PER_KWH.default,
        sell_cur_per_kwh: limits::PERIOD_SELL_CUR_PER_KWH.default,
    }
}

#[component]
fn PeriodRow(desk: Desk, index: usize) -> impl IntoView {
    let row: Row<PricePeriod> = Row::new(
        desk,
        format!("tariff-period-{index}"),
        "tariff",
        move |household| household.tariff.periods.get(index),
        move |household| household.tariff.periods.get_mut(index),
    );
    let name = row.read(|period| period.name.clone());
    let remove = Callback::new(move |()| {
        desk.change("tariff: remove hours", None, |household| {
            if index < household.tariff.periods.len() {
                household.tariff.periods.remove(index);
            }
        });
    });
    view! {
        <div class="part">
            <div class="part-head">
                {row.text("name", "name", true, |period| &period.name, |period, name| period.name = name)}
                <Remove what=name on_remove=remove />
            </div>
            {row.quantity(&limits::PERIOD_FROM_H, |period| period.from_h, |period, value| period.from_h = value)}
            {row.quantity(&limits::PERIOD_TO_H, |period| period.to_h, |period, value| period.to_h = value)}
            {row.quantity(&limits::PERIOD_BUY_CUR_PER_KWH, |period| period.buy_cur_per_kwh, |period, value| period.buy_cur_per_kwh = value)}
            {row.quantity(&limits::PERIOD_SELL_CUR_PER_KWH, |period| period.sell_cur_per_kwh, |period, value| period.sell_cur_per_kwh = value)}
            <Details clone:row desk title=Word::DaysAndMonths>
                {row.choice(
                    "days",
                    "days",
                    &[(Days::All, "every day"), (Days::Weekdays, "Monday to Friday"), (Days::Weekends, "Saturday and Sunday")],
                    |period| period.days,
                    |period, days| period.days = days,
                )}
                <MonthTicks row=row.clone() get=|period| period.months set=|period, months| period.months = months />
            </Details>
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
