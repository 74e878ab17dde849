//! A running rule in words, as the schedule names its fields.

use couplet_core::bill::DayKind;
use couplet_core::coupling::{DcOrder, OwnHours, Running, RunningRule, WindowAim};

use super::{Level, Word};
use crate::format;

/// A rule in words.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct RuleWords {
    /// What it is, and what belongs to it as a whole.
    pub(crate) head: String,
    /// Its own hours, in their order; empty for rules without.
    pub(crate) hours: Vec<String>,
}

impl RuleWords {
    /// All in one line.
    pub(crate) fn line(&self) -> String {
        std::iter::once(self.head.as_str())
            .chain(self.hours.iter().map(String::as_str))
            .collect::<Vec<_>>()
            .join("; ")
    }
}

/// A running rule in words; the order of DC PV where it is another than in the rule in use.
pub(crate) fn rule(running: &Running, in_use: Option<&Running>, level: Level) -> RuleWords {
    let mut head = Vec::new();
    let mut hours = Vec::new();
    match &running.rule {
        RunningRule::SelfConsumption => head.push("own use".to_owned()),
        RunningRule::TimeOfUse {
            discharge_in_middle_hours,
            grid_charge_to_soc,
            sell_from_battery,
        } => {
            head.push("dear and cheap hours".to_owned());
            head.push(
                if *discharge_in_middle_hours {
                    "gives in hours neither dear nor cheap"
                } else {
                    "gives in dear hours only"
                }
                .to_owned(),
            );
            if let Some(to_soc) = grid_charge_to_soc {
                head.push(format!(
                    "charged from the grid in cheap hours to {}",
                    format::percent(*to_soc, 0).text()
                ));
            }
            if *sell_from_battery {
                head.push("sells from the battery in dear hours".to_owned());
            }
        }
        RunningRule::OwnHours { windows } => {
            head.push("own hours".to_owned());
            hours.extend(windows.iter().map(|own| own_hours(own, level)));
            hours.push(Word::OutsideOwnHours.at(level).to_owned());
        }
    }
    if in_use.is_none_or(|in_use| in_use.dc_order != running.dc_order) {
        let order = match running.dc_order {
            DcOrder::LoadsBatteryGrid => "DC PV to loads \u{203a} battery \u{203a} grid",
            DcOrder::BatteryLoadsGrid => "DC PV to battery \u{203a} loads \u{203a} grid",
            DcOrder::LoadsGridBattery => "DC PV to loads \u{203a} grid \u{203a} battery",
        };
        head.push(order.to_owned());
    }
    RuleWords {
        head: head.join("; "),
        hours,
    }
}

/// Hours and what the storage does in them, such as `Nov–Feb, Mon–Fri, 23:00 to 06:00: battery is filled from the grid to 80 %`.
fn own_hours(own: &OwnHours, level: Level) -> String {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "minutes of a day"
    )]
    let time = |hour: f64| format::time((hour * 60.0).round() as u32);
    let window = &own.window;
    let days = match window.days {
        DayKind::All => "",
        DayKind::Weekdays => "Mon\u{2013}Fri",
        DayKind::WeekendsAndHolidays => "weekends and holidays",
    };
    let hours = if (window.from_h, window.to_h) == (0.0, 24.0) {
        "all day".to_owned()
    } else {
        format!("{} to {}", time(window.from_h), time(window.to_h))
    };
    let when = [months_around(window.months), days.to_owned(), hours];
    let when: Vec<String> = when.into_iter().filter(|part| !part.is_empty()).collect();
    let aim = aim(own.aim).at(level);
    let to = match own.aim {
        WindowAim::Charge { to_soc } => format!(" to {}", format::percent(to_soc, 0).text()),
        _ => String::new(),
    };
    format!("{}: battery {aim}{to}", when.join(", "))
}

/// What the storage does in hours of its own, as the schedule offers it.
fn aim(aim: WindowAim) -> Word {
    match aim {
        WindowAim::Charge { .. } => Word::AimCharge,
        WindowAim::Hold => Word::AimHold,
        WindowAim::Give => Word::AimGive,
        WindowAim::Sell => Word::AimSell,
    }
}

/// Months as they follow each other over the new year, such as `Nov–Feb`; nothing for the whole year.
pub(crate) fn months_around(months: [bool; 12]) -> String {
    let holds = |month: usize| months.get(month % 12).copied().unwrap_or(false);
    // Begin with a month whose one before is not there, so that no run is cut by the new year.
    let first = (0..12)
        .find(|month| holds(*month) && !holds(month + 11))
        .unwrap_or(0);
    let in_turn: Vec<usize> = (first..first + 12)
        .filter(|month| holds(*month))
        .map(|month| month % 12)
        .collect();
    if in_turn.is_empty() {
        return "in no month".to_owned();
    }
    months_in_words(&in_turn)
}

/// `Jun–Sep`, or `Jan–May, Oct–Dec`; nothing for the whole year. Months that follow each other in the list are told as one run.
pub(crate) fn months_in_words(months: &[usize]) -> String {
    if months.len() == 12 {
        return String::new();
    }
    months
        .chunk_by(|a, b| (a + 1) % 12 == *b)
        .map(|run| match run {
            [first, .., last] => format!(
                "{}\u{2013}{}",
                format::month_short(*first),
                format::month_short(*last)
            ),
            _ => run
                .first()
                .map_or_else(String::new, |month| format::month_short(*month)),
        })
        .collect::<Vec<_>>()
        .join(", ")
}

#[cfg(test)]
mod tests {
    use couplet_core::bill::Window;

    use super::*;

    #[test]
    fn months_in_a_row_are_told_by_their_ends() {
        assert_eq!(
            months_in_words(&[0, 1, 2, 3, 4, 9, 10, 11]),
            "Jan\u{2013}May, Oct\u{2013}Dec"
        );
        assert_eq!(months_in_words(&[5]), "Jun");
        assert_eq!(months_in_words(&(0..12).collect::<Vec<_>>()), "");
    }

    #[test]
    fn a_rule_says_all_that_it_does() {
        let running = Running {
            rule: RunningRule::TimeOfUse {
                discharge_in_middle_hours: false,
                grid_charge_to_soc: Some(0.4),
                sell_from_battery: true,
            },
            reserve_soc: 0.2,
            dc_order: DcOrder::LoadsGridBattery,
        };
        let words = rule(&running, None, Level::Plain).line();
        for part in ["dear hours only", "to 40", "sells", "grid \u{203a} battery"] {
            assert!(words.contains(part), "{words}");
        }
        assert!(
            !rule(&running, Some(&running), Level::Plain)
                .line()
                .contains("DC PV")
        );
    }

    #[test]
    fn own_hours_are_told_one_by_one_in_their_order() {
        let mut winter = [false; 12];
        for month in [10, 11, 0, 1] {
            winter[month] = true;
        }
        let own = |months, days, from_h, to_h, aim| OwnHours {
            window: Window {
                months,
                days,
                from_h,
                to_h,
            },
            aim,
        };
        let charge = WindowAim::Charge { to_soc: 0.8 };
        let running = Running {
            rule: RunningRule::OwnHours {
                windows: vec![
                    own(winter, DayKind::Weekdays, 23.0, 6.5, charge),
                    own([true; 12], DayKind::All, 0.0, 24.0, WindowAim::Hold),
                    own([false; 12], DayKind::All, 1.0, 2.0, WindowAim::Sell),
                ],
            },
            reserve_soc: 0.2,
            dc_order: DcOrder::LoadsBatteryGrid,
        };
        let RuleWords { head, hours } = rule(&running, Some(&running), Level::Plain);
        assert_eq!(head, "own hours");
        assert!(
            hours[0].starts_with("Nov\u{2013}Feb, Mon\u{2013}Fri, 23:00 to 06:30: "),
            "{hours:?}"
        );
        assert!(hours[0].contains("to 80"), "{hours:?}");
        assert!(hours[1].starts_with("all day: "), "{hours:?}");
        assert!(hours[2].starts_with("in no month"), "{hours:?}");
        assert_eq!(hours.len(), 4);
    }
}
