//! The sheet as SVG: what stands still is drawn once per sheet, powers and what is in hand follow their signals.

use std::collections::HashMap;
use std::sync::Arc;

use couplet_core::drawing::{
    Anchor, Bounds, Bus, BusKey, Drawn, FIELD_INSET, FieldText, Figure, LEAST_SHOWN_W, Part, Path,
    Point, Reach, Sheet, Shown, Symbol, SymbolSet, Tag, TagKind, Text, TextStyle, TitleField, Wire,
    arrow, line_width, outline, path_data, state_of_charge,
};
use leptos::prelude::*;

use super::table::Table;
use super::{hand, hold, marks, say};
use crate::format;

/// How far each part stood from where it stands now, before the sheet was drawn anew.
pub(super) type Slides = HashMap<Part, Point>;

/// Width of a wire that carries no known power.
const RESTING_WIDTH: f64 = 1.4;

/// All that the sheet shows.
pub(super) fn picture(table: Table, sheet: &Arc<Sheet>, slides: &Slides) -> AnyView {
    let dividers: String = sheet.borders().map(|border| path_data(&border)).collect();
    let parts: Vec<_> = sheet
        .reaches
        .iter()
        .map(|reach| part(table, sheet, reach, slides.get(&reach.part).copied()))
        .collect();
    view! {
        {rect("ground", &Bounds { left: 0.75, top: 0.75, right: sheet.width - 0.75, bottom: sheet.height - 0.75 })}
        {hand::zones(table, sheet)}
        {rect("frame", &sheet.frame)}
        <path class="divider" d=dividers />
        {ghost(&sheet.ghost, sheet.symbols)}
        {sheet.buses.iter().map(bus).collect::<Vec<_>>()}
        {parts}
        {legend(sheet)}
        {sheet.title.iter().map(|field| title_field(table, field)).collect::<Vec<_>>()}
        {marks::marks(table, sheet)}
        {hand::hand(table, sheet)}
    }
    .into_any()
}

fn path_name(path: Path) -> &'static str {
    match path {
        Path::AcPv => "ac",
        Path::DcPv => "dc",
        Path::Neutral => "neutral",
    }
}

pub(super) fn bus_path(key: BusKey) -> &'static str {
    match key {
        BusKey::Ac(_) => "ac",
        BusKey::Dc(_) => "dc",
    }
}

fn style_name(style: TextStyle) -> &'static str {
    match style {
        TextStyle::Bus => "bus-name",
        TextStyle::Name => "name",
        TextStyle::Detail => "detail",
        TextStyle::Figure => "figure-now",
        TextStyle::Heading => "heading",
        TextStyle::Title => "title",
        TextStyle::Tag => "tag",
    }
}

fn anchor_name(anchor: Anchor) -> &'static str {
    match anchor {
        Anchor::Start => "start",
        Anchor::Middle => "middle",
    }
}

pub(super) fn rect(class: &'static str, bounds: &Bounds) -> AnyView {
    view! {
        <rect class=class x=bounds.left y=bounds.top width=bounds.width() height=bounds.height() />
    }
    .into_any()
}

fn words(said: String, at: Point, anchor: Anchor, style: TextStyle) -> AnyView {
    view! {
        <text
            class=style_name(style)
            x=at.x
            y=at.y
            font-size=style.size()
            letter-spacing=style.spacing() * style.size()
            text-anchor=anchor_name(anchor)
        >
            {said}
        </text>
    }
    .into_any()
}

fn text(text: &Text) -> AnyView {
    words(say::said(&text.pieces), text.at, text.anchor, text.style)
}

fn symbol(symbol: &Symbol, set: SymbolSet) -> AnyView {
    let outline = outline(symbol, set);
    let letters: Vec<_> = outline
        .letters
        .into_iter()
        .map(|(middle, size, letters)| {
            view! {
                <text class="letters" x=middle.x y=middle.y + 0.35 * size font-size=size text-anchor="middle">
                    {letters}
                </text>
            }
        })
        .collect();
    view! {
        <g class="symbol" data-path=path_name(symbol.path) data-standing=symbol.standing.to_string()>
            <path class="strokes" d=outline.strokes />
            <path class="fills" d=outline.fills />
            {letters}
        </g>
    }
    .into_any()
}

fn resting_wire(wire: &Wire) -> AnyView {
    view! {
        <path class="wire" d=path_data(&wire.points) data-path=path_name(wire.path) stroke-width=RESTING_WIDTH />
    }
    .into_any()
}

fn wire(table: Table, wire: &Wire) -> AnyView {
    let Some(key) = wire.flow else {
        return resting_wire(wire);
    };
    let power_w = move || table.power_w(key);
    let width = move || power_w().map_or(RESTING_WIDTH, line_width);
    let path = path_name(wire.path);
    let head = wire.arrow.is_some().then(|| {
        let wire = wire.clone();
        let head = move || {
            power_w()
                .filter(|power_w| power_w.abs() >= LEAST_SHOWN_W)
                .and_then(|power_w| arrow(&wire, power_w > 0.0, line_width(power_w)))
        };
        view! { <path class="arrow" data-path=path d=head /> }
    });
    view! {
        <path class="wire" d=path_data(&wire.points) data-path=path stroke-width=width />
        {head}
    }
    .into_any()
}

fn figure(table: Table, figure: &Figure) -> AnyView {
    let shows = figure.shows;
    let reading = move || match shows {
        Shown::Power(key) => table
            .power_w(key)
            .map(f64::abs)
            .filter(|power_w| *power_w >= LEAST_SHOWN_W)
            .map(|power_w| format::power(power_w).text()),
        Shown::StateOfCharge(id) => table.now.with(|now| {
            let (trace, step) = now.as_ref()?;
            state_of_charge(trace, id, *step).map(|soc| format::percent(soc, 0).text())
        }),
    };
    view! {
        <text
            class="figure-now"
            data-path=path_name(figure.path)
            x=figure.at.x
            y=figure.at.y
            font-size=TextStyle::Figure.size()
            text-anchor=anchor_name(figure.anchor)
        >
            {reading}
        </text>
    }
    .into_any()
}

fn bus(bus: &Bus) -> AnyView {
    let line = path_data(&[bus.from, bus.to]);
    let path = bus_path(bus.key);
    // Direct current runs on two rails: the bus is told apart without its hue.
    let rails = (path == "dc").then(|| view! { <path class="rails" d=line.clone() /> });
    view! {
        <path class="bus" data-path=path d=line.clone() />
        {rails}
        {text(&bus.name)}
    }
    .into_any()
}

pub(super) fn of(drawn: &Drawn, part: Part) -> Drawn {
    let is = |of: Option<Part>| of == Some(part);
    Drawn {
        symbols: drawn
            .symbols
            .iter()
            .filter(|symbol| is(symbol.part))
            .cloned()
            .collect(),
        wires: drawn
            .wires
            .iter()
            .filter(|wire| is(wire.part))
            .cloned()
            .collect(),
        texts: drawn
            .texts
            .iter()
            .filter(|text| is(text.part))
            .cloned()
            .collect(),
        figures: drawn
            .figures
            .iter()
            .filter(|figure| is(figure.part))
            .cloned()
            .collect(),
    }
}

/// A tag that refers to a table; its box tells what it refers to.
fn tag(tag: &Tag) -> AnyView {
    let (kind, rounding) = match tag.kind {
        TagKind::Circuit => ("circuit", 0.5 * tag.bounds.height()),
        TagKind::Marking => ("marking", 0.0),
        TagKind::Join => ("join", 0.0),
    };
    let around = (tag.kind != TagKind::Join).then(|| {
        let box_ = tag.bounds;
        view! { <rect x=box_.left y=box_.top width=box_.width() height=box_.height() rx=rounding /> }
    });
    let middle = tag.bounds.middle();
    let at = Point {
        x: middle.x,
        y: middle.y + 0.36 * TextStyle::Tag.size(),
    };
    view! {
        <g class="call-out" data-tag=kind>
            {around}
            {words(tag.text.clone(), at, Anchor::Middle, TextStyle::Tag)}
        </g>
    }
    .into_any()
}

fn part(table: Table, sheet: &Sheet, reach: &Reach, slide: Option<Point>) -> AnyView {
    let (part, moving) = (reach.part, reach.moving);
    let drawn = of(&sheet.drawn, part);
    let rings: Vec<_> = reach.rings.iter().map(|ring| rect("ring", ring)).collect();
    let tags: Vec<_> = sheet
        .tags
        .iter()
        .filter(|tag| tag.part == part)
        .map(tag)
        .collect();
    let style =
        slide.map(|slide| format!("--slide-x: {:.1}px; --slide-y: {:.1}px", slide.x, slide.y));
    let lifted = move || {
        let held = moving.is_some() && table.in_hand.get() == moving;
        held.then_some("true")
    };
    let handles: Vec<_> = reach
        .handles
        .iter()
        .map(|handle| rect("handle", handle))
        .collect();
    view! {
        <g
            class="part"
            data-part=part.key()
            data-movable=moving.is_some().then_some("true")
            data-slid=slide.is_some().then_some("true")
            data-lifted=lifted
            style=style
            tabindex="0"
            role="button"
            aria-roledescription=moving.is_some().then_some("part that can be moved")
            aria-label=move || table.part_name(part)
            aria-pressed=move || (table.selection.get() == Some(part)).to_string()
            on:pointerdown=move |event| {
                if let Some(moving) = moving {
                    hold::pointer_down(table, moving, &event);
                }
            }
            on:pointermove=move |event| hold::pointer_move(table, &event)
            on:pointerup=move |_| hold::pointer_up(table)
            on:touchmove=move |event| hold::touch_move(table, &event)
            on:pointercancel=move |_| hold::cancel(table)
            on:click=move |_| table.on_select.run(part)
            on:keydown=move |event| hold::key_down(table, part, moving, &event)
            on:focus=move |_| table.focused.set_value(Some(part))
            on:blur=move |event| {
                hold::blur(table);
                if event.related_target().is_some() {
                    table.focused.set_value(None);
                }
            }
            on:contextmenu=move |event| {
                if let Some(moving) = moving {
                    event.prevent_default();
                    let dragged = table.carry.with_untracked(|carry| {
                        carry.as_ref().is_some_and(super::carry::Carry::dragged)
                    });
                    if !dragged {
                        table.open_menu(moving, f64::from(event.client_x()), f64::from(event.client_y()));
                    }
                }
            }
        >
            {rings}
            {drawn.wires.iter().map(|piece| wire(table, piece)).collect::<Vec<_>>()}
            {drawn.symbols.iter().map(|piece| symbol(piece, sheet.symbols)).collect::<Vec<_>>()}
            {drawn.texts.iter().map(text).collect::<Vec<_>>()}
            {drawn.figures.iter().map(|piece| figure(table, piece)).collect::<Vec<_>>()}
            {tags}
            {handles}
        </g>
    }
    .into_any()
}

pub(super) fn still(drawn: &Drawn, set: SymbolSet) -> AnyView {
    view! {
        {drawn.wires.iter().map(resting_wire).collect::<Vec<_>>()}
        {drawn.symbols.iter().map(|piece| symbol(piece, set)).collect::<Vec<_>>()}
        {drawn.texts.iter().map(text).collect::<Vec<_>>()}
    }
    .into_any()
}

fn ghost(drawn: &Drawn, set: SymbolSet) -> Option<AnyView> {
    (!drawn.symbols.is_empty()).then(|| {
        view! {
            <g class="ghost" aria-hidden="true">
                {still(drawn, set)}
            </g>
        }
        .into_any()
    })
}

fn legend(sheet: &Sheet) -> AnyView {
    let entries: Vec<_> = sheet
        .legend
        .iter()
        .map(|entry| {
            view! {
                <path
                    class="sample"
                    d=path_data(&[entry.from, entry.to])
                    data-path=path_name(entry.path)
                    data-standing=entry.standing.to_string()
                />
                {text(&entry.text)}
            }
        })
        .collect();
    view! { <g class="legend" aria-hidden="true">{entries}</g> }.into_any()
}

fn title_field(table: Table, field: &TitleField) -> AnyView {
    let x = field.bounds.left + FIELD_INSET;
    let line = |y: f64| Point {
        x,
        y: field.bounds.top + y,
    };
    let (main, below) = match &field.text {
        FieldText::Said(main, below) => {
            let (main, below) = (main.clone(), below.clone());
            (
                words(main, line(37.0), Anchor::Start, TextStyle::Title),
                words(below, line(53.0), Anchor::Start, TextStyle::Detail),
            )
        }
        FieldText::DrawnAt => {
            let time = move || {
                if let Some(words) = table.drawn_at.get() {
                    return words;
                }
                table.now.with(|now| {
                    now.as_ref().map_or_else(
                        || format::NONE.to_owned(),
                        |(trace, step)| drawn_at(trace.day, trace.step_s, *step),
                    )
                })
            };
            let size = TextStyle::Title.size();
            let at = line(37.0);
            (
                view! { <text class="title" x=at.x y=at.y font-size=size>{time}</text> }.into_any(),
                words(
                    "local standard time".to_owned(),
                    line(53.0),
                    Anchor::Start,
                    TextStyle::Detail,
                ),
            )
        }
    };
    view! {
        <g class="title-field">
            {rect("field", &field.bounds)}
            {words(field.heading.to_owned(), line(18.0), Anchor::Start, TextStyle::Heading)}
            {main}
            {below}
        </g>
    }
    .into_any()
}

/// Day and time of a step.
fn drawn_at(day: u32, step_s: f64, step: usize) -> String {
    let steps_per_hour = (3600.0 / step_s).max(1.0);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "minutes of a day"
    )]
    let minute = (step as f64 * 60.0 / steps_per_hour).clamp(0.0, 1440.0) as u32;
    format!("{}, {}", format::date(day), format::time(minute))
}
