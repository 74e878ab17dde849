//! A chosen device whose rating no standard device has.

use super::finding::figure;
use super::{Finding, Verdict};
use crate::rules::{Code, Device, Neighbours, neighbours_a};

impl Finding {
    /// Told, and watched where all else holds, if the device that it judges has no standard rating: the codes permit others, but a device
    /// must be found that is made and listed for it.
    ///
    /// - `least_a`: what the device must carry; the remedy names no smaller one
    ///
    /// Source: NEC 240.6(A), which permits nonstandard ratings; preferred values of IEC 60898-1 and IEC 60947-2 (from memory).
    pub(super) fn with_device(
        mut self,
        code: Code,
        device: Device,
        rating_a: f64,
        least_a: Option<f64>,
    ) -> Self {
        let Some(Neighbours { below_a, above_a }) = neighbours_a(code, device, rating_a) else {
            return self;
        };
        let amperes = |sizes: [Option<f64>; 2], and: &str| {
            let sizes = sizes.into_iter().flatten();
            let words: Vec<_> = sizes
                .map(|size_a| format!("{} A", figure(size_a, 0)))
                .collect();
            words.join(and)
        };
        let (kind, written) = match code {
            Code::Nec(_) => ("standard", "240.6(A)"),
            Code::Iec => ("preferred", "IEC 60898-1, IEC 60947-2"),
        };
        let rating = figure(rating_a, 2);
        self.formula.push_str(&format!(
            "; {rating} A is no {kind} size ({written}), next to it {}",
            amperes([below_a, above_a], " and ")
        ));
        let below_a = below_a.filter(|below_a| least_a.is_none_or(|least_a| *below_a >= least_a));
        let sizes = amperes([below_a, above_a], " or ");
        let remedy = match sizes.as_str() {
            "" => format!("see that a device of {rating} A is made and listed"),
            _ => format!("take {sizes}, or see that a device of {rating} A is made and listed"),
        };
        match self.verdict {
            Verdict::Holds => (self.verdict, self.remedy) = (Verdict::Watch, remedy),
            Verdict::Watch => self.remedy = format!("{}; {remedy}", self.remedy),
            Verdict::Breaks | Verdict::NotJudged => {}
        }
        self
    }
}
