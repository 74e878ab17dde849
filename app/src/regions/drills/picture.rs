//! The chart of a drill as plain geometry: three lanes over one time axis, before any canvas.

use couplet_core::coupling::FrequencySettings;
use couplet_core::island::{Happening, IslandEvent, IslandTrace};

use super::words::{self, Weight};
use crate::chart::room::label_width_px;
use crate::chart::ticks::Axis;

/// Lanes as shares of the height: frequency, power, state of charge.
pub(super) const FREQUENCY: Lane = Lane {
    top: 0.0,
    bottom: 0.36,
};
pub(super) const POWER: Lane = Lane {
    top: 0.40,
    bottom: 0.80,
};
pub(super) const CHARGE: Lane = Lane {
    top: 0.84,
    bottom: 1.0,
};

/// A strip of the chart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Lane {
    pub(super) top: f64,
    pub(super) bottom: f64,
}

impl Lane {
    /// Place of a share of the lane's range, as a share of the chart's height.
    pub(super) fn place(self, share: f64) -> f64 {
        self.bottom - share.clamp(0.0, 1.0) * (self.bottom - self.top)
    }
}

/// A named level of frequency.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Level {
    pub(super) hz: f64,
    pub(super) words: &'static str,
}

/// A drill, scaled.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct DrillPicture {
    /// Length of the drill, s.
    pub(super) length_s: f64,
    /// Range of the frequency lane, Hz.
    pub(super) hz: (f64, f64),
    /// Named levels within the range.
    pub(super) levels: Vec<Level>,
    /// Scale of the power lane, kW.
    pub(super) axis_kw: Axis,
    /// First and last share of the time for each stretch in which the bus is dark.
    pub(super) dark: Vec<(f64, f64)>,
}

impl DrillPicture {
    pub(super) fn of(trace: &IslandTrace, nominal_hz: f64, settings: &[FrequencySettings]) -> Self {
        let spans = trace.served_w.len();
        let mut levels = vec![Level {
            hz: nominal_hz,
            words: "nominal",
        }];
        for own in settings {
            let droop = own.droop.map(|droop| (droop.from_hz, "start of droop"));
            let all = droop.into_iter().chain([
                (own.over_near.at_hz, "near trip"),
                (own.over_far.at_hz, "far trip"),
                (own.under_near.at_hz, "near trip"),
                (own.under_far.at_hz, "far trip"),
            ]);
            for (hz, words) in all {
                if levels.iter().all(|level| (level.hz - hz).abs() > 1e-6) {
                    levels.push(Level { hz, words });
                }
            }
        }
        let held = || {
            trace
                .lowest_hz
                .iter()
                .chain(&trace.highest_hz)
                .copied()
                .filter(|hz| *hz > 0.0)
        };
        // The trips above are the ones that a surplus leads to; those below show when frequency comes near them.
        let least = held().fold(nominal_hz - 0.3, f64::min) - 0.2;
        let most_trip = levels
            .iter()
            .map(|level| level.hz)
            .fold(nominal_hz, f64::max);
        let most = held().fold(most_trip, f64::max) + 0.2;
        levels.retain(|level| (least..=most).contains(&level.hz));
        let total = |series: &[Vec<f64>], at: usize| -> f64 {
            series.iter().filter_map(|one| one.get(at)).sum()
        };
        let most_w = (0..spans)
            .map(|at| {
                let wanted = [&trace.served_w, &trace.unserved_w]
                    .map(|series| series.get(at).copied().unwrap_or_default())
                    .iter()
                    .sum::<f64>();
                let offered = trace
                    .inverter_offered_w
                    .iter()
                    .filter_map(|one| one.get(at).copied())
                    .fold(0.0, f64::max);
                let generator = trace.generator_w.get(at).copied().unwrap_or_default();
                wanted
                    .max(offered)
                    .max(total(&trace.unit_dc_offered_w, at))
                    .max(generator)
            })
            .fold(0.0, f64::max);
        Self {
            length_s: trace.span_s * spans as f64,
            hz: (least, most),
            levels,
            axis_kw: Axis::reaching(most_w / 1000.0, 3.0),
            dark: dark(&trace.highest_hz),
        }
    }

    /// Place of a frequency, as a share of the chart's height.
    pub(super) fn hz_place(&self, hz: f64) -> f64 {
        let (least, most) = self.hz;
        FREQUENCY.place((hz - least) / (most - least))
    }

    /// Levels whose names find room, `height_px` being the height of the chart.
    pub(super) fn named_levels(&self, height_px: f64) -> Vec<&Level> {
        let mut named: Vec<&Level> = Vec::new();
        for level in &self.levels {
            let place = self.hz_place(level.hz);
            let free = named
                .iter()
                .all(|other| (self.hz_place(other.hz) - place).abs() * height_px >= 13.0);
            if free {
                named.push(level);
            }
        }
        named
    }
}

/// Stretches in which the bus is dark, as shares of the time.
fn dark(highest_hz: &[f64]) -> Vec<(f64, f64)> {
    let spans = highest_hz.len().max(1) as f64;
    let mut stretches: Vec<(usize, usize)> = Vec::new();
    for (span, _) in highest_hz.iter().enumerate().filter(|(_, hz)| **hz <= 0.0) {
        match stretches.last_mut() {
            Some((_, end)) if *end == span => *end = span + 1,
            _ => stretches.push((span, span + 1)),
        }
    }
    stretches
        .into_iter()
        .map(|(from, to)| (from as f64 / spans, to as f64 / spans))
        .collect()
}

/// A mark over the chart where something happened.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Mark {
    /// Share of the time.
    pub(super) place: f64,
    /// How it weighs.
    pub(super) weight: Weight,
    /// Its name, where there is room for it.
    pub(super) words: Option<&'static str>,
}

/// Marks of the events; what weighs most is named first, and no name covers another.
pub(super) fn marks(events: &[IslandEvent], length_s: f64, width_px: f64) -> Vec<Mark> {
    let mut marks: Vec<(Mark, Happening)> = events
        .iter()
        .map(|event| {
            let mark = Mark {
                place: (event.at_s / length_s.max(1e-9)).clamp(0.0, 1.0),
                weight: words::weight(event.what),
                words: None,
            };
            (mark, event.what)
        })
        .collect();
    let mut taken: Vec<(f64, f64)> = Vec::new();
    for weight in [Weight::Breaks, Weight::Watch, Weight::Told] {
        for (mark, what) in marks.iter_mut().filter(|(mark, _)| mark.weight == weight) {
            let words = words::short(*what);
            let from = mark.place * width_px;
            let to = from + label_width_px(words);
            let free = taken.iter().all(|(other, end)| to < *other || from > *end);
            if free && to <= width_px {
                taken.push((from, to));
                mark.words = Some(words);
            }
        }
    }
    marks.into_iter().map(|(mark, _)| mark).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use couplet_core::coupling::GridCode;
    use couplet_core::household::Supply;
    use couplet_core::island::settings;

    fn trace() -> IslandTrace {
        IslandTrace {
            span_s: 10.0,
            lowest_hz: vec![60.0, 60.5, 0.0, 0.0, 60.0],
            highest_hz: vec![60.0, 62.3, 0.0, 0.0, 60.0],
            served_w: vec![1000.0; 5],
            unserved_w: vec![0.0, 0.0, 500.0, 500.0, 0.0],
            ..IslandTrace::default()
        }
    }

    #[test]
    fn frequency_has_room_for_its_course_and_for_the_trips_above() {
        let own = settings(GridCode::Present, Supply::SplitPhase120V240V60Hz);
        let picture = DrillPicture::of(&trace(), 60.0, &[own]);
        assert!(picture.hz.0 < 60.0 && picture.hz.1 > 62.3);
        assert!(
            picture
                .levels
                .iter()
                .any(|level| level.words == "near trip")
        );
        assert_eq!(picture.dark, vec![(0.4, 0.8)]);
        assert!((picture.length_s - 50.0).abs() < 1e-9);
    }

    #[test]
    fn no_name_of_a_mark_covers_another_and_what_breaks_comes_first() {
        let event = |at_s, what| IslandEvent { at_s, what };
        let marks = marks(
            &[
                event(10.0, Happening::BatteryFull(0)),
                event(10.5, Happening::BusDark),
                event(80.0, Happening::BusLive),
            ],
            100.0,
            400.0,
        );
        let words: Vec<_> = marks.iter().map(|mark| mark.words).collect();
        assert_eq!(words, vec![None, Some("dark"), Some("live")]);
    }
}
