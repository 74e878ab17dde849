//! The page without the browser's storage.

use couplet_tests::page::{Visit, visit};

#[test]
fn the_page_works_when_all_storage_is_denied() {
    visit(
        Visit {
            storage_denied: true,
            ..Visit::default()
        },
        async |page| {
            let denied = page.evaluate("(() => { try { return String(localStorage.length); } catch (error) { return error.name; } })()").await?;
            assert_eq!(
                denied, "SecurityError",
                "the browser gives storage after all, so this test shows nothing"
            );
            page.wait_for_text(".notices", "not saved").await?;
            page.find("#drawing").await?;
            page.ask_worker(b"?").await?;
            Ok(())
        },
    );
}
