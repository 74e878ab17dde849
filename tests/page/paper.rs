//! On paper: the report and the page itself on A4 and Letter.

use couplet_core::coupling::{CouplingOption, Generator, GridCode};
use couplet_core::document::{demo, write};
use couplet_core::household::{ArrayId, Household, PvInverterId, StorageId, Supply};
use couplet_tests::page::{Media, Outcome, Visit, Visitor, visit};
use serde_json::{Value, json};
use thirtyfour::Key;

use crate::keeping::give_file;
use crate::printed::{PrintedPage, assert_printed_whole, print};

/// Points of paper: 1/72 inch.
const A4: (f64, f64) = (595.0, 842.0);
const LETTER: (f64, f64) = (612.0, 792.0);

fn is(page: &PrintedPage, paper: (f64, f64)) -> bool {
    (page.width - paper.0).abs() < 2.0 && (page.height - paper.1).abs() < 2.0
}

/// Opens the report of the option that is open, by keyboard.
async fn open_report(page: &Visitor) -> Outcome {
    page.wait_until("document.querySelector('.outcomes')?.innerText.includes('kWh')")
        .await?;
    page.evaluate("document.querySelector('#open-report').focus()")
        .await?;
    page.press(Key::Enter).await?;
    page.wait_until("document.querySelector('#report-title')")
        .await?;
    page.wait_until("document.querySelector('#report-findings ~ div table tbody tr')")
        .await
}

/// Waits until nothing of the report is being computed any more.
async fn wait_for_all(page: &Visitor) -> Outcome {
    page.wait_until("document.querySelector('#report-waiting').innerText.startsWith('Everything') && !document.querySelector('.report-waiting')")
        .await
}

/// Elements that reach over the right edge of the sheet on which they stand.
const TOO_WIDE: &str = "[...document.querySelectorAll('.report-part')].flatMap((part) => {
    const edge = part.getBoundingClientRect().right + 1;
    return [...part.querySelectorAll('*')]
      .filter((element) => element.getBoundingClientRect().width > 0 && element.getBoundingClientRect().right > edge)
      .map((element) => `${part.dataset.section}: ${element.tagName} ${element.className} ${element.textContent.slice(0, 40)}`);
  })";

async fn choose(page: &Visitor, paper: &str) -> Outcome {
    page.evaluate_with(
        "document.querySelector(`[name=report-paper][value=${given[0]}]`).click()",
        vec![paper.into()],
    )
    .await?;
    page.wait_until(&format!(
        "document.querySelector('.report').dataset.paper === '{}'",
        paper.to_lowercase()
    ))
    .await
}

#[test]
fn the_report_fits_a4_and_letter_with_the_drawing_on_a_landscape_page_of_its_own() {
    visit(
        Visit {
            window: (1280, 900),
            ..Visit::default()
        },
        async |page| {
            open_report(page).await?;
            for (name, paper, inch) in [("A4", A4, (8.27, 11.69)), ("Letter", LETTER, (8.5, 11.0))]
            {
                choose(page, name).await?;
                wait_for_all(page).await?;
                let pages = print(page, inch).await?;
                assert!(
                    (6..40).contains(&pages.len()),
                    "{name}: {} pages",
                    pages.len()
                );
                let landscape: Vec<usize> = (0..pages.len())
                    .filter(|number| is(&pages[*number], (paper.1, paper.0)))
                    .collect();
                assert_eq!(landscape, [1], "{name}");
                let upright = pages.iter().filter(|page| is(page, paper)).count();
                assert_eq!(upright, pages.len() - 1, "{name}");
                assert_printed_whole(page, &pages, name).await?;
                page.ask_for(Media {
                    medium: Some("print"),
                    ..Media::default()
                })
                .await?;
                assert_eq!(page.evaluate(TOO_WIDE).await?, json!([]), "{name}");
                page.screenshot(&format!("report-{name}")).await?;
                page.ask_for(Media::default()).await?;
            }
            // What is left out is not printed: without the sheet no page is landscape.
            page.evaluate(
                "document.querySelector('.report-sections [data-section=sheet]').click()",
            )
            .await?;
            page.wait_until("!document.querySelector('#report-sheet')")
                .await?;
            let upright = print(page, (8.5, 11.0)).await?;
            assert!(upright.iter().all(|page| is(page, LETTER)));
            // Back on the desk, the focus is where it was.
            page.evaluate("document.querySelector('#report-back').focus()")
                .await?;
            page.press(Key::Enter).await?;
            page.wait_until(
                "!document.querySelector('#report') && document.activeElement.id === 'open-report'",
            )
            .await
        },
    );
}

#[test]
fn the_report_tells_household_drill_parts_and_cautions_and_hands_the_parts_out() {
    visit(
        Visit {
            window: (1280, 900),
            ..Visit::default()
        },
        async |page| {
            page.evaluate("(window.files = [], (make => { URL.createObjectURL = (blob) => { blob.text().then((text) => window.files.push(text)); return make(blob); }; })(URL.createObjectURL))")
                .await?;
            page.evaluate("document.querySelector('#drills > summary').click()")
                .await?;
            page.wait_until("document.querySelector('[data-preset=full]')")
                .await?;
            page.evaluate("document.querySelector('[data-preset=full]').click()")
                .await?;
            page.wait_until("document.querySelector('#drills .drill-head') && document.querySelector('.drill-result').getAttribute('aria-busy') === 'false'")
                .await?;
            open_report(page).await?;
            for section in [
                "summary",
                "sheet",
                "schedules",
                "parts",
                "findings",
                "year",
                "best",
                "outage",
                "survival",
                "cost",
                "assumptions",
                "cautions",
            ] {
                page.wait_until(&format!("document.querySelector('#report-{section}')"))
                    .await?;
            }
            page.wait_for_text(".report-part[data-section=outage]", "What happened")
                .await?;
            page.wait_for_text(".report-part[data-section=cautions]", "live in daylight")
                .await?;
            page.wait_for_text(
                ".report-part[data-section=assumptions]",
                "Defaults in force",
            )
            .await?;
            page.evaluate("document.querySelector('#parts-csv').click()")
                .await?;
            page.wait_until("window.files.length === 1").await?;
            let file = page.evaluate("window.files[0]").await?;
            let file = file.as_str().unwrap_or_default();
            assert!(
                file.starts_with("kind,state,quantity,unit,description,place,open\r\n"),
                "{file}"
            );
            let shown = page
                .evaluate(
                    "document.querySelectorAll('.report-part[data-section=parts] tbody tr').length",
                )
                .await?;
            let lines = file.matches("\r\n").count() - 1;
            assert_eq!(shown, Value::from(lines), "{file}");
            Ok(())
        },
    );
}

#[test]
fn a_drill_prints_whole_beside_the_landscape_drawing() {
    visit(
        Visit {
            window: (1440, 1000),
            ..Visit::default()
        },
        async |page| {
            page.evaluate("document.querySelector('#drills > summary').click()")
                .await?;
            page.wait_until("document.querySelector('[data-preset=full]')")
                .await?;
            page.evaluate("document.querySelector('[data-preset=full]').click()")
                .await?;
            page.wait_until("document.querySelectorAll('.drill-event').length > 3")
                .await?;
            page.ask_for(Media {
                medium: Some("print"),
                ..Media::default()
            })
            .await?;
            // 184 mm: the narrower of both papers without its margins.
            let over = page
                .evaluate(
                    "(() => {
                       const left = document.querySelector('#drills').getBoundingClientRect().left;
                       const edge = left + 184 / 25.4 * 96 + 1;
                       return [...document.querySelectorAll('#drills *')]
                         .filter((element) => element.getBoundingClientRect().width > 0 && !element.closest('.drill-marks, .spoken') && element.getBoundingClientRect().right > edge)
                         .map((element) => `${element.tagName} ${element.className}`);
                     })()",
                )
                .await?;
            assert_eq!(over, json!([]));
            // Nothing of the list is hidden in a scrolling box.
            page.wait_until(
                "(() => { const list = document.querySelector('.drill-events'); return list.scrollHeight <= list.clientHeight + 1; })()",
            )
            .await
        },
    );
}

#[test]
fn on_a_phone_neither_the_report_nor_a_menu_runs_over_the_edge() {
    visit(
        Visit {
            window: (390, 844),
            touch: true,
            ..Visit::default()
        },
        async |page| {
            // A window of the desktop is never this narrow by itself.
            page.resize(390, 844).await?;
            let fits =
                "document.documentElement.scrollWidth <= document.documentElement.clientWidth";
            for menu in [".options > .menu", ".bar-tools .menu"] {
                page.tap(&format!("{menu} > summary")).await?;
                page.wait_until(&format!(
                    "document.querySelector('{menu}').open && (({{ left, right }}) => left >= 0 && right <= innerWidth)(document.querySelector('{menu} .menu-sheet').getBoundingClientRect())"
                ))
                .await?;
                page.wait_until(fits).await?;
                page.tap(&format!("{menu} > summary")).await?;
            }
            open_report(page).await?;
            page.wait_until(fits).await?;
            page.screenshot("report-phone").await
        },
    );
}

/// The demonstration with its third option open.
fn with_last(change: impl FnOnce(&mut Household)) -> Household {
    let mut household = demo();
    household.options.truncate(3);
    change(&mut household);
    household
}

/// The option with three storage units and six arrays under long names.
fn long(option: &mut CouplingOption) {
    let first = option.clone();
    for copy in 1..3 {
        let by = 100 * copy;
        option
            .storage
            .extend(first.storage.iter().cloned().map(|mut unit| {
                unit.id = StorageId(unit.id.0 + by);
                unit.name = format!("Storage in the cellar below the summer kitchen {copy}");
                unit
            }));
        option
            .pv_inverters
            .extend(first.pv_inverters.iter().cloned().map(|mut inverter| {
                inverter.id = PvInverterId(inverter.id.0 + by);
                inverter
            }));
        option
            .arrays
            .extend(first.arrays.iter().cloned().map(|mut array| {
                array.id = ArrayId(array.id.0 + by);
                array.name = format!("Shed roof behind the hazel hedge {copy}");
                array.pv_inverter = PvInverterId(array.pv_inverter.0 + by);
                array.dc_unit = array.dc_unit.map(|unit| StorageId(unit.0 + by));
                array
            }));
    }
    option.arrays.truncate(6);
}

/// Households that are drawn and told in other ways: off the grid with a generator, by the IEC on three phases, with nothing standing
/// yet, and a long one.
#[test]
fn reports_of_other_households_are_printed_whole() {
    let off_grid = with_last(|household| {
        household.service.utility = false;
        if let Some(option) = household.options.last_mut() {
            option.generator = Some(Generator::generic("Generator".to_owned(), 6000.0));
        }
    });
    let three_phase = with_last(|household| {
        household.service.supply = Supply::ThreePhase230V400V50Hz;
        household.service.main_breaker_a = 63.0;
        // The codes of the demonstration are of 60 Hz.
        let inverters = household.options.iter_mut();
        for inverter in inverters.flat_map(|option| &mut option.pv_inverters) {
            inverter.grid_code = GridCode::NotKnown;
        }
    });
    let empty = with_last(|household| {
        household.options.truncate(1);
        if let Some(option) = household.options.first_mut() {
            option.arrays.clear();
            option.pv_inverters.clear();
        }
    });
    let long = with_last(|household| household.options.last_mut().map_or((), long));
    for (name, household) in [
        ("off grid", off_grid),
        ("three phases", three_phase),
        ("empty", empty),
        ("long", long),
    ] {
        let file = write(&household);
        visit(
            Visit {
                window: (1280, 900),
                ..Visit::default()
            },
            async |page| {
                page.find("#open-report").await?;
                give_file(page, "import-file", "home.json", &file).await?;
                let title = format!(
                    "document.querySelector('#drawing svg')?.ariaLabel?.includes({})",
                    json!(household.options.last().map(|option| &option.name))
                );
                page.wait_until(&title).await?;
                page.evaluate("document.querySelector('#open-report').click()")
                    .await?;
                page.wait_until("document.querySelector('#report-findings ~ div table tbody tr')")
                    .await?;
                choose(page, "A4").await?;
                wait_for_all(page).await?;
                assert_printed_whole(page, &print(page, (8.27, 11.69)).await?, name).await
            },
        );
    }
}
