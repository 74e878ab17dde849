//! Charts: plain geometry first (stacks, ticks, places, room for labels, hatching), then what touches the page (the canvas as a surface
//! that knows when to repaint, its colours, the slider that picks a place along it), and pictures of lines that need no canvas.

pub(crate) mod curves;
pub(crate) mod hatch;
pub(crate) mod painting;
pub(crate) mod palette;
pub(crate) mod place;
pub(crate) mod room;
pub(crate) mod slide;
pub(crate) mod stack;
pub(crate) mod surface;
pub(crate) mod ticks;
