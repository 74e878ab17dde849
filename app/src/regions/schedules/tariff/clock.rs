//! Summer time: the rule after which the hours of the tariff are told.

use couplet_core::bill::{CLOCK_RULES, Tariff, clock_rule_of_zone};
use leptos::prelude::*;

use crate::parts::Choice;
use crate::regions::schedules::row::Row;

/// The clock of the tariff.
#[component]
pub(super) fn ClockFields(row: Row<Tariff>) -> impl IntoView {
    let desk = row.desk;
    let of_place = Memo::new(move |_| {
        desk.household
            .with(|household| clock_rule_of_zone(&household.site.time_zone))
    });
    let items = Signal::derive(move || {
        let of_place = of_place.get();
        let named = CLOCK_RULES.iter().map(|rule| {
            let here = if of_place == Some(rule.rule) {
                " (here)"
            } else {
                ""
            };
            (format!("{}{here}", rule.name), true)
        });
        std::iter::once(("standard time all year".to_owned(), true))
            .chain(named)
            .chain([("as written below".to_owned(), false)])
            .collect::<Vec<_>>()
    });
    let chosen = row.read(|tariff| {
        Some(match tariff.clock_rule.as_deref() {
            None => 0,
            Some(rule) => {
                let known = CLOCK_RULES.iter().position(|known| known.rule == rule);
                known.map_or(CLOCK_RULES.len(), |place| place) + 1
            }
        })
    });
    let rule: Row<String> = Row::new(
        desk,
        "tariff",
        "tariff",
        |household| household.tariff.clock_rule.as_ref(),
        |household| household.tariff.clock_rule.as_mut(),
    );
    let has_rule = row.read(|tariff| tariff.clock_rule.is_some());
    view! {
        <Choice
            id="tariff-clock".to_owned()
            label="summer time"
            items
            chosen
            on_change=Callback::new(move |place: usize| {
                let rule = place.checked_sub(1).and_then(|place| CLOCK_RULES.get(place));
                row.change(None, "summer time", |tariff| {
                    tariff.clock_rule = rule.map(|rule| rule.rule.to_owned());
                });
            })
        />
        {move || has_rule.get().then(|| rule.text("clock_rule", "rule (POSIX TZ)", false, |rule| rule, |rule, text| *rule = text))}
    }
    .into_any()
}
