//! Hourly prices from a file.

use crate::climate::ReadError;

const HOURS: usize = 8_760;
const HOURS_OF_A_LEAP_YEAR: usize = 8_784;
const LEAP_DAY: std::ops::Range<usize> = 59 * 24..60 * 24;

/// Reads a price for each hour of a year: the last number of each row, from 1 January 0:00 of standard time on, currency per
/// kWh. Columns are parted by semicolon, tab or comma; where it is not the comma, a comma is a decimal sign. It is one as well
/// where every row is digits, a comma and digits, and what stands before the comma does not count the rows. A heading is passed
/// over; of a leap year 29 February is left out.
///
/// **Errors**: a row without a number, or another number of rows than a year has hours.
pub fn read_hourly_prices(text: &str) -> Result<Vec<f64>, ReadError> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let decimal_comma = is_one_column_with_decimal_commas(text);
    let mut prices = Vec::with_capacity(HOURS);
    for (number, line) in (1..).zip(text.lines()) {
        let line = line.trim();
        if line.is_empty() {
            continue;
        }
        match last_number(line, decimal_comma) {
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

/// Whether the rows are single numbers such as `0,05`, and not an hour and a price such as `17,5`.
fn is_one_column_with_decimal_commas(text: &str) -> bool {
    let rows = text.lines().map(str::trim).filter(|row| !row.is_empty());
    let halves = rows.map(|row| {
        let (whole, decimals) = row.split_once(',')?;
        let is_number = |digits: &str| digits.bytes().all(|digit| digit.is_ascii_digit());
        let unsigned = whole.strip_prefix('-').unwrap_or(whole);
        (is_number(unsigned) && is_number(decimals)).then(|| whole.parse::<i64>().ok())?
    });
    // A heading may stand above them.
    let wholes: Vec<Option<i64>> = halves.skip_while(Option::is_none).collect();
    let counts = |pair: &[Option<i64>]| match pair {
        [Some(one), Some(next)] => *next == one + 1,
        _ => false,
    };
    !wholes.is_empty() && wholes.iter().all(Option::is_some) && !wholes.windows(2).all(counts)
}

fn last_number(line: &str, decimal_comma: bool) -> Option<f64> {
    let number = if decimal_comma || line.contains([';', '\t']) {
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
    fn a_comma_is_a_decimal_sign_where_nothing_is_counted_before_it() {
        let single: String = (0..8_760)
            .map(|hour| format!("0,{:02}\n", hour % 24))
            .collect();
        let prices = read_hourly_prices(&format!("Preis\n{single}")).unwrap();
        assert_eq!((prices[5], prices[23]), (0.05, 0.23));
        let counted: String = (0..8_760).map(|hour| format!("{hour},1\n")).collect();
        assert_eq!(read_hourly_prices(&counted).unwrap()[17], 1.0);
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
