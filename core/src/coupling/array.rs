//! An array and its join.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::ArrayElectrical;
use crate::ids::{AcSide, ArrayId, PlaneId, PvInverterId, StorageId};

/// Modules on one plane, joined at one point.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Array {
    /// Names the array.
    pub id: ArrayId,
    /// Name on the drawing.
    pub name: String,
    /// Plane on which it lies.
    pub plane: PlaneId,
    /// Whether it stands already.
    pub standing: bool,
    /// Rated DC power at standard test conditions, W.
    pub peak_w: f64,
    /// Change of power with cell temperature, per °C (negative).
    pub power_coefficient_per_c: f64,
    /// Share of power lost in wiring at rated power, 0 to 0.2.
    pub wiring_loss: f64,
    /// Share of power lost to mismatch and tolerance, 0 to 0.2.
    pub mismatch_loss: f64,
    /// Share of rated power lost to age so far, 0 to 0.9.
    pub age_loss: f64,
    /// PV inverter that it feeds whenever it is joined on AC; kept while it is joined on DC, for its return.
    pub pv_inverter: PvInverterId,
    /// Storage unit on whose DC bus it is joined; none: it is joined on AC through `pv_inverter`.
    pub dc_unit: Option<StorageId>,
    /// What the electrical rules ask about it.
    pub electrical: ArrayElectrical,
    /// What it costs, currency; none: not given.
    pub first_cur: Option<f64>,
}

impl Array {
    /// Share of the plane's DC power that is left after wiring, mismatch and age.
    #[must_use]
    pub fn kept_share(&self) -> f64 {
        (1.0 - self.wiring_loss) * (1.0 - self.mismatch_loss) * (1.0 - self.age_loss)
    }
}

/// The point where an array connects.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Join {
    /// On AC, on this side of the transfer point, through a PV inverter.
    Ac(AcSide),
    /// On the DC bus of this storage unit, through an MPPT input.
    Dc(StorageId),
}
