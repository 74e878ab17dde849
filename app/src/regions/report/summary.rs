//! The summary for the household, in plain words.

use couplet_core::coupling::Join;
use couplet_core::findings::Verdict;
use couplet_core::household::AcSide;
use couplet_core::outage::{OffGridFigures, StartSoc};
use couplet_core::parts_list::{Quantity, State};
use couplet_core::year::Figures;
use leptos::prelude::*;

use super::asked;
use super::told::Told;
use crate::format;
use crate::judged::Tally;
use crate::parts::fuel;
use crate::regions::drills;
use crate::regions::survival::hours;
use crate::words::{Level, findings as words};
use crate::work::protocol::Found;

/// How many things that break are named in the summary.
const MOST_NAMED: usize = 6;

/// The section.
pub(super) fn summary(told: &Told) -> AnyView {
    let paragraphs = [
        Some(joins(told)),
        storage(told),
        year(told),
        outage(told),
        Some(parts(told)),
    ];
    let paragraphs = paragraphs
        .into_iter()
        .flatten()
        .map(|words| view! { <p>{words}</p> })
        .collect_view();
    let invented = told
        .household
        .invented
        .then(|| view! { <p class="note">"This household is an invented demonstration; nothing here is a real home."</p> });
    view! {
        {invented}
        {paragraphs}
        {judged(told)}
    }
    .into_any()
}

/// Names with "and" before the last.
fn listed(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [before @ .., last] => format!("{} and {last}", before.join(", ")),
    }
}

/// Which array joins where.
fn joins(told: &Told) -> String {
    let option = &told.option;
    let named = |wanted: &dyn Fn(Join) -> bool| -> Vec<String> {
        option
            .arrays
            .iter()
            .filter(|array| option.join(array).is_some_and(wanted))
            .map(|array| format!("{} ({})", array.name, format::power(array.peak_w).text()))
            .collect()
    };
    let total_w: f64 = option.arrays.iter().map(|array| array.peak_w).sum();
    let main = named(&|join| join == Join::Ac(AcSide::GridSide));
    let backed_up = named(&|join| join == Join::Ac(AcSide::BackedUp));
    let dc = named(&|join| matches!(join, Join::Dc(_)));
    let on_main = if told.household.service.utility {
        "through an inverter of its own on the main panel"
    } else {
        "on the side that has no grid, where it gives nothing"
    };
    let ways = [
        (main, on_main),
        (
            backed_up,
            if told.household.service.utility {
                "through an inverter of its own on the backed-up panel"
            } else {
                "through an inverter of its own on the home's own bus"
            },
        ),
        (dc, "straight to the storage, on direct current"),
    ];
    let sentences: Vec<String> = ways
        .into_iter()
        .filter(|(names, _)| !names.is_empty())
        .map(|(names, way)| {
            let verb = if names.len() == 1 { "joins" } else { "join" };
            format!("{} {verb} {way}.", listed(&names))
        })
        .collect();
    if sentences.is_empty() {
        return "No solar array joins anything in this option.".to_owned();
    }
    format!(
        "{} of solar modules in all. {}",
        format::power(total_w).text(),
        sentences.join(" ")
    )
}

fn storage(told: &Told) -> Option<String> {
    let units: Vec<String> = told
        .option
        .storage
        .iter()
        .map(|unit| {
            format!(
                "{} holds {} and gives or takes up to {}, on the {}",
                unit.name,
                format::energy(unit.battery.usable_wh).text(),
                format::power(unit.inverter.rated_w).text(),
                match unit.side {
                    AcSide::GridSide => "main panel: it cannot run the house without the grid",
                    AcSide::BackedUp if told.household.service.utility => "backed-up panel",
                    AcSide::BackedUp => "home's own bus, which it holds",
                }
            )
        })
        .collect();
    (!units.is_empty()).then(|| format!("{}.", units.join("; ")))
}

fn year(told: &Told) -> Option<String> {
    let figures = told.figures.as_ref()?;
    if let Some(year) = &figures.off_grid {
        return Some(off_grid(told, figures, year));
    }
    let currency = told.currency();
    let energy = |energy_wh: f64| format::energy(energy_wh).text();
    let bill = |bill_cur: Option<f64>| {
        bill_cur
            .map(|bill_cur| format!(", and the bill is {}", format::money(bill_cur, currency)))
            .unwrap_or_default()
    };
    let before = told.as_it_stands.as_ref().map(|before| {
        format!(
            " As it stands {} are bought{}.",
            energy(before.import_wh),
            bill(before.bill_cur)
        )
    });
    let own = figures.self_sufficiency.map(|share| {
        format!(
            " {} of what is used comes from the own roof.",
            format::percent(share, 0).text()
        )
    });
    Some(format!(
        "In a year of usual weather the house uses {}, buys {} and sells {}{}.{}{}",
        energy(figures.load_wh),
        energy(figures.import_wh),
        energy(figures.export_wh),
        bill(figures.bill_cur),
        own.unwrap_or_default(),
        before.unwrap_or_default()
    ))
}

/// A year without a grid.
fn off_grid(told: &Told, figures: &Figures, year: &OffGridFigures) -> String {
    let dark = if year.dark_h > 0.0 {
        format!(
            "It is dark for {}\u{a0}h of the year, at the longest for {}\u{a0}h{}.",
            format::number(year.dark_h, 0),
            format::number(year.longest_dark_h, 0),
            if year.ends_dark {
                ", and dark when the year ends"
            } else {
                ""
            }
        )
    } else {
        "It is never dark.".to_owned()
    };
    let generator = if year.generator_h > 0.0 {
        format!(
            " The generator runs for {}\u{a0}h and burns {}.",
            format::number(year.generator_h, 0),
            fuel(year.fuel_l, 0, told.units)
        )
    } else {
        String::new()
    };
    let own = figures.self_sufficiency.map(|share| {
        format!(
            " {} of what is used comes from the sun.",
            format::percent(share, 0).text()
        )
    });
    format!(
        "There is no grid. In a year of usual weather {} of the {} that are wanted are served. {dark}{generator}{}",
        format::percent(year.served_share, 1).text(),
        format::energy(year.wanted_wh).text(),
        own.unwrap_or_default()
    )
}

/// How long outages at any hour of the year last, with the batteries as normal running leaves them.
fn survival(told: &Told) -> Option<String> {
    let Some(Found::SurvivalByCharge(all)) = told.survival.as_deref() else {
        return None;
    };
    let year = &(all
        .iter()
        .find(|survival| survival.start == StartSoc::AsRun)?)
    .year;
    if year.went_dark == 0 {
        return Some(
            " Tried from every hour of the year, no outage goes dark within a week.".to_owned(),
        );
    }
    let a_day = year.lasting.get(23).copied().unwrap_or_default();
    Some(format!(
        " Tried from every hour of the year, {} of the outages last a whole day without a dark hour, and the shortest is dark after {}.",
        format::percent(a_day, 0).text(),
        hours(year.worst_h)
    ))
}

fn outage(told: &Told) -> Option<String> {
    if !told.household.service.utility {
        return None;
    }
    if !asked::islands(&told.option) {
        return Some("When the grid goes, everything goes dark with it.".to_owned());
    }
    let drill = told
        .drill
        .as_ref()
        .and_then(|found| drills::told(&told.option, found, Level::Plain, told.units))
        .map(|drill| format!(" An outage was tried: {}", drill.head));
    Some(format!(
        "When the grid goes, what is wired to the backed-up panel goes on as long as battery, sun and inverter can carry it.{}{}",
        survival(told).unwrap_or_default(),
        drill.unwrap_or_default()
    ))
}

fn parts(told: &Told) -> String {
    let items = told.parts();
    let new = items.iter().filter(|item| item.state == State::New).count();
    if new == 0 {
        return "Nothing is to be bought for this option.".to_owned();
    }
    let open = items
        .iter()
        .filter(|item| item.state == State::NotKnown || item.quantity == Quantity::NotKnown)
        .count();
    format!(
        "The parts list has {new} lines to be bought; {open} lines are open until more is known."
    )
}

fn judged(told: &Told) -> Option<AnyView> {
    let findings = told.findings.as_ref()?;
    let tally = Tally::of(findings.iter());
    let counts: Vec<String> = [
        Verdict::Breaks,
        Verdict::Watch,
        Verdict::NotJudged,
        Verdict::Holds,
    ]
    .map(|verdict| words::counted(verdict, tally.count(verdict)))
    .to_vec();
    let breaking: Vec<_> = findings
        .iter()
        .filter(|finding| finding.verdict == Verdict::Breaks)
        .take(MOST_NAMED)
        .map(|finding| {
            let wanted = words::wanted(finding, Level::Plain, told.details.code);
            let part = told.part(finding.part);
            let remedy = match finding.remedy.as_str() {
                "" => String::new(),
                remedy => format!(" {}.", words::capital(remedy)),
            };
            let wanted = wanted.trim_end_matches('.');
            view! { <li>{format!("{part}: {wanted}.{remedy}")}</li> }
        })
        .collect();
    let named = (!breaking.is_empty()).then(|| {
        view! {
            <p>"What breaks a rule and must be mended first:"</p>
            <ul>{breaking}</ul>
        }
    });
    Some(
        view! {
            <p>
                {format!("Of the electrical rules that were checked, by {}, {}.", told.details.code, counts.join(", "))}
            </p>
            {named}
        }
        .into_any(),
    )
}

#[cfg(test)]
mod tests {
    use super::listed;

    #[test]
    fn names_are_listed_as_people_say_them() {
        let names = |names: &[&str]| {
            listed(
                &names
                    .iter()
                    .map(|name| (*name).to_owned())
                    .collect::<Vec<_>>(),
            )
        };
        assert_eq!(names(&["A"]), "A");
        assert_eq!(names(&["A", "B"]), "A and B");
        assert_eq!(names(&["A", "B", "C"]), "A, B and C");
    }
}
