//! The adviser on the page: ways come in while it works, it can be stopped, and a way becomes an option that can be undone.

use couplet_tests::page::{Visit, visit};
use thirtyfour::Key;

#[test]
fn ways_are_tried_ranked_and_taken() {
    visit(Visit::default(), async |page| {
        page.wait_until("document.querySelectorAll('.year-figures td.outcome').length > 3")
            .await?;
        page.evaluate("document.querySelector('#adviser summary').click()")
            .await?;
        page.evaluate("document.querySelector('[data-action=advise]').click()")
            .await?;
        // Ways come in while others are still tried; then it is stopped, and what came stays.
        page.wait_until("document.querySelectorAll('.adviser-ways tbody tr').length > 1")
            .await?;
        page.wait_for_text("#adviser", "ways tried").await?;
        page.evaluate("document.querySelector('[data-action=stop-advising]')?.click()")
            .await?;
        page.find("[data-action=advise]").await?;
        page.wait_until(
            "/breaks? a rule/.test(document.querySelector('.adviser-sentence').textContent)",
        )
        .await?;
        // Of the demonstration's ways only those with the old array on DC keep the export limit.
        page.wait_for_text(".adviser-ways tbody tr[data-chosen]", "South roof: DC")
            .await?;
        page.wait_until("document.querySelector('.adviser-unbeaten').getAttribute('d') !== ''")
            .await?;
        // What nothing can do is said; the ways come back when less is asked for.
        let tabs = page
            .evaluate("document.querySelectorAll('[role=tab]').length")
            .await?
            .as_u64()
            .unwrap_or(0);
        page.evaluate(
            "(() => { const cost = document.getElementById('adviser-cost'); cost.focus(); cost.select(); })()",
        )
        .await?;
        page.press("1").await?;
        page.wait_for_text(".adviser-sentence", "No way that fits")
            .await?;
        page.press(Key::Backspace).await?;
        page.press("dear").await?;
        page.wait_for_text("#adviser-cost-wrong", "Type an amount")
            .await?;
        for _ in 0..4 {
            page.press(Key::Backspace).await?;
        }
        page.evaluate("document.querySelector('[data-action=take-advice]').click()")
            .await?;
        page.wait_until(
            "document.querySelector('[role=tab][aria-selected=true]').textContent === 'Advised'",
        )
        .await?;
        page.evaluate("document.querySelector('.undo-redo button').click()")
            .await?;
        page.wait_until(&format!(
            "document.querySelectorAll('[role=tab]').length === {tabs}"
        ))
        .await?;
        page.screenshot("adviser").await
    });
}
