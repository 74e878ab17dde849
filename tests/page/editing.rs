//! Editing a household: fields, figures, undo, problems, options.

use couplet_tests::page::{Outcome, Visit, Visitor, visit};
use serde_json::Value;
use thirtyfour::Key;

/// The first array's size in the option that is open on a first visit.
const SIZE: &str = "#option-3-array-2-peak_w";
/// The figures of the open option.
const FIGURES: &str = ".year-figures";

/// Waits until the figures of every option belong to what is on the desk.
pub(crate) async fn wait_for_figures(page: &Visitor) -> Outcome {
    page.wait_until("document.querySelector('.outcomes .progress')?.textContent === ''")
        .await
}

async fn figures(page: &Visitor) -> Result<Value, Box<dyn std::error::Error + Send + Sync>> {
    wait_for_figures(page).await?;
    page.evaluate_with(
        "document.querySelector(given[0]).innerText",
        vec![FIGURES.into()],
    )
    .await
}

async fn value(
    page: &Visitor,
    css: &str,
) -> Result<Value, Box<dyn std::error::Error + Send + Sync>> {
    page.find(css).await?;
    page.evaluate_with("document.querySelector(given[0]).value", vec![css.into()])
        .await
}

/// Types a new text into a field.
pub(crate) async fn fill(page: &Visitor, css: &str, text: &str) -> Outcome {
    page.find(css).await?;
    page.evaluate_with(
        "(() => { const field = document.querySelector(given[0]); field.focus(); field.select(); })()",
        vec![css.into()],
    )
    .await?;
    page.press(text).await
}

#[test]
fn a_first_visit_shows_the_invented_household_with_its_figures() {
    visit(Visit::default(), async |page| {
        page.wait_for_text(
            ".notices",
            "Invented demonstration household; nothing here is a real home",
        )
        .await?;
        wait_for_figures(page).await?;
        page.wait_for_text(FIGURES, "kWh").await?;
        page.wait_for_text("#drawing", "Alder Ford").await?;
        page.wait_for_text(".saved", "saved").await?;
        // The cautions of every result, and where its data comes from.
        for said in [
            "estimates for planning, not a permit set",
            "authority having jurisdiction",
            "licensed people",
            "live in daylight",
            "can kill",
            "follow its listing",
            "GeoNames",
            "saved only in this browser",
        ] {
            page.wait_for_text(".page-foot", said).await?;
        }
        page.screenshot("first-visit").await
    });
}

#[test]
fn an_edit_changes_the_figures_and_survives_a_reload() {
    visit(Visit::default(), async |page| {
        let before = figures(page).await?;
        fill(page, SIZE, "7,2").await?;
        page.press(Key::Enter).await?;
        page.wait_until("document.querySelector('.undo-redo button').disabled === false")
            .await?;
        let after = figures(page).await?;
        assert_ne!(before, after, "twice the array gives the same figures");
        page.wait_for_text(".saved", "saved").await?;
        page.reload().await?;
        assert_eq!(value(page, SIZE).await?, "7.2");
        assert_eq!(figures(page).await?, after);
        Ok(())
    });
}

#[test]
fn undo_takes_back_what_was_typed_in_one_go_and_says_what() {
    visit(Visit::default(), async |page| {
        let before = figures(page).await?;
        fill(page, SIZE, "12.5").await?;
        page.press(Key::Tab).await?;
        let after = figures(page).await?;
        page.wait_until(
            "document.querySelector('.undo-redo button').title.startsWith('Undo: array')",
        )
        .await?;
        page.press_with(&[Key::Control], "z").await?;
        page.wait_until(&format!("document.querySelector('{SIZE}').value === '3.6'"))
            .await?;
        assert_eq!(figures(page).await?, before);
        page.wait_until("document.querySelector('.undo-redo button').disabled")
            .await?;
        page.press_with(&[Key::Control, Key::Shift], "z").await?;
        page.wait_until(&format!(
            "document.querySelector('{SIZE}').value === '12.5'"
        ))
        .await?;
        assert_eq!(figures(page).await?, after);
        Ok(())
    });
}

#[test]
fn a_wrong_number_is_told_beside_its_field_and_the_last_right_one_stays() {
    visit(Visit::default(), async |page| {
        let before = figures(page).await?;
        for (typed, said) in [
            ("-5", "out of range"),
            ("five", "is not a number"),
            // What was right up to here is not what was meant.
            ("7.2x", "is not a number"),
            (" ", "Nothing given"),
        ] {
            fill(page, SIZE, typed).await?;
            page.wait_for_text(&format!("{SIZE}-message"), said).await?;
            page.wait_for_text(&format!("{SIZE}-message"), "0.01\u{a0}kW to 1000\u{a0}kW")
                .await?;
            page.wait_until(&format!(
                "document.querySelector('{SIZE}').getAttribute('aria-invalid') === 'true' && document.querySelector('{SIZE}').getAttribute('aria-describedby') === '{}-message'",
                &SIZE[1..]
            ))
            .await?;
        }
        assert_eq!(figures(page).await?, before);
        page.press(Key::Escape).await?;
        page.wait_until(&format!("document.querySelector('{SIZE}').value === '3.6'"))
            .await?;
        page.wait_until(&format!(
            "!document.querySelector('{SIZE}').hasAttribute('aria-invalid')"
        ))
        .await?;
        // Up goes to the next round number.
        page.press(Key::Up).await?;
        page.wait_until(&format!("document.querySelector('{SIZE}').value === '3.7'"))
            .await?;
        Ok(())
    });
}

#[test]
fn a_price_in_hundredths_is_asked_about_at_its_field() {
    const PRICE: &str = "#tariff-period-0-tier-0-cur_per_kwh";
    visit(Visit::default(), async |page| {
        let before = figures(page).await?;
        fill(page, PRICE, "28.7").await?;
        page.wait_for_text(&format!("{PRICE}-message"), "is 0.287 meant?")
            .await?;
        page.wait_until(&format!(
            "document.querySelector('{PRICE}').getAttribute('aria-invalid') === 'true'"
        ))
        .await?;
        page.wait_for_text(".year-figures", "not computed: see what is wrong above")
            .await?;
        page.press(Key::Escape).await?;
        page.wait_until(&format!(
            "!document.querySelector('{PRICE}').hasAttribute('aria-invalid')"
        ))
        .await?;
        assert_eq!(figures(page).await?, before);
        Ok(())
    });
}

#[test]
fn a_household_that_cannot_be_run_keeps_its_last_good_figures_and_leads_to_the_field() {
    visit(Visit::default(), async |page| {
        let before = figures(page).await?;
        // Storage without MPPT inputs cannot hold the array that is joined on its DC bus.
        page.evaluate("document.querySelector('#option-3-storage-1-mppt').click()")
            .await?;
        page.wait_for_text(".notices", "cannot be computed as it stands")
            .await?;
        page.wait_until("document.querySelector('.notices a[href^=\"#option-3-\"]')")
            .await?;
        let leads = page
            .evaluate("document.querySelector(document.querySelector('.notices a').getAttribute('href')) !== null")
            .await?;
        assert_eq!(leads, true);
        let after = page
            .evaluate_with(
                "document.querySelector(given[0]).querySelector('.outcome').innerText",
                vec![FIGURES.into()],
            )
            .await?;
        assert!(
            before
                .as_str()
                .is_some_and(|before| before.contains(after.as_str().unwrap_or("?")))
        );
        page.press_with(&[Key::Control], "z").await?;
        page.wait_until(
            "!document.querySelector('.notices').innerText.includes('cannot be computed')",
        )
        .await?;
        assert_eq!(figures(page).await?, before);
        Ok(())
    });
}

#[test]
fn options_are_added_renamed_reordered_and_deleted_with_undo() {
    visit(Visit::default(), async |page| {
        let names =
            "[...document.querySelectorAll('[role=tab]')].map((tab) => tab.textContent).join('|')";
        assert_eq!(
            page.evaluate(names).await?,
            "As it stands|All on AC|Mixed joins|All on DC"
        );
        page.find(".tab-add").await?.click().await?;
        page.wait_until(&format!("{names}.endsWith('|Mixed joins 2')"))
            .await?;
        page.find(".options summary").await?.click().await?;
        fill(page, "#option-name", "Trial").await?;
        page.press(Key::Enter).await?;
        page.wait_until(&format!("{names}.endsWith('|Trial')"))
            .await?;
        page.evaluate("[...document.querySelectorAll('.options button')].find((button) => button.innerText === 'Move left').click()").await?;
        page.wait_until(&format!("{names}.endsWith('Mixed joins|Trial|All on DC')"))
            .await?;
        page.evaluate("[...document.querySelectorAll('.options button')].find((button) => button.innerText === 'Delete this option').click()").await?;
        page.wait_until(&format!(
            "{names} === 'As it stands|All on AC|Mixed joins|All on DC'"
        ))
        .await?;
        page.press_with(&[Key::Control], "z").await?;
        page.wait_until(&format!("{names}.includes('Trial')"))
            .await?;
        Ok(())
    });
}

/// Without a pointer: past the skip link to the tabs, along them, and a join moved by its menu.
#[test]
fn a_join_is_moved_by_keyboard_alone() {
    visit(Visit::default(), async |page| {
        let before = figures(page).await?;
        page.press(Key::Tab).await?;
        page.wait_until("document.activeElement.classList.contains('skip')")
            .await?;
        page.press(Key::Tab).await?;
        page.wait_until("document.activeElement.getAttribute('role') === 'tab'")
            .await?;
        page.press(Key::Right).await?;
        page.wait_until("document.querySelector('[role=tab][aria-selected=true]').textContent === 'All on DC' && document.activeElement.textContent === 'All on DC'").await?;
        page.press(Key::Left).await?;
        page.wait_until("document.querySelector('[role=tab][aria-selected=true]').textContent === 'Mixed joins'").await?;
        // Every stop has a visible name; the join of the West roof is one of them.
        for _ in 0..150 {
            page.press(Key::Tab).await?;
            let here = page
                .evaluate("[document.activeElement.id, Boolean(document.activeElement.labels?.length || document.activeElement.getAttribute('aria-label') || document.activeElement.innerText?.trim() || document.activeElement.querySelector?.('title'))]")
                .await?;
            assert_eq!(here[1], true, "a stop without a name: {here}");
            if here[0] == "option-3-array-2-join" {
                page.press(Key::Home).await?;
                page.press(Key::Enter).await?;
                break;
            }
        }
        page.wait_until("document.querySelector('#option-3-array-2-join').value === '0'")
            .await?;
        let after = figures(page).await?;
        assert_ne!(before, after);
        page.wait_for_text(FIGURES, "before the move").await?;
        Ok(())
    });
}

#[test]
fn plain_and_trade_say_the_same_numbers_in_other_words() {
    visit(Visit::default(), async |page| {
        let before = figures(page).await?;
        page.wait_for_text("#arrays-title", "SOLAR ARRAYS").await?;
        page.evaluate("[...document.querySelectorAll('.reading-level button')].find((button) => button.innerText === 'trade').click()").await?;
        page.wait_for_text(".schedules", "rated DC power").await?;
        page.wait_until(
            "[...document.querySelectorAll('.details')].every((details) => details.open)",
        )
        .await?;
        assert_eq!(figures(page).await?, before);
        page.reload().await?;
        page.wait_for_text(".schedules", "rated DC power").await?;
        Ok(())
    });
}
