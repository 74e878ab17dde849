//! A copy of the built page that a test may damage.

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};

use super::built_page;

/// A copy of the built page in a folder of its own, which goes with this value.
pub struct PageCopy(PathBuf);

impl PageCopy {
    /// A copy as it was built.
    ///
    /// # Errors
    /// The folder for temporary files cannot be written.
    pub fn new() -> std::io::Result<Self> {
        static COUNT: AtomicU32 = AtomicU32::new(0);
        let name = format!(
            "couplet-copy-{}-{}",
            std::process::id(),
            COUNT.fetch_add(1, Ordering::Relaxed)
        );
        let copy = Self(std::env::temp_dir().join(name));
        let built = built_page();
        for name in couplet_host::files_under(&built).map_err(std::io::Error::other)? {
            let to = copy.0.join(&name);
            if let Some(folder) = to.parent() {
                std::fs::create_dir_all(folder)?;
            }
            std::fs::copy(built.join(&name), to)?;
        }
        Ok(copy)
    }

    /// Where the copy lies.
    pub fn path(&self) -> &Path {
        &self.0
    }

    /// The one file whose name begins and ends so; names hold a stamp between the two.
    ///
    /// # Errors
    /// There is no such file.
    pub fn file(&self, begin: &str, end: &str) -> std::io::Result<PathBuf> {
        let names = couplet_host::files_under(&self.0).map_err(std::io::Error::other)?;
        let found = names
            .into_iter()
            .find(|name| name.starts_with(begin) && name.ends_with(end));
        found
            .map(|name| self.0.join(name))
            .ok_or_else(|| std::io::Error::other(format!("no file {begin}…{end}")))
    }

    /// Replaces a text, which has to be there, in a file.
    ///
    /// # Errors
    /// The file or the text is missing.
    pub fn replace(&self, (begin, end): (&str, &str), from: &str, to: &str) -> std::io::Result<()> {
        let file = self.file(begin, end)?;
        let text = std::fs::read_to_string(&file)?;
        if !text.contains(from) {
            return Err(std::io::Error::other(format!(
                "{} holds no {from}",
                file.display()
            )));
        }
        std::fs::write(file, text.replace(from, to))
    }
}

impl Drop for PageCopy {
    fn drop(&mut self) {
        std::fs::remove_dir_all(&self.0).ok();
    }
}
