//! Hatching: slanted lines that run on from one box to the next.

/// A line from one point to another, px.
pub(crate) type Line = [(i32, i32); 2];

/// Lines at 45°, `gap_px` apart along the horizontal, cut to the box between two corners. The lines belong to one ruling of the whole
/// picture, so that those of neighbouring boxes meet.
pub(crate) fn hatch(from: (i32, i32), to: (i32, i32), gap_px: i32) -> Vec<Line> {
    let (left, right) = (from.0.min(to.0), from.0.max(to.0));
    let (top, bottom) = (from.1.min(to.1), from.1.max(to.1));
    let gap_px = gap_px.max(1);
    if left == right || top == bottom {
        return Vec::new();
    }
    let first = (left + top).div_euclid(gap_px) + 1;
    let last = (right + bottom - 1).div_euclid(gap_px);
    (first..=last)
        .map(|count| {
            let sum = count * gap_px;
            let start = left.max(sum - bottom);
            let end = right.min(sum - top);
            [(start, sum - start), (end, sum - end)]
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_stay_in_their_box_and_on_the_ruling() {
        let lines = hatch((3, 10), (11, 40), 6);
        assert!(!lines.is_empty());
        for [start, end] in lines {
            for (x, y) in [start, end] {
                assert!((3..=11).contains(&x) && (10..=40).contains(&y));
                assert_eq!((x + y) % 6, 0);
            }
        }
    }

    #[test]
    fn lines_of_neighbours_meet() {
        let left = hatch((0, 0), (10, 30), 5);
        let right = hatch((10, 0), (20, 30), 5);
        let ends: Vec<_> = left
            .iter()
            .map(|line| line[1])
            .filter(|end| end.0 == 10)
            .collect();
        let starts: Vec<_> = right
            .iter()
            .map(|line| line[0])
            .filter(|start| start.0 == 10)
            .collect();
        assert!(!ends.is_empty());
        assert!(
            ends.iter()
                .all(|end| starts.contains(end) || end.1 == 0 || end.1 == 30)
        );
    }

    #[test]
    fn an_empty_box_has_no_lines() {
        assert!(hatch((5, 5), (5, 50), 6).is_empty());
        assert!(hatch((5, 5), (50, 5), 0).is_empty());
    }
}
