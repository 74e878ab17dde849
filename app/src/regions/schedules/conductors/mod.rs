//! The conductor schedule: every circuit with its breaker and wires. What is proposed can be overridden in place; what was chosen is
//! marked, judged, and can be given back to the proposal.

mod cells;

use couplet_core::coupling::CouplingOption;
use couplet_core::drawing::Part;
use couplet_core::findings::{Circuit, CircuitKind, Verdict};
use couplet_core::household::{CircuitChoice, Household, OptionId};
use couplet_core::rules::{Code, Term};
use leptos::prelude::*;

use super::arrays::option_mut;
use super::row::Row;
use crate::desk::Desk;
use crate::format;
use crate::judged::{Judged, Tally};
use crate::parts::VerdictMark;
use crate::regions::findings::Sifting;
use crate::regions::fold::Fold;
use crate::words::{Word, findings as words};

/// Rules that judge a circuit.
const RULES: [&str; 5] = [
    "breaker",
    "conductors",
    "parallel",
    "short-circuit",
    "voltage-drop",
];

/// What names a circuit while its numbers change.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
struct Key {
    option: OptionId,
    kind: CircuitKind,
    part: Part,
    number: usize,
}

impl Key {
    fn of(option: OptionId, circuit: &Circuit) -> Self {
        Self {
            option,
            kind: circuit.kind,
            part: circuit.part,
            number: circuit.number,
        }
    }

    /// Circuits of one array to unlike strings share what is chosen; the first of them is where it is chosen.
    fn is_first(self) -> bool {
        self.kind != CircuitKind::PvSource || self.number == 1
    }
}

/// The conductor schedule of the open option.
#[component]
pub(crate) fn Conductors(desk: Desk, judged: Judged, sifting: Sifting) -> impl IntoView {
    let open = RwSignal::new(false);
    view! {
        <Fold
            id="conductors"
            title=Signal::derive(move || desk.word(Word::Conductors).to_owned())
            open
            stale=Signal::derive(|| false)
        >
            <p class="fold-note">{move || desk.word(Word::ConductorsNote)}</p>
            <div class="fold-frame conductors-frame" role="region" tabindex="0" aria-label="Conductor schedule">
                <Table desk judged sifting />
            </div>
        </Fold>
    }
    .into_any()
}

#[component]
fn Table(desk: Desk, judged: Judged, sifting: Sifting) -> impl IntoView {
    let keys = Memo::new(move |_| {
        let option = desk.option_id.get();
        judged.circuits.with(|circuits| {
            circuits
                .iter()
                .map(|circuit| Key::of(option, circuit))
                .collect::<Vec<_>>()
        })
    });
    let is_iec = Memo::new(move |_| desk.code.get() == Code::Iec);
    let heads = [
        "circuit",
        "verdict",
        "current",
        "breaker or fuse",
        "size",
        "wires in parallel",
        "metal",
        "insulation, how it is laid",
        "wires or circuits beside it",
        "air",
        "length, one way",
        "lost",
    ]
    .map(|head| view! { <th scope="col">{head}</th> });
    view! {
        <table class="conductors">
            <caption class="spoken">"Conductor schedule"</caption>
            <thead>
                <tr>
                    {heads}
                    <th scope="col">{move || desk.term(Term::Earth)}</th>
                    <Show when=move || is_iec.get()>
                        <th scope="col">"short circuit, cleared in"</th>
                    </Show>
                </tr>
            </thead>
            <tbody>
                <For each=move || keys.get() key=|key| *key let:key>
                    {circuit_row(desk, judged, sifting, key, is_iec)}
                </For>
            </tbody>
        </table>
    }
    .into_any()
}

/// A circuit as it is now; none while it is gone.
fn circuit(judged: Judged, key: Key) -> Memo<Option<Circuit>> {
    Memo::new(move |_| {
        judged.circuits.with(|circuits| {
            circuits
                .iter()
                .find(|circuit| Key::of(key.option, circuit) == key)
                .cloned()
        })
    })
}

fn circuit_row(
    desk: Desk,
    judged: Judged,
    sifting: Sifting,
    key: Key,
    is_iec: Memo<bool>,
) -> AnyView {
    let now = circuit(judged, key);
    let name = Memo::new(move |_| {
        now.with(|now| now.as_ref().map(|circuit| circuit.name.clone()))
            .unwrap_or_default()
    });
    let ends = move || {
        desk.option.with(|option| {
            now.with(|now| {
                let (from, to) = now.as_ref()?.ends(option.as_ref()?);
                Some(format!("{from} \u{2192} {to}"))
            })
        })
    };
    let of = move |text: fn(&Circuit) -> String| move || now.with(|now| now.as_ref().map(text));
    let row = choices(desk, key);
    let chosen = row.read(|choice| *choice != CircuitChoice::default());
    let (back, short_circuit_row) = (row.clone(), row.clone());
    let cells = if key.is_first() {
        cells::cells(&row, now, name)
    } else {
        cells::same_cells(now)
    };
    view! {
        <tr data-chosen=move || chosen.get().then_some("true")>
            <th scope="row">
                {name}
                <small>{ends}</small>
                <Show when=move || chosen.get() && key.is_first()>
                    {
                        let row = back.clone();
                        view! {
                            <button
                                type="button"
                                class="quiet"
                                aria-label=move || format!("{}: back to the proposal", name.get())
                                on:click=move |_| row.change(None, "back to the proposal", |choice| *choice = CircuitChoice::default())
                            >
                                "chosen \u{2013} back to the proposal"
                            </button>
                        }
                    }
                </Show>
            </th>
            <td>{verdict(judged, sifting, key, name)}</td>
            <td class="figure" title="highest current; below it the one that breaker and wires are chosen by">
                {of(|circuit| amperes(circuit.duty.highest_a))}
                <small>{of(|circuit| format!("by {}", amperes(circuit.basis_a)))}</small>
            </td>
            {cells}
            <td class="figure">
                {of(lost)}
                <small>{of(|circuit| circuit.drop_v.map(|drop_v| format!("{}\u{a0}V", format::number(drop_v, 2))).unwrap_or_default())}</small>
            </td>
            <td>{of(|circuit| circuit.earth_label().unwrap_or_else(|| format::NONE.to_owned()))}</td>
            <Show when=move || is_iec.get()>
                <td>{(key.kind != CircuitKind::PvSource).then(|| cells::short_circuit(&short_circuit_row, name))}</td>
            </Show>
        </tr>
    }
    .into_any()
}

fn amperes(current_a: f64) -> String {
    let decimals = if current_a.abs() < 99.95 { 1 } else { 0 };
    format!("{}\u{a0}A", format::number(current_a, decimals))
}

/// Share of the voltage that is lost along the run, marked where it is more than aimed at.
fn lost(circuit: &Circuit) -> String {
    circuit.drop_share().map_or_else(
        || format::NONE.to_owned(),
        |share| {
            let beyond = if circuit.loses_too_much() {
                "\u{25cb}\u{a0}"
            } else {
                ""
            };
            format!("{beyond}{}", format::percent(share, 2).text())
        },
    )
}

/// The worst that is said of the circuit, and the way to it.
fn verdict(judged: Judged, sifting: Sifting, key: Key, name: Memo<String>) -> AnyView {
    let tally = Memo::new(move |_| {
        let ending = format!("/{}", key.number);
        judged.findings.with(|findings| {
            let findings = findings.iter().flat_map(|findings| findings.iter());
            Tally::of(findings.filter(|finding| {
                finding.part == key.part
                    && finding.id.ends_with(&ending)
                    && RULES.contains(&finding.rule())
            }))
        })
    });
    let worst = move || tally.get().worst();
    let mark = move || {
        let worst: Verdict = worst();
        view! {
            <VerdictMark verdict=worst />
            {words::verdict(worst)}
        }
    };
    view! {
        <button
            type="button"
            class="quiet conductor-verdict"
            aria-label=move || format!("{}: {}, to its findings", name.get(), words::verdict(worst()))
            on:click=move |_| sifting.go_to(key.part, tally.get_untracked().worst())
        >
            {mark}
        </button>
    }
    .into_any()
}

/// What is chosen of a circuit.
fn choices(desk: Desk, key: Key) -> Row<CircuitChoice> {
    let prefix = match (key.kind, key.part) {
        (CircuitKind::PvSource, Part::Array(id)) => {
            format!("option-{}-array-{}-circuit", key.option.0, id.0)
        }
        (CircuitKind::PvOutput, Part::PvInverter(id)) => {
            format!("option-{}-pv-inverter-{}-output", key.option.0, id.0)
        }
        (CircuitKind::StorageOutput, Part::Storage(id)) => {
            format!("option-{}-storage-{}-output", key.option.0, id.0)
        }
        (CircuitKind::GeneratorOutput, _) => format!("option-{}-generator-output", key.option.0),
        (CircuitKind::Battery, Part::Storage(id)) => {
            format!("option-{}-storage-{}-battery_circuit", key.option.0, id.0)
        }
        _ => "electrical-transfer_circuit".to_owned(),
    };
    Row::new(
        desk,
        prefix,
        "circuit",
        move |household| of_household(household, key),
        move |household| of_household_mut(household, key),
    )
}

fn of_household(household: &Household, key: Key) -> Option<&CircuitChoice> {
    if key.kind == CircuitKind::Transfer {
        return Some(&household.electrical.transfer_circuit);
    }
    let option: &CouplingOption = household.option(key.option)?;
    match (key.kind, key.part) {
        (_, Part::Array(id)) => Some(&option.array(id)?.electrical.circuit),
        (_, Part::PvInverter(id)) => Some(&option.pv_inverter(id)?.electrical.output),
        (_, Part::Generator) => Some(&option.generator.as_ref()?.electrical.output),
        (CircuitKind::Battery, Part::Storage(id)) => {
            Some(&option.storage_unit(id)?.electrical.battery_circuit)
        }
        (_, Part::Storage(id)) => Some(&option.storage_unit(id)?.electrical.output),
        _ => None,
    }
}

fn of_household_mut(household: &mut Household, key: Key) -> Option<&mut CircuitChoice> {
    if key.kind == CircuitKind::Transfer {
        return Some(&mut household.electrical.transfer_circuit);
    }
    let option = option_mut(household, key.option)?;
    match (key.kind, key.part) {
        (_, Part::Array(id)) => {
            let array = option.arrays.iter_mut().find(|array| array.id == id)?;
            Some(&mut array.electrical.circuit)
        }
        (_, Part::PvInverter(id)) => {
            let inverter = option.pv_inverters.iter_mut().find(|one| one.id == id)?;
            Some(&mut inverter.electrical.output)
        }
        (_, Part::Generator) => Some(&mut option.generator.as_mut()?.electrical.output),
        (kind, Part::Storage(id)) => {
            let unit = option.storage.iter_mut().find(|unit| unit.id == id)?;
            Some(match kind {
                CircuitKind::Battery => &mut unit.electrical.battery_circuit,
                _ => &mut unit.electrical.output,
            })
        }
        _ => None,
    }
}
