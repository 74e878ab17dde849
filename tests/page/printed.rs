//! What is on paper: the document as it is printed, read back by poppler's `pdftotext`, and held against the page that it was printed from.

use std::collections::BTreeMap;
use std::io::Write;
use std::process::{Command, Stdio};

use couplet_tests::page::Visitor;
use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};
use serde::Deserialize;
use serde_json::json;

pub(crate) type Fallible<T> = Result<T, Box<dyn std::error::Error + Send + Sync>>;

/// Height of the foot of a page, points: 11 mm is the least lower margin; words stand in its middle.
const FOOT: f64 = 11.0 / 25.4 * 72.0;

/// A word on a page; points from the upper left corner.
#[derive(Clone, Debug)]
pub(crate) struct Word {
    pub(crate) left: f64,
    pub(crate) top: f64,
    pub(crate) right: f64,
    pub(crate) bottom: f64,
    pub(crate) text: String,
}

/// A page.
#[derive(Clone, Debug)]
pub(crate) struct PrintedPage {
    pub(crate) width: f64,
    pub(crate) height: f64,
    pub(crate) words: Vec<Word>,
}

impl PrintedPage {
    /// Words above the foot.
    pub(crate) fn body(&self) -> impl Iterator<Item = &Word> {
        let foot = self.height - FOOT;
        self.words.iter().filter(move |word| word.top < foot)
    }

    /// How often each word stands above the foot.
    fn counts(&self) -> BTreeMap<&str, usize> {
        let mut counts = BTreeMap::new();
        for word in self.body() {
            *counts.entry(word.text.as_str()).or_default() += 1;
        }
        counts
    }

    /// The words of the lowest line above the foot, sorted.
    pub(crate) fn last_line(&self) -> Vec<&str> {
        let lowest = self.body().map(|word| word.bottom).fold(0.0, f64::max);
        let mut line: Vec<&str> = self
            .body()
            .filter(|word| word.bottom > lowest - 3.0)
            .map(|word| word.text.as_str())
            .collect();
        line.sort_unstable();
        line
    }
}

/// The page as a document on paper of this size, in inches.
pub(crate) async fn print(
    page: &Visitor,
    (width, height): (f64, f64),
) -> Fallible<Vec<PrintedPage>> {
    let printed = page
        .devtools(
            "Page.printToPDF",
            json!({ "preferCSSPageSize": true, "printBackground": true, "paperWidth": width, "paperHeight": height }),
        )
        .await?;
    let data = printed["data"].as_str().unwrap_or_default();
    let bytes = page
        .evaluate_with(
            "Array.from(atob(given[0]), (letter) => letter.charCodeAt(0))",
            vec![data.into()],
        )
        .await?;
    let bytes: Vec<u8> = serde_json::from_value(bytes)?;
    if let Ok(folder) = std::env::var("COUPLET_SCREENSHOTS") {
        std::fs::write(format!("{folder}/report-{width}.pdf"), &bytes)?;
    }
    read(&bytes)
}

fn read(pdf: &[u8]) -> Fallible<Vec<PrintedPage>> {
    let mut reader = Command::new("pdftotext")
        .args(["-bbox", "-", "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .map_err(|error| format!("pdftotext of poppler-utils: {error}"))?;
    let mut input = reader.stdin.take().ok_or("no input")?;
    let pdf = pdf.to_vec();
    let writer = std::thread::spawn(move || input.write_all(&pdf));
    let output = reader.wait_with_output()?;
    writer.join().map_err(|_| "writing broke off")??;
    if !output.status.success() {
        return Err(format!("pdftotext: {}", output.status).into());
    }
    pages_of(&String::from_utf8(output.stdout)?)
}

/// The words of a text. A line may break after a hyphen or a stroke, and a space that does not break stays in a word on paper.
fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split(|letter: char| letter.is_whitespace() || matches!(letter, '-' | '/' | '\u{2013}'))
        .filter(|word| !word.is_empty())
}

fn pages_of(xml: &str) -> Fallible<Vec<PrintedPage>> {
    let mut reader = Reader::from_str(xml);
    let mut pages: Vec<PrintedPage> = Vec::new();
    let mut word: Option<Word> = None;
    let number = |tag: &BytesStart<'_>, name: &str| -> Fallible<f64> {
        let value = tag
            .attributes()
            .flatten()
            .find(|attribute| attribute.key.as_ref() == name)
            .ok_or_else(|| format!("no {name}"))?;
        Ok(value.value.parse()?)
    };
    loop {
        match reader.read_event()? {
            Event::Start(tag) if tag.name().as_ref() == "page" => pages.push(PrintedPage {
                width: number(&tag, "width")?,
                height: number(&tag, "height")?,
                words: Vec::new(),
            }),
            Event::Start(tag) if tag.name().as_ref() == "word" => {
                word = Some(Word {
                    left: number(&tag, "xMin")?,
                    top: number(&tag, "yMin")?,
                    right: number(&tag, "xMax")?,
                    bottom: number(&tag, "yMax")?,
                    text: String::new(),
                });
            }
            Event::Text(text) => {
                if let Some(word) = &mut word {
                    word.text.push_str(&text);
                }
            }
            Event::GeneralRef(name) => {
                if let Some(word) = &mut word {
                    let letter = quick_xml::escape::resolve_xml_entity(&name);
                    word.text.push_str(letter.unwrap_or_default());
                }
            }
            Event::End(tag) if tag.name().as_ref() == "word" => {
                let page = pages.last_mut().ok_or("a word before any page")?;
                let whole = word.take().ok_or("a word ends that did not begin")?;
                page.words.extend(words(&whole.text).map(|text| Word {
                    text: text.to_owned(),
                    ..whole.clone()
                }));
            }
            Event::Eof => return Ok(pages),
            _ => {}
        }
    }
}

/// What the page says that must stand on paper.
#[derive(Deserialize)]
struct Said {
    /// Headings, heads of tables, captions, what stands before a table or a picture: never the last line of a page.
    leading: Vec<String>,
    /// What must not be broken over pages: rows of tables, pictures with their scales.
    whole: Vec<String>,
    /// All words of the report.
    all: String,
    /// Those of them that are only spoken.
    spoken: String,
}

const SAID: &str = "(() => {
    const report = document.querySelector('.report');
    const shown = (element) => element.checkVisibility() && element.closest('.report-part');
    const texts = (selector) => [...report.querySelectorAll(selector)].filter(shown).map((element) => element.innerText).filter((text) => text.trim());
    return {
      leading: texts('h2, h3, thead tr, figcaption, p:has(+ .report-frame), p:has(+ figure)'),
      whole: texts('tbody tr, figure'),
      spoken: texts('.spoken').join(' '),
      all: texts('.report-part:not([data-section=sheet])').join(' ') + ' ' + [...report.querySelectorAll('.report-sheet text')].map((text) => text.textContent).join(' '),
    };
  })()";

/// The last words of a text, sorted: as many as a line has.
fn tail(text: &str, count: usize) -> Vec<&str> {
    let mut tail: Vec<&str> = words(text).collect();
    tail.drain(..tail.len().saturating_sub(count));
    tail.sort_unstable();
    tail
}

/// Everything that the report says stands on the paper, whole and within its margins, and no page is next to empty.
pub(crate) async fn assert_printed_whole(
    page: &Visitor,
    pages: &[PrintedPage],
    name: &str,
) -> Fallible<()> {
    // The page is asked as it is printed: what is hidden on paper is not missed there.
    page.ask_for(couplet_tests::page::Media {
        medium: Some("print"),
        ..Default::default()
    })
    .await?;
    let said: Said = serde_json::from_value(page.evaluate(SAID).await?)?;
    page.ask_for(couplet_tests::page::Media::default()).await?;
    assert!(said.leading.len() > 10 && said.whole.len() > 40, "{name}");

    for (number, printed) in (1..).zip(pages) {
        let place = format!("{name}, page {number}");
        // The least margin of any page, 6 mm.
        let margin = 6.0 / 25.4 * 72.0 - 1.0;
        for word in printed.body() {
            assert!(
                word.left >= margin
                    && word.right <= printed.width - margin
                    && word.top >= margin
                    && word.bottom <= printed.height - margin,
                "{place}: {word:?} is cut or stands in the margin"
            );
        }
        let words = printed.body().count();
        assert!(words >= 20, "{place} is next to empty: {words} words");
        assert!(
            printed.words.len() > words + 8,
            "{place} has no foot with household, day and number"
        );
        let last = printed.last_line();
        for leading in &said.leading {
            assert_ne!(
                last,
                tail(leading, last.len()),
                "{place}: what it leads to is overleaf"
            );
        }
    }

    let counts: Vec<_> = pages.iter().map(PrintedPage::counts).collect();
    for whole in &said.whole {
        let mut wanted: BTreeMap<&str, usize> = BTreeMap::new();
        for word in words(whole) {
            *wanted.entry(word).or_default() += 1;
        }
        let on_one_page = counts.iter().any(|page| {
            wanted
                .iter()
                .all(|(word, count)| page.get(word).is_some_and(|found| found >= count))
        });
        assert!(on_one_page, "{name}: broken over pages or cut: {whole}");
    }

    let mut missing: BTreeMap<&str, isize> = BTreeMap::new();
    for word in words(&said.all) {
        *missing.entry(word).or_default() += 1;
    }
    for word in words(&said.spoken) {
        *missing.entry(word).or_default() -= 1;
    }
    for page in &counts {
        for (word, count) in page {
            if let Some(missing) = missing.get_mut(word) {
                *missing -= count.cast_signed();
            }
        }
    }
    missing.retain(|_, count| *count > 0);
    assert!(missing.is_empty(), "{name}: not on paper: {missing:?}");
    Ok(())
}
