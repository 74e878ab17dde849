//! Every example tariff with every way to settle what is sent out: the bill of a run is reckoned here once more from what passed the meter,
//! by other means, and must be the same to the cent; its energy must be that of the ledger.

use couplet_core::bill::{
    CarryOver, DayKind, Export, ExportPrice, Surplus, Tariff, TariffKind, TiersBy, example_tariffs,
};
use couplet_core::check::check;
use couplet_core::document::demo;
use couplet_core::sky::{days_of_month, month_of_day};
use couplet_core::year::{Scene, YearRun};
use couplet_tests::climate_grid;

const QUARTER_H: f64 = 0.25;

/// Whole cents, halves away from zero.
fn cents(cur: f64) -> i64 {
    #[expect(clippy::cast_possible_truncation, reason = "a bill of a home")]
    let cents = (cur * 100.0).round() as i64;
    cents
}

/// Energy of months and periods in kWh, in standard time.
struct Reckoned {
    bought: Vec<Vec<f64>>,
    sold: Vec<Vec<f64>>,
    hourly_cur: Vec<f64>,
    peak_kw: Vec<f64>,
}

fn period_of(tariff: &Tariff, quarter: usize) -> usize {
    let (day, hour) = (quarter / 96, (quarter % 96) as f64 / 4.0);
    let month = month_of_day(u32::try_from(day).expect("a day"));
    // 1 January 2026 is a Thursday.
    let weekend = (day + 3) % 7 >= 5;
    let holds = |period: &couplet_core::bill::Period| {
        period.windows.iter().any(|window| {
            let in_hours = if window.from_h < window.to_h {
                (window.from_h..window.to_h).contains(&hour)
            } else {
                hour >= window.from_h || hour < window.to_h
            };
            window.months[month]
                && in_hours
                && match window.days {
                    DayKind::All => true,
                    DayKind::Weekdays => !weekend,
                    DayKind::WeekendsAndHolidays => weekend,
                }
        })
    };
    tariff
        .periods
        .iter()
        .position(holds)
        .unwrap_or(tariff.periods.len() - 1)
}

fn reckon(tariff: &Tariff, run: &YearRun) -> Reckoned {
    let periods = tariff.periods.len();
    let mut found = Reckoned {
        bought: vec![vec![0.0; periods]; 12],
        sold: vec![vec![0.0; periods]; 12],
        hourly_cur: vec![0.0; 12],
        peak_kw: vec![0.0; 12],
    };
    let generation_w = run.flows.generation_w();
    let mut evening_kwh = 0.0;
    for (quarter, meter_w) in run.flows.meter_w.iter().enumerate() {
        let month = month_of_day(u32::try_from(quarter / 96).expect("a day"));
        let period = period_of(tariff, quarter);
        let all_sold = matches!(tariff.export, Export::AllSold { .. });
        let (bought_w, sold_w) = if all_sold {
            (meter_w + generation_w[quarter], generation_w[quarter])
        } else {
            (meter_w.max(0.0), (-meter_w).max(0.0))
        };
        let kwh = |power_w: f64| power_w.max(0.0) * QUARTER_H / 1000.0;
        found.bought[month][period] += kwh(bought_w);
        found.sold[month][period] += kwh(sold_w);
        if let Export::NetBilling {
            price: ExportPrice::Hourly { cur_per_kwh },
            ..
        } = &tariff.export
        {
            found.hourly_cur[month] += kwh(sold_w) * cur_per_kwh[quarter / 4];
        }
        // The example's charge counts means of whole hours from 16:00 to 21:00 on weekdays.
        let (day, hour) = (quarter / 96, quarter % 96 / 4);
        if (day + 3) % 7 < 5 && (16..21).contains(&hour) {
            evening_kwh = if quarter % 4 == 0 { 0.0 } else { evening_kwh } + kwh(bought_w);
            if quarter % 4 == 3 {
                found.peak_kw[month] = found.peak_kw[month].max(evening_kwh);
            }
        }
    }
    found
}

/// Lines of energy in tiers, cents.
fn tier_cents(tariff: &Tariff, billed: &[f64]) -> i64 {
    let month: f64 = billed.iter().sum();
    let mut sum = 0;
    for (period, billed) in tariff.periods.iter().zip(billed) {
        let (fill, share) = match tariff.tiers_by {
            TiersBy::EachPeriod => (*billed, 1.0),
            TiersBy::WholeMonth => (month, if month > 0.0 { billed / month } else { 0.0 }),
        };
        let mut from = 0.0;
        for tier in &period.tiers {
            let to = tier.up_to_wh.map_or(f64::INFINITY, |wh| wh / 1000.0);
            let within = (fill.min(to) - from).max(0.0);
            sum += cents(share * within * tier.cur_per_kwh);
            from = to;
        }
    }
    sum
}

fn year_cents(tariff: &Tariff, found: &Reckoned) -> i64 {
    let first = match tariff.export {
        Export::NetMetering {
            carry_over: CarryOver::Yearly { first_month },
            ..
        } => first_month,
        _ => 0,
    };
    let periods = tariff.periods.len();
    let (mut left, mut credit, mut year) = (vec![0.0; periods], 0, 0);
    for place in 0..12 {
        let (month, last) = ((first + place) % 12, place == 11);
        let (bought, sold) = (&found.bought[month], &found.sold[month]);
        let days = f64::from(days_of_month(month));
        let mut bill = cents(tariff.fixed_cur_per_month + days * tariff.fixed_cur_per_day);
        for charge in &tariff.demand {
            bill += cents(found.peak_kw[month] * charge.cur_per_kw);
        }
        match &tariff.export {
            Export::NetMetering {
                carry_over,
                cash_out_cur_per_kwh,
            } => {
                let mut billed = vec![0.0; periods];
                for period in 0..periods {
                    let net = bought[period] - sold[period] - left[period];
                    billed[period] = f64::max(net, 0.0);
                    left[period] = f64::max(-net, 0.0);
                }
                bill += tier_cents(tariff, &billed);
                if last || *carry_over == CarryOver::Monthly {
                    for left in &mut left {
                        bill -= cents(*left * cash_out_cur_per_kwh);
                        *left = 0.0;
                    }
                }
            }
            other => {
                bill += tier_cents(tariff, bought);
                bill -= match other {
                    Export::AllSold { cur_per_kwh } => {
                        sold.iter().map(|kwh| cents(kwh * cur_per_kwh)).sum()
                    }
                    Export::NetBilling { price, .. } => match price {
                        ExportPrice::Flat { cur_per_kwh } => {
                            sold.iter().map(|kwh| cents(kwh * cur_per_kwh)).sum()
                        }
                        ExportPrice::ByPeriod => (sold.iter().zip(&tariff.periods))
                            .map(|(kwh, period)| cents(kwh * period.sell_cur_per_kwh))
                            .sum(),
                        ExportPrice::Hourly { .. } => cents(found.hourly_cur[month]),
                    },
                    _ => 0,
                };
            }
        }
        if let Export::NetBilling { surplus, .. } = tariff.export
            && surplus != Surplus::Paid
        {
            bill -= credit;
            credit = (-bill).max(0);
            if !(last && surplus == Surplus::CarriedThenPaid) {
                bill += credit;
            }
        }
        year += bill
            + cents(f64::from(i32::try_from(bill.max(0)).expect("a bill")) / 100.0 * tariff.tax);
    }
    year
}

/// All ways to settle, with invented prices.
fn exports() -> Vec<Export> {
    let mut all = vec![Export::Nothing, Export::AllSold { cur_per_kwh: 0.11 }];
    for carry_over in [
        CarryOver::Monthly,
        CarryOver::Yearly { first_month: 0 },
        CarryOver::Yearly { first_month: 6 },
    ] {
        all.push(Export::NetMetering {
            carry_over,
            cash_out_cur_per_kwh: 0.035,
        });
    }
    let hourly: Vec<f64> = (0..8760_u32)
        .map(|hour| 0.02 + 0.001 * f64::from(hour % 97))
        .collect();
    for price in [
        ExportPrice::Flat { cur_per_kwh: 0.08 },
        ExportPrice::ByPeriod,
        ExportPrice::Hourly {
            cur_per_kwh: hourly.into(),
        },
    ] {
        for surplus in [
            Surplus::Paid,
            Surplus::CarriedThenPaid,
            Surplus::CarriedThenLost,
        ] {
            all.push(Export::NetBilling {
                price: price.clone(),
                surplus,
            });
        }
    }
    all
}

#[test]
fn every_example_with_every_way_to_settle_is_billed_to_the_cent() {
    let mut household = demo();
    // No limit: all that is sent out is permitted and stands in the bill.
    household.service.export_limit_w = None;
    let grid = climate_grid();
    let sound = check(household.clone()).expect("sound");
    let scene = Scene::new(&sound, Some(&grid), 900, None).expect("a climate");
    let mut examples = example_tariffs("EUR", None);
    let mut both = examples[1].clone();
    both.set_kind(TariffKind::HoursAndTiers);
    examples.push(both);
    let mut billed = 0;
    for example in examples {
        for export in exports() {
            let mut tariff = example.clone();
            tariff.export = export;
            tariff.tax = 0.07;
            for (place, period) in (0_i32..).zip(&mut tariff.periods) {
                period.sell_cur_per_kwh = 0.03 + 0.01 * f64::from(place);
            }
            household.tariff = tariff.clone();
            let sound = check(household.clone()).expect("sound");
            let scene = Scene::new(&sound, Some(&grid), 900, Some(&scene)).expect("a climate");
            for option in [0, 2] {
                let run = scene.run(&sound.options[option]).expect("sound");
                let bill = run.figures.bill.as_ref().expect("a year");
                let found = reckon(&tariff, &run);
                let what = format!("{}, {:?}, option {option}", tariff.name, tariff.export);
                let what: String = what.chars().take(160).collect();
                assert_eq!(bill.total.minor(), year_cents(&tariff, &found), "{what}");
                if !matches!(tariff.export, Export::AllSold { .. }) {
                    let sum = |of: &[Vec<f64>]| 1000.0 * of.iter().flatten().sum::<f64>();
                    let near = |a: f64, b: f64| (a - b).abs() <= 1e-9 * b.abs().max(1.0);
                    assert!(near(sum(&found.bought), run.ledger.import_wh), "{what}");
                    assert!(near(sum(&found.sold), run.ledger.export_wh), "{what}");
                }
                billed += 1;
            }
        }
    }
    assert_eq!(billed, 8 * 14 * 2);
    assert_eq!((0..12).map(days_of_month).sum::<u32>(), 365);
}
