//! What keeps the household from being computed, told where it can be put right.

use std::collections::BTreeMap;
use std::sync::Arc;

use leptos::prelude::*;

/// What is wrong with the inputs, by the ids of their fields. The page provides it to all that it is made of.
#[derive(Clone, Copy)]
pub(crate) struct Unsound {
    /// Whether anything is.
    pub(crate) some: Signal<bool>,
    /// What is wrong with each field, and what would be right.
    pub(crate) fields: Memo<Arc<BTreeMap<String, String>>>,
}

/// What is wrong with a field beyond its own range; none where nothing is, or outside the page.
pub(crate) fn problem_of(id: &str) -> Memo<Option<String>> {
    let (id, unsound) = (id.to_owned(), use_context::<Unsound>());
    Memo::new(move |_| unsound?.fields.with(|fields| fields.get(&id).cloned()))
}

/// What is said of a result that does not belong to the inputs: it is on its way, or cannot come.
pub(crate) fn not_yet() -> Signal<&'static str> {
    let unsound = use_context::<Unsound>();
    Signal::derive(move || match unsound {
        Some(unsound) if unsound.some.get() => "not computed: see what is wrong above",
        _ => "being computed",
    })
}
