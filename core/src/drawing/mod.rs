//! The single-line diagram as plain geometry: which symbols, wires and words stand where on the sheet of an option,
//! which of them can be moved, and which power each wire carries.

mod call_out;
mod column;
mod dxf;
mod flow;
mod full_sheet;
mod ink;
mod key;
mod layout;
mod lettering;
mod outline;
mod paper;
mod part;
mod pen;
mod reaches;
mod sheet;
mod svg;
mod symbol;
mod table;
mod title;

pub use call_out::{CallOuts, Joined, Tag, TagKind};
pub use dxf::dxf;
pub use flow::{FlowKey, LEAST_SHOWN_W, flow_w, line_width, state_of_charge};
pub use full_sheet::{FullSheet, Imprint, full_sheet};
pub use ink::{Dash, Hue, Ink, Layer, Lettering, Shape};
pub use layout::{layout, layout_with};
pub use lettering::{Piece, TextStyle, plain, width};
pub use outline::{Outline, arrow, outline, path_data};
pub use paper::Paper;
pub use part::{MoveMark, Moving, Offer, Part, Target, offers, place};
pub use reaches::MARK;
pub use sheet::{
    Anchor, Bounds, Bus, BusKey, Drawn, FieldText, Figure, LegendEntry, Path, Point, Reach, Sheet,
    Shown, Symbol, Text, TitleField, Wire,
};
pub use svg::svg;
pub use symbol::{Stroke, SymbolKind, SymbolSet, Turn, line_work};
pub use title::FIELD_INSET;
