//! What the pieces of the drawing share: what is shown, what is in hand, and what the page is told.

use std::collections::BTreeMap;
use std::sync::Arc;

use couplet_core::coupling::CouplingOption;
use couplet_core::drawing::{FlowKey, Moving, Part, Point, Sheet, Target, flow_w};
use couplet_core::findings::Verdict;
use couplet_core::household::Household;
use couplet_core::year::DayTrace;
use leptos::html;
use leptos::prelude::*;
use leptos::svg;
use web_sys::wasm_bindgen::JsCast;

use super::carry::Carry;
use super::say;
use crate::judged::Tally;

/// A sheet with a number that grows with every new one.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Numbered {
    pub(super) number: u32,
    pub(super) sheet: Arc<Sheet>,
}

/// Where a menu of places for a part is open, px from the upper left corner of the region.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct MenuAt {
    pub(super) moving: Moving,
    pub(super) left_px: f64,
    pub(super) top_px: f64,
}

/// What the pieces of the drawing share.
#[derive(Clone, Copy)]
pub(super) struct Table {
    pub(super) household: Signal<Arc<Household>>,
    pub(super) option: Signal<Arc<CouplingOption>>,
    pub(super) sheet: Memo<Numbered>,
    /// The trace of the day and the step, if they are of this option.
    pub(super) now: Signal<Option<(Arc<DayTrace>, usize)>>,
    /// What the powers are of, where it is not that step of the day.
    pub(super) drawn_at: Signal<Option<String>>,
    pub(super) selection: Signal<Option<Part>>,
    /// How many findings each part has.
    pub(super) tallies: Signal<Arc<BTreeMap<Part, Tally>>>,
    pub(super) carry: RwSignal<Option<Carry>>,
    /// The part that is seen in hand.
    pub(super) in_hand: Memo<Option<Moving>>,
    /// What a screen reader is told.
    pub(super) spoken: RwSignal<String>,
    pub(super) menu: RwSignal<Option<MenuAt>>,
    /// The part that has the focus, so that it has it again when the sheet is drawn anew.
    pub(super) focused: StoredValue<Option<Part>>,
    /// Where the part that was set down last left the hand, from where it stood.
    pub(super) landed: StoredValue<Option<(Part, Point)>>,
    /// Where the pointer was last, px in the window, for the frames in which the sheet moves and the pointer does not.
    pub(super) pointer_px: StoredValue<(f64, f64)>,
    pub(super) region: NodeRef<html::Div>,
    pub(super) frame: NodeRef<html::Div>,
    pub(super) picture: NodeRef<svg::Svg>,
    pub(super) on_select: Callback<Part>,
    pub(super) on_mark: Callback<(Part, Verdict)>,
    pub(super) on_move: Callback<(Moving, Target)>,
}

impl Table {
    /// Power of a flow at the chosen time, W.
    pub(super) fn power_w(self, key: FlowKey) -> Option<f64> {
        self.now.with(|now| {
            let (trace, step) = now.as_ref()?;
            flow_w(trace, key, *step)
        })
    }

    /// What a part is called and what it does now.
    pub(super) fn part_name(self, part: Part) -> String {
        self.household.with(|household| {
            self.option.with(|option| {
                self.now.with(|now| {
                    let at = now.as_ref().map(|(trace, step)| (trace.as_ref(), *step));
                    say::part_name(household, option, part, at)
                })
            })
        })
    }

    /// Tells a screen reader.
    pub(super) fn speak(self, words: String) {
        self.spoken.set(words);
    }

    /// Takes a point of the window to the sheet.
    pub(super) fn on_sheet(self, x_px: f64, y_px: f64) -> Option<Point> {
        let box_px = self.picture.get_untracked()?.get_bounding_client_rect();
        let width = self.sheet.with_untracked(|numbered| numbered.sheet.width);
        (box_px.width() > 0.0).then(|| {
            let scale = width / box_px.width();
            Point {
                x: (x_px - box_px.left()) * scale,
                y: (y_px - box_px.top()) * scale,
            }
        })
    }

    /// Gives the focus to a part.
    pub(super) fn focus(self, part: Part) {
        let key = part.key();
        let found = self.picture.get_untracked().and_then(|picture| {
            picture
                .query_selector(&format!("[data-part=\"{key}\"]"))
                .ok()
                .flatten()
        });
        if let Some(element) =
            found.and_then(|element| element.dyn_into::<web_sys::SvgElement>().ok())
        {
            // A part that cannot take the focus keeps the page as it is.
            let _ = element.focus();
        }
    }

    /// Opens the menu of places at a point of the window.
    pub(super) fn open_menu(self, moving: Moving, x_px: f64, y_px: f64) {
        if let Some(region) = self.region.get_untracked() {
            let box_px = region.get_bounding_client_rect();
            self.carry.set(None);
            self.menu.set(Some(MenuAt {
                moving,
                left_px: (x_px - box_px.left()).clamp(0.0, (box_px.width() - 260.0).max(0.0)),
                top_px: y_px - box_px.top(),
            }));
        }
    }
}
