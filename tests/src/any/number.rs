//! Random numbers that the rows of the limits admit.

use couplet_core::limits::Limit;
use proptest::prelude::*;
use proptest::sample::select;

/// A number that a row admits; one in ten is an end of the range, one in ten the default.
pub fn any_number(limit: &'static Limit) -> impl Strategy<Value = f64> + Clone {
    prop_oneof![
        8 => limit.least..=limit.most,
        1 => select(vec![limit.least, limit.most]),
        1 => Just(limit.default),
    ]
}

/// A number of the lower part of a row's range, up to `most`: sizes that a home may have.
pub(super) fn number_up_to(limit: &'static Limit, most: f64) -> impl Strategy<Value = f64> + Clone {
    limit.least..=most.min(limit.most)
}

pub(super) fn any_window(
    from: &'static Limit,
    to: &'static Limit,
) -> impl Strategy<Value = (f64, f64)> + Clone {
    (any_number(from), any_number(to))
        .prop_filter("a window has two ends", |(from_h, to_h)| from_h != to_h)
}
