//! Room for a label inside an area of steps.

/// Where a label's middle may stand, px from the left and px from the axis outward.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Place {
    pub(crate) x_px: f64,
    pub(crate) y_px: f64,
}

/// The place where an area leaves most height over the width of a label; none if it does not fit anywhere.
///
/// `inner_px` and `outer_px` are the edges of the area per step, px from the axis; `step_px` is the width of a step; `is_free` says
/// whether nothing else lies at a place.
pub(crate) fn roomiest(
    inner_px: &[f64],
    outer_px: &[f64],
    step_px: f64,
    (width_px, height_px): (f64, f64),
    is_free: impl Fn(Place) -> bool,
) -> Option<Place> {
    let steps = inner_px.len().min(outer_px.len());
    if step_px <= 0.0 || width_px <= 0.0 || width_px > step_px * steps as f64 {
        return None;
    }
    let span = (1..=steps).find(|count| *count as f64 * step_px >= width_px)?;
    let windows = inner_px.windows(span).zip(outer_px.windows(span));
    let mut best: Option<(f64, Place)> = None;
    for (start, (inner, outer)) in windows.enumerate() {
        let floor = inner.iter().fold(0.0_f64, |floor, edge| floor.max(*edge));
        let ceiling = outer
            .iter()
            .fold(f64::INFINITY, |ceiling, edge| ceiling.min(*edge));
        let clear = ceiling - floor;
        if clear < height_px || best.is_some_and(|(most, _)| clear <= most) {
            continue;
        }
        let heights = [
            f64::midpoint(floor, ceiling),
            floor + height_px / 2.0,
            ceiling - height_px / 2.0,
        ];
        let place = heights
            .into_iter()
            .map(|y_px| Place {
                x_px: (start as f64 + span as f64 / 2.0) * step_px,
                y_px,
            })
            .find(|place| is_free(*place));
        if let Some(place) = place {
            best = Some((clear, place));
        }
    }
    best.map(|(_, place)| place)
}

/// Width that a label takes in the page's condensed type, px, rather too wide than too narrow.
pub(crate) fn label_width_px(text: &str) -> f64 {
    text.chars().count() as f64 * 6.6 + 10.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_label_stands_where_the_area_is_highest() {
        let inner = [0.0; 6];
        let outer = [5.0, 10.0, 40.0, 60.0, 50.0, 10.0];
        let place = roomiest(&inner, &outer, 10.0, (20.0, 15.0), |_| true);
        assert_eq!(
            place,
            Some(Place {
                x_px: 40.0,
                y_px: 25.0
            })
        );
    }

    #[test]
    fn a_label_never_covers_an_edge() {
        let inner = [0.0, 30.0, 0.0];
        let outer = [40.0, 45.0, 40.0];
        let within = |height_px| roomiest(&inner, &outer, 10.0, (20.0, height_px), |_| true);
        assert_eq!(within(16.0), None);
        assert!(within(10.0).is_some());
    }

    #[test]
    fn there_is_no_room_on_nothing() {
        let size = (20.0, 10.0);
        assert_eq!(roomiest(&[], &[], 10.0, size, |_| true), None);
        assert_eq!(roomiest(&[0.0], &[99.0], 0.0, size, |_| true), None);
        assert_eq!(roomiest(&[0.0], &[99.0], 10.0, size, |_| true), None);
    }

    #[test]
    fn a_label_gives_way_to_what_is_there() {
        let inner = [0.0; 6];
        let outer = [40.0, 40.0, 60.0, 60.0, 40.0, 40.0];
        let place = roomiest(&inner, &outer, 10.0, (20.0, 15.0), |place| {
            place.x_px < 15.0
        });
        assert_eq!(place.map(|place| place.x_px), Some(10.0));
    }
}
