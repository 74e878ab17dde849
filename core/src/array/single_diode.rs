//! Voltage and current of a module at any light and temperature: the single-diode model.

use crate::maths::bracketed_root;

const STC_CELL_K: f64 = 298.15;
const STC_CELL_C: f64 = 25.0;
const STC_POA_W_M2: f64 = 1000.0;
const KELVIN_AT_0_C: f64 = 273.15;
/// Boltzmann's constant, eV/K: the exact SI values of k over e.
const BOLTZMANN_EV_PER_K: f64 = 1.380_649e-23 / 1.602_176_634e-19;

/// A module (or a string of alike modules) by five parameters at standard test conditions and three coefficients.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SingleDiode {
    /// Light current, A.
    pub light_a: f64,
    /// Saturation current of the diode, A.
    pub saturation_a: f64,
    /// Ideality factor times cells in series times thermal voltage, V.
    pub diode_v: f64,
    /// Shunt resistance, Ω.
    pub shunt_ohm: f64,
    /// Series resistance, Ω.
    pub series_ohm: f64,
    /// Change of the short-circuit current with cell temperature, A per °C.
    pub short_circuit_a_per_c: f64,
    /// Band gap, eV: 1.121 for silicon.
    pub band_gap_ev: f64,
    /// Change of the band gap with temperature, share per °C: −0.0002677 for silicon.
    pub band_gap_per_c: f64,
}

/// Current against voltage at one light and temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DiodeCurve {
    /// Light current, A.
    pub light_a: f64,
    /// Saturation current of the diode, A.
    pub saturation_a: f64,
    /// Ideality factor times cells in series times thermal voltage, V.
    pub diode_v: f64,
    /// Shunt resistance, Ω; infinite in the dark.
    pub shunt_ohm: f64,
    /// Series resistance, Ω.
    pub series_ohm: f64,
}

/// Where the power is greatest.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct MaxPowerPoint {
    /// Current, A.
    pub current_a: f64,
    /// Voltage, V.
    pub voltage_v: f64,
    /// Power, W.
    pub power_w: f64,
}

impl SingleDiode {
    /// The curve at an irradiance and a cell temperature.
    ///
    /// - `poa_w_m2`: irradiance that reaches the cells, 0 to 1500 W/m²
    /// - `cell_c`: −60 to 100 °C
    ///
    /// Source: De Soto, Klein & Beckman (2006), Solar Energy 80, 78-88, doi:10.1016/j.solener.2005.06.010.
    #[must_use]
    pub fn curve(&self, poa_w_m2: f64, cell_c: f64) -> DiodeCurve {
        let light_share = poa_w_m2 / STC_POA_W_M2;
        let over_stc_c = cell_c - STC_CELL_C;
        let cell_k = cell_c + KELVIN_AT_0_C;
        let warmth = cell_k / STC_CELL_K;
        let gap_ev = self.band_gap_ev * (1.0 + self.band_gap_per_c * over_stc_c);
        let exponent = self.band_gap_ev / (BOLTZMANN_EV_PER_K * STC_CELL_K)
            - gap_ev / (BOLTZMANN_EV_PER_K * cell_k);
        DiodeCurve {
            light_a: light_share * (self.light_a + self.short_circuit_a_per_c * over_stc_c),
            saturation_a: self.saturation_a * warmth * warmth * warmth * libm::exp(exponent),
            diode_v: self.diode_v * warmth,
            shunt_ohm: self.shunt_ohm / light_share,
            series_ohm: self.series_ohm,
        }
    }
}

impl DiodeCurve {
    /// Current that the cells give beyond the diode and the shunt when the diode has a voltage, A.
    fn current_at_diode_a(&self, diode_v: f64) -> f64 {
        self.light_a
            - self.saturation_a * libm::expm1(diode_v / self.diode_v)
            - diode_v / self.shunt_ohm
    }

    /// Voltage of the diode at open circuit when it has no shunt, V: more than at any working point.
    fn highest_v(&self) -> f64 {
        self.diode_v * libm::log1p(self.light_a / self.saturation_a)
    }

    /// Current into a short circuit, A; 0 in the dark.
    #[must_use]
    pub fn short_circuit_a(&self) -> f64 {
        if self.series_ohm <= 0.0 {
            return self.light_a.max(0.0);
        }
        // All voltage of the diode falls across the series resistance.
        let diode_v = bracketed_root(
            |v| self.current_at_diode_a(v) - v / self.series_ohm,
            0.0,
            self.highest_v().min(self.light_a * self.series_ohm),
            0.0,
        );
        diode_v.unwrap_or(0.0) / self.series_ohm
    }

    /// Voltage without current, V; 0 in the dark.
    #[must_use]
    pub fn open_circuit_v(&self) -> f64 {
        bracketed_root(|v| self.current_at_diode_a(v), 0.0, self.highest_v(), 0.0).unwrap_or(0.0)
    }

    /// Current at a voltage, A; negative beyond the open-circuit voltage, where the module takes current.
    #[must_use]
    pub fn current_a(&self, voltage_v: f64) -> f64 {
        if self.series_ohm <= 0.0 {
            return self.current_at_diode_a(voltage_v);
        }
        // The diode's voltage lies between the module's and that of a full light current through the series resistance.
        let across = |diode_v: f64| {
            self.current_at_diode_a(diode_v) - (diode_v - voltage_v) / self.series_ohm
        };
        let most_v = voltage_v.max(0.0) + self.light_a.max(0.0) * self.series_ohm;
        let diode_v = bracketed_root(across, voltage_v.min(0.0), most_v, 0.0).unwrap_or(voltage_v);
        (diode_v - voltage_v) / self.series_ohm
    }

    /// The point of greatest power; zeros in the dark.
    #[must_use]
    pub fn max_power(&self) -> MaxPowerPoint {
        let voltage_of = |diode_v: f64, current_a: f64| diode_v - current_a * self.series_ohm;
        // dP/du = I + I' (u − 2 I Rs), with u the diode's voltage.
        let rise = |diode_v: f64| {
            let current_a = self.current_at_diode_a(diode_v);
            let slope = -self.saturation_a / self.diode_v * libm::exp(diode_v / self.diode_v)
                - 1.0 / self.shunt_ohm;
            current_a + slope * (diode_v - 2.0 * current_a * self.series_ohm)
        };
        match bracketed_root(rise, 0.0, self.open_circuit_v(), 0.0) {
            Some(diode_v) if diode_v > 0.0 => {
                let current_a = self.current_at_diode_a(diode_v);
                let voltage_v = voltage_of(diode_v, current_a);
                MaxPowerPoint {
                    current_a,
                    voltage_v,
                    power_w: current_a * voltage_v,
                }
            }
            _ => MaxPowerPoint::default(),
        }
    }
}
