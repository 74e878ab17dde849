//! Fields of money: numbers of the household or the open option, and figures that a placeholder stands for until one is typed.

use couplet_core::household::Household;
use couplet_core::limits::Limit;
use couplet_core::outlook::Figure;
use leptos::prelude::*;

use crate::desk::Desk;
use crate::parts::{Quantity, ShownUnit};
use crate::words;

/// A number in the household: where it is shown, and how it is changed.
#[derive(Clone, Copy)]
pub(super) struct Field {
    pub(super) desk: Desk,
    pub(super) limit: &'static Limit,
}

impl Field {
    fn unit(self) -> Memo<ShownUnit> {
        let Self { desk, limit } = self;
        Memo::new(move |_| {
            let system = desk.keep.settings.with(|settings| settings.units);
            desk.household
                .with(|household| ShownUnit::of(limit, system, &household.tariff.currency))
        })
    }

    /// The field of a number that is always there. Its own words are `label`, or those of its row.
    pub(super) fn number(
        self,
        id: String,
        label: Option<Signal<String>>,
        label_spoken: bool,
        value: impl Fn(&Household) -> Option<f64> + Send + Sync + 'static,
        set: impl Fn(&mut Household, f64) + Send + Sync + 'static,
    ) -> AnyView {
        let Self { desk, limit } = self;
        let key = id.clone();
        let label = Signal::derive(move || {
            label.map_or_else(
                || {
                    let level = desk.keep.settings.with(|settings| settings.level);
                    words::label(limit, level).to_owned()
                },
                |label| label.get(),
            )
        });
        view! {
            <Quantity
                id
                label
                label_spoken
                limit
                unit=self.unit()
                value=Memo::new(move |_| desk.household.with(|household| value(household).unwrap_or_default()))
                on_change=Callback::new(move |typed| {
                    desk.change(&format!("money: {}", limit.label), Some(&key), |household| set(household, typed));
                })
                on_done=Callback::new(move |()| desk.close_merge())
            />
        }
        .into_any()
    }

    /// The field of a figure that may be a placeholder: it says so until a figure is typed, and then offers to take it back.
    pub(super) fn figure(
        self,
        id: String,
        label: String,
        held_by: &'static str,
        figure: impl Fn(&Household) -> Option<Figure> + Send + Sync + 'static,
        set: impl Fn(&mut Household, Option<f64>) + Clone + Send + Sync + 'static,
    ) -> AnyView {
        let desk = self.desk;
        let figure = Memo::new(move |_| desk.household.with(|household| figure(household)));
        let given = Memo::new(move |_| figure.with(|figure| figure.is_some_and(|it| it.given)));
        let set_typed = set.clone();
        let take_back = format!("Take back the figure given for {label}");
        let label = Signal::derive(move || match given.get() {
            true => label.clone(),
            false => format!("{label}, {held_by}"),
        });
        let number = self.number(
            id,
            Some(label),
            true,
            move |_| figure.get().map(|figure| figure.value),
            move |household, typed| set_typed(household, Some(typed)),
        );
        let mark = move || {
            if given.get() {
                let set = set.clone();
                let undo = move |_| {
                    desk.change("take a figure back", None, |household| set(household, None));
                };
                let said = take_back.clone();
                view! {
                    <button type="button" class="quiet remove" title=said.clone() aria-label=said on:click=undo>
                        "\u{d7}"
                    </button>
                }
                .into_any()
            } else {
                view! { <span class="placeholder">{held_by}</span> }.into_any()
            }
        };
        view! {
            <div class="money-figure" data-state=move || (!given.get()).then_some("placeholder")>
                {number}
                {mark}
            </div>
        }
        .into_any()
    }
}
