//! Files in and out: what the reader saves to disk and what they give to the page.

use js_sys::Array;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, BlobPropertyBag, File, HtmlAnchorElement, Url};

/// Offers `text` to the reader as a file of this name.
pub(crate) fn hand_out(name: &str, media_type: &str, text: &str) {
    // Every step can be refused by the browser; then there is no file, and the reader sees that.
    let _ = blob(media_type, &text.into()).and_then(|blob| hand_out_blob(name, &blob));
}

/// Offers `bytes` to the reader as a file of this name.
pub(crate) fn hand_out_bytes(name: &str, media_type: &str, bytes: &[u8]) {
    let piece = js_sys::Uint8Array::from(bytes);
    let _ = blob(media_type, &piece).and_then(|blob| hand_out_blob(name, &blob));
}

/// One piece of text or bytes as a blob.
///
/// **Errors**: what the browser says.
pub(crate) fn blob(media_type: &str, piece: &JsValue) -> Result<Blob, JsValue> {
    let bag = BlobPropertyBag::new();
    bag.set_type(media_type);
    Blob::new_with_str_sequence_and_options(&Array::of1(piece), &bag)
}

/// Offers a blob to the reader as a file of this name.
///
/// **Errors**: what the browser says.
pub(crate) fn hand_out_blob(name: &str, blob: &Blob) -> Result<(), JsValue> {
    let address = Url::create_object_url_with_blob(blob)?;
    let anchor: HtmlAnchorElement = leptos::prelude::document()
        .create_element("a")?
        .unchecked_into();
    anchor.set_href(&address);
    anchor.set_download(name);
    anchor.click();
    Url::revoke_object_url(&address)
}

/// The whole text of a file that the reader gave.
///
/// **Errors**: what the browser says.
pub(crate) async fn text_of(file: &File) -> Result<String, String> {
    let text = JsFuture::from(file.text()).await.map_err(|error| {
        js_sys::Reflect::get(&error, &"message".into())
            .ok()
            .and_then(|message| message.as_string())
            .unwrap_or_else(|| "the file could not be read".to_owned())
    })?;
    text.as_string()
        .ok_or_else(|| "the file is not text".to_owned())
}

/// A file name made of the words of `name`: letters and digits joined by hyphens.
pub(crate) fn file_name(name: &str, ending: &str) -> String {
    let mut words = String::new();
    for part in name
        .split(|c: char| !c.is_alphanumeric())
        .filter(|part| !part.is_empty())
    {
        if !words.is_empty() {
            words.push('-');
        }
        words.extend(part.chars().flat_map(char::to_lowercase));
    }
    if words.is_empty() {
        words.push_str("household");
    }
    format!("{words}.{ending}")
}

#[cfg(test)]
mod tests {
    use super::file_name;

    #[test]
    fn a_file_is_named_after_the_household() {
        assert_eq!(
            file_name("The house at Alder Ford", "couplet.json"),
            "the-house-at-alder-ford.couplet.json"
        );
        assert_eq!(file_name("  ?! ", "json"), "household.json");
    }
}
