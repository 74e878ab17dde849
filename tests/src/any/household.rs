//! Random households.

use couplet_core::household::{Household, OptionId, PlaneId};
use proptest::collection::vec;
use proptest::prelude::*;

use super::coupling::any_option;
use super::electrical::any_household_electrical;
use super::loads::any_loads;
use super::money::any_finance;
use super::site::{any_plane, any_service, any_site};
use super::tariff::any_tariff;

/// A household that passes the check.
pub fn any_household() -> impl Strategy<Value = Household> {
    (
        any_site(),
        any_service(),
        vec(any_plane(), 1..4),
        any_loads(),
        any_tariff(),
        any_household_electrical(),
        any_finance(),
        1..4_usize,
    )
        .prop_flat_map(
            |(site, service, planes, loads, tariff, electrical, finance, count)| {
                let planes = numbered(planes, |plane, id| plane.id = PlaneId(id));
                let ids = planes.iter().map(|plane| plane.id).collect::<Vec<_>>();
                vec(any_option(ids), count).prop_map(move |options| Household {
                    name: "Any".to_owned(),
                    invented: true,
                    site: site.clone(),
                    service: service.clone(),
                    planes: planes.clone(),
                    loads: loads.clone(),
                    tariff: tariff.clone(),
                    electrical: electrical.clone(),
                    finance: finance.clone(),
                    options: numbered(options, |option, id| option.id = OptionId(id)),
                })
            },
        )
}

pub(super) fn numbered<T>(mut items: Vec<T>, number: impl Fn(&mut T, u32)) -> Vec<T> {
    for (item, id) in items.iter_mut().zip(1..) {
        number(item, id);
    }
    items
}
