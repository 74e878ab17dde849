//! Kinds of tariff, as a bill shows them at first sight, and invented examples of each.

use super::tariff::{
    CarryOver, DayKind, DemandCharge, Export, ExportPrice, Period, Surplus, Tariff, TaxOn, Tier,
    TiersBy, Window,
};
use crate::limits;

/// How the price of bought energy varies.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum TariffKind {
    /// One price.
    #[default]
    Flat,
    /// By hours, days or months.
    ByHours,
    /// By the energy of the month.
    Tiers,
    /// By both.
    HoursAndTiers,
}

impl Tariff {
    /// How its price varies.
    #[must_use]
    pub fn kind(&self) -> TariffKind {
        let tiers = self.periods.iter().any(|period| period.tiers.len() > 1);
        match (self.periods.len() > 1, tiers) {
            (false, false) => TariffKind::Flat,
            (true, false) => TariffKind::ByHours,
            (false, true) => TariffKind::Tiers,
            (true, true) => TariffKind::HoursAndTiers,
        }
    }

    /// Makes it one of another kind: hours that there must not be go, and where some are missing there come those of an evening;
    /// so with tiers. The other prices stay.
    ///
    /// Where hours and tiers come together, tiers count the whole month. Common practice.
    pub fn set_kind(&mut self, kind: TariffKind) {
        if kind == TariffKind::HoursAndTiers && self.kind() != kind {
            self.tiers_by = TiersBy::WholeMonth;
        }
        let hours = matches!(kind, TariffKind::ByHours | TariffKind::HoursAndTiers);
        let tiers = matches!(kind, TariffKind::Tiers | TariffKind::HoursAndTiers);
        if self.periods.is_empty() {
            let price = limits::TIER_CUR_PER_KWH.default;
            self.periods
                .push(Period::at_one_price("All hours", Vec::new(), price));
        }
        if !hours && self.periods.len() > 1 {
            self.periods.drain(..self.periods.len() - 1);
            self.name_last("All hours");
        } else if hours && self.periods.len() == 1 {
            self.name_last("Other hours");
            let other = self.first_price(0);
            let dear = Period {
                sell_cur_per_kwh: self
                    .periods
                    .first()
                    .map_or(0.0, |other| other.sell_cur_per_kwh),
                ..Period::at_one_price("Evening", vec![evening()], 1.6 * other)
            };
            self.periods.insert(0, dear);
        }
        for period in &mut self.periods {
            if !tiers {
                period.tiers.truncate(1);
            } else if period.tiers.len() == 1 {
                let first = period.tiers.first().map_or(0.0, |tier| tier.cur_per_kwh);
                period.tiers.push(Tier {
                    up_to_wh: None,
                    cur_per_kwh: 1.3 * first,
                });
            }
            let last = period.tiers.len().saturating_sub(1);
            for (place, tier) in period.tiers.iter_mut().enumerate() {
                let end_wh = tier.up_to_wh.unwrap_or(limits::TIER_UP_TO_WH.default);
                tier.up_to_wh = (place < last).then_some(end_wh);
            }
        }
    }

    /// Sets where a tier of a period ends, Wh. Where tiers count the whole month, the same tier of other periods follows if it ended at the
    /// same energy.
    pub fn set_tier_end(&mut self, period: usize, tier: usize, up_to_wh: f64) {
        let end = |period: &Period| period.tiers.get(tier).and_then(|tier| tier.up_to_wh);
        let before = self.periods.get(period).and_then(end);
        let follow = self.tiers_by == TiersBy::WholeMonth;
        for (place, other) in self.periods.iter_mut().enumerate() {
            if (place == period || follow && end(other) == before)
                && let Some(tier) = other.tiers.get_mut(tier)
                && tier.up_to_wh.is_some()
            {
                tier.up_to_wh = Some(up_to_wh);
            }
        }
    }

    /// Adds a tier to a period: the last one gets an end twice that of the one before it. Where tiers count the whole month, periods of the
    /// same tiers get it too.
    pub fn add_tier(&mut self, period: usize) {
        for period in self.alike(period) {
            let before_wh = period.tiers.iter().rev().find_map(|tier| tier.up_to_wh);
            let end_wh = before_wh.map_or(limits::TIER_UP_TO_WH.default, |wh| 2.0 * wh);
            if let Some(last) = period.tiers.last_mut() {
                last.up_to_wh = Some(end_wh.min(limits::TIER_UP_TO_WH.most));
                let next = Tier {
                    up_to_wh: None,
                    ..*last
                };
                period.tiers.push(next);
            }
        }
    }

    /// Takes a tier away from a period, and where tiers count the whole month from periods of the same tiers.
    pub fn remove_tier(&mut self, period: usize, tier: usize) {
        for period in self.alike(period) {
            if tier < period.tiers.len() && period.tiers.len() > 1 {
                period.tiers.remove(tier);
            }
            if let Some(last) = period.tiers.last_mut() {
                last.up_to_wh = None;
            }
        }
    }

    /// A period, and those whose tiers end alike where they count the whole month.
    fn alike(&mut self, period: usize) -> impl Iterator<Item = &mut Period> {
        let ends = |period: &Period| -> Vec<Option<f64>> {
            period.tiers.iter().map(|tier| tier.up_to_wh).collect()
        };
        let follow = self.tiers_by == TiersBy::WholeMonth;
        let of = self.periods.get(period).map(ends);
        self.periods
            .iter_mut()
            .enumerate()
            .filter(move |(place, other)| *place == period || follow && Some(ends(other)) == of)
            .map(|(_, period)| period)
    }

    fn name_last(&mut self, name: &str) {
        if let Some(last) = self.periods.last_mut() {
            name.clone_into(&mut last.name);
        }
    }

    /// Price of bought energy in the first tier of a period, currency per kWh; 0 if there is none.
    #[must_use]
    pub fn first_price(&self, period: usize) -> f64 {
        let tiers = self.periods.get(period).map(|period| &period.tiers);
        tiers
            .and_then(|tiers| tiers.first())
            .map_or(0.0, |tier| tier.cur_per_kwh)
    }
}

/// 16:00 to 21:00 on weekdays.
fn evening() -> Window {
    Window {
        months: [true; 12],
        days: DayKind::Weekdays,
        from_h: limits::WINDOW_FROM_H.default,
        to_h: limits::WINDOW_TO_H.default,
    }
}

/// Invented tariffs, one of each sort; of no utility.
///
/// - `currency`, `clock_rule`: as in [`Tariff`]
#[must_use]
pub fn example_tariffs(currency: &str, clock_rule: Option<&str>) -> Vec<Tariff> {
    let tariff = |name: &str, periods, export| Tariff {
        name: name.to_owned(),
        currency: currency.to_owned(),
        clock_rule: clock_rule.map(str::to_owned),
        holidays: Vec::new(),
        fixed_cur_per_month: 10.0,
        fixed_cur_per_day: 0.0,
        minimum_cur_per_month: 0.0,
        periods,
        tiers_by: TiersBy::EachPeriod,
        demand: Vec::new(),
        export,
        tax: 0.0,
        tax_on: TaxOn::ToPay,
    };
    let all = |price| vec![Period::at_one_price("All hours", Vec::new(), price)];
    let sold_at = |cur_per_kwh| Export::NetBilling {
        price: ExportPrice::Flat { cur_per_kwh },
        surplus: Surplus::Paid,
    };
    let window = |months, days, from_h, to_h| Window {
        months,
        days,
        from_h,
        to_h,
    };
    let mut summer = [false; 12];
    summer[5..9].fill(true);
    let year = [true; 12];
    let by_hours = |windows, dear, other| {
        vec![
            Period::at_one_price("Evening", windows, dear),
            Period::at_one_price(
                "Night",
                vec![window(year, DayKind::All, 23.0, 6.0)],
                0.6 * other,
            ),
            Period::at_one_price("Other hours", Vec::new(), other),
        ]
    };
    let mut tiers = all(0.15);
    for period in &mut tiers {
        period.tiers = [
            (Some(300_000.0), 0.15),
            (Some(800_000.0), 0.19),
            (None, 0.26),
        ]
        .map(|(up_to_wh, cur_per_kwh)| Tier {
            up_to_wh,
            cur_per_kwh,
        })
        .to_vec();
    }
    let mut demand = tariff("Invented: highest power counts", all(0.11), sold_at(0.05));
    demand.demand.push(DemandCharge {
        name: "Evening power".to_owned(),
        windows: vec![evening()],
        interval_s: 3_600,
        cur_per_kw: 9.0,
    });
    vec![
        tariff("Invented: one price", all(0.24), sold_at(0.08)),
        tariff(
            "Invented: evening and night",
            by_hours(
                vec![window(year, DayKind::Weekdays, 16.0, 21.0)],
                0.38,
                0.20,
            ),
            sold_at(0.07),
        ),
        tariff(
            "Invented: dear summer afternoons",
            by_hours(vec![window(summer, DayKind::All, 14.0, 20.0)], 0.46, 0.19),
            sold_at(0.06),
        ),
        tariff("Invented: tiers", tiers, sold_at(0.05)),
        demand,
        tariff(
            "Invented: net metering",
            all(0.21),
            Export::NetMetering {
                carry_over: CarryOver::Yearly { first_month: 3 },
                cash_out_cur_per_kwh: 0.03,
            },
        ),
        tariff(
            "Invented: all sun is sold",
            all(0.30),
            Export::AllSold { cur_per_kwh: 0.11 },
        ),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::problems;
    use crate::document::demo;

    #[test]
    fn every_kind_can_be_made_of_every_other_and_passes_the_check() {
        use TariffKind::{ByHours, Flat, HoursAndTiers, Tiers};
        for from in [Flat, ByHours, Tiers, HoursAndTiers] {
            for to in [Flat, ByHours, Tiers, HoursAndTiers] {
                let mut household = demo();
                household.tariff.set_kind(from);
                household.tariff.set_kind(to);
                assert_eq!(household.tariff.kind(), to);
                let hours = household.tariff.periods.len() > 1;
                let name = if hours { "Other hours" } else { "All hours" };
                let last = household.tariff.periods.last().unwrap();
                assert_eq!(last.name, name);
                assert_eq!(problems(&household), Vec::new(), "{from:?} to {to:?}");
            }
        }
    }

    #[test]
    fn tiers_of_the_whole_month_stay_alike_and_those_of_a_period_are_its_own() {
        let mut tariff = demo().tariff;
        tariff.set_kind(TariffKind::HoursAndTiers);
        assert_eq!(tariff.tiers_by, TiersBy::WholeMonth);
        let ends = |tariff: &Tariff| -> Vec<Vec<Option<f64>>> {
            (tariff.periods.iter())
                .map(|period| period.tiers.iter().map(|tier| tier.up_to_wh).collect())
                .collect()
        };
        tariff.set_tier_end(1, 0, 400e3);
        tariff.add_tier(0);
        assert_eq!(ends(&tariff), vec![vec![Some(400e3), Some(800e3), None]; 3]);
        tariff.remove_tier(2, 0);
        assert_eq!(ends(&tariff), vec![vec![Some(800e3), None]; 3]);
        tariff.tiers_by = TiersBy::EachPeriod;
        tariff.set_tier_end(1, 0, 100e3);
        tariff.add_tier(2);
        assert_eq!(
            ends(&tariff),
            [
                vec![Some(800e3), None],
                vec![Some(100e3), None],
                vec![Some(800e3), Some(1600e3), None]
            ]
        );
    }

    #[test]
    fn examples_pass_the_check_and_say_that_they_are_invented() {
        for tariff in example_tariffs("EUR", Some("CET-1CEST,M3.5.0,M10.5.0/3")) {
            assert!(tariff.name.starts_with("Invented"));
            let mut household = demo();
            household.tariff = tariff;
            assert_eq!(problems(&household), Vec::new());
        }
    }
}
