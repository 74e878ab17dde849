//! The base use made of appliances that switch, and a smooth rest.

use super::clouds::border_mean;
use super::path::{Block, seconds};
use crate::maths::Random;

/// The base use is kept in means of this length, s.
const QUARTER_HOUR_S: usize = 900;

/// Appliances take at most this share of a quarter-hour's use; the rest stands for all that is always on.
const SWITCHED_SHARE: f64 = 0.85;

/// Time over which the smooth rest passes from one quarter-hour to the next, s.
const REST_EDGE_S: f64 = 300.0;

/// What runs at constant power for a while.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Period {
    /// Appliance.
    pub(super) name: &'static str,
    /// When it is switched on, s from midnight.
    pub(super) at_s: usize,
    /// How long it runs, s.
    pub(super) length_s: usize,
    /// Power, W.
    pub(super) power_w: f64,
    /// Whether it starts hard.
    pub(super) starts_hard: bool,
}

/// One kind of appliance in a generic household; invented, of ordinary size.
struct Appliance {
    name: &'static str,
    power_w: f64,
    starts_hard: bool,
}

const PUMP: Appliance = Appliance {
    name: "Pump",
    power_w: 700.0,
    starts_hard: true,
};
const FRIDGE: Appliance = Appliance {
    name: "Fridge",
    power_w: 90.0,
    starts_hard: false,
};
const KETTLE: Appliance = Appliance {
    name: "Kettle",
    power_w: 2_000.0,
    starts_hard: false,
};
const HOB: Appliance = Appliance {
    name: "Hob",
    power_w: 1_500.0,
    starts_hard: false,
};
const OVEN: Appliance = Appliance {
    name: "Oven",
    power_w: 2_400.0,
    starts_hard: false,
};
const WASHER: Appliance = Appliance {
    name: "Washing machine",
    power_w: 2_000.0,
    starts_hard: false,
};

impl Appliance {
    fn period(&self, at_s: f64, length_s: f64) -> Period {
        Period {
            name: self.name,
            at_s: whole(at_s),
            length_s: whole(length_s),
            power_w: self.power_w,
            starts_hard: self.starts_hard,
        }
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to the seconds of a day"
)]
fn whole(time_s: f64) -> usize {
    time_s.clamp(0.0, 86_400.0) as usize
}

/// When the appliances of a household would run on a day, each kind on the side that `on_side` gives it.
///
/// Common practice for how long and how often; thermostats of hob and oven switch their elements on and off.
fn wished(random: &mut Random, mut on_side: impl FnMut(&mut Random) -> bool) -> [Vec<Period>; 2] {
    let mut sides = [Vec::new(), Vec::new()];
    let mut lay = |appliance: &Appliance, random: &mut Random, runs: &mut Vec<(f64, f64)>| {
        let side = usize::from(on_side(random));
        if let Some(periods) = sides.get_mut(side) {
            periods.extend(
                runs.drain(..)
                    .map(|(at_s, length_s)| appliance.period(at_s, length_s)),
            );
        }
    };
    let mut runs: Vec<(f64, f64)> = Vec::new();
    let between =
        |random: &mut Random, least: f64, most: f64| least + (most - least) * random.share();

    for hour in [1.0, 6.0, 8.0, 11.0, 13.0, 15.0, 18.0, 21.0] {
        let at_s = 3_600.0 * (hour + between(random, 0.0, 2.0));
        runs.push((at_s, between(random, 60.0, 180.0)));
    }
    lay(&PUMP, random, &mut runs);

    let mut at_s = between(random, 0.0, 2_400.0);
    while at_s < 86_400.0 {
        let length_s = between(random, 700.0, 1_100.0);
        runs.push((at_s, length_s));
        at_s += length_s + between(random, 1_400.0, 2_200.0);
    }
    lay(&FRIDGE, random, &mut runs);

    for hour in [6.5, 7.5, 10.0, 12.5, 15.5, 19.0, 21.0] {
        let at_s = 3_600.0 * (hour + between(random, -0.5, 0.8));
        runs.push((at_s, between(random, 100.0, 240.0)));
    }
    lay(&KETTLE, random, &mut runs);

    for hour in [7.0, 12.0, 18.2] {
        let begin_s = 3_600.0 * (hour + between(random, -0.4, 0.4));
        let end_s = begin_s + between(random, 900.0, 1_800.0);
        let mut at_s = begin_s;
        while at_s < end_s {
            let length_s = between(random, 15.0, 30.0);
            runs.push((at_s, length_s));
            at_s += length_s + between(random, 20.0, 45.0);
        }
    }
    lay(&HOB, random, &mut runs);

    if random.share() < 0.6 {
        let begin_s = 3_600.0 * between(random, 11.0, 18.5);
        runs.push((begin_s, between(random, 300.0, 480.0)));
        let mut at_s = begin_s + 560.0;
        while at_s < begin_s + 3_000.0 {
            let length_s = between(random, 40.0, 70.0);
            runs.push((at_s, length_s));
            at_s += length_s + between(random, 80.0, 150.0);
        }
    }
    lay(&OVEN, random, &mut runs);

    if random.share() < 0.5 {
        let begin_s = 3_600.0 * between(random, 8.5, 15.0);
        runs.push((begin_s, between(random, 420.0, 780.0)));
    }
    lay(&WASHER, random, &mut runs);
    sides
}

/// The base use of one side, second by second.
pub(super) struct BaseSeconds {
    /// Power, W.
    pub(super) power_w: Vec<f64>,
    /// The runs that found room, in order of time.
    pub(super) periods: Vec<Period>,
}

/// Makes the base use of both sides of appliances and a smooth rest.
///
/// - `grid_side_w`, `backed_up_w`: base use of each side in steps of 1 s over whole quarter-hours, W, at least 0
/// - `backed_up_share`: how likely an appliance is wired to the backed-up side, 0 to 1
///
/// Each quarter-hour of each side keeps its mean: a run that asks for more than there is in any of its quarter-hours does not
/// take place.
pub(super) fn base_seconds(
    grid_side_w: &[f64],
    backed_up_w: &[f64],
    backed_up_share: f64,
    random: &mut Random,
) -> [BaseSeconds; 2] {
    let [grid_side, backed_up] = wished(random, |random| random.share() < backed_up_share);
    [
        side_seconds(grid_side_w, grid_side),
        side_seconds(backed_up_w, backed_up),
    ]
}

fn side_seconds(base_w: &[f64], wished: Vec<Period>) -> BaseSeconds {
    let mean_w: Vec<f64> = base_w
        .chunks(QUARTER_HOUR_S)
        .map(|quarter| quarter.iter().sum::<f64>() / seconds(quarter.len()))
        .collect();
    let mut switched_ws = vec![0.0; mean_w.len()];
    let mut switched_w = vec![0.0; base_w.len()];
    let mut periods = Vec::new();
    for period in wished {
        let end_s = period.at_s + period.length_s;
        if period.length_s == 0 || end_s > base_w.len() {
            continue;
        }
        let quarters = period.at_s / QUARTER_HOUR_S..=(end_s - 1) / QUARTER_HOUR_S;
        let taken_ws = |quarter: usize| {
            let from_s = period.at_s.max(quarter * QUARTER_HOUR_S);
            let to_s = end_s.min((quarter + 1) * QUARTER_HOUR_S);
            period.power_w * seconds(to_s.saturating_sub(from_s))
        };
        let fits = quarters.clone().all(|quarter| {
            let most_ws = mean_w.get(quarter).copied().unwrap_or(0.0)
                * SWITCHED_SHARE
                * seconds(QUARTER_HOUR_S);
            switched_ws.get(quarter).copied().unwrap_or(f64::INFINITY) + taken_ws(quarter)
                <= most_ws
        });
        if !fits {
            continue;
        }
        for quarter in quarters {
            if let Some(sum_ws) = switched_ws.get_mut(quarter) {
                *sum_ws += taken_ws(quarter);
            }
        }
        if let Some(running_w) = switched_w.get_mut(period.at_s..end_s) {
            running_w
                .iter_mut()
                .for_each(|sum_w| *sum_w += period.power_w);
        }
        periods.push(period);
    }
    periods.sort_by_key(|period| period.at_s);

    let rest_w: Vec<f64> = (mean_w.iter().zip(&switched_ws))
        .map(|(mean_w, sum_ws)| mean_w - sum_ws / seconds(QUARTER_HOUR_S))
        .collect();
    let mut power_w = vec![0.0; base_w.len()];
    for (quarter, (mean, seconds_w)) in rest_w
        .iter()
        .zip(power_w.chunks_mut(QUARTER_HOUR_S))
        .enumerate()
    {
        let block = Block {
            from: border_mean(&rest_w, quarter),
            to: border_mean(&rest_w, quarter + 1),
            mean: *mean,
            edge_s: REST_EDGE_S,
            most: f64::INFINITY,
        };
        block.fill(seconds_w);
    }
    for (power_w, switched_w) in power_w.iter_mut().zip(&switched_w) {
        *power_w += switched_w;
    }
    BaseSeconds { power_w, periods }
}
