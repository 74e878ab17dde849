//! The colours of the theme as a canvas needs them, read from the page's custom properties.

use plotters::style::RGBColor;
use wasm_bindgen::JsCast;
use web_sys::{CanvasRenderingContext2d, CssStyleDeclaration, HtmlCanvasElement};

/// Colours by role; the roles are those of `style/tokens.css`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Palette {
    pub(crate) paper: RGBColor,
    pub(crate) shade: RGBColor,
    pub(crate) ink: RGBColor,
    pub(crate) ink_soft: RGBColor,
    pub(crate) hairline: RGBColor,
    pub(crate) ac: RGBColor,
    pub(crate) dc: RGBColor,
    pub(crate) storage: RGBColor,
    pub(crate) load: RGBColor,
    pub(crate) grid: RGBColor,
    pub(crate) lost: RGBColor,
}

impl Palette {
    /// Reads the colours that hold for a canvas now; for paper the light ones, whatever the screen shows.
    ///
    /// None if the browser gives no 2D canvas.
    pub(crate) fn read(canvas: &HtmlCanvasElement, for_paper: bool) -> Option<Self> {
        let window = web_sys::window()?;
        let root = window.document()?.document_element()?;
        let chosen = root.get_attribute("data-theme");
        if for_paper {
            root.set_attribute("data-theme", "light").ok()?;
        }
        let palette = window
            .get_computed_style(canvas)
            .ok()
            .flatten()
            .and_then(|style| Self::from_style(canvas, &style));
        if for_paper {
            match chosen {
                Some(theme) => root.set_attribute("data-theme", &theme),
                None => root.remove_attribute("data-theme"),
            }
            .ok()?;
        }
        palette
    }

    fn from_style(canvas: &HtmlCanvasElement, style: &CssStyleDeclaration) -> Option<Self> {
        let context: CanvasRenderingContext2d = canvas.get_context("2d").ok()??.dyn_into().ok()?;
        let read = |name: &str| {
            let value = style.get_property_value(name).unwrap_or_default();
            // The canvas itself understands every way to write a colour and gives back one.
            context.set_fill_style_str("#000000");
            context.set_fill_style_str(value.trim());
            let shown = context.fill_style().as_string().unwrap_or_default();
            from_hex(&shown).unwrap_or(RGBColor(0, 0, 0))
        };
        Some(Self {
            paper: read("--paper"),
            shade: read("--shade"),
            ink: read("--ink"),
            ink_soft: read("--ink-soft"),
            hairline: read("--hairline"),
            ac: read("--ac"),
            dc: read("--dc"),
            storage: read("--storage"),
            load: read("--load"),
            grid: read("--grid"),
            lost: read("--lost"),
        })
    }
}

/// `#rrggbb` as a colour.
pub(crate) fn from_hex(text: &str) -> Option<RGBColor> {
    let digits = text.strip_prefix('#').filter(|digits| digits.len() == 6)?;
    let byte = |from: usize| u8::from_str_radix(digits.get(from..from + 2)?, 16).ok();
    Some(RGBColor(byte(0)?, byte(2)?, byte(4)?))
}

/// A colour between two: `share` 0 gives the first, 1 the second.
pub(crate) fn between(first: RGBColor, second: RGBColor, share: f64) -> RGBColor {
    let share = if share.is_finite() {
        share.clamp(0.0, 1.0)
    } else {
        0.0
    };
    let mix = |first: u8, second: u8| {
        let mixed = f64::from(first) + (f64::from(second) - f64::from(first)) * share;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "between two bytes"
        )]
        let byte = mixed.round() as u8;
        byte
    };
    RGBColor(
        mix(first.0, second.0),
        mix(first.1, second.1),
        mix(first.2, second.2),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hex_colours_are_read() {
        assert_eq!(from_hex("#1f5c99"), Some(RGBColor(31, 92, 153)));
        assert_eq!(from_hex("rgba(0, 0, 0, 0.5)"), None);
        assert_eq!(from_hex("#12345é"), None);
    }

    #[test]
    fn a_mixture_ends_at_its_two_colours() {
        let (paper, ink) = (RGBColor(250, 250, 250), RGBColor(10, 20, 30));
        assert_eq!(between(paper, ink, 0.0), paper);
        assert_eq!(between(paper, ink, 1.0), ink);
        assert_eq!(between(paper, ink, f64::NAN), paper);
    }
}
