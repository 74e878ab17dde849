//! Modules, PV inverters, storage, generator.

use super::{Group, Item, Quantity, Sources, State, figure, joined, kilo, pieces};
use crate::findings::{Origin, PvInput};
use crate::household::PvInverterId;

/// Lists them.
pub(super) fn list(sources: &Sources<'_>, items: &mut Vec<Item>) {
    modules(sources, items);
    pv_inverters(sources, items);
    storage(sources, items);
    if let Some(generator) = &sources.option.generator {
        items.push(Item {
            group: Group::Generator,
            state: State::of(generator.standing),
            quantity: Quantity::Pieces(1),
            description: format!("generator, {} kW", kilo(generator.rated_w)),
            place: generator.name.clone(),
            open: String::new(),
        });
    }
}

fn modules(sources: &Sources<'_>, items: &mut Vec<Item>) {
    for array in &sources.option.arrays {
        let Some(found) = sources.details.array(array.id) else {
            continue;
        };
        let module = &found.module;
        let each_w = array.peak_w / f64::from(module.count.max(1));
        items.push(Item {
            group: Group::Modules,
            state: State::of(array.standing),
            quantity: Quantity::Pieces(module.count),
            description: format!(
                "PV module, {} W: open circuit {} V, short circuit {} A",
                figure(each_w, 0),
                figure(module.voc_v, 1),
                figure(module.isc_a, 1)
            ),
            place: array.name.clone(),
            open: match found.module_origin {
                Origin::Generic => "number and data of the modules are generic".to_owned(),
                Origin::Given => String::new(),
            },
        });
    }
}

fn pv_inverters(sources: &Sources<'_>, items: &mut Vec<Item>) {
    let option = sources.option;
    for inverter in &option.pv_inverters {
        let idle = option.arrays_on_inverter(inverter.id).next().is_none();
        // One that waits for an array's return is not bought.
        if idle && !inverter.standing {
            continue;
        }
        let input = sources
            .details
            .pv_inverter(inverter.id)
            .map(|found| found.input);
        let at_modules = matches!(input, Some(PvInput::AtModule));
        let (quantity, description) = match input {
            Some(PvInput::AtModule) => {
                let count = modules_behind(sources, inverter.id);
                let each_w = inverter.rated_w / f64::from(count.max(1));
                (
                    Quantity::Pieces(count),
                    format!("module inverter, {} W AC", figure(each_w, 0)),
                )
            }
            Some(PvInput::Strings(window)) => (
                Quantity::Pieces(1),
                format!(
                    "PV inverter, {} kW AC, {} to {} V DC",
                    kilo(inverter.rated_w),
                    mppt_inputs(window.inputs),
                    figure(window.each.most_v, 0)
                ),
            ),
            None => (
                Quantity::Pieces(1),
                format!("PV inverter, {} kW AC", kilo(inverter.rated_w)),
            ),
        };
        let generic_window =
            matches!(input, Some(PvInput::Strings(window)) if window.origin == Origin::Generic);
        items.push(Item {
            group: Group::PvInverters,
            state: State::of(inverter.standing),
            // A set that stands idle has no modules to count it by.
            quantity: if idle && at_modules {
                Quantity::NotKnown
            } else {
                quantity
            },
            description,
            place: inverter.name.clone(),
            open: joined(&[
                if idle { "not used in this option" } else { "" },
                if generic_window && !inverter.standing {
                    "input voltage is generic"
                } else {
                    ""
                },
            ]),
        });
    }
}

fn modules_behind(sources: &Sources<'_>, id: PvInverterId) -> u32 {
    sources
        .option
        .arrays_on_inverter(id)
        .filter_map(|array| sources.details.array(array.id))
        .fold(0, |sum: u32, found| sum.saturating_add(found.module.count))
}

fn storage(sources: &Sources<'_>, items: &mut Vec<Item>) {
    for unit in &sources.option.storage {
        let state = State::of(unit.standing);
        let one_unit = sources
            .details
            .storage(unit.id)
            .is_some_and(|found| found.battery.is_none());
        let inputs = match &unit.mppt {
            Some(mppt) => format!(
                ", {} for {} kW",
                mppt_inputs(mppt.inputs),
                kilo(mppt.rated_w)
            ),
            None => ", no MPPT inputs".to_owned(),
        };
        let inverter = format!(
            "storage inverter, {} kW AC{inputs}",
            kilo(unit.inverter.rated_w)
        );
        let battery = format!(
            "{} kWh usable, charging with {} kW, giving {} kW",
            kilo(unit.battery.usable_wh),
            kilo(unit.battery.charge_w),
            kilo(unit.battery.discharge_w)
        );
        let mut add = |description: String, open: &str| {
            items.push(Item {
                group: Group::Storage,
                state,
                quantity: pieces(1),
                description,
                place: unit.name.clone(),
                open: open.to_owned(),
            });
        };
        if one_unit {
            add(format!("{inverter}, with battery built in: {battery}"), "");
            continue;
        }
        let nominal = sources.details.storage(unit.id).and_then(|found| {
            let battery = found.battery.as_ref()?;
            Some((battery.voltages.nominal_v, battery.origin))
        });
        let (volts, origin) = match nominal {
            Some((nominal_v, origin)) => (format!(", {} V", figure(nominal_v, 1)), origin),
            None => (String::new(), Origin::Given),
        };
        add(inverter, "");
        add(
            format!("battery{volts}, {battery}"),
            if origin.is_generic() {
                "voltage is generic; how many modules it is made of is its maker's"
            } else {
                "how many modules it is made of is its maker's"
            },
        );
    }
}

/// So many MPPT inputs.
fn mppt_inputs(count: u32) -> String {
    match count {
        1 => "1 MPPT input".to_owned(),
        _ => format!("{count} MPPT inputs"),
    }
}
