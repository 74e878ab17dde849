//! The generator of the open option.

use couplet_core::coupling::Generator;
use couplet_core::findings::CircuitKind;
use couplet_core::household::OptionId;
use couplet_core::limits;
use leptos::prelude::*;

use super::arrays::option_mut;
use super::row::Row;
use super::{Details, Remove, Schedule};
use crate::desk::Desk;
use crate::judged::Judged;
use crate::words::Word;

/// The schedule of the generator: its fields, or the button that adds one.
#[component]
pub(super) fn GeneratorSchedule(desk: Desk, judged: Judged) -> impl IntoView {
    let stands = Memo::new(move |_| {
        let id = desk.option_id.get();
        let stands = desk.option.with(|option| {
            option
                .as_ref()
                .is_some_and(|option| option.generator.is_some())
        });
        (id, stands)
    });
    let fields = move || match stands.get() {
        (id, true) => generator_fields(desk, judged, id),
        (_, false) => view! {
            <button type="button" class="add" on:click=move |_| add(desk)>
                "Add a generator"
            </button>
        }
        .into_any(),
    };
    view! {
        <Schedule desk name="generator" title=Word::Generator>
            {fields}
        </Schedule>
    }
    .into_any()
}

fn add(desk: Desk) {
    desk.change_option("add a generator", None, |option| {
        option.generator = Some(Generator::generic(
            "Generator".to_owned(),
            limits::GENERATOR_RATED_W.default,
        ));
    });
}

fn generator_fields(desk: Desk, judged: Judged, id: OptionId) -> AnyView {
    let rated_a = Signal::derive(move || {
        judged.circuits.with(|circuits| {
            let mut circuits = circuits.iter();
            let found = circuits.find(|circuit| circuit.kind == CircuitKind::GeneratorOutput)?;
            Some(found.duty.highest_a)
        })
    });
    let row: Row<Generator> = Row::new(
        desk,
        format!("option-{}-generator", id.0),
        "generator",
        move |household| household.option(id)?.generator.as_ref(),
        move |household| option_mut(household, id)?.generator.as_mut(),
    );
    let name = row.read(|generator| generator.name.clone());
    view! {
        <div class="part" data-selected=move || {
            (desk.selection.get() == Some(couplet_core::drawing::Part::Generator)).then_some("true")
        }>
            <div class="part-head">
                {row.text("name", "name", true, |generator| &generator.name, |generator, name| generator.name = name)}
                <Remove what=name on_remove=Callback::new(move |()| {
                    desk.change_option("remove the generator", None, |option| option.generator = None);
                }) />
            </div>
            {row.quantity(&limits::GENERATOR_RATED_W, |generator| generator.rated_w, |generator, value| generator.rated_w = value)}
            {row.quantity(&limits::GENERATOR_START_SOC, |generator| generator.start_soc, |generator, value| generator.start_soc = value)}
            {row.quantity(&limits::GENERATOR_STOP_SOC, |generator| generator.stop_soc, |generator, value| generator.stop_soc = value)}
            {row.optional(
                &limits::GENERATOR_FUEL_CUR_PER_L,
                limits::GENERATOR_FUEL_CUR_PER_L.key(),
                Signal::derive(|| None),
                |generator| generator.fuel_cur_per_l,
                |generator, value| generator.fuel_cur_per_l = value,
            )}
            <Details clone:row desk title=Word::GeneratorDetails>
                {row.quantity(&limits::GENERATOR_START_DELAY_S, |generator| generator.start_delay_s, |generator, value| generator.start_delay_s = value)}
                {row.quantity(&limits::GENERATOR_LEAST_LOAD, |generator| generator.least_load, |generator, value| generator.least_load = value)}
                {row.quantity(&limits::GENERATOR_IDLE_FUEL_L_PER_H, |generator| generator.idle_fuel_l_per_h, |generator, value| generator.idle_fuel_l_per_h = value)}
                {row.quantity(&limits::GENERATOR_FUEL_L_PER_KWH, |generator| generator.fuel_l_per_kwh, |generator, value| generator.fuel_l_per_kwh = value)}
                {row.optional(
                    &limits::GENERATOR_RATED_A,
                    limits::GENERATOR_RATED_A.key(),
                    rated_a,
                    |generator| generator.electrical.rated_a,
                    |generator, value| generator.electrical.rated_a = value,
                )}
                {row.answer(
                    "kept_from_overload",
                    "its plate says that it is kept from overload",
                    |generator| generator.electrical.kept_from_overload,
                    |generator, value| generator.electrical.kept_from_overload = value,
                )}
                {row.tick("standing", "stands already", |generator| generator.standing, |generator, value| generator.standing = value)}
            </Details>
        </div>
    }
    .into_any()
}
