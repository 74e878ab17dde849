//! What runs inside the worker. `public/worker.js` calls these; nothing else does.
//!
//! The worker keeps the climate grid, which is given once, and what it computed last, so that only what changed is computed again.

use std::cell::RefCell;

use js_sys::Function;
use wasm_bindgen::prelude::*;

use super::computing::Computing;
use super::protocol::{Answer, from_bytes, to_bytes};

thread_local! {
    static COMPUTING: RefCell<Computing> = RefCell::new(Computing::default());
}

/// Takes the unpacked bytes of `data/climate.bin.gz`. Called once, before the first [`answer`]; not called if the file could not be had.
#[wasm_bindgen]
#[expect(unreachable_pub, reason = "called from JavaScript")]
pub fn set_climate(bytes: &[u8]) {
    COMPUTING.with_borrow_mut(|computing| computing.set_climate(bytes));
}

/// Answers one request: bytes in, bytes out; see [`super::protocol`]. Requests are small, so none tells of progress on the way.
#[wasm_bindgen]
#[expect(unreachable_pub, reason = "called from JavaScript")]
pub fn answer(bytes: &[u8], _on_progress: Option<Function>) -> Vec<u8> {
    let answer = match from_bytes(bytes) {
        Ok(request) => COMPUTING.with_borrow_mut(|computing| computing.answer(request)),
        Err(reason) => Answer::Refused(reason),
    };
    to_bytes(&answer)
}
