//! A household of one's own from six questions.

use couplet_tests::page::{Visit, visit};
use thirtyfour::Key;

#[test]
fn six_questions_give_a_household_with_figures() {
    visit(Visit::default(), async |page| {
        page.wait_until("[...document.querySelectorAll('button')].some((button) => button.innerText === 'Start your own household')").await?;
        page.evaluate("[...document.querySelectorAll('button')].find((button) => button.innerText === 'Start your own household').click()").await?;
        page.wait_until("document.querySelectorAll('#start .question').length === 6 && document.querySelector('#begin').disabled").await?;
        // Place by name, with keys alone.
        page.find("#start-place").await?.click().await?;
        page.press("lyon").await?;
        page.wait_for_text("#start-place-list [aria-selected=true]", "Lyon, France")
            .await?;
        page.press(Key::Enter).await?;
        page.wait_for_text("#start", "Lyon, France: 45.7").await?;
        // Prices are in the place's currency from now on.
        page.wait_for_text("#start", "EUR/kWh").await?;
        page.screenshot("six-questions").await?;
        page.find("#start-year").await?.click().await?;
        page.press_with(&[Key::Control], "a").await?;
        page.press("4200").await?;
        page.find("#begin").await?.click().await?;
        page.wait_until("!document.querySelector('#start')").await?;
        page.wait_for_text("#drawing", "Lyon").await?;
        page.wait_until("document.querySelector('#loads-energy_wh').value === '4200'")
            .await?;
        page.wait_until("document.querySelector('.outcomes .progress')?.textContent === ''")
            .await?;
        page.wait_for_text(".outcomes", "kWh").await?;
        page.wait_until("!document.querySelector('.notices').innerText.includes('Invented')")
            .await?;
        page.wait_for_text(".saved", "saved").await?;
        // Standard time of the place: one hour east.
        page.wait_until("document.querySelector('#site-utc_offset_h').value === '1'")
            .await
    });
}

#[test]
fn a_cabin_without_a_grid_is_started_and_served() {
    visit(Visit::default(), async |page| {
        page.wait_until("[...document.querySelectorAll('button')].some((button) => button.innerText === 'Start your own household')").await?;
        page.evaluate("[...document.querySelectorAll('button')].find((button) => button.innerText === 'Start your own household').click()").await?;
        page.find("#start-place").await?.click().await?;
        page.press("innsbruck").await?;
        page.wait_for_text("#start-place-list [aria-selected=true]", "Innsbruck")
            .await?;
        page.press(Key::Enter).await?;
        page.evaluate("(() => { const field = document.querySelector('#start-outage'); field.value = '4'; field.dispatchEvent(new Event('change', { bubbles: true })); })()")
            .await?;
        // Prices and the wish of a home with a grid give way.
        page.find("#start-generator").await?;
        page.wait_until(
            "!document.querySelector('#start-buy') && !document.querySelector('#start-wish')",
        )
        .await?;
        page.find("#begin").await?.click().await?;
        page.wait_until("!document.querySelector('#start')").await?;
        page.find("[data-part=generator]").await?;
        page.wait_for_text(".year-figures", "100.0").await?;
        page.wait_for_text(".year-figures", "Fuel").await?;
        // Nothing asks for what only a grid has.
        page.wait_until("!document.querySelector('#tariff-title') && !document.querySelector('[data-part=service]')")
            .await
    });
}
