//! The page's own lettering, for a sheet that leaves the page.

use leptos::prelude::document;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{CssFontFaceRule, CssStyleSheet};

use crate::keep::beside;

/// Weights that a sheet is lettered in.
const WEIGHTS: [&str; 2] = ["400", "600"];

/// The `@font-face` rules of the page with their fonts within them; without those that the browser does not give.
pub(super) async fn faces() -> String {
    let mut faces = String::new();
    for rule in rules() {
        // A sheet whose fonts are away is drawn in those of the reader.
        if let Ok(face) = embedded(&rule).await {
            faces.push_str(&face);
        }
    }
    faces
}

/// The rules of the weights in use, as the style sheets of the page have them.
fn rules() -> Vec<CssFontFaceRule> {
    let sheets = document().style_sheets();
    let mut found = Vec::new();
    for sheet in (0..sheets.length()).filter_map(|index| sheets.item(index)) {
        let Some(rules) = sheet
            .dyn_ref::<CssStyleSheet>()
            .and_then(|sheet| sheet.css_rules().ok())
        else {
            continue;
        };
        found.extend(
            (0..rules.length())
                .filter_map(|index| rules.item(index)?.dyn_into::<CssFontFaceRule>().ok())
                .filter(|rule| {
                    let weight = rule.style().get_property_value("font-weight");
                    weight.is_ok_and(|weight| WEIGHTS.contains(&weight.as_str()))
                }),
        );
    }
    found
}

/// A rule with its font as a data URL (RFC 2397).
async fn embedded(rule: &CssFontFaceRule) -> Result<String, JsValue> {
    let text = rule.css_text();
    let (before, rest) = text.split_once("url(\"").ok_or("no font")?;
    let (address, after) = rest.split_once('"').ok_or("no font")?;
    let bytes = beside::bytes(address, "a font").await?.to_vec();
    // `btoa` takes each byte as the letter of that number.
    let letters: String = bytes.into_iter().map(char::from).collect();
    let data = web_sys::window().ok_or("no window")?.btoa(&letters)?;
    Ok(format!(
        "{before}url(\"data:font/woff2;base64,{data}\"{after}"
    ))
}
