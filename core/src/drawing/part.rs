//! What stands on the sheet, what of it can be moved, and where to.

use crate::coupling::{CouplingOption, Join, MoveProblem};
use crate::household::{AcSide, ArrayId, DeviceId, PlaneId, PvInverterId, Service, StorageId};

/// Something on the sheet that can be reached, named and opened.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Part {
    /// An array.
    Array(ArrayId),
    /// A PV inverter.
    PvInverter(PvInverterId),
    /// A storage unit: its inverter, its DC bus and its battery.
    Storage(StorageId),
    /// A device among the loads.
    Device(DeviceId),
    /// The base use on one side of the transfer point.
    Base(AcSide),
    /// Utility, meter and main breaker.
    Service,
    /// The transfer switch.
    Transfer,
    /// The generator.
    Generator,
    /// A roof plane; it is not drawn, its arrays are.
    Plane(PlaneId),
}

impl Part {
    /// A name that stays the same, for markup and for the ids of findings.
    #[must_use]
    pub fn key(self) -> String {
        match self {
            Self::Array(id) => format!("array-{}", id.0),
            Self::PvInverter(id) => format!("pv-inverter-{}", id.0),
            Self::Storage(id) => format!("storage-{}", id.0),
            Self::Device(id) => format!("device-{}", id.0),
            Self::Base(AcSide::GridSide) => "base-grid-side".to_owned(),
            Self::Base(AcSide::BackedUp) => "base-backed-up".to_owned(),
            Self::Service => "service".to_owned(),
            Self::Transfer => "transfer".to_owned(),
            Self::Generator => "generator".to_owned(),
            Self::Plane(id) => format!("plane-{}", id.0),
        }
    }
}

/// A part whose join can be moved.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Moving {
    /// An array, to any join.
    Array(ArrayId),
    /// A storage unit, to a side of the transfer point.
    Storage(StorageId),
}

impl Moving {
    /// The part that is moved.
    #[must_use]
    pub fn part(self) -> Part {
        match self {
            Self::Array(id) => Part::Array(id),
            Self::Storage(id) => Part::Storage(id),
        }
    }
}

/// Where a part stands or is to be set: a join for an array, a side for a storage unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Target {
    /// A join, for an array.
    Join(Join),
    /// A side of the transfer point, for a storage unit.
    Side(AcSide),
}

/// Which part was moved last and where it stood before; a ghost stands there until the move is kept or undone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MoveMark {
    /// The part that was moved.
    pub part: Moving,
    /// Where it stood.
    pub from: Target,
}

/// A place that a part in hand could be set on, in the order of the sheet from left to right.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Offer {
    /// The place.
    pub target: Target,
    /// Whether the part stands there now.
    pub stands_here: bool,
    /// Why it cannot be set there; none: it can.
    pub refused: Option<MoveProblem>,
}

/// Where `moving` stands in this option; none if it is not there.
#[must_use]
pub fn place(option: &CouplingOption, moving: Moving) -> Option<Target> {
    match moving {
        Moving::Array(id) => option
            .array(id)
            .and_then(|array| option.join(array))
            .map(Target::Join),
        Moving::Storage(id) => option.storage_unit(id).map(|unit| Target::Side(unit.side)),
    }
}

/// Every place on the sheet for `moving`, legal or not, from left to right; empty if the part is not there. Without a utility there is no
/// grid side; it is offered only to what stands there still.
#[must_use]
pub fn offers(service: &Service, option: &CouplingOption, moving: Moving) -> Vec<Offer> {
    let Some(stands) = place(option, moving) else {
        return Vec::new();
    };
    let offer = |target, refused| Offer {
        target,
        stands_here: target == stands,
        refused,
    };
    let sides = |target: fn(AcSide) -> Target| {
        [AcSide::GridSide, AcSide::BackedUp]
            .into_iter()
            .map(move |side| (side, target(side)))
            .filter(move |(side, target)| {
                service.utility || *side == AcSide::BackedUp || *target == stands
            })
            .map(move |(_, target)| offer(target, None))
    };
    match moving {
        Moving::Array(_) => sides(|side| Target::Join(Join::Ac(side)))
            .chain(units_in_drawn_order(option).map(|unit| {
                let refused = unit.mppt.is_none().then_some(MoveProblem::NoMppt);
                offer(Target::Join(Join::Dc(unit.id)), refused)
            }))
            .collect(),
        Moving::Storage(_) => sides(Target::Side).collect(),
    }
}

/// Storage units from left to right: those on the backed-up side first, then those on the grid side.
pub(super) fn units_in_drawn_order(
    option: &CouplingOption,
) -> impl Iterator<Item = &crate::coupling::StorageUnit> {
    let on = |side| option.storage.iter().filter(move |unit| unit.side == side);
    on(AcSide::BackedUp).chain(on(AcSide::GridSide))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::coupling::{
        Array, DcOrder, IslandRunning, OptionCosts, PvInverter, Running, RunningRule, StorageUnit,
        TitleNotes,
    };
    use crate::household::OptionId;

    fn service(utility: bool) -> Service {
        Service {
            utility,
            ..crate::document::demo().service
        }
    }

    fn option() -> CouplingOption {
        let side = AcSide::GridSide;
        let mut ac_battery =
            StorageUnit::generic(StorageId(2), "AC battery".into(), side, 3000.0, 6000.0);
        ac_battery.mppt = None;
        CouplingOption {
            id: OptionId(1),
            name: "A".into(),
            title: TitleNotes::default(),
            arrays: vec![Array::generic(
                ArrayId(1),
                "South roof".into(),
                PlaneId(1),
                3600.0,
                PvInverterId(1),
            )],
            pv_inverters: vec![PvInverter::generic(
                PvInverterId(1),
                "South roof".into(),
                side,
                3600.0,
            )],
            storage: vec![
                ac_battery,
                StorageUnit::generic(
                    StorageId(1),
                    "Storage".into(),
                    AcSide::BackedUp,
                    5000.0,
                    10_000.0,
                ),
            ],
            running: Running {
                rule: RunningRule::SelfConsumption,
                dc_order: DcOrder::LoadsBatteryGrid,
                reserve_soc: 0.2,
            },
            generator: None,
            island: IslandRunning::default(),
            costs: OptionCosts::default(),
        }
    }

    #[test]
    fn an_array_is_offered_every_join_from_left_to_right() {
        let offers = offers(&service(true), &option(), Moving::Array(ArrayId(1)));
        let targets: Vec<_> = offers.iter().map(|offer| offer.target).collect();
        assert_eq!(
            targets,
            [
                Target::Join(Join::Ac(AcSide::GridSide)),
                Target::Join(Join::Ac(AcSide::BackedUp)),
                Target::Join(Join::Dc(StorageId(1))),
                Target::Join(Join::Dc(StorageId(2))),
            ]
        );
        assert!(offers.first().is_some_and(|offer| offer.stands_here));
        assert_eq!(
            offers.last().and_then(|offer| offer.refused),
            Some(MoveProblem::NoMppt)
        );
    }

    #[test]
    fn a_storage_unit_is_offered_both_sides_and_no_dc_bus() {
        let offered = |unit| offers(&service(true), &option(), Moving::Storage(unit));
        assert_eq!(offered(StorageId(1)).len(), 2);
        assert!(offered(StorageId(9)).is_empty());
    }

    #[test]
    fn without_a_utility_the_grid_side_is_offered_only_to_what_stands_there() {
        let targets = |moving| -> Vec<Target> {
            offers(&service(false), &option(), moving)
                .into_iter()
                .map(|offer| offer.target)
                .collect()
        };
        let grid_side = Target::Side(AcSide::GridSide);
        assert_eq!(
            targets(Moving::Storage(StorageId(1))),
            [Target::Side(AcSide::BackedUp)]
        );
        assert_eq!(
            targets(Moving::Storage(StorageId(2))),
            [grid_side, Target::Side(AcSide::BackedUp)]
        );
        let mut on_dc = option();
        on_dc.arrays[0].dc_unit = Some(StorageId(1));
        let array = offers(&service(false), &on_dc, Moving::Array(ArrayId(1)));
        assert!(
            array
                .iter()
                .all(|offer| offer.target != Target::Join(Join::Ac(AcSide::GridSide)))
        );
        assert_eq!(array.len(), 3);
    }
}
