//! The single-line diagram as plain geometry: which symbols, wires and words stand where on the sheet of an option,
//! which of them can be moved, and which power each wire carries.

mod column;
mod flow;
mod layout;
mod lettering;
mod part;
mod pen;
mod reaches;
mod sheet;
mod svg;
mod symbol;
mod title;

pub use flow::{FlowKey, LEAST_SHOWN_W, flow_w, line_width, state_of_charge};
pub use layout::{layout, layout_with_ghost};
pub use lettering::{Piece, TextStyle, plain, width};
pub use part::{MoveMark, Moving, Offer, Part, Target, offers, place};
pub use sheet::{
    Anchor, Bounds, Bus, BusKey, Drawn, FieldText, Figure, LegendEntry, Path, Point, Reach, Sheet,
    Shown, Symbol, Text, TitleField, Wire,
};
pub use svg::{Outline, arrow, outline, path_data, svg};
pub use symbol::{Stroke, SymbolKind, SymbolSet, Turn, line_work};
pub use title::FIELD_INSET;
