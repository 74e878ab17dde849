//! The loss law both ways against 50-digit arithmetic (`values/README.md`, section 11).
//! Tolerance: 1e-12 relative or 1e-9 W, double rounding of the closed form.

use couplet_core::converter::LossLaw;
use couplet_core::coupling::Weighting;
use couplet_tests::{Row, Table, Tolerance, assert_within};

const TOLERANCE: Tolerance = Tolerance::either(1e-12, 1e-9);

fn law(row: &Row<'_>) -> LossLaw {
    LossLaw {
        no_load_w: row.given("p0_W"),
        linear: row.given("k1"),
        quadratic: row.given("k2"),
        rated_w: row.given("p_rated_W"),
    }
}

#[test]
fn the_loss_law_agrees_in_every_kind_of_row() {
    let table = Table::reference("converter.csv");
    let mut judged = 0;
    for row in table.rows() {
        let (case, law) = (row.text("case_id"), law(&row));
        let expect = |column: &str, actual: f64| {
            assert_within(
                actual,
                row.given(column),
                TOLERANCE,
                &format!("{case} {column}"),
            );
        };
        match row.text("kind") {
            "forward_bidirectional" => {
                let ac_w = row.given("p_ac_wanted_W");
                expect("p_dc_W", law.dc_w(ac_w));
                expect("p_loss_W", law.loss_w(ac_w));
                // The inverse leads back, but for the rounding of the quadratic.
                assert_within(
                    law.ac_w(law.dc_w(ac_w)),
                    ac_w,
                    Tolerance::either(1e-11, 1e-8),
                    case,
                );
            }
            "forward_clipped" => {
                let wanted_w = row.given("p_ac_wanted_W");
                let ac_w = wanted_w.clamp(-law.rated_w, law.rated_w);
                expect("p_ac_W", ac_w);
                expect("p_dc_W", law.dc_w(ac_w));
                expect("p_loss_W", law.loss_w(ac_w));
            }
            "inverse_bidirectional" => {
                let given_w = row.given("p_dc_given_W");
                let ac_w = law.ac_w(given_w).clamp(-law.rated_w, law.rated_w);
                expect("p_ac_W", ac_w);
                expect("p_loss_W", law.loss_w(ac_w));
                expect("p_clipped_W", (given_w - law.dc_w(ac_w)).abs());
            }
            "inverse_oneway_pv" => {
                let made = law.invert_pv(row.given("p_dc_given_W"));
                expect("p_ac_W", made.ac_w);
                expect("p_loss_W", made.loss_w);
                expect("p_clipped_W", made.clipped_w);
            }
            "cec_weighted_efficiency" => {
                expect("efficiency", law.weighted_efficiency(Weighting::Cec))
            }
            "european_weighted_efficiency" => {
                expect("efficiency", law.weighted_efficiency(Weighting::European));
            }
            "peak_efficiency" => expect("efficiency", law.peak_efficiency()),
            other => panic!("{case}: unknown kind {other:?}"),
        }
        judged += 1;
    }
    assert!(judged > 0, "no row was judged");
}
