//! Cell temperature, and the power that follows from it.

use super::HeatLoss;

/// Cell temperature of a module in steady conditions (Faiman), °C.
///
/// - `poa_w_m2`: irradiance on the plane of the array, 0 to 1500 W/m²
/// - `air_c`: air temperature, −60 to 60 °C
/// - `wind_m_s`: wind speed at module height, 0 m/s and up
///
/// Not below `air_c`; at 0 W/m² it is `air_c`: radiation to the night sky is left out.
///
/// Source: Faiman (2008), Prog. Photovolt. 16, 307-315, doi:10.1002/pip.813; IEC 61853-2.
#[inline]
#[must_use]
pub fn faiman_cell_c(poa_w_m2: f64, air_c: f64, wind_m_s: f64, heat_loss: HeatLoss) -> f64 {
    air_c + poa_w_m2 / (heat_loss.still_w_m2_k + heat_loss.wind_w_s_m3_k * wind_m_s)
}

/// Cell temperature from the nominal operating cell temperature of a data sheet, °C.
///
/// - `noct_c`: at 800 W/m², 20 °C air, 1 m/s
///
/// Source: Ross (1980), Proc. 14th IEEE Photovoltaic Specialists Conference, 1032-1036.
#[must_use]
pub fn noct_cell_c(poa_w_m2: f64, air_c: f64, noct_c: f64) -> f64 {
    air_c + (noct_c - 20.0) / 800.0 * poa_w_m2
}

/// Power at the maximum power point over rated power.
///
/// - `poa_w_m2`: irradiance that reaches the cells, 0 to 1500 W/m²
/// - `power_coefficient_per_c`: change with cell temperature, negative
///
/// Returns 0 where the line would fall below it.
///
/// Source: IEC 60891:2021 and IEC 61853-1: power in proportion to irradiance and linear in cell temperature about 25 °C.
#[inline]
#[must_use]
pub fn power_share(poa_w_m2: f64, cell_c: f64, power_coefficient_per_c: f64) -> f64 {
    (poa_w_m2 / 1000.0 * (1.0 + power_coefficient_per_c * (cell_c - 25.0))).max(0.0)
}
