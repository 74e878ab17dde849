//! Metered use from a text file: one value per interval of a year.

use std::fmt;
use std::sync::Arc;

use crate::household::IntervalUse;

const DAYS: usize = 365;
/// Days before 29 February.
const DAYS_BEFORE_LEAP_DAY: usize = 59;

/// What the values of a meter's file are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum IntervalUnit {
    /// Energy of the interval, kWh.
    KilowattHours,
    /// Energy of the interval, Wh.
    WattHours,
    /// Mean power of the interval, kW.
    Kilowatts,
    /// Mean power of the interval, W.
    Watts,
}

impl IntervalUnit {
    fn power_w(self, value: f64, interval_s: u32) -> f64 {
        let per_hour = 3600.0 / f64::from(interval_s);
        match self {
            Self::KilowattHours => value * 1000.0 * per_hour,
            Self::WattHours => value * per_hour,
            Self::Kilowatts => value * 1000.0,
            Self::Watts => value,
        }
    }
}

/// Why a meter's file cannot be used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum IntervalProblem {
    /// A line after the first value does not end in a number of zero or more.
    NotAValue {
        /// The line, from 1.
        line: usize,
        /// What stands there.
        found: String,
    },
    /// The values are not those of a whole year.
    NotAYear {
        /// How many there are.
        values: usize,
    },
}

impl fmt::Display for IntervalProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotAValue { line, found } => {
                write!(
                    f,
                    "line {line}: found \"{found}\", expected a number of zero or more"
                )
            }
            Self::NotAYear { values } => write!(
                f,
                "found {values} values, expected a year of them: 8760 (hourly), 17520 (30 min) or 35040 (15 min), or the same with a leap day"
            ),
        }
    }
}

impl std::error::Error for IntervalProblem {}

/// Reads a meter's file: one line per interval from 1 January 00:00 local standard time, the value in its last column. Columns are
/// parted by comma, semicolon or tab; where they are not parted by commas, a comma is a decimal sign. Lines before the first value
/// are headings; empty lines are skipped. The count of values tells the interval; 29 February is left out.
///
/// - `source`: what to call it, such as the file's name
///
/// **Errors**: a line without a value, a negative value, or another count than that of a year.
pub fn intervals_from_csv(
    text: &str,
    source: &str,
    unit: IntervalUnit,
) -> Result<IntervalUse, IntervalProblem> {
    let mut values = Vec::new();
    for (index, line) in text.lines().enumerate() {
        let line = line.trim_start_matches('\u{feff}').trim();
        if line.is_empty() {
            continue;
        }
        match last_value(line) {
            Some(value) if value >= 0.0 => values.push(value),
            None if values.is_empty() => {}
            _ => {
                return Err(IntervalProblem::NotAValue {
                    line: index + 1,
                    found: line.chars().take(60).collect(),
                });
            }
        }
    }
    let (per_day, leap) = [24, 48, 96]
        .into_iter()
        .find_map(|per_day| match values.len() {
            count if count == per_day * DAYS => Some((per_day, false)),
            count if count == per_day * (DAYS + 1) => Some((per_day, true)),
            _ => None,
        })
        .ok_or(IntervalProblem::NotAYear {
            values: values.len(),
        })?;
    if leap {
        values.drain(DAYS_BEFORE_LEAP_DAY * per_day..(DAYS_BEFORE_LEAP_DAY + 1) * per_day);
    }
    let interval_s = match per_day {
        24 => 3600,
        48 => 1800,
        _ => 900,
    };
    Ok(IntervalUse {
        source: source.to_owned(),
        interval_s,
        power_w: values
            .into_iter()
            .map(|value| unit.power_w(value, interval_s))
            .collect::<Arc<[f64]>>(),
    })
}

fn last_value(line: &str) -> Option<f64> {
    let parted = line.contains([';', '\t']);
    let column = if parted {
        line.rsplit([';', '\t'])
            .find(|column| !column.trim().is_empty())
    } else {
        line.rsplit(',').find(|column| !column.trim().is_empty())
    }?;
    let column = column.trim().trim_matches('"').trim();
    let text = if parted {
        column.replace(',', ".")
    } else {
        column.to_owned()
    };
    text.parse().ok().filter(|value: &f64| value.is_finite())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn file(lines: usize, line: impl Fn(usize) -> String) -> String {
        let mut text = "time,use\n".to_owned();
        for index in 0..lines {
            text.push_str(&line(index));
            text.push('\n');
        }
        text
    }

    #[test]
    fn energies_of_quarter_hours_become_mean_powers() {
        let text = file(35_040, |index| format!("t{index},0.25"));
        let metered = intervals_from_csv(&text, "meter.csv", IntervalUnit::KilowattHours).unwrap();
        assert_eq!((metered.interval_s, metered.power_w.len()), (900, 35_040));
        assert_eq!(metered.power_w[17], 1000.0);
    }

    #[test]
    fn the_leap_day_is_left_out() {
        let text = file(8_784, |hour| format!("{};{},5", hour, hour / 24));
        let metered = intervals_from_csv(&text, "", IntervalUnit::Watts).unwrap();
        assert_eq!(metered.power_w.len(), 8_760);
        assert_eq!(metered.power_w[58 * 24], 58.5);
        assert_eq!(metered.power_w[59 * 24], 60.5);
    }

    #[test]
    fn what_is_not_a_year_of_values_is_told() {
        assert_eq!(
            intervals_from_csv("1\n2\n", "", IntervalUnit::Watts),
            Err(IntervalProblem::NotAYear { values: 2 })
        );
        let problem = intervals_from_csv("h\n1\nx\n", "", IntervalUnit::Watts);
        assert!(matches!(
            problem,
            Err(IntervalProblem::NotAValue { line: 3, .. })
        ));
        assert!(intervals_from_csv("1\n-2\n", "", IntervalUnit::Watts).is_err());
    }
}
