//! The weather at the steps of a run.

/// Weather at every step of a time grid: means of the step.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Weather {
    /// Global irradiance of the level, W/m².
    pub ghi_w_m2: Vec<f64>,
    /// Beam irradiance square to the sun, W/m².
    pub dni_w_m2: Vec<f64>,
    /// Diffuse irradiance of the level, W/m².
    pub dhi_w_m2: Vec<f64>,
    /// Air temperature, °C.
    pub air_c: Vec<f64>,
    /// Wind speed at the height of the modules, m/s.
    pub wind_m_s: Vec<f64>,
}
