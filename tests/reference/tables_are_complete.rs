//! Every table of outside values can be read.

use couplet_tests::Table;

#[test]
fn every_table_of_reference_values_can_be_read() {
    for file in [
        "clearsky.csv",
        "converter.csv",
        "decomposition.csv",
        "decomposition_daily.csv",
        "dispatch_limits.csv",
        "dispatch_lp.csv",
        "dispatch_lp_inputs.csv.gz",
        "dispatch_settled.csv",
        "finance.csv",
        "iam_and_temperature.csv",
        "metric_conductors.csv",
        "nec_conductors.csv",
        "rainflow.csv",
        "rainflow_series.csv",
        "rainflow_totals.csv",
        "single_diode.csv",
        "sun_position.csv",
        "transposition.csv",
        "year_hourly.csv.gz",
        "year_sums.csv",
    ] {
        assert!(!Table::reference(file).is_empty());
    }
}
