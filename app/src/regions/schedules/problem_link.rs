//! From the path of a problem to the field in the page.

use couplet_core::household::{Household, OptionId};

/// Where a problem can be put right.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct FieldLink {
    /// Id of the element in the page.
    pub(crate) id: String,
    /// The option whose tab must be open for it.
    pub(crate) option: Option<OptionId>,
}

/// The field, or else the schedule, that a path such as `options[1].arrays[0].peak_w` means; none if it means nothing on the page.
pub(crate) fn field_of_problem(path: &str, household: &Household) -> Option<FieldLink> {
    let mut steps = path.split('.').map(step);
    let (first, index) = steps.next()?;
    let rest: Vec<_> = steps.collect();
    let last = rest.last().map_or("", |(key, _)| *key);
    let household_field = |id: String| Some(FieldLink { id, option: None });
    match (first, index) {
        ("name", _) => household_field("household-name".to_owned()),
        ("site" | "service" | "loads" | "tariff", _) => match rest.as_slice() {
            [] => household_field(format!("{first}-title")),
            [(list @ ("periods" | "demand"), Some(index)), within @ ..] => {
                let list = if *list == "periods" {
                    "period"
                } else {
                    "demand"
                };
                let inside = match within {
                    [("windows", Some(window)), ..] => format!("window-{window}-"),
                    [("tiers", Some(tier)), ..] => format!("tier-{tier}-"),
                    _ => String::new(),
                };
                household_field(format!("tariff-{list}-{index}-{inside}{last}"))
            }
            [("holidays", Some(index)), ..] => {
                household_field(format!("tariff-holiday-{index}-{last}"))
            }
            [("devices", Some(index)), ("start", _), (key, _)] => {
                let device = household.loads.devices.get(*index)?;
                household_field(format!("device-{}-start-{key}", device.id.0))
            }
            [("base_start", _), (key, _)] => household_field(format!("loads-base_start-{key}")),
            [("devices", Some(index)), ..] => {
                let device = household.loads.devices.get(*index)?;
                household_field(format!("device-{}-{last}", device.id.0))
            }
            [(key, Some(month))] => household_field(format!("{first}-{key}-{month}")),
            _ => household_field(format!("{first}-{last}")),
        },
        ("electrical", _) => household_field(format!("electrical-{}", electrical_key(&rest))),
        ("planes", Some(index)) => {
            let plane = household.planes.get(index)?;
            match rest.as_slice() {
                [("horizon", Some(point)), (key, _)] => {
                    household_field(format!("plane-{}-horizon-{point}-{key}", plane.id.0))
                }
                _ => household_field(format!("plane-{}-{last}", plane.id.0)),
            }
        }
        ("options", Some(index)) => {
            let option = household.options.get(index)?;
            let part = match rest.as_slice() {
                [("arrays", Some(index)), ..] => {
                    format!("array-{}", option.arrays.get(*index)?.id.0)
                }
                [("pv_inverters", Some(index)), ..] => {
                    format!("pv-inverter-{}", option.pv_inverters.get(*index)?.id.0)
                }
                [("storage", Some(index)), ..] => {
                    format!("storage-{}", option.storage.get(*index)?.id.0)
                }
                [("running" | "generator" | "island" | "costs", _), ..] => rest
                    .first()
                    .map(|(part, _)| (*part).to_owned())
                    .unwrap_or_default(),
                [("name", _)] => {
                    return Some(FieldLink {
                        id: "option-name".to_owned(),
                        option: Some(option.id),
                    });
                }
                _ => {
                    return Some(FieldLink {
                        id: "arrays-title".to_owned(),
                        option: Some(option.id),
                    });
                }
            };
            let key = match rest.as_slice() {
                [_, ("battery", _), ("costs", _), ..] => format!("battery_{last}"),
                [_, ("others", Some(place)), ..] => format!("others-{place}-{last}"),
                [_, ("mppt", _), ("rated_w" | "efficiency", _)] => format!("mppt_{last}"),
                [_, ("dc_unit" | "pv_inverter", _)] => "join".to_owned(),
                [_, ("electrical", _), field @ ..] => electrical_key(field),
                [.., ("windows", Some(place)), _, (key, _)]
                | [.., ("windows", Some(place)), _, _, (key, _)] => format!("hours-{place}-{key}"),
                [.., ("surge", Some(step)), (key, _)] => format!("surge-{step}-{key}"),
                [
                    ..,
                    ("own", _),
                    ("over_near" | "over_far" | "under_near" | "under_far", _),
                ] => {
                    format!("{last}-at_hz")
                }
                [.., ("own", _), (group, _), (key, _)] => format!("{group}-{key}"),
                _ => last.to_owned(),
            };
            Some(FieldLink {
                id: format!("option-{}-{part}-{key}", option.id.0),
                option: Some(option.id),
            })
        }
        _ => None,
    }
}

/// The end of the id of a field of the electrical schedules: circuits and panels have fields of the same names.
fn electrical_key(rest: &[(&str, Option<usize>)]) -> String {
    let last = rest.last().map_or("", |(key, _)| *key);
    match rest {
        [("strings", Some(input)), (key, _)] => format!("strings-{input}-{key}"),
        [
            (
                group @ ("circuit" | "output" | "battery_circuit" | "transfer_circuit"
                | "grid_side" | "backed_up"),
                _,
            ),
            _,
            ..,
        ] => format!("{group}-{last}"),
        _ => last.to_owned(),
    }
}

/// `arrays[0]` is the key `arrays` and the index 0.
fn step(text: &str) -> (&str, Option<usize>) {
    match text.split_once('[') {
        Some((key, index)) => (key, index.trim_end_matches(']').parse().ok()),
        None => (text, None),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use couplet_core::document::demo;

    #[test]
    fn a_problem_leads_to_its_field() {
        let household = demo();
        let id = |path| field_of_problem(path, &household).map(|field| field.id);
        assert_eq!(
            id("options[2].arrays[1].peak_w").as_deref(),
            Some("option-3-array-2-peak_w")
        );
        assert_eq!(
            id("options[2].storage[0].battery.usable_wh").as_deref(),
            Some("option-3-storage-1-usable_wh")
        );
        assert_eq!(
            id("options[2].storage[0].mppt.rated_w").as_deref(),
            Some("option-3-storage-1-mppt_rated_w")
        );
        assert_eq!(
            id("planes[1].tilt_deg").as_deref(),
            Some("plane-2-tilt_deg")
        );
        assert_eq!(
            id("site.latitude_deg").as_deref(),
            Some("site-latitude_deg")
        );
        assert_eq!(
            id("tariff.periods[0].windows[0].from_h").as_deref(),
            Some("tariff-period-0-window-0-from_h")
        );
        assert_eq!(
            id("tariff.periods[0].tiers[1].up_to_wh").as_deref(),
            Some("tariff-period-0-tier-1-up_to_wh")
        );
        assert_eq!(
            id("tariff.demand[0].cur_per_kw").as_deref(),
            Some("tariff-demand-0-cur_per_kw")
        );
        assert_eq!(
            id("tariff.holidays[2].date.day").as_deref(),
            Some("tariff-holiday-2-day")
        );
        assert_eq!(
            id("tariff.export.net_billing.price.flat.cur_per_kwh").as_deref(),
            Some("tariff-cur_per_kwh")
        );
        assert_eq!(
            id("loads.devices[1].kind.car.power_w").as_deref(),
            Some("device-2-power_w")
        );
        assert_eq!(
            id("loads.devices[1].start.power_w").as_deref(),
            Some("device-2-start-power_w")
        );
        assert_eq!(
            id("options[2].pv_inverters[0].grid_code.own.over_near").as_deref(),
            Some("option-3-pv-inverter-1-over_near-at_hz")
        );
        assert_eq!(
            id("options[2].pv_inverters[0].grid_code.own.droop.from_hz").as_deref(),
            Some("option-3-pv-inverter-1-droop-from_hz")
        );
        assert_eq!(
            id("options[2].storage[0].inverter.surge[1].duration_s").as_deref(),
            Some("option-3-storage-1-surge-1-duration_s")
        );
        assert_eq!(
            id("options[2].running.rule.own_hours.windows[1].window.to_h").as_deref(),
            Some("option-3-running-hours-1-to_h")
        );
        assert_eq!(
            id("options[2].running.rule.own_hours.windows[1].aim.charge.to_soc").as_deref(),
            Some("option-3-running-hours-1-to_soc")
        );
        assert_eq!(
            id("options[2].generator.stop_soc").as_deref(),
            Some("option-3-generator-stop_soc")
        );
        assert_eq!(
            id("options[2].island.restart_soc").as_deref(),
            Some("option-3-island-restart_soc")
        );
        assert_eq!(
            id("options[2].arrays[1].electrical.module.voc_per_c").as_deref(),
            Some("option-3-array-2-voc_per_c")
        );
        assert_eq!(
            id("options[2].storage[0].electrical.battery_circuit.size").as_deref(),
            Some("option-3-storage-1-battery_circuit-size")
        );
        assert_eq!(
            id("electrical.backed_up.control_a").as_deref(),
            Some("electrical-backed_up-control_a")
        );
        assert_eq!(
            id("electrical.dwelling").as_deref(),
            Some("electrical-dwelling")
        );
        assert_eq!(id("options[9].name"), None);
    }
}
