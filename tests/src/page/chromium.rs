//! Starting chromedriver and Chromium, and cleaning up after them.

use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::atomic::{AtomicU32, Ordering};
use std::time::Duration;

use serde_json::json;
use thirtyfour::{ChromiumLikeCapabilities, DesiredCapabilities, LoggingPrefsLogLevel, WebDriver};

use super::Visit;

type Fallible<T> = Result<T, Box<dyn std::error::Error + Send + Sync>>;

/// A chromedriver of our own on a port of its own; it ends with the visit.
pub(super) struct ChromeDriver {
    process: Child,
    address: String,
}

impl ChromeDriver {
    pub(super) fn start() -> Fallible<Self> {
        let mut process = Command::new("chromedriver")
            .arg("--port=0")
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .map_err(|reason| format!("chromedriver could not be started ({reason}); it comes with Debian's package chromium-driver"))?;
        let said = process.stdout.take().ok_or("chromedriver has no output")?;
        let mut lines = BufReader::new(said).lines();
        let port = lines
            .by_ref()
            .map_while(Result::ok)
            .find_map(|line| started_on(&line));
        // It must not be stopped by a full pipe later on.
        std::thread::spawn(move || lines.for_each(drop));
        match port {
            Some(port) => Ok(Self {
                process,
                address: format!("http://127.0.0.1:{port}"),
            }),
            None => {
                process.kill().ok();
                process.wait().ok();
                Err("chromedriver did not say on which port it listens".into())
            }
        }
    }

    /// Opens a browser with nothing in it.
    pub(super) async fn open(&self, how: &Visit, scratch: &Scratch) -> Fallible<WebDriver> {
        let mut wanted = DesiredCapabilities::chrome();
        for flag in [
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-quic",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            "--disable-dev-shm-usage",
        ] {
            wanted.add_arg(flag)?;
        }
        let (width, height) = how.window;
        wanted.add_arg(&format!("--window-size={width},{height}"))?;
        wanted.add_arg(&format!(
            "--user-data-dir={}",
            scratch.folder("browser")?.display()
        ))?;
        wanted.add_arg(&format!("--lang={}", how.language))?;
        let mut preferences = json!({
            "intl.accept_languages": how.language,
            "download.default_directory": scratch.folder("downloads")?,
        });
        if how.storage_denied {
            preferences["profile.default_content_setting_values.cookies"] = 2.into();
        }
        wanted.add_experimental_option("prefs", preferences)?;
        wanted.set_browser_log_level(LoggingPrefsLogLevel::All)?;
        wanted.set_logging_prefs("performance", LoggingPrefsLogLevel::All)?;

        // Other builds on the same machine may keep the browser waiting for a while.
        Ok(WebDriver::builder(&self.address, wanted)
            .request_timeout(Duration::from_secs(120))
            .await?)
    }
}

impl Drop for ChromeDriver {
    fn drop(&mut self) {
        self.process.kill().ok();
        self.process.wait().ok();
    }
}

/// The port in chromedriver's "… was started successfully on port 1234."
fn started_on(line: &str) -> Option<u16> {
    line.split_once("started successfully on port ")?
        .1
        .trim_end_matches('.')
        .parse()
        .ok()
}

/// A folder for what a visit leaves on disk; it goes with the visit.
pub(super) struct Scratch(PathBuf);

impl Scratch {
    pub(super) fn new() -> std::io::Result<Self> {
        static COUNT: AtomicU32 = AtomicU32::new(0);
        let name = format!(
            "couplet-visit-{}-{}",
            std::process::id(),
            COUNT.fetch_add(1, Ordering::Relaxed)
        );
        let folder = std::env::temp_dir().join(name);
        std::fs::create_dir_all(&folder)?;
        Ok(Self(folder))
    }

    /// A folder of that name within, made if it is not there.
    pub(super) fn folder(&self, name: &str) -> std::io::Result<PathBuf> {
        let folder = self.0.join(name);
        std::fs::create_dir_all(&folder)?;
        Ok(folder)
    }

    pub(super) fn path(&self) -> &Path {
        &self.0
    }
}

impl Drop for Scratch {
    fn drop(&mut self) {
        std::fs::remove_dir_all(self.path()).ok();
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_port_is_read_from_what_chromedriver_says() {
        assert_eq!(
            super::started_on("ChromeDriver was started successfully on port 40123."),
            Some(40123)
        );
        assert_eq!(
            super::started_on("Only local connections are allowed."),
            None
        );
    }
}
