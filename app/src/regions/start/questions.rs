//! The six questions.

use couplet_core::document::{
    Answers, EnergyUse, OutageNeed, Place, Prices, StandingPv, Wish, start,
};
use couplet_core::limits::{self, Limit};
use leptos::prelude::*;

use super::Given;
use crate::desk::Desk;
use crate::parts::{Choice, Quantity, ShownUnit};
use crate::place_list::Found;
use crate::regions::schedules::PlaceSearch;

/// What holds until something else is answered.
pub(super) fn defaults() -> Answers {
    Answers {
        place: Place {
            name: String::new(),
            country: String::new(),
            latitude_deg: limits::SITE_LATITUDE_DEG.default,
            longitude_deg: limits::SITE_LONGITUDE_DEG.default,
            elevation_m: limits::SITE_ELEVATION_M.default,
            utc_offset_h: limits::SITE_UTC_OFFSET_H.default,
            time_zone: String::new(),
        },
        energy: EnergyUse::Yearly(limits::BASE_YEARLY_WH.default),
        standing: None,
        outage: OutageNeed::Essential,
        prices: flat(),
        wish: Wish::LowerBill,
    }
}

fn flat() -> Prices {
    Prices::Flat {
        buy_cur_per_kwh: limits::TIER_CUR_PER_KWH.default,
        sell_cur_per_kwh: limits::EXPORT_FLAT_CUR_PER_KWH.default,
    }
}

/// The currency of the place; empty before there is one.
fn currency(answers: &Answers) -> String {
    match answers.place.name.as_str() {
        "" => String::new(),
        _ => start(answers).tariff.currency,
    }
}

/// A question with its number.
#[component]
fn Question(number: u32, title: &'static str, children: Children) -> impl IntoView {
    view! {
        <li class="question">
            <fieldset>
                <legend>
                    <span class="number" aria-hidden="true">{number}</span>
                    {title}
                </legend>
                {children()}
            </fieldset>
        </li>
    }
    .into_any()
}

/// A number among the answers.
#[component]
fn Number(
    desk: Desk,
    id: &'static str,
    label: &'static str,
    limit: &'static Limit,
    answers: Given,
    get: fn(&Answers) -> Option<f64>,
    set: fn(&mut Answers, f64),
) -> impl IntoView {
    let unit = Memo::new(move |_| {
        let system = desk.keep.settings.with(|settings| settings.units);
        ShownUnit::of(limit, system, &answers.with(currency))
    });
    view! {
        <Quantity
            id=id.to_owned()
            label=label
            limit=limit
            unit=unit
            value=Memo::new(move |_| answers.with(get).unwrap_or(limit.default))
            on_change=Callback::new(move |value| answers.update(|answers| set(answers, value)))
            on_done=Callback::new(|()| ())
        />
    }
    .into_any()
}

/// One of a few answers.
#[component]
fn OneOf<C: Copy + PartialEq + Send + Sync + 'static>(
    id: &'static str,
    label: &'static str,
    kinds: Vec<(C, &'static str)>,
    answers: Given,
    get: fn(&Answers) -> C,
    set: fn(&mut Answers, C),
) -> impl IntoView {
    let items: Vec<_> = kinds
        .iter()
        .map(|(_, text)| ((*text).to_owned(), true))
        .collect();
    let kinds: Vec<C> = kinds.into_iter().map(|(kind, _)| kind).collect();
    let chosen = {
        let kinds = kinds.clone();
        Memo::new(move |_| {
            let kind = answers.with(get);
            kinds.iter().position(|other| *other == kind)
        })
    };
    view! {
        <Choice
            id=id.to_owned()
            label=label
            items=items
            chosen=chosen
            on_change=Callback::new(move |index: usize| {
                if let Some(kind) = kinds.get(index) {
                    answers.update(|answers| set(answers, *kind));
                }
            })
        />
    }
    .into_any()
}

#[component]
pub(super) fn PlaceQuestion(desk: Desk, answers: Given) -> impl IntoView {
    let on_place =
        Callback::new(move |found: Found| answers.update(|answers| answers.place = found.answer()));
    let chosen = move || {
        answers.with(|answers| match answers.place.name.as_str() {
            "" => "No place chosen yet.".to_owned(),
            name => format!(
                "{name}: {:.2}\u{b0}, {:.2}\u{b0}, {:.0} m",
                answers.place.latitude_deg, answers.place.longitude_deg, answers.place.elevation_m
            ),
        })
    };
    view! {
        <Question number=1 title="Where does it stand?">
            <PlaceSearch id="start-place" on_place />
            <p class="value-line" role="status">{chosen}</p>
            <details class="details">
                <summary>"or by its position on the map"</summary>
                <div class="fields">
                    <Number desk id="start-latitude" label="latitude" limit=&limits::SITE_LATITUDE_DEG answers
                        get=|answers| Some(answers.place.latitude_deg)
                        set=|answers, value| { answers.place.latitude_deg = value; by_position(&mut answers.place); } />
                    <Number desk id="start-longitude" label="longitude" limit=&limits::SITE_LONGITUDE_DEG answers
                        get=|answers| Some(answers.place.longitude_deg)
                        set=|answers, value| { answers.place.longitude_deg = value; by_position(&mut answers.place); } />
                    <Number desk id="start-elevation" label="height" limit=&limits::SITE_ELEVATION_M answers
                        get=|answers| Some(answers.place.elevation_m)
                        set=|answers, value| { answers.place.elevation_m = value; by_position(&mut answers.place); } />
                    <p class="note">"The country is then not known: time is taken from the longitude, the supply is 230 V at 50 Hz with the rules that go with it, and the currency US dollars, until they are set in the household."</p>
                </div>
            </details>
        </Question>
    }
    .into_any()
}

/// A place that is known by its position only.
fn by_position(place: &mut Place) {
    let (north, east) = (place.latitude_deg, place.longitude_deg);
    place.name = format!(
        "{:.2}\u{b0}\u{a0}{}, {:.2}\u{b0}\u{a0}{}",
        north.abs(),
        if north < 0.0 { "S" } else { "N" },
        east.abs(),
        if east < 0.0 { "W" } else { "E" }
    );
    place.country = String::new();
    place.time_zone = String::new();
    place.utc_offset_h = (place.longitude_deg / 15.0).round();
}

#[component]
pub(super) fn Energy(desk: Desk, answers: Given) -> impl IntoView {
    let monthly =
        Memo::new(move |_| answers.with(|answers| matches!(answers.energy, EnergyUse::Monthly(_))));
    let fields = move || {
        if monthly.get() {
            crate::regions::schedules::MONTHS
                .into_iter()
                .enumerate()
                .map(|(month, name)| {
                    let unit = Memo::new(move |_| {
                        let system = desk.keep.settings.with(|settings| settings.units);
                        ShownUnit::of(&limits::BASE_MONTHLY_WH, system, "")
                    });
                    view! {
                        <Quantity
                            id=format!("start-month-{month}")
                            label=name
                            limit=&limits::BASE_MONTHLY_WH
                            unit=unit
                            value=Memo::new(move |_| answers.with(|answers| match &answers.energy {
                                EnergyUse::Monthly(months) => months.get(month).copied().unwrap_or_default(),
                                EnergyUse::Yearly(energy_wh) => energy_wh / 12.0,
                            }))
                            on_change=Callback::new(move |value| answers.update(|answers| {
                                if let EnergyUse::Monthly(months) = &mut answers.energy
                                    && let Some(kept) = months.get_mut(month)
                                {
                                    *kept = value;
                                }
                            }))
                            on_done=Callback::new(|()| ())
                        />
                    }
                })
                .collect_view()
                .into_any()
        } else {
            view! {
                <Number desk id="start-year" label="in a year" limit=&limits::BASE_YEARLY_WH answers
                    get=|answers| match answers.energy {
                        EnergyUse::Yearly(energy_wh) => Some(energy_wh),
                        EnergyUse::Monthly(_) => None,
                    }
                    set=|answers, value| answers.energy = EnergyUse::Yearly(value) />
            }
            .into_any()
        }
    };
    view! {
        <Question number=2 title="How much electricity does it use?">
            <OneOf id="start-energy" label="known" answers
                kinds=vec![(false, "for a year"), (true, "for each month")]
                get=|answers| matches!(answers.energy, EnergyUse::Monthly(_))
                set=|answers, monthly| {
                    answers.energy = match (&answers.energy, monthly) {
                        (EnergyUse::Yearly(energy_wh), true) => EnergyUse::Monthly([energy_wh / 12.0; 12]),
                        (EnergyUse::Monthly(months), false) => EnergyUse::Yearly(months.iter().sum()),
                        (same, _) => same.clone(),
                    };
                } />
            {fields}
        </Question>
    }
    .into_any()
}

#[component]
pub(super) fn Standing(desk: Desk, answers: Given) -> impl IntoView {
    let stands = Memo::new(move |_| answers.with(|answers| answers.standing.is_some()));
    let fields = move || {
        stands.get().then(|| {
            view! {
                <Number desk id="start-pv" label="size" limit=&limits::ARRAY_PEAK_W answers
                    get=|answers| answers.standing.as_ref().map(|pv| pv.peak_w)
                    set=|answers, value| if let Some(pv) = &mut answers.standing { pv.peak_w = value } />
                <Number desk id="start-tilt" label="slope (0 is level)" limit=&limits::PLANE_TILT_DEG answers
                    get=|answers| answers.standing.as_ref().map(|pv| pv.tilt_deg)
                    set=|answers, value| if let Some(pv) = &mut answers.standing { pv.tilt_deg = value } />
                <Number desk id="start-azimuth" label="faces (90 east, 180 south, 270 west)" limit=&limits::PLANE_AZIMUTH_DEG answers
                    get=|answers| answers.standing.as_ref().map(|pv| pv.azimuth_deg)
                    set=|answers, value| if let Some(pv) = &mut answers.standing { pv.azimuth_deg = value } />
            }
        })
    };
    view! {
        <Question number=3 title="Do solar panels stand already?">
            <OneOf id="start-standing" label="PV" answers
                kinds=vec![(false, "none yet"), (true, "yes")]
                get=|answers| answers.standing.is_some()
                set=|answers, stands| {
                    answers.standing = stands.then_some(StandingPv {
                        peak_w: limits::ARRAY_PEAK_W.default,
                        tilt_deg: limits::PLANE_TILT_DEG.default,
                        azimuth_deg: if answers.place.latitude_deg < 0.0 { 0.0 } else { limits::PLANE_AZIMUTH_DEG.default },
                    });
                } />
            {fields}
        </Question>
    }
    .into_any()
}

/// What must run, without its number.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Need {
    Nothing,
    Essential,
    Share,
    WholeHome,
    NoGrid,
}

/// Whether there is no grid.
fn off_grid(answers: &Answers) -> bool {
    matches!(answers.outage, OutageNeed::NoGrid { .. })
}

#[component]
pub(super) fn Outage(desk: Desk, answers: Given) -> impl IntoView {
    let share =
        Memo::new(move |_| answers.with(|answers| matches!(answers.outage, OutageNeed::Share(_))));
    let field = move || {
        share.get().then(|| {
            view! {
                <Number desk id="start-share" label="share of the use" limit=&limits::LOADS_BACKED_UP_SHARE answers
                    get=|answers| match answers.outage {
                        OutageNeed::Share(share) => Some(share),
                        _ => None,
                    }
                    set=|answers, share| answers.outage = OutageNeed::Share(share) />
            }
        })
    };
    view! {
        <Question number=4 title="What must run when the grid is gone?">
            <OneOf id="start-outage" label="in an outage" answers
                kinds=vec![
                    (Need::Essential, "lights, fridge, heating controls, network"),
                    (Need::Nothing, "nothing"),
                    (Need::Share, "another share of the use"),
                    (Need::WholeHome, "the whole home"),
                    (Need::NoGrid, "there is no grid here: off-grid"),
                ]
                get=|answers| match answers.outage {
                    OutageNeed::Nothing => Need::Nothing,
                    OutageNeed::Essential => Need::Essential,
                    OutageNeed::Share(_) => Need::Share,
                    OutageNeed::WholeHome => Need::WholeHome,
                    OutageNeed::NoGrid { .. } => Need::NoGrid,
                }
                set=|answers, need| answers.outage = match need {
                    Need::Nothing => OutageNeed::Nothing,
                    Need::Essential => OutageNeed::Essential,
                    Need::Share => OutageNeed::Share(limits::LOADS_BACKED_UP_SHARE.default),
                    Need::WholeHome => OutageNeed::WholeHome,
                    Need::NoGrid => OutageNeed::NoGrid { generator: true },
                } />
            {field}
        </Question>
    }
    .into_any()
}

#[component]
pub(super) fn PricesQuestion(desk: Desk, answers: Given) -> impl IntoView {
    let by_hour = Memo::new(move |_| {
        answers.with(|answers| matches!(answers.prices, Prices::TimeOfUse { .. }))
    });
    let dear = move || {
        by_hour.get().then(|| {
            view! {
                <Number desk id="start-dear" label="buy, dear hours" limit=&limits::TIER_CUR_PER_KWH answers
                    get=|answers| match answers.prices {
                        Prices::TimeOfUse { dear_buy_cur_per_kwh, .. } => Some(dear_buy_cur_per_kwh),
                        Prices::Flat { .. } => None,
                    }
                    set=|answers, value| if let Prices::TimeOfUse { dear_buy_cur_per_kwh, .. } = &mut answers.prices {
                        *dear_buy_cur_per_kwh = value;
                    } />
                <Number desk id="start-dear-from" label="dear from" limit=&limits::WINDOW_FROM_H answers
                    get=|answers| match answers.prices {
                        Prices::TimeOfUse { dear_from_h, .. } => Some(dear_from_h),
                        Prices::Flat { .. } => None,
                    }
                    set=|answers, value| if let Prices::TimeOfUse { dear_from_h, .. } = &mut answers.prices { *dear_from_h = value } />
                <Number desk id="start-dear-to" label="dear to" limit=&limits::WINDOW_TO_H answers
                    get=|answers| match answers.prices {
                        Prices::TimeOfUse { dear_to_h, .. } => Some(dear_to_h),
                        Prices::Flat { .. } => None,
                    }
                    set=|answers, value| if let Prices::TimeOfUse { dear_to_h, .. } = &mut answers.prices { *dear_to_h = value } />
            }
        })
    };
    let grid = Memo::new(move |_| !answers.with(off_grid));
    view! {
        <Question number=5 title="What does electricity cost?">
            <Show when=move || !grid.get()>
                <p class="note">"Without a grid nothing is bought or sold: there is nothing to answer here."</p>
            </Show>
            <Show when=move || grid.get()>
            <OneOf id="start-tariff" label="price" answers
                kinds=vec![(false, "the same at all hours"), (true, "dearer in some hours")]
                get=|answers| matches!(answers.prices, Prices::TimeOfUse { .. })
                set=|answers, by_hour| {
                    let (buy_cur_per_kwh, sell_cur_per_kwh) = both(&answers.prices);
                    answers.prices = if by_hour {
                        Prices::TimeOfUse {
                            buy_cur_per_kwh,
                            dear_buy_cur_per_kwh: 1.6 * buy_cur_per_kwh,
                            dear_from_h: limits::WINDOW_FROM_H.default,
                            dear_to_h: limits::WINDOW_TO_H.default,
                            sell_cur_per_kwh,
                        }
                    } else {
                        Prices::Flat { buy_cur_per_kwh, sell_cur_per_kwh }
                    };
                } />
            <Number desk id="start-buy" label="buy" limit=&limits::TIER_CUR_PER_KWH answers
                get=|answers| Some(both(&answers.prices).0)
                set=|answers, value| match &mut answers.prices {
                    Prices::Flat { buy_cur_per_kwh, .. } | Prices::TimeOfUse { buy_cur_per_kwh, .. } => *buy_cur_per_kwh = value,
                } />
            {dear}
            <Number desk id="start-sell" label="sell" limit=&limits::EXPORT_FLAT_CUR_PER_KWH answers
                get=|answers| Some(both(&answers.prices).1)
                set=|answers, value| match &mut answers.prices {
                    Prices::Flat { sell_cur_per_kwh, .. } | Prices::TimeOfUse { sell_cur_per_kwh, .. } => *sell_cur_per_kwh = value,
                } />
            </Show>
        </Question>
    }
    .into_any()
}

/// Prices of bought (outside dear hours) and sold energy.
fn both(prices: &Prices) -> (f64, f64) {
    match *prices {
        Prices::Flat {
            buy_cur_per_kwh,
            sell_cur_per_kwh,
        }
        | Prices::TimeOfUse {
            buy_cur_per_kwh,
            sell_cur_per_kwh,
            ..
        } => (buy_cur_per_kwh, sell_cur_per_kwh),
    }
}

#[component]
pub(super) fn WishQuestion(answers: Given) -> impl IntoView {
    let grid = Memo::new(move |_| !answers.with(off_grid));
    let with_grid = move || {
        view! {
            <OneOf id="start-wish" label="first of all" answers
                kinds=vec![
                    (Wish::LowerBill, "a lower bill"),
                    (Wish::OutageCover, "to run on in an outage"),
                    (Wish::NoExport, "to send nothing to the grid"),
                ]
                get=|answers| answers.wish
                set=|answers, wish| answers.wish = wish />
        }
    };
    let without = move || {
        view! {
            <OneOf id="start-generator" label="in dark weeks" answers
                kinds=vec![(true, "a generator stands by"), (false, "sun and battery alone: larger, and sometimes dark")]
                get=|answers| answers.outage == OutageNeed::NoGrid { generator: true }
                set=|answers, generator| answers.outage = OutageNeed::NoGrid { generator } />
        }
    };
    view! {
        <Question number=6 title="What matters most?">
            {move || if grid.get() { with_grid().into_any() } else { without().into_any() }}
        </Question>
    }
    .into_any()
}
