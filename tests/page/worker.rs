//! The calculation worker, by the messages written in `public/worker.js`.

use couplet_tests::page::{Visit, visit};

/// Bytes that mean nothing must not cost the worker its life.
#[test]
fn a_worker_answers_a_request_it_cannot_read() {
    visit(Visit::default(), async |page| {
        page.ask_worker(&[0xff; 64]).await?;
        Ok(())
    });
}
