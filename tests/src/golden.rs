//! Texts compared with kept files.

use std::path::Path;

/// Stops the test unless `text` is the kept file `tests/golden/<name>`. With `COUPLET_GOLDEN=write` in the environment the
/// file is written instead; the difference is then reviewed as any other.
#[track_caller]
pub fn assert_golden(name: &str, text: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("golden")
        .join(name);
    if std::env::var_os("COUPLET_GOLDEN").is_some_and(|how| how == "write") {
        std::fs::write(&path, text).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        return;
    }
    let kept = std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    if kept == text {
        return;
    }
    let line = kept
        .lines()
        .zip(text.lines())
        .position(|(kept, now)| kept != now)
        .unwrap_or_else(|| kept.lines().count().min(text.lines().count()));
    panic!(
        "{name} differs from line {}:\n kept: {}\n now:  {}\nif the change is meant, run again with COUPLET_GOLDEN=write",
        line + 1,
        kept.lines().nth(line).unwrap_or("(end)"),
        text.lines().nth(line).unwrap_or("(end)"),
    );
}
