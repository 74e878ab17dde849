//! Measures of a cash flow against numpy-financial and closed forms (`values/README.md`, section 8).
//! Tolerances as stated there: 1e-9 relative or 1e-6 money; 1e-8 on rates, which are conditioned by the flows.

use couplet_core::money::{
    Due, Irr, Loan, discounted, growing_annuity_cur, irr, levelised_cost_cur_per_unit,
    net_present_value_cur, payback_first_years, payback_last_years,
};
use couplet_tests::{Row, Table, Tolerance, assert_near, assert_within};

const MONEY: Tolerance = Tolerance::either(1e-9, 1e-6);

fn numbers(text: &str) -> Vec<f64> {
    let each = text.split(';').filter(|number| !number.is_empty());
    each.map(|number| number.trim().parse().unwrap()).collect()
}

fn count(row: &Row<'_>, column: &str) -> u32 {
    row.text(column)
        .parse()
        .unwrap_or_else(|_| panic!("{}: {column}", row.place()))
}

/// The table holds money received as positive: a balloon left to pay is its negative future value.
fn loan(row: &Row<'_>) -> Loan {
    Loan {
        principal_cur: row.given("present_value"),
        rate_per_period: row.given("rate_per_period"),
        periods: count(row, "nper"),
        balloon_cur: -row.given("future_value"),
        due: if row.text("when") == "begin" {
            Due::Begin
        } else {
            Due::End
        },
    }
}

#[test]
fn every_measure_is_that_of_the_table() {
    let mut judged = 0;
    for row in Table::reference("finance.csv").rows() {
        let case = format!("{} {}", row.text("case_id"), row.text("kind"));
        let flows = numbers(row.text("cashflows_t0_first"));
        let rate = || row.given("rate_per_period");
        let value = row.given("value");
        let expect = |actual: f64| assert_within(actual, value, MONEY, &case);
        let expect_years = |actual: Option<f64>| {
            assert_within(
                actual.unwrap_or(f64::NAN),
                value,
                Tolerance::either(1e-9, 1e-9),
                &case,
            );
        };
        match row.text("kind") {
            "npv" => expect(net_present_value_cur(rate(), &flows)),
            "simple_payback_first" => expect_years(payback_first_years(&flows)),
            "simple_payback_last" => expect_years(payback_last_years(&flows)),
            "discounted_payback_first" => {
                expect_years(payback_first_years(&discounted(rate(), &flows)));
            }
            "irr" => {
                let roots = numbers(row.text("all_real_irr_roots"));
                let found = match irr(&flows) {
                    Irr::None => Vec::new(),
                    Irr::One(rate) => vec![rate],
                    Irr::Several(rates) => rates,
                };
                assert_eq!(found.len(), roots.len(), "{case}: {found:?} for {roots:?}");
                for (found, root) in found.iter().zip(&roots) {
                    assert_near(*found, *root, 1e-8, &case);
                }
            }
            "loan_payment" => expect(-loan(&row).payment_cur()),
            "loan_interest_part" => expect(-loan(&row).interest_cur(count(&row, "period"))),
            "loan_principal_part" => {
                let loan = loan(&row);
                expect(loan.interest_cur(count(&row, "period")) - loan.payment_cur());
            }
            "loan_balance_after" => expect(loan(&row).balance_cur(count(&row, "period"))),
            "growing_annuity_pv" => expect(growing_annuity_cur(
                row.given("present_value"),
                row.given("future_value"),
                rate(),
                count(&row, "nper"),
            )),
            "levelised_cost" => {
                let [yearly_cur, first_year] = flows[..] else {
                    panic!("{case}: upkeep and energy are expected");
                };
                expect(levelised_cost_cur_per_unit(
                    row.given("present_value"),
                    yearly_cur,
                    first_year,
                    row.given("future_value"),
                    rate(),
                    count(&row, "nper"),
                ));
            }
            other => panic!("{case}: unknown kind {other:?}"),
        }
        judged += 1;
    }
    assert!(judged > 0, "no row was judged");
}
