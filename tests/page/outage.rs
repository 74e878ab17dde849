//! Without the grid: drills by keyboard and by touch, survival, an off-grid household.

use couplet_tests::page::{Media, Outcome, Visit, Visitor, visit};
use thirtyfour::Key;

use crate::editing::wait_for_figures;

/// Waits until the drill that was asked for is shown.
async fn wait_for_drill(page: &Visitor) -> Outcome {
    page.wait_until(
        "document.querySelector('#drills .drill-head') && document.querySelector('.drill-result').getAttribute('aria-busy') === 'false'",
    )
    .await
}

async fn open(page: &Visitor, region: &str) -> Outcome {
    page.find(&format!("#{region} > summary")).await?;
    page.evaluate_with(
        "document.querySelector(given[0]).focus()",
        vec![format!("#{region} > summary").into()],
    )
    .await?;
    page.press(Key::Enter).await?;
    page.wait_until(&format!("document.querySelector('#{region}').open"))
        .await
}

/// The option with PV on the backed-up side, everything on AC.
async fn open_all_on_ac(page: &Visitor) -> Outcome {
    page.evaluate("[...document.querySelectorAll('[role=tab]')].find((tab) => tab.textContent === 'All on AC').click()")
        .await?;
    page.wait_until(
        "document.querySelector('[role=tab][aria-selected=true]').textContent === 'All on AC'",
    )
    .await
}

#[test]
fn a_drill_is_run_by_keyboard_and_its_events_move_the_cursor() {
    visit(
        Visit {
            window: (1440, 1000),
            ..Visit::default()
        },
        async |page| {
            open(page, "drills").await?;
            page.evaluate("document.querySelector('[data-preset=full]').focus()")
                .await?;
            page.press(Key::Enter).await?;
            wait_for_drill(page).await?;
            page.wait_until("document.querySelectorAll('.drill-event').length > 0")
                .await?;
            page.wait_until("document.querySelectorAll('.drill-marks span').length > 0")
                .await?;
            // The chart is painted: it holds more than one colour.
            page.wait_until(
                "(() => { const canvas = document.querySelector('.drill-plot canvas'); const data = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height).data; return new Set(new Uint32Array(data.buffer)).size > 3; })()",
            )
            .await?;
            let before = page
                .evaluate("document.querySelector('#drawing .title-field:nth-of-type(3)')?.textContent ?? document.querySelector('#drawing').innerText")
                .await?;
            page.evaluate("document.querySelector('#drills').scrollIntoView()")
                .await?;
            page.screenshot("drill-region").await?;
            page.evaluate("[...document.querySelectorAll('.drill-event')].at(-1).focus()")
                .await?;
            page.press(Key::Enter).await?;
            page.wait_until(
                "[...document.querySelectorAll('.drill-event')].at(-1).getAttribute('aria-current') === 'true'",
            )
            .await?;
            page.wait_until(
                "document.querySelector('#drawing svg').textContent.includes('drill, ')",
            )
            .await?;
            let after = page
                .evaluate("document.querySelector('#drawing svg').textContent")
                .await?;
            assert_ne!(before, after);
            // The slider goes on by keys.
            page.evaluate("document.querySelector('.drill-plot .slide').focus()")
                .await?;
            page.press(Key::Home).await?;
            page.wait_until(
                "document.querySelector('.drill-plot .slide').getAttribute('aria-valuenow') === '0'",
            )
            .await?;
            page.screenshot("drill-wide").await?;
            page.ask_for(Media {
                color_scheme: Some("dark"),
                ..Media::default()
            })
            .await?;
            page.evaluate("document.querySelector('#drills').scrollIntoView()")
                .await?;
            page.screenshot("drill-dark").await
        },
    );
}

#[test]
fn a_drill_is_run_by_touch_on_a_phone_and_nothing_runs_over_the_edge() {
    visit(
        Visit {
            window: (390, 844),
            touch: true,
            ..Visit::default()
        },
        async |page| {
            // On a phone figures and verdicts stand above: they are there before the thumb is put down.
            wait_for_figures(page).await?;
            page.wait_until("document.querySelectorAll('.verdicts li').length > 2")
                .await?;
            page.evaluate(
                "document.querySelector('#drills > summary').scrollIntoView({ block: 'center', behavior: 'instant' })",
            )
            .await?;
            page.tap("#drills > summary").await?;
            page.wait_until("document.querySelector('#drill-run')")
                .await?;
            page.evaluate(
                "document.querySelector('#drill-run').scrollIntoView({ block: 'center', behavior: 'instant' })",
            )
            .await?;
            page.tap("#drill-run").await?;
            wait_for_drill(page).await?;
            page.wait_until("document.documentElement.scrollWidth <= innerWidth")
                .await?;
            page.evaluate("document.querySelector('#drills').scrollIntoView()")
                .await?;
            page.screenshot("drill-phone").await?;
            page.resize(820, 1180).await?;
            page.wait_until("document.documentElement.scrollWidth <= innerWidth")
                .await?;
            page.screenshot("drill-tablet").await
        },
    );
}

#[test]
fn a_schedule_field_changes_what_a_drill_comes_to() {
    visit(
        Visit {
            window: (1440, 1000),
            ..Visit::default()
        },
        async |page| {
            open_all_on_ac(page).await?;
            open(page, "drills").await?;
            page.evaluate("document.querySelector('[data-preset=full]').click()")
                .await?;
            wait_for_drill(page).await?;
            let figures = "document.querySelector('.drill-figures').innerText + document.querySelector('.drill-events').innerText";
            let before = page.evaluate(figures).await?;
            // A contactor in place of frequency for every inverter on the backed-up side.
            page.evaluate(
                "[...document.querySelectorAll('select[id$=-island]')].forEach((field) => { field.value = '2'; field.dispatchEvent(new Event('change', { bubbles: true })); })",
            )
            .await?;
            page.wait_until("document.querySelector('input[id$=-open_soc]')")
                .await?;
            wait_for_drill(page).await?;
            page.wait_for_text(".drill-events", "contactor").await?;
            let after = page.evaluate(figures).await?;
            assert_ne!(before, after, "a contactor changes nothing");
            page.screenshot("drill-contactor").await
        },
    );
}

#[test]
fn outage_survival_appears_is_marked_stale_and_renewed() {
    visit(
        Visit {
            window: (1440, 1000),
            ..Visit::default()
        },
        async |page| {
            open(page, "survival").await?;
            page.wait_until("document.querySelectorAll('#survival table tbody tr').length === 5")
                .await?;
            page.wait_until(
                "document.querySelector('#survival').getAttribute('aria-busy') === 'false'",
            )
            .await?;
            let table = "document.querySelector('#survival table').innerText";
            let as_run = page.evaluate(table).await?;
            page.evaluate("(() => { window.seen = new Set(); new MutationObserver(() => seen.add(document.querySelector('#survival').getAttribute('aria-busy'))).observe(document.querySelector('#survival'), { attributes: true }); })()")
                .await?;
            page.evaluate("(() => { const start = document.querySelector('#survival-start'); start.value = '4'; start.dispatchEvent(new Event('change', { bubbles: true })); })()")
                .await?;
            page.wait_until("seen.has('true') && seen.has('false')")
                .await?;
            let nearly_empty = page.evaluate(table).await?;
            assert_ne!(as_run, nearly_empty, "an empty battery lasts as long");
            page.evaluate("document.querySelector('#survival').scrollIntoView()")
                .await?;
            page.screenshot("survival-wide").await
        },
    );
}

#[test]
fn an_off_grid_household_has_no_utility_and_a_generator_is_drawn() {
    visit(
        Visit {
            window: (1440, 1000),
            ..Visit::default()
        },
        async |page| {
            page.find("[data-part=service]").await?;
            page.evaluate("(() => { const field = document.querySelector('#service-utility'); field.value = '1'; field.dispatchEvent(new Event('change', { bubbles: true })); })()")
                .await?;
            page.wait_until("!document.querySelector('[data-part=service]') && !document.querySelector('[data-part=transfer]')")
                .await?;
            page.wait_until("document.querySelectorAll('#off-grid dd').length > 5")
                .await?;
            // Its year is told as that of a household with a grid, in figures of its own.
            page.wait_for_text(".year-figures", "Served").await?;
            page.wait_for_text(".compare", "Fuel").await?;
            page.wait_until("!document.querySelector('.year-figures').innerText.includes('Bought') && !document.querySelector('#bills')")
                .await?;
            page.evaluate("[...document.querySelectorAll('button')].find((button) => button.innerText === 'Add a generator').click()")
                .await?;
            page.find("[data-part=generator]").await?;
            page.wait_for_text("#off-grid", "generator").await?;
            page.screenshot("off-grid-wide").await?;
            page.press_with(&[Key::Control], "z").await?;
            page.press_with(&[Key::Control], "z").await?;
            page.find("[data-part=service]").await?;
            Ok(())
        },
    );
}

/// The demonstration without a grid: day, year and comparison are there, and nothing of them speaks of a grid.
#[test]
fn day_year_and_comparison_of_an_off_grid_household_show_what_is_dark() {
    visit(
        Visit {
            window: (1440, 1000),
            ..Visit::default()
        },
        async |page| {
            page.find("[data-part=service]").await?;
            page.evaluate("(() => { const field = document.querySelector('#service-utility'); field.value = '1'; field.dispatchEvent(new Event('change', { bubbles: true })); })()")
                .await?;
            page.wait_for_text(".year-figures", "Served").await?;
            // The figures say so themselves: on AC alone the bus goes dark and stays so.
            page.evaluate("[...document.querySelectorAll('.compare-open')].find((button) => button.innerText === 'All on AC').click()")
                .await?;
            page.wait_for_text("#off-grid", "stayed dark").await?;
            let quantities = page
                .evaluate("[...document.querySelectorAll('.year-strip select option')].map((option) => option.innerText).join()")
                .await?;
            assert_eq!(
                quantities,
                "PV used,Generator,Not served,Dark,PV throttled,Stored energy"
            );
            page.evaluate("(() => { const field = document.querySelector('.year-strip select'); field.value = 'Dark'; field.dispatchEvent(new Event('change', { bubbles: true })); })()")
                .await?;
            page.wait_for_text(".year-strip-day", "h dark").await?;
            // The last day of the year.
            page.evaluate("document.querySelector('.year-strip [role=slider]').focus()")
                .await?;
            page.press(Key::End).await?;
            page.wait_for_text("#day-heading", "31 December").await?;
            page.wait_for_text(".year-strip-day", "24.0\u{a0}h dark")
                .await?;
            page.wait_for_text(".day-power", "dark").await?;
            page.wait_for_text(".day-readout", "not served").await?;
            page.wait_until("document.querySelectorAll('.day-lane rect').length === 1")
                .await?;
            page.evaluate("document.querySelector('.day-details details').open = true")
                .await?;
            page.wait_for_text(".day-table", "dark").await?;
            let heads = page
                .evaluate("document.querySelector('.day-table thead').innerText")
                .await?;
            let heads = heads.as_str().unwrap_or_default();
            assert!(
                !heads.contains("buy") && !heads.contains("bought"),
                "{heads}"
            );
            page.screenshot("off-grid-day").await?;
            // With the grid back the strip shows what it can.
            page.press_with(&[Key::Control], "z").await?;
            page.wait_for_text(".year-figures", "Bought").await?;
            page.wait_until("document.querySelector('.year-strip select').value === 'PV used'")
                .await
        },
    );
}

#[test]
fn own_settings_of_a_grid_code_open_their_numbers_and_are_checked() {
    visit(Visit::default(), async |page| {
        page.evaluate("[...document.querySelectorAll('.reading-level button')].find((button) => button.innerText === 'trade').click()")
            .await?;
        page.wait_until("document.querySelector('select[id$=-grid_code]')")
            .await?;
        page.evaluate("(() => { const field = document.querySelector('select[id$=-grid_code]'); field.value = '10'; field.dispatchEvent(new Event('change', { bubbles: true })); })()")
            .await?;
        page.wait_until("document.querySelector('input[id$=-over_near-at_hz]')")
            .await?;
        // A near trip above the far one contradicts itself; the notice leads to the field.
        page.evaluate("(() => { const field = document.querySelector('input[id$=-over_near-at_hz]'); field.focus(); field.select(); })()")
            .await?;
        page.press("63").await?;
        page.press(Key::Enter).await?;
        page.wait_for_text(".notices", "farther over-frequency trip")
            .await?;
        page.wait_until("(() => { const link = [...document.querySelectorAll('.notices a')].find((link) => link.getAttribute('href').endsWith('over_far-at_hz')); return link && document.querySelector(link.getAttribute('href')); })()")
            .await?;
        page.screenshot("own-settings").await
    });
}

#[test]
fn export_control_tells_what_each_way_of_limiting_lets_through_and_loses() {
    visit(
        Visit {
            window: (1440, 1000),
            ..Visit::default()
        },
        async |page| {
            open(page, "export-control").await?;
            page.wait_until(
                "document.querySelectorAll('#export-control table tbody tr').length === 4",
            )
            .await?;
            let row = async |number: u32| {
                page.evaluate(&format!(
                    "document.querySelectorAll('#export-control table tbody tr')[{number}].innerText"
                ))
                .await
            };
            assert_ne!(
                row(1)
                    .await?
                    .as_str()
                    .map(|row| row.split('\t').skip(1).collect::<String>()),
                row(2)
                    .await?
                    .as_str()
                    .map(|row| row.split('\t').skip(1).collect::<String>()),
                "a command changes nothing"
            );
            page.evaluate(
                "document.querySelector('#export-control').scrollIntoView({ behavior: 'instant' })",
            )
            .await?;
            page.screenshot("export-wide").await?;
            // Without a limit there is nothing to hold.
            page.evaluate("(() => { const field = document.querySelector('#service-export'); field.value = '0'; field.dispatchEvent(new Event('change', { bubbles: true })); })()")
                .await?;
            page.wait_until("!document.querySelector('#export-control')")
                .await
        },
    );
}
