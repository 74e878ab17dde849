//! The page opens anywhere, talks to nobody else, and says so when it cannot start.

use couplet_tests::page::{PageCopy, Visit, visit, visit_folder};

#[test]
fn the_page_opens_at_the_top_of_a_server() {
    visit(
        Visit {
            prefix: "/",
            ..Visit::default()
        },
        async |page| {
            assert!(page.driver.title().await?.contains("Couplet"));
            page.find("#drawing").await?;
            Ok(())
        },
    );
}

/// The visit itself fails on any error in the browser's log: a file not found, a breach of the security policy, an exception.
#[test]
fn the_page_opens_in_a_folder_deep_below_with_nothing_in_the_log() {
    visit(
        Visit {
            prefix: "/a/b%20c/couplet/",
            ..Visit::default()
        },
        async |page| {
            page.find("#drawing").await?;
            page.screenshot("opening").await
        },
    );
}

#[test]
fn no_request_leaves_the_page_s_own_folder() {
    visit(Visit::default(), async |page| {
        page.evaluate("navigator.serviceWorker.ready.then(() => true)")
            .await?;
        let address = page.address().to_owned();
        let requests = page.requests().await?;
        let elsewhere: Vec<_> = requests
            .iter()
            .filter(|url| {
                !url.starts_with(&address) && !url.starts_with("data:") && !url.starts_with("blob:")
            })
            .collect();
        assert!(
            requests.iter().any(|url| url.ends_with(".wasm")),
            "the record of requests misses the program: {requests:?}"
        );
        assert!(
            elsewhere.is_empty(),
            "requests to other places: {elsewhere:?}"
        );
        Ok(())
    });
}

/// The policy is in force, not only written down: the browser refuses what it does not name.
#[test]
fn the_security_policy_refuses_inline_scripts_and_other_origins() {
    let refused = Visit {
        expected_errors: &[
            "Content Security Policy",
            "violates the document's Content Security Policy",
        ],
        ..Visit::default()
    };
    visit(refused, async |page| {
        page.evaluate("(() => { const script = document.createElement('script'); script.textContent = 'document.title = \"changed\"'; document.head.append(script); })()").await?;
        assert_ne!(page.driver.title().await?, "changed");
        let fetched = page
            .evaluate(
                "fetch('http://127.0.0.1:9/').then(() => 'fetched', (error) => String(error))",
            )
            .await?;
        assert_ne!(fetched, "fetched");
        assert!(
            page.errors()
                .await?
                .iter()
                .any(|error| error.contains("connect-src")),
            "the request was not refused by the policy"
        );
        Ok(())
    });
}

#[test]
fn the_program_s_own_face_is_used_with_figures_of_one_width() {
    visit(Visit::default(), async |page| {
        page.evaluate("document.fonts.ready.then(() => true)")
            .await?;
        let loaded = page.evaluate("[...document.fonts].filter((face) => face.status === 'loaded').map((face) => face.family)").await?;
        assert!(
            loaded.as_array().is_some_and(|faces| !faces.is_empty()),
            "no face was loaded"
        );
        let widths = page
            .evaluate(
                "(() => {
                   const main = document.querySelector('main');
                   return ['111111', '000000', '444444'].map((figures) => {
                     const span = main.appendChild(document.createElement('span'));
                     span.textContent = figures;
                     const width = span.getBoundingClientRect().width;
                     span.remove();
                     return width;
                   });
                 })()",
            )
            .await?;
        let widths: Vec<f64> = serde_json::from_value(widths)?;
        assert!(
            widths[0] > 0.0 && widths.iter().all(|width| (width - widths[0]).abs() < 0.01),
            "figures of different widths: {widths:?}"
        );
        Ok(())
    });
}

/// A copy of the page whose program is damaged: the reader is told, and not left with an empty window.
#[test]
fn a_page_that_cannot_start_says_so() {
    let copy = PageCopy::new().expect("the page can be copied");
    let program = copy
        .file("couplet-", ".wasm")
        .expect("the page has a program");
    std::fs::write(program, b"not a program").expect("the copy can be written");
    let damaged = Visit {
        expected_errors: &["CompileError"],
        starts: false,
        ..Visit::default()
    };
    visit_folder(damaged, copy.path(), async |page| {
        page.wait_until("document.getElementById('opening').dataset.state === 'failed'")
            .await?;
        assert!(page.text("#opening").await?.contains("could not start"));
        Ok(())
    });
}
