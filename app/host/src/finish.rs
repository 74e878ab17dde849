//! The last step of every build, ours or Trunk's: joins the style sheets, puts stamps into names and tells the service worker what there is to keep.

use std::path::Path;

use crate::stamp::{Stamp, stamp};
use crate::{Error, files_under, read, read_text, style, workspace, write};

const SHEET: &str = "./couplet.css";
/// Files that a page asks for by a name with a stamp, so that a page of one build never gets the file of another.
const STAMPED: [&str; 3] = ["boot.js", "worker.js", "data/climate.bin.gz"];
const SERVICE_WORKER: &str = "service-worker.js";
const BUILD_LINE: &str = "const BUILD = \"unbuilt\";";
const FILES_LINE: &str = "const FILES = [];";

/// Finishes the page in `folder`: writes the joined style sheet, gives it and the loader's files names made from their content, puts the
/// names into `index.html`, then writes every file's address and the name of the build into the service worker.
///
/// Errors: a file that cannot be read or written, or one of the places to fill in is missing.
pub fn finish(folder: &Path) -> Result<(), Error> {
    let css = style::joined(&workspace().join("app/style"))?;
    let sheet = format!("./couplet-{}.css", stamp(css.as_bytes()));
    write(&folder.join(&sheet), css)?;
    let page = folder.join("index.html");
    fill_in(&page, &[(SHEET, &sheet)])?;
    for name in STAMPED {
        let (file, bytes) = (folder.join(name), read(&folder.join(name))?);
        let (stem, ending) = name.split_once('.').unwrap_or((name, ""));
        let stamped = format!("{stem}-{}.{ending}", stamp(&bytes));
        std::fs::rename(&file, folder.join(&stamped)).map_err(|reason| Error::at(&file, reason))?;
        fill_in(
            &page,
            &[(&format!("\"./{name}\""), &format!("\"./{stamped}\""))],
        )?;
    }

    // The service worker itself is not among what it keeps: the browser looks after that file.
    let files: Vec<String> = files_under(folder)?
        .into_iter()
        .filter(|name| name != SERVICE_WORKER && !name.ends_with(".md"))
        .collect();
    let mut build = Stamp::new();
    for name in &files {
        build = build
            .with(name.as_bytes())
            .with(&[0])
            .with(&read(&folder.join(name))?);
    }
    // The page is asked for by its folder's address; a server may not know it as index.html as well.
    let addresses: Vec<String> = files
        .iter()
        .map(|name| {
            if name == "index.html" {
                "./".to_owned()
            } else {
                format!("./{name}")
            }
        })
        .collect();
    let build_line = format!("const BUILD = \"{}\";", build.name());
    let files_line = format!(
        "const FILES = [\n{}];",
        addresses
            .iter()
            .map(|address| format!("  {address:?},\n"))
            .collect::<String>()
    );
    fill_in(
        &folder.join(SERVICE_WORKER),
        &[(BUILD_LINE, &build_line), (FILES_LINE, &files_line)],
    )
}

/// Replaces each text, which has to be there, by another one.
fn fill_in(path: &Path, changes: &[(&str, &str)]) -> Result<(), Error> {
    let mut text = read_text(path)?;
    for (from, to) in changes {
        if !text.contains(from) {
            return Err(Error::at(path, format!("holds no `{from}` to fill in")));
        }
        text = text.replace(from, to);
    }
    write(path, text)
}
