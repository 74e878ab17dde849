//! One style sheet out of many: `tokens.css`, `base.css`, then every other sheet of `app/style/` and its folders by name, `print.css` last.
//! The order decides little, since every rule stands in a cascade layer; it is fixed so that the same sources give the same bytes.

use std::path::Path;

use crate::{Error, files_under, read_text};

/// The joined sheets of `folder`, each under a comment with its name.
pub(crate) fn joined(folder: &Path) -> Result<String, Error> {
    let mut sheets: Vec<String> = files_under(folder)?
        .into_iter()
        .filter(|name| name.ends_with(".css"))
        .collect();
    sheets.sort_by_key(|name| (place(name), name.clone()));
    let mut css = String::new();
    for name in sheets {
        css.push_str(&format!(
            "/* {name} */\n{}\n",
            read_text(&folder.join(&name))?
        ));
    }
    Ok(css)
}

fn place(name: &str) -> u8 {
    match name {
        "tokens.css" => 0,
        "base.css" => 1,
        "print.css" => 3,
        _ => 2,
    }
}
