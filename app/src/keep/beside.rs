//! Files that stand beside the page on its host.

use js_sys::Uint8Array;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::Response;

/// The bytes of the file at `address`.
///
/// - `what`: names the file to a reader, such as "the list of places"
///
/// **Errors**: what the browser says, or that the file is missing.
pub(crate) async fn bytes(address: &str, what: &str) -> Result<Uint8Array, JsValue> {
    let window = web_sys::window().ok_or("no window")?;
    let response: Response = JsFuture::from(window.fetch_with_str(address))
        .await?
        .dyn_into()?;
    if !response.ok() {
        let missing = format!("{what} is missing ({})", response.status());
        return Err(js_sys::Error::new(&missing).into());
    }
    let buffer = JsFuture::from(response.array_buffer()?).await?;
    Ok(Uint8Array::new(&buffer))
}
