//! The drawing as files, and its call-outs in the trade reading.

use couplet_tests::page::{Outcome, Visit, Visitor, visit};
use serde_json::Value;

type Fallible<T> = Result<T, Box<dyn std::error::Error + Send + Sync>>;

/// From now on, files that the page hands out are written down in `window.files`, name and bytes, instead of being saved.
async fn catch_files(page: &Visitor) -> Outcome {
    page.evaluate(
        "(() => {
           window.files = [];
           const blobs = new Map();
           const make = URL.createObjectURL;
           URL.createObjectURL = (blob) => { const address = make(blob); blobs.set(address, blob); return address; };
           HTMLAnchorElement.prototype.click = function () {
             const name = this.download;
             blobs.get(this.href).arrayBuffer().then((bytes) => window.files.push({ name, bytes: [...new Uint8Array(bytes)] }));
           };
         })()",
    )
    .await?;
    Ok(())
}

/// Opens the menu, chooses a format, and takes the file that comes: its name and its bytes.
async fn exported(page: &Visitor, format: &str) -> Fallible<(String, Vec<u8>)> {
    page.find(&format!("[data-export={format}]")).await?;
    // What stands below the drawing may still be growing, so nothing is aimed at.
    for chosen in [
        ".drawing-export summary",
        &format!("[data-export={format}]"),
    ] {
        page.evaluate_with(
            "document.querySelector(given[0]).click()",
            vec![chosen.into()],
        )
        .await?;
    }
    page.wait_until("window.files.length > 0").await?;
    let file = page.evaluate("window.files.pop()").await?;
    let name = file["name"].as_str().unwrap_or_default().to_owned();
    Ok((name, serde_json::from_value(file["bytes"].clone())?))
}

/// Width and height of a PNG, from its first chunk.
///
/// Source: ISO/IEC 15948 (PNG), 11.2.2: the header holds both as four bytes each, after eight of the signature and eight of the chunk.
fn png_size(bytes: &[u8]) -> (u32, u32) {
    let number = |at: usize| u32::from_be_bytes(bytes[at..at + 4].try_into().expect("four bytes"));
    (number(16), number(20))
}

#[test]
fn the_drawing_is_exported_as_svg_png_and_dxf_with_the_server_gone() {
    visit(Visit::default(), async |page| {
        page.find("[role=tab]").await?.click().await?;
        page.wait_for_text("#drawing", "As it stands").await?;
        catch_files(page).await?;
        let (_, bytes) = exported(page, "svg").await?;
        let with_fonts = String::from_utf8(bytes)?;
        let faces = with_fonts.matches("data:font/woff2;base64,").count();
        assert_eq!(faces, 4, "two weights, Latin and what goes beyond it");
        assert!(!with_fonts.contains("url(\"."), "all is within the file");
        page.stop_server();

        let (name, bytes) = exported(page, "svg").await?;
        assert_eq!(name, "the-house-at-alder-ford-as-it-stands.svg");
        let text = String::from_utf8(bytes)?;
        assert!(text.starts_with("<svg "));
        assert!(text.contains("planning estimate, not a permit set"));

        let (name, bytes) = exported(page, "dxf").await?;
        assert_eq!(name, "the-house-at-alder-ford-as-it-stands.dxf");
        let text = String::from_utf8_lossy(&bytes);
        assert!(text.starts_with("  0\nSECTION\n  2\nHEADER\n  9\n$ACADVER\n  1\nAC1009\n"));
        assert!(text.ends_with("  0\nEOF\n"));

        let (name, bytes) = exported(page, "png").await?;
        assert_eq!(name, "the-house-at-alder-ford-as-it-stands.png");
        assert!(bytes.starts_with(b"\x89PNG\r\n\x1a\n"));
        // A4 in landscape at 200 dots per inch: 297 mm / 25.4 × 200 by 210 mm / 25.4 × 200.
        assert_eq!(png_size(&bytes), (2338, 1653));
        page.wait_until("document.querySelector('.drawing-export').ariaBusy === 'false'")
            .await
    });
}

#[test]
fn conductors_and_labels_are_called_out_in_the_trade_reading_alone() {
    visit(Visit::default(), async |page| {
        page.find("#drawing .part").await?;
        let tags = "document.querySelectorAll('.drawing .call-out').length";
        assert_eq!(page.evaluate(tags).await?, Value::from(0));
        page.find(".reading-level button:last-child")
            .await?
            .click()
            .await?;
        page.wait_until(&format!("{tags} > 5")).await?;
        for kind in ["circuit", "marking", "join"] {
            page.find(&format!(".drawing [data-tag={kind}]")).await?;
        }
        page.screenshot("call-outs").await?;
        page.find(".reading-level button:first-child")
            .await?
            .click()
            .await?;
        page.wait_until(&format!("{tags} === 0")).await
    });
}
