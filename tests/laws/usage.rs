//! Laws of meter data: any text gives series or a reason, and no Wh is lost on the way to steps.

use couplet_core::usage::{Direction, Interval, MeterSeries, read_green_button};
use couplet_tests::draws;
use proptest::prelude::*;

/// A feed of one entry with these intervals: begin, duration and value as they are typed.
fn feed(intervals: &[(String, String, String)]) -> String {
    let readings: String = intervals
        .iter()
        .map(|(begin, length, value)| {
            format!(
                "<IntervalReading><timePeriod><duration>{length}</duration><start>{begin}</start></timePeriod>\
                 <value>{value}</value></IntervalReading>\n"
            )
        })
        .collect();
    format!(
        "<feed><entry><content><IntervalBlock>\n{readings}</IntervalBlock></content></entry></feed>"
    )
}

proptest! {
    #![proptest_config(draws(256))]

    #[test]
    fn any_text_gives_series_or_a_reason(text in ".{0,200}", from in any::<i64>(), step_s in any::<i64>()) {
        let _ = read_green_button(&text);
        let _ = read_green_button(&format!("<feed><entry>{text}</entry></feed>"));
        let numbers = feed(&[(from.to_string(), step_s.to_string(), text)]);
        let _ = read_green_button(&numbers);
        let extreme = feed(&[(from.to_string(), step_s.to_string(), "7".into())]);
        if let Ok(found) = read_green_button(&extreme) {
            for series in &found.series {
                prop_assert_eq!(series.mean_w(from, step_s, 3).len(), 3);
                prop_assert_eq!(series.mean_w(0, 900, 3).len(), 3);
            }
        }
    }

    #[test]
    fn steps_hold_the_energy_of_the_intervals(
        values in prop::collection::vec(0_i64..5000, 1..96),
        length_min in prop_oneof![Just(5_u8), Just(15), Just(30), Just(60)],
    ) {
        let length_s = 60 * i64::from(length_min);
        let begins: Vec<i64> =
            (1_767_243_600..).step_by(60 * usize::from(length_min)).take(values.len()).collect();
        let rows: Vec<_> = values.iter().enumerate().rev()
            .map(|(index, value)| (begins[index].to_string(), length_s.to_string(), value.to_string()))
            .collect();
        let found = read_green_button(&feed(&rows)).unwrap();
        let expected = MeterSeries {
            direction: Direction::Bought,
            intervals: values.iter().enumerate()
                .map(|(index, value)| Interval {
                    begin_utc_s: begins[index],
                    length_s,
                    energy_wh: *value as f64,
                })
                .collect(),
            repeated: 0,
        };
        prop_assert_eq!(&found.series[..], &[expected][..]);
        let minutes = values.len() * usize::from(length_min);
        let energy_wh: f64 = found.series[0].mean_w(begins[0], 60, minutes).into_iter()
            .map(|power_w| power_w.expect("covered") / 60.0)
            .sum();
        let counted_wh = values.iter().sum::<i64>() as f64;
        prop_assert!((energy_wh - counted_wh).abs() < 1e-6 * counted_wh.max(1.0));
    }
}
