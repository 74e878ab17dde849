//! What other tests rely on without saying so: that the harness does to the browser what it claims.

use couplet_tests::page::{Media, Outcome, Visit, Visitor, visit};

/// A box that writes down what is done to it.
const BOX: &str = "(() => {
  const box = document.body.appendChild(document.createElement('div'));
  box.id = 'box';
  box.tabIndex = 0;
  box.style.cssText = 'position: fixed; left: 100px; top: 100px; width: 200px; height: 200px; touch-action: none';
  window.done = [];
  for (const kind of ['pointerdown', 'pointerup', 'click', 'keydown'])
    box.addEventListener(kind, (event) => window.done.push([kind, event.pointerType ?? '', event.key ?? '', Math.round(event.clientX ?? 0)].join(' ')));
})()";

async fn done(page: &Visitor) -> Result<Vec<String>, Box<dyn std::error::Error + Send + Sync>> {
    Ok(serde_json::from_value(
        page.evaluate("window.done.splice(0)").await?,
    )?)
}

#[test]
fn fingers_mouse_and_keys_reach_the_page() {
    visit(
        Visit {
            touch: true,
            ..Visit::default()
        },
        async |page| {
            assert_eq!(
                page.evaluate("matchMedia('(pointer: coarse)').matches")
                    .await?,
                true
            );
            page.evaluate(BOX).await?;
            page.tap("#box").await?;
            page.wait_until("window.done.some((said) => said.startsWith('click'))")
                .await?;
            assert_eq!(
                done(page).await?,
                [
                    "pointerdown touch  200",
                    "pointerup touch  200",
                    "click touch  200"
                ]
            );
            page.drag_with_finger((110.0, 200.0), (290.0, 200.0))
                .await?;
            assert_eq!(
                done(page).await?,
                ["pointerdown touch  110", "pointerup touch  290"]
            );
            page.drag_with_mouse((120.0, 200.0), (280.0, 200.0)).await?;
            assert_eq!(
                done(page).await?[..2],
                ["pointerdown mouse  120", "pointerup mouse  280"]
            );
            page.evaluate("document.getElementById('box').focus()")
                .await?;
            page.press("a").await?;
            assert_eq!(done(page).await?, ["keydown  a 0"]);
            Ok(())
        },
    );
}

#[test]
fn the_system_s_wishes_reach_the_page() {
    visit(
        Visit {
            language: "de-DE",
            ..Visit::default()
        },
        async |page| {
            assert_eq!(page.evaluate("navigator.language").await?, "de-DE");
            assert_eq!(page.evaluate("(1234.5).toLocaleString()").await?, "1.234,5");
            page.resize(600, 800).await?;
            assert_eq!(
                page.evaluate("[innerWidth, innerHeight]").await?,
                serde_json::json!([600, 800])
            );
            page.ask_for(Media {
                reduced_motion: Some("reduce"),
                forced_colors: Some("active"),
                medium: Some("print"),
                ..Media::default()
            })
            .await?;
            for query in [
                "(prefers-reduced-motion: reduce)",
                "(forced-colors: active)",
                "print",
            ] {
                assert_eq!(
                    page.evaluate_with("matchMedia(given[0]).matches", vec![query.into()])
                        .await?,
                    true,
                    "{query}"
                );
            }
            Ok(())
        },
    );
}

#[test]
#[should_panic(expected = "something went wrong")]
fn an_error_in_the_browser_s_log_fails_the_visit() {
    visit(Visit::default(), async |page| -> Outcome {
        page.evaluate("console.error('something went wrong')")
            .await?;
        Ok(())
    });
}
