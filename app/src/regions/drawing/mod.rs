//! The drawing: the single-line diagram of an option on its sheet, and the gesture that moves a join.

mod carry;
mod export;
mod hand;
mod hold;
mod lettering;
mod marks;
mod menu;
mod picture;
mod say;
mod table;
mod title_notes;

use std::collections::BTreeMap;
use std::sync::Arc;

use couplet_core::coupling::CouplingOption;
use couplet_core::drawing::{
    CallOuts, MoveMark, Moving, Paper, Part, Point, Sheet, Target, layout_with,
};
use couplet_core::findings::{Details, Verdict};
use couplet_core::household::Household;
use couplet_core::year::DayTrace;
use leptos::ev;
use leptos::html;
use leptos::prelude::*;

pub(crate) use self::title_notes::TitleNotes;

use self::carry::Carry;
use self::picture::Slides;
use self::table::{Numbered, Table};
use crate::judged::Tally;
use crate::words::Level;

/// The single-line diagram of an option.
///
/// - `trace`, `step`: powers of a day and the step that is shown; a trace of another option is not shown
/// - `drawn_at`: what the powers are of, where it is not that step of the day
/// - `stale`: whether `trace` is being renewed
/// - `details`: what conductors, disconnects and labels are called out from, in the trade reading and on the drawing sheet
/// - `paper`: what the drawing sheet is exported for
/// - `tallies`: how many findings each part has; a mark shows the worst, and `on_mark` hears that it was chosen
/// - `ghost`: the part that was moved last and where it stood, until the move is kept or undone
#[component]
pub(crate) fn Drawing(
    #[prop(into)] household: Signal<Arc<Household>>,
    #[prop(into)] option: Signal<Arc<CouplingOption>>,
    #[prop(into)] trace: Signal<Option<Arc<DayTrace>>>,
    #[prop(into)] step: Signal<usize>,
    #[prop(into)] drawn_at: Signal<Option<String>>,
    #[prop(into)] stale: Signal<bool>,
    #[prop(into)] ghost: Signal<Option<MoveMark>>,
    #[prop(into)] details: Signal<Option<Arc<Details>>>,
    #[prop(into)] level: Signal<Level>,
    #[prop(into)] paper: Signal<Paper>,
    #[prop(into)] selection: Signal<Option<Part>>,
    #[prop(into)] tallies: Signal<Arc<BTreeMap<Part, Tally>>>,
    on_select: Callback<Part>,
    on_mark: Callback<(Part, Verdict)>,
    on_move: Callback<(Moving, Target)>,
    on_keep: Callback<()>,
    on_undo: Callback<()>,
) -> impl IntoView {
    let call_outs = Memo::new(move |_| {
        let details = details.get().filter(|_| level.get() == Level::Trade);
        details.map_or_else(CallOuts::default, |details| {
            household
                .with(|household| option.with(|option| CallOuts::of(household, option, &details)))
        })
    });
    let sheet = Memo::new(move |before: Option<&Numbered>| {
        let sheet = household.with(|household| {
            option.with(|option| {
                call_outs.with(|call_outs| layout_with(household, option, ghost.get(), call_outs))
            })
        });
        match before {
            Some(before) if *before.sheet == sheet => before.clone(),
            _ => Numbered {
                number: before.map_or(0, |before| before.number.wrapping_add(1)),
                sheet: Arc::new(sheet),
            },
        }
    });
    let now = Signal::derive(move || {
        let id = option.with(|option| option.id);
        trace
            .get()
            .filter(|trace| trace.option == id)
            .map(|trace| (trace, step.get()))
    });
    let carry = RwSignal::new(None::<Carry>);
    let in_hand = Memo::new(move |_| {
        carry.with(|carry| {
            carry
                .as_ref()
                .filter(|carry| carry.lifted())
                .map(|carry| carry.moving)
        })
    });
    let table = Table {
        household,
        option,
        sheet,
        now,
        drawn_at,
        selection,
        tallies,
        carry,
        in_hand,
        spoken: RwSignal::new(String::new()),
        menu: RwSignal::new(None),
        focused: StoredValue::new(None),
        landed: StoredValue::new(None),
        pointer_px: StoredValue::new((0.0, 0.0)),
        region: NodeRef::new(),
        frame: NodeRef::new(),
        picture: NodeRef::new(),
        on_select,
        on_mark,
        on_move,
    };
    // A pointer drag leaves the focus where it was, so Escape is heard on the whole page.
    let escape = window_event_listener(ev::keydown, move |event| {
        if event.key() == "Escape" && carry.with_untracked(Option::is_some) {
            hold::cancel(table);
        }
    });
    on_cleanup(move || escape.remove());
    keep_focus(table);

    let stood = StoredValue::new(None::<Arc<Sheet>>);
    let children = move |numbered: Numbered| {
        let before = stood.get_value();
        stood.set_value(Some(Arc::clone(&numbered.sheet)));
        let landed = table.landed.get_value();
        table.landed.set_value(None);
        let slides = before
            .map(|before| slides(&before, &numbered.sheet, landed))
            .unwrap_or_default();
        picture::picture(table, &numbered.sheet, &slides)
    };
    let view_box = move || {
        sheet.with(|numbered| format!("0 0 {} {}", numbered.sheet.width, numbered.sheet.height))
    };
    let width = move || sheet.with(|numbered| format!("--sheet-width: {}px", numbered.sheet.width));
    let title = move || {
        let household = household.with(|household| household.name.clone());
        let option = option.with(|option| option.name.clone());
        format!("Single-line diagram of {household}, option {option}")
    };
    view! {
        <div
            node_ref=table.region
            class="drawing"
            style=width
            data-stale=move || stale.get().to_string()
        >
            <div node_ref=table.frame class="drawing-frame">
                <svg
                    node_ref=table.picture
                    class="sheet"
                    role="group"
                    aria-label=title
                    viewBox=view_box
                    data-carrying=move || in_hand.get().is_some().then_some("true")
                >
                    <For
                        each=move || [sheet.get()]
                        key=|numbered| numbered.number
                        children=children
                    />
                </svg>
            </div>
            {note(table, stale, ghost, on_keep, on_undo)}
            {export::export(household, option, details, paper)}
            {menu::menu(table)}
            <p class="spoken" role="status" aria-live="assertive">{table.spoken}</p>
            {listing(table)}
        </div>
    }
    .into_any()
}

/// How far each part stood from where it stands now; the part that was set down comes from where it left the hand.
fn slides(before: &Sheet, now: &Sheet, landed: Option<(Part, Point)>) -> Slides {
    let stand = |sheet: &Sheet, part: Part| {
        sheet
            .reach(part)
            .and_then(|reach| reach.handles.first())
            .map(couplet_core::drawing::Bounds::middle)
    };
    now.reaches
        .iter()
        .filter_map(|reach| {
            let (from, to) = (stand(before, reach.part)?, stand(now, reach.part)?);
            let hand = landed
                .filter(|(part, _)| *part == reach.part)
                .map_or(Point { x: 0.0, y: 0.0 }, |(_, hand)| hand);
            let slide = Point {
                x: from.x + hand.x - to.x,
                y: from.y + hand.y - to.y,
            };
            (slide.x.hypot(slide.y) > 0.5).then_some((reach.part, slide))
        })
        .collect()
}

/// Gives the focus back to the part that had it when the sheet is drawn anew.
fn keep_focus(table: Table) {
    Effect::new(move |drawn: Option<u32>| {
        let number = table.sheet.with(|numbered| numbered.number);
        if drawn.is_some_and(|drawn| drawn != number) {
            request_animation_frame(move || {
                let nowhere = document()
                    .active_element()
                    .is_none_or(|element| element.tag_name() == "BODY");
                if let Some(part) = table.focused.try_get_value().flatten().filter(|_| nowhere) {
                    table.focus(part);
                }
            });
        }
        number
    });
}

/// The line below the sheet: what is in hand, what was moved, or what is selected, with what can be done about it.
fn note(
    table: Table,
    stale: Signal<bool>,
    ghost: Signal<Option<MoveMark>>,
    on_keep: Callback<()>,
    on_undo: Callback<()>,
) -> impl IntoView {
    let shown_ghost = move || {
        ghost
            .get()
            .filter(|_| table.sheet.with(|n| !n.sheet.ghost.symbols.is_empty()))
    };
    let selected = move || {
        let part = table.selection.get()?;
        table
            .sheet
            .with(|numbered| numbered.sheet.reach(part).map(|reach| (part, reach.moving)))
    };
    let words = move || {
        if table.in_hand.get().is_some() {
            table.spoken.get()
        } else if let Some(mark) = shown_ghost() {
            table
                .option
                .with(|option| say::moved(option, mark.part, mark.from))
        } else if let Some((part, _)) = selected() {
            table.part_name(part)
        } else {
            "To move a join, drag an array or a storage unit to another bus, or press Enter on it."
                .to_owned()
        }
    };
    let button = NodeRef::<html::Button>::new();
    let open_menu = move |moving| {
        if let Some(button) = button.get_untracked() {
            let box_px = button.get_bounding_client_rect();
            table.open_menu(moving, box_px.left(), box_px.bottom());
        }
    };
    let actions = move || {
        if table.in_hand.get().is_some() {
            return ().into_any();
        }
        if shown_ghost().is_some() {
            return view! {
                <button type="button" on:click=move |_| on_keep.run(())>"Keep"</button>
                <button type="button" on:click=move |_| on_undo.run(())>"Undo"</button>
            }
            .into_any();
        }
        match selected() {
            Some((_, Some(moving))) => view! {
                <button
                    node_ref=button
                    type="button"
                    aria-haspopup="menu"
                    on:click=move |_| open_menu(moving)
                >
                    "Move to\u{2026}"
                </button>
            }
            .into_any(),
            _ => ().into_any(),
        }
    };
    view! {
        <div class="drawing-note">
            <p>{words}</p>
            <p class="drawing-renewed">{move || stale.get().then_some("powers are being renewed")}</p>
            <div class="drawing-actions">{actions}</div>
        </div>
    }
}

/// The sheet as a list of its parts, for who cannot see it.
fn listing(table: Table) -> impl IntoView {
    let items = move || {
        let parts: Vec<Part> = table.sheet.with(|numbered| {
            let reaches = &numbered.sheet.reaches;
            reaches.iter().map(|reach| reach.part).collect()
        });
        parts
            .into_iter()
            .map(|part| view! { <li>{move || table.part_name(part)}</li> })
            .collect::<Vec<_>>()
    };
    view! { <ul class="spoken" aria-label="Parts of the drawing">{items}</ul> }
}
