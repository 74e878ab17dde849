//! The running rule: hours of the household's own.

use couplet_tests::page::{Outcome, Visit, Visitor, visit};
use thirtyfour::Key;

use crate::editing::{fill, wait_for_figures};

const RULE: &str = "#option-3-running-rule";
const HOURS: &str = "document.querySelectorAll('.own-hours').length";

/// Chooses by its place in a menu, as a thumb does.
async fn choose(page: &Visitor, css: &str, place: usize) -> Outcome {
    page.find(css).await?;
    page.evaluate_with(
        "(() => { const field = document.querySelector(given[0]); field.value = given[1]; field.dispatchEvent(new Event('change', { bubbles: true })); })()",
        vec![css.into(), place.to_string().into()],
    )
    .await
    .map(|_| ())
}

async fn press_on(page: &Visitor, css: &str) -> Outcome {
    page.find(css).await?;
    page.evaluate_with("document.querySelector(given[0]).focus()", vec![css.into()])
        .await?;
    page.press(Key::Enter).await
}

async fn figures_of_year(
    page: &Visitor,
) -> Result<String, Box<dyn std::error::Error + Send + Sync>> {
    wait_for_figures(page).await?;
    let figures = page
        .evaluate("document.querySelector('.year-figures').innerText")
        .await?;
    Ok(figures.to_string())
}

fn field(place: usize, key: &str) -> String {
    format!("#option-3-running-hours-{place}-{key}")
}

fn reads(place: usize, key: &str, value: &str) -> String {
    format!(
        "document.querySelector('{}').value === '{value}'",
        field(place, key)
    )
}

#[test]
fn own_hours_begin_with_those_of_the_tariff_and_are_edited_by_keyboard() {
    visit(
        Visit {
            window: (1440, 1000),
            ..Visit::default()
        },
        async |page| {
            let before = figures_of_year(page).await?;
            choose(page, RULE, 2).await?;
            page.wait_until(&format!("{HOURS} === 1")).await?;
            page.wait_until(&reads(0, "from_h", "23")).await?;
            page.wait_until(&reads(0, "to_h", "6")).await?;
            assert_eq!(
                figures_of_year(page).await?,
                before,
                "the same hours give the same year"
            );

            choose(page, &field(0, "aim"), 0).await?;
            page.wait_until(&reads(0, "to_soc", "80")).await?;
            fill(page, &field(0, "to_soc"), "60").await?;
            page.press(Key::Enter).await?;
            let charged = figures_of_year(page).await?;
            assert_ne!(charged, before, "charging at night changes the year");

            // A wrong hour is told beside its field, and the last right result stays.
            fill(page, &field(0, "from_h"), "-5").await?;
            page.wait_for_text(&format!("{}-message", field(0, "from_h")), "out of range")
                .await?;
            assert_eq!(figures_of_year(page).await?, charged);
            fill(page, &field(0, "from_h"), "23").await?;
            page.press(Key::Enter).await?;

            press_on(page, "[data-action=add-own-hours]").await?;
            page.wait_until(&format!("{HOURS} === 2")).await?;
            page.wait_until(&reads(1, "from_h", "16")).await?;
            press_on(page, &field(1, "earlier")).await?;
            page.wait_until(&reads(0, "from_h", "16")).await?;
            page.wait_until(&reads(1, "from_h", "23")).await?;
            // The focus goes with what was moved, and on to the way that is left.
            page.wait_until("document.activeElement.id === 'option-3-running-hours-0-later'")
                .await?;
            page.find(".own-hours").await?.scroll_into_view().await?;
            page.screenshot("own-hours").await?;

            page.find(".own-hours .remove").await?.click().await?;
            page.wait_until(&format!("{HOURS} === 1")).await?;
            page.wait_until("document.querySelector('.undo-redo button').title.startsWith('Undo: running rule')")
                .await?;
            page.press_with(&[Key::Control], "z").await?;
            page.wait_until(&format!("{HOURS} === 2")).await?;
            page.press_with(&[Key::Control], "z").await?;
            page.wait_until(&reads(1, "from_h", "16")).await?;
            for _ in 0..20 {
                if page.evaluate(HOURS).await? == 0 {
                    break;
                }
                page.press_with(&[Key::Control], "z").await?;
            }
            page.wait_until(&format!("{HOURS} === 0")).await?;
            assert_eq!(figures_of_year(page).await?, before);
            Ok(())
        },
    );
}

#[test]
fn the_editor_of_own_hours_fits_a_phone() {
    visit(
        Visit {
            window: (390, 844),
            touch: true,
            ..Visit::default()
        },
        async |page| {
            choose(page, RULE, 2).await?;
            page.wait_until(&format!("{HOURS} === 1")).await?;
            choose(page, &field(0, "aim"), 0).await?;
            page.wait_until("document.documentElement.scrollWidth <= innerWidth")
                .await?;
            page.find(".own-hours").await?.scroll_into_view().await?;
            page.screenshot("own-hours-phone").await
        },
    );
}
