//! From the workspace to a folder of static files.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use wasm_bindgen_cli_support::Bindgen;

use crate::stamp::stamp;
use crate::{Error, files_under, finish, read, read_text, workspace, write};

const TARGET: &str = "wasm32-unknown-unknown";

/// How much care the compiler takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Profile {
    /// What users get: minutes.
    #[default]
    Release,
    /// For the work at hand: seconds, several times slower and larger.
    Draft,
}

impl Profile {
    /// The profile of that name in `Cargo.toml`.
    pub fn named(name: &str) -> Option<Self> {
        [Self::Release, Self::Draft]
            .into_iter()
            .find(|profile| profile.name() == name)
    }

    /// The name of the profile in `Cargo.toml`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Release => "release",
            Self::Draft => "draft",
        }
    }
}

/// Builds the page into `out`, which is emptied first.
///
/// Errors: the page does not compile, or a file cannot be read or written; `out` is then left as it was.
pub fn build(profile: Profile, out: &Path) -> Result<(), Error> {
    let program = compile(profile)?;
    if out.exists() {
        if !out.join("index.html").exists() && !files_under(out)?.is_empty() {
            return Err(Error::at(
                out,
                "holds something else than a page; give an empty or a new folder",
            ));
        }
        std::fs::remove_dir_all(out).map_err(|reason| Error::at(out, reason))?;
    }
    let public = workspace().join("public");
    for name in files_under(&public)? {
        write(&out.join(&name), read(&public.join(&name))?)?;
    }
    let (script, wasm) = make_script(&program, out)?;
    let page = read_text(&workspace().join("app/index.html"))?;
    write(
        &out.join("index.html"),
        for_this_build(&page, &script, &wasm)?,
    )?;
    finish(out)
}

/// Compiles the page's program; gives the path of the WebAssembly file.
fn compile(profile: Profile) -> Result<PathBuf, Error> {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let output = Command::new(cargo)
        .current_dir(workspace())
        .args([
            "build",
            "--package",
            "couplet-app",
            "--bin",
            "couplet-app",
            "--target",
            TARGET,
        ])
        .args([
            "--profile",
            profile.name(),
            "--message-format",
            "json-render-diagnostics",
        ])
        .stdin(Stdio::null())
        .stderr(Stdio::inherit())
        .output()
        .map_err(|reason| Error(format!("cargo could not be started: {reason}")))?;
    if !output.status.success() {
        return Err(Error(
            "the page does not compile; cargo's own words stand above".to_owned(),
        ));
    }
    // Cargo says where it put the file, whatever the target folder is.
    let messages = String::from_utf8_lossy(&output.stdout);
    let mut files = messages
        .split('"')
        .filter(|text| text.ends_with("couplet-app.wasm"));
    files
        .next_back()
        .map(PathBuf::from)
        .ok_or_else(|| Error("cargo did not say where it put couplet-app.wasm".to_owned()))
}

/// Makes the JavaScript side of the program in `out`; gives the names of the script and of the WebAssembly file.
fn make_script(program: &Path, out: &Path) -> Result<(String, String), Error> {
    let failed = |reason: &dyn std::fmt::Display| Error::at(program, reason);
    let mut bindgen = Bindgen::new();
    bindgen
        .input_path(program)
        .out_name("couplet")
        .typescript(false)
        .omit_default_module_path(true)
        .remove_name_section(true)
        .remove_producers_section(true);
    bindgen
        .web(true)
        .map_err(|reason| failed(&reason))?
        .generate(out)
        .map_err(|reason| failed(&format!("{reason:#}")))?;

    let renamed = |name: &str, ending: &str| {
        let path = out.join(name);
        let stamped = format!("couplet-{}.{ending}", stamp(&read(&path)?));
        std::fs::rename(&path, out.join(&stamped)).map_err(|reason| Error::at(&path, reason))?;
        Ok::<_, Error>(stamped)
    };
    Ok((
        renamed("couplet.js", "js")?,
        renamed("couplet_bg.wasm", "wasm")?,
    ))
}

/// The page with the loader's tag in the place of Trunk's links.
fn for_this_build(page: &str, script: &str, wasm: &str) -> Result<String, Error> {
    let mut lines = Vec::new();
    let mut placed = false;
    for line in page.lines() {
        if !line.contains("data-trunk") {
            lines.push(line.to_owned());
        } else if line.contains("rel=\"rust\"") {
            placed = true;
            lines.push(format!(
                r#"<script type="module" src="./boot.js" data-js="./{script}" data-wasm="./{wasm}" data-worker="./worker.js" data-climate="./data/climate.bin.gz"></script>"#
            ));
        }
    }
    if placed {
        Ok(lines.join("\n") + "\n")
    } else {
        Err(Error(
            "app/index.html holds no link to the program".to_owned(),
        ))
    }
}
