//! Currency, fixed and minimum charge, tax, and charges on the highest power.

use couplet_core::bill::{DemandCharge, Tariff, TaxOn};
use couplet_core::household::BaseUse;
use couplet_core::limits;
use leptos::prelude::*;

use super::window::{usual_window, windows_fields};
use crate::desk::Desk;
use crate::regions::schedules::Remove;
use crate::regions::schedules::row::Row;
use crate::words::Word;

const TAX_ON: [(TaxOn, Word); 2] = [
    (TaxOn::ToPay, Word::TaxOnToPay),
    (TaxOn::Bought, Word::TaxOnBought),
];

const INTERVALS: [(u32, &str); 3] = [(900, "15 min"), (1_800, "30 min"), (3_600, "60 min")];

/// What is charged beside energy.
#[component]
pub(super) fn Charges(row: Row<Tariff>) -> impl IntoView {
    let desk = row.desk;
    let count = row.read(|tariff| tariff.demand.len());
    let add = row.clone();
    view! {
        {currency_field(&row)}
        {row.quantity(&limits::TARIFF_FIXED_CUR_PER_MONTH, |tariff| tariff.fixed_cur_per_month, |tariff, value| tariff.fixed_cur_per_month = value)}
        {row.quantity(&limits::TARIFF_FIXED_CUR_PER_DAY, |tariff| tariff.fixed_cur_per_day, |tariff, value| tariff.fixed_cur_per_day = value)}
        {row.quantity(&limits::TARIFF_MINIMUM_CUR_PER_MONTH, |tariff| tariff.minimum_cur_per_month, |tariff, value| tariff.minimum_cur_per_month = value)}
        {row.quantity(&limits::TARIFF_TAX, |tariff| tariff.tax, |tariff, value| tariff.tax = value)}
        {row.choice_in_words("tax_on", "tax is taken on", &TAX_ON, |tariff| tariff.tax_on, |tariff, tax_on| tariff.tax_on = tax_on)}
        <For each=move || 0..count.get() key=|index| *index let:index>
            <DemandFields desk index />
        </For>
        <button type="button" class="add" on:click=move |_| add.change(None, "add a demand charge", add_demand)>
            {move || desk.word(Word::AddDemand)}
        </button>
    }
    .into_any()
}

/// The currency, by its code.
pub(super) fn currency_field(row: &Row<Tariff>) -> AnyView {
    let set = |tariff: &mut Tariff, currency: String| {
        // A code is three letters; while it is being typed the last one stays.
        if currency.len() == 3 && currency.chars().all(|c| c.is_ascii_alphabetic()) {
            tariff.currency = currency.to_ascii_uppercase();
        }
    };
    row.text(
        "currency",
        "currency (ISO 4217)",
        false,
        |tariff| &tariff.currency,
        set,
    )
}

fn add_demand(tariff: &mut Tariff) {
    tariff.demand.push(DemandCharge {
        name: format!("Power {}", tariff.demand.len() + 1),
        windows: Vec::new(),
        interval_s: 900,
        cur_per_kw: limits::DEMAND_CUR_PER_KW.default,
    });
}

/// A charge on the highest power.
#[component]
fn DemandFields(desk: Desk, index: usize) -> impl IntoView {
    let row: Row<DemandCharge> = Row::new(
        desk,
        format!("tariff-demand-{index}"),
        "tariff",
        move |household| household.tariff.demand.get(index),
        move |household| household.tariff.demand.get_mut(index),
    );
    let name = row.read(|demand| demand.name.clone());
    let remove = Callback::new(move |()| {
        desk.change("tariff: remove a demand charge", None, |household| {
            if index < household.tariff.demand.len() {
                household.tariff.demand.remove(index);
            }
        });
    });
    let is_metered = Memo::new(move |_| {
        desk.household
            .with(|household| matches!(household.loads.base, BaseUse::Intervals(_)))
    });
    view! {
        <div class="part">
            <div class="part-head">
                {row.text("name", "name", true, |demand| &demand.name, |demand, name| demand.name = name)}
                <Remove what=name on_remove=remove />
            </div>
            {row.quantity(&limits::DEMAND_CUR_PER_KW, |demand| demand.cur_per_kw, |demand, value| demand.cur_per_kw = value)}
            {row.choice("interval_s", "mean over", &INTERVALS, |demand| demand.interval_s, |demand, interval_s| demand.interval_s = interval_s)}
            {row.tick(
                "some-hours",
                "only at some hours",
                |demand| !demand.windows.is_empty(),
                |demand, some| {
                    demand.windows.clear();
                    if some {
                        demand.windows.push(usual_window());
                    }
                },
            )}
            <Show when=move || !is_metered.get()>
                <p class="note">{move || desk.word(Word::MeanHasNoPeaks)}</p>
            </Show>
            {windows_fields(
                desk,
                &format!("tariff-demand-{index}"),
                move |household| Some(&household.tariff.demand.get(index)?.windows),
                move |household| Some(&mut household.tariff.demand.get_mut(index)?.windows),
            )}
        </div>
    }
    .into_any()
}
