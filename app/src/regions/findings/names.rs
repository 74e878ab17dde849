//! What a part is called where its findings stand.

use couplet_core::coupling::CouplingOption;
use couplet_core::drawing::Part;
use couplet_core::household::{AcSide, Household};

/// The name of a part of the household or of the option.
pub(crate) fn part_name(
    household: &Household,
    option: Option<&CouplingOption>,
    part: Part,
) -> String {
    let of_option = |name: &dyn Fn(&CouplingOption) -> Option<String>| {
        option.and_then(name).unwrap_or_default()
    };
    match part {
        Part::Array(id) => of_option(&|option| option.array(id).map(|array| array.name.clone())),
        Part::PvInverter(id) => {
            of_option(&|option| option.pv_inverter(id).map(|inverter| inverter.name.clone()))
        }
        Part::Storage(id) => {
            of_option(&|option| option.storage_unit(id).map(|unit| unit.name.clone()))
        }
        Part::Generator => {
            of_option(&|option| option.generator.as_ref().map(|one| one.name.clone()))
        }
        Part::Device(id) => household
            .loads
            .devices
            .iter()
            .find(|device| device.id == id)
            .map(|device| device.name.clone())
            .unwrap_or_default(),
        Part::Plane(id) => household
            .plane(id)
            .map(|plane| plane.name.clone())
            .unwrap_or_default(),
        Part::Base(AcSide::GridSide) => "House loads, main panel".to_owned(),
        Part::Base(AcSide::BackedUp) => "House loads, backed-up panel".to_owned(),
        Part::Service => "Service and main panel".to_owned(),
        Part::Transfer if !household.service.utility => "Panel".to_owned(),
        Part::Transfer => "Transfer switch and backed-up panel".to_owned(),
    }
}
