//! What the MPPT inputs of a converter take, and the rest of a PV inverter's data sheet.

use couplet_core::coupling::{InputSheet, PvInverter};
use couplet_core::findings::{Details, InputWindow, PvInput};
use couplet_core::household::PvInverterId;
use couplet_core::limits::{self, Limit};
use leptos::prelude::*;

use super::super::row::Row;
use super::{three_phase, whole};
use crate::judged::Judged;

/// The inputs' numbers; the first that is typed takes the others along.
pub(super) fn input_fields<T: Clone + PartialEq + Send + Sync + 'static>(
    row: &Row<T>,
    judged: Judged,
    window: impl Fn(&Details) -> Option<InputWindow> + Copy + Send + Sync + 'static,
    get: fn(&T) -> Option<InputSheet>,
    get_mut: fn(&mut T) -> &mut Option<InputSheet>,
) -> AnyView {
    let in_force = Memo::new(move |_| {
        judged
            .details
            .with(|details| Some(window(details.as_deref()?)?.each))
    });
    let number =
        |limit: &'static Limit, of_sheet: fn(&InputSheet) -> f64, set: fn(&mut InputSheet, f64)| {
            row.optional(
                limit,
                limit.key(),
                Signal::derive(move || in_force.get().as_ref().map(of_sheet)),
                move |part| get(part).as_ref().map(of_sheet),
                move |part, value| {
                    let sheet = get_mut(part);
                    match (value, in_force.get_untracked()) {
                        (Some(value), Some(in_force)) => set(sheet.get_or_insert(in_force), value),
                        (Some(value), None) => {
                            if let Some(sheet) = sheet {
                                set(sheet, value);
                            }
                        }
                        // One number alone cannot be left open: all go back to generic ones.
                        (None, _) => *sheet = None,
                    }
                },
            )
        };
    view! {
        {number(&limits::INPUT_MOST_V, |sheet| sheet.most_v, |sheet, value| sheet.most_v = value)}
        {number(
            &limits::INPUT_MPPT_FROM_V,
            |sheet| sheet.mppt_from_v,
            |sheet, value| sheet.mppt_from_v = value,
        )}
        {number(
            &limits::INPUT_MPPT_TO_V,
            |sheet| sheet.mppt_to_v,
            |sheet, value| sheet.mppt_to_v = value,
        )}
        {number(
            &limits::INPUT_MOST_WORKING_A,
            |sheet| sheet.most_working_a,
            |sheet, value| sheet.most_working_a = value,
        )}
        {number(
            &limits::INPUT_MOST_SHORT_CIRCUIT_A,
            |sheet| sheet.most_short_circuit_a,
            |sheet, value| sheet.most_short_circuit_a = value,
        )}
    }
    .into_any()
}

fn window_of(details: &Details, id: PvInverterId) -> Option<InputWindow> {
    match details.pv_inverter(id)?.input {
        PvInput::Strings(window) => Some(window),
        PvInput::AtModule => None,
    }
}

/// A PV inverter's DC side, and on how many lines it feeds.
pub(in super::super) fn pv_inverter_fields(
    row: &Row<PvInverter>,
    judged: Judged,
    id: PvInverterId,
) -> AnyView {
    let at_modules = row.read(|inverter| inverter.electrical.at_modules);
    let inputs = Signal::derive(move || {
        judged
            .details
            .with(|details| window_of(details.as_ref()?, id))
            .map(|window| f64::from(window.inputs))
    });
    let three = three_phase(row.desk);
    let (sheet, lines) = (row.clone(), row.clone());
    view! {
        {row.tick(
            "at_modules",
            "an inverter behind each module",
            |inverter| inverter.electrical.at_modules,
            |inverter, value| inverter.electrical.at_modules = value,
        )}
        <Show when=move || !at_modules.get()>
            {sheet.optional(
                &limits::PV_INVERTER_INPUTS,
                "inputs",
                inputs,
                |inverter| inverter.electrical.inputs.map(f64::from),
                |inverter, value| inverter.electrical.inputs = value.map(whole),
            )}
            {input_fields(
                &sheet,
                judged,
                move |details| window_of(details, id),
                |inverter| inverter.electrical.input,
                |inverter| &mut inverter.electrical.input,
            )}
        </Show>
        <Show when=move || three.get()>
            {lines.answer(
                "one_line",
                "feeds one line only",
                |inverter| inverter.electrical.one_line,
                |inverter, value| inverter.electrical.one_line = value,
            )}
        </Show>
    }
    .into_any()
}
