//! A year without a grid beyond its figures: what a reader must know of it, how it was dark, where the sun was lost, and sizes that
//! would serve more.

use couplet_core::outage::{OffGridFigures, Sizing};
use couplet_core::year::warnings;
use leptos::prelude::*;

use super::fold::{Fold, fold_table};
use crate::desk::Desk;
use crate::format;
use crate::inquiry::Inquiry;
use crate::parts::figures;
use crate::study::Study;
use crate::words::{Level, Word, findings::capital};
use crate::work::protocol::{Found, Question, SizesFor, Topic};

/// The region, under the outcomes; open from the start.
#[component]
pub(crate) fn OffGrid(desk: Desk, study: Study, inquiry: Inquiry) -> impl IntoView {
    let open = RwSignal::new(true);
    let off_grid = Memo::new(move |_| desk.household.with(|household| !household.service.utility));
    Effect::new(move |_| {
        let question =
            (open.get() && off_grid.get()).then(|| Question::Sizes(desk.option_id.get()));
        inquiry.ask(Topic::Sizes, question);
    });
    let known = inquiry.known(Topic::Sizes);
    let stale = inquiry.stale(Topic::Sizes);
    let trouble = inquiry.trouble(Topic::Sizes);
    let year = Memo::new(move |_| {
        let id = desk.option_id.get();
        study.figures.with(|figures| figures.get(&id).cloned())
    });
    let cautions = move || {
        let (year, option) = (year.get()?, desk.option.get()?);
        let cautions = desk
            .household
            .with(|household| warnings(household, &option, &year));
        Some(
            cautions
                .into_iter()
                .filter(|caution| caution.is_off_grid())
                .map(|caution| {
                    view! { <p class="note" role="note">{format!("{}.", capital(&caution.to_string()))}</p> }
                })
                .collect_view(),
        )
    };
    let rows = move || {
        let level = desk.keep.settings.with(|settings| settings.level);
        let year = year.get()?;
        Some(figures(rows(year.off_grid.as_ref()?, level)))
    };
    let sizes = move || {
        let level = desk.keep.settings.with(|settings| settings.level);
        let id = desk.option_id.get();
        known.with(|known| {
            let Found::Sizes(sizes) = known.as_ref()?.of(id)?.as_ref() else {
                return None;
            };
            Some(sizes_table(sizes, level))
        })
    };
    view! {
        <Fold id="off-grid" title=Signal::derive(move || desk.word(Word::OffGrid).to_owned()) open stale>
                <p class="fold-note">{move || desk.word(Word::OffGridNote)}</p>
                {cautions}
                {move || trouble.get().map(|trouble| view! { <p class="note" role="alert">{trouble}</p> })}
                <dl class="drill-figures">{rows}</dl>
                {sizes}
            </Fold>
    }
    .into_any()
}

/// What arrays, batteries or both would have to be for each wanted share.
fn sizes_table(sizes: &[SizesFor], level: Level) -> impl IntoView + use<> {
    let none = || "no size does".to_owned();
    let rows = sizes.iter().map(|sizes| {
        let arrays = |found: Sizing| format::power(found.peak_w).text();
        let batteries = |found: Sizing| format::energy(found.usable_wh).text();
        let cells = vec![
            sizes.arrays.map_or_else(none, arrays),
            sizes.batteries.map_or_else(none, batteries),
            sizes.both.map_or_else(none, |found| {
                format!("{} {}", arrays(found), batteries(found))
            }),
        ];
        (format::percent(sizes.share, 0).text(), cells)
    });
    let heading = match level {
        Level::Plain => "What would serve this without a generator",
        Level::Trade => "Least sizes for a served share, without the generator",
    };
    view! {
        <h3 class="label">{heading}</h3>
        {fold_table(&["served", "arrays alone", "batteries alone", "both alike"], rows)}
    }
}

/// What the figures beside the drawing leave out, named for a reading level.
pub(crate) fn rows(figures: &OffGridFigures, level: Level) -> Vec<(&'static str, String)> {
    let energy = |energy_wh: f64| format::energy(energy_wh).text();
    let hours = |hours: f64| format!("{}\u{a0}h", format::number(hours, 0));
    let words = |plain: &'static str, trade: &'static str| match level {
        Level::Plain => plain,
        Level::Trade => trade,
    };
    let longest = if figures.longest_dark_h > 0.0 {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "hours of a year"
        )]
        let day = (figures.longest_dark_from_h / 24.0).max(0.0) as u32;
        format!(
            "{}, from {}",
            hours(figures.longest_dark_h),
            format::date(day)
        )
    } else {
        "never dark".to_owned()
    };
    let mut rows = vec![
        (
            words(
                "of the time, something is missing",
                "loss-of-load probability",
            ),
            format::percent(figures.loss_of_load_probability, 1).text(),
        ),
        ("longest dark time", longest),
        ("went dark", format!("{} times", figures.went_dark)),
        (
            words("at the end of the year", "state at the end"),
            if figures.ends_dark { "dark" } else { "live" }.to_owned(),
        ),
        (
            words("switched off on purpose", "shed"),
            energy(figures.shed_wh),
        ),
    ];
    // Where the sun was lost: only what there is.
    let lost = [
        (
            words("sun held back, on AC", "AC PV throttled"),
            figures.ac_throttled_wh,
        ),
        (
            words("sun lost while switched off", "AC PV lost to trips"),
            figures.ac_tripped_wh,
        ),
        (
            words("sun lost in the dark or beside the generator", "AC PV idle"),
            figures.ac_idle_wh,
        ),
        (
            words("sun held back, on DC", "DC PV throttled"),
            figures.dc_throttled_wh,
        ),
    ];
    let some = lost.into_iter().filter(|(_, lost_wh)| *lost_wh > 500.0);
    rows.extend(some.map(|(words, lost_wh)| (words, energy(lost_wh))));
    if figures.generator_h > 0.0 {
        rows.push((
            "generator",
            format!(
                "{} in {} starts, {}",
                hours(figures.generator_h),
                figures.generator_starts,
                energy(figures.generator_wh)
            ),
        ));
        rows.push((
            words("of that, nearly idle", "of that, below its least load"),
            hours(figures.generator_low_h),
        ));
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_generator_is_told_only_where_it_runs() {
        let mut figures = OffGridFigures::default();
        let generator = |figures: &OffGridFigures| {
            let mut rows = rows(figures, Level::Trade).into_iter();
            rows.find(|(words, _)| *words == "generator")
                .map(|(_, figure)| figure)
        };
        assert_eq!(generator(&figures), None);
        figures.generator_h = 10.0;
        figures.generator_starts = 4;
        figures.generator_wh = 30_000.0;
        assert_eq!(
            generator(&figures).as_deref(),
            Some("10\u{a0}h in 4 starts, 30.0\u{a0}kWh")
        );
    }
}
