//! What the electrical rules ask for: data sheets, strings, place of the storage, panels, what only the site can tell. All of it may be
//! left open; what holds until then is shown in grey.

mod household;
mod module;
mod pv_inputs;
mod storage;
mod strings;

pub(super) use household::ElectricalSchedule;
pub(super) use module::module_fields;
pub(super) use pv_inputs::pv_inverter_fields;
pub(super) use storage::storage_fields;
pub(super) use strings::string_fields;

use couplet_core::household::Supply;
use leptos::prelude::*;

use crate::desk::Desk;

/// A typed number as a count.
pub(super) fn whole(value: f64) -> u32 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "each row of a count lies within 0 and 10,000"
    )]
    let count = value.round().clamp(0.0, 1e6) as u32;
    count
}

/// Whether the supply has three phases, so that a converter may feed one line only.
fn three_phase(desk: Desk) -> Memo<bool> {
    Memo::new(move |_| {
        desk.household.with(|household| {
            matches!(
                household.service.supply,
                Supply::ThreePhase230V400V50Hz | Supply::ThreePhase120V208V60Hz
            )
        })
    })
}
