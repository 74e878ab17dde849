//! A picture of lines between a scale at the left and one below, as vector graphics: it prints sharply at any width.

use leptos::prelude::*;

/// Units of the picture's own grid; the page stretches it.
const WIDTH: f64 = 640.0;
const HEIGHT: f64 = 200.0;

/// A picture of lines. All places are shares, 0 to 1, from the lower left corner.
pub(crate) struct Curves<'a> {
    /// Above the picture: quantity and unit.
    pub(crate) caption: &'a str,
    /// What the picture shows, for who cannot see it.
    pub(crate) label: &'a str,
    /// Words along the left edge.
    pub(crate) left: Vec<(f64, String)>,
    /// Words along the lower edge.
    pub(crate) below: Vec<(f64, String)>,
    /// Heights of thin level lines.
    pub(crate) levels: Vec<f64>,
    /// Lines, each with the name that chooses its stroke in the style sheet.
    pub(crate) lines: Vec<(&'static str, Vec<(f64, f64)>)>,
}

/// The picture.
pub(crate) fn curves(curves: Curves<'_>) -> impl IntoView + use<> {
    let Curves {
        caption,
        label,
        left,
        below,
        levels,
        lines,
    } = curves;
    let levels = levels
        .into_iter()
        .map(|height| {
            let d = path(&[(0.0, height), (1.0, height)]);
            view! { <path class="curve-grid" d=d></path> }
        })
        .collect_view();
    let lines = lines
        .into_iter()
        .map(|(key, points)| view! { <path class="curve" data-line=key d=path(&points)></path> })
        .collect_view();
    let left = left
        .into_iter()
        .map(|(height, words)| {
            let place = format!("inset-block-start:{:.2}%", 100.0 * (1.0 - height));
            view! { <span style=place>{words}</span> }
        })
        .collect_view();
    let below = below
        .into_iter()
        .map(|(along, words)| {
            let place = format!("inset-inline-start:{:.2}%", 100.0 * along);
            view! { <span style=place>{words}</span> }
        })
        .collect_view();
    view! {
        <figure class="curves">
            <figcaption>{caption.to_owned()}</figcaption>
            <div class="curves-left" aria-hidden="true">{left}</div>
            <svg
                role="img"
                aria-label=label.to_owned()
                viewBox=format!("0 0 {WIDTH} {HEIGHT}")
                preserveAspectRatio="none"
            >
                {levels}
                {lines}
            </svg>
            <div class="curves-below" aria-hidden="true">{below}</div>
        </figure>
    }
}

/// The values of one series, each in the middle of its share of the width.
pub(crate) fn in_their_middles(heights: impl ExactSizeIterator<Item = f64>) -> Vec<(f64, f64)> {
    let count = heights.len().max(1) as f64;
    heights
        .enumerate()
        .map(|(index, height)| ((index as f64 + 0.5) / count, height))
        .collect()
}

/// A line through points.
fn path(points: &[(f64, f64)]) -> String {
    let mut path = String::new();
    for (index, (along, height)) in points.iter().enumerate() {
        let pen = if index == 0 { 'M' } else { 'L' };
        let (x, y) = (WIDTH * along, HEIGHT * (1.0 - height));
        path += &format!("{pen}{x:.1} {y:.1}");
    }
    path
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_goes_through_its_points_from_the_lower_left() {
        let path = path(&[(0.0, 1.0), (0.25, 1.0), (1.0, 0.0)]);
        assert_eq!(path, "M0.0 0.0L160.0 0.0L640.0 200.0");
    }

    #[test]
    fn values_stand_in_the_middle_of_their_share() {
        let points = in_their_middles([0.1, 0.9].into_iter());
        assert_eq!(points, [(0.25, 0.1), (0.75, 0.9)]);
    }
}
