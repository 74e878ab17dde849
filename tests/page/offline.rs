//! After the first visit the page needs no network.

use std::path::Path;

use couplet_tests::page::{Outcome, Visit, Visitor, built_page, visit, visit_folder};

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
            assert_eq!(page.driver.title().await?, "Couplet");
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

/// The second build differs in the page's title only.
#[test]
fn a_newer_build_shows_at_the_next_load() {
    let folder = std::env::temp_dir().join(format!("couplet-newer-{}", std::process::id()));
    copy_build(&built_page(), &folder);
    visit_folder(Visit::default(), &folder, async |page| {
        kept(page).await?;
        replace(
            &folder.join("index.html"),
            "<title>Couplet</title>",
            "<title>Couplet, newer</title>",
        );
        replace(
            &folder.join("service-worker.js"),
            "const BUILD = \"",
            "const BUILD = \"newer",
        );

        page.evaluate("navigator.serviceWorker.getRegistration().then((registration) => registration.update()).then(() => true)").await?;
        page.wait_until("(await navigator.serviceWorker.getRegistration()).waiting")
            .await?;
        assert_eq!(page.driver.title().await?, "Couplet");
        page.reload().await?;
        assert_eq!(page.driver.title().await?, "Couplet, newer");
        page.ask_worker(b"?").await?;
        Ok(())
    });
    std::fs::remove_dir_all(folder).ok();
}

fn copy_build(from: &Path, to: &Path) {
    for name in couplet_host::files_under(from).expect("the built page can be read") {
        let copy = to.join(&name);
        std::fs::create_dir_all(copy.parent().expect("a file lies in a folder"))
            .expect("a scratch folder can be made");
        std::fs::copy(from.join(&name), &copy).expect("a scratch file can be written");
    }
}

fn replace(file: &Path, from: &str, to: &str) {
    let text = std::fs::read_to_string(file).expect("the file can be read");
    assert!(text.contains(from), "{} holds no {from}", file.display());
    std::fs::write(file, text.replace(from, to)).expect("the file can be written");
}
