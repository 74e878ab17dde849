//! Random tariffs that pass the check.

use couplet_core::bill::{
    CarryOver, DayKind, DemandCharge, Export, ExportPrice, Holiday, Period, Surplus, Tariff, TaxOn,
    Tier, TiersBy, Window,
};
use couplet_core::limits;
use proptest::array::uniform12;
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;

use super::number::any_window;

/// A tariff with up to five periods, tiers, demand charges and any way to settle export; prices may be negative.
pub fn any_tariff() -> impl Strategy<Value = Tariff> {
    let rule = option::of(select(vec![
        "EST5EDT,M3.2.0,M11.1.0".to_owned(),
        "CET-1CEST,M3.5.0,M10.5.0/3".to_owned(),
        "AEST-10AEDT,M10.1.0,M4.1.0/3".to_owned(),
    ]));
    let hours = vec(any_hours(), 1..3);
    (
        (rule, vec(any_holiday(), 0..4)),
        (0.0..50.0_f64, 0.0..2.0_f64, 0.0..80.0_f64, 0.0..0.3_f64),
        select(vec![TaxOn::ToPay, TaxOn::Bought]),
        (
            vec(any_period(hours.boxed()), 0..5),
            select(vec![TiersBy::EachPeriod, TiersBy::WholeMonth]),
        ),
        any_period(Just(Vec::new()).boxed()),
        vec(any_demand_charge(), 0..3),
        any_export(),
    )
        .prop_map(
            |(
                (clock_rule, holidays),
                (fixed, fixed_of_a_day, minimum, tax),
                tax_on,
                (mut periods, tiers_by),
                last,
                demand,
                export,
            )| {
                periods.push(last);
                Tariff {
                    name: "Any".to_owned(),
                    currency: "EUR".to_owned(),
                    clock_rule,
                    holidays,
                    fixed_cur_per_month: fixed,
                    fixed_cur_per_day: fixed_of_a_day,
                    minimum_cur_per_month: minimum,
                    periods,
                    tiers_by,
                    demand,
                    export,
                    tax,
                    tax_on,
                }
            },
        )
}

fn any_price() -> impl Strategy<Value = f64> + Clone {
    -0.1..1.0_f64
}

/// Hours, days and months at which something may hold.
pub(super) fn any_hours() -> impl Strategy<Value = Window> + Clone {
    let days = select(vec![
        DayKind::All,
        DayKind::Weekdays,
        DayKind::WeekendsAndHolidays,
    ]);
    let ends = any_window(&limits::WINDOW_FROM_H, &limits::WINDOW_TO_H);
    (uniform12(any::<bool>()), days, ends).prop_map(|(months, days, (from_h, to_h))| Window {
        months,
        days,
        from_h,
        to_h,
    })
}

fn any_holiday() -> impl Strategy<Value = Holiday> {
    prop_oneof![
        (0..12_usize, 1..29_u32).prop_map(|(month, day)| Holiday::Date { month, day }),
        (0..12_usize, 0..7_u32, 1..6_u32).prop_map(|(month, weekday, nth)| Holiday::Nth {
            month,
            weekday,
            nth
        }),
    ]
}

/// A period with up to three tiers.
fn any_period(windows: BoxedStrategy<Vec<Window>>) -> impl Strategy<Value = Period> {
    let ends_wh = vec(1_000.0..500_000.0_f64, 0..3);
    (windows, ends_wh, vec(any_price(), 3), any_price()).prop_map(
        |(windows, mut ends_wh, prices, sell_cur_per_kwh)| {
            ends_wh.sort_by(f64::total_cmp);
            ends_wh.dedup();
            let ends = ends_wh.into_iter().map(Some).chain([None]);
            Period {
                name: "Period".to_owned(),
                windows,
                tiers: ends
                    .zip(prices)
                    .map(|(up_to_wh, cur_per_kwh)| Tier {
                        up_to_wh,
                        cur_per_kwh,
                    })
                    .collect(),
                sell_cur_per_kwh,
            }
        },
    )
}

fn any_demand_charge() -> impl Strategy<Value = DemandCharge> {
    (
        vec(any_hours(), 0..2),
        select(vec![900, 1_800, 3_600]),
        0.0..20.0_f64,
    )
        .prop_map(|(windows, interval_s, cur_per_kw)| DemandCharge {
            name: "Demand".to_owned(),
            windows,
            interval_s,
            cur_per_kw,
        })
}

fn any_export() -> impl Strategy<Value = Export> {
    let carry_over = prop_oneof![
        Just(CarryOver::Monthly),
        (0..12_usize).prop_map(|first_month| CarryOver::Yearly { first_month }),
    ];
    let price = prop_oneof![
        4 => any_price().prop_map(|cur_per_kwh| ExportPrice::Flat { cur_per_kwh }),
        4 => Just(ExportPrice::ByPeriod),
        1 => vec(any_price(), 8_760).prop_map(|cur_per_kwh| ExportPrice::Hourly {
            cur_per_kwh: cur_per_kwh.into()
        }),
    ];
    let surplus = select(vec![
        Surplus::Paid,
        Surplus::CarriedThenPaid,
        Surplus::CarriedThenLost,
    ]);
    prop_oneof![
        1 => Just(Export::Nothing),
        2 => (carry_over, any_price()).prop_map(|(carry_over, cash_out_cur_per_kwh)| {
            Export::NetMetering {
                carry_over,
                cash_out_cur_per_kwh,
            }
        }),
        4 => (price, surplus).prop_map(|(price, surplus)| Export::NetBilling { price, surplus }),
        1 => any_price().prop_map(|cur_per_kwh| Export::AllSold { cur_per_kwh }),
    ]
}
