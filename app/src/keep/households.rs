//! Households in the browser's storage: each under a key of its own, and an index with their names.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::sync::Arc;

use couplet_core::document;
use couplet_core::household::Household;
use leptos::ev;
use leptos::prelude::*;
use serde::{Deserialize, Serialize};

use super::files;
use super::settings::Settings;
use super::store;

const INDEX_KEY: &str = "couplet.index";
const HOUSEHOLD_KEYS: &str = "couplet.household.";
const ASIDE_KEYS: &str = "couplet.aside.";

/// Names a household among those that this browser keeps.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub(crate) struct HouseholdId(u32);

impl HouseholdId {
    fn key(self) -> String {
        format!("{HOUSEHOLD_KEYS}{}", self.0)
    }

    fn of_key(key: &str) -> Option<Self> {
        key.strip_prefix(HOUSEHOLD_KEYS)?.parse().ok().map(Self)
    }
}

/// A household that this browser keeps.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Entry {
    /// Names it.
    pub(crate) id: HouseholdId,
    /// Its name when it was saved last.
    pub(crate) name: String,
}

/// Whether the open household is safe.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum SaveState {
    /// It is saved since this time, ms since 1970.
    Saved {
        /// When.
        at_ms: f64,
    },
    /// It is not saved; the text says why.
    NotSaved(String),
    /// Another tab saved the same household; until the reader has chosen, nothing is written over.
    OtherTab,
}

/// A save that could not be read: kept as it is.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub(crate) struct Aside {
    key: String,
    /// What is wrong with it.
    pub(crate) reason: String,
}

#[derive(Serialize, Deserialize, Default)]
#[serde(default)]
struct Index {
    open: Option<HouseholdId>,
    names: BTreeMap<HouseholdId, String>,
}

impl Index {
    /// The index as it stands; one that cannot be read is empty, and the households are found by their keys.
    fn load() -> Self {
        store::get(INDEX_KEY)
            .and_then(|text| serde_json::from_str(&text).ok())
            .unwrap_or_default()
    }

    /// A lost index costs only names, so a failure is not worth a message of its own: the household's own save has one.
    fn save(&self) {
        if let Ok(text) = serde_json::to_string(self) {
            let _ = store::set(INDEX_KEY, &text);
        }
    }
}

thread_local! {
    /// The open household's text as this tab last wrote or read it: what differs in the storage was written by another tab.
    static KNOWN: RefCell<Option<(HouseholdId, String)>> = const { RefCell::new(None) };
}

fn known(id: HouseholdId) -> Option<String> {
    KNOWN.with_borrow(|known| {
        known
            .as_ref()
            .filter(|(known, _)| *known == id)
            .map(|(_, text)| text.clone())
    })
}

/// Where households and settings are kept.
#[derive(Clone, Copy)]
pub(crate) struct Keep {
    /// All households that are kept.
    pub(crate) list: RwSignal<Vec<Entry>>,
    /// Whether the open household is safe.
    pub(crate) state: RwSignal<SaveState>,
    /// Saves that could not be read.
    pub(crate) aside: RwSignal<Vec<Aside>>,
    /// What the reader chose for the page.
    pub(crate) settings: RwSignal<Settings>,
}

impl Keep {
    /// Finds what this browser keeps.
    pub(crate) fn new() -> Self {
        let aside = store::keys(ASIDE_KEYS)
            .into_iter()
            .map(|key| Aside {
                reason: store::get(&key)
                    .and_then(|text| document::read(&text).err())
                    .map_or_else(
                        || "it can be read again".to_owned(),
                        |problem| problem.to_string(),
                    ),
                key,
            })
            .collect();
        let keep = Self {
            list: RwSignal::new(Vec::new()),
            state: RwSignal::new(SaveState::NotSaved("not yet".to_owned())),
            aside: RwSignal::new(aside),
            settings: RwSignal::new(Settings::load()),
        };
        keep.list_again();
        keep
    }

    /// Saves every change of the household from now on, and every change of the settings; and listens to other tabs.
    pub(crate) fn follow(self, id: Memo<HouseholdId>, household: Memo<Arc<Household>>) {
        Effect::new(move |_| self.save(id.get(), &household.get()));
        Effect::new(move |_| self.settings.get().save());
        let listener = window_event_listener(ev::storage, move |event| {
            let open = id.get_untracked();
            match event.key() {
                Some(key) if key == open.key() => {
                    if event.new_value().is_some() && event.new_value() != known(open) {
                        self.state.set(SaveState::OtherTab);
                    }
                }
                // A name, a new household or a deleted one; or everything was cleared.
                _ => self.list_again(),
            }
        });
        on_cleanup(move || listener.remove());
    }

    /// A name under which nothing is kept yet.
    pub(crate) fn free_id(self) -> HouseholdId {
        let taken = store::keys(HOUSEHOLD_KEYS)
            .iter()
            .filter_map(|key| HouseholdId::of_key(key))
            .chain(KNOWN.with_borrow(|known| known.as_ref().map(|(id, _)| *id)))
            .max();
        HouseholdId(taken.map_or(1, |id| id.0.saturating_add(1)))
    }

    /// The household that was open last, or else the first that can be read.
    pub(crate) fn open_last(self) -> Option<(HouseholdId, Arc<Household>)> {
        let last = Index::load().open;
        let others = self
            .list
            .with_untracked(|list| list.iter().map(|entry| entry.id).collect::<Vec<_>>());
        last.into_iter()
            .chain(others)
            .find_map(|id| self.load(id).map(|household| (id, household)))
    }

    /// Reads a household. One that cannot be read is set aside, and [`Self::aside`] tells so.
    pub(crate) fn load(self, id: HouseholdId) -> Option<Arc<Household>> {
        let text = store::get(&id.key())?;
        match document::read(&text) {
            Ok(read) => {
                KNOWN.set(Some((id, text)));
                Some(Arc::new(read.household))
            }
            Err(problem) => {
                self.set_aside(id, &text, problem.to_string());
                None
            }
        }
    }

    /// Moves a save that cannot be read to a key of its own. Where there is no room for the move it stays where it is.
    fn set_aside(self, id: HouseholdId, text: &str, reason: String) {
        let free = (1..)
            .map(|number| format!("{ASIDE_KEYS}{number}"))
            .find(|key| store::get(key).is_none());
        let key = match free {
            Some(key) if store::set(&key, text).is_ok() => {
                store::remove(&id.key());
                key
            }
            _ => id.key(),
        };
        self.aside.update(|aside| {
            aside.retain(|other| other.key != key);
            aside.push(Aside { key, reason });
        });
        self.list_again();
    }

    /// Hands out a save that was set aside as a file.
    pub(crate) fn download_aside(self, aside: &Aside) {
        if let Some(text) = store::get(&aside.key) {
            files::hand_out(&format!("{}.json", aside.key), "application/json", &text);
        }
    }

    /// Takes a save that was set aside out of the storage.
    pub(crate) fn drop_aside(self, aside: &Aside) {
        store::remove(&aside.key);
        self.aside.update(|all| all.retain(|other| other != aside));
    }

    /// Saves the household, unless another tab did since this one last knew of it.
    pub(crate) fn save(self, id: HouseholdId, household: &Household) {
        let text = document::write(household);
        let there = store::get(&id.key());
        if there.is_some() && there != known(id) && there.as_ref() != Some(&text) {
            self.state.set(SaveState::OtherTab);
            return;
        }
        let state = match store::set(&id.key(), &text) {
            Ok(()) => {
                KNOWN.set(Some((id, text)));
                let mut index = Index::load();
                index.open = Some(id);
                index.names.insert(id, household.name.clone());
                index.save();
                SaveState::Saved {
                    at_ms: js_sys::Date::now(),
                }
            }
            Err(problem) => SaveState::NotSaved(problem.to_string()),
        };
        self.state.set(state);
        self.list_again();
    }

    /// Takes a household out of the storage.
    pub(crate) fn forget(self, id: HouseholdId) {
        store::remove(&id.key());
        let mut index = Index::load();
        index.names.remove(&id);
        index.open = index.open.filter(|open| *open != id);
        index.save();
        self.list_again();
    }

    /// Lists what is kept, by the keys that are there; the index only names them.
    fn list_again(self) {
        let index = Index::load();
        let mut list: Vec<Entry> = store::keys(HOUSEHOLD_KEYS)
            .iter()
            .filter(|key| {
                self.aside
                    .with_untracked(|aside| aside.iter().all(|aside| &aside.key != *key))
            })
            .filter_map(|key| HouseholdId::of_key(key))
            .map(|id| Entry {
                id,
                name: index
                    .names
                    .get(&id)
                    .cloned()
                    .unwrap_or_else(|| format!("household {}", id.0)),
            })
            .collect();
        list.sort_by_key(|entry| entry.id);
        if self.list.with_untracked(|before| *before != list) {
            self.list.set(list);
        }
    }
}
