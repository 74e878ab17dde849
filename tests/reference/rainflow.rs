//! Rainflow counting against ASTM E1049-85's own example and an independent program (`values/README.md`, section 9).
//! Tolerance: 1e-12, as stated there: the cycles are differences of the series' own values.

use std::collections::BTreeMap;

use couplet_core::ageing::cycles;
use couplet_tests::{Table, assert_near};

#[test]
fn every_series_has_the_cycles_that_the_standard_counts() {
    let mut series: BTreeMap<String, Vec<f64>> = BTreeMap::new();
    for row in Table::reference("rainflow_series.csv").rows() {
        let values = series.entry(row.text("series_id").to_owned()).or_default();
        assert_eq!(row.given("index"), values.len() as f64, "{}", row.place());
        values.push(row.given("value"));
    }
    let mut expected: BTreeMap<String, Vec<[f64; 3]>> = BTreeMap::new();
    for row in Table::reference("rainflow.csv").rows() {
        let cycle = [row.given("range"), row.given("mean"), row.given("count")];
        expected
            .entry(row.text("series_id").to_owned())
            .or_default()
            .push(cycle);
    }
    for row in Table::reference("rainflow_totals.csv").rows() {
        let id = row.text("series_id");
        let values = &series[id];
        assert_eq!(values.len() as f64, row.given("n_points"), "{id}");
        let counted = cycles(values.iter().copied());
        assert_eq!(counted.len() as f64, row.given("n_cycle_records"), "{id}");

        // The order is no part of the standard. Values that differ by rounding must sort alike.
        let rounded = |cycle: &[f64; 3]| cycle.map(|value| (value * 1e9).round());
        let by_value = |a: &[f64; 3], b: &[f64; 3]| {
            let pairs = rounded(a).into_iter().zip(rounded(b));
            pairs.fold(std::cmp::Ordering::Equal, |order, (a, b)| {
                order.then(a.total_cmp(&b))
            })
        };
        let mut ours: Vec<_> = counted.iter().map(|c| [c.range, c.mean, c.count]).collect();
        let mut theirs = expected.get(id).cloned().unwrap_or_default();
        ours.sort_by(by_value);
        theirs.sort_by(by_value);
        assert_eq!(ours.len(), theirs.len(), "{id}");
        for (ours, theirs) in ours.iter().zip(&theirs) {
            for (ours, theirs) in ours.iter().zip(theirs) {
                assert_near(*ours, *theirs, 1e-12, id);
            }
        }
        let sum = |power: i32| -> f64 {
            counted
                .iter()
                .map(|cycle| cycle.count * cycle.range.powi(power))
                .sum()
        };
        for (column, power) in [
            ("sum_count", 0),
            ("sum_count_times_range", 1),
            ("sum_count_times_range_squared", 2),
        ] {
            assert_near(
                sum(power),
                row.given(column),
                1e-9,
                &format!("{id} {column}"),
            );
        }
    }
}
