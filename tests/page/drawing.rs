//! Moving a join on the drawing: with the mouse, with a finger, with keys and from the menu.

use couplet_tests::page::{Media, Outcome, Visit, Visitor, visit};
use thirtyfour::Key;

type Fallible<T> = Result<T, Box<dyn std::error::Error + Send + Sync>>;

/// The demonstration's existing array; it stands on the grid side in every option with joins of both kinds.
const SOUTH: &str = "[data-part='array-1']";
const GHOST: &str = ".drawing .ghost";

/// What a screen reader says of a part.
async fn name_of(page: &Visitor, part: &str) -> Fallible<String> {
    page.find(part).await?;
    let name = page
        .evaluate_with(
            "document.querySelector(given[0]).getAttribute('aria-label')",
            vec![part.into()],
        )
        .await?;
    Ok(name.as_str().unwrap_or_default().to_owned())
}

async fn wait_for_name(page: &Visitor, part: &str, words: &str) -> Outcome {
    page.wait_until(&format!(
        "document.querySelector({part:?})?.getAttribute('aria-label').includes({words:?})"
    ))
    .await
}

/// The point on the row of arrays over the middle of the bus that is `index` from the left.
async fn over_bus(page: &Visitor, index: usize) -> Fallible<(f64, f64)> {
    let at = page
        .evaluate_with(
            "(() => {
               const bus = document.querySelectorAll('.drawing .bus')[given[0]].getBoundingClientRect();
               const row = document.querySelector('[data-part=\"array-1\"] .handle').getBoundingClientRect();
               return [bus.x + bus.width / 2, row.y + row.height / 2];
             })()",
            vec![index.into()],
        )
        .await?;
    Ok(serde_json::from_value(at)?)
}

async fn array_is_carried_to_dc_and_back(page: &Visitor) -> Outcome {
    wait_for_name(page, SOUTH, "DC bus").await?;
    page.find(GHOST).await?;
    page.wait_for_text(".drawing-note", "from AC, grid side to DC bus")
        .await?;
    page.find(".drawing-actions button:last-child")
        .await?
        .click()
        .await?;
    wait_for_name(page, SOUTH, "joined on AC, grid side").await?;
    page.wait_until(&format!("!document.querySelector({GHOST:?})"))
        .await
}

#[test]
fn an_array_is_dragged_to_the_dc_bus_with_the_mouse_and_the_move_is_undone() {
    visit(
        Visit {
            window: (1440, 900),
            ..Visit::default()
        },
        async |page| {
            assert!(
                name_of(page, SOUTH)
                    .await?
                    .contains("joined on AC, grid side")
            );
            let from = page.middle(&format!("{SOUTH} .handle")).await?;
            page.drag_with_mouse(from, over_bus(page, 2).await?).await?;
            array_is_carried_to_dc_and_back(page).await
        },
    );
}

#[test]
fn an_array_is_dragged_to_the_dc_bus_with_a_finger_and_the_move_is_undone() {
    visit(
        Visit {
            window: (1440, 900),
            touch: true,
            ..Visit::default()
        },
        async |page| {
            let from = page.middle(&format!("{SOUTH} .handle")).await?;
            page.drag_with_finger(from, over_bus(page, 2).await?)
                .await?;
            array_is_carried_to_dc_and_back(page).await
        },
    );
}

#[test]
fn on_a_phone_a_finger_on_the_ground_scrolls_the_sheet_and_moves_no_join() {
    visit(
        Visit {
            window: (1024, 768),
            touch: true,
            ..Visit::default()
        },
        async |page| {
            page.resize(390, 844).await?;
            let (x, y) = page.middle(&format!("{SOUTH} .handle")).await?;
            // Beside the symbol and its words there is nothing but paper.
            page.drag_with_finger((x + 190.0, y), (x + 10.0, y)).await?;
            page.wait_until("document.querySelector('.drawing-frame').scrollLeft > 50")
                .await?;
            assert!(
                name_of(page, SOUTH)
                    .await?
                    .contains("joined on AC, grid side")
            );
            assert_eq!(
                page.evaluate("document.documentElement.scrollWidth <= innerWidth")
                    .await?,
                true,
                "the page itself must not scroll sideways"
            );
            Ok(())
        },
    );
}

#[test]
fn an_array_is_moved_with_keys_keeps_the_focus_and_escape_gives_up() {
    visit(Visit::default(), async |page| {
        page.ask_for(Media {
            reduced_motion: Some("reduce"),
            ..Media::default()
        })
        .await?;
        page.find(SOUTH).await?;
        page.evaluate_with(
            "document.querySelector(given[0]).focus()",
            vec![SOUTH.into()],
        )
        .await?;
        page.press(Key::Enter).await?;
        page.wait_for_text(".drawing-note", "picked up").await?;
        page.press(Key::Right).await?;
        page.wait_for_text(".drawing-note", "backed-up side")
            .await?;
        page.press(Key::Escape).await?;
        page.wait_until("!document.querySelector('.drawing .hand')")
            .await?;
        assert!(
            name_of(page, SOUTH)
                .await?
                .contains("joined on AC, grid side")
        );

        page.press(Key::Enter).await?;
        page.press(Key::Right).await?;
        page.press(Key::Right).await?;
        page.press(Key::Enter).await?;
        wait_for_name(page, SOUTH, "DC bus").await?;
        page.wait_until(&format!(
            "document.activeElement === document.querySelector({SOUTH:?})"
        ))
        .await?;
        assert_eq!(
            page.evaluate_with(
                "getComputedStyle(document.querySelector(given[0])).animationName",
                vec![SOUTH.into()]
            )
            .await?,
            "none",
            "nothing slides where less motion is asked for"
        );
        // The storage unit joins on AC only: its two places are the two sides.
        let storage = "[data-part='storage-1']";
        page.evaluate_with(
            "document.querySelector(given[0]).focus()",
            vec![storage.into()],
        )
        .await?;
        page.press(Key::Enter).await?;
        page.press(Key::Left).await?;
        page.press(Key::Enter).await?;
        wait_for_name(page, storage, "grid side").await
    });
}

#[test]
fn the_menu_offers_every_join_and_moves_an_array() {
    visit(Visit::default(), async |page| {
        page.find(SOUTH).await?;
        page.evaluate_with(
            "document.querySelector(given[0]).dispatchEvent(new MouseEvent('contextmenu', { bubbles: true, cancelable: true, clientX: 300, clientY: 200 }))",
            vec![SOUTH.into()],
        )
        .await?;
        page.wait_until("document.activeElement?.getAttribute('role') === 'menuitem'")
            .await?;
        assert_eq!(
            page.evaluate("document.querySelectorAll('.drawing-menu [role=menuitem]').length")
                .await?,
            3
        );
        page.press(Key::Down).await?;
        page.press(Key::Down).await?;
        page.press(Key::Enter).await?;
        wait_for_name(page, SOUTH, "DC bus").await
    });
}
