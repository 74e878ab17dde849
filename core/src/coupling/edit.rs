//! Moving a join: the central gesture, as a change of the option.

use super::{CouplingOption, Join, PvInverter};
use crate::ids::{AcSide, ArrayId, PvInverterId, StorageId};

/// What a move did beside moving the array itself.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Moved {
    /// Arrays that went along because they share the PV inverter.
    pub along: Vec<ArrayId>,
    /// PV inverter that was added because the array had none.
    pub added_inverter: Option<PvInverterId>,
}

/// Why a join cannot be moved there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MoveProblem {
    /// There is no such array.
    NoSuchArray,
    /// There is no such storage unit.
    NoSuchUnit,
    /// The storage unit has no MPPT inputs.
    NoMppt,
}

impl CouplingOption {
    /// Sets an array on another join. Arrays that share its PV inverter go along when that inverter changes sides.
    ///
    /// **Errors**: the array or unit is not there, or the unit has no MPPT inputs; the option is then unchanged.
    pub fn move_array(&mut self, id: ArrayId, to: Join) -> Result<Moved, MoveProblem> {
        let index = self
            .arrays
            .iter()
            .position(|array| array.id == id)
            .ok_or(MoveProblem::NoSuchArray)?;
        match to {
            Join::Dc(unit) => {
                let target = self.storage_unit(unit).ok_or(MoveProblem::NoSuchUnit)?;
                if target.mppt.is_none() {
                    return Err(MoveProblem::NoMppt);
                }
                if let Some(array) = self.arrays.get_mut(index) {
                    array.dc_unit = Some(unit);
                }
                Ok(Moved {
                    along: Vec::new(),
                    added_inverter: None,
                })
            }
            Join::Ac(side) => Ok(self.join_on_ac(index, side)),
        }
    }

    fn join_on_ac(&mut self, index: usize, side: AcSide) -> Moved {
        let Some(array) = self.arrays.get_mut(index) else {
            return Moved {
                along: Vec::new(),
                added_inverter: None,
            };
        };
        array.dc_unit = None;
        let (id, peak_w, name, inverter) = (
            array.id,
            array.peak_w,
            array.name.clone(),
            array.pv_inverter,
        );
        if let Some(found) = self
            .pv_inverters
            .iter_mut()
            .find(|found| found.id == inverter)
        {
            found.side = side;
            let along = self
                .arrays_on_inverter(inverter)
                .map(|array| array.id)
                .filter(|other| *other != id)
                .collect();
            return Moved {
                along,
                added_inverter: None,
            };
        }
        let added = PvInverterId::next(self.pv_inverters.iter().map(|inverter| inverter.id));
        self.pv_inverters
            .push(PvInverter::generic(added, name, side, peak_w));
        if let Some(array) = self.arrays.get_mut(index) {
            array.pv_inverter = added;
        }
        Moved {
            along: Vec::new(),
            added_inverter: Some(added),
        }
    }

    /// Sets a storage unit on the other side of the transfer point. False if there is no such unit.
    pub fn move_unit(&mut self, id: StorageId, side: AcSide) -> bool {
        match self.storage.iter_mut().find(|unit| unit.id == id) {
            Some(unit) => {
                unit.side = side;
                true
            }
            None => false,
        }
    }
}
