//! Money over the years: figures of one's own in place of placeholders, what stands as it is, incentives, narrow screens.

use couplet_tests::page::{Media, Outcome, Visit, Visitor, visit};
use thirtyfour::Key;

const BATTERY: &str = "option-4-storage-1-battery_first_cur";

/// Opens the region and waits until it has been reckoned.
async fn open(page: &Visitor) -> Outcome {
    page.find("#money > summary").await?;
    page.evaluate("document.querySelector('#money > summary').focus()")
        .await?;
    page.press(Key::Enter).await?;
    settled(page).await
}

async fn settled(page: &Visitor) -> Outcome {
    page.wait_until(
        "document.querySelector('#money .money-years') && document.querySelector('#money').getAttribute('aria-busy') === 'false'",
    )
    .await
}

async fn open_option(page: &Visitor, name: &str) -> Outcome {
    page.evaluate_with(
        "[...document.querySelectorAll('[role=tab]')].find((tab) => tab.textContent === given[0]).click()",
        vec![name.into()],
    )
    .await?;
    settled(page).await
}

/// The figure beside these words.
fn outcome(words: &str) -> String {
    format!(
        "[...document.querySelectorAll('#money .day-entry')].find((entry) => entry.querySelector('dt').textContent === '{words}')?.querySelector('dd').textContent"
    )
}

/// The cells of a row of the year table, from its year on.
fn year(row: usize) -> String {
    format!(
        "[...document.querySelectorAll('#money .money-years tbody tr')[{row}].children].map((cell) => cell.textContent)"
    )
}

#[test]
fn a_figure_of_ones_own_takes_the_place_of_a_placeholder_and_can_be_taken_back() {
    visit(
        Visit {
            window: (1440, 1000),
            ..Visit::default()
        },
        async |page| {
            open(page).await?;
            open_option(page, "All on DC").await?;
            let mark = format!(
                "document.getElementById('{BATTERY}').closest('.money-figure').dataset.state"
            );
            assert_eq!(page.evaluate(&mark).await?, "placeholder");
            page.wait_until("document.querySelector('#money .money-held')")
                .await?;
            page.wait_until("document.querySelector('#money .money-caution').textContent.includes('Nothing here is promised')")
                .await?;
            let cost = page.evaluate(&outcome("to buy")).await?;
            page.evaluate(&format!("document.getElementById('{BATTERY}').focus()"))
                .await?;
            page.press_with(&[Key::Control], "a").await?;
            page.press("1234.5").await?;
            page.press(Key::Enter).await?;
            page.wait_until(&format!("{mark} !== 'placeholder'"))
                .await?;
            page.wait_until(&format!("({}) !== {cost}", outcome("to buy")))
                .await?;
            settled(page).await?;
            // Year 0 holds what is bought and nothing else; the last cell before what is left is the sum.
            let start = page.evaluate(&year(0)).await?;
            let typed: String = start[1].as_str().unwrap_or_default().to_owned();
            assert!(typed.ends_with("34.50"), "{start}");
            page.screenshot("money-wide").await?;
            page.ask_for(Media {
                color_scheme: Some("dark"),
                ..Media::default()
            })
            .await?;
            page.screenshot("money-dark").await?;
            page.evaluate(&format!(
                "document.getElementById('{BATTERY}').closest('.money-figure').querySelector('.remove').click()"
            ))
            .await?;
            page.wait_until(&format!("{mark} === 'placeholder'"))
                .await?;
            page.wait_until(&format!("({}) === {cost}", outcome("to buy")))
                .await
        },
    );
}

#[test]
fn as_it_stands_has_bills_and_no_payback() {
    visit(Visit::default(), async |page| {
        open(page).await?;
        open_option(page, "As it stands").await?;
        page.wait_until("document.querySelector('#money .money-reference')")
            .await?;
        page.wait_until("!document.querySelector('#money .money-caution, #money .money-unknowns, #money .money-picture')")
            .await?;
        let first = page.evaluate(&year(1)).await?;
        assert_eq!(first[1], first[2], "{first}");
        Ok(())
    });
}

#[test]
fn an_incentive_begins_with_nothing_and_counts_when_it_is_typed() {
    visit(Visit::default(), async |page| {
        open(page).await?;
        open_option(page, "All on AC").await?;
        page.evaluate("document.querySelector('.money-terms').open = true")
            .await?;
        page.evaluate("document.querySelector('.money-terms > .add').click()")
            .await?;
        page.wait_until("document.getElementById('finance-incentive-0-fixed_cur')")
            .await?;
        settled(page).await?;
        assert!(page.evaluate(&outcome("given by others")).await?.is_null());
        page.evaluate("document.getElementById('finance-incentive-0-fixed_cur').focus()")
            .await?;
        page.press_with(&[Key::Control], "a").await?;
        page.press("1500").await?;
        page.press(Key::Enter).await?;
        page.wait_until(&format!(
            "({})?.includes('1,500')",
            outcome("given by others")
        ))
        .await
    });
}

#[test]
fn on_a_phone_the_page_stays_as_wide_as_the_screen() {
    visit(
        Visit {
            touch: true,
            ..Visit::default()
        },
        async |page| {
            page.resize(390, 800).await?;
            open(page).await?;
            open_option(page, "All on DC").await?;
            page.evaluate(
                "document.querySelectorAll('#money details').forEach((one) => one.open = true)",
            )
            .await?;
            // The bar that scrolls takes its share of the screen.
            let widths = page
                .evaluate("[innerWidth, document.documentElement.scrollWidth - document.documentElement.clientWidth]")
                .await?;
            assert_eq!(widths, serde_json::json!([390, 0]));
            // No mark lies over a number.
            page.wait_until(
                "[...document.querySelectorAll('#money .money-figure')].every((figure) => { const mark = figure.querySelector('.placeholder, .remove').getBoundingClientRect(), input = figure.querySelector('input').getBoundingClientRect(); return mark.left >= input.right || mark.top >= input.bottom; })",
            )
            .await?;
            page.screenshot("money-phone").await
        },
    );
}
