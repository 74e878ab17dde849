//! Schedules: arrays and strings, converters, storage, circuits with breakers and conductors, markings.

use couplet_core::coupling::{Join, PowerLimiting};
use couplet_core::findings::{PvInput, Topic, strings_in_words};
use couplet_core::limits;
use couplet_core::rules::Term;
use leptos::prelude::*;

use super::table::{Head, table_under};
use super::told::{Told, standing};
use crate::format;
use crate::words::findings::capital;
use crate::words::running::rule;
use Head::{Figure, Words};

/// The section.
pub(super) fn schedules(told: &Told) -> AnyView {
    let option = &told.option;
    if option.arrays.is_empty() && option.storage.is_empty() && option.generator.is_none() {
        return view! { <p>"There is neither PV nor storage nor a generator in this option."</p> }
            .into_any();
    }
    view! {
        {arrays(told)}
        {pv_inverters(told)}
        {storage(told)}
        {running(told)}
        {circuits(told)}
        {markings(told)}
    }
    .into_any()
}

fn arrays(told: &Told) -> AnyView {
    let option = &told.option;
    let rows = option
        .arrays
        .iter()
        .map(|array| {
            let plane = told.household.plane(array.plane).map(|plane| {
                format!(
                    "{}, {} slope, facing {}",
                    plane.name,
                    told.number(&limits::PLANE_TILT_DEG, plane.tilt_deg),
                    told.number(&limits::PLANE_AZIMUTH_DEG, plane.azimuth_deg)
                )
            });
            let joined = match option.join(array) {
                Some(Join::Ac(side)) => format!("AC, {}", told.side(side)),
                Some(Join::Dc(unit)) => format!(
                    "DC, {}",
                    option.storage_unit(unit).map_or("", |unit| &unit.name)
                ),
                None => "not joined".to_owned(),
            };
            let found = told.details.array(array.id);
            let modules = found.map_or_else(String::new, |found| {
                let each_w = array.peak_w / f64::from(found.module.count.max(1));
                format!(
                    "{} × {}\u{a0}W",
                    found.module.count,
                    format::number(each_w, 0)
                )
            });
            let strings = found.map_or_else(String::new, |found| {
                let words = strings_in_words(&found.strings);
                if found.strings_origin.is_generic() && !words.is_empty() {
                    format!("{words} (proposed)")
                } else {
                    words
                }
            });
            vec![
                array.name.clone(),
                plane.unwrap_or_default(),
                format::power(array.peak_w).text(),
                modules,
                strings,
                joined,
                standing(array.standing),
            ]
        })
        .collect();
    table_under(
        "Arrays and strings",
        &[
            Words("array"),
            Words("plane"),
            Figure("rated DC"),
            Figure("modules"),
            Words("strings"),
            Words("joined on"),
            Words("state"),
        ],
        rows,
    )
}

fn pv_inverters(told: &Told) -> AnyView {
    let option = &told.option;
    let rows = option
        .pv_inverters
        .iter()
        .filter(|inverter| option.arrays_on_inverter(inverter.id).next().is_some())
        .map(|inverter| {
            let arrays: Vec<&str> = option
                .arrays_on_inverter(inverter.id)
                .map(|array| array.name.as_str())
                .collect();
            let input = match told
                .details
                .pv_inverter(inverter.id)
                .map(|found| found.input)
            {
                Some(PvInput::Strings(window)) => format!(
                    "{} {}, {} to {}\u{a0}V",
                    window.inputs,
                    if window.inputs == 1 {
                        "input"
                    } else {
                        "inputs"
                    },
                    format::number(window.each.mppt_from_v, 0),
                    format::number(window.each.mppt_to_v, 0)
                ),
                Some(PvInput::AtModule) => "behind each module".to_owned(),
                None => String::new(),
            };
            let limiting = match inverter.limiting {
                PowerLimiting::None => "understands no command",
                PowerLimiting::Commanded { .. } => "commanded for export",
                PowerLimiting::Relay { .. } => "dropped by a relay",
            };
            vec![
                inverter.name.clone(),
                format::power(inverter.rated_w).text(),
                told.side(inverter.side).to_owned(),
                input,
                arrays.join(", "),
                limiting.to_owned(),
                standing(inverter.standing),
            ]
        })
        .collect();
    table_under(
        "PV inverters",
        &[
            Words("inverter"),
            Figure("rated AC"),
            Words("joined on"),
            Words("DC side"),
            Words("fed by"),
            Words("under an export limit"),
            Words("state"),
        ],
        rows,
    )
}

fn storage(told: &Told) -> AnyView {
    let option = &told.option;
    let power = |power_w: f64| format::power(power_w).text();
    let rows = option
        .storage
        .iter()
        .map(|unit| {
            let inputs = unit.mppt.as_ref().map_or_else(
                || "none".to_owned(),
                |mppt| format!("{}, {}", mppt.inputs, power(mppt.rated_w)),
            );
            vec![
                unit.name.clone(),
                power(unit.inverter.rated_w),
                told.side(unit.side).to_owned(),
                inputs,
                format::energy(unit.battery.usable_wh).text(),
                format!(
                    "{} / {}",
                    power(unit.battery.charge_w),
                    power(unit.battery.discharge_w)
                ),
                standing(unit.standing),
            ]
        })
        .collect();
    let generator: Vec<Vec<String>> = option
        .generator
        .iter()
        .map(|generator| {
            vec![
                generator.name.clone(),
                power(generator.rated_w),
                format::percent(generator.start_soc, 0).text(),
                format::percent(generator.stop_soc, 0).text(),
                standing(generator.standing),
            ]
        })
        .collect();
    view! {
        {table_under(
            "Storage",
            &[
                Words("unit"),
                Figure("rated AC"),
                Words("joined on"),
                Words("MPPT inputs"),
                Figure("usable energy"),
                Figure("charge / discharge"),
                Words("state"),
            ],
            rows,
        )}
        {table_under(
            "Generator",
            &[
                Words("generator"),
                Figure("rated AC"),
                Figure("starts at"),
                Figure("stops at"),
                Words("state"),
            ],
            generator,
        )}
    }
    .into_any()
}

/// The running rule; nothing without storage.
fn running(told: &Told) -> AnyView {
    let option = &told.option;
    let of_storage = option.storage.first().map(|_| {
        vec![
            rule(&option.running, None, told.level).line(),
            format::percent(option.running.reserve_soc, 0).text(),
        ]
    });
    table_under(
        "How the storage is run",
        &[Words("rule"), Figure("kept for outages")],
        of_storage.into_iter().collect(),
    )
}

fn circuits(told: &Told) -> AnyView {
    let rows = told
        .circuits
        .iter()
        .map(|circuit| {
            let ampere = |current_a: f64| format!("{}\u{a0}A", format::number(current_a, 0));
            let proposed = |chosen: bool| if chosen { "" } else { "*" };
            let device = circuit.duty.device_a.map_or_else(
                || format::NONE.to_owned(),
                |device_a| format!("{}{}", ampere(device_a), proposed(circuit.device_is_chosen)),
            );
            let size = circuit.conductors.map_or_else(
                || "none suits".to_owned(),
                |found| format!("{}{}", found.label(), proposed(circuit.size_is_chosen)),
            );
            let drop = circuit.drop_share().map_or_else(
                || format::NONE.to_owned(),
                |share| format::percent(share, 1).text(),
            );
            vec![
                circuit.name.clone(),
                format!("{}\u{a0}A", format::number(circuit.basis_a, 1)),
                device,
                size,
                circuit
                    .earth_label()
                    .unwrap_or_else(|| format::NONE.to_owned()),
                told.length(circuit.run.one_way_m),
                drop,
            ]
        })
        .collect();
    view! {
        {table_under(
            "Circuits: breakers and conductors",
            &[
                Words("circuit"),
                Figure("current to choose by"),
                Figure("breaker or fuse"),
                Figure("conductors"),
                Figure(Term::Earth.under(told.details.code)),
                Figure("length one way"),
                Figure("voltage lost"),
            ],
            rows,
        )}
        <p class="note">"* proposed: the least that suits; breakers and conductors without a star were chosen. Lengths that were not given are generic."</p>
    }
    .into_any()
}

fn markings(told: &Told) -> AnyView {
    let rows = told
        .findings
        .iter()
        .flat_map(|findings| findings.iter())
        .filter(|finding| finding.topic == Topic::Markings)
        .map(|finding| {
            vec![
                capital(finding.title),
                finding.formula.clone(),
                finding.source.to_string(),
            ]
        })
        .collect();
    table_under(
        "Markings",
        &[
            Words("label"),
            Words("what it says or where"),
            Words("source"),
        ],
        rows,
    )
}
