//! What runs inside the worker. `public/worker.js` calls these; nothing else does.
//!
//! The worker keeps the climate grid, which is given once, and what it computed last, so that only what changed is computed again.

use std::cell::RefCell;

use js_sys::{Function, Uint8Array};
use wasm_bindgen::prelude::*;

use super::computing::Computing;
use super::protocol::{Answer, Request, Tried, from_bytes, to_bytes};

thread_local! {
    static COMPUTING: RefCell<Computing> = RefCell::new(Computing::default());
}

/// Takes the unpacked bytes of `data/climate.bin.gz`. Called once, before the first [`answer`]; not called if the file could not be had.
#[wasm_bindgen]
#[expect(unreachable_pub, reason = "called from JavaScript")]
pub fn set_climate(bytes: &[u8]) {
    COMPUTING.with_borrow_mut(|computing| computing.set_climate(bytes));
}

/// Less than this share more is not told.
const TOLD_SHARE: f64 = 0.02;

/// Answers one request: bytes in, bytes out; see [`super::protocol`]. What takes long tells its share done on the way.
#[wasm_bindgen]
#[expect(unreachable_pub, reason = "called from JavaScript")]
pub fn answer(bytes: &[u8], on_progress: Option<Function>) -> Vec<u8> {
    let answer = match from_bytes(bytes) {
        Ok(Request::Advise(ways)) => {
            let mut on_tried = |share: f64, tried: &Tried| {
                if let Some(on_progress) = &on_progress {
                    let part = Uint8Array::from(to_bytes(tried).as_slice());
                    // A page that does not listen misses nothing that it waits for.
                    let _ = on_progress.call2(&JsValue::NULL, &share.into(), &part);
                }
            };
            COMPUTING.with_borrow_mut(|computing| computing.advise(ways, &mut on_tried))
        }
        Ok(request) => {
            let mut told = 0.0;
            let mut on_share = |share: f64| {
                if let Some(on_progress) =
                    on_progress.as_ref().filter(|_| share >= told + TOLD_SHARE)
                {
                    told = share;
                    // A page that does not listen misses nothing but the share.
                    let _ = on_progress.call1(&JsValue::NULL, &share.into());
                }
            };
            COMPUTING.with_borrow_mut(|computing| computing.answer(request, &mut on_share))
        }
        Err(reason) => Answer::Refused(reason),
    };
    to_bytes(&answer)
}
