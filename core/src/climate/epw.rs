//! EnergyPlus weather files.

use super::hourly_rows::{
    AIR, BEAM, DIFFUSE, ELEVATION, Fields, GLOBAL, Hour, Hours, LATITUDE, LONGITUDE, UTC_OFFSET,
    WIND,
};
use super::{ReadError, WIND_M_S, WeatherFile};

/// Lines before the hours.
const HEADER_LINES: usize = 8;
/// What stands for "missing" where a wind speed should.
const MISSING_WIND_M_S: f64 = 999.0;

/// Reads an EnergyPlus weather file (EPW).
///
/// Each hour of one year must be there once, with air temperature and irradiances; hours of 29 February are passed over. Where
/// the wind is missing it is [`WIND_M_S`].
///
/// # Errors
/// The first line that is not as the format says, or hours that are missing.
///
/// Source: EnergyPlus Auxiliary Programs, "EnergyPlus Weather File (EPW) Data Dictionary".
pub fn read_epw(text: &str) -> Result<WeatherFile, ReadError> {
    let mut lines = text.lines().zip(1..);
    let (first, _) = lines.next().unwrap_or(("", 1));
    let place = Fields::new(1, first);
    if !place.text(0).eq_ignore_ascii_case("LOCATION") {
        return Err(place.error(0, "LOCATION"));
    }
    let mut file = WeatherFile {
        name: place.text(1).to_owned(),
        latitude_deg: place.number(6, &LATITUDE)?,
        longitude_deg: place.number(7, &LONGITUDE)?,
        utc_offset_h: place.number(8, &UTC_OFFSET)?,
        elevation_m: place.number(9, &ELEVATION)?,
        ..WeatherFile::default()
    };
    let mut hours = Hours::new();
    for (line, number) in lines.skip(HEADER_LINES - 1) {
        if line.trim().is_empty() {
            continue;
        }
        let row = Fields::new(number, line);
        let time = (
            row.whole(1, "a month")?,
            row.whole(2, "a day")?,
            row.whole(3, "an hour")?,
        );
        let wind_m_s = match row.text(21).parse() {
            Ok(MISSING_WIND_M_S) => WIND_M_S,
            _ => row.number(21, &WIND)?,
        };
        let hour = Hour {
            air_c: row.number(6, &AIR)?,
            ghi_w_m2: row.number(13, &GLOBAL)?,
            dni_w_m2: row.number(14, &BEAM)?,
            dhi_w_m2: row.number(15, &DIFFUSE)?,
            wind_m_s,
        };
        hours.put(&row, time, hour)?;
    }
    hours.fill(&mut file)?;
    Ok(file)
}
