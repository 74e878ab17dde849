//! Findings of arrays: string voltage and current against the converter they join.

use super::finding::{Head, against, figure};
use super::layout::{
    Stringing, cold_module_v, series_range, strings_in_words, wired_modules, working_module_v,
};
use super::quantity::temperature;
use super::{ArrayDetails, Context, Finding, InputWindow, Missing, PvInput, Topic};
use crate::coupling::{Array, InputSheet, Join};
use crate::drawing::Part;
use crate::limits::Unit;
use crate::rules::{
    Clause, Code, STC_CELL_C, Source, StringFuse, dwelling_limit_v, hot_cell_rise_k,
    source_circuit_a, string_fuse,
};
use crate::units::UnitSystem;

/// Margin of a voltage below which it is watched, share of the limit.
const NEAR: f64 = 0.02;

/// What an array and the converter that it joins look like to the rules.
struct Strings<'a> {
    context: &'a Context<'a>,
    array: &'a Array,
    found: &'a ArrayDetails,
    window: &'a InputWindow,
    longest: u32,
    shortest: u32,
    widest: u32,
    generic: bool,
}

/// Findings of every array with strings.
pub(super) fn judge(context: &Context<'_>, found: &mut Vec<Finding>) {
    for array in &context.option.arrays {
        let Some(details) = context.details.array(array.id) else {
            continue;
        };
        let Some(window) = window(context, array) else {
            continue;
        };
        let in_series = || details.strings.iter().map(|one| one.in_series);
        let strings = Strings {
            context,
            array,
            found: details,
            window: &window,
            longest: in_series().max().unwrap_or(0),
            shortest: in_series().min().unwrap_or(0),
            widest: details
                .strings
                .iter()
                .map(|one| one.parallel)
                .max()
                .unwrap_or(0),
            generic: details.module_origin.is_generic(),
        };
        found.push(strings.wiring());
        found.push(strings.cold_voltage_at_input());
        found.push(strings.cold_voltage_on_dwelling());
        found.push(strings.hot_voltage());
        found.extend(strings.cold_working_voltage());
        found.push(strings.short_circuit_current());
        found.push(strings.working_current());
        found.push(strings.fuses());
    }
    inputs_in_use(context, found);
}

/// Every converter has inputs for all its strings.
fn inputs_in_use(context: &Context<'_>, found: &mut Vec<Finding>) {
    let option = context.option;
    let used = |arrays: &mut dyn Iterator<Item = &Array>| -> usize {
        arrays
            .filter_map(|array| context.details.array(array.id))
            .map(|array| array.strings.len())
            .sum()
    };
    let inverters = context.pv_inverters().filter_map(|inverter| {
        match context.details.pv_inverter(inverter.id)?.input {
            PvInput::Strings(window) => Some((
                Part::PvInverter(inverter.id),
                used(&mut option.arrays_on_inverter(inverter.id)),
                window,
            )),
            PvInput::AtModule => None,
        }
    });
    let units = option.storage.iter().filter_map(|unit| {
        let window = context.details.storage(unit.id)?.input?;
        Some((
            Part::Storage(unit.id),
            used(&mut option.arrays_on_unit(unit.id)),
            window,
        ))
    });
    for (part, used, window) in inverters.chain(units) {
        if used == 0 {
            continue;
        }
        let used = u32::try_from(used).unwrap_or(u32::MAX);
        let (value, limit) = (f64::from(used), f64::from(window.inputs));
        let head = Head {
            rule: "mppt-inputs",
            title: "MPPT inputs in use",
            topic: Topic::Strings,
            part,
            source: Source::COMMON_PRACTICE,
        };
        let formula = format!(
            "{used} {} {} inputs",
            against(value, limit, true),
            window.inputs
        );
        found.push(
            Finding::at_most(head, value, limit, Unit::Count, formula)
                .advised()
                .remedy("arrays that share an input work at one voltage: alike planes only")
                .assuming(window.origin.is_generic(), "input window of the converter"),
        );
    }
}

/// The inputs that an array is on; none: inverters at the modules, or nothing is known.
fn window(context: &Context<'_>, array: &Array) -> Option<InputWindow> {
    match context.option.join(array)? {
        Join::Dc(unit) => context.details.storage(unit)?.input,
        Join::Ac(_) => match context.details.pv_inverter(array.pv_inverter)?.input {
            PvInput::Strings(window) => Some(window),
            PvInput::AtModule => None,
        },
    }
}

impl Strings<'_> {
    fn head(&self, rule: &'static str, title: &'static str, source: Source) -> Head {
        Head {
            rule,
            title,
            topic: Topic::Strings,
            part: Part::Array(self.array.id),
            source,
        }
    }

    fn clause(&self, clause: Clause) -> Source {
        clause.source(self.context.code)
    }

    /// What the strings must fit on such inputs.
    fn stringing<'b>(&'b self, window: &'b InputWindow, hot_cell_c: Option<f64>) -> Stringing<'b> {
        Stringing {
            code: self.context.code,
            module: &self.found.module,
            window,
            low_c: self.context.temperatures.low_c,
            hot_cell_c,
            power_per_c: self.array.power_coefficient_per_c,
        }
    }

    /// Marks what the finding rests on.
    fn resting(&self, finding: Finding) -> Finding {
        finding
            .assuming(self.generic, "module data")
            .assuming(
                self.window.origin.is_generic(),
                "input window of the converter",
            )
            .assuming(self.found.strings_origin.is_generic(), "string lay-out")
    }

    fn hot_cell_c(&self) -> Option<f64> {
        let rise_k = self
            .context
            .household
            .plane(self.array.plane)
            .map(|plane| hot_cell_rise_k(plane.mounting))?;
        self.context
            .temperatures
            .high_c
            .map(|high_c| high_c + rise_k)
    }

    /// All modules are wired, and strings of one input are alike.
    fn wiring(&self) -> Finding {
        let wired = wired_modules(&self.found.strings);
        let range = series_range(&self.stringing(self.window, self.hot_cell_c()));
        let head = self.head("wiring", "string lay-out", Source::COMMON_PRACTICE);
        let formula = format!(
            "{}: {} modules wired of {}, on {} of {} inputs; {} to {} in series fit",
            strings_in_words(&self.found.strings),
            wired,
            self.found.module.count,
            self.found.strings.len(),
            self.window.inputs,
            range.fewest,
            range.most,
        );
        let inputs = usize::try_from(self.window.inputs).unwrap_or(usize::MAX);
        self.resting(
            Finding::fact(
                head,
                wired == self.found.module.count && self.found.strings.len() <= inputs,
                formula,
            )
            .remedy("wire every module, on no more inputs than there are"),
        )
    }

    /// How the voltage in the cold comes about, and the voltage; none below the table's end or where the cold is not known.
    fn cold_string_v(&self) -> Option<(f64, String)> {
        let low_c = self.context.temperatures.low_c?;
        let module = &self.found.module;
        let module_v = cold_module_v(module, low_c)?;
        let string_v = module_v * f64::from(self.longest);
        let text = match module.voc_per_c {
            Some(per_c) => format!(
                "{} × {} V × (1 + {} × {}) = {} V",
                self.longest,
                figure(module.voc_v, 1),
                figure(per_c, 5),
                self.beyond_standard(low_c),
                figure(string_v, 1),
            ),
            None => format!(
                "{} × {} V × {} at {} = {} V",
                self.longest,
                figure(module.voc_v, 1),
                figure(module_v / module.voc_v, 2),
                temperature(self.context.units, low_c, 1),
                figure(string_v, 1),
            ),
        };
        Some((string_v, text))
    }

    /// How far a temperature is from that of standard test conditions, in the scale of the reader; the coefficient of a data sheet is per
    /// °C everywhere.
    fn beyond_standard(&self, celsius: f64) -> String {
        match self.context.units {
            UnitSystem::Metric => format!("({} − 25)", figure(celsius, 1)),
            units @ UnitSystem::Us => format!(
                "({} − {}) / 1.8",
                temperature(units, celsius, 1),
                temperature(units, STC_CELL_C, 1)
            ),
        }
    }

    fn cold_clause(&self) -> Source {
        self.clause(if self.found.module.voc_per_c.is_some() {
            Clause::ColdVoltageByCoefficient
        } else {
            Clause::ColdVoltageByTable
        })
    }

    fn cold_voltage(&self, head: Head, limit_v: f64, limit: &str) -> Finding {
        let Some((string_v, text)) = self.cold_string_v() else {
            return self.resting(Finding::not_judged(
                head,
                &[Missing::RecordLow, Missing::VoltageCoefficient],
                format!("{} modules in series against {limit}", self.longest),
            ));
        };
        let window = InputWindow {
            each: InputSheet {
                most_v: limit_v,
                ..self.window.each
            },
            ..*self.window
        };
        let fits = series_range(&self.stringing(&window, None)).most;
        let formula = format!("{text} {} {limit}", against(string_v, limit_v, true));
        self.resting(
            Finding::at_most(head, string_v, limit_v, Unit::V, formula)
                .watched_below(NEAR)
                .remedy(format!("wire at most {fits} modules in series")),
        )
        .assuming(
            self.context.temperatures.low_is_estimated,
            "lowest temperature, estimated from the climate",
        )
    }

    fn cold_voltage_at_input(&self) -> Finding {
        let head = self.head(
            "cold-voltage",
            "string voltage in the cold at the input",
            self.cold_clause(),
        );
        let limit_v = self.window.each.most_v;
        let limit = format!("{} V of the input", figure(limit_v, 0));
        self.cold_voltage(head, limit_v, &limit)
    }

    fn cold_voltage_on_dwelling(&self) -> Finding {
        let head = self.head(
            "dwelling-voltage",
            "string voltage in the cold on a dwelling",
            self.clause(Clause::DwellingDcVoltage),
        );
        let limit_v = dwelling_limit_v(self.context.code);
        let limit = format!("{} V on a dwelling", figure(limit_v, 0));
        self.cold_voltage(head, limit_v, &limit)
    }

    /// On a hot day the shortest string stays within the MPPT window.
    fn hot_voltage(&self) -> Finding {
        let head = self.head(
            "hot-voltage",
            "string voltage in the heat",
            Source::COMMON_PRACTICE,
        );
        let limit_v = self.window.each.mppt_from_v;
        let Some(cell_c) = self.hot_cell_c() else {
            return self.resting(Finding::not_judged(
                head,
                &[Missing::HotDays],
                format!(
                    "{} modules in series against {} V",
                    self.shortest,
                    figure(limit_v, 0)
                ),
            ));
        };
        let per_c = self
            .found
            .module
            .vmp_per_c
            .unwrap_or(self.array.power_coefficient_per_c);
        let module_v = working_module_v(
            &self.found.module,
            self.array.power_coefficient_per_c,
            cell_c,
        );
        let string_v = module_v * f64::from(self.shortest);
        let formula = format!(
            "{} × {} V × (1 + {} × {}) = {} V {} {} V, where tracking begins",
            self.shortest,
            figure(self.found.module.vmp_v, 1),
            figure(per_c, 5),
            self.beyond_standard(cell_c),
            figure(string_v, 1),
            against(string_v, limit_v, false),
            figure(limit_v, 0),
        );
        self.resting(
            Finding::at_least(head, string_v, limit_v, Unit::V, formula)
                .advised()
                .watched_below(NEAR)
                .remedy("wire more modules in series, or take a converter that tracks lower"),
        )
    }

    /// In the cold the longest string stays within the MPPT window: above it works, but not at maximum power.
    fn cold_working_voltage(&self) -> Option<Finding> {
        let low_c = self.context.temperatures.low_c?;
        let module_v = working_module_v(
            &self.found.module,
            self.array.power_coefficient_per_c,
            low_c,
        );
        let string_v = module_v * f64::from(self.longest);
        let limit_v = self.window.each.mppt_to_v;
        let head = self.head(
            "cold-working-voltage",
            "working voltage in the cold",
            Source::COMMON_PRACTICE,
        );
        let formula = format!(
            "{} × {} V at {} = {} V {} {} V, where tracking ends",
            self.longest,
            figure(module_v, 1),
            temperature(self.context.units, low_c, 1),
            figure(string_v, 1),
            against(string_v, limit_v, true),
            figure(limit_v, 0),
        );
        Some(
            self.resting(
                Finding::at_most(head, string_v, limit_v, Unit::V, formula)
                    .advised()
                    .remedy("wire fewer modules in series"),
            ),
        )
    }

    /// An input bears the highest current of its strings.
    fn short_circuit_current(&self) -> Finding {
        let head = self.head(
            "input-short-circuit",
            "short-circuit current at the input",
            self.clause(Clause::PvCurrent),
        );
        let highest_a = source_circuit_a(self.found.module.isc_a, self.widest);
        let limit_a = self.window.each.most_short_circuit_a;
        let formula = format!(
            "1.25 × {} × {} A = {} A {} {} A",
            self.widest,
            figure(self.found.module.isc_a, 1),
            figure(highest_a, 2),
            against(highest_a, limit_a, true),
            figure(limit_a, 1),
        );
        self.resting(
            Finding::at_most(head, highest_a, limit_a, Unit::A, formula)
                .remedy("put fewer strings in parallel on an input"),
        )
    }

    /// An input uses all the current of its strings.
    fn working_current(&self) -> Finding {
        let head = self.head(
            "input-current",
            "working current at the input",
            Source::COMMON_PRACTICE,
        );
        let working_a = self.found.module.imp_a * f64::from(self.widest);
        let limit_a = self.window.each.most_working_a;
        let formula = format!(
            "{} × {} A = {} A {} {} A",
            self.widest,
            figure(self.found.module.imp_a, 1),
            figure(working_a, 1),
            against(working_a, limit_a, true),
            figure(limit_a, 1),
        );
        self.resting(
            Finding::at_most(head, working_a, limit_a, Unit::A, formula)
                .advised()
                .remedy("put fewer strings in parallel on an input: what is above is not used"),
        )
    }

    /// Strings in parallel do not harm each other.
    fn fuses(&self) -> Finding {
        let head = self.head(
            "string-fuse",
            "fuses of strings in parallel",
            self.clause(Clause::PvOvercurrent),
        );
        let module = &self.found.module;
        let fuse = string_fuse(
            self.context.code,
            module.isc_a,
            self.widest,
            module.series_fuse_a,
        );
        let (least, most) = match self.context.code {
            Code::Nec(_) => ("1.56", ""),
            Code::Iec => ("1.5", " and 2.4 × Isc"),
        };
        let fit = format!(
            "{least} × {} A ≤ fuse ≤ {} A of the module{most}",
            figure(module.isc_a, 1),
            figure(module.series_fuse_a, 0),
        );
        let finding = match fuse {
            StringFuse::NotNeeded => Finding::fact(
                head,
                true,
                format!("{} in parallel: no string fuses needed", self.widest),
            ),
            StringFuse::Rating(rating_a) => Finding::fact(
                head,
                true,
                format!(
                    "{} in parallel: a fuse of {} A in each string; {fit}",
                    self.widest,
                    figure(rating_a, 0)
                ),
            ),
            StringFuse::NoneFits { .. } => Finding::fact(
                head,
                false,
                format!("{} in parallel: no fuse fits {fit}", self.widest),
            )
            .remedy("put at most two strings in parallel"),
        };
        self.resting(finding)
    }
}
