//! How the batteries age: what a year puts them through, how long they last, and the figures that this is reckoned from.

use couplet_core::coupling::BatteryAgeing;
use couplet_core::household::{Household, OptionId, StorageId};
use couplet_core::limits::{self, Limit};
use couplet_core::outlook::{BatteryOutlook, Outlook};
use leptos::prelude::*;

use super::field::Field;
use crate::desk::Desk;
use crate::format;
use crate::keep::UnitSystem;
use crate::words::{Level, Word};

/// What came out for each battery.
pub(super) fn ageing(found: &Outlook, level: Level, units: UnitSystem) -> AnyView {
    let words = |plain: &'static str, trade: &'static str| match level {
        Level::Plain => plain,
        Level::Trade => trade,
    };
    let rows = found
        .batteries
        .iter()
        .map(|battery| {
            let cells = cells(battery, units)
                .map(|cell| view! { <td class="figure">{cell}</td> })
                .collect_view();
            view! {
                <tr>
                    <th scope="row">{battery.name.clone()}</th>
                    {cells}
                </tr>
            }
        })
        .collect_view();
    view! {
        <div class="fold-frame" tabindex="0" role="group" aria-label="Battery ageing">
            <table class="fold-table money-ageing">
                <thead>
                    <tr>
                        <th scope="col">"battery"</th>
                        <th scope="col">{words("temperature, mean", "mean temperature")}</th>
                        <th scope="col">{words("gives in a year", "throughput, DC, year 1")}</th>
                        <th scope="col">{words("full cycles in a year", "equivalent full cycles, rainflow")}</th>
                        <th scope="col">{words("deepest", "deepest cycle")}</th>
                        <th scope="col">{words("left after 10 years", "left after 10 years")}</th>
                        <th scope="col">{words("lasts", "years to the end of life")}</th>
                    </tr>
                </thead>
                <tbody>{rows}</tbody>
            </table>
        </div>
    }
    .into_any()
}

fn cells(battery: &BatteryOutlook, units: UnitSystem) -> impl Iterator<Item = String> + use<> {
    let temperature = match units {
        UnitSystem::Metric => format!("{}\u{a0}°C", format::number(battery.mean_c, 0)),
        UnitSystem::Us => format!("{}\u{a0}°F", format::number(battery.mean_c * 1.8 + 32.0, 0)),
    };
    let place = if battery.outdoors {
        "outdoors"
    } else {
        "indoors"
    };
    let end = format::percent(battery.end_of_life, 0).text();
    let after_ten = match battery.life.left.get(9) {
        Some(left) => format::percent(*left, 0).text(),
        None => format!("replaced at {end}"),
    };
    let lasts = match battery.life.years {
        Some(years) => format!("{}\u{a0}years, to {end}", format::number(years, 1)),
        None => "longer than 60\u{a0}years".to_owned(),
    };
    [
        format!("{temperature}, {place}"),
        format::energy(battery.given_wh).text(),
        format::number(battery.wear.equivalent_full_cycles, 0),
        format::percent(battery.wear.deepest, 0).text(),
        after_ten,
        lasts,
    ]
    .into_iter()
}

/// The figures behind the ageing of the open option's batteries.
#[component]
pub(super) fn AgeingFields(desk: Desk) -> impl IntoView {
    let units = Memo::new(move |_| {
        let id = desk.option_id.get();
        let units = desk.option.with(|option| {
            let storage = option.as_ref().map(|option| {
                let named = option
                    .storage
                    .iter()
                    .map(|unit| (unit.id, unit.name.clone()));
                named.collect::<Vec<_>>()
            });
            storage.unwrap_or_default()
        });
        (id, units)
    });
    let fields = move || {
        let (option, units) = units.get();
        units
            .into_iter()
            .map(|(unit, name)| battery_fields(desk, option, unit, name))
            .collect_view()
    };
    view! {
        <details class="details">
            <summary>{move || desk.word(Word::BatteryAge)} ": what it is reckoned from"</summary>
            {fields}
        </details>
    }
    .into_any()
}

fn battery_fields(desk: Desk, option: OptionId, unit: StorageId, name: String) -> AnyView {
    let field = move |limit: &'static Limit,
                      get: fn(&BatteryAgeing) -> f64,
                      set: fn(&mut BatteryAgeing, f64)| {
        Field { desk, limit }.number(
            format!("option-{}-storage-{}-{}", option.0, unit.0, limit.key()),
            None,
            false,
            move |household: &Household| {
                let unit = household.option(option)?.storage_unit(unit)?;
                Some(get(&unit.battery.ageing))
            },
            move |household, value| {
                let found = household.options.iter_mut().find(|one| one.id == option);
                let units = found.into_iter().flat_map(|one| &mut one.storage);
                for battery in units
                    .filter(|one| one.id == unit)
                    .map(|one| &mut one.battery)
                {
                    set(&mut battery.ageing, value);
                }
            },
        )
    };
    view! {
        <div class="fields">
            <p class="note">{name}</p>
            {field(&limits::BATTERY_FULL_CYCLES, |ageing| ageing.full_cycles, |ageing, value| ageing.full_cycles = value)}
            {field(&limits::BATTERY_FIRST_YEAR_LOSS, |ageing| ageing.first_year_loss, |ageing, value| ageing.first_year_loss = value)}
            {field(&limits::BATTERY_END_OF_LIFE, |ageing| ageing.end_of_life, |ageing, value| ageing.end_of_life = value)}
        </div>
    }
    .into_any()
}
