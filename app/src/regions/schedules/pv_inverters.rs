//! PV inverters of the open option that an array feeds now.

use couplet_core::coupling::{
    ConverterEfficiency, IslandMeans, PowerLimiting, PvInverter, Weighting,
};
use couplet_core::household::PvInverterId;
use couplet_core::limits;
use leptos::prelude::*;

use super::arrays::option_mut;
use super::electrical::pv_inverter_fields;
use super::grid_code::grid_code_fields;
use super::row::Row;
use super::{Details, Schedule};
use crate::desk::Desk;
use crate::judged::Judged;
use crate::words::Word;

/// The schedule of PV inverters; nothing is shown where none is fed.
#[component]
pub(super) fn PvInverters(desk: Desk, judged: Judged) -> impl IntoView {
    let ids = Memo::new(move |_| {
        desk.option.with(|option| {
            option
                .as_ref()
                .map(|option| {
                    option
                        .pv_inverters
                        .iter()
                        .map(|inverter| inverter.id)
                        .filter(|id| option.arrays_on_inverter(*id).next().is_some())
                        .collect::<Vec<_>>()
                })
                .unwrap_or_default()
        })
    });
    let rows = move || {
        ids.get()
            .into_iter()
            .map(|id| (desk.option_id.get(), id))
            .collect::<Vec<_>>()
    };
    view! {
        <Show when=move || ids.with(|ids| !ids.is_empty())>
            <Schedule desk name="pv-inverters" title=Word::PvInverters>
                <For each=rows key=|row| *row let:row>
                    <PvInverterRow desk judged id=row.1 />
                </For>
            </Schedule>
        </Show>
    }
    .into_any()
}

/// How an inverter is limited, without its numbers.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
enum LimitingKind {
    #[default]
    None,
    Commanded,
    Relay,
}

impl LimitingKind {
    fn of(limiting: PowerLimiting) -> Self {
        match limiting {
            PowerLimiting::None => Self::None,
            PowerLimiting::Commanded { .. } => Self::Commanded,
            PowerLimiting::Relay { .. } => Self::Relay,
        }
    }

    fn with_defaults(self) -> PowerLimiting {
        match self {
            Self::None => PowerLimiting::None,
            Self::Commanded => PowerLimiting::commanded(),
            Self::Relay => PowerLimiting::Relay {
                reconnect_s: limits::LIMITING_RECONNECT_S.default,
            },
        }
    }
}

/// A number of a commanded inverter; others do not have it.
macro_rules! of_command {
    ($row:expr, $limit:ident, $field:ident) => {
        $row.quantity(
            &limits::$limit,
            |inverter| match inverter.limiting {
                PowerLimiting::Commanded { $field, .. } => $field,
                _ => limits::$limit.default,
            },
            |inverter, value| {
                if let PowerLimiting::Commanded { $field, .. } = &mut inverter.limiting {
                    *$field = value;
                }
            },
        )
    };
}

#[component]
fn PvInverterRow(desk: Desk, judged: Judged, id: PvInverterId) -> impl IntoView {
    let option_id = desk.option_id.get_untracked();
    let row: Row<PvInverter> = Row::new(
        desk,
        format!("option-{}-pv-inverter-{}", option_id.0, id.0),
        "PV inverter",
        move |household| household.option(option_id)?.pv_inverter(id),
        move |household| {
            option_mut(household, option_id)?
                .pv_inverters
                .iter_mut()
                .find(|inverter| inverter.id == id)
        },
    );
    let kind = row.read(|inverter| LimitingKind::of(inverter.limiting));
    let number = row.clone();
    let numbers = move || match kind.get() {
        LimitingKind::None => ().into_any(),
        LimitingKind::Commanded => view! {
            {of_command!(number, LIMITING_MARGIN_W, margin_w)}
            {of_command!(number, LIMITING_POLL_S, poll_s)}
            {of_command!(number, LIMITING_RAMP_PER_S, ramp_per_s)}
        }
        .into_any(),
        LimitingKind::Relay => number.quantity(
            &limits::LIMITING_RECONNECT_S,
            |inverter| match inverter.limiting {
                PowerLimiting::Relay { reconnect_s } => reconnect_s,
                _ => limits::LIMITING_RECONNECT_S.default,
            },
            |inverter, reconnect_s| inverter.limiting = PowerLimiting::Relay { reconnect_s },
        ),
    };
    // Without a utility there is nothing to export to.
    let utility = Memo::new(move |_| desk.household.with(|household| household.service.utility));
    let limited = row.clone();
    let at_export_limit = move || {
        utility.get().then(|| {
            view! {
                {limited.choice(
                    "limiting",
                    "at the export limit",
                    &[
                        (LimitingKind::None, "goes on (spills)"),
                        (LimitingKind::Commanded, "follows a command"),
                        (LimitingKind::Relay, "is dropped by a relay"),
                    ],
                    |inverter| LimitingKind::of(inverter.limiting),
                    |inverter, kind| inverter.limiting = kind.with_defaults(),
                )}
                {numbers.clone()}
            }
        })
    };
    view! {
        <div class="part" data-selected=move || {
            (desk.selection.get() == Some(couplet_core::drawing::Part::PvInverter(id))).then_some("true")
        }>
            <div class="part-head">
                {row.text("name", "name", true, |inverter| &inverter.name, |inverter, name| inverter.name = name)}
            </div>
            {row.quantity(&limits::PV_INVERTER_RATED_W, |inverter| inverter.rated_w, |inverter, value| inverter.rated_w = value)}
            {at_export_limit}
            <Details clone:row desk title=Word::IslandMeans>
                {grid_code_fields(&row)}
                {island_means(&row)}
            </Details>
            <Details clone:row desk title=Word::InverterInputs>{pv_inverter_fields(&row, judged, id)}</Details>
            <Details clone:row desk title=Word::Efficiency>
                {efficiency_fields(&row, |inverter| &inverter.efficiency, |inverter| &mut inverter.efficiency)}
                {row.tick("standing", "stands already", |inverter| inverter.standing, |inverter, value| inverter.standing = value)}
            </Details>
        </div>
    }
    .into_any()
}

/// How an island holds an inverter back, without its numbers.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
enum MeansKind {
    #[default]
    Frequency,
    Command,
    Contactor,
}

impl MeansKind {
    fn of(means: IslandMeans) -> Self {
        match means {
            IslandMeans::Frequency => Self::Frequency,
            IslandMeans::Command { .. } => Self::Command,
            IslandMeans::Contactor { .. } => Self::Contactor,
        }
    }

    fn with_defaults(self) -> IslandMeans {
        match self {
            Self::Frequency => IslandMeans::Frequency,
            Self::Command => IslandMeans::Command {
                response_s: limits::ISLAND_RESPONSE_S.default,
            },
            Self::Contactor => IslandMeans::Contactor {
                open_soc: limits::ISLAND_OPEN_SOC.default,
                close_soc: limits::ISLAND_CLOSE_SOC.default,
            },
        }
    }
}

/// A number of one way to hold an inverter back; other ways do not have it.
macro_rules! of_means {
    ($row:expr, $limit:ident, $kind:ident, $field:ident) => {
        $row.quantity(
            &limits::$limit,
            |inverter| match inverter.island {
                IslandMeans::$kind { $field, .. } => $field,
                _ => limits::$limit.default,
            },
            |inverter, value| {
                if let IslandMeans::$kind { $field, .. } = &mut inverter.island {
                    *$field = value;
                }
            },
        )
    };
}

/// How an island holds the inverter back.
fn island_means(row: &Row<PvInverter>) -> AnyView {
    let kind = row.read(|inverter| MeansKind::of(inverter.island));
    let numbers = row.clone();
    let fields = move || match kind.get() {
        MeansKind::Frequency => ().into_any(),
        MeansKind::Command => of_means!(numbers, ISLAND_RESPONSE_S, Command, response_s),
        MeansKind::Contactor => view! {
            {of_means!(numbers, ISLAND_OPEN_SOC, Contactor, open_soc)}
            {of_means!(numbers, ISLAND_CLOSE_SOC, Contactor, close_soc)}
        }
        .into_any(),
    };
    view! {
        {row.choice_in_words(
            "island",
            "held back",
            &[
                (MeansKind::Frequency, Word::MeansFrequency),
                (MeansKind::Command, Word::MeansCommand),
                (MeansKind::Contactor, Word::MeansContactor),
            ],
            |inverter| MeansKind::of(inverter.island),
            |inverter, kind| inverter.island = kind.with_defaults(),
        )}
        {fields}
    }
    .into_any()
}

/// The datasheet efficiencies of a converter.
pub(super) fn efficiency_fields<T: Clone + PartialEq + Send + Sync + 'static>(
    row: &Row<T>,
    get: fn(&T) -> &ConverterEfficiency,
    get_mut: fn(&mut T) -> &mut ConverterEfficiency,
) -> impl IntoView + use<T> {
    let weighting = [(Weighting::European, "European"), (Weighting::Cec, "CEC")];
    let chosen = row.clone();
    let items: Vec<_> = weighting
        .iter()
        .map(|(_, text)| ((*text).to_owned(), true))
        .collect();
    view! {
        {row.quantity_at(&limits::EFFICIENCY_PEAK, "peak", None, move |part| get(part).peak, move |part, value| get_mut(part).peak = value)}
        {row.quantity_at(&limits::EFFICIENCY_WEIGHTED, "weighted", None, move |part| get(part).weighted, move |part, value| get_mut(part).weighted = value)}
        <crate::parts::Choice
            id=row.id("weighting")
            label="weighting"
            items=items
            chosen=row.read(move |part| weighting.iter().position(|(kind, _)| *kind == get(part).weighting))
            on_change=Callback::new(move |index: usize| {
                if let Some((kind, _)) = weighting.get(index) {
                    chosen.change(None, "weighting", |part| get_mut(part).weighting = *kind);
                }
            })
        />
        {row.quantity_at(&limits::EFFICIENCY_NO_LOAD_W, "no_load_w", None, move |part| get(part).no_load_w, move |part, value| get_mut(part).no_load_w = value)}
    }
}
