//! What the readers of hourly weather files share: fields of a line, numbers with their range, and the hours of a year.

use super::{ReadError, WeatherFile};
use crate::sky::{DAYS_PER_YEAR, days_of_month, first_day_of_month};

const HOURS_PER_YEAR: usize = 24 * DAYS_PER_YEAR as usize;

/// A line parted at its commas; a comma between quotes parts nothing, and the quotes fall away.
pub(super) struct Fields<'t> {
    line: usize,
    fields: Vec<&'t str>,
}

impl<'t> Fields<'t> {
    pub(super) fn new(line: usize, text: &'t str) -> Self {
        let mut quoted = false;
        let fields = text
            .split(|letter| {
                quoted ^= letter == '"';
                letter == ',' && !quoted
            })
            .map(|field| field.trim().trim_matches('"').trim())
            .collect();
        Self { line, fields }
    }

    /// The field in a column from 0; empty beyond the end of the line.
    pub(super) fn text(&self, column: usize) -> &'t str {
        self.fields.get(column).copied().unwrap_or("")
    }

    /// The column, from 0, with this heading.
    pub(super) fn column(&self, heading: &str) -> Result<usize, ReadError> {
        self.fields
            .iter()
            .position(|field| field.eq_ignore_ascii_case(heading))
            .ok_or_else(|| {
                let found = self.fields.join(",");
                ReadError::new(self.line, 0, &found, &format!("a column {heading}"))
            })
    }

    /// The number in a column from 0, if it is finite and in its range.
    pub(super) fn number(&self, column: usize, range: &Range) -> Result<f64, ReadError> {
        self.text(column)
            .parse()
            .ok()
            .filter(|number: &f64| (range.least..=range.most).contains(number))
            .ok_or_else(|| self.error(column, &range.to_string()))
    }

    /// The whole number in a column from 0.
    pub(super) fn whole(&self, column: usize, expected: &str) -> Result<u32, ReadError> {
        self.text(column)
            .parse()
            .map_err(|_| self.error(column, expected))
    }

    /// What is wrong with a column from 0.
    pub(super) fn error(&self, column: usize, expected: &str) -> ReadError {
        ReadError::new(self.line, column + 1, self.text(column), expected)
    }
}

/// What a number is and where it must lie.
pub(super) struct Range {
    pub(super) what: &'static str,
    pub(super) least: f64,
    pub(super) most: f64,
}

impl core::fmt::Display for Range {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{}, {} to {}", self.what, self.least, self.most)
    }
}

macro_rules! range {
    ($name:ident, $what:literal, $least:expr, $most:expr) => {
        pub(super) const $name: Range = Range {
            what: $what,
            least: $least,
            most: $most,
        };
    };
}

range!(LATITUDE, "latitude in degrees", -90.0, 90.0);
range!(LONGITUDE, "longitude in degrees", -180.0, 180.0);
range!(ELEVATION, "height in m", -500.0, 9000.0);
range!(UTC_OFFSET, "offset from UTC in h", -14.0, 14.0);
range!(GLOBAL, "global irradiance in W/m²", 0.0, 2000.0);
range!(BEAM, "beam irradiance in W/m²", 0.0, 2000.0);
range!(DIFFUSE, "diffuse irradiance in W/m²", 0.0, 2000.0);
range!(AIR, "air temperature in °C", -90.0, 70.0);
range!(WIND, "wind speed in m/s", 0.0, 150.0);

/// The weather of one hour.
pub(super) struct Hour {
    pub(super) ghi_w_m2: f64,
    pub(super) dni_w_m2: f64,
    pub(super) dhi_w_m2: f64,
    pub(super) air_c: f64,
    pub(super) wind_m_s: f64,
}

/// The hours of a year as they are read, in any order; hours of a leap day are passed over.
pub(super) struct Hours {
    hours: Vec<Option<Hour>>,
}

impl Hours {
    pub(super) fn new() -> Self {
        Self {
            hours: core::iter::repeat_with(|| None)
                .take(HOURS_PER_YEAR)
                .collect(),
        }
    }

    /// Puts an hour in its place.
    ///
    /// - `month`, `day`: from 1
    /// - `hour`: 1 to 24, the hour that ends at this time
    pub(super) fn put(
        &mut self,
        fields: &Fields<'_>,
        (month, day, hour): (u32, u32, u32),
        weather: Hour,
    ) -> Result<(), ReadError> {
        if (month, day) == (2, 29) {
            return Ok(());
        }
        let place = (month as usize)
            .checked_sub(1)
            .filter(|&month| (1..=days_of_month(month)).contains(&day))
            .filter(|_| (1..=24).contains(&hour))
            .map(|month| (first_day_of_month(month) + day - 1) * 24 + hour - 1)
            .and_then(|place| self.hours.get_mut(place as usize));
        match place {
            None => Err(fields.error(0, "a date of the year and an hour from 1 to 24")),
            Some(Some(_)) => Err(fields.error(0, "each hour of one year once")),
            Some(place) => {
                *place = Some(weather);
                Ok(())
            }
        }
    }

    /// Moves the hours into the file's series.
    pub(super) fn fill(self, file: &mut WeatherFile) -> Result<(), ReadError> {
        let found = self.hours.iter().flatten().count();
        let hours: Vec<Hour> = self.hours.into_iter().flatten().collect();
        if found != HOURS_PER_YEAR {
            return Err(ReadError::new(
                0,
                0,
                &format!("{found} hours"),
                "8760 hours of one year",
            ));
        }
        file.ghi_w_m2 = hours.iter().map(|hour| hour.ghi_w_m2).collect();
        file.dni_w_m2 = hours.iter().map(|hour| hour.dni_w_m2).collect();
        file.dhi_w_m2 = hours.iter().map(|hour| hour.dhi_w_m2).collect();
        file.air_c = hours.iter().map(|hour| hour.air_c).collect();
        file.wind_m_s = hours.iter().map(|hour| hour.wind_m_s).collect();
        Ok(())
    }
}
