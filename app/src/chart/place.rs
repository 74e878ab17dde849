//! Places within a box.

/// A place as shares of its box, which still holds when a printer stretches it. What is not a number is 0.
pub(crate) fn at_share(x: f64, y: f64) -> String {
    let percent = |share: f64| {
        if share.is_finite() {
            share * 100.0
        } else {
            0.0
        }
    };
    format!("left:{:.3}%;top:{:.3}%", percent(x), percent(y))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_always_numbers() {
        assert_eq!(at_share(0.5, 0.25), "left:50.000%;top:25.000%");
        assert_eq!(at_share(f64::NAN, 0.0), "left:0.000%;top:0.000%");
    }
}
