//! A part in hand: from being picked up to being set down, apart from how it is drawn.

use couplet_core::coupling::CouplingOption;
use couplet_core::drawing::{Bus, Moving, Offer, Point, Sheet, offers};
use couplet_core::household::Service;

/// How far a pointer moves before what it holds is lifted, px: less is a click.
const LIFT_PX: f64 = 6.0;
/// How far above or below its row a part in hand still means the bus it is over, in units of the sheet.
const ROW_REACH: f64 = 170.0;
/// How far a lifted part stands above its row.
const LIFTED: f64 = -7.0;

/// What holds the part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Held {
    /// A pointer is down on it and has not moved far enough yet.
    Pressed {
        /// Where it went down, px in the window.
        x_px: f64,
        /// Where it went down, px in the window.
        y_px: f64,
        /// Where it went down on the sheet.
        at: Point,
    },
    /// A pointer drags it.
    Dragged {
        /// Where it went down on the sheet.
        from: Point,
        /// Where it is now on the sheet.
        to: Point,
    },
    /// The keyboard holds it.
    Keys,
}

/// A part in hand.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Carry {
    /// The part.
    pub(super) moving: Moving,
    /// What holds it.
    pub(super) held: Held,
    /// Places it is offered, from left to right.
    pub(super) offers: Vec<Offer>,
    /// The offer it is over.
    pub(super) over: Option<usize>,
}

impl Carry {
    /// A pointer went down on the part.
    pub(super) fn pressed(
        service: &Service,
        option: &CouplingOption,
        moving: Moving,
        (x_px, y_px): (f64, f64),
        at: Point,
    ) -> Self {
        Self::new(service, option, moving, Held::Pressed { x_px, y_px, at })
    }

    /// The keyboard picked the part up.
    pub(super) fn by_keys(service: &Service, option: &CouplingOption, moving: Moving) -> Self {
        Self::new(service, option, moving, Held::Keys)
    }

    fn new(service: &Service, option: &CouplingOption, moving: Moving, held: Held) -> Self {
        let offers = offers(service, option, moving);
        let over = offers.iter().position(|offer| offer.stands_here);
        Self {
            moving,
            held,
            offers,
            over,
        }
    }

    /// Whether it is lifted: seen in hand, and set down when let go.
    pub(super) fn lifted(&self) -> bool {
        !matches!(self.held, Held::Pressed { .. })
    }

    /// Whether a pointer drags it.
    pub(super) fn dragged(&self) -> bool {
        matches!(self.held, Held::Dragged { .. })
    }

    /// The offer it is over.
    pub(super) fn offer(&self) -> Option<&Offer> {
        self.offers.get(self.over?)
    }

    /// The pointer moved.
    pub(super) fn moved(&mut self, sheet: &Sheet, (x_px, y_px): (f64, f64), to: Point) {
        let from = match self.held {
            Held::Pressed {
                x_px: down_x_px,
                y_px: down_y_px,
                at,
            } => {
                if (x_px - down_x_px).hypot(y_px - down_y_px) < LIFT_PX {
                    return;
                }
                at
            }
            Held::Dragged { from, .. } => from,
            Held::Keys => return,
        };
        self.held = Held::Dragged { from, to };
        self.over = self.under(sheet, from, to);
    }

    fn under(&self, sheet: &Sheet, from: Point, to: Point) -> Option<usize> {
        if (to.y - from.y).abs() > ROW_REACH {
            return None;
        }
        let bus = sheet
            .buses
            .iter()
            .find(|bus| (bus.zone.left..bus.zone.right).contains(&to.x))?;
        self.offers
            .iter()
            .position(|offer| bus.key.takes(offer.target))
    }

    /// An arrow key was pressed.
    pub(super) fn step(&mut self, right: bool) {
        let last = self.offers.len().saturating_sub(1);
        self.over = Some(match (self.over, right) {
            (Some(over), true) => (over + 1).min(last),
            (Some(over), false) => over.saturating_sub(1),
            (None, _) => 0,
        });
    }

    /// The bus it is over.
    pub(super) fn bus<'a>(&self, sheet: &'a Sheet) -> Option<&'a Bus> {
        sheet.bus(self.offer()?.target)
    }

    /// How far what is in hand is drawn from where it stands, if its axis stands at `axis_x`. Over a bus that takes it, it
    /// slides along its row; elsewhere it follows the pointer.
    pub(super) fn offset(&self, sheet: &Sheet, axis_x: f64) -> Point {
        let taken = self.offer().is_some_and(|offer| offer.refused.is_none());
        match self.held {
            Held::Pressed { .. } => Point { x: 0.0, y: 0.0 },
            Held::Dragged { from, to } => Point {
                x: to.x - from.x,
                y: if taken { LIFTED } else { to.y - from.y },
            },
            Held::Keys => {
                let here = self.offer().is_none_or(|offer| offer.stands_here);
                let x = match self.bus(sheet) {
                    Some(bus) if !here => f64::midpoint(bus.from.x, bus.to.x) - axis_x,
                    _ => 0.0,
                };
                Point {
                    x,
                    y: if taken { LIFTED } else { 2.0 * LIFTED },
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use couplet_core::document::demo;
    use couplet_core::drawing::{Target, layout};
    use couplet_core::household::Household;

    fn held() -> (Sheet, Carry) {
        let household: Household = demo();
        let option = household
            .options
            .last()
            .expect("the demonstration has options");
        let array = option.arrays.first().expect("it has arrays").id;
        let sheet = layout(&household, option);
        let at = Point { x: 200.0, y: 80.0 };
        let carry = Carry::pressed(
            &household.service,
            option,
            Moving::Array(array),
            (300.0, 300.0),
            at,
        );
        (sheet, carry)
    }

    #[test]
    fn a_small_movement_is_a_click() {
        let (sheet, mut carry) = held();
        carry.moved(&sheet, (303.0, 302.0), Point { x: 203.0, y: 82.0 });
        assert!(!carry.lifted());
        carry.moved(&sheet, (320.0, 302.0), Point { x: 220.0, y: 82.0 });
        assert!(carry.dragged());
    }

    #[test]
    fn the_bus_under_the_pointer_is_meant_and_none_far_from_the_row() {
        let (sheet, mut carry) = held();
        for bus in &sheet.buses {
            let x = f64::midpoint(bus.zone.left, bus.zone.right);
            carry.moved(&sheet, (900.0, 300.0), Point { x, y: 90.0 });
            assert_eq!(carry.bus(&sheet).map(|bus| bus.key), Some(bus.key));
        }
        carry.moved(&sheet, (900.0, 900.0), Point { x: 200.0, y: 900.0 });
        assert_eq!(carry.offer(), None);
    }

    #[test]
    fn arrow_keys_stop_at_the_ends() {
        let (_, mut carry) = held();
        for _ in 0..9 {
            carry.step(false);
        }
        let first = carry.offer().map(|offer| offer.target);
        assert_eq!(first, carry.offers.first().map(|offer| offer.target));
        for _ in 0..9 {
            carry.step(true);
        }
        assert!(matches!(
            carry.offer().map(|offer| offer.target),
            Some(Target::Join(couplet_core::coupling::Join::Dc(_)))
        ));
    }
}
