//! From rows to a year of intervals.

use super::layout::{CsvFlow, CsvLayout, CsvUnit, StampEdge};
use super::rows::{fields, lines, number};
use super::stamp::{Date, Stamp, date_of, stamp, words};
use super::{CsvProblem, CsvWrong, FileTime, SiteTime, WallClock};
use crate::household::IntervalUse;
use crate::limits;
use crate::sky::first_day_of_month;

/// A year that was read.
#[derive(Clone, Debug, PartialEq)]
pub struct MeteredYear {
    /// The use.
    pub intervals: IntervalUse,
    /// Intervals that were missing and have the value of the same time on the nearest day that has one.
    pub filled: usize,
    /// Whether stamps were found to follow summer time and set back to standard time.
    pub summer_time: bool,
    /// Rows of an older year that were left out.
    pub older_rows: usize,
    /// Rows that were there twice with the same value and were left out once.
    pub repeated: usize,
    /// Beginning of the oldest interval of the file in local standard time, in words.
    pub from: String,
    /// Beginning of its newest interval.
    pub to: String,
    /// Whether every time of the file says its offset from UTC.
    pub offsets: bool,
    /// How some times of the file were understood: the first ones, and the first ones of a July.
    pub beginnings: Vec<Beginning>,
}

/// How a time of a file was understood.
#[derive(Clone, Debug, PartialEq)]
pub struct Beginning {
    /// As it stands in the file.
    pub written: String,
    /// Beginning of the interval in local standard time, in words.
    pub standard: String,
    /// Its mean power, W.
    pub power_w: f64,
}

const DAY_S: i64 = 86_400;
const YEAR_S: i64 = 365 * DAY_S;
const HOUR_S: i64 = 3_600;

/// Problems that are listed; of more only the number is told.
const MOST_PROBLEMS: usize = 50;

/// Share of the year that may be missing and is filled.
pub(crate) const MOST_FILLED: f64 = 0.01;

/// Shortest time between two changes of the clock that are taken for summer time.
const LEAST_SUMMER_S: i64 = 60 * DAY_S;

/// Rows this far apart are of different years and no duplicates.
const OTHER_YEAR_S: i64 = 300 * DAY_S;

struct Row {
    line: usize,
    /// As it is written, with its offset from UTC.
    stamp: Stamp,
    start_s: i64,
    value: f64,
}

/// Reads a year of metered use.
///
/// - `source`: name of the file, kept with the values
/// - `layout`: how to read it, see [`super::preview`]
/// - `site`: what the clocks at the site show
/// - `time`: by which clock the file was written
///
/// Of a longer file the newest 365 days count; 29 February is left out. Where the file is to tell
/// by itself, a skipped and a repeated hour are summer time, and the rows between them are set back. Intervals shorter than 15 min are averaged to 15 min. Up to 1 % of
/// missing intervals are filled. Dates stay, so that weekdays may be others than those of the run's year.
///
/// **Errors**: every row that cannot be used and every gap, up to 50.
pub fn read_intervals(
    source: &str,
    text: &str,
    layout: &CsvLayout,
    site: &SiteTime<'_>,
    time: FileTime,
) -> Result<MeteredYear, Vec<CsvProblem>> {
    let (mut rows, mut problems) = read_rows(text, layout);
    if rows.len() < 2 && problems.is_empty() {
        problems.push(CsvProblem {
            line: None,
            wrong: CsvWrong::NoTable,
        });
    }
    if !problems.is_empty() {
        return Err(listed(problems));
    }
    if rows.first().map(|row| row.start_s) > rows.last().map(|row| row.start_s) {
        rows.reverse();
    }
    let offsets = !rows.is_empty() && rows.iter().all(|row| row.stamp.utc_offset_s.is_some());
    if offsets && time == FileTime::AsFound {
        for row in &mut rows {
            row.start_s += site.utc_offset_s() - row.stamp.utc_offset_s.unwrap_or(0);
        }
    }
    let interval_s = common_distance_s(&rows);
    let usable = matches!(interval_s, 1_800 | 3_600)
        || ((60..=900).contains(&interval_s) && 900 % interval_s == 0);
    if !usable {
        return Err(vec![CsvProblem {
            line: None,
            wrong: CsvWrong::Interval {
                seconds: interval_s,
            },
        }]);
    }
    if layout.stamp_edge == StampEdge::End {
        for row in &mut rows {
            row.start_s -= interval_s;
        }
    }
    let mut repeated = 0;
    let summer_time = match time {
        FileTime::AsFound => {
            // A row that is there twice hides summer time; the hour that comes twice with one value must not be taken for such a row.
            to_standard_time(&mut rows, interval_s) || {
                repeated = without_repeated(&mut rows, interval_s);
                to_standard_time(&mut rows, interval_s)
            }
        }
        FileTime::Standard => false,
        FileTime::WallClock => {
            let mut clock = WallClock::of(site);
            let mut moved = false;
            for row in &mut rows {
                let standard_s = clock.standard_s(row.start_s);
                moved |= standard_s != row.start_s;
                row.start_s = standard_s;
            }
            moved
        }
        FileTime::Offset { utc_offset_s } => {
            for row in &mut rows {
                row.start_s += site.utc_offset_s() - utc_offset_s;
            }
            false
        }
    };
    repeated += without_repeated(&mut rows, interval_s);
    let year = fill_year(&rows, layout, interval_s).map_err(listed)?;
    let step_s = interval_s.max(900);
    Ok(MeteredYear {
        intervals: IntervalUse {
            source: source.chars().take(200).collect(),
            interval_s: u32::try_from(step_s).unwrap_or(3_600),
            power_w: means(
                &year.power_w,
                usize::try_from(step_s / interval_s).unwrap_or(1),
            )
            .into(),
        },
        filled: year.filled,
        summer_time,
        older_rows: year.older_rows,
        repeated,
        from: rows.first().map_or(String::new(), |row| words(row.start_s)),
        to: rows.last().map_or(String::new(), |row| words(row.start_s)),
        offsets,
        beginnings: beginnings(
            &rows,
            |row| row.start_s,
            |row| {
                let power_w = layout.unit.power_w(row.value, interval_s);
                (row.stamp.written(), power_w)
            },
        ),
    })
}

/// Leaves out rows that say the same as the row before them; how many. One after which an interval is missing stays: it may be that
/// interval with a wrong time.
fn without_repeated(rows: &mut Vec<Row>, interval_s: i64) -> usize {
    let all = rows.len();
    let mut kept: Vec<Row> = Vec::with_capacity(all);
    let mut left = std::mem::take(rows).into_iter().peekable();
    while let Some(row) = left.next() {
        let same = |other: &Row| other.start_s == row.start_s && other.value == row.value;
        let goes_on =
            (left.peek()).is_none_or(|next| next.start_s - row.start_s == interval_s || same(next));
        if !(goes_on && kept.last().is_some_and(same)) {
            kept.push(row);
        }
    }
    *rows = kept;
    all - rows.len()
}

/// The first three of some intervals, and the first three of the July after them.
///
/// - `start_s`: beginning of an interval in local standard time, s
/// - `of`: its time as written, and its mean power, W
pub(crate) fn beginnings<T>(
    intervals: &[T],
    start_s: impl Fn(&T) -> i64,
    of: impl Fn(&T) -> (String, f64),
) -> Vec<Beginning> {
    const SHOWN: usize = 3;
    const JULY: i64 = 7;
    let july = intervals
        .iter()
        .position(|interval| date_of(start_s(interval).div_euclid(DAY_S)).month == JULY);
    let first = intervals.iter().take(SHOWN);
    let in_july = july.filter(|july| *july >= SHOWN);
    let in_july = in_july.map_or(&[][..], |july| intervals.get(july..).unwrap_or_default());
    first
        .chain(in_july.iter().take(SHOWN))
        .map(|interval| {
            let (written, power_w) = of(interval);
            Beginning {
                written,
                standard: words(start_s(interval)),
                power_w,
            }
        })
        .collect()
}

fn read_rows(text: &str, layout: &CsvLayout) -> (Vec<Row>, Vec<CsvProblem>) {
    let (mut rows, mut problems) = (Vec::new(), Vec::new());
    for (line, text) in lines(text).filter(|(line, _)| *line >= layout.first_line) {
        let fields = fields(text, layout.delimiter);
        let stamp_text = layout.stamp_text(&fields).unwrap_or_default();
        let value_text = fields.get(layout.value_column).map_or("", String::as_str);
        let found = stamp(&stamp_text, layout.date_order).ok_or(CsvWrong::Stamp(stamp_text));
        // What was not measured is a gap like a row that is not there.
        if found.is_ok() && is_blank(value_text) {
            continue;
        }
        let value = number(value_text, layout.decimal_comma)
            .ok_or_else(|| CsvWrong::Number(value_text.to_owned()));
        match (found, value) {
            (Ok(found), Ok(value)) => rows.push(Row {
                line,
                stamp: found,
                start_s: found.clock_s,
                value,
            }),
            (Err(wrong), _) | (_, Err(wrong)) => problems.push(CsvProblem {
                line: Some(line),
                wrong,
            }),
        }
    }
    // Sums and remarks under the table are no intervals.
    let last_line = rows.last().map_or(0, |row| row.line);
    problems.retain(|problem| {
        let below = problem.line.is_some_and(|line| line > last_line);
        let undated = match &problem.wrong {
            CsvWrong::Stamp(found) => !found.chars().any(|c| c.is_ascii_digit()),
            _ => false,
        };
        !(below && undated)
    });
    (rows, problems)
}

/// Whether a value says that there is none.
fn is_blank(value: &str) -> bool {
    let value = value.trim();
    ["", "-", "--", "n/a", "na", "nan", "null", "none"]
        .iter()
        .any(|blank| value.eq_ignore_ascii_case(blank))
}

/// The distance of rows that occurs most often, s; 0 without two rows.
fn common_distance_s(rows: &[Row]) -> i64 {
    let mut distances: Vec<i64> = rows
        .iter()
        .zip(rows.iter().skip(1))
        .map(|(row, next)| next.start_s - row.start_s)
        .collect();
    distances.sort_unstable();
    let mut best = (0, 0);
    for run in distances.chunk_by(|a, b| a == b) {
        if let Some(distance) = run.first().filter(|_| run.len() > best.0) {
            best = (run.len(), *distance);
        }
    }
    best.1
}

/// Sets rows in summer time back by an hour, if skipped and repeated hours take turns; whether they do.
fn to_standard_time(rows: &mut [Row], interval_s: i64) -> bool {
    let jumps: Vec<(usize, i64)> = rows
        .iter()
        .zip(rows.iter().skip(1))
        .enumerate()
        .map(|(index, (row, next))| (index + 1, next.start_s - row.start_s - interval_s))
        .filter(|(_, jump_s)| *jump_s != 0)
        .collect();
    let hours = |sign: i64| {
        jumps
            .iter()
            .filter(|(_, jump_s)| *jump_s == sign * HOUR_S)
            .count()
    };
    let (skipped, repeated) = (hours(1), hours(-1));
    let changes = jumps.iter().filter(|(_, jump_s)| jump_s.abs() == HOUR_S);
    // A row written twice looks like a repeated and a skipped hour close to each other; summer time lasts longer.
    let take_turns =
        changes
            .clone()
            .zip(changes.clone().skip(1))
            .all(|((at, jump_s), (next, next_s))| {
                let apart_s = i64::try_from(next - at).unwrap_or(0) * interval_s;
                *jump_s == -next_s && apart_s >= LEAST_SUMMER_S
            });
    if repeated == 0 || skipped == 0 || !take_turns {
        return false;
    }
    // Summer time holds from a skipped hour to a repeated one; a file that repeats first begins in it.
    let mut summer = changes
        .clone()
        .next()
        .is_some_and(|(_, jump_s)| *jump_s < 0);
    let mut changes = changes.peekable();
    for (index, row) in rows.iter_mut().enumerate() {
        if changes.next_if(|(at, _)| *at == index).is_some() {
            summer = !summer;
        }
        if summer {
            row.start_s -= HOUR_S;
        }
    }
    true
}

struct Year {
    power_w: Vec<f64>,
    filled: usize,
    older_rows: usize,
}

/// Lays rows into a year of 365 days from 1 January, the newest first.
fn fill_year(rows: &[Row], layout: &CsvLayout, interval_s: i64) -> Result<Year, Vec<CsvProblem>> {
    let mut problems = Vec::new();
    let mut older_rows = 0;
    let count = usize::try_from(YEAR_S / interval_s).unwrap_or(0);
    let mut slots: Vec<Option<&Row>> = vec![None; count];
    for row in rows.iter().rev() {
        let Some(slot) = slot_of(row.start_s, interval_s).and_then(|slot| slots.get_mut(slot))
        else {
            continue;
        };
        match slot {
            Some(newer) if newer.start_s - row.start_s > OTHER_YEAR_S => older_rows += 1,
            Some(_) => problems.push(CsvProblem {
                line: Some(row.line),
                wrong: CsvWrong::Duplicate(words(row.start_s)),
            }),
            None => *slot = Some(row),
        }
    }
    problems.reverse();
    let mut power_w: Vec<Option<f64>> = Vec::with_capacity(count);
    for row in &slots {
        power_w.push(row.map(|row| layout.unit.power_w(row.value, interval_s)));
    }
    for (row, power_w) in slots.iter().zip(&power_w) {
        if let (Some(row), Some(power_w)) = (row, power_w)
            && !limits::INTERVAL_POWER_W.admits(match layout.flow {
                CsvFlow::OneWay => *power_w,
                CsvFlow::BothWays => power_w.abs(),
            })
        {
            problems.push(CsvProblem {
                line: Some(row.line),
                wrong: CsvWrong::OutOfRange(format!("{power_w} W")),
            });
        }
    }
    let missing = power_w.iter().filter(|power_w| power_w.is_none()).count();
    #[expect(
        clippy::cast_precision_loss,
        reason = "at most half a million intervals"
    )]
    let missing_share = missing as f64 / count.max(1) as f64;
    if missing_share > MOST_FILLED {
        problems.extend(gaps(&slots, interval_s));
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    let power_w = filled(&power_w, usize::try_from(DAY_S / interval_s).unwrap_or(1));
    Ok(Year {
        power_w,
        filled: missing,
        older_rows,
    })
}

/// Place of an interval in a year of 365 days; none on 29 February.
pub(crate) fn slot_of(start_s: i64, interval_s: i64) -> Option<usize> {
    let Date { month, day, .. } = date_of(start_s.div_euclid(DAY_S));
    if (month, day) == (2, 29) {
        return None;
    }
    let month = usize::try_from(month - 1).ok()?;
    let day_of_year = i64::from(first_day_of_month(month)) + day - 1;
    usize::try_from((day_of_year * DAY_S + start_s.rem_euclid(DAY_S)) / interval_s).ok()
}

/// Runs of missing intervals, each with the line of the row before it.
fn gaps(slots: &[Option<&Row>], interval_s: i64) -> Vec<CsvProblem> {
    let mut gaps = Vec::new();
    let mut first = 0;
    let mut line = None;
    for run in slots.chunk_by(|a, b| a.is_some() == b.is_some()) {
        if let Some(None) = run.first() {
            // 2026 has no leap day: its dates are those of the slots.
            let start_s = 20_454 * DAY_S + i64::try_from(first).unwrap_or(0) * interval_s;
            let from = words(start_s).get(5..).unwrap_or_default().to_owned();
            gaps.push(CsvProblem {
                line,
                wrong: CsvWrong::Missing {
                    from,
                    intervals: run.len(),
                },
            });
        }
        first += run.len();
        line = run.last().copied().flatten().map(|row| row.line);
    }
    gaps
}

/// Fills gaps with the value of the same time on the nearest day that has one, within two weeks, and else with 0.
pub(crate) fn filled(power_w: &[Option<f64>], per_day: usize) -> Vec<f64> {
    (0..power_w.len())
        .map(|index| {
            let at = |index: usize| power_w.get(index % power_w.len()).copied().flatten();
            let near = |days: usize| {
                let back = index + power_w.len() - days * per_day;
                at(back).or_else(|| at(index + days * per_day))
            };
            at(index).or_else(|| (1..=14).find_map(near)).unwrap_or(0.0)
        })
        .collect()
}

/// Means of groups of `of` values.
fn means(values: &[f64], of: usize) -> Vec<f64> {
    #[expect(clippy::cast_precision_loss, reason = "at most fifteen")]
    let count = of.max(1) as f64;
    values
        .chunks(of.max(1))
        .map(|group| group.iter().sum::<f64>() / count)
        .collect()
}

fn listed(mut problems: Vec<CsvProblem>) -> Vec<CsvProblem> {
    let more = problems.len().saturating_sub(MOST_PROBLEMS);
    if more > 0 {
        problems.truncate(MOST_PROBLEMS);
        problems.push(CsvProblem {
            line: None,
            wrong: CsvWrong::More(more),
        });
    }
    problems
}

impl CsvUnit {
    /// Mean power of an interval, W.
    fn power_w(self, value: f64, interval_s: i64) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "at most an hour")]
        let interval_h = interval_s as f64 / 3_600.0;
        match self {
            Self::W => value,
            Self::Kw => 1_000.0 * value,
            Self::Wh => value / interval_h,
            Self::Kwh => 1_000.0 * value / interval_h,
        }
    }
}
