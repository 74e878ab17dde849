//! Contrast of the colours that are used together, computed from what the browser makes of `app/style/tokens.css`.
//!
//! Source: WCAG 2.2, success criteria 1.4.3 (text, 4.5:1) and 1.4.11 (parts of the interface, 3:1), with the definitions of relative
//! luminance and contrast ratio in its glossary.

use couplet_tests::assert_near;
use couplet_tests::page::{Media, Visit, Visitor, visit};

/// Text, and the paths of the drawing that carry numbers, on everything they stand on.
const TEXT: [(&str, &[&str]); 7] = [
    (
        "--ink",
        &[
            "--paper",
            "--sheet",
            "--shade",
            "--ac-tint",
            "--dc-tint",
            "--load",
            "--grid",
            "--lost",
        ],
    ),
    (
        "--ink-soft",
        &["--paper", "--sheet", "--shade", "--ac-tint", "--dc-tint"],
    ),
    ("--ac", &["--paper", "--sheet", "--shade", "--ac-tint"]),
    ("--dc", &["--paper", "--sheet", "--shade", "--dc-tint"]),
    ("--breaks", &["--paper", "--sheet", "--shade"]),
    ("--watch", &["--paper", "--sheet", "--shade"]),
    ("--holds", &["--paper", "--sheet", "--shade"]),
];
const ON_AREAS: [(&str, &[&str]); 1] = [("--on-area", &["--ac", "--dc", "--storage", "--breaks"])];
const PARTS: [(&str, &[&str]); 3] = [
    ("--edge", &["--paper", "--sheet"]),
    ("--focus", &["--paper", "--sheet", "--shade"]),
    ("--storage", &["--paper", "--sheet"]),
];

async fn check(
    page: &Visitor,
    theme: &str,
) -> Result<(), Box<dyn std::error::Error + Send + Sync>> {
    for (pairs, least) in [(&TEXT[..], 4.5), (&ON_AREAS[..], 4.5), (&PARTS[..], 3.0)] {
        for (front, backs) in pairs {
            for back in *backs {
                let ratio = contrast(colour(page, front).await?, colour(page, back).await?);
                assert!(
                    ratio >= least,
                    "{theme}: {front} on {back} has {ratio:.2}:1, needs {least}:1"
                );
            }
        }
    }
    Ok(())
}

#[test]
fn light_and_dark_have_enough_contrast_by_system_and_by_choice() {
    visit(Visit::default(), async |page| {
        let mut papers = Vec::new();
        for scheme in ["light", "dark"] {
            page.ask_for(Media {
                color_scheme: Some(scheme),
                ..Media::default()
            })
            .await?;
            check(page, &format!("system {scheme}")).await?;
            papers.push(colour(page, "--paper").await?);
            page.screenshot(&format!("theme-{scheme}")).await?;
        }
        assert_ne!(papers[0], papers[1], "the system's choice changes nothing");

        // The reader's own choice goes before the system's, which is dark by now.
        for (scheme, paper) in ["light", "dark"].into_iter().zip(papers) {
            page.evaluate_with(
                "document.documentElement.dataset.theme = given[0]",
                vec![scheme.into()],
            )
            .await?;
            check(page, &format!("chosen {scheme}")).await?;
            assert_eq!(colour(page, "--paper").await?, paper);
        }
        Ok(())
    });
}

#[test]
fn more_contrast_on_request_leaves_no_soft_text_and_no_faint_rule() {
    visit(Visit::default(), async |page| {
        for scheme in ["light", "dark"] {
            page.ask_for(Media {
                color_scheme: Some(scheme),
                contrast: Some("more"),
                ..Media::default()
            })
            .await?;
            check(page, &format!("more contrast, {scheme}")).await?;
            for front in ["--ink-soft", "--edge"] {
                let ratio = contrast(colour(page, front).await?, colour(page, "--paper").await?);
                assert!(
                    ratio >= 7.0,
                    "{scheme}: {front} on --paper has {ratio:.2}:1"
                );
            }
            let rule = contrast(
                colour(page, "--hairline").await?,
                colour(page, "--paper").await?,
            );
            assert!(
                rule >= 3.0,
                "{scheme}: --hairline on --paper has {rule:.2}:1"
            );
        }
        Ok(())
    });
}

#[test]
fn forced_colours_and_print_have_enough_contrast() {
    visit(Visit::default(), async |page| {
        page.ask_for(Media {
            forced_colors: Some("active"),
            ..Media::default()
        })
        .await?;
        for front in ["--ink", "--ink-soft", "--ac", "--dc", "--edge"] {
            let ratio = contrast(colour(page, front).await?, colour(page, "--paper").await?);
            assert!(
                ratio >= 4.5,
                "forced colours: {front} on --paper has {ratio:.2}:1"
            );
        }
        // Print is light even for a reader who works in the dark.
        page.evaluate("document.documentElement.dataset.theme = 'dark'")
            .await?;
        page.ask_for(Media {
            medium: Some("print"),
            color_scheme: Some("dark"),
            ..Media::default()
        })
        .await?;
        check(page, "print").await?;
        assert_eq!(colour(page, "--paper").await?, [255.0; 3]);
        Ok(())
    });
}

/// Red, green and blue, 0 to 255, of a colour token, as a script on the page gets it.
async fn colour(
    page: &Visitor,
    token: &str,
) -> Result<[f64; 3], Box<dyn std::error::Error + Send + Sync>> {
    let value = page
        .evaluate_with(
            "getComputedStyle(document.documentElement).getPropertyValue(given[0])",
            vec![token.into()],
        )
        .await?;
    let text = value.as_str().unwrap_or_default();
    let numbers = text
        .strip_prefix("rgb(")
        .and_then(|rest| rest.strip_suffix(')'));
    let numbers: Vec<f64> = numbers
        .unwrap_or_default()
        .split(',')
        .filter_map(|number| number.trim().parse().ok())
        .collect();
    numbers
        .try_into()
        .map_err(|_| format!("{token} is `{text}`, not an opaque colour").into())
}

fn contrast(one: [f64; 3], other: [f64; 3]) -> f64 {
    let (one, other) = (luminance(one), luminance(other));
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

fn luminance(colour: [f64; 3]) -> f64 {
    let [red, green, blue] = colour.map(|part| part / 255.0).map(|part| {
        if part <= 0.04045 {
            part / 12.92
        } else {
            ((part + 0.055) / 1.055).powf(2.4)
        }
    });
    0.2126 * red + 0.7152 * green + 0.0722 * blue
}

/// Black on white is 21:1 by definition; #777777 on white is 4.48:1 in W3C's own failure example (technique G18: "just below 4.5:1").
#[test]
fn contrast_is_computed_as_defined() {
    assert_near(contrast([0.0; 3], [255.0; 3]), 21.0, 1e-9, "black on white");
    assert_near(
        contrast([119.0; 3], [255.0; 3]),
        4.48,
        0.005,
        "#777777 on white",
    );
}
