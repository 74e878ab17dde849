//! From the gesture to every figure on the screen, in headless Chromium: an array is picked up, carried to the next join and set
//! down by keyboard; the time runs from setting it down until drawing, day, year, outcomes and side-by-side table are all
//! renewed and painted. The demonstration household, the release build or the folder in `COUPLET_PAGE_DIR`.

use std::io::Write;

use couplet_tests::page::{Visit, visit};

const MOVES: usize = 60;

/// Sets an array on the join to the right or left (`given[0]`: the arrow key) and resolves to the time in ms.
const MOVE: &str = r#"new Promise((resolve, reject) => {
    const frame = () => new Promise(requestAnimationFrame);
    const press = (key) => {
        const part = document.querySelector(given[1]);
        part.focus();
        part.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true, cancelable: true }));
    };
    const renewed = () => !document.querySelector('[data-stale="true"], [aria-busy="true"], [data-state="stale"], [data-state="waiting"]');
    const figures = () => document.querySelector(".outcomes").innerText;
    (async () => {
        press("Enter");
        await frame();
        press(given[0]);
        await frame();
        await frame();
        const before = figures();
        const start = performance.now();
        press("Enter");
        do {
            await frame();
            if (performance.now() - start > 10000) throw new Error("the figures were not renewed");
        } while (!renewed() || figures() === before);
        // A message sent from a frame's callback comes after that frame has been laid out and painted.
        await new Promise((painted) => {
            const channel = new MessageChannel();
            channel.port1.onmessage = painted;
            channel.port2.postMessage(null);
        });
        resolve(performance.now() - start);
    })().catch(reject);
})"#;

fn main() {
    visit(Visit::default(), async |page| {
        page.wait_for_start().await?;
        page.wait_until("document.querySelector('.outcomes')?.innerText.includes('kWh')")
            .await?;
        page.wait_until("!document.querySelector('[data-stale=\"true\"], [aria-busy=\"true\"], [data-state=\"stale\"]')").await?;
        let mut times_ms = Vec::with_capacity(MOVES);
        for number in 0..MOVES {
            let key = if number % 2 == 0 {
                "ArrowRight"
            } else {
                "ArrowLeft"
            };
            let part = "[data-part=\"array-3\"]";
            let time_ms = page
                .evaluate_with(MOVE, vec![key.into(), part.into()])
                .await?;
            times_ms.push(time_ms.as_f64().ok_or("a time is a number")?);
        }
        times_ms.sort_by(f64::total_cmp);
        let at = |share: usize| times_ms[(times_ms.len() * share / 100).min(times_ms.len() - 1)];
        writeln!(
            std::io::stdout(),
            "gesture to figures, {MOVES} moves, ms: least {:.1}, middle {:.1}, 95th percentile {:.1}, most {:.1}",
            times_ms[0],
            at(50),
            at(95),
            times_ms[times_ms.len() - 1]
        )?;
        Ok(())
    });
}
