//! Findings in everyday words: what each rule wants, and how it stands.

use couplet_core::findings::{Finding, Verdict};
use couplet_core::rules::{Code, Source, Term};

use super::Level;
use crate::format;

/// Stands in everyday words where the trade says earth under one code and ground under another.
const EARTH: &str = "{earth}";

/// What the rule wants: in everyday words, with a word before it where that is not so, or by its title in the trade's.
pub(crate) fn wanted(finding: &Finding, level: Level, code: Code) -> String {
    match level {
        Level::Plain => plain(finding.rule()).map_or_else(
            || capital(finding.title),
            |wish| {
                let wish = wish.replace(EARTH, Term::Earth.under(code));
                as_it_is(&wish, finding.verdict)
            },
        ),
        Level::Trade => capital(finding.title),
    }
}

/// What is wished for, told as it is: a wish alone would say that it is fulfilled.
fn as_it_is(wish: &str, verdict: Verdict) -> String {
    let before = match verdict {
        Verdict::Holds => return wish.to_owned(),
        Verdict::Breaks => "Not so",
        Verdict::Watch => "In doubt",
        Verdict::NotJudged => "Not known yet",
    };
    let mut letters = wish.chars();
    let first = letters.next().map(char::to_lowercase);
    let rest: String = first.into_iter().flatten().chain(letters).collect();
    format!("{before}: {rest}")
}

/// How it stands, such as `12 % to spare`.
pub(crate) fn standing(finding: &Finding) -> Option<String> {
    let percent = |share: f64| {
        let size = share.abs();
        format::percent(size, if size < 0.1 { 1 } else { 0 }).text()
    };
    let margin = finding.margin?;
    // A limit of nothing at all, and a limit that nothing comes near, have no share worth telling.
    if finding.limit == Some(0.0) || margin >= 1.0 {
        return None;
    }
    Some(if margin < 0.0 {
        format!("{} beyond the limit", percent(margin))
    } else if margin < 0.0005 {
        "right at the limit".to_owned()
    } else {
        format!("{} to spare", percent(margin))
    })
}

/// The margin as a share of the limit, such as `+12.5 %`.
pub(crate) fn margin(finding: &Finding) -> Option<String> {
    let share = finding.margin?;
    Some(format!("{}\u{a0}%", format::difference(100.0 * share, 1)))
}

/// Where a rule is written and how sure its words are, such as `NEC 2023, 690.13 (from memory)`.
pub(crate) fn written(source: Source) -> String {
    let status = source.status.words();
    match source.document {
        "" => status.to_owned(),
        _ => format!("{source} ({status})"),
    }
}

/// A verdict for one finding.
pub(crate) fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Breaks => "breaks",
        Verdict::Watch => "watch",
        Verdict::NotJudged => "not judged",
        Verdict::Holds => "holds",
    }
}

/// A verdict with how many there are of it, as in a sentence.
pub(crate) fn counted(verdict: Verdict, count: usize) -> String {
    match (verdict, count) {
        (Verdict::Breaks, _) => format!("{count} broken"),
        (Verdict::Watch, _) => format!("{count} to watch"),
        (Verdict::NotJudged, _) => format!("{count} not judged"),
        (Verdict::Holds, 1) => "1 holds".to_owned(),
        (Verdict::Holds, _) => format!("{count} hold"),
    }
}

/// The first letter as a capital, for words that begin a line.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

fn plain(rule: &str) -> Option<&'static str> {
    Some(match rule {
        "wiring" => "Every module is wired, in strings that the converter can use.",
        "cold-voltage" => {
            "On the coldest day the string stays below the voltage that its converter bears."
        }
        "dwelling-voltage" => {
            "On the coldest day the string stays below the voltage that is permitted on a home."
        }
        "hot-voltage" => "On a hot day the string still has enough voltage to be used.",
        "cold-working-voltage" => {
            "On a cold day the string works at a voltage that can be used in full."
        }
        "input-short-circuit" => {
            "The converter\u{2019}s input bears the most current that the modules can give."
        }
        "input-current" => "The converter\u{2019}s input can use all the current of the modules.",
        "string-fuse" => "Strings side by side are protected from one another.",
        "mppt-inputs" => "Each string that differs from the others has an input of its own.",
        "breaker" => "The breaker carries the current of this circuit for hours without tripping.",
        "conductors" => "The wires are thick enough for the current and for their breaker.",
        "parallel" => "Wires that share a current are thick enough for it, and alike.",
        "short-circuit" => "The wires bear a short circuit until it is switched off.",
        "voltage-drop" => "Little is lost along the wires.",
        "busbar" => "The metal bar inside the panel bears the grid and all sources together.",
        "feed-through" => {
            "Wires that leave through the end of the panel bear all that can flow there."
        }
        "power-control" => "The controller that holds the current down may be relied on.",
        "supply-side" => "What is joined before the main breaker stays within the connection.",
        "transfer-path" => "The transfer switch bears what flows through it.",
        "transfer-load" => "The transfer switch bears what the backed-up circuits draw.",
        "service-load" => "The main breaker is large enough for the home.",
        "unit-energy" => "No battery unit holds more energy than is permitted in one.",
        "storage-place" => "The battery stands where it may stand.",
        "battery-voltage" => "The battery\u{2019}s voltage is one that is permitted in a home.",
        "charging-temperature" => "The battery is warm enough to be charged.",
        "battery-rate" => "The battery is not asked for its energy faster than is good for it.",
        "dc-pv-power" => "The inputs for sunlight take all that the modules can give.",
        "storage-listing" => "Battery and inverter are tested and approved as one.",
        "storage-disconnect" => "The storage can be switched off and parted from everything.",
        "storage-shutdown" => "The storage can be stopped from outdoors.",
        "storage-spacing" => "There is room between the battery, other units, doors and windows.",
        "working-space" => "There is room to work in front of the storage.",
        "storage-energy" => {
            "All batteries in one place hold no more energy than is permitted there."
        }
        "bus-held" => "Something keeps the backed-up circuits alive when the grid is gone.",
        "backed-up-load" => "The inverter carries what is switched to it in an outage.",
        "stand-alone-supply" => "The inverter carries the largest single device in an outage.",
        "largest-start" => "The inverter carries the hardest start of a motor in an outage.",
        "restart" => "After the battery ran empty, something can start it again.",
        "one-to-one" => {
            "There is no more AC-joined solar on the backed-up side than the storage inverter can turn around."
        }
        "charge-acceptance" => "The battery can take all AC-joined solar of the backed-up side.",
        "held-back" => "In an outage the solar inverter can be held back when the battery is full.",
        "idle-frequency" => {
            "In an outage solar inverters join, and are not held back without need."
        }
        "neutral-bond" => {
            "Neutral and {earth} are joined in exactly one place, with the grid and without it."
        }
        "both-lines" => "In an outage both halves of the 120/240 V supply are alive.",
        "island-device" => {
            "An approved device parts the home from the grid before it runs by itself."
        }
        "export-limit" => "No more can slip out to the grid than is permitted.",
        "export-response" => "The control of what is sent out is fast enough.",
        "dc-ac-ratio" => "The modules are not far larger than their inverter.",
        "rapid-shutdown" => "Firefighters can make the roof wiring safe.",
        "arc-fault" => "An arc in the roof wiring is noticed and put out.",
        "dc-fault" => "A faulty wire on the roof is noticed.",
        "pv-disconnect" => "The solar array can be switched off and locked.",
        "label-pv-disconnect" => "The solar switch is labelled.",
        "label-pv-raceway" => "Solar wires inside the building are labelled.",
        "label-rapid-shutdown" => "A plan near the meter tells firefighters what stays live.",
        "label-sources" => "A sign tells where every source can be switched off.",
        "label-backfed" => "Breakers that are fed from a source are labelled.",
        "label-storage" => "The storage switch is labelled.",
        "label-standby" => "A sign tells that the home can run by itself.",
        "label-stand-alone" => "A sign tells that the home runs by itself.",
        "residual-current" => "A fault to {earth} behind the inverter switches its circuit off.",
        "surge-protection" => "What lightning sends along the wires is led away.",
        "generator-overload" => "Something keeps the generator from giving more than it bears.",
        "generator-neutral" => {
            "Neutral and {earth} of the generator are joined in exactly one place."
        }
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use couplet_core::coupling::{Generator, PowerLimiting};
    use couplet_core::document::demo;
    use couplet_core::findings::{DesignTemperatures, Details, findings};
    use couplet_core::household::Supply;

    fn said_of(household: &couplet_core::household::Household) -> Vec<Finding> {
        let temperatures = DesignTemperatures {
            low_c: Some(-20.0),
            low_is_estimated: false,
            high_c: Some(33.0),
        };
        household
            .options
            .iter()
            .flat_map(|option| {
                let details = Details::of(household, option, &temperatures);
                findings(household, option, &details, &temperatures)
            })
            .collect()
    }

    #[test]
    fn every_finding_has_everyday_words() {
        let mut household = demo();
        let mut all = said_of(&household);
        for panel in [
            &mut household.electrical.grid_side,
            &mut household.electrical.backed_up,
        ] {
            panel.feed_through = true;
            panel.control_a = Some(32.0);
        }
        household.service.export_limit_w = Some(0.0);
        for option in &mut household.options {
            for inverter in &mut option.pv_inverters {
                inverter.limiting = PowerLimiting::commanded();
            }
        }
        all.extend(said_of(&household));
        let mut off_grid = household.clone();
        off_grid.leave_grid();
        for option in &mut off_grid.options {
            option.generator = Some(Generator::generic("Generator".to_owned(), 6_000.0));
        }
        all.extend(said_of(&off_grid));
        household.electrical.grid_side.supply_side = true;
        household.service.supply = Supply::ThreePhase230V400V50Hz;
        all.extend(said_of(&household));
        for finding in &all {
            assert!(plain(finding.rule()).is_some(), "{}", finding.id);
        }
        assert!(all.iter().any(|finding| finding.rule() == "supply-side"));
    }

    #[test]
    fn everyday_words_are_those_of_the_code() {
        let mut household = demo();
        household.options[2].generator = Some(Generator::generic("Generator".to_owned(), 6_000.0));
        for finding in &said_of(&household) {
            let nec = wanted(finding, Level::Plain, Code::usual(household.service.supply));
            assert!(!nec.contains("earth") && !nec.contains('{'), "{nec}");
            let iec = wanted(finding, Level::Plain, Code::Iec);
            assert!(!iec.contains("ground") && !iec.contains('{'), "{iec}");
            let is_of_bond = ["neutral-bond", "generator-neutral"].contains(&finding.rule());
            assert_eq!(is_of_bond, nec.contains("ground"), "{nec}");
        }
    }

    #[test]
    fn a_wish_that_is_not_fulfilled_is_told_so() {
        let wish = "No more can slip out to the grid than is permitted.";
        assert_eq!(as_it_is(wish, Verdict::Holds), wish);
        assert_eq!(
            as_it_is(wish, Verdict::Breaks),
            "Not so: no more can slip out to the grid than is permitted."
        );
    }

    #[test]
    fn how_it_stands_agrees_with_the_margin() {
        let found = said_of(&demo());
        for finding in &found {
            let Some(said) = standing(finding) else {
                continue;
            };
            let beyond = said.contains("beyond");
            assert_eq!(
                beyond,
                finding.margin.is_some_and(|margin| margin < 0.0),
                "{said}"
            );
        }
        assert!(found.iter().any(|finding| standing(finding).is_some()));
    }
}
