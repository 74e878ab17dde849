//! One part of the household as a schedule shows it: its fields read it and change it through here.

use std::sync::Arc;

use couplet_core::household::Household;
use couplet_core::limits::Limit;
use leptos::prelude::*;

use crate::desk::Desk;
use crate::keep::UnitSystem;
use crate::parts::{Choice, OptionalQuantity, Quantity, ShownUnit, Text, Tick};
use crate::words::{self, Level, Word};

type FindMut<T> = dyn for<'a> Fn(&'a mut Household) -> Option<&'a mut T> + Send + Sync;

/// A part of the household, as it is now, and the way to change it. While the part is gone (deleted, undone) its fields keep
/// showing nothing until they are gone too.
pub(super) struct Row<T: Send + Sync + 'static> {
    pub(super) desk: Desk,
    /// Begins the id of each field, such as `array-2`.
    name: Arc<str>,
    /// Begins what undo says, such as the part's kind.
    what: &'static str,
    pub(super) now: Memo<Option<T>>,
    find_mut: Arc<FindMut<T>>,
}

impl<T: Send + Sync + 'static> Clone for Row<T> {
    fn clone(&self) -> Self {
        Self {
            desk: self.desk,
            name: Arc::clone(&self.name),
            what: self.what,
            now: self.now,
            find_mut: Arc::clone(&self.find_mut),
        }
    }
}

impl<T: Clone + PartialEq + Send + Sync + 'static> Row<T> {
    /// The part that `find` finds. `name` begins the id of its fields, `what` is what undo calls it.
    pub(super) fn new(
        desk: Desk,
        name: impl Into<Arc<str>>,
        what: &'static str,
        find: impl for<'a> Fn(&'a Household) -> Option<&'a T> + Send + Sync + 'static,
        find_mut: impl for<'a> Fn(&'a mut Household) -> Option<&'a mut T> + Send + Sync + 'static,
    ) -> Self {
        Self {
            desk,
            name: name.into(),
            what,
            now: Memo::new(move |_| desk.household.with(|household| find(household).cloned())),
            find_mut: Arc::new(find_mut),
        }
    }

    /// What a field shows: read from the part, or the default while the part is gone.
    pub(super) fn read<V: Clone + Default + PartialEq + Send + Sync + 'static>(
        &self,
        get: impl Fn(&T) -> V + Send + Sync + 'static,
    ) -> Memo<V> {
        let now = self.now;
        Memo::new(move |_| now.with(|now| now.as_ref().map(&get).unwrap_or_default()))
    }

    /// Changes the part. Changes of one `key` in a row are undone together.
    pub(super) fn change(&self, key: Option<&str>, label: &str, edit: impl FnOnce(&mut T)) {
        let merge_key = key.map(|key| self.id(key));
        self.desk.change(
            &format!("{}: {label}", self.what),
            merge_key.as_deref(),
            |household| {
                if let Some(part) = (self.find_mut)(household) {
                    edit(part);
                }
            },
        );
    }

    /// The id of a field in the page.
    pub(super) fn id(&self, key: &str) -> String {
        format!("{}-{key}", self.name)
    }

    fn on_done(&self) -> Callback<()> {
        let desk = self.desk;
        Callback::new(move |()| desk.close_merge())
    }

    /// A number of the part.
    pub(super) fn quantity(
        &self,
        limit: &'static Limit,
        get: fn(&T) -> f64,
        set: fn(&mut T, f64),
    ) -> AnyView {
        self.quantity_at(limit, limit.key(), None, get, set)
    }

    /// A number of the part with a name of its own for the field, as for one of twelve months, and words of its own.
    pub(super) fn quantity_at(
        &self,
        limit: &'static Limit,
        key: &str,
        label: Option<String>,
        get: impl Fn(&T) -> f64 + Send + Sync + 'static,
        set: impl Fn(&mut T, f64) + Send + Sync + 'static,
    ) -> AnyView {
        let (row, key) = (self.clone(), key.to_owned());
        let id = self.id(&key);
        let settings = self.desk.keep.settings;
        let label_spoken = label.is_some();
        let label = Signal::derive(move || {
            label
                .clone()
                .unwrap_or_else(|| words::label(limit, settings.get().level).to_owned())
        });
        view! {
            <Quantity
                id=id
                label=label
                label_spoken=label_spoken
                limit=limit
                unit=shown_unit(self.desk, limit)
                value=self.read(get)
                on_change=Callback::new(move |value| row.change(Some(&key), limit.label, |part| set(part, value)))
                on_done=self.on_done()
            />
        }
        .into_any()
    }

    /// A number of the part that may be left open; `proposed` holds while it is.
    pub(super) fn optional(
        &self,
        limit: &'static Limit,
        key: &str,
        proposed: Signal<Option<f64>>,
        get: impl Fn(&T) -> Option<f64> + Send + Sync + 'static,
        set: impl Fn(&mut T, Option<f64>) + Send + Sync + 'static,
    ) -> AnyView {
        let settings = self.desk.keep.settings;
        let label = Signal::derive(move || words::label(limit, settings.get().level).to_owned());
        self.left_open(limit, key, (label, false), proposed, get, set)
    }

    /// The same in a table, whose heading shows what it is; the label is only spoken.
    pub(super) fn optional_named(
        &self,
        limit: &'static Limit,
        key: &str,
        label: Signal<String>,
        proposed: Signal<Option<f64>>,
        get: impl Fn(&T) -> Option<f64> + Send + Sync + 'static,
        set: impl Fn(&mut T, Option<f64>) + Send + Sync + 'static,
    ) -> AnyView {
        self.left_open(limit, key, (label, true), proposed, get, set)
    }

    fn left_open(
        &self,
        limit: &'static Limit,
        key: &str,
        (label, label_spoken): (Signal<String>, bool),
        proposed: Signal<Option<f64>>,
        get: impl Fn(&T) -> Option<f64> + Send + Sync + 'static,
        set: impl Fn(&mut T, Option<f64>) + Send + Sync + 'static,
    ) -> AnyView {
        let (row, key) = (self.clone(), key.to_owned());
        view! {
            <OptionalQuantity
                id=self.id(&key)
                label=label
                label_spoken=label_spoken
                limit=limit
                unit=shown_unit(self.desk, limit)
                value=self.read(get)
                proposed=proposed
                on_change=Callback::new(move |value| row.change(Some(&key), limit.label, |part| set(part, value)))
                on_done=self.on_done()
            />
        }
        .into_any()
    }

    /// Yes, no, or not known yet.
    pub(super) fn answer(
        &self,
        key: &'static str,
        label: impl Into<Signal<String>>,
        get: fn(&T) -> Option<bool>,
        set: fn(&mut T, Option<bool>),
    ) -> AnyView {
        self.choice(
            key,
            label,
            &[
                (None, "not known"),
                (Some(true), "yes"),
                (Some(false), "no"),
            ],
            get,
            set,
        )
    }

    /// A name of the part.
    pub(super) fn text(
        &self,
        key: &'static str,
        label: &'static str,
        label_spoken: bool,
        get: fn(&T) -> &String,
        set: fn(&mut T, String),
    ) -> AnyView {
        let row = self.clone();
        view! {
            <Text
                id=self.id(key)
                label=label
                label_spoken=label_spoken
                value=self.read(move |part| get(part).clone())
                on_change=Callback::new(move |text| row.change(Some(key), label, |part| set(part, text)))
                on_done=self.on_done()
            />
        }
        .into_any()
    }

    /// One of a few kinds.
    pub(super) fn choice<C: Copy + PartialEq + Send + Sync + 'static>(
        &self,
        key: &'static str,
        label: impl Into<Signal<String>>,
        items: &[(C, &'static str)],
        get: fn(&T) -> C,
        set: fn(&mut T, C),
    ) -> AnyView {
        let (row, label) = (self.clone(), label.into());
        let kinds: Vec<C> = items.iter().map(|(kind, _)| *kind).collect();
        let texts: Vec<(String, bool)> = items
            .iter()
            .map(|(_, text)| ((*text).to_owned(), true))
            .collect();
        let chosen = {
            let (now, kinds) = (self.now, kinds.clone());
            Memo::new(move |_| {
                now.with(|now| {
                    let kind = get(now.as_ref()?);
                    kinds.iter().position(|other| *other == kind)
                })
            })
        };
        view! {
            <Choice
                id=self.id(key)
                label=label
                items=texts
                chosen=chosen
                on_change=Callback::new(move |index: usize| {
                    if let Some(kind) = kinds.get(index) {
                        row.change(None, &label.get_untracked(), |part| set(part, *kind));
                    }
                })
            />
        }
        .into_any()
    }

    /// One of a few kinds, each named in plain and trade words.
    pub(super) fn choice_in_words<C: Copy + PartialEq + Send + Sync + 'static>(
        &self,
        key: &'static str,
        label: &'static str,
        items: &'static [(C, Word)],
        get: impl Fn(&T) -> C + Send + Sync + 'static,
        set: impl Fn(&mut T, C) + Send + Sync + 'static,
    ) -> AnyView {
        let (row, desk) = (self.clone(), self.desk);
        let texts = Signal::derive(move || {
            items
                .iter()
                .map(|(_, word)| (desk.word(*word).to_owned(), true))
                .collect::<Vec<_>>()
        });
        let chosen = self.read(move |part| {
            let kind = get(part);
            items.iter().position(|(other, _)| *other == kind)
        });
        view! {
            <Choice
                id=self.id(key)
                label=label
                items=texts
                chosen=chosen
                on_change=Callback::new(move |index: usize| {
                    if let Some((kind, _)) = items.get(index) {
                        row.change(None, label, |part| set(part, *kind));
                    }
                })
            />
        }
        .into_any()
    }

    /// Yes or no, in plain and trade words.
    pub(super) fn tick_in_words(
        &self,
        key: &'static str,
        label: Word,
        get: fn(&T) -> bool,
        set: fn(&mut T, bool),
    ) -> AnyView {
        let (row, desk) = (self.clone(), self.desk);
        view! {
            <Tick
                id=self.id(key)
                label=Signal::derive(move || desk.word(label).to_owned())
                value=self.read(get)
                on_change=Callback::new(move |value| row.change(None, label.at(Level::Trade), |part| set(part, value)))
            />
        }
        .into_any()
    }

    /// Yes or no.
    pub(super) fn tick(
        &self,
        key: &'static str,
        label: &'static str,
        get: fn(&T) -> bool,
        set: fn(&mut T, bool),
    ) -> AnyView {
        let row = self.clone();
        view! {
            <Tick
                id=self.id(key)
                label=label
                value=self.read(get)
                on_change=Callback::new(move |value| row.change(None, label, |part| set(part, value)))
            />
        }
        .into_any()
    }
}

/// How a number of this row is shown on this desk.
pub(super) fn shown_unit(desk: Desk, limit: &'static Limit) -> Memo<ShownUnit> {
    Memo::new(move |_| {
        let system: UnitSystem = desk.keep.settings.with(|settings| settings.units);
        desk.household
            .with(|household| ShownUnit::of(limit, system, &household.tariff.currency))
    })
}
