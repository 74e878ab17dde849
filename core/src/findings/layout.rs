//! Strings that fit a converter's inputs.

use super::InputWindow;
use crate::coupling::{InputSheet, InputStrings, ModuleSheet};
use crate::rules::{
    Code, cold_factor, dwelling_limit_v, fewest_in_series, most_in_series, source_circuit_a,
    voltage_at_cell_v,
};

/// How many modules in series fit an input.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SeriesRange {
    /// Fewest: below it the string falls out of the MPPT window on a hot day.
    pub fewest: u32,
    /// Most: beyond it the string passes the voltage limit in the cold.
    pub most: u32,
}

/// Open-circuit voltage of a module in the cold, V: by its coefficient, else by the table; none below the table's end.
#[must_use]
pub fn cold_module_v(module: &ModuleSheet, low_c: f64) -> Option<f64> {
    match module.voc_per_c {
        Some(per_c) => Some(voltage_at_cell_v(module.voc_v, per_c, low_c)),
        None => cold_factor(low_c).map(|factor| factor * module.voc_v),
    }
}

/// Voltage of a module at maximum power at a cell temperature, V.
///
/// `power_per_c` serves where the module's own coefficient is not known: it is steeper than that of the open-circuit voltage.
#[must_use]
pub fn working_module_v(module: &ModuleSheet, power_per_c: f64, cell_c: f64) -> f64 {
    voltage_at_cell_v(
        module.vmp_v,
        module.vmp_per_c.unwrap_or(power_per_c),
        cell_c,
    )
}

/// What the strings of an array must fit.
#[derive(Clone, Copy, Debug)]
pub struct Stringing<'a> {
    /// The code that limits the voltage.
    pub code: Code,
    /// The array's modules.
    pub module: &'a ModuleSheet,
    /// The inputs that it may use.
    pub window: &'a InputWindow,
    /// Lowest temperature, °C.
    pub low_c: Option<f64>,
    /// Cell temperature on a hot day, °C.
    pub hot_cell_c: Option<f64>,
    /// Relative change of power with temperature, per °C.
    pub power_per_c: f64,
}

/// How many modules in series fit an input between the cold and the heat.
///
/// A temperature that is not known is taken as that of standard test conditions; the findings then say that it is open.
#[must_use]
pub fn series_range(wiring: &Stringing<'_>) -> SeriesRange {
    let (module, window) = (wiring.module, &wiring.window.each);
    let cold_v = wiring
        .low_c
        .and_then(|low_c| cold_module_v(module, low_c))
        .unwrap_or(module.voc_v);
    let hot_v = wiring.hot_cell_c.map_or(module.vmp_v, |cell_c| {
        working_module_v(module, wiring.power_per_c, cell_c)
    });
    SeriesRange {
        fewest: fewest_in_series(hot_v, window.mppt_from_v).max(1),
        most: most_in_series(cold_v, window.most_v.min(dwelling_limit_v(wiring.code))),
    }
}

/// Most strings in parallel that an input takes, 0 if not even one.
#[must_use]
pub fn most_parallel(module: &ModuleSheet, window: &InputSheet) -> u32 {
    most_in_series(module.imp_a, window.most_working_a).min(most_in_series(
        source_circuit_a(module.isc_a, 1),
        window.most_short_circuit_a,
    ))
}

/// Every way to wire all modules of an array within the window: fewest strings in parallel first, then fewest inputs.
///
/// The inputs that are used share the modules evenly, to one module; strings in parallel on one input are alike.
#[must_use]
pub fn fitting_strings(wiring: &Stringing<'_>) -> Vec<Vec<InputStrings>> {
    const MOST_PROPOSALS: usize = 12;
    // Beyond these nobody wires a home, and the search stays short.
    const MOST_PARALLEL: u32 = 8;
    const MOST_INPUTS: u32 = 256;
    let (module, window) = (wiring.module, wiring.window);
    let range = series_range(wiring);
    let mut found = Vec::new();
    for parallel in 1..=most_parallel(module, &window.each).min(MOST_PARALLEL) {
        for inputs in 1..=window.inputs.min(MOST_INPUTS) {
            let Some(strings) = shared(module.count, inputs, parallel) else {
                continue;
            };
            let fits = strings
                .iter()
                .all(|one| (range.fewest..=range.most).contains(&one.in_series));
            if fits {
                found.push(strings);
                if found.len() == MOST_PROPOSALS {
                    return found;
                }
            }
        }
    }
    found
}

/// The first that fits, of [`fitting_strings`]; where none fits, the modules shared evenly over all inputs, to be judged as they are.
#[must_use]
pub fn proposed_strings(
    fitting: &[Vec<InputStrings>],
    module: &ModuleSheet,
    window: &InputWindow,
) -> Vec<InputStrings> {
    fitting
        .first()
        .cloned()
        .or_else(|| {
            shared(
                module.count,
                window.inputs.clamp(1, module.count.clamp(1, 256)),
                1,
            )
        })
        .unwrap_or_default()
}

/// All modules on this many inputs with this many strings in parallel on each; none if that does not come out even.
fn shared(count: u32, inputs: u32, parallel: u32) -> Option<Vec<InputStrings>> {
    let strings = inputs.checked_mul(parallel)?;
    let (in_series, rest) = (count.checked_div(strings)?, count.checked_rem(strings)?);
    // What is left over makes the strings of the first inputs one module longer.
    if in_series == 0 || rest % parallel != 0 {
        return None;
    }
    let longer = rest / parallel;
    Some(
        (0..inputs)
            .map(|input| InputStrings {
                in_series: if input < longer {
                    in_series + 1
                } else {
                    in_series
                },
                parallel,
            })
            .collect(),
    )
}

/// Modules of all strings together.
#[must_use]
pub fn wired_modules(strings: &[InputStrings]) -> u32 {
    strings.iter().fold(0, |sum, one| {
        one.in_series
            .saturating_mul(one.parallel)
            .saturating_add(sum)
    })
}

/// Inputs wired alike, each kind with its number.
pub(super) fn alike(strings: &[InputStrings]) -> Vec<(InputStrings, usize)> {
    let mut kinds: Vec<(InputStrings, usize)> = Vec::new();
    for one in strings {
        match kinds.iter_mut().find(|(kind, _)| kind == one) {
            Some((_, inputs)) => *inputs += 1,
            None => kinds.push((*one, 1)),
        }
    }
    kinds
}

/// The strings in words, such as `2 × 6 in series` or `7 + 6 in series`.
#[must_use]
pub fn strings_in_words(strings: &[InputStrings]) -> String {
    alike(strings)
        .iter()
        .map(|(kind, inputs)| {
            let parallel = if kind.parallel == 1 {
                String::new()
            } else {
                format!(", {} in parallel", kind.parallel)
            };
            let times = if *inputs == 1 {
                String::new()
            } else {
                format!("{inputs} × ")
            };
            format!("{times}{} in series{parallel}", kind.in_series)
        })
        .collect::<Vec<_>>()
        .join(" and ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::NecEdition;

    const NEC: Code = Code::Nec(NecEdition::Of2023);

    fn fitting(peak_w: f64, inputs: u32) -> Vec<Vec<InputStrings>> {
        fitting_strings(&Stringing {
            code: NEC,
            module: &ModuleSheet::generic(peak_w),
            window: &InputWindow::generic(NEC, inputs),
            low_c: Some(-29.0),
            hot_cell_c: Some(62.0),
            power_per_c: -0.0035,
        })
    }

    #[test]
    fn an_array_is_wired_as_one_string_where_it_fits() {
        let one = |in_series| InputStrings {
            in_series,
            parallel: 1,
        };
        assert_eq!(fitting(4800.0, 2)[0], [one(12)]);
        // 17 modules are too many in the cold: 42.4 V each.
        assert_eq!(fitting(6800.0, 2)[0], [one(9), one(8)]);
        assert!(fitting(800.0, 1).is_empty());
    }

    #[test]
    fn every_proposal_wires_every_module() {
        for modules in 1..60_u32 {
            for inputs in 1..4 {
                let fitting = fitting(400.0 * f64::from(modules), inputs);
                for strings in &fitting {
                    assert_eq!(wired_modules(strings), modules);
                }
                let proposed = proposed_strings(
                    &fitting,
                    &ModuleSheet::generic(400.0 * f64::from(modules)),
                    &InputWindow::generic(NEC, inputs),
                );
                assert_eq!(wired_modules(&proposed), modules);
            }
        }
    }

    #[test]
    fn strings_are_told_in_words() {
        let one = |in_series, parallel| InputStrings {
            in_series,
            parallel,
        };
        assert_eq!(strings_in_words(&[one(6, 1), one(6, 1)]), "2 × 6 in series");
        assert_eq!(
            strings_in_words(&[one(7, 1), one(6, 2)]),
            "7 in series and 6 in series, 2 in parallel"
        );
    }
}
