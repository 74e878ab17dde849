//! What is assumed of money, edited in place: years, rates, incentives in their order, a loan.

use couplet_core::household::{
    Finance, GivenFor, Household, IncentiveAmount, IncentiveTerms, LoanTerms,
};
use couplet_core::limits::{self, Limit};
use leptos::prelude::*;

use super::field::Field;
use crate::desk::Desk;
use crate::parts::{Choice, Text, Tick};
use crate::words::Word;

const GIVEN_FOR: [(GivenFor, &str); 3] = [
    (GivenFor::AnyCost, "for all that is bought"),
    (GivenFor::NewArrays, "only with new arrays"),
    (GivenFor::NewStorage, "only with new storage"),
];

const KINDS: [&str; 3] = [
    "an amount",
    "a share of what is left to pay",
    "so much a year",
];

/// Rates, incentives and loan, folded.
#[component]
pub(super) fn Terms(desk: Desk) -> impl IntoView {
    let rate =
        move |limit: &'static Limit, get: fn(&Finance) -> f64, set: fn(&mut Finance, f64)| {
            Field { desk, limit }.number(
                format!("finance-{}", limit.key()),
                None,
                false,
                move |household| Some(get(&household.finance)),
                move |household, value| set(&mut household.finance, value),
            )
        };
    let rates = view! {
        {rate(&limits::FINANCE_YEARS, |finance| f64::from(finance.years), |finance, value| finance.years = whole(value))}
        {rate(&limits::FINANCE_ENERGY_PRICE_GROWTH, |finance| finance.energy_price_growth, |finance, value| finance.energy_price_growth = value)}
        {rate(&limits::FINANCE_PRICE_GROWTH, |finance| finance.price_growth, |finance, value| finance.price_growth = value)}
        {rate(&limits::FINANCE_DISCOUNT_RATE, |finance| finance.discount_rate, |finance, value| finance.discount_rate = value)}
        {rate(&limits::FINANCE_ARRAY_FADE_PER_YEAR, |finance| finance.array_fade_per_year, |finance, value| finance.array_fade_per_year = value)}
    };
    let count = Memo::new(move |_| {
        desk.household
            .with(|household| household.finance.incentives.len())
    });
    let incentives = move || {
        (0..count.get())
            .map(|place| incentive(desk, place))
            .collect_view()
    };
    let add = move |_| {
        desk.change("add an incentive", None, |household| {
            household.finance.incentives.push(IncentiveTerms {
                name: "Incentive".to_owned(),
                given_for: GivenFor::AnyCost,
                amount: IncentiveAmount::Fixed { fixed_cur: 0.0 },
            });
        });
    };
    view! {
        <details class="details money-terms">
            <summary>{move || desk.word(Word::Assumed)}</summary>
            <div class="fields">{rates}</div>
            {loan(desk)}
            <h3 class="label">{move || desk.word(Word::Grants)}</h3>
            <p class="note" hidden=move || count.get() != 0>"None is assumed."</p>
            <ol class="money-incentives">{incentives}</ol>
            <button type="button" class="add" on:click=add>
                "Add an incentive"
            </button>
        </details>
    }
    .into_any()
}

fn loan(desk: Desk) -> AnyView {
    let there = Memo::new(move |_| {
        desk.household
            .with(|household| household.finance.loan.is_some())
    });
    let field =
        move |limit: &'static Limit, get: fn(&LoanTerms) -> f64, set: fn(&mut LoanTerms, f64)| {
            Field { desk, limit }.number(
                format!("finance-loan-{}", limit.key()),
                None,
                false,
                move |household| household.finance.loan.as_ref().map(get),
                move |household, value| {
                    if let Some(loan) = &mut household.finance.loan {
                        set(loan, value);
                    }
                },
            )
        };
    let fields = move || {
        there.get().then(|| {
            view! {
                {field(&limits::LOAN_SHARE, |loan| loan.share, |loan, value| loan.share = value)}
                {field(&limits::LOAN_RATE_PER_YEAR, |loan| loan.rate_per_year, |loan, value| loan.rate_per_year = value)}
                {field(&limits::LOAN_YEARS, |loan| f64::from(loan.years), |loan, value| loan.years = whole(value))}
            }
        })
    };
    view! {
        <div class="fields">
            <Tick
                id="finance-loan".to_owned()
                label=Signal::derive(move || desk.word(Word::Borrowing).to_owned())
                value=there
                on_change=Callback::new(move |there: bool| {
                    desk.change("a loan", None, |household| household.finance.loan = there.then(LoanTerms::default));
                })
            />
            {fields}
        </div>
    }
    .into_any()
}

fn at(household: &Household, place: usize) -> Option<&IncentiveTerms> {
    household.finance.incentives.get(place)
}

fn incentive(desk: Desk, place: usize) -> AnyView {
    let change =
        move |label: &'static str, merge: Option<&str>, edit: &dyn Fn(&mut IncentiveTerms)| {
            desk.change(label, merge, |household| {
                if let Some(incentive) = household.finance.incentives.get_mut(place) {
                    edit(incentive);
                }
            });
        };
    let now = Memo::new(move |_| {
        desk.household
            .with(|household| at(household, place).cloned())
    });
    let name = Signal::derive(move || now.get().map(|it| it.name).unwrap_or_default());
    let id = move |key: &str| format!("finance-incentive-{place}-{key}");
    let name_id = id("name");
    let merge = name_id.clone();
    let given_for = Memo::new(move |_| {
        let given = now.get()?.given_for;
        GIVEN_FOR.iter().position(|(other, _)| *other == given)
    });
    let kind = Memo::new(move |_| now.get().map(|it| kind_of(it.amount)));
    let fields = move || match kind.get() {
        Some(0) => amount_field(desk, place, &limits::INCENTIVE_FIXED_CUR),
        Some(1) => view! {
            {amount_field(desk, place, &limits::INCENTIVE_SHARE)}
            {most(desk, place)}
            {amount_field(desk, place, &limits::INCENTIVE_YEAR)}
        }
        .into_any(),
        Some(_) => view! {
            {amount_field(desk, place, &limits::INCENTIVE_YEARLY_CUR)}
            {amount_field(desk, place, &limits::INCENTIVE_YEARS)}
        }
        .into_any(),
        None => ().into_any(),
    };
    let items = |words: &[&str]| -> Vec<(String, bool)> {
        words
            .iter()
            .map(|text| ((*text).to_owned(), true))
            .collect()
    };
    let remove = move |_| {
        desk.change("remove an incentive", None, |household| {
            if place < household.finance.incentives.len() {
                household.finance.incentives.remove(place);
            }
        });
    };
    let earlier = move |_| {
        desk.change("reorder incentives", None, |household| {
            if place > 0 && place < household.finance.incentives.len() {
                household.finance.incentives.swap(place - 1, place);
            }
        });
    };
    view! {
        <li class="fields">
            <Text
                id=name_id
                label="name of the incentive"
                label_spoken=true
                value=name
                on_change=Callback::new(move |text: String| change("rename an incentive", Some(&merge), &|it| it.name.clone_from(&text)))
                on_done=Callback::new(move |()| desk.close_merge())
            />
            <Choice
                id=id("given_for")
                label="given"
                items=items(&GIVEN_FOR.map(|(_, text)| text))
                chosen=given_for
                on_change=Callback::new(move |index: usize| {
                    if let Some((given, _)) = GIVEN_FOR.get(index) {
                        change("who gets an incentive", None, &|it| it.given_for = *given);
                    }
                })
            />
            <Choice
                id=id("amount")
                label="it is"
                items=items(&KINDS)
                chosen=kind
                on_change=Callback::new(move |index: usize| change("kind of an incentive", None, &|it| it.amount = usual(index)))
            />
            {fields}
            <p class="money-incentive-tools">
                <button type="button" class="quiet" disabled=place == 0 on:click=earlier aria-label=move || format!("Reckon {} earlier", name.get())>
                    "\u{2191} earlier"
                </button>
                <button type="button" class="quiet" on:click=remove aria-label=move || format!("Remove {}", name.get())>
                    "\u{d7} remove"
                </button>
            </p>
        </li>
    }
    .into_any()
}

fn kind_of(amount: IncentiveAmount) -> usize {
    match amount {
        IncentiveAmount::Fixed { .. } => 0,
        IncentiveAmount::Share { .. } => 1,
        IncentiveAmount::Yearly { .. } => 2,
    }
}

/// An incentive of another kind begins with nothing: none is assumed.
fn usual(kind: usize) -> IncentiveAmount {
    match kind {
        0 => IncentiveAmount::Fixed { fixed_cur: 0.0 },
        1 => IncentiveAmount::Share {
            share: 0.0,
            most_cur: None,
            year: 0,
        },
        _ => IncentiveAmount::Yearly {
            yearly_cur: 0.0,
            years: whole(limits::INCENTIVE_YEARS.default),
        },
    }
}

/// Reads one number of an amount by its row.
fn number(amount: &IncentiveAmount, key: &str) -> Option<f64> {
    match (amount, key) {
        (IncentiveAmount::Fixed { fixed_cur }, _) => Some(*fixed_cur),
        (IncentiveAmount::Share { share, .. }, "share") => Some(*share),
        (IncentiveAmount::Share { year, .. }, "year") => Some(f64::from(*year)),
        (IncentiveAmount::Share { most_cur, .. }, _) => *most_cur,
        (IncentiveAmount::Yearly { years, .. }, "years") => Some(f64::from(*years)),
        (IncentiveAmount::Yearly { yearly_cur, .. }, _) => Some(*yearly_cur),
    }
}

fn set_number(amount: &mut IncentiveAmount, key: &str, value: f64) {
    match (amount, key) {
        (IncentiveAmount::Fixed { fixed_cur }, _) => *fixed_cur = value,
        (IncentiveAmount::Share { share, .. }, "share") => *share = value,
        (IncentiveAmount::Share { year, .. }, "year") => *year = whole(value),
        (IncentiveAmount::Share { most_cur, .. }, _) => *most_cur = Some(value),
        (IncentiveAmount::Yearly { years, .. }, "years") => *years = whole(value),
        (IncentiveAmount::Yearly { yearly_cur, .. }, _) => *yearly_cur = value,
    }
}

fn amount_field(desk: Desk, place: usize, limit: &'static Limit) -> AnyView {
    Field { desk, limit }.number(
        format!("finance-incentive-{place}-{}", limit.key()),
        None,
        false,
        move |household| number(&at(household, place)?.amount, limit.key()),
        move |household, value| {
            if let Some(incentive) = household.finance.incentives.get_mut(place) {
                set_number(&mut incentive.amount, limit.key(), value);
            }
        },
    )
}

/// The limit of a share, if there is one.
fn most(desk: Desk, place: usize) -> AnyView {
    let there = Memo::new(move |_| {
        desk.household.with(|household| {
            at(household, place).is_some_and(|it| number(&it.amount, "most_cur").is_some())
        })
    });
    let set = move |there: bool| {
        desk.change("limit of an incentive", None, |household| {
            if let Some(incentive) = household.finance.incentives.get_mut(place)
                && let IncentiveAmount::Share { most_cur, .. } = &mut incentive.amount
            {
                *most_cur = there.then_some(limits::INCENTIVE_MOST_CUR.default);
            }
        });
    };
    view! {
        <Tick
            id=format!("finance-incentive-{place}-limited")
            label="it has a limit"
            value=there
            on_change=Callback::new(set)
        />
        {move || there.get().then(|| amount_field(desk, place, &limits::INCENTIVE_MOST_CUR))}
    }
    .into_any()
}

/// A number of years, to the next whole one.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the row bounds it; a cast to integer saturates"
)]
fn whole(value: f64) -> u32 {
    value.round() as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_number_of_an_incentive_is_set_where_it_is_read() {
        for kind in 0..KINDS.len() {
            let mut amount = usual(kind);
            assert_eq!(kind_of(amount), kind);
            for key in [
                "fixed_cur",
                "share",
                "most_cur",
                "year",
                "yearly_cur",
                "years",
            ] {
                set_number(&mut amount, key, 3.0);
                assert_eq!(number(&amount, key), Some(3.0), "{amount:?} {key}");
            }
        }
    }
}
