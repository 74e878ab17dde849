//! A meter's file of any kind that we read, as one year that can be looked at before it is taken.

use std::sync::Arc;

use super::green_button::{GreenButton, read_green_button};
use super::series::{Direction, MeterSeries};
use crate::household::IntervalUse;
use crate::limits;
use crate::loads::csv::{
    Beginning, CsvFlow, CsvUnit, CsvWrong, FileTime, MOST_FILLED, SiteTime, WallClock, beginnings,
    filled, preview, read_intervals, slot_of, words,
};
use crate::sky::month_of_day;

const DAY_S: i64 = 86_400;
const YEAR_S: i64 = 365 * DAY_S;
/// Of a longer file only the newest three years are looked at.
const MOST_S: i64 = 3 * 366 * DAY_S;

/// Kinds of file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MeterFileKind {
    /// An Atom feed after NAESB REQ.21.
    GreenButton,
    /// A table of dates and values.
    Table,
}

/// A year at the meter, in local standard time from 1 January, leap day left out.
#[derive(Clone, Debug, PartialEq)]
pub struct MeterYear {
    /// Name of the file.
    pub source: String,
    /// Kind of the file.
    pub kind: MeterFileKind,
    /// Unit of the values in the file.
    pub unit: CsvUnit,
    /// Beginning of the oldest interval, in local standard time, in words.
    pub from: String,
    /// Beginning of the newest interval.
    pub to: String,
    /// Offset of that time from UTC, s, east positive, if the file itself says so.
    pub utc_offset_s: Option<i64>,
    /// Length of an interval here, s: 900, 1800 or 3600.
    pub interval_s: u32,
    /// Mean power bought in each interval, W.
    pub bought_w: Arc<[f64]>,
    /// Mean power sent out, W; none: the file does not tell.
    pub sold_w: Option<Arc<[f64]>>,
    /// Intervals that were missing and have the value of the same time on the nearest day that has one.
    pub filled: usize,
    /// Intervals that were there twice and were left out once.
    pub repeated: usize,
    /// Intervals of older years that were left out.
    pub older: usize,
    /// Whether stamps followed summer time and were set back to standard time.
    pub summer_time: bool,
    /// Whether every time of a table says its offset from UTC.
    pub offsets: bool,
    /// How some times of the file were understood: the first ones, and the first ones of a July.
    pub beginnings: Vec<Beginning>,
    /// Blocks of other commodities or units that were left out.
    pub blocks_left_out: usize,
}

impl MeterYear {
    /// Energy of each month bought, Wh.
    #[must_use]
    pub fn bought_wh(&self) -> [f64; 12] {
        monthly_wh(&self.bought_w, self.interval_s)
    }

    /// Energy of each month sent out, Wh; none: the file does not tell.
    #[must_use]
    pub fn sold_wh(&self) -> Option<[f64; 12]> {
        let sold_w = self.sold_w.as_ref()?;
        Some(monthly_wh(sold_w, self.interval_s))
    }

    /// What was bought, as the use of the home.
    #[must_use]
    pub fn as_use(&self) -> IntervalUse {
        IntervalUse {
            source: self.source.clone(),
            interval_s: self.interval_s,
            power_w: Arc::clone(&self.bought_w),
        }
    }
}

/// Energy of each month of a year of equal intervals, Wh.
fn monthly_wh(power_w: &[f64], interval_s: u32) -> [f64; 12] {
    let mut months = [0.0; 12];
    let per_day = usize::try_from(86_400 / interval_s.max(1))
        .unwrap_or(1)
        .max(1);
    for (day, powers_w) in (0..).zip(power_w.chunks(per_day)) {
        if let Some(month_wh) = months.get_mut(month_of_day(day)) {
            *month_wh += powers_w.iter().sum::<f64>() * f64::from(interval_s) / 3600.0;
        }
    }
    months
}

/// Reads a meter's file: Green Button, or a table with a date and a value in each row.
///
/// - `source`: name of the file
/// - `unit`: unit of the values of a table; none: the one that its headings name
/// - `site`: what the clocks at the site show; its offset from UTC counts for files that do not say theirs
/// - `time`: by which clock the file was written; Green Button files are in UTC by their standard
///
/// A table tells both directions by a column whose heading names export, or by negative values. Of a longer file the newest 365
/// days count; up to 1 % of missing intervals are filled.
///
/// **Errors**: in words, with the line where there is one, up to 50.
pub fn read_meter_file(
    source: &str,
    text: &str,
    unit: Option<CsvUnit>,
    site: &SiteTime<'_>,
    time: FileTime,
) -> Result<MeterYear, Vec<String>> {
    let source: String = source.chars().take(200).collect();
    if text
        .trim_start_matches('\u{feff}')
        .trim_start()
        .starts_with('<')
    {
        let found = read_green_button(text).map_err(|error| vec![error.to_string()])?;
        return green_button_year(source, found, site, time).map_err(|reason| vec![reason]);
    }
    table_year(source, text, unit, site, time)
}

fn table_year(
    source: String,
    text: &str,
    unit: Option<CsvUnit>,
    site: &SiteTime<'_>,
    time: FileTime,
) -> Result<MeterYear, Vec<String>> {
    let shown = preview(text).map_err(|problem| vec![problem.to_string()])?;
    let mut layout = shown.layout.clone();
    layout.unit = unit.unwrap_or(layout.unit);
    let read = |layout: &_| {
        read_intervals(&source, text, layout, site, time).map_err(|problems| {
            let negative = problems.iter().any(|problem| match &problem.wrong {
                CsvWrong::OutOfRange(value) => value.starts_with('-'),
                _ => false,
            });
            let words = problems.iter().map(ToString::to_string).collect::<Vec<_>>();
            (negative, words)
        })
    };
    let sold_column = shown
        .sold_column()
        .filter(|column| *column != layout.value_column);
    let (year, sold_w): (_, Option<Arc<[f64]>>) = match sold_column {
        Some(column) => {
            let mut sold = layout.clone();
            sold.value_column = column;
            let year = read(&layout).map_err(|(_, words)| words)?;
            let sold = read(&sold).map_err(|(_, words)| words)?;
            (year, Some(sold.intervals.power_w))
        }
        None => match read(&layout) {
            Ok(year) => (year, None),
            Err((true, _)) => {
                layout.flow = CsvFlow::BothWays;
                let mut year = read(&layout).map_err(|(_, words)| words)?;
                let sold_w = parts(&year.intervals.power_w, -1.0);
                year.intervals.power_w = parts(&year.intervals.power_w, 1.0);
                (year, Some(sold_w))
            }
            Err((false, words)) => return Err(words),
        },
    };
    Ok(MeterYear {
        source,
        kind: MeterFileKind::Table,
        unit: layout.unit,
        from: year.from,
        to: year.to,
        utc_offset_s: None,
        interval_s: year.intervals.interval_s,
        bought_w: year.intervals.power_w,
        sold_w,
        filled: year.filled,
        repeated: year.repeated,
        older: year.older_rows,
        summer_time: year.summer_time,
        offsets: year.offsets,
        beginnings: year.beginnings,
        blocks_left_out: 0,
    })
}

/// The part of each value that has this sign.
fn parts(power_w: &[f64], sign: f64) -> Arc<[f64]> {
    power_w
        .iter()
        .map(|power_w| (sign * power_w).max(0.0))
        .collect()
}

fn green_button_year(
    source: String,
    mut found: GreenButton,
    site: &SiteTime<'_>,
    time: FileTime,
) -> Result<MeterYear, String> {
    // Times that are written as if local ones were UTC lie that much too late or early.
    let site_offset_s = found.utc_offset_s.unwrap_or_else(|| site.utc_offset_s());
    let written_s: Vec<i64> = match found
        .series
        .iter()
        .find(|one| one.direction == Direction::Bought)
    {
        Some(bought) => bought
            .intervals
            .iter()
            .map(|interval| interval.begin_utc_s)
            .collect(),
        None => Vec::new(),
    };
    let mut summer_time = false;
    for series in &mut found.series {
        let mut clock = WallClock::of(site);
        for interval in &mut series.intervals {
            let written_s = interval.begin_utc_s;
            interval.begin_utc_s = match time {
                FileTime::AsFound => written_s,
                FileTime::Standard => written_s.saturating_sub(site_offset_s),
                FileTime::Offset { utc_offset_s } => written_s.saturating_sub(utc_offset_s),
                FileTime::WallClock => {
                    let standard_s = clock.standard_s(written_s);
                    summer_time |= standard_s != written_s;
                    standard_s.saturating_sub(site_offset_s)
                }
            };
        }
    }
    let found = &found;
    let of = |direction| {
        found
            .series
            .iter()
            .find(|series| series.direction == direction)
    };
    let (bought, sold) = (of(Direction::Bought), of(Direction::Sold));
    let Some(bought) = bought else {
        return Err(
            "no interval of energy that was bought; give the meter's delivered energy".to_owned(),
        );
    };
    let offset_s = site_offset_s;
    let step_s = match common_length_s(bought) {
        length_s if length_s > 0 && 900 % length_s == 0 => 900,
        length_s @ (1_800 | 3_600) => length_s,
        length_s => {
            return Err(format!(
                "intervals are {length_s} s long; give intervals of 15, 30 or 60 min, or whole fractions of 15 min"
            ));
        }
    };
    let begins = bought.intervals.iter().map(|interval| interval.begin_utc_s);
    let (first_s, last_s) = (begins.clone().min().unwrap_or(0), begins.max().unwrap_or(0));
    // Steps of local standard time, so that days begin at midnight.
    let last_s = last_s.saturating_add(offset_s);
    let first_s = first_s
        .saturating_add(offset_s)
        .max(last_s.saturating_sub(MOST_S));
    let grid_s = first_s.div_euclid(step_s) * step_s;
    let steps = usize::try_from((last_s - grid_s) / step_s + 1).unwrap_or(0);
    let laid = |series: &MeterSeries| Laid::over(series, grid_s, offset_s, step_s, steps);
    let bought_year = laid(bought);
    let missing = bought_year
        .slots
        .iter()
        .filter(|slot| slot.is_none())
        .count();
    let count = bought_year.slots.len();
    #[expect(clippy::cast_precision_loss, reason = "at most 35,040 intervals")]
    let missing_share = missing as f64 / count.max(1) as f64;
    if missing_share > MOST_FILLED {
        return Err(format!(
            "{missing} of the {count} intervals of a year are missing; give a whole year of 365 days"
        ));
    }
    let per_day = usize::try_from(DAY_S / step_s).unwrap_or(1);
    let bought_w: Arc<[f64]> = filled(&bought_year.slots, per_day).into();
    let sold_w: Option<Arc<[f64]>> = sold.map(|sold| {
        laid(sold)
            .slots
            .iter()
            .map(|slot| slot.unwrap_or(0.0))
            .collect()
    });
    let row = &limits::INTERVAL_POWER_W;
    let both = bought_w
        .iter()
        .chain(sold_w.iter().flat_map(|sold_w| sold_w.iter()));
    if let Some(wrong) = both.into_iter().find(|power_w| !row.admits(**power_w)) {
        return Err(format!("{wrong} W is out of range; give {}", row.range()));
    }
    Ok(MeterYear {
        source,
        kind: MeterFileKind::GreenButton,
        unit: CsvUnit::Wh,
        from: words(first_s),
        to: words(last_s),
        utc_offset_s: found.utc_offset_s,
        interval_s: u32::try_from(step_s).unwrap_or(3_600),
        bought_w,
        sold_w,
        filled: missing,
        repeated: found.series.iter().map(|series| series.repeated).sum(),
        older: bought_year.older,
        summer_time,
        offsets: false,
        beginnings: {
            let both: Vec<_> = written_s.iter().zip(&bought.intervals).collect();
            beginnings(
                &both,
                |(_, interval)| interval.begin_utc_s.saturating_add(offset_s),
                |(written_s, interval)| {
                    #[expect(clippy::cast_precision_loss, reason = "seconds of an interval")]
                    let hours = interval.length_s as f64 / 3_600.0;
                    (words(**written_s), interval.energy_wh / hours)
                },
            )
        },
        blocks_left_out: found.blocks_left_out,
    })
}

/// A series laid into a year, the newest first.
struct Laid {
    slots: Vec<Option<f64>>,
    older: usize,
}

impl Laid {
    fn over(series: &MeterSeries, grid_s: i64, offset_s: i64, step_s: i64, steps: usize) -> Self {
        let mut slots = vec![None; usize::try_from(YEAR_S / step_s).unwrap_or(0)];
        let mut older = 0;
        let means_w = series.mean_w(grid_s.saturating_sub(offset_s), step_s, steps);
        for (step, power_w) in means_w.iter().enumerate().rev() {
            let (Some(power_w), Ok(step)) = (power_w, i64::try_from(step)) else {
                continue;
            };
            let start_s = grid_s.saturating_add(step * step_s);
            if let Some(slot) = slot_of(start_s, step_s).and_then(|slot| slots.get_mut(slot)) {
                match slot {
                    Some(_) => older += 1,
                    None => *slot = Some(*power_w),
                }
            }
        }
        Self { slots, older }
    }
}

/// The length of intervals that occurs most often, s.
fn common_length_s(series: &MeterSeries) -> i64 {
    let mut lengths: Vec<i64> = series
        .intervals
        .iter()
        .map(|interval| interval.length_s)
        .collect();
    lengths.sort_unstable();
    let runs = lengths.chunk_by(|a, b| a == b);
    let longest = runs.max_by_key(|run| run.len());
    longest.and_then(|run| run.first()).copied().unwrap_or(0)
}
