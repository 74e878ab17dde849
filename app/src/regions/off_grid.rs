//! A year without a grid: what is served, how long it is dark, what the generator burns, what the sun brings in vain.

use couplet_core::outage::{OffGridFigures, Sizing};
use leptos::prelude::*;

use super::fold::{Fold, fold_table};
use crate::desk::Desk;
use crate::format;
use crate::inquiry::Inquiry;
use crate::keep::UnitSystem;
use crate::parts::{figures, fuel};
use crate::words::{Level, Word};
use crate::work::protocol::{Found, Question, SizesFor, Topic};

/// The region, in place of the outcomes of a year with the grid; open from the start.
#[component]
pub(crate) fn OffGrid(desk: Desk, inquiry: Inquiry) -> impl IntoView {
    let open = RwSignal::new(true);
    let off_grid = Memo::new(move |_| desk.household.with(|household| !household.service.utility));
    Effect::new(move |_| {
        let question =
            (open.get() && off_grid.get()).then(|| Question::OffGrid(desk.option_id.get()));
        inquiry.ask(Topic::OffGrid, question);
    });
    let known = inquiry.known(Topic::OffGrid);
    let stale = inquiry.stale(Topic::OffGrid);
    let trouble = inquiry.trouble(Topic::OffGrid);
    let rows = move || {
        let (level, units) = desk
            .keep
            .settings
            .with(|settings| (settings.level, settings.units));
        let id = desk.option_id.get();
        known.with(|known| {
            let Found::OffGrid(year) = known.as_ref()?.of(id)?.as_ref() else {
                return None;
            };
            Some(figures(rows(&year.figures, level, units)))
        })
    };
    let sizes = move || {
        let level = desk.keep.settings.with(|settings| settings.level);
        let id = desk.option_id.get();
        known.with(|known| {
            let Found::OffGrid(year) = known.as_ref()?.of(id)?.as_ref() else {
                return None;
            };
            Some(sizes_table(&year.sizes, level))
        })
    };
    view! {
        <Fold id="off-grid" title=Signal::derive(move || desk.word(Word::OffGrid).to_owned()) open stale>
                <p class="fold-note">{move || desk.word(Word::OffGridNote)}</p>
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

/// The figures of a year without a grid, named for a reading level.
pub(crate) fn rows(
    figures: &OffGridFigures,
    level: Level,
    units: UnitSystem,
) -> Vec<(&'static str, String)> {
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
            words("of what is wanted, served", "served share"),
            format::percent(figures.served_share, 1).text(),
        ),
        ("not served", energy(figures.wanted_wh - figures.served_wh)),
        (
            words(
                "of the time, something is missing",
                "loss-of-load probability",
            ),
            format::percent(figures.loss_of_load_probability, 1).text(),
        ),
        ("dark in all", hours(figures.dark_h)),
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
        (
            words("sun held back, on AC", "AC PV throttled"),
            energy(figures.ac_throttled_wh),
        ),
        (
            words("sun lost while switched off", "AC PV lost to trips"),
            energy(figures.ac_tripped_wh),
        ),
        (
            words("sun lost in the dark or beside the generator", "AC PV idle"),
            energy(figures.ac_idle_wh),
        ),
        (
            words("sun held back, on DC", "DC PV throttled"),
            energy(figures.dc_throttled_wh),
        ),
    ];
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
        rows.push(("fuel", fuel(figures.fuel_l, 0, units)));
    }
    if let Some(days) = figures.days_of_autonomy {
        rows.push((
            words("full batteries alone last", "autonomy"),
            format!("{}\u{a0}days", format::number(days, 1)),
        ));
    }
    if let Some(cycles) = figures.equivalent_full_cycles {
        rows.push(("full cycles of the battery", format::number(cycles, 0)));
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fuel_is_told_only_with_a_generator() {
        let mut figures = OffGridFigures::default();
        let fuel = |figures: &OffGridFigures, units| {
            rows(figures, Level::Trade, units)
                .into_iter()
                .find(|(words, _)| *words == "fuel")
                .map(|(_, figure)| figure)
        };
        assert_eq!(fuel(&figures, UnitSystem::Metric), None);
        figures.generator_h = 10.0;
        figures.fuel_l = 379.0;
        assert_eq!(
            fuel(&figures, UnitSystem::Metric).as_deref(),
            Some("379\u{a0}L")
        );
    }
}
