//! Turns the workspace into a folder of static files, and serves that folder on localhost.
//!
//! [`build`] compiles the page for the browser, makes its JavaScript, copies what lies in `public/` and then calls [`finish`].
//! [`finish`] is also what Trunk calls after its own build, so that both ways end in the same page: one style sheet, and a service
//! worker that knows every file. [`serve`] is for looking at the result and for the tests; any static server does as well.

mod build;
mod finish;
mod serve;
mod stamp;
mod style;
mod weigh;

use std::path::{Path, PathBuf};

pub use build::{Profile, build};
pub use finish::finish;
pub use serve::{Served, serve};
pub use weigh::{Weight, weigh};

/// What stopped the host: one sentence for the person at the terminal.
#[derive(Debug)]
pub struct Error(String);

impl std::fmt::Display for Error {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for Error {}

impl Error {
    /// An error that names the file it is about.
    fn at(path: &Path, reason: impl std::fmt::Display) -> Self {
        Self(format!("{}: {reason}", path.display()))
    }
}

/// The top folder of the workspace this program was built from.
pub fn workspace() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.ancestors().nth(2).unwrap_or(here).to_path_buf()
}

/// The files under `folder`, as paths relative to it with `/` between the parts, in order.
///
/// Errors: a folder that cannot be read.
pub fn files_under(folder: &Path) -> Result<Vec<String>, Error> {
    let mut found = Vec::new();
    let mut folders = vec![String::new()];
    while let Some(within) = folders.pop() {
        let path = folder.join(&within);
        for entry in std::fs::read_dir(&path).map_err(|reason| Error::at(&path, reason))? {
            let entry = entry.map_err(|reason| Error::at(&path, reason))?;
            let name = entry
                .file_name()
                .into_string()
                .map_err(|name| Error::at(&path, format!("not a plain name: {name:?}")))?;
            let below = if within.is_empty() {
                name
            } else {
                format!("{within}/{name}")
            };
            if entry.path().is_dir() {
                folders.push(below)
            } else {
                found.push(below)
            }
        }
    }
    found.sort();
    Ok(found)
}

fn read_text(path: &Path) -> Result<String, Error> {
    std::fs::read_to_string(path).map_err(|reason| Error::at(path, reason))
}

fn read(path: &Path) -> Result<Vec<u8>, Error> {
    std::fs::read(path).map_err(|reason| Error::at(path, reason))
}

fn write(path: &Path, bytes: impl AsRef<[u8]>) -> Result<(), Error> {
    if let Some(folder) = path.parent() {
        std::fs::create_dir_all(folder).map_err(|reason| Error::at(folder, reason))?;
    }
    std::fs::write(path, bytes).map_err(|reason| Error::at(path, reason))
}
