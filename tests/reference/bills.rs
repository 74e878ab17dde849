//! Bills worked out by hand: the arithmetic stands beside each. Tolerance: none, bills are whole cents.

use couplet_core::bill::{
    Bill, CarryOver, DayKind, DemandCharge, Export, ExportPrice, Holiday, Meter, Period, Surplus,
    Tariff, TaxOn, Tier, TiersBy, Window, bill, step_prices,
};
use couplet_core::money::{MinorUnit, Money};
use couplet_core::sky::TimeGrid;

const ALWAYS: [bool; 12] = [true; 12];

fn hours() -> TimeGrid {
    TimeGrid::whole_year(3600, -5 * 3600)
}

fn flat(cur_per_kwh: f64) -> Tariff {
    Tariff {
        name: "any".into(),
        currency: "USD".into(),
        clock_rule: None,
        holidays: Vec::new(),
        fixed_cur_per_month: 0.0,
        fixed_cur_per_day: 0.0,
        minimum_cur_per_month: 0.0,
        periods: vec![Period::at_one_price("any time", Vec::new(), cur_per_kwh)],
        tiers_by: TiersBy::EachPeriod,
        demand: Vec::new(),
        export: Export::Nothing,
        tax: 0.0,
        tax_on: TaxOn::ToPay,
    }
}

fn reckon(tariff: &Tariff, grid: &TimeGrid, meter_w: &[f64]) -> Bill {
    bill(
        tariff,
        grid,
        &Meter {
            meter_w,
            generation_w: &[],
        },
    )
    .expect("the tariff is sound")
}

fn cents(amount: f64) -> Money {
    MinorUnit::default().round(amount)
}

/// 1 kW all year. January has 744 kWh: 300 at 0.10, 400 at 0.15, 44 at 0.20 make 98.80, with the fixed charge 111.30, with
/// 10 % tax 122.43. April 720 kWh: 94.00, 106.50, 117.15. February 672 kWh: 30 + 372 · 0.15 = 85.80, 98.30, 108.13.
/// Seven months of 31 days, four of 30: 7 · 122.43 + 4 · 117.15 + 108.13 = 1433.74.
#[test]
fn tiers_begin_anew_each_month() {
    let mut tariff = flat(0.0);
    tariff.fixed_cur_per_month = 12.5;
    tariff.tax = 0.1;
    tariff.periods[0].tiers = vec![
        Tier {
            up_to_wh: Some(300_000.0),
            cur_per_kwh: 0.10,
        },
        Tier {
            up_to_wh: Some(700_000.0),
            cur_per_kwh: 0.15,
        },
        Tier {
            up_to_wh: None,
            cur_per_kwh: 0.20,
        },
    ];
    let year = reckon(&tariff, &hours(), &[1000.0; 8760]);
    assert_eq!(year.months[0].total, cents(122.43));
    assert_eq!(year.months[1].total, cents(108.13));
    assert_eq!(year.months[3].total, cents(117.15));
    assert_eq!(year.total, cents(1433.74));
}

/// 0.5342 a day is 16.56 in a month of 31 days, 16.03 in one of 30 and 14.96 in February, beside 2 a month:
/// 7 · 18.56 + 4 · 18.03 + 16.96 = 219.00.
#[test]
fn a_charge_by_the_day_follows_the_days_of_the_month() {
    let mut tariff = flat(0.0);
    tariff.fixed_cur_per_month = 2.0;
    tariff.fixed_cur_per_day = 0.5342;
    let year = reckon(&tariff, &hours(), &[1000.0; 8760]);
    assert_eq!(year.months[0].total, cents(18.56));
    assert_eq!(year.months[1].total, cents(16.96));
    assert_eq!(year.months[3].total, cents(18.03));
    assert_eq!(year.total, cents(219.00));
}

/// 500 W all year, and a quarter hour of 8 kW on Friday 16 January at 17:00; a higher one on Saturday does not count in a
/// window of weekdays. Averaged over 15, 30 and 60 min: 8, (8 + 0.5)/2 = 4.25, (8 + 3 · 0.5)/4 = 2.375 kW at 10 each.
#[test]
fn demand_is_the_highest_mean_over_its_interval_within_its_window() {
    let grid = TimeGrid::whole_year(900, -5 * 3600);
    let mut meter_w = vec![500.0; grid.len()];
    meter_w[15 * 96 + 17 * 4] = 8000.0;
    meter_w[16 * 96 + 17 * 4] = 9000.0;
    for (interval_s, january) in [(900, 80.0), (1800, 42.5), (3600, 23.75)] {
        let mut tariff = flat(0.0);
        tariff.demand = vec![DemandCharge {
            name: "evening".into(),
            windows: vec![Window {
                months: ALWAYS,
                days: DayKind::Weekdays,
                from_h: 16.0,
                to_h: 21.0,
            }],
            interval_s,
            cur_per_kw: 10.0,
        }];
        let year = reckon(&tariff, &grid, &meter_w);
        assert_eq!(year.months[0].total, cents(january), "{interval_s} s");
        assert_eq!(year.months[1].total, cents(5.0), "{interval_s} s");
    }
}

/// 1 kW sent out from April to September (183 days, 4392 kWh), 1 kW drawn in the other months (182 days, 4368 kWh), at 0.30;
/// what is left is paid out at 0.05.
/// Monthly: 4368 · 0.30 - 4392 · 0.05 = 1310.40 - 219.60. Twelve months from April: 24 kWh are left: -1.20. From January:
/// 90 days are paid (648.00), 92 days taken from the credit, 2184 kWh are left (109.20).
#[test]
fn net_metering_carries_surplus_to_where_it_says() {
    let grid = hours();
    let meter_w: Vec<f64> = (0..grid.len())
        .map(|index| {
            if (3..9).contains(&grid.month(index)) {
                -1000.0
            } else {
                1000.0
            }
        })
        .collect();
    for (carry_over, total) in [
        (CarryOver::Monthly, 1310.40 - 219.60),
        (CarryOver::Yearly { first_month: 3 }, -1.20),
        (CarryOver::Yearly { first_month: 0 }, 648.0 - 109.20),
    ] {
        let mut tariff = flat(0.30);
        tariff.export = Export::NetMetering {
            carry_over,
            cash_out_cur_per_kwh: 0.05,
        };
        assert_eq!(
            reckon(&tariff, &grid, &meter_w).total,
            cents(total),
            "{carry_over:?}"
        );
    }
}

/// 1 kWh each day from 15:00 to 16:00 standard time. While clocks are ahead, from 8 March to 31 October (238 afternoons), that
/// is 16:00 to 17:00 and dear: 238 · 0.50 + 127 · 0.20 = 144.40; March 24 · 0.50 + 7 · 0.20 = 13.40.
#[test]
fn dear_hours_follow_the_clock_through_summer_time() {
    let grid = hours();
    let meter_w: Vec<f64> = (0..grid.len())
        .map(|index| {
            if grid.hour(index) == 15.5 {
                1000.0
            } else {
                0.0
            }
        })
        .collect();
    let mut tariff = flat(0.20);
    let dear = Window {
        months: ALWAYS,
        days: DayKind::All,
        from_h: 16.0,
        to_h: 21.0,
    };
    tariff
        .periods
        .insert(0, Period::at_one_price("dear", vec![dear], 0.50));
    assert_eq!(reckon(&tariff, &grid, &meter_w).total, cents(73.0));
    tariff.clock_rule = Some("EST5EDT,M3.2.0,M11.1.0".into());
    let year = reckon(&tariff, &grid, &meter_w);
    assert_eq!(year.total, cents(144.40));
    assert_eq!(year.months[2].total, cents(13.40));
    let prices = step_prices(&tariff, &grid).unwrap();
    assert_eq!(
        (
            prices.buy_cur_per_kwh[15],
            prices.buy_cur_per_kwh[180 * 24 + 15]
        ),
        (0.20, 0.50)
    );
}

/// The last hour of standard time of each day belongs to the next day while clocks are ahead: that of 31 March is April's
/// and that of 31 October is November's, so March counts 30 of them and November 31.
#[test]
fn a_month_ends_when_the_clock_says() {
    let grid = hours();
    let meter_w: Vec<f64> = (0..grid.len())
        .map(|index| {
            if grid.hour(index) == 23.5 {
                1000.0
            } else {
                0.0
            }
        })
        .collect();
    let mut tariff = flat(1.0);
    tariff.clock_rule = Some("EST5EDT,M3.2.0,M11.1.0".into());
    let totals: Vec<i64> = reckon(&tariff, &grid, &meter_w)
        .months
        .iter()
        .map(|month| month.total.minor() / 100)
        .collect();
    assert_eq!(totals, [31, 28, 30, 30, 31, 30, 31, 31, 30, 31, 31, 31]);
}

/// 2026 has 261 weekdays; Memorial Day (last Monday of May) and Thanksgiving (fourth Thursday of November) are holidays, and
/// 4 July is a Saturday anyway. 1 kWh a day: 259 · 0.30 + 106 · 0.10 = 88.30.
#[test]
fn holidays_cost_what_weekends_cost() {
    let mut tariff = flat(0.10);
    let weekdays = Window {
        months: ALWAYS,
        days: DayKind::Weekdays,
        from_h: 0.0,
        to_h: 24.0,
    };
    tariff
        .periods
        .insert(0, Period::at_one_price("weekday", vec![weekdays], 0.30));
    tariff.holidays = vec![
        Holiday::Nth {
            month: 4,
            weekday: 0,
            nth: 5,
        },
        Holiday::Nth {
            month: 10,
            weekday: 3,
            nth: 4,
        },
        Holiday::Date { month: 6, day: 4 },
    ];
    let grid = hours();
    let meter_w: Vec<f64> = (0..grid.len())
        .map(|index| {
            if grid.hour(index) == 12.5 {
                1000.0
            } else {
                0.0
            }
        })
        .collect();
    assert_eq!(reckon(&tariff, &grid, &meter_w).total, cents(88.30));
}

/// January: 100 kWh bought for 30.00, fixed charge 10.00, 500 kWh sold for 50.00. February: 100 kWh bought. Otherwise only the
/// fixed charge, which the minimum lifts to 15.00. December: 500 kWh sold.
/// Paid out: -10 + 40 + 9 · 15 + (15 - 50). Carried: January leaves 25 above the minimum, February uses them: 15 + 15 + 9 · 15,
/// and December's 50 are paid (-35) or lost (15).
#[test]
fn credit_of_net_billing_is_paid_carried_or_lost() {
    let grid = hours();
    let mut meter_w = vec![0.0; grid.len()];
    meter_w[..100].fill(1000.0);
    meter_w[100..600].fill(-1000.0);
    meter_w[31 * 24..][..100].fill(1000.0);
    meter_w[340 * 24..][..500].fill(-1000.0);
    for (surplus, total) in [
        (Surplus::Paid, -10.0 + 40.0 + 135.0 - 35.0),
        (Surplus::CarriedThenPaid, 15.0 + 15.0 + 135.0 - 35.0),
        (Surplus::CarriedThenLost, 15.0 + 15.0 + 135.0 + 15.0),
    ] {
        for price in [
            ExportPrice::Flat { cur_per_kwh: 0.10 },
            ExportPrice::ByPeriod,
            ExportPrice::Hourly {
                cur_per_kwh: vec![0.10; 8760].into(),
            },
        ] {
            let mut tariff = flat(0.30);
            tariff.periods[0].sell_cur_per_kwh = 0.10;
            tariff.fixed_cur_per_month = 10.0;
            tariff.minimum_cur_per_month = 15.0;
            tariff.export = Export::NetBilling {
                price: price.clone(),
                surplus,
            };
            let year = reckon(&tariff, &grid, &meter_w);
            assert_eq!(year.total, cents(total), "{surplus:?}");
        }
    }
}

/// January: 100 kWh bought for 30.00 and 200 kWh sold for 20.00 beside a fixed charge of 10.00. Value added tax of 19 % on what is
/// bought is 7.60, so 27.60 are to pay; on what is to pay it would be 3.80, so 23.80. Otherwise the fixed charge alone: 11.90.
///
/// Source: Directive 2006/112/EC, article 73: the taxable amount of a supply is what is paid for that supply; the home's own sale is
/// another supply.
#[test]
fn a_tax_on_what_is_bought_is_not_lowered_by_what_is_sold() {
    let grid = hours();
    let mut meter_w = vec![0.0; grid.len()];
    meter_w[..100].fill(1000.0);
    meter_w[100..300].fill(-1000.0);
    for (tax_on, january) in [(TaxOn::Bought, 27.60), (TaxOn::ToPay, 23.80)] {
        let mut tariff = flat(0.30);
        tariff.fixed_cur_per_month = 10.0;
        tariff.tax = 0.19;
        tariff.tax_on = tax_on;
        tariff.export = Export::NetBilling {
            price: ExportPrice::Flat { cur_per_kwh: 0.10 },
            surplus: Surplus::Paid,
        };
        let year = reckon(&tariff, &grid, &meter_w);
        assert_eq!(year.months[0].total, cents(january), "{tax_on:?}");
        assert_eq!(year.months[1].total, cents(11.90), "{tax_on:?}");
    }
}

/// Loads of 500 W, PV of 300 W, so the meter shows 200 W. January: 372 kWh · 0.20 - 223.2 kWh · 0.15 = 74.40 - 33.48.
#[test]
fn where_all_generation_is_sold_all_loads_are_bought() {
    let mut tariff = flat(0.20);
    tariff.export = Export::AllSold { cur_per_kwh: 0.15 };
    let meter = Meter {
        meter_w: &[200.0; 8760],
        generation_w: &[300.0; 8760],
    };
    let year = bill(&tariff, &hours(), &meter).unwrap();
    assert_eq!(year.months[0].total, cents(40.92));
}

/// Clocks in New York go from 2:00 to 3:00 on 8 March 2026 and from 2:00 back to 1:00 on 1 November. With 1 kW all year, the hour
/// from 1:00 to 2:00 comes 366 times, 31 times in November; the hour from 2:00 to 3:00 comes 364 times, 30 times in March.
#[test]
fn on_the_days_of_change_an_hour_is_missing_or_comes_twice() {
    for (from_h, year_cur, month, month_cur) in [(1.0, 366.0, 10, 31.0), (2.0, 364.0, 2, 30.0)] {
        let hour = Window {
            months: ALWAYS,
            days: DayKind::All,
            from_h,
            to_h: from_h + 1.0,
        };
        let mut tariff = flat(0.0);
        tariff.clock_rule = Some("EST5EDT,M3.2.0,M11.1.0".into());
        tariff
            .periods
            .insert(0, Period::at_one_price("this hour", vec![hour], 1.0));
        let year = reckon(&tariff, &hours(), &[1000.0; 8760]);
        assert_eq!(year.total, cents(year_cur), "{from_h}");
        assert_eq!(year.months[month].total, cents(month_cur), "{from_h}");
    }
}

/// 1 kWh is sent out each noon and 1 kWh drawn each midnight. Net metering settles each period for itself, so noons pay no
/// midnights: 365 midnights at 0.10 are 36.50, and 365 noons are paid out at 0.05, -18.25, with the last month of the twelve.
#[test]
fn surplus_of_one_period_pays_for_no_other() {
    let grid = hours();
    let meter_w: Vec<f64> = (0..grid.len())
        .map(|index| match grid.hour(index) {
            0.5 => 1000.0,
            12.5 => -1000.0,
            _ => 0.0,
        })
        .collect();
    let noon = Window {
        months: ALWAYS,
        days: DayKind::All,
        from_h: 12.0,
        to_h: 13.0,
    };
    for first_month in [0, 6] {
        let mut tariff = flat(0.10);
        tariff
            .periods
            .insert(0, Period::at_one_price("noon", vec![noon], 0.30));
        tariff.export = Export::NetMetering {
            carry_over: CarryOver::Yearly { first_month },
            cash_out_cur_per_kwh: 0.05,
        };
        let year = reckon(&tariff, &grid, &meter_w);
        assert_eq!(year.total, cents(36.50 - 18.25));
        let last = &year.months[11];
        assert_eq!(last.month, (first_month + 11) % 12);
        let midnights = f64::from(couplet_core::sky::days_of_month(last.month)) * 0.10;
        assert_eq!(last.total, cents(midnights - 18.25));
    }
}

/// 1 kW all year; from noon to six, a quarter of it, 0.30 and beyond 400 kWh of the month's whole use 0.40; else 0.10 and 0.20.
/// January has 744 kWh, 186 of them in the afternoon. Up to 400 kWh: 100 · 0.30 + 300 · 0.10 = 60.00; the other 344 kWh:
/// 86 · 0.40 + 258 · 0.20 = 86.00; together 146.00. April has 720 kWh: 60.00 + 80 · 0.40 + 240 · 0.20 = 140.00, February 672 kWh:
/// 60.00 + 68 · 0.40 + 204 · 0.20 = 128.00. Year: 7 · 146 + 4 · 140 + 128 = 1710.00.
/// Were 400 kWh counted in each period: January 186 · 0.30 + 400 · 0.10 + 158 · 0.20 = 127.40.
#[test]
fn tiers_of_the_whole_month_are_shared_by_its_periods() {
    let tariff = afternoons_and_tiers(TiersBy::WholeMonth);
    let year = reckon(&tariff, &hours(), &[1000.0; 8760]);
    assert_eq!(year.months[0].total, cents(146.0));
    assert_eq!(year.months[1].total, cents(128.0));
    assert_eq!(year.months[3].total, cents(140.0));
    assert_eq!(year.total, cents(1710.0));
    let energy: Vec<(f64, Money)> = (year.months[0].lines.iter())
        .map(|line| (line.quantity.round(), line.amount))
        .collect();
    assert_eq!(
        energy,
        [
            (100e3, cents(30.0)),
            (86e3, cents(34.40)),
            (300e3, cents(30.0)),
            (258e3, cents(51.60))
        ]
    );
    let each = afternoons_and_tiers(TiersBy::EachPeriod);
    let year = reckon(&each, &hours(), &[1000.0; 8760]);
    assert_eq!(year.months[0].total, cents(127.40));
}

/// The same prices, but 1 kW is sent out from noon to six. Net metering by the month settles each period first: in January 186 kWh
/// are left in the afternoons and paid out at 0.05, 9.30; the month's whole use is then the 558 kWh of the other hours:
/// 400 · 0.10 + 158 · 0.20 = 71.60. Together 62.30.
#[test]
fn tiers_of_the_whole_month_count_what_is_left_to_pay_after_net_metering() {
    let mut tariff = afternoons_and_tiers(TiersBy::WholeMonth);
    tariff.export = Export::NetMetering {
        carry_over: CarryOver::Monthly,
        cash_out_cur_per_kwh: 0.05,
    };
    let grid = hours();
    let meter_w: Vec<f64> = (0..grid.len())
        .map(|index| {
            if (12.0..18.0).contains(&grid.hour(index)) {
                -1000.0
            } else {
                1000.0
            }
        })
        .collect();
    assert_eq!(
        reckon(&tariff, &grid, &meter_w).months[0].total,
        cents(62.30)
    );
}

fn afternoons_and_tiers(tiers_by: TiersBy) -> Tariff {
    let tiers = |first, second| {
        [(Some(400_000.0), first), (None, second)]
            .map(|(up_to_wh, cur_per_kwh)| Tier {
                up_to_wh,
                cur_per_kwh,
            })
            .to_vec()
    };
    let afternoon = Window {
        months: ALWAYS,
        days: DayKind::All,
        from_h: 12.0,
        to_h: 18.0,
    };
    let mut tariff = flat(0.0);
    tariff.tiers_by = tiers_by;
    tariff.periods[0].tiers = tiers(0.10, 0.20);
    tariff.periods.insert(
        0,
        Period {
            tiers: tiers(0.30, 0.40),
            ..Period::at_one_price("afternoon", vec![afternoon], 0.0)
        },
    );
    tariff
}
