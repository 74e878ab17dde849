//! Hourly prices from a file.

use crate::climate::ReadError;

const HOURS: usize = 8_760;
const HOURS_OF_A_LEAP_YEAR: usize = 8_784;
const LEAP_DAY: std::ops::Range<usize> = 59 * 24..60 * 24;

/// Reads a price for each hour of a year: the last number of each row, from 1 January 0:00 of standard time on, currency per
/// kWh. Columns are parted by semicolon, tab or comma; where it is not the comma, a comma is a decimal sign. A heading is
/// passed over; of a leap year 29 February is left out.
///
/// **Errors**: a row without a number, or another number of rows than a year has hours.
pub fn read_hourly_prices(text: &str) -> Result<Vec<f64>, ReadError> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut prices = Vec::with_capacity(HOURS);
    for (number, line) in (1..).zip(text.lines()) {
        let line = line.trim();
        if line.is_empty() {
            continue;
        }
        match last_number(line) {
            Some(price) => prices.push(price),
            None if prices.is_empty() && number <= 5 => {}
            None => {
                let found: String = line.chars().take(60).collect();
                return Err(ReadError::new(
                    number,
                    0,
                    &found,
                    "a price at the end of the row",
                ));
            }
        }
    }
    if prices.len() == HOURS_OF_A_LEAP_YEAR {
        prices.drain(LEAP_DAY);
    }
    if prices.len() != HOURS {
        let found = format!("{} prices", prices.len());
        return Err(ReadError::new(
            0,
            0,
            &found,
            "8760 rows, one for each hour of a year",
        ));
    }
    Ok(prices)
}

fn last_number(line: &str) -> Option<f64> {
    let number = if line.contains([';', '\t']) {
        line.rsplit([';', '\t']).next()?.replace(',', ".")
    } else {
        line.rsplit(',').next()?.to_owned()
    };
    let number: f64 = number.trim().trim_matches('"').parse().ok()?;
    number.is_finite().then_some(number)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_year_is_read_and_a_leap_day_left_out() {
        let rows = |count: usize| -> String {
            let rows = (0..count).map(|hour| format!("{hour};0,{:04}\n", hour % 10_000));
            std::iter::once("hour;price\n".to_owned())
                .chain(rows)
                .collect()
        };
        let prices = read_hourly_prices(&rows(8_760)).unwrap();
        assert_eq!(
            (prices.len(), prices[1], prices[8_759]),
            (8_760, 0.0001, 0.8759)
        );
        let leap = read_hourly_prices(&rows(8_784)).unwrap();
        assert_eq!(
            (leap.len(), leap[59 * 24 - 1], leap[59 * 24]),
            (8_760, 0.1415, 0.144)
        );
    }

    #[test]
    fn a_bad_row_is_named_and_so_is_a_short_year() {
        let error =
            read_hourly_prices("time,price\n2026-01-01 00:00,0.10\n2026-01-01 01:00,dear\n")
                .unwrap_err();
        assert_eq!(error.line, 3);
        let short = read_hourly_prices("0.1\n0.2\n").unwrap_err();
        assert_eq!((short.line, short.found.as_str()), (0, "2 prices"));
    }
}
