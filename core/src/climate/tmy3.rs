//! TMY3 files.

use super::hourly_rows::{
    AIR, BEAM, DIFFUSE, ELEVATION, Fields, GLOBAL, Hour, Hours, LATITUDE, LONGITUDE, UTC_OFFSET,
    WIND,
};
use super::{ReadError, WIND_M_S, WeatherFile};

/// What stands for "missing" where a wind speed should.
const MISSING: f64 = -9900.0;

/// Reads a TMY3 file. Columns are found by their headings.
///
/// Each hour of the year must be there once, with air temperature and irradiances. Where the wind is missing it is [`WIND_M_S`].
///
/// # Errors
/// The first line that is not as the format says, or hours that are missing.
///
/// Source: Wilcox & Marion (2008), Users Manual for TMY3 Data Sets, NREL/TP-581-43156.
pub fn read_tmy3(text: &str) -> Result<WeatherFile, ReadError> {
    let mut lines = text.lines().zip(1..);
    let (first, _) = lines.next().unwrap_or(("", 1));
    let place = Fields::new(1, first);
    let mut file = WeatherFile {
        name: place.text(1).to_owned(),
        utc_offset_h: place.number(3, &UTC_OFFSET)?,
        latitude_deg: place.number(4, &LATITUDE)?,
        longitude_deg: place.number(5, &LONGITUDE)?,
        elevation_m: place.number(6, &ELEVATION)?,
        ..WeatherFile::default()
    };
    let (second, _) = lines.next().unwrap_or(("", 2));
    let headings = Fields::new(2, second);
    let date = headings.column("Date (MM/DD/YYYY)")?;
    let time = headings.column("Time (HH:MM)")?;
    let global = headings.column("GHI (W/m^2)")?;
    let beam = headings.column("DNI (W/m^2)")?;
    let diffuse = headings.column("DHI (W/m^2)")?;
    let air = headings.column("Dry-bulb (C)")?;
    let wind = headings.column("Wspd (m/s)")?;
    let mut hours = Hours::new();
    for (line, number) in lines {
        if line.trim().is_empty() {
            continue;
        }
        let row = Fields::new(number, line);
        let whole = |text: &str| text.parse().ok();
        let month_and_day = || {
            let mut parts = row.text(date).split('/').map(whole);
            Some((parts.next()??, parts.next()??))
        };
        let (month, day) = month_and_day().ok_or_else(|| row.error(date, "a date MM/DD/YYYY"))?;
        let hour = row
            .text(time)
            .split_once(':')
            .filter(|(_, minute)| *minute == "00")
            .and_then(|(hour, _)| whole(hour))
            .ok_or_else(|| row.error(time, "a whole hour HH:00"))?;
        let wind_m_s = match row.text(wind).parse() {
            Ok(MISSING) => WIND_M_S,
            _ => row.number(wind, &WIND)?,
        };
        let weather = Hour {
            ghi_w_m2: row.number(global, &GLOBAL)?,
            dni_w_m2: row.number(beam, &BEAM)?,
            dhi_w_m2: row.number(diffuse, &DIFFUSE)?,
            air_c: row.number(air, &AIR)?,
            wind_m_s,
        };
        hours.put(&row, (month, day, hour), weather)?;
    }
    hours.fill(&mut file)?;
    Ok(file)
}
