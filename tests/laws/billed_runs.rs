//! Laws of the bill of a run: it is of the energy in the ledger, and it adds up to the cent.

use couplet_core::bill::{Export, ExportPrice, LineKind};
use couplet_core::check::check;
use couplet_core::climate::MonthlyClimate;
use couplet_core::document::demo;
use couplet_core::household::{ClimateSource, Household};
use couplet_core::money::Money;
use couplet_core::sky::month_of_day;
use couplet_core::year::{Scene, YearRun};

/// The demonstration under a made-up climate.
fn household() -> Household {
    let mut household = demo();
    household.site.climate = ClimateSource::Monthly(MonthlyClimate {
        ghi_wh_m2_day: [
            1600.0, 2400.0, 3500.0, 4600.0, 5500.0, 6100.0, 6000.0, 5300.0, 4200.0, 3000.0, 1900.0,
            1400.0,
        ],
        air_mean_c: [11.0; 12],
        air_range_k: [10.0; 12],
        yearly_low_c: -18.0,
        yearly_high_c: 32.0,
    });
    household
}

fn runs(household: Household) -> (Scene, Vec<YearRun>) {
    let household = check(household).expect("the demonstration passes the check");
    let scene = Scene::new(&household, None, 900, None).expect("no grid is needed");
    let runs = household
        .options
        .iter()
        .map(|option| scene.run(option).expect("it can be run"));
    let runs = runs.collect();
    (scene, runs)
}

/// The energy of the bill is that of the ledger, less what was not permitted to be sent out: tolerance 1e-9 of it. Prices by the
/// hour, reckoned here step by step from the meter, give the same bill to the cent: each line is rounded once, so each month and
/// period is rounded here too.
#[test]
fn bill_and_ledger_reconcile_to_the_cent() {
    let mut household = household();
    household.tariff.clock_rule = Some("EST5EDT,M3.2.0,M11.1.0".to_owned());
    household.service.export_limit_w = Some(2_000.0);
    let tariff = household.tariff.clone();
    let (scene, runs) = runs(household);
    let unit = tariff.minor_unit();
    assert_eq!(runs.len(), 4);
    for run in &runs {
        let bill = run.figures.bill.as_ref().expect("a whole year has a bill");
        let sum = |of: fn(&couplet_core::bill::MonthBill) -> &Vec<f64>| -> f64 {
            bill.months.iter().flat_map(of).sum()
        };
        let (import_wh, export_wh) = (sum(|month| &month.import_wh), sum(|month| &month.export_wh));
        let sold_wh = run.ledger.export_wh - run.ledger.unpermitted_export_wh;
        assert!(
            (import_wh - run.ledger.import_wh).abs() <= 1e-9 * import_wh,
            "{}",
            run.option.name
        );
        assert!(
            (export_wh - sold_wh).abs() <= 1e-9 * export_wh.max(1.0),
            "{}",
            run.option.name
        );

        // Clock: an hour ahead from 8 March 2:00 to 1 November 1:00 standard time, by the rule for 2026.
        let mut kwh = vec![[[0.0; 3]; 12]; 2];
        for (index, meter_w) in run.flows.meter_w.iter().enumerate() {
            let hours = f64::from(scene.grid.day(index)) * 24.0 + scene.grid.hour(index);
            let ahead = (66.0 * 24.0 + 2.0..304.0 * 24.0 + 1.0).contains(&hours);
            let clock = hours + if ahead { 1.0 } else { 0.0 };
            let (day, hour) = ((clock / 24.0).floor(), clock.rem_euclid(24.0));
            // 1 January 2026 is a Thursday.
            let weekday = (day + 3.0) % 7.0 < 5.0;
            let period = match hour {
                16.0..21.0 if weekday => 0,
                0.0..6.0 | 23.0.. => 1,
                _ => 2,
            };
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a day of the year"
            )]
            let month = month_of_day(day as u32);
            kwh[0][month][period] += meter_w.max(0.0) * 0.25 / 1000.0;
            kwh[1][month][period] += (-meter_w).clamp(0.0, 2_000.0) * 0.25 / 1000.0;
        }
        let mut total = Money::ZERO;
        for (bought, sold) in kwh[0].iter().zip(&kwh[1]) {
            total += unit.round(12.0);
            for (period, (buy, sell)) in [(0.36, 0.11), (0.10, 0.04), (0.17, 0.06)]
                .iter()
                .enumerate()
            {
                total += unit.round(bought[period] * buy) - unit.round(sold[period] * sell);
            }
        }
        assert_eq!(bill.total, total, "{}", run.option.name);
        assert_eq!(run.figures.bill_cur, Some(unit.cur(total)));
    }
}

/// The lines of the year are those of the months.
#[test]
fn lines_of_the_year_are_sums_of_those_of_the_months() {
    let (_, runs) = runs(household());
    for run in &runs {
        let bill = run.figures.bill.as_ref().expect("a whole year has a bill");
        let lines = bill.year_lines();
        assert_eq!(
            lines.iter().map(|line| line.amount).sum::<Money>(),
            bill.total
        );
        for kind in [LineKind::Fixed, LineKind::Energy { period: 1, tier: 0 }] {
            let of_months: Money = (bill.months.iter().flat_map(|month| &month.lines))
                .filter(|line| line.kind == kind)
                .map(|line| line.amount)
                .sum();
            let line = lines
                .iter()
                .find(|line| line.kind == kind)
                .expect("it stands in the bill");
            assert_eq!(line.amount, of_months);
        }
    }
}

/// Where all that PV generates is sold, loads are bought as if there were no PV: without storage the energy bought is the load.
#[test]
fn where_all_is_sold_the_loads_are_bought() {
    let mut household = household();
    household.tariff.export = Export::AllSold { cur_per_kwh: 0.1 };
    household.service.export_limit_w = None;
    let (_, runs) = runs(household);
    let standing = &runs[0];
    let bill = standing
        .figures
        .bill
        .as_ref()
        .expect("a whole year has a bill");
    let bought_wh: f64 = bill.months.iter().flat_map(|month| &month.import_wh).sum();
    let load_wh = standing.ledger.load_wh;
    let off_wh = (bought_wh - load_wh).abs();
    assert!(off_wh < 1e-9 * load_wh, "{bought_wh} {load_wh}");
}

/// Without a utility there is no bill.
#[test]
fn without_a_utility_there_is_no_bill() {
    let mut household = household();
    household.service.utility = false;
    household.tariff.export = Export::NetBilling {
        price: ExportPrice::ByPeriod,
        surplus: couplet_core::bill::Surplus::Paid,
    };
    let (_, runs) = runs(household);
    assert!(
        runs.iter()
            .all(|run| run.figures.bill.is_none() && run.figures.bill_cur.is_none())
    );
}
