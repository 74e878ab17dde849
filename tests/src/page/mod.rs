//! The page in headless Chromium: [`visit`] builds the page once, serves it under a sub-path of its own, opens a fresh browser on it and
//! hands a [`Visitor`] to the test. Afterwards the browser is closed, whatever the test did, and the visit fails if the browser
//! logged an error.

mod chromium;
mod copy;
mod visitor;

use std::path::PathBuf;
use std::sync::OnceLock;

use couplet_host::{Profile, Served};

use chromium::{ChromeDriver, Scratch};
pub use copy::PageCopy;
pub use visitor::{Media, Visitor};

/// What a test gives back; `?` works on whatever the driver says.
pub type Outcome = Result<(), Box<dyn std::error::Error + Send + Sync>>;

/// How the page is visited.
#[derive(Debug, Clone)]
pub struct Visit {
    /// Sub-path under which the page is served; `/` for none.
    pub prefix: &'static str,
    /// Width and height of the window, CSS pixels.
    pub window: (u32, u32),
    /// A touch screen instead of a mouse.
    pub touch: bool,
    /// The browser refuses all storage, as it does when the reader blocks cookies.
    pub storage_denied: bool,
    /// Language the browser asks for.
    pub language: &'static str,
    /// What follows the page's address: `?…` or `#…`.
    pub address_end: String,
    /// Whether the page is expected to start; if not, the test begins as soon as it is loaded.
    pub starts: bool,
    /// Parts of error messages that the test provokes; any other error in the browser's log fails the visit.
    pub expected_errors: &'static [&'static str],
}

impl Default for Visit {
    fn default() -> Self {
        Self {
            prefix: "/some/folder/",
            window: (1440, 900),
            touch: false,
            storage_denied: false,
            language: "en-GB",
            address_end: String::new(),
            starts: true,
            expected_errors: &[],
        }
    }
}

/// The folder with the built page: `COUPLET_PAGE_DIR`, or else a release build made now, once for all tests of a run.
///
/// # Panics
/// If the page does not build: no test of it can mean anything then.
pub fn built_page() -> PathBuf {
    static BUILT: OnceLock<PathBuf> = OnceLock::new();
    BUILT
        .get_or_init(|| match std::env::var_os("COUPLET_PAGE_DIR") {
            Some(folder) => couplet_host::workspace().join(folder),
            None => {
                let folder = couplet_host::workspace().join("target/page");
                couplet_host::build(Profile::Release, &folder)
                    .unwrap_or_else(|error| panic!("the page does not build: {error}"));
                folder
            }
        })
        .clone()
}

/// Opens the page, waits until it has started, and runs `test` in it.
///
/// # Panics
/// If the browser cannot be started, the test fails, or the browser's log holds an error that was not expected.
pub fn visit(how: Visit, test: impl AsyncFnOnce(&mut Visitor) -> Outcome) {
    let folder = built_page();
    visit_folder(how, &folder, test);
}

/// [`visit`] with a page built by the test itself.
///
/// # Panics
/// As [`visit`].
pub fn visit_folder(
    how: Visit,
    folder: &std::path::Path,
    test: impl AsyncFnOnce(&mut Visitor) -> Outcome,
) {
    let served = couplet_host::serve(folder, 0, how.prefix)
        .unwrap_or_else(|error| panic!("the page is not served: {error}"));
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .unwrap_or_else(|error| panic!("no runtime: {error}"));
    if let Err(error) = runtime.block_on(run(how, served, test)) {
        panic!("{error}");
    }
}

async fn run(
    how: Visit,
    served: Served,
    test: impl AsyncFnOnce(&mut Visitor) -> Outcome,
) -> Outcome {
    let scratch = Scratch::new()?;
    let chromedriver = ChromeDriver::start()?;
    let driver = chromedriver.open(&how, &scratch).await?;
    // It closes the browser even when the test panics.
    let outcome = driver
        .run_and_quit(async |driver| {
            let mut visitor = Visitor::open(driver, served, &how).await?;
            test(&mut visitor).await?;
            visitor.check_log(how.expected_errors).await
        })
        .await;
    outcome.map_err(|error| error.to_string().into())
}
