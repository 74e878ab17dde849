//! Cost lines of the open option, edited in place: each part, work, upkeep, and what else is bought.

use couplet_core::coupling::{CouplingOption, OtherCost};
use couplet_core::household::{Household, OptionId};
use couplet_core::limits::{self, Limit};
use couplet_core::outlook::{Cost, Costed, Figure, PartLine, bought, part_lines, upkeep};
use leptos::prelude::*;

use super::field::Field;
use crate::desk::Desk;
use crate::format;
use crate::parts::Text;
use crate::words::Word;

const PLACEHOLDER: &str = "placeholder";
const USUAL: &str = "usual";
const AS_FIRST: &str = "as the first";

/// The lines. `lasts` tells how long a battery lasts, in years, if that is known.
#[component]
pub(super) fn CostLines(
    desk: Desk,
    #[prop(into)] lasts: Signal<Vec<(Costed, Option<f64>)>>,
) -> impl IntoView {
    // Which lines there are; their figures are read by the fields themselves.
    let lines = Memo::new(move |_| {
        let id = desk.option_id.get();
        desk.household.with(|household| {
            let Some(option) = household.option(id) else {
                return (id, true, Vec::new(), 0);
            };
            let first = household.options.first().map(|option| option.id) == Some(id);
            let parts = part_lines(option, household.tariff.minor_unit());
            let parts: Vec<(Costed, String, bool, bool, bool)> = (parts.into_iter())
                .map(|line| {
                    (
                        line.of,
                        line.name,
                        line.first_cur.is_some(),
                        line.again_cur.is_some(),
                        line.life_years.is_some(),
                    )
                })
                .collect();
            (id, first, parts, option.costs.others.len())
        })
    });
    let rows = move || {
        let (id, reference, parts, others) = lines.get();
        let part_rows = parts
            .into_iter()
            .map(|(of, name, new, again, life)| {
                part_row(desk, id, of, name, (new && !reference, again, life), lasts)
            })
            .collect_view();
        let other_rows = (0..others)
            .map(|place| other_row(desk, id, place))
            .collect_view();
        let beside = (!reference).then(|| {
            view! {
                {beside_row(desk, id, Costed::Work)}
                {beside_row(desk, id, Costed::Upkeep)}
                {other_rows}
            }
        });
        view! { {part_rows} {beside} }
    };
    let is_reference = Memo::new(move |_| lines.with(|lines| lines.1));
    let add = move |_| {
        desk.change_option("add a cost", None, |option| {
            option.costs.others.push(OtherCost {
                name: "Other cost".to_owned(),
                first_cur: limits::OTHER_FIRST_CUR.default,
            });
        });
    };
    view! {
        <div class="fold-frame">
            <table class="fold-table money-lines">
                <caption>{move || desk.word(Word::CostLines)}</caption>
                <thead>
                    <tr>
                        <th scope="col">"part"</th>
                        <th scope="col">{move || desk.word(Word::CostFirst)}</th>
                        <th scope="col">{move || desk.word(Word::CostAgain)}</th>
                        <th scope="col">{move || desk.word(Word::CostLife)}</th>
                    </tr>
                </thead>
                <tbody>{rows}</tbody>
            </table>
        </div>
        <Show when=move || !is_reference.get()>
            <button type="button" class="add" on:click=add>
                "Add a cost"
            </button>
        </Show>
    }
    .into_any()
}

/// What a part is, in words.
pub(super) fn kind(of: Costed) -> &'static str {
    match of {
        Costed::Array(_) => "array",
        Costed::PvInverter(_) => "PV inverter",
        Costed::StorageInverter(_) => "storage inverter",
        Costed::Battery(_) => "battery",
        Costed::Generator => "generator",
        Costed::Work => "work, wiring, small parts",
        Costed::Upkeep => "upkeep in a year",
        Costed::Other(_) => "other",
    }
}

fn part_row(
    desk: Desk,
    id: OptionId,
    of: Costed,
    name: String,
    (new, again, life): (bool, bool, bool),
    lasts: Signal<Vec<(Costed, Option<f64>)>>,
) -> AnyView {
    let part = part_id(of);
    let field_id = move |key: &str| format!("option-{}-{part}{key}", id.0);
    let prefix = match of {
        Costed::Battery(_) => "battery_",
        _ => "",
    };
    let words = format!("{} {name}", kind(of));
    let first = if new {
        let limit = match of {
            Costed::Array(_) => &limits::ARRAY_FIRST_CUR,
            Costed::Battery(_) => &limits::BATTERY_FIRST_CUR,
            _ => &limits::CONVERTER_FIRST_CUR,
        };
        Field { desk, limit }.figure(
            field_id(&format!("{prefix}first_cur")),
            format!("cost of the {words}"),
            PLACEHOLDER,
            move |household| line(household, id, of)?.first_cur,
            move |household, cur| set_cost(household, id, of, Which::First, cur),
        )
    } else {
        view! { "stands" }.into_any()
    };
    let again = again.then(|| {
        let limit: &'static Limit = match of {
            Costed::Battery(_) => &limits::BATTERY_AGAIN_CUR,
            _ => &limits::CONVERTER_AGAIN_CUR,
        };
        let held_by = if new { AS_FIRST } else { PLACEHOLDER };
        Field { desk, limit }.figure(
            field_id(&format!("{prefix}again_cur")),
            format!("cost of another {words}"),
            held_by,
            move |household| {
                let mut figure = line(household, id, of)?.again_cur?;
                // What is taken from the first cost is not typed here.
                figure.given = again_given(household.option(id)?, of);
                Some(figure)
            },
            move |household, cur| set_cost(household, id, of, Which::Again, cur),
        )
    });
    let life = if life {
        let limit = &limits::CONVERTER_LIFE_YEARS;
        Field { desk, limit }.figure(
            field_id("life_years"),
            format!("years that the {words} lasts"),
            USUAL,
            move |household| line(household, id, of)?.life_years,
            move |household, years| set_cost(household, id, of, Which::Life, years),
        )
    } else {
        view! {
            <span class="figure">
                {move || lasts.with(|lasts| match lasts.iter().find(|(other, _)| *other == of) {
                    Some((_, Some(years))) => format!("{}\u{a0}years", format::number(*years, 1)),
                    Some((_, None)) => "longer than 60\u{a0}years".to_owned(),
                    None => String::new(),
                })}
            </span>
        }
        .into_any()
    };
    let again = match again {
        Some(again) => {
            view! { <td data-label=move || desk.word(Word::CostAgain)>{again}</td> }.into_any()
        }
        None => view! { <td></td> }.into_any(),
    };
    let life = match of {
        Costed::Array(_) => view! { <td></td> }.into_any(),
        _ => view! { <td data-label=move || desk.word(Word::CostLife)>{life}</td> }.into_any(),
    };
    view! {
        <tr>
            <th scope="row">{name} " " <span class="note">{kind(of)}</span></th>
            <td data-label=move || desk.word(Word::CostFirst)>{first}</td>
            {again}
            {life}
        </tr>
    }
    .into_any()
}

/// Work or upkeep.
fn beside_row(desk: Desk, id: OptionId, of: Costed) -> AnyView {
    let limit = match of {
        Costed::Upkeep => &limits::OPTION_UPKEEP_CUR_PER_YEAR,
        _ => &limits::OPTION_WORK_CUR,
    };
    let field = Field { desk, limit }.figure(
        format!("option-{}-costs-{}", id.0, limit.key()),
        kind(of).to_owned(),
        PLACEHOLDER,
        move |household| {
            let option = household.option(id)?;
            let minor_unit = household.tariff.minor_unit();
            let cost = match of {
                Costed::Upkeep => upkeep(option, minor_unit),
                _ => (bought(option, minor_unit).into_iter()).find(|cost: &Cost| cost.of == of),
            };
            // Nothing is new: nothing is assumed either.
            Some(cost.map_or(
                Figure {
                    value: 0.0,
                    given: false,
                },
                |cost| cost.cur,
            ))
        },
        move |household, cur| set_cost(household, id, of, Which::First, cur),
    );
    view! {
        <tr>
            <th scope="row">{kind(of)}</th>
            <td data-label=move || (of == Costed::Work).then(|| desk.word(Word::CostFirst))>{field}</td>
            <td></td>
            <td></td>
        </tr>
    }
    .into_any()
}

fn other_row(desk: Desk, id: OptionId, place: usize) -> AnyView {
    let name = Memo::new(move |_| {
        desk.household.with(|household| {
            let other = household.option(id)?.costs.others.get(place)?;
            Some(other.name.clone())
        })
    });
    let name = Signal::derive(move || name.get().unwrap_or_default());
    let key = format!("option-{}-costs-others-{place}-name", id.0);
    let merge = key.clone();
    let rename = Callback::new(move |text: String| {
        desk.change("rename a cost", Some(&merge), |household| {
            if let Some(other) = other_mut(household, id, place) {
                other.name = text;
            }
        });
    });
    let limit = &limits::OTHER_FIRST_CUR;
    let field = Field { desk, limit }.number(
        format!("option-{}-costs-others-{place}-first_cur", id.0),
        Some(Signal::derive(move || format!("cost: {}", name.get()))),
        true,
        move |household| Some(household.option(id)?.costs.others.get(place)?.first_cur),
        move |household, cur| {
            if let Some(other) = other_mut(household, id, place) {
                other.first_cur = cur;
            }
        },
    );
    let remove = move |_| {
        desk.change("remove a cost", None, |household| {
            if let Some(option) = option_mut(household, id)
                && place < option.costs.others.len()
            {
                option.costs.others.remove(place);
            }
        });
    };
    view! {
        <tr>
            <th scope="row">
                <Text
                    id=key
                    label="name of the cost"
                    label_spoken=true
                    value=name
                    on_change=rename
                    on_done=Callback::new(move |()| desk.close_merge())
                />
            </th>
            <td data-label=move || desk.word(Word::CostFirst)>
                <div class="money-figure">
                    {field}
                    <button
                        type="button"
                        class="quiet remove"
                        aria-label=move || format!("Remove {}", name.get())
                        on:click=remove
                    >
                        "\u{d7}"
                    </button>
                </div>
            </td>
            <td></td>
            <td></td>
        </tr>
    }
    .into_any()
}

/// What begins the id of a part's fields after the option, as in the schedules.
fn part_id(of: Costed) -> String {
    match of {
        Costed::Array(id) => format!("array-{}-", id.0),
        Costed::PvInverter(id) => format!("pv-inverter-{}-", id.0),
        Costed::StorageInverter(id) | Costed::Battery(id) => format!("storage-{}-", id.0),
        Costed::Generator => "generator-".to_owned(),
        Costed::Work | Costed::Upkeep | Costed::Other(_) => "costs-".to_owned(),
    }
}

fn line(household: &Household, id: OptionId, of: Costed) -> Option<PartLine> {
    let option = household.option(id)?;
    part_lines(option, household.tariff.minor_unit())
        .into_iter()
        .find(|line| line.of == of)
}

fn option_mut(household: &mut Household, id: OptionId) -> Option<&mut CouplingOption> {
    household.options.iter_mut().find(|option| option.id == id)
}

fn other_mut(household: &mut Household, id: OptionId, place: usize) -> Option<&mut OtherCost> {
    option_mut(household, id)?.costs.others.get_mut(place)
}

/// Whether the cost of another one was typed in for itself.
fn again_given(option: &CouplingOption, of: Costed) -> bool {
    let again_cur = match of {
        Costed::PvInverter(id) => option.pv_inverter(id).map(|part| part.costs.again_cur),
        Costed::StorageInverter(id) => option.storage_unit(id).map(|unit| unit.costs.again_cur),
        Costed::Battery(id) => (option.storage_unit(id)).map(|unit| unit.battery.costs.again_cur),
        Costed::Generator => (option.generator.as_ref()).map(|part| part.costs.again_cur),
        _ => None,
    };
    again_cur.flatten().is_some()
}

/// A figure of a cost line.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Which {
    First,
    Again,
    Life,
}

fn set_cost(household: &mut Household, id: OptionId, of: Costed, which: Which, value: Option<f64>) {
    let Some(option) = option_mut(household, id) else {
        return;
    };
    let unit_of = |id| move |unit: &&mut couplet_core::coupling::StorageUnit| unit.id == id;
    match of {
        Costed::Array(id) => {
            if let Some(array) = option.arrays.iter_mut().find(|array| array.id == id) {
                array.first_cur = value;
            }
        }
        Costed::Battery(id) => {
            if let Some(unit) = option.storage.iter_mut().find(unit_of(id)) {
                match which {
                    Which::First => unit.battery.costs.first_cur = value,
                    Which::Again => unit.battery.costs.again_cur = value,
                    Which::Life => {}
                }
            }
        }
        Costed::PvInverter(id) => {
            if let Some(part) = option.pv_inverters.iter_mut().find(|part| part.id == id) {
                set_converter(&mut part.costs, which, value);
            }
        }
        Costed::StorageInverter(id) => {
            if let Some(unit) = option.storage.iter_mut().find(unit_of(id)) {
                set_converter(&mut unit.costs, which, value);
            }
        }
        Costed::Generator => {
            if let Some(generator) = &mut option.generator {
                set_converter(&mut generator.costs, which, value);
            }
        }
        Costed::Work => option.costs.work_cur = value,
        Costed::Upkeep => option.costs.upkeep_cur_per_year = value,
        Costed::Other(_) => {}
    }
}

fn set_converter(
    costs: &mut couplet_core::coupling::ConverterCosts,
    which: Which,
    value: Option<f64>,
) {
    match which {
        Which::First => costs.first_cur = value,
        Which::Again => costs.again_cur = value,
        Which::Life => costs.life_years = value,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use couplet_core::document::demo;
    use couplet_core::household::StorageId;

    #[test]
    fn each_figure_is_set_where_it_is_read() {
        let mut household = demo();
        let id = OptionId(3);
        for line in part_lines(household.option(id).unwrap(), household.tariff.minor_unit()) {
            for which in [Which::First, Which::Again, Which::Life] {
                set_cost(&mut household, id, line.of, which, Some(7.0));
            }
        }
        for now in part_lines(household.option(id).unwrap(), household.tariff.minor_unit()) {
            let typed = [now.first_cur, now.again_cur, now.life_years];
            for figure in typed.into_iter().flatten() {
                assert_eq!(figure.value, 7.0, "{:?}", now.of);
            }
        }
        let battery = Costed::Battery(StorageId(1));
        assert!(again_given(household.option(id).unwrap(), battery));
        set_cost(&mut household, id, battery, Which::Again, None);
        assert!(!again_given(household.option(id).unwrap(), battery));
    }
}
