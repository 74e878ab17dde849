//! From light to DC power against `iam_and_temperature.csv` and `single_diode.csv`, computed by an independent program from the
//! papers named there.

use couplet_core::array::{
    HeatLoss, PHYSICAL, SingleDiode, ashrae_modifier, faiman_cell_c, noct_cell_c, power_share,
};
use couplet_tests::{Table, Tolerance, assert_within};

/// Linear laws: only rounding differs.
const LINEAR: Tolerance = Tolerance::relative(1e-12);
const MODIFIER: Tolerance = Tolerance::absolute(1e-9);
const DIODE: Tolerance = Tolerance::relative(1e-9);
/// The maximum is flat, so its place is less sharp than its height.
const PLACE_OF_MAXIMUM: Tolerance = Tolerance::relative(1e-7);

#[test]
fn incidence_temperature_and_power_match_independent_values() {
    let table = Table::reference("iam_and_temperature.csv");
    for row in table.rows() {
        let place = row.place();
        let check = |computed: f64, column: &str, tolerance: Tolerance| {
            if let Some(expected) = row.number(column) {
                assert_within(computed, expected, tolerance, &format!("{place} {column}"));
            }
        };
        if let Some(aoi_deg) = row.number("aoi_deg") {
            let cos_incidence = aoi_deg.to_radians().cos();
            check(PHYSICAL.modifier(cos_incidence), "iam_physical", MODIFIER);
            if let Some(b0) = row.number("ashrae_b0") {
                check(ashrae_modifier(cos_incidence, b0), "iam_ashrae", MODIFIER);
            }
        }
        let poa_w_m2 = row.given("poa_global_W_m2");
        let air_c = row.given("temp_air_degC");
        let heat_loss = HeatLoss {
            still_w_m2_k: row.given("faiman_u0_W_m2_K"),
            wind_w_s_m3_k: row.given("faiman_u1_W_s_m3_K"),
        };
        let faiman_c = faiman_cell_c(poa_w_m2, air_c, row.given("wind_speed_m_s"), heat_loss);
        let noct_c = noct_cell_c(poa_w_m2, air_c, row.given("noct_degC"));
        check(faiman_c, "temp_cell_faiman_degC", LINEAR);
        check(noct_c, "temp_cell_noct_degC", LINEAR);
        let (rated_w, per_c) = (row.given("pdc0_W"), row.given("gamma_1_K"));
        let power_w = |cell_c| rated_w * power_share(poa_w_m2, cell_c, per_c);
        check(power_w(faiman_c), "pdc_from_faiman_W", LINEAR);
        check(power_w(noct_c), "pdc_from_noct_W", LINEAR);
    }
}

#[test]
fn module_curves_match_independent_values() {
    let table = Table::reference("single_diode.csv");
    for row in table.rows() {
        let place = row.place();
        let check = |computed: f64, column: &str, tolerance: Tolerance| {
            if let Some(expected) = row.number(column) {
                assert_within(computed, expected, tolerance, &format!("{place} {column}"));
            }
        };
        let module = SingleDiode {
            light_a: row.given("il_ref_A"),
            saturation_a: row.given("io_ref_A"),
            diode_v: row.given("a_ref_V"),
            shunt_ohm: row.given("rsh_ref_ohm"),
            series_ohm: row.given("rs_ohm"),
            short_circuit_a_per_c: row.given("alpha_sc_A_K"),
            band_gap_ev: row.given("eg_ref_eV"),
            band_gap_per_c: row.given("deg_dt_1_K"),
        };
        let curve = module.curve(
            row.given("effective_irradiance_W_m2"),
            row.given("temp_cell_degC"),
        );
        check(curve.light_a, "il_A", DIODE);
        check(curve.saturation_a, "io_A", DIODE);
        check(curve.shunt_ohm, "rsh_ohm", DIODE);
        check(curve.diode_v, "n_ns_vth_V", DIODE);
        check(curve.short_circuit_a(), "i_sc_A", DIODE);
        check(curve.open_circuit_v(), "v_oc_V", DIODE);
        let best = curve.max_power();
        check(best.power_w, "p_mp_W", DIODE);
        check(best.voltage_v, "v_mp_V", PLACE_OF_MAXIMUM);
        check(best.current_a, "i_mp_A", PLACE_OF_MAXIMUM);
        // The same curve, asked by voltage, passes through its three points.
        let amps = Tolerance::either(1e-9, 1e-9 * curve.light_a);
        assert_within(curve.current_a(0.0), curve.short_circuit_a(), amps, &place);
        assert_within(
            curve.current_a(best.voltage_v),
            best.current_a,
            amps,
            &place,
        );
        // At open circuit the curve is steep: what rounding leaves of the voltage moves the current.
        let open_a = Tolerance::absolute(1e-7 * curve.light_a + 1e-12);
        assert_within(curve.current_a(curve.open_circuit_v()), 0.0, open_a, &place);
    }
}
