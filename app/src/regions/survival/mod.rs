//! Outage survival: how long the backed-up bus lives when the grid goes, from every hour of the year, by season and by what the
//! batteries hold at the start.

mod curve;

use couplet_core::household::OptionId;
use couplet_core::outage::{LONGEST_OUTAGE_H, OutageSurvival, Season, StartSoc, SurvivalFigures};
use leptos::ev;
use leptos::prelude::*;

use super::fold::{Fold, fold_table};
use crate::desk::Desk;
use crate::format;
use crate::inquiry::Inquiry;
use crate::words::Word;
use crate::work::protocol::{Found, Question, Topic};
use curve::{LINES, PictureLine, picture};

/// What the batteries may hold at the start, with the words for it.
pub(crate) const STARTS: [(StartSoc, &str); 5] = [
    (StartSoc::AsRun, "what normal running holds"),
    (StartSoc::At(1.0), "full"),
    (StartSoc::At(0.5), "half full"),
    (StartSoc::At(0.2), "a fifth"),
    (StartSoc::At(0.05), "nearly empty"),
];

/// The region.
#[component]
pub(crate) fn Survival(
    desk: Desk,
    inquiry: Inquiry,
    /// Called with the hour of the year whose outage is to be looked at second by second.
    on_drill: Callback<u16>,
) -> impl IntoView {
    let open = RwSignal::new(false);
    let start = RwSignal::new(0_usize);
    let utility = Memo::new(move |_| desk.household.with(|household| household.service.utility));
    Effect::new(move |_| {
        let (start, _) = STARTS.get(start.get()).copied().unwrap_or(STARTS[0]);
        let question = (open.get() && utility.get()).then(|| Question::Survival {
            option: desk.option_id.get(),
            start,
        });
        inquiry.ask(Topic::Survival, question);
    });
    let stale = inquiry.stale(Topic::Survival);
    let trouble = inquiry.trouble(Topic::Survival);
    let known = inquiry.known(Topic::Survival);
    let shown = move || {
        let option: OptionId = desk.option_id.get();
        known.with(|known| match known.as_ref()?.of(option)?.as_ref() {
            Found::Survival(survival) => Some(found(survival, on_drill)),
            _ => None,
        })
    };
    let choose = move |event: ev::Event| {
        if let Ok(index) = event_target_value(&event).parse() {
            start.set(index);
        }
    };
    let offers = move || {
        STARTS
            .iter()
            .enumerate()
            .map(|(index, (_, words))| view! { <option value=index.to_string()>{*words}</option> })
            .collect_view()
    };
    view! {
        <Show when=move || utility.get()>
            <Fold id="survival" title=Signal::derive(move || desk.word(Word::Survival).to_owned()) open stale>
                <p class="fold-note">{move || desk.word(Word::SurvivalNote)}</p>
                <label class="fold-choice">
                    "the batteries hold "
                    <select id="survival-start" on:change=choose prop:value=move || start.get().to_string()>{offers}</select>
                </label>
                {move || trouble.get().map(|trouble| view! { <p class="note" role="alert">{trouble}</p> })}
                {shown}
            </Fold>
        </Show>
    }
    .into_any()
}

/// The curves of the year and of each season.
pub(crate) fn curves(survival: &OutageSurvival) -> AnyView {
    let mut lines = vec![PictureLine {
        style: LINES[0],
        lasting: survival.year.lasting.clone(),
    }];
    lines.extend(
        survival
            .seasons
            .iter()
            .map(|(season, figures)| PictureLine {
                style: style(*season),
                lasting: figures.lasting.clone(),
            }),
    );
    picture(lines).into_any()
}

/// Heads of the table.
pub(crate) const HEADS: [&str; 8] = [
    "outages that begin in",
    "shortest",
    "half last",
    "longest",
    "last 24 h",
    "last 72 h",
    "go dark",
    "come back by themselves",
];

/// Rows of the table: the year, then each season.
pub(crate) fn rows(survival: &OutageSurvival) -> Vec<(AnyView, Vec<String>)> {
    std::iter::once((LINES[0], &survival.year))
        .chain(
            survival
                .seasons
                .iter()
                .map(|(season, figures)| (style(*season), figures)),
        )
        .map(|(line, figures)| (line_name(line).into_any(), cells(figures)))
        .collect()
}

/// When the shortest outage begins.
pub(crate) fn worst(survival: &OutageSurvival) -> String {
    let worst = survival.year.worst_start;
    let day = u32::from(worst / 24);
    let minute = u32::from(worst % 24) * 60;
    format!("{} at {}", format::date(day), format::time(minute))
}

fn found(survival: &OutageSurvival, on_drill: Callback<u16>) -> AnyView {
    let worst_start = survival.year.worst_start;
    let goes_dark = survival.year.went_dark > 0;
    view! {
        {curves(survival)}
        {fold_table(&HEADS, rows(survival))}
        {goes_dark.then(|| view! {
            <p class="fold-note">
                {format!("The shortest begins on {}. ", worst(survival))}
                <button type="button" class="quiet" on:click=move |_| on_drill.run(worst_start)>"Look at it second by second"</button>
            </p>
        })}
    }
    .into_any()
}

/// The name of a line beside its stroke.
fn line_name(line: curve::LineStyle) -> impl IntoView + 'static {
    view! {
        <svg class="line-sample" viewBox="0 0 28 8" aria-hidden="true">
            <path d="M0 4H28" class="curve" data-line=line.key></path>
        </svg>
        {line.name}
    }
}

fn cells(figures: &SurvivalFigures) -> Vec<String> {
    let outages = figures.went_dark;
    let lasting = |hours: usize| {
        figures
            .lasting
            .get(hours - 1)
            .map(|share| format::percent(*share, 0).text())
            .unwrap_or_default()
    };
    let back = if outages == 0 {
        "none goes dark".to_owned()
    } else if figures.came_back == 0 {
        "none".to_owned()
    } else {
        let share = f64::from(figures.came_back) / f64::from(outages);
        let dark = figures
            .median_dark_h
            .map(|hours| format!(", dark {hours}\u{a0}h"))
            .unwrap_or_default();
        format!("{}{dark}", format::percent(share, 0).text())
    };
    vec![
        hours(figures.worst_h),
        hours(figures.median_h),
        hours(figures.best_h),
        lasting(24),
        lasting(72),
        outages.to_string(),
        back,
    ]
}

/// Hours; the longest that is looked at may be longer.
pub(crate) fn hours(hours: u16) -> String {
    if hours >= LONGEST_OUTAGE_H {
        format!("{hours}\u{a0}h or more")
    } else {
        format!("{hours}\u{a0}h")
    }
}

fn style(season: Season) -> curve::LineStyle {
    match season {
        Season::Winter => LINES[1],
        Season::Spring => LINES[2],
        Season::Summer => LINES[3],
        Season::Autumn => LINES[4],
    }
}
