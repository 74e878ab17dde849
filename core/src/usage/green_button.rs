//! Meter data as Green Button files carry them.

use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};

use super::series::{Direction, Interval, MeterSeries};
use crate::climate::ReadError;

/// What a Green Button file holds.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct GreenButton {
    /// Energy or power of electricity, one series per direction, in the order of the file.
    pub series: Vec<MeterSeries>,
    /// Offset of the meter's standard time from UTC, s, east positive, if the file says so.
    pub utc_offset_s: Option<i64>,
    /// Blocks of intervals in other units or of other commodities that were left out.
    pub blocks_left_out: usize,
}

/// No file of this kind nests deeper.
const DEEPEST: usize = 64;
const WATT: i64 = 38;
const WATT_HOUR: i64 = 72;
const REVERSE: i64 = 19;
const ELECTRICITY: [i64; 2] = [0, 1];

/// Reads a Green Button file: an Atom feed whose entries hold reading types, meter readings and blocks of intervals.
///
/// A block belongs to the meter reading whose address its `up` link begins with or that names it as related, and so to the
/// reading type that the meter reading names. If there is one reading type only, all blocks are of that type.
///
/// **Errors**: no XML, or a value that is no whole number; the line is named. No interval of electricity at all.
///
/// Source: NAESB REQ.21 (ESPI), namespace `http://naesb.org/espi`; unit codes 38 W and 72 Wh, flow direction 19 reverse,
/// commodity 0 and 1 electricity (IEC 61968-9 codes).
pub fn read_green_button(text: &str) -> Result<GreenButton, ReadError> {
    let mut feed = Feed::default();
    let mut reader = Reader::from_str(text);
    let mut path: Vec<String> = Vec::new();
    let mut content = String::new();
    let mut line = Line::default();
    loop {
        let event = reader.read_event();
        let line = line.at(text, reader.buffer_position());
        let event = event.map_err(|error| fault(line, &error.to_string(), "well-formed XML"))?;
        match event {
            Event::Start(tag) => {
                if path.len() >= DEEPEST {
                    return Err(fault(
                        line,
                        &local_name(&tag),
                        "fewer elements within each other",
                    ));
                }
                feed.open(&tag);
                path.push(local_name(&tag));
                content.clear();
            }
            Event::Empty(tag) => feed.open(&tag),
            Event::Text(part) => content.push_str(&part),
            Event::CData(part) => content.push_str(&part),
            Event::End(_) => {
                let name = path.pop().unwrap_or_default();
                feed.close(
                    &name,
                    path.last().map_or("", String::as_str),
                    content.trim(),
                    line,
                )?;
                content.clear();
            }
            Event::Eof => break,
            _ => {}
        }
    }
    if let Some(open) = path.last() {
        return Err(fault(line.number, open, "the end of this element"));
    }
    feed.green_button()
}

fn fault(line: usize, found: &str, expected: &str) -> ReadError {
    ReadError {
        line,
        column: 0,
        found: found.chars().take(60).collect(),
        expected: expected.to_owned(),
    }
}

fn local_name(tag: &BytesStart<'_>) -> String {
    tag.local_name().as_ref().to_owned()
}

/// Line of a position that only goes forward.
#[derive(Default)]
struct Line {
    position: usize,
    number: usize,
}

impl Line {
    fn at(&mut self, text: &str, position: u64) -> usize {
        let position = usize::try_from(position)
            .unwrap_or(usize::MAX)
            .min(text.len());
        let passed = text
            .as_bytes()
            .get(self.position..position)
            .unwrap_or_default();
        self.number += passed.iter().filter(|byte| **byte == b'\n').count();
        self.position = position.max(self.position);
        self.number + 1
    }
}

/// The feed as far as it is read.
#[derive(Default)]
struct Feed {
    entry: Entry,
    types: Vec<(String, ReadingType)>,
    meters: Vec<Links>,
    blocks: Vec<(Links, Vec<Interval>)>,
    utc_offset_s: Option<i64>,
    interval: Raw,
}

#[derive(Default)]
struct Entry {
    links: Links,
    reading_type: ReadingType,
    holds: Holds,
    intervals: Vec<(Interval, i64)>,
}

#[derive(Clone, Copy, Default, PartialEq)]
enum Holds {
    #[default]
    Other,
    ReadingType,
    MeterReading,
}

#[derive(Clone, Default)]
struct Links {
    own: String,
    up: String,
    related: Vec<String>,
}

#[derive(Clone, Copy)]
struct ReadingType {
    unit: i64,
    power_of_ten: i64,
    flow: i64,
    commodity: i64,
}

impl Default for ReadingType {
    fn default() -> Self {
        Self {
            unit: WATT_HOUR,
            power_of_ten: 0,
            flow: 1,
            commodity: 1,
        }
    }
}

#[derive(Clone, Copy, Default)]
struct Raw {
    begin_utc_s: i64,
    length_s: i64,
    value: i64,
}

impl Feed {
    fn open(&mut self, tag: &BytesStart<'_>) {
        match local_name(tag).as_str() {
            "entry" => self.entry = Entry::default(),
            "IntervalReading" => self.interval = Raw::default(),
            "ReadingType" => self.entry.holds = Holds::ReadingType,
            "MeterReading" => self.entry.holds = Holds::MeterReading,
            "link" => self.link(tag),
            _ => {}
        }
    }

    fn link(&mut self, tag: &BytesStart<'_>) {
        let (mut rel, mut href) = (String::new(), String::new());
        for attribute in tag.attributes().flatten() {
            let value = attribute.value.into_owned();
            match attribute.key.as_ref() {
                "rel" => rel = value,
                "href" => href = value,
                _ => {}
            }
        }
        let links = &mut self.entry.links;
        match rel.as_str() {
            "self" => links.own = href,
            "up" => links.up = href,
            "related" => links.related.push(href),
            _ => {}
        }
    }

    fn close(
        &mut self,
        name: &str,
        within: &str,
        content: &str,
        line: usize,
    ) -> Result<(), ReadError> {
        let number = || -> Result<i64, ReadError> {
            content
                .parse()
                .map_err(|_| fault(line, content, &format!("a whole number in {name}")))
        };
        let reading_type = &mut self.entry.reading_type;
        match (within, name) {
            ("ReadingType", "uom") => reading_type.unit = number()?,
            ("ReadingType", "powerOfTenMultiplier") => reading_type.power_of_ten = number()?,
            ("ReadingType", "flowDirection") => reading_type.flow = number()?,
            ("ReadingType", "commodity") => reading_type.commodity = number()?,
            ("LocalTimeParameters", "tzOffset") => self.utc_offset_s = Some(number()?),
            ("timePeriod", "start") => self.interval.begin_utc_s = number()?,
            ("timePeriod", "duration") => self.interval.length_s = number()?,
            ("IntervalReading", "value") => self.interval.value = number()?,
            (_, "IntervalReading") => {
                let Raw {
                    begin_utc_s,
                    length_s,
                    value,
                } = self.interval;
                if length_s <= 0 {
                    return Err(fault(line, &length_s.to_string(), "a duration above 0 s"));
                }
                let interval = Interval {
                    begin_utc_s,
                    length_s,
                    energy_wh: 0.0,
                };
                self.entry.intervals.push((interval, value));
            }
            (_, "entry") => self.close_entry(),
            _ => {}
        }
        Ok(())
    }

    fn close_entry(&mut self) {
        let entry = std::mem::take(&mut self.entry);
        match entry.holds {
            Holds::ReadingType => self.types.push((entry.links.own, entry.reading_type)),
            Holds::MeterReading => self.meters.push(entry.links),
            Holds::Other if entry.intervals.is_empty() => {}
            Holds::Other => {
                #[expect(
                    clippy::cast_precision_loss,
                    reason = "meter counts are far below 2^53"
                )]
                let intervals = entry
                    .intervals
                    .into_iter()
                    .map(|(interval, value)| Interval {
                        energy_wh: value as f64,
                        ..interval
                    })
                    .collect();
                self.blocks.push((entry.links, intervals));
            }
        }
    }

    /// The type of a block; a file with no type at all counts energy in Wh.
    fn type_of(&self, block: &Links) -> ReadingType {
        let meter = self.meters.iter().find(|meter| {
            let below = format!("{}/", meter.own);
            (!meter.own.is_empty() && block.up.starts_with(&below))
                || meter
                    .related
                    .iter()
                    .any(|link| *link == block.up || *link == block.own)
        });
        let named = meter.and_then(|meter| {
            self.types
                .iter()
                .find(|(own, _)| meter.related.iter().any(|link| link == own))
        });
        named
            .or(self.types.first())
            .map_or_else(ReadingType::default, |(_, found)| *found)
    }

    fn green_button(self) -> Result<GreenButton, ReadError> {
        let mut found = GreenButton {
            utc_offset_s: self.utc_offset_s,
            ..GreenButton::default()
        };
        for (links, intervals) in &self.blocks {
            let kind = self.type_of(links);
            let counts =
                matches!(kind.unit, WATT | WATT_HOUR) && ELECTRICITY.contains(&kind.commodity);
            if !counts {
                found.blocks_left_out += 1;
                continue;
            }
            let direction = if kind.flow == REVERSE {
                Direction::Sold
            } else {
                Direction::Bought
            };
            let place = found
                .series
                .iter()
                .position(|series| series.direction == direction)
                .unwrap_or(found.series.len());
            if place == found.series.len() {
                found.series.push(MeterSeries {
                    direction,
                    intervals: Vec::new(),
                    repeated: 0,
                });
            }
            if let Some(series) = found.series.get_mut(place) {
                series
                    .intervals
                    .extend(intervals.iter().map(|interval| kind.in_wh(interval)));
            }
        }
        if found.series.is_empty() {
            return Err(fault(
                0,
                "no interval of electricity",
                "IntervalReading elements in W or Wh",
            ));
        }
        for series in &mut found.series {
            let all = series.intervals.len();
            series
                .intervals
                .sort_by_key(|interval| interval.begin_utc_s);
            series
                .intervals
                .dedup_by_key(|interval| interval.begin_utc_s);
            series.repeated = all - series.intervals.len();
        }
        Ok(found)
    }
}

impl ReadingType {
    /// The interval, whose count stands in its energy, in Wh.
    fn in_wh(self, counted: &Interval) -> Interval {
        let power = i32::try_from(self.power_of_ten.clamp(-12, 12)).unwrap_or(0);
        #[expect(clippy::cast_precision_loss, reason = "seconds of an interval")]
        let hours = counted.length_s as f64 / 3600.0;
        let per_count = if self.unit == WATT { hours } else { 1.0 };
        // Dividing by a power of ten is exact where multiplying by its inverse is not.
        let scaled = if power < 0 {
            counted.energy_wh / 10_f64.powi(-power)
        } else {
            counted.energy_wh * 10_f64.powi(power)
        };
        Interval {
            energy_wh: scaled * per_count,
            ..*counted
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A feed of two directions after the structure in NAESB REQ.21: two hours bought in Wh with a multiplier of 3 and one of
    /// them twice, one hour sent out in W, and gas.
    const FEED: &str = r#"<?xml version="1.0" encoding="UTF-8"?>
<feed xmlns="http://www.w3.org/2005/Atom" xmlns:espi="http://naesb.org/espi">
<entry><link rel="self" href="/tz/1"/><content><espi:LocalTimeParameters><espi:tzOffset>-18000</espi:tzOffset></espi:LocalTimeParameters></content></entry>
<entry><link rel="self" href="/m/1"/><link rel="related" href="/t/1"/><content><espi:MeterReading/></content></entry>
<entry><link rel="self" href="/m/10"/><link rel="related" href="/t/2"/><content><espi:MeterReading/></content></entry>
<entry><link rel="self" href="/m/3"/><link rel="related" href="/t/3"/><content><espi:MeterReading></espi:MeterReading></content></entry>
<entry><link rel="self" href="/t/1"/><content><espi:ReadingType><espi:commodity>1</espi:commodity><espi:flowDirection>1</espi:flowDirection><espi:powerOfTenMultiplier>3</espi:powerOfTenMultiplier><espi:uom>72</espi:uom></espi:ReadingType></content></entry>
<entry><link rel="self" href="/t/2"/><content><espi:ReadingType><espi:flowDirection>19</espi:flowDirection><espi:powerOfTenMultiplier>0</espi:powerOfTenMultiplier><espi:uom>38</espi:uom></espi:ReadingType></content></entry>
<entry><link rel="self" href="/t/3"/><content><espi:ReadingType><espi:commodity>7</espi:commodity><espi:uom>169</espi:uom></espi:ReadingType></content></entry>
<entry><link rel="up" href="/m/1/IntervalBlock"/><content><espi:IntervalBlock>
<espi:interval><espi:duration>7200</espi:duration><espi:start>1767243600</espi:start></espi:interval>
<espi:IntervalReading><espi:cost>9</espi:cost><espi:timePeriod><espi:duration>3600</espi:duration><espi:start>1767247200</espi:start></espi:timePeriod><espi:value>2</espi:value></espi:IntervalReading>
<espi:IntervalReading><espi:timePeriod><espi:duration>3600</espi:duration><espi:start>1767243600</espi:start></espi:timePeriod><espi:value>1</espi:value></espi:IntervalReading>
<espi:IntervalReading><espi:timePeriod><espi:duration>3600</espi:duration><espi:start>1767243600</espi:start></espi:timePeriod><espi:value>1</espi:value></espi:IntervalReading>
</espi:IntervalBlock></content></entry>
<entry><link rel="up" href="/m/10/IntervalBlock"/><content><espi:IntervalBlock><espi:IntervalReading><espi:timePeriod><espi:duration>900</espi:duration><espi:start>1767243600</espi:start></espi:timePeriod><espi:value>1200</espi:value></espi:IntervalReading></espi:IntervalBlock></content></entry>
<entry><link rel="up" href="/m/3/IntervalBlock"/><content><espi:IntervalBlock><espi:IntervalReading><espi:timePeriod><espi:duration>3600</espi:duration><espi:start>1767243600</espi:start></espi:timePeriod><espi:value>4</espi:value></espi:IntervalReading></espi:IntervalBlock></content></entry>
</feed>"#;

    #[test]
    fn both_directions_are_read_in_wh_and_gas_is_left_out() {
        let found = read_green_button(FEED).unwrap();
        assert_eq!(
            (found.utc_offset_s, found.blocks_left_out),
            (Some(-18_000), 1)
        );
        let interval = |begin_utc_s, length_s, energy_wh| Interval {
            begin_utc_s,
            length_s,
            energy_wh,
        };
        assert_eq!(
            found.series,
            [
                MeterSeries {
                    direction: Direction::Bought,
                    intervals: vec![
                        interval(1_767_243_600, 3600, 1000.0),
                        interval(1_767_247_200, 3600, 2000.0),
                    ],
                    repeated: 1,
                },
                MeterSeries {
                    direction: Direction::Sold,
                    intervals: vec![interval(1_767_243_600, 900, 300.0)],
                    repeated: 0,
                },
            ]
        );
    }

    #[test]
    fn a_broken_file_names_its_line() {
        let broken = FEED.replace("<espi:value>2</espi:value>", "<espi:value>two</espi:value>");
        let error = read_green_button(&broken).unwrap_err();
        assert_eq!((error.line, error.found.as_str()), (12, "two"));
        let torn: String = FEED.lines().take(9).collect::<Vec<_>>().join("\n");
        assert!(read_green_button(&torn).is_err());
        let crossed = FEED.replace(
            "</espi:IntervalBlock></content></entry>\n<entry><link rel=\"up\" href=\"/m/10",
            "</espi:Wrong>\n<entry><link rel=\"up\" href=\"/m/10",
        );
        assert_eq!(read_green_button(&crossed).unwrap_err().line, 15);
        assert_eq!(read_green_button("<feed></feed>").unwrap_err().line, 0);
        assert!(read_green_button("date,kWh").is_err());
    }
}
