//! The browser's storage for this page, as text under keys.

use gloo_storage::{LocalStorage, Storage};

/// Why something could not be read or written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum StoreProblem {
    /// The browser gives this page no storage.
    Denied,
    /// There is no room left.
    Full,
    /// Anything else that the browser says.
    Other(String),
}

impl std::fmt::Display for StoreProblem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Denied => write!(f, "this browser gives the page no storage"),
            Self::Full => write!(f, "the browser's storage for this page is full"),
            Self::Other(said) => write!(f, "{said}"),
        }
    }
}

/// The storage, if the browser gives one. Asked for each time, since a browser may take it away while the page is open.
fn raw() -> Result<web_sys::Storage, StoreProblem> {
    // `LocalStorage::raw` throws when storage is denied, so the window is asked first.
    let there = web_sys::window()
        .and_then(|window| window.local_storage().ok())
        .flatten();
    match there {
        Some(_) => Ok(LocalStorage::raw()),
        None => Err(StoreProblem::Denied),
    }
}

/// The text under `key`; none if there is none or no storage.
pub(super) fn get(key: &str) -> Option<String> {
    raw().ok()?.get_item(key).ok().flatten()
}

/// Sets the text under `key`.
///
/// **Errors**: no storage, no room, or what else the browser says; what stood under the key then still stands.
pub(super) fn set(key: &str, text: &str) -> Result<(), StoreProblem> {
    raw()?.set_item(key, text).map_err(|error| {
        let read = |name: &str| {
            js_sys::Reflect::get(&error, &name.into())
                .ok()
                .and_then(|value| value.as_string())
        };
        match read("name").as_deref() {
            Some("QuotaExceededError" | "NS_ERROR_DOM_QUOTA_REACHED") => StoreProblem::Full,
            Some("SecurityError") => StoreProblem::Denied,
            _ => StoreProblem::Other(
                read("message").unwrap_or_else(|| "the browser did not save it".to_owned()),
            ),
        }
    })
}

/// Takes away `key` and its text.
pub(super) fn remove(key: &str) {
    if let Ok(storage) = raw() {
        // It fails only where there is no storage, and then there is nothing to take away.
        let _ = storage.remove_item(key);
    }
}

/// All keys that begin with `prefix`.
pub(super) fn keys(prefix: &str) -> Vec<String> {
    let Ok(storage) = raw() else {
        return Vec::new();
    };
    let count = storage.length().unwrap_or(0);
    (0..count)
        .filter_map(|index| storage.key(index).ok().flatten())
        .filter(|key| key.starts_with(prefix))
        .collect()
}
