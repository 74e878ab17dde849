//! The calculation worker, by the messages written in `public/worker.js`.

use couplet_tests::page::{PageCopy, Visit, visit, visit_folder};

/// Bytes that mean nothing must not cost the worker its life.
#[test]
fn a_worker_answers_a_request_it_cannot_read() {
    visit(Visit::default(), async |page| {
        page.ask_worker(&[0xff; 64]).await?;
        Ok(())
    });
}

/// The first request of a worker made to fail: the page starts another worker, which gets the next request.
#[test]
fn a_worker_that_breaks_off_is_replaced() {
    let copy = PageCopy::new().expect("the page can be copied");
    // A worker leaves its marks as names of caches: those are the same for the page.
    let marks = "caches.open(`worker ${Math.random()}`);\n";
    let failing = "function answer(program, { id, bytes }) {\n  if (id === 1) { self.postMessage({ id, error: 'made to fail' }); return; }\n  caches.open(`answered ${id}`);";
    copy.replace(
        ("worker-", ".js"),
        "let ready;",
        &format!("{marks}let ready;"),
    )
    .expect("the worker can be changed");
    copy.replace(
        ("worker-", ".js"),
        "function answer(program, { id, bytes }) {",
        failing,
    )
    .expect("the worker can be changed");
    visit_folder(Visit::default(), copy.path(), async |page| {
        page.wait_until(
            "(await caches.keys()).filter((name) => name.startsWith('worker ')).length === 2",
        )
        .await?;
        page.wait_for_text(".notices", "made to fail").await?;
        // Any edit asks again.
        page.find("input[inputmode=decimal]").await?.click().await?;
        page.press("7").await?;
        page.press(thirtyfour::Key::Tab).await?;
        page.wait_until("(await caches.keys()).some((name) => name.startsWith('answered '))")
            .await
    });
}

/// The page without its worker's script still opens, and says what is missing.
#[test]
fn a_page_whose_worker_cannot_start_says_so() {
    let copy = PageCopy::new().expect("the page can be copied");
    std::fs::remove_file(copy.file("worker-", ".js").expect("there is a worker"))
        .expect("the copy can be changed");
    let damaged = Visit {
        expected_errors: &["worker-", "service-worker.js", "addAll"],
        ..Visit::default()
    };
    visit_folder(damaged, copy.path(), async |page| {
        page.wait_for_text(".notices", "worker").await
    });
}
