//! The best possible: its region, the rule it proposes, and the optimum over the day.

use couplet_tests::page::{Outcome, Visit, Visitor, visit};
use thirtyfour::Key;

async fn open_option(page: &Visitor, name: &str) -> Outcome {
    page.evaluate_with(
        "[...document.querySelectorAll('[role=tab]')].find((tab) => tab.textContent === given[0]).click()",
        vec![name.into()],
    )
    .await?;
    page.wait_until(&format!(
        "document.querySelector('[role=tab][aria-selected=true]').textContent === '{name}'"
    ))
    .await
}

/// Opens the region by keyboard and waits for its answer.
async fn open_region(page: &Visitor) -> Outcome {
    page.find("#best-possible > summary").await?;
    page.evaluate("document.querySelector('#best-possible > summary').focus()")
        .await?;
    page.press(Key::Enter).await?;
    wait_for_answer(page).await
}

async fn wait_for_answer(page: &Visitor) -> Outcome {
    page.wait_until(
        "document.querySelector('.best-sentence') && document.querySelector('#best-possible').getAttribute('aria-busy') === 'false'",
    )
    .await
}

/// Shares of the table from the rule in use down, in percent.
const SHARES: &str = "[...document.querySelectorAll('#best-possible tbody tr')].slice(1).map((row) => parseFloat(row.lastElementChild.textContent))";

#[test]
fn the_best_simple_rule_can_be_used_and_undone() {
    visit(
        Visit {
            window: (1440, 1000),
            ..Visit::default()
        },
        async |page| {
            open_option(page, "All on AC").await?;
            open_region(page).await?;
            page.wait_until(&format!(
                "(([rule, simple, plan, best]) => rule > 0 && rule <= simple && simple <= 100 && plan <= 100 && best === 100)({SHARES})"
            ))
            .await?;
            page.wait_until(&format!(
                "document.querySelector('.best-sentence').textContent.includes(String({SHARES}[0]))"
            ))
            .await?;
            page.screenshot("best-possible").await?;
            let simple = page.evaluate(&format!("{SHARES}[1]")).await?;
            // Here hours of its own are best: they are told one by one, and what the best rule without them reaches.
            page.wait_until("document.querySelectorAll('.rule-hours li').length > 1")
                .await?;
            page.wait_for_text(".best-rule", "Without setting hours of your own")
                .await?;
            let own_hours = "document.querySelectorAll('.part.own-hours').length";
            let told = page
                .evaluate("document.querySelectorAll('.rule-hours li').length - 1")
                .await?;
            page.wait_until(&format!("{own_hours} === 0")).await?;
            // Keeping more for outages costs more.
            page.evaluate("document.querySelector('.best-reserves summary').click()")
                .await?;
            page.wait_until(
                "((cells) => cells.length === 5 && cells.every((cell, at) => at === 0 || cell > cells[at - 1]))([...document.querySelectorAll('.best-reserves tbody tr')].map((row) => parseFloat(row.children[1].textContent.replace(/[^0-9.]/g, ''))))",
            )
            .await?;
            page.evaluate("document.querySelector('[data-action=use-rule]').focus()")
                .await?;
            page.press(Key::Enter).await?;
            // The rule in use is now the best of those tried, and reaches what was promised.
            page.wait_until("!document.querySelector('[data-action=use-rule]')")
                .await?;
            wait_for_answer(page).await?;
            page.wait_until(&format!("{SHARES}[0] === {simple}"))
                .await?;
            // The schedule has the hours that were told.
            page.wait_until(&format!("{own_hours} === {told}")).await?;
            page.find(".undo-redo button").await?.click().await?;
            page.wait_until("document.querySelector('[data-action=use-rule]')")
                .await?;
            wait_for_answer(page).await?;
            page.wait_until(&format!("{own_hours} === 0")).await
        },
    );
}

#[test]
fn the_optimum_lies_over_the_day_while_it_is_switched_on() {
    visit(
        Visit {
            window: (1440, 1000),
            ..Visit::default()
        },
        async |page| {
            open_option(page, "All on DC").await?;
            page.find("[data-action=day-best]").await?.click().await?;
            page.wait_until("document.querySelectorAll('.day-best .swatch').length === 2")
                .await?;
            page.wait_until("/\\d/.test(document.querySelector('.day-best dd').textContent)")
                .await?;
            page.evaluate("document.querySelector('.day-details details summary').click()")
                .await?;
            let columns = "document.querySelector('.day-table tbody tr')?.children.length";
            page.wait_until(&format!("{columns} > 0")).await?;
            let with = page.evaluate(columns).await?.as_u64();
            // Every row is as long as the first.
            page.wait_until(&format!(
                "[...document.querySelectorAll('.day-table tbody tr')].every((row) => row.children.length === {columns})"
            ))
            .await?;
            page.find(".day-chart").await?.scroll_into_view().await?;
            page.screenshot("best-day").await?;
            page.find("[data-action=day-best]").await?.click().await?;
            page.wait_until("!document.querySelector('.day-best')")
                .await?;
            let without = page.evaluate(columns).await?.as_u64();
            assert_eq!(with, without.map(|columns| columns + 2));
            Ok(())
        },
    );
}

#[test]
fn it_fits_a_phone_and_is_not_offered_without_a_battery() {
    visit(
        Visit {
            window: (390, 844),
            touch: true,
            ..Visit::default()
        },
        async |page| {
            open_option(page, "Mixed joins").await?;
            open_region(page).await?;
            page.evaluate("document.querySelector('.best-simplified summary').click()")
                .await?;
            page.wait_until("document.querySelectorAll('.best-simplified li').length > 1")
                .await?;
            page.wait_until("document.documentElement.scrollWidth <= innerWidth")
                .await?;
            open_option(page, "As it stands").await?;
            page.wait_until(
                "!document.querySelector('#best-possible') && !document.querySelector('[data-action=day-best]')",
            )
            .await
        },
    );
}
