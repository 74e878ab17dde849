//! The cash flow as a picture: what comes in above the line, what is paid below it, and the sum of all years so far.

use couplet_core::money::YearRow;
use couplet_core::outlook::Outlook;
use leptos::prelude::*;

use crate::chart::ticks::Axis;
use crate::format;

const WIDTH: f64 = 640.0;
const HEIGHT: f64 = 240.0;
/// Share of a year's width that its bar takes.
const BAR: f64 = 0.64;

/// The picture.
pub(super) fn picture(found: &Outlook, currency: &str) -> AnyView {
    let bars: Vec<Bar> = (found.flow.rows.iter())
        .map(|row| Bar::of(row, |amount| found.minor_unit.cur(amount)))
        .collect();
    let scale = Scale::of(&bars);
    let slot = WIDTH / bars.len().max(1) as f64;
    let rect = |index: usize, from_cur: f64, to_cur: f64| {
        let x = slot * (index as f64 + 0.5 * (1.0 - BAR));
        let (top, bottom) = (scale.y(from_cur.max(to_cur)), scale.y(from_cur.min(to_cur)));
        format!(
            "M{x:.1} {top:.1}h{:.1}V{bottom:.1}h{:.1}Z",
            slot * BAR,
            -slot * BAR
        )
    };
    let each = |value: &dyn Fn(&Bar) -> f64| -> String {
        bars.iter()
            .enumerate()
            .map(|(index, bar)| rect(index, 0.0, value(bar)))
            .collect()
    };
    let (came, paid) = (each(&|bar| bar.in_cur), each(&|bar| -bar.out_cur));
    let sum: String = bars
        .iter()
        .enumerate()
        .map(|(index, bar)| {
            let letter = if index == 0 { 'M' } else { 'L' };
            let x = slot * (index as f64 + 0.5);
            format!("{letter}{x:.1} {:.1}", scale.y(bar.sum_cur))
        })
        .collect();
    let levels = scale
        .levels
        .iter()
        .map(|level| view! { <path class="curve-grid" d=format!("M0 {:.1}H{WIDTH}", scale.y(*level))></path> })
        .collect_view();
    let level_words = scale
        .levels
        .iter()
        .map(|level| {
            let style = format!("inset-block-start:{:.2}%", 100.0 * scale.y(*level) / HEIGHT);
            view! { <span style=style>{format::number(*level, 0)}</span> }
        })
        .collect_view();
    let years = (0..bars.len())
        .filter(|year| year % 5 == 0)
        .map(|year| {
            let style = format!(
                "inset-inline-start:{:.2}%",
                100.0 * (year as f64 + 0.5) * slot / WIDTH
            );
            view! { <span style=style>{year.to_string()}</span> }
        })
        .collect_view();
    let zero = scale.y(0.0);
    view! {
        <figure class="curves money-picture">
            <figcaption>
                {currency.to_owned()} " in each year; year 0 is the start. "
                <svg class="line-sample" viewBox="0 0 28 8" aria-hidden="true"><path d="M0 0h28v8H0Z" class="money-in"></path></svg>
                "comes in "
                <svg class="line-sample" viewBox="0 0 28 8" aria-hidden="true"><path d="M0 0h28v8H0Z" class="money-out"></path></svg>
                "is paid "
                <svg class="line-sample" viewBox="0 0 28 8" aria-hidden="true"><path d="M0 4H28" class="curve" data-line="year"></path></svg>
                "sum so far"
            </figcaption>
            <div class="curves-left" aria-hidden="true">{level_words}</div>
            <svg
                role="img"
                aria-label="Money in and out in each year, and the sum so far; the table below has the figures"
                viewBox=format!("0 0 {WIDTH} {HEIGHT}")
                preserveAspectRatio="none"
            >
                {levels}
                <path class="money-in" d=came></path>
                <path class="money-out" d=paid></path>
                <path class="curve" d=format!("M0 {zero:.1}H{WIDTH}")></path>
                <path class="curve" data-line="year" d=sum></path>
            </svg>
            <div class="curves-below" aria-hidden="true">{years}</div>
        </figure>
    }
    .into_any()
}

/// A year of the picture, currency.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Bar {
    in_cur: f64,
    out_cur: f64,
    sum_cur: f64,
}

impl Bar {
    fn of(row: &YearRow, cur: impl Fn(couplet_core::money::Money) -> f64) -> Self {
        let parts = [
            row.costs,
            row.incentives,
            row.loan,
            row.upkeep,
            row.replacements,
            row.saving,
        ]
        .map(&cur);
        Self {
            in_cur: parts.iter().map(|part| part.max(0.0)).sum(),
            out_cur: parts.iter().map(|part| (-part).max(0.0)).sum(),
            sum_cur: cur(row.sum),
        }
    }
}

/// From currency to height.
struct Scale {
    least_cur: f64,
    most_cur: f64,
    levels: Vec<f64>,
}

impl Scale {
    fn of(bars: &[Bar]) -> Self {
        let reach = |value: &dyn Fn(&Bar) -> f64| bars.iter().map(value).fold(0.0_f64, f64::max);
        let up_cur = 1.02 * reach(&|bar| bar.in_cur.max(bar.sum_cur));
        let down_cur = 1.02 * reach(&|bar| bar.out_cur.max(-bar.sum_cur));
        let step = Axis::reaching(up_cur + down_cur, 5.0).step;
        let below = (down_cur / step).floor();
        let levels = (0..100)
            .map(|count| step * (f64::from(count) - below))
            .take_while(|level| *level <= up_cur)
            .collect();
        Self {
            least_cur: -down_cur,
            most_cur: up_cur,
            levels,
        }
    }

    fn y(&self, cur: f64) -> f64 {
        HEIGHT * (self.most_cur - cur) / (self.most_cur - self.least_cur).max(f64::MIN_POSITIVE)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_scale_holds_every_bar_and_names_round_levels() {
        let bar = |in_cur, out_cur, sum_cur| Bar {
            in_cur,
            out_cur,
            sum_cur,
        };
        let scale = Scale::of(&[bar(0.0, 9_800.0, -9_800.0), bar(900.0, 0.0, 2_500.0)]);
        assert_eq!(scale.levels, [-5_000.0, 0.0]);
        assert!(scale.y(-9_800.0) < HEIGHT && scale.y(2_500.0) > 0.0);
        // Without any money there is still a picture.
        assert!(Scale::of(&[bar(0.0, 0.0, 0.0)]).y(0.0).is_finite());
    }
}
