//! What runs inside the worker. `public/worker.js` calls these; nothing else does.
//!
//! The worker keeps no state of its own but the climate grid, which is given once and never changes.

use std::cell::RefCell;

use js_sys::{Function, Uint8Array};
use wasm_bindgen::prelude::*;

thread_local! {
    /// The worldwide climate grid, unpacked; empty until [`set_climate`] is called.
    static CLIMATE: RefCell<Vec<u8>> = const { RefCell::new(Vec::new()) };
}

/// Takes the unpacked bytes of `data/climate.bin.gz`. Called once, before the first [`answer`]; not called if the file could not be had.
#[wasm_bindgen]
#[expect(unreachable_pub, reason = "called from JavaScript")]
pub fn set_climate(bytes: &[u8]) {
    CLIMATE.set(bytes.to_vec());
}

/// Answers one request: bytes in, bytes out.
///
/// `on_progress` may be called any number of times before the answer, with the share done (0 to 1) and, where there is something
/// to show already, bytes of a partial result: see [`Progress`].
#[wasm_bindgen]
#[expect(unreachable_pub, reason = "called from JavaScript")]
pub fn answer(bytes: &[u8], on_progress: Option<Function>) -> Vec<u8> {
    Progress(on_progress).tell(0.0, &[]);
    bytes.to_vec()
}

/// The way back to the page while a request is being worked on.
struct Progress(Option<Function>);

impl Progress {
    /// Tells the page that `share` (0 to 1) is done; `part` is a partial result, or empty.
    fn tell(&self, share: f64, part: &[u8]) {
        if let Some(on_progress) = &self.0 {
            let part = if part.is_empty() {
                JsValue::UNDEFINED
            } else {
                Uint8Array::from(part).into()
            };
            // It fails only if the worker is being shut down, and then nobody waits for the message.
            let _ = on_progress.call2(&JsValue::NULL, &share.into(), &part);
        }
    }
}
