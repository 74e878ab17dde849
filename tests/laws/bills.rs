//! Laws of the bill: what it charges for is what passed the meter, and it adds up to the cent.

use couplet_core::bill::{
    CarryOver, DayKind, DemandCharge, Export, ExportPrice, LineKind, Meter, Period, Surplus,
    Tariff, TaxOn, Tier, TiersBy, Window, bill,
};
use couplet_core::money::Money;
use couplet_core::sky::TimeGrid;
use couplet_tests::draws;
use proptest::prelude::*;

fn window() -> impl Strategy<Value = Window> {
    let days = prop_oneof![
        Just(DayKind::All),
        Just(DayKind::Weekdays),
        Just(DayKind::WeekendsAndHolidays)
    ];
    (any::<[bool; 12]>(), days, 0.0..24.0_f64, 0.0..24.0_f64).prop_map(
        |(months, days, from_h, to_h)| Window {
            months,
            days,
            from_h,
            to_h,
        },
    )
}

fn period() -> impl Strategy<Value = Period> {
    (
        prop::collection::vec(window(), 0..3),
        0.0..400e3_f64,
        0.0..0.5_f64,
        0.0..0.5_f64,
    )
        .prop_map(|(windows, up_to_wh, low, high)| Period {
            name: "period".into(),
            windows,
            tiers: vec![
                Tier {
                    up_to_wh: Some(up_to_wh),
                    cur_per_kwh: low,
                },
                Tier {
                    up_to_wh: None,
                    cur_per_kwh: high,
                },
            ],
            sell_cur_per_kwh: 0.5 * low,
        })
}

fn export() -> impl Strategy<Value = Export> {
    let net_metering = |carry_over| Export::NetMetering {
        carry_over,
        cash_out_cur_per_kwh: 0.04,
    };
    let net_billing = |price, surplus| Export::NetBilling { price, surplus };
    prop_oneof![
        Just(Export::Nothing),
        Just(net_metering(CarryOver::Monthly)),
        (0_usize..12).prop_map(move |first_month| net_metering(CarryOver::Yearly { first_month })),
        Just(net_billing(ExportPrice::ByPeriod, Surplus::Paid)),
        Just(net_billing(
            ExportPrice::Flat { cur_per_kwh: 0.2 },
            Surplus::CarriedThenPaid
        )),
        Just(net_billing(
            ExportPrice::Hourly {
                cur_per_kwh: vec![0.1; 8760].into()
            },
            Surplus::CarriedThenLost
        )),
    ]
}

fn tariff() -> impl Strategy<Value = Tariff> {
    let rule = prop_oneof![
        Just(None),
        Just(Some("EST5EDT,M3.2.0,M11.1.0".to_owned())),
        Just(Some("AEST-10AEDT,M10.1.0,M4.1.0/3".to_owned()))
    ];
    (
        rule,
        (
            prop::collection::vec(period(), 1..4),
            prop_oneof![Just(TiersBy::EachPeriod), Just(TiersBy::WholeMonth)],
        ),
        export(),
        0.0..30.0_f64,
    )
        .prop_map(
            |(clock_rule, (periods, tiers_by), export, minimum_cur_per_month)| Tariff {
                name: "any".into(),
                currency: "USD".into(),
                clock_rule,
                holidays: Vec::new(),
                fixed_cur_per_month: 9.99,
                fixed_cur_per_day: 0.0,
                minimum_cur_per_month,
                periods,
                tiers_by,
                demand: vec![DemandCharge {
                    name: "any time".into(),
                    windows: Vec::new(),
                    interval_s: 3600,
                    cur_per_kw: 3.0,
                }],
                export,
                tax: 0.07,
                tax_on: TaxOn::ToPay,
            },
        )
}

proptest! {
    #![proptest_config(draws(64))]

    #[test]
    fn a_bill_is_of_the_energy_at_the_meter_and_adds_up(
        tariff in tariff(),
        draws_w in prop::collection::vec(-5000.0..5000.0_f64, 24 * 7 + 5),
    ) {
        let grid = TimeGrid::whole_year(3600, -5 * 3600);
        let meter_w: Vec<f64> = draws_w.iter().copied().cycle().take(grid.len()).collect();
        let year = bill(&tariff, &grid, &Meter { meter_w: &meter_w, generation_w: &[] }).unwrap();

        // Every Wh is in one period of one month.
        let bought_wh: f64 = meter_w.iter().map(|w| w.max(0.0)).sum();
        let sold_wh: f64 = meter_w.iter().map(|w| (-w).max(0.0)).sum();
        let import_wh: f64 = year.months.iter().flat_map(|month| &month.import_wh).sum();
        let export_wh: f64 = year.months.iter().flat_map(|month| &month.export_wh).sum();
        prop_assert!((import_wh - bought_wh).abs() < 1e-6 * bought_wh.max(1.0));
        prop_assert!((export_wh - sold_wh).abs() < 1e-6 * sold_wh.max(1.0));

        // Lines make months and months make the year, to the cent.
        let months: Money = year.months.iter().map(|month| month.total).sum();
        prop_assert_eq!(months, year.total);
        let mut carried_wh = vec![0.0; tariff.periods.len()];
        for month in &year.months {
            let lines: Money = month.lines.iter().map(|line| line.amount).sum();
            prop_assert_eq!(lines, month.total);
            for (period, prices) in tariff.periods.iter().enumerate() {
                let mut billed_wh = 0.0;
                let mut paid_out_wh = 0.0;
                for line in &month.lines {
                    match line.kind {
                        LineKind::Energy { period: of, tier } if of == period => {
                            billed_wh += line.quantity;
                            let cur = line.quantity / 1000.0 * prices.tiers[tier].cur_per_kwh;
                            let off = (tariff.minor_unit().cur(line.amount) - cur).abs();
                            prop_assert!(off <= 0.005 + 1e-9, "{line:?}");
                        }
                        LineKind::CashOut(of) if of == period => paid_out_wh += line.quantity,
                        _ => {}
                    }
                }
                // Net metering: what is drawn less what is sent is billed, paid out, or carried on.
                let expected_wh = match tariff.export {
                    Export::NetMetering { .. } => month.import_wh[period] - month.export_wh[period],
                    _ => month.import_wh[period],
                };
                let found_wh =
                    billed_wh - paid_out_wh - (month.carried_wh[period] - carried_wh[period]);
                prop_assert!((found_wh - expected_wh).abs() < 1e-3, "{found_wh} {expected_wh}");
                carried_wh[period] = month.carried_wh[period];
            }
        }
    }

    #[test]
    fn any_tariff_gives_a_bill_or_a_reason(
        mut tariff in tariff(),
        rule in ".*",
        numbers in prop::collection::vec(prop::num::f64::ANY, 8),
        steps in 0_usize..50,
    ) {
        tariff.clock_rule = Some(rule);
        tariff.tax = numbers[0];
        tariff.minimum_cur_per_month = numbers[1];
        tariff.fixed_cur_per_month = numbers[2];
        tariff.periods[0].tiers[0].up_to_wh = Some(numbers[3]);
        tariff.periods[0].tiers[0].cur_per_kwh = numbers[4];
        tariff.demand[0].cur_per_kw = numbers[5];
        let grid = TimeGrid::days(0, 2, 3600, 0);
        let meter_w: Vec<f64> = numbers.iter().copied().cycle().take(steps).collect();
        let meter = Meter { meter_w: &meter_w, generation_w: &[] };
        let _ = bill(&tariff, &grid, &meter);
        tariff.clock_rule = None;
        let _ = bill(&tariff, &grid, &meter);
    }
}
