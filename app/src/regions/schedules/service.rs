//! The utility service: supply, breakers, export limit.

use couplet_core::household::{Service, Supply};
use couplet_core::island::take_supply;
use couplet_core::limits;
use leptos::prelude::*;

use super::row::Row;
use super::{Details, Schedule};
use crate::desk::Desk;
use crate::parts::Choice;
use crate::words::Word;

/// What may be exported, without its number.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
enum Export {
    #[default]
    Free,
    Zero,
    Limited,
}

impl Export {
    fn of(limit_w: Option<f64>) -> Self {
        match limit_w {
            None => Self::Free,
            Some(0.0) => Self::Zero,
            Some(_) => Self::Limited,
        }
    }

    fn limit_w(self) -> Option<f64> {
        match self {
            Self::Free => None,
            Self::Zero => Some(0.0),
            Self::Limited => Some(limits::SERVICE_EXPORT_LIMIT_W.default),
        }
    }
}

const SUPPLIES: [(Supply, &str); 4] = [
    (
        Supply::SplitPhase120V240V60Hz,
        "120/240 V split-phase, 60 Hz",
    ),
    (Supply::SinglePhase230V50Hz, "230 V single-phase, 50 Hz"),
    (
        Supply::ThreePhase230V400V50Hz,
        "230/400 V three-phase, 50 Hz",
    ),
    (
        Supply::ThreePhase120V208V60Hz,
        "120/208 V three-phase, 60 Hz",
    ),
];

/// The schedule of the service.
#[component]
pub(super) fn ServiceSchedule(desk: Desk) -> impl IntoView {
    let row: Row<Service> = Row::new(
        desk,
        "service",
        "service",
        |household| Some(&household.service),
        |household| Some(&mut household.service),
    );
    let export = row.read(|service| Export::of(service.export_limit_w));
    let limited = row.clone();
    let limit = move || {
        (export.get() == Export::Limited).then(|| {
            limited.quantity(
                &limits::SERVICE_EXPORT_LIMIT_W,
                |service| service.export_limit_w.unwrap_or_default(),
                |service, value| service.export_limit_w = Some(value),
            )
        })
    };
    let utility = row.read(|service| service.utility);
    let supply = Memo::new(move |_| desk.household.with(|household| household.service.supply));
    let of_utility = {
        let row = row.clone();
        move || {
            utility.get().then(|| {
                view! {
                    {row.choice(
                        "export",
                        "export",
                        &[(Export::Free, "no limit"), (Export::Zero, "none permitted"), (Export::Limited, "up to a limit")],
                        |service| Export::of(service.export_limit_w),
                        |service, export| service.export_limit_w = export.limit_w(),
                    )}
                    {limit.clone()}
                    <Details clone:row desk title=Word::Breakers>
                        {row.quantity(&limits::SERVICE_MAIN_BREAKER_A, |service| service.main_breaker_a, |service, value| service.main_breaker_a = value)}
                        {row.quantity(&limits::SERVICE_BUSBAR_A, |service| service.busbar_a, |service, value| service.busbar_a = value)}
                        {row.quantity(&limits::SERVICE_TRANSFER_A, |service| service.transfer_a, |service, value| service.transfer_a = value)}
                    </Details>
                }
            })
        }
    };
    view! {
        <Schedule desk name="service" title=Word::Service>
            <Choice
                id="service-utility".to_owned()
                label="grid"
                items=vec![("connected".to_owned(), true), ("none: off-grid".to_owned(), true)]
                chosen=Memo::new(move |_| Some(usize::from(!utility.get())))
                on_change=Callback::new(move |place: usize| desk.change("service: grid", None, |household| {
                    if place == 0 {
                        household.service.utility = true;
                    } else {
                        household.leave_grid();
                    }
                }))
            />
            <Choice
                id="service-supply".to_owned()
                label="supply"
                items=SUPPLIES.map(|(_, text)| (text.to_owned(), true)).to_vec()
                chosen=Memo::new(move |_| supply.with(|supply| SUPPLIES.iter().position(|(one, _)| one == supply)))
                on_change=Callback::new(move |place: usize| {
                    if let Some((supply, _)) = SUPPLIES.get(place) {
                        desk.change("service: supply", None, |household| take_supply(household, *supply));
                    }
                })
            />
            {of_utility}
            <Show when=move || !utility.get()>
                <p class="note">"There is one live bus: loads, PV inverters and storage belong on the backed-up side. They were set there if the grid was taken away here."</p>
            </Show>
        </Schedule>
    }
    .into_any()
}
