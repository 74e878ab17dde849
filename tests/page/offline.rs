//! After the first visit the page needs no network.

use couplet_tests::page::{Outcome, PageCopy, Visit, Visitor, built_page, visit, visit_folder};

/// Waits until the service worker has kept every file and answers for the page.
async fn kept(page: &Visitor) -> Outcome {
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        .await?;
    page.wait_until("navigator.serviceWorker.controller").await
}

#[test]
fn the_page_and_its_worker_start_with_the_server_gone() {
    visit(
        Visit {
            expected_errors: &["not-kept.txt"],
            ..Visit::default()
        },
        async |page| {
            kept(page).await?;
            page.stop_server();
            page.evaluate("fetch('not-kept.txt').then(() => 'answered', () => 'nobody there')")
                .await
                .map(|said| assert_eq!(said, "nobody there"))?;
            page.reload().await?;
            page.find("#drawing").await?;
            page.ask_worker(b"?").await?;
            page.screenshot("offline").await
        },
    );
}

#[test]
fn every_file_of_the_build_is_kept() {
    visit(Visit::default(), async |page| {
        kept(page).await?;
        let kept = page
            .evaluate(
                "(async () => {
                   const names = await caches.keys();
                   const requests = await (await caches.open(names[0])).keys();
                   return { caches: names.length, files: requests.map((request) => decodeURI(request.url)) };
                 })()",
            )
            .await?;
        assert_eq!(kept["caches"], 1);
        let files: Vec<String> = serde_json::from_value(kept["files"].clone())?;
        for name in couplet_host::files_under(&built_page())? {
            let address = match name.as_str() {
                "service-worker.js" => continue,
                name if name.ends_with(".md") => continue,
                "index.html" => page.address().to_owned(),
                name => format!("{}{name}", page.address()),
            };
            assert!(files.contains(&address), "{name} is not kept");
        }
        Ok(())
    });
}

/// The second build differs in one line of `index.html` only.
#[test]
fn a_newer_build_shows_at_the_next_load() {
    const MARK: &str = "document.querySelector('meta[name=description]').content";
    let copy = PageCopy::new().expect("the page can be copied");
    visit_folder(Visit::default(), copy.path(), async |page| {
        kept(page).await?;
        copy.replace(
            ("index", ".html"),
            "name=\"description\" content=\"",
            "name=\"description\" content=\"Newer. ",
        )?;
        copy.replace(
            ("service-worker", ".js"),
            "const BUILD = \"",
            "const BUILD = \"newer",
        )?;

        page.evaluate("navigator.serviceWorker.getRegistration().then((registration) => registration.update()).then(() => true)").await?;
        page.wait_until("(await navigator.serviceWorker.getRegistration()).waiting")
            .await?;
        let before = page.evaluate(MARK).await?;
        assert!(
            before
                .as_str()
                .is_some_and(|text| !text.starts_with("Newer")),
            "{before}"
        );
        page.reload().await?;
        let after = page.evaluate(MARK).await?;
        assert!(
            after.as_str().is_some_and(|text| text.starts_with("Newer")),
            "{after}"
        );
        page.ask_worker(b"?").await?;
        Ok(())
    });
}
