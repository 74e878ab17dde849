//! The cells of a circuit that can be overridden.

use couplet_core::findings::Circuit;
use couplet_core::household::CircuitChoice;
use couplet_core::limits;
use couplet_core::rules::{
    Code, Column, Conductors, Metal, Method, MetricInsulation, NecEdition, ParallelLaying, Size,
    Terminals, Wiring,
};
use leptos::prelude::*;

use super::super::row::Row;
use super::amperes;
use crate::format;
use crate::parts::Choice;

type Now = Memo<Option<Circuit>>;

/// What it is called, and how it changes the wiring.
type Way = (&'static str, fn(&mut Wiring));

/// Breaker, size, metal, insulation and company, air, length: each a field.
pub(super) fn cells(row: &Row<CircuitChoice>, now: Now, name: Memo<String>) -> AnyView {
    let what = move |what: &'static str| Signal::derive(move || format!("{}: {what}", name.get()));
    let run = move |pick: fn(&Circuit) -> Option<f64>| {
        Signal::derive(move || now.with(|now| now.as_ref().and_then(pick)))
    };
    let number = |limit: &'static limits::Limit,
                  what: Signal<String>,
                  proposed: fn(&Circuit) -> Option<f64>,
                  get: fn(&CircuitChoice) -> Option<f64>,
                  set: fn(&mut CircuitChoice, Option<f64>)| {
        row.optional_named(limit, limit.key(), what, run(proposed), get, set)
    };
    let fuse = number(
        &limits::CIRCUIT_DEVICE_A,
        what("breaker or fuse"),
        |circuit| circuit.duty.device_a,
        |choice| choice.device_a,
        |choice, value| choice.device_a = value,
    );
    view! {
        <td>{fuse}</td>
        <td>{size(row, now, what("size"))}</td>
        <td>{parallel(row, now, name)}</td>
        <td>{metal(row, now, what("metal"))}</td>
        {wiring(row, now, name)}
        <td>
            {number(
                &limits::CIRCUIT_AMBIENT_C,
                what("air about the wires"),
                |circuit| Some(circuit.run.laying.ambient_c),
                |choice| choice.ambient_c,
                |choice, value| choice.ambient_c = value,
            )}
        </td>
        <td>
            {number(
                &limits::CIRCUIT_ONE_WAY_M,
                what("length"),
                |circuit| Some(circuit.run.one_way_m),
                |choice| choice.one_way_m,
                |choice, value| choice.one_way_m = value,
            )}
        </td>
    }
    .into_any()
}

/// The same cells of a further circuit of the same array, which goes by what is chosen for the first.
pub(super) fn same_cells(now: Now) -> AnyView {
    let of = move |text: fn(&Circuit) -> String| move || now.with(|now| now.as_ref().map(text));
    view! {
        <td>{of(|circuit| circuit.duty.device_a.map_or_else(|| format::NONE.to_owned(), amperes))}</td>
        <td>{of(|circuit| circuit.conductors.map_or_else(|| format::NONE.to_owned(), Conductors::label))}</td>
        <td colspan="6">"as above"</td>
    }
    .into_any()
}

/// The family that a circuit's conductors come from.
fn family(wiring: Wiring) -> Code {
    match wiring {
        Wiring::Nec { .. } => Code::Nec(NecEdition::Of2023),
        Wiring::Iec { .. } => Code::Iec,
    }
}

fn wiring_of(now: Now) -> Option<Wiring> {
    now.with(|now| now.as_ref().map(|circuit| circuit.run.laying.wiring))
}

/// The size: what is proposed, or any of the family.
fn size(row: &Row<CircuitChoice>, now: Now, label: Signal<String>) -> AnyView {
    let sizes = Memo::new(move |_| {
        wiring_of(now).map_or_else(Vec::new, |wiring| {
            Size::all(family(wiring)).collect::<Vec<_>>()
        })
    });
    let given = row.read(|choice| choice.size);
    let items = Signal::derive(move || {
        let proposed = now.with(|now| {
            let circuit = now.as_ref()?;
            if circuit.size_is_chosen {
                return None;
            }
            circuit.conductors.map(|found| found.size.label())
        });
        let mut items = vec![(proposed.unwrap_or_else(|| "proposed".to_owned()), true)];
        items.extend(sizes.with(|sizes| {
            sizes
                .iter()
                .map(|size| (size.label(), true))
                .collect::<Vec<_>>()
        }));
        items
    });
    let chosen = Memo::new(move |_| {
        let given = given.get();
        Some(given.map_or(0, |size| {
            sizes
                .with(|sizes| sizes.iter().position(|other| *other == size))
                .map_or(0, |index| index + 1)
        }))
    });
    let row = row.clone();
    view! {
        <div data-proposed=move || given.get().is_none().then_some("true")>
            <Choice
                id=row.id("size")
                label=label
                label_spoken=true
                items=items
                chosen=chosen
                on_change=Callback::new(move |index: usize| {
                    let size = index.checked_sub(1).and_then(|index| sizes.get_untracked().get(index).copied());
                    row.change(None, "size", |choice| choice.size = size);
                })
            />
        </div>
    }
    .into_any()
}

/// How many conductors of each pole lie in parallel, and where there are several, how they lie.
fn parallel(row: &Row<CircuitChoice>, now: Now, name: Memo<String>) -> AnyView {
    const WAYS: [ParallelLaying; 2] = [ParallelLaying::Apart, ParallelLaying::Together];
    let several = Memo::new(move |_| {
        now.with(|now| {
            now.as_ref()
                .and_then(|circuit| circuit.conductors)
                .is_some_and(|found| found.parallel > 1)
        })
    });
    let given = row.read(|choice| choice.parallel_laying);
    let chosen = Memo::new(move |_| {
        let laid = now.with(|now| now.as_ref().map(|circuit| circuit.run.laying.parallel))?;
        WAYS.iter().position(|other| *other == laid)
    });
    let lying = row.clone();
    view! {
        {row.optional_named(
            &limits::CIRCUIT_PARALLEL,
            "parallel",
            Signal::derive(move || format!("{}: wires of each pole in parallel", name.get())),
            Signal::derive(move || {
                now.with(|now| {
                    let found = now.as_ref()?.conductors?;
                    Some(f64::from(found.parallel))
                })
            }),
            |choice| choice.parallel.map(f64::from),
            |choice, value| choice.parallel = value.map(super::super::electrical::whole),
        )}
        <Show when=move || several.get()>
            {
                let row = lying.clone();
                view! {
                    <div data-proposed=move || given.get().is_none().then_some("true")>
                        <Choice
                            id=row.id("parallel_laying")
                            label=Signal::derive(move || format!("{}: how they lie", name.get()))
                            label_spoken=true
                            items=vec![("each run apart".to_owned(), true), ("all together".to_owned(), true)]
                            chosen=chosen
                            on_change=Callback::new(move |index: usize| {
                                row.change(None, "parallel wires", |choice| choice.parallel_laying = WAYS.get(index).copied());
                            })
                        />
                    </div>
                }
            }
        </Show>
    }
    .into_any()
}

/// The highest current of a short circuit, and how soon it is cleared.
pub(super) fn short_circuit(row: &Row<CircuitChoice>, name: Memo<String>) -> AnyView {
    let nothing = Signal::derive(|| None);
    view! {
        {row.optional_named(
            &limits::CIRCUIT_FAULT_A,
            "fault_a",
            Signal::derive(move || format!("{}: short-circuit current", name.get())),
            nothing,
            |choice| choice.fault_a,
            |choice, value| choice.fault_a = value,
        )}
        {row.optional_named(
            &limits::CIRCUIT_FAULT_CLEARED_S,
            "fault_cleared_s",
            Signal::derive(move || format!("{}: cleared in", name.get())),
            nothing,
            |choice| choice.fault_cleared_s,
            |choice, value| choice.fault_cleared_s = value,
        )}
    }
    .into_any()
}

/// Copper or aluminium, by the names that the household's code has for them.
fn metal(row: &Row<CircuitChoice>, now: Now, label: Signal<String>) -> AnyView {
    const METALS: [Metal; 2] = [Metal::Copper, Metal::Aluminium];
    let given = row.read(|choice| choice.metal);
    let chosen = Memo::new(move |_| {
        let metal = now.with(|now| now.as_ref().map(|circuit| circuit.run.laying.metal))?;
        METALS.iter().position(|other| *other == metal)
    });
    let row = row.clone();
    let desk = row.desk;
    let items = Signal::derive(move || {
        let code = desk.code.get();
        METALS
            .map(|metal| (metal.under(code).to_owned(), true))
            .to_vec()
    });
    view! {
        <div data-proposed=move || given.get().is_none().then_some("true")>
            <Choice
                id=row.id("metal")
                label=label
                label_spoken=true
                items=items
                chosen=chosen
                on_change=Callback::new(move |index: usize| {
                    row.change(None, "metal", |choice| choice.metal = METALS.get(index).copied());
                })
            />
        </div>
    }
    .into_any()
}

/// Insulation, and what heats or limits the run besides, in the terms of its code.
fn wiring(row: &Row<CircuitChoice>, now: Now, name: Memo<String>) -> AnyView {
    let is_nec = Memo::new(move |_| {
        wiring_of(now).is_none_or(|wiring| matches!(wiring, Wiring::Nec { .. }))
    });
    let given = row.read(|choice| choice.wiring.is_some());
    let (ways_row, company_row) = (row.clone(), row.clone());
    let ways = move || {
        let row = &ways_row;
        if is_nec.get() {
            view! {
                {pick(row, now, name, "insulation", &[
                    ("60 °C insulation", |wiring| if let Wiring::Nec { insulation, .. } = wiring { *insulation = Column::C60 }),
                    ("75 °C insulation", |wiring| if let Wiring::Nec { insulation, .. } = wiring { *insulation = Column::C75 }),
                    ("90 °C insulation", |wiring| if let Wiring::Nec { insulation, .. } = wiring { *insulation = Column::C90 }),
                ])}
                {pick(row, now, name, "terminals", &[
                    ("terminals 75 °C", |wiring| if let Wiring::Nec { terminals, .. } = wiring { *terminals = Terminals::Marked75C }),
                    ("terminals not marked", |wiring| if let Wiring::Nec { terminals, .. } = wiring { *terminals = Terminals::Unmarked }),
                ])}
            }
            .into_any()
        } else {
            view! {
                {pick(row, now, name, "insulation", &[
                    ("PVC, 70 °C", |wiring| if let Wiring::Iec { insulation, .. } = wiring { *insulation = MetricInsulation::Pvc }),
                    ("XLPE, 90 °C", |wiring| if let Wiring::Iec { insulation, .. } = wiring { *insulation = MetricInsulation::Xlpe }),
                    ("PV cable, 120 °C", |wiring| if let Wiring::Iec { insulation, .. } = wiring { *insulation = MetricInsulation::PvCable }),
                ])}
                {pick(row, now, name, "method", &[
                    ("in conduit on a wall (B1)", |wiring| if let Wiring::Iec { method, .. } = wiring { *method = Method::ConduitOnWall }),
                    ("clipped direct (C)", |wiring| if let Wiring::Iec { method, .. } = wiring { *method = Method::ClippedDirect }),
                ])}
            }
            .into_any()
        }
    };
    let beside = move || {
        let row = &company_row;
        if is_nec.get() {
            company(
                row,
                now,
                name,
                &limits::WIRING_LOADED_CONDUCTORS,
                "loaded conductors in the raceway",
            )
        } else {
            company(row, now, name, &limits::WIRING_CIRCUITS, "circuits bunched")
        }
    };
    let proposed = move || (!given.get()).then_some("true");
    view! {
        <td data-proposed=proposed>{ways}</td>
        <td>{beside}</td>
    }
    .into_any()
}

/// One of a few ways, each given by how it changes the wiring; the one that changes nothing holds.
fn pick(
    row: &Row<CircuitChoice>,
    now: Now,
    name: Memo<String>,
    key: &'static str,
    ways: &'static [Way],
) -> AnyView {
    let chosen = Memo::new(move |_| {
        let wiring = wiring_of(now)?;
        ways.iter().position(|(_, put)| {
            let mut after = wiring;
            put(&mut after);
            after == wiring
        })
    });
    let items: Vec<_> = ways
        .iter()
        .map(|(text, _)| ((*text).to_owned(), true))
        .collect();
    let row = row.clone();
    view! {
        <Choice
            id=row.id(key)
            label=Signal::derive(move || format!("{}: {key}", name.get()))
            label_spoken=true
            items=items
            chosen=chosen
            on_change=Callback::new(move |index: usize| {
                if let (Some((_, put)), Some(mut wiring)) = (ways.get(index), now.with_untracked(|now| now.as_ref().map(|circuit| circuit.run.laying.wiring))) {
                    put(&mut wiring);
                    row.change(None, key, |choice| choice.wiring = Some(wiring));
                }
            })
        />
    }
    .into_any()
}

/// How many others lie beside it.
fn company(
    row: &Row<CircuitChoice>,
    now: Now,
    name: Memo<String>,
    limit: &'static limits::Limit,
    what: &'static str,
) -> AnyView {
    let count = |wiring: Wiring| match wiring {
        Wiring::Nec {
            loaded_conductors, ..
        } => loaded_conductors,
        Wiring::Iec { circuits, .. } => circuits,
    };
    row.optional_named(
        limit,
        limit.key(),
        Signal::derive(move || format!("{}: {what}", name.get())),
        Signal::derive(move || wiring_of(now).map(|wiring| f64::from(count(wiring)))),
        move |choice| choice.wiring.map(|wiring| f64::from(count(wiring))),
        move |choice, value| {
            let in_force =
                now.with_untracked(|now| now.as_ref().map(|circuit| circuit.run.laying.wiring));
            choice.wiring = match (value, in_force) {
                (Some(value), Some(mut wiring)) => {
                    match &mut wiring {
                        Wiring::Nec {
                            loaded_conductors: count,
                            ..
                        }
                        | Wiring::Iec {
                            circuits: count, ..
                        } => *count = super::super::electrical::whole(value),
                    }
                    Some(wiring)
                }
                _ => None,
            };
        },
    )
}
