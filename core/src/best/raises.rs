//! By how much the price in each account is raised: the model that the search of [`super::best_settled`] makes from its plans.
//!
//! Every plan gives, for each stretch of the year, a straight line above the least cost as a function of the raises in that stretch and of
//! what stored energy is worth at its borders, which the stretches on both sides of a border pay each other. The least of those lines is the
//! model; the next raises are where the model less the accounts' own part is highest, not far from the
//! best raises so far. That search is a concave quadratic program, solved from its dual: a weight for each plan in each stretch,
//! moved between two plans at a time.
//!
//! Source: proximal bundle method, Lemaréchal, Nemirovskii and Nesterov, Math. Program. 69 (1995) 111-147,
//! doi:10.1007/BF01585555; steps between two weights: Platt, Microsoft Research MSR-TR-98-14 (1998); raises that may not rise in a
//! row by pooling neighbours: Ayer et al., Ann. Math. Stat. 26 (1955) 641-647, doi:10.1214/aoms/1177728423.

/// Energy that is settled as one, such as that of a month and period.
///
/// With so much energy `e` in it, an account costs `max (x e - sum of (x - at) * after where x > at)` over the raises `x` from the least
/// to the most, on top of what the steps' own prices say: convex in `e`, in straight pieces.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Account {
    /// The stretch of steps that it lies in, such as a month, from 0.
    pub stretch: usize,
    /// Least raise of the price, currency per kWh; below 0 where surplus earns less than the steps' own price.
    pub least_cur_per_kwh: f64,
    /// Most raise of the price, currency per kWh.
    pub most_cur_per_kwh: f64,
    /// Where the price rises with the energy, in rising order.
    pub rises: Vec<Rise>,
}

/// A rise of the marginal price.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rise {
    /// Raise of the price from which it rises, currency per kWh.
    pub at_cur_per_kwh: f64,
    /// Energy that passes at that raise before the price rises further, kWh.
    pub after_kwh: f64,
}

impl Account {
    /// What is taken off `raise · energy`, currency.
    pub(super) fn taken_off_cur(&self, raise: f64) -> f64 {
        (self.rises.iter())
            .map(|rise| (raise - rise.at_cur_per_kwh).max(0.0) * rise.after_kwh)
            .sum()
    }
}

/// What a plan says of the least cost: in each stretch `constant + sum of raise · energy`.
#[derive(Clone, Debug)]
pub(super) struct Line {
    /// Raises at which the plan is cheapest, by account, and after them what stored energy is worth, by border, currency per kWh.
    pub(super) raise: Vec<f64>,
    /// By stretch, currency.
    pub(super) constant_cur: Vec<f64>,
    /// By account, kWh.
    pub(super) energy_kwh: Vec<f64>,
    /// Stored by border, kWh.
    pub(super) stored_kwh: Vec<f64>,
    /// What the true rule asks of the plan, by stretch.
    pub(super) passed: Vec<Vec<f64>>,
}

/// The model.
pub(super) struct Model<'a> {
    accounts: &'a [Account],
    /// Accounts in rows in which the raise may not rise.
    rows: &'a [Vec<usize>],
    /// Stretches before and after each border.
    borders: Vec<(usize, usize)>,
    /// Accounts of each stretch.
    of_stretch: Vec<Vec<usize>>,
    /// Rows of each stretch.
    rows_of_stretch: Vec<Vec<usize>>,
    pub(super) lines: Vec<Line>,
    /// Weight of each line in each stretch, as the last search left them.
    pub(super) weight: Vec<Vec<f64>>,
}

impl<'a> Model<'a> {
    pub(super) fn new(
        accounts: &'a [Account],
        rows: &'a [Vec<usize>],
        borders: Vec<(usize, usize)>,
    ) -> Self {
        let stretches = accounts.iter().map(|account| account.stretch + 1).max();
        let stretches = stretches.unwrap_or(0);
        let mut of_stretch = vec![Vec::new(); stretches];
        for (place, account) in accounts.iter().enumerate() {
            of_stretch[account.stretch].push(place);
        }
        let mut rows_of_stretch = vec![Vec::new(); stretches];
        for (place, row) in rows.iter().enumerate() {
            for account in row {
                if let Some(account) = accounts.get(*account) {
                    rows_of_stretch[account.stretch].push(place);
                }
            }
        }
        rows_of_stretch.iter_mut().for_each(Vec::dedup);
        Self {
            accounts,
            rows,
            borders,
            of_stretch,
            rows_of_stretch,
            lines: Vec::new(),
            weight: vec![Vec::new(); stretches],
        }
    }

    pub(super) fn stretches(&self) -> usize {
        self.of_stretch.len()
    }

    pub(super) fn push(&mut self, line: Line) {
        for weight in &mut self.weight {
            weight.push(if weight.is_empty() { 1.0 } else { 0.0 });
        }
        self.lines.push(line);
    }

    /// Raises that are marginal at these energies: the dearest that the accounts ask for.
    pub(super) fn marginal(&self, energy_kwh: &[f64]) -> Vec<f64> {
        const FAR: f64 = 1e9;
        let mut raise = vec![0.0; self.accounts.len() + self.borders.len()];
        let (center, reach) = (raise.clone(), vec![FAR; raise.len()]);
        for row in self.rows {
            self.raise_row(row, energy_kwh, &center, &reach, &mut raise);
        }
        raise
    }

    /// What the accounts take off, currency.
    pub(super) fn taken_off_cur(&self, raise: &[f64]) -> f64 {
        (self.accounts.iter().zip(raise))
            .map(|(account, raise)| account.taken_off_cur(*raise))
            .sum()
    }

    /// What a line counts in a stretch, by place among the raises, kWh.
    fn terms(&self, stretch: usize, line: &Line) -> impl Iterator<Item = (usize, f64)> {
        let accounts = self.of_stretch[stretch].iter();
        let count = self.accounts.len();
        let borders = self.borders.iter().zip(&line.stored_kwh).enumerate();
        let stored = borders.filter_map(move |(place, ((before, after), stored_kwh))| {
            let sign = if *before == stretch {
                1.0
            } else if *after == stretch {
                -1.0
            } else {
                return None;
            };
            Some((count + place, sign * stored_kwh))
        });
        accounts
            .map(|account| (*account, line.energy_kwh[*account]))
            .chain(stored)
    }

    fn value_cur(&self, stretch: usize, line: &Line, raise: &[f64]) -> f64 {
        line.constant_cur[stretch]
            + self
                .terms(stretch, line)
                .map(|(place, kwh)| raise[place] * kwh)
                .sum::<f64>()
    }

    /// What the model gives at these raises, less what the accounts take off, currency.
    pub(super) fn at_cur(&self, raise: &[f64]) -> f64 {
        let least = |stretch| {
            (self.lines.iter())
                .map(|line| self.value_cur(stretch, line, raise))
                .fold(f64::INFINITY, f64::min)
        };
        (0..self.stretches()).map(least).sum::<f64>() - self.taken_off_cur(raise)
    }

    /// The raises where the model is highest, less `(raise - center)² / (2 reach)` in each account. Keeps the weights.
    ///
    /// - `within_cur`: two plans of a stretch that differ by less are as good as each other
    pub(super) fn highest(&mut self, center: &[f64], reach: &[f64], within_cur: f64) -> Vec<f64> {
        const MOST_PASSES: usize = 400;
        let mut raise = center.to_vec();
        let mut energy_kwh = self.mean_energy_kwh();
        for row in self.rows {
            self.raise_row(row, &energy_kwh, center, reach, &mut raise);
        }
        self.worth_of_borders(&energy_kwh, center, reach, &mut raise);
        for _ in 0..MOST_PASSES {
            let mut moved = false;
            for stretch in 0..self.stretches() {
                moved |= self.move_weight(stretch, reach, within_cur, &raise, &mut energy_kwh);
                for row in &self.rows_of_stretch[stretch] {
                    self.raise_row(&self.rows[*row], &energy_kwh, center, reach, &mut raise);
                }
                self.worth_of_borders(&energy_kwh, center, reach, &mut raise);
            }
            if !moved {
                break;
            }
        }
        raise
    }

    /// What stored energy is best worth at the borders: dearer where the stretch before hands on less than the one after takes.
    fn worth_of_borders(
        &self,
        energy_kwh: &[f64],
        center: &[f64],
        reach: &[f64],
        raise: &mut [f64],
    ) {
        for place in self.accounts.len()..raise.len() {
            raise[place] = center[place] + reach[place] * energy_kwh[place];
        }
    }

    /// Energies of the plans, mixed by their weights; by border what is handed on less what is taken, kWh.
    pub(super) fn mean_energy_kwh(&self) -> Vec<f64> {
        let mut mean_kwh = vec![0.0; self.accounts.len() + self.borders.len()];
        for stretch in 0..self.stretches() {
            for (line, weight) in self.lines.iter().zip(&self.weight[stretch]) {
                for (place, kwh) in self.terms(stretch, line) {
                    mean_kwh[place] += weight * kwh;
                }
            }
        }
        mean_kwh
    }

    /// Moves weight from the dearest plan that has some to the cheapest; says whether that was worth it.
    fn move_weight(
        &mut self,
        stretch: usize,
        reach: &[f64],
        within_cur: f64,
        raise: &[f64],
        energy_kwh: &mut [f64],
    ) -> bool {
        let (mut dear, mut cheap) = ((0, f64::NEG_INFINITY), (0, f64::INFINITY));
        for (place, line) in self.lines.iter().enumerate() {
            let value_cur = self.value_cur(stretch, line, raise);
            if self.weight[stretch][place] > 0.0 && value_cur > dear.1 {
                dear = (place, value_cur);
            }
            if value_cur < cheap.1 {
                cheap = (place, value_cur);
            }
        }
        let gain_cur = dear.1 - cheap.1;
        if gain_cur.is_nan() || gain_cur <= within_cur {
            return false;
        }
        let terms = |place: usize| self.terms(stretch, &self.lines[place]);
        let differences: Vec<(usize, f64)> = (terms(cheap.0).zip(terms(dear.0)))
            .map(|((place, cheap_kwh), (_, dear_kwh))| (place, cheap_kwh - dear_kwh))
            .collect();
        let bend: f64 = (differences.iter())
            .map(|(place, kwh)| reach[*place] * kwh * kwh)
            .sum();
        let all = self.weight[stretch][dear.0];
        let part = if bend > 0.0 {
            (gain_cur / bend).min(all)
        } else {
            all
        };
        for (place, kwh) in differences {
            energy_kwh[place] += part * kwh;
        }
        self.weight[stretch][dear.0] = (all - part).max(0.0);
        self.weight[stretch][cheap.0] += part;
        true
    }

    /// The best raises of a row at mean energies: each account's own, and where that would rise along the row, one for all neighbours.
    fn raise_row(
        &self,
        row: &[usize],
        energy_kwh: &[f64],
        center: &[f64],
        reach: &[f64],
        raise: &mut [f64],
    ) {
        let pooled = |part: &[usize]| self.pooled(part, energy_kwh, center, reach);
        // Ends of the pools, and their raises.
        let mut pools: Vec<(usize, usize, f64)> = Vec::with_capacity(row.len());
        for place in 0..row.len() {
            let mut pool = (place, place + 1, pooled(&row[place..=place]));
            while let Some(before) = pools.last().copied()
                && before.2 < pool.2
            {
                pools.pop();
                pool = (before.0, pool.1, pooled(&row[before.0..pool.1]));
            }
            pools.push(pool);
        }
        for (from, to, of_pool) in pools {
            for account in &row[from..to] {
                raise[*account] = of_pool;
            }
        }
    }

    /// The raise where `raise · energy - taken off - (raise - center)² / (2 reach)`, summed over some accounts, is highest.
    fn pooled(&self, part: &[usize], energy_kwh: &[f64], center: &[f64], reach: &[f64]) -> f64 {
        let (mut pull, mut slope) = (0.0, 0.0);
        let (mut least, mut most) = (f64::NEG_INFINITY, f64::INFINITY);
        let mut rises: Vec<Rise> = Vec::new();
        for account in part {
            pull += energy_kwh[*account] + center[*account] / reach[*account];
            slope += 1.0 / reach[*account];
            let of = &self.accounts[*account];
            least = least.max(of.least_cur_per_kwh);
            most = most.min(of.most_cur_per_kwh);
            rises.extend(&of.rises);
        }
        rises.sort_by(|a, b| a.at_cur_per_kwh.total_cmp(&b.at_cur_per_kwh));
        let (mut passed_kwh, mut from) = (0.0, f64::NEG_INFINITY);
        for rise in rises {
            let free = (pull - passed_kwh) / slope;
            if free <= rise.at_cur_per_kwh {
                return free.max(from).clamp(least, most.max(least));
            }
            passed_kwh += rise.after_kwh;
            from = rise.at_cur_per_kwh;
        }
        ((pull - passed_kwh) / slope)
            .max(from)
            .clamp(least, most.max(least))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Tiers of 100 and 200 kWh at 0.10, 0.15 and 0.30 more or less 0.10.
    fn tiers() -> Account {
        Account {
            stretch: 0,
            least_cur_per_kwh: 0.0,
            most_cur_per_kwh: 0.20,
            rises: vec![
                Rise {
                    at_cur_per_kwh: 0.0,
                    after_kwh: 100.0,
                },
                Rise {
                    at_cur_per_kwh: 0.05,
                    after_kwh: 200.0,
                },
            ],
        }
    }

    #[test]
    fn the_raise_of_the_last_kwh_gives_what_the_tiers_cost() {
        // 350 kWh: 100 at no raise, 200 at 0.05, 50 at 0.20.
        for (energy_kwh, raised_cur) in [(80.0, 0.0), (150.0, 2.5), (350.0, 20.0)] {
            let accounts = [tiers()];
            let rows = [vec![0]];
            let model = Model::new(&accounts, &rows, Vec::new());
            let raise = model.marginal(&[energy_kwh]);
            let found_cur = raise[0] * energy_kwh - model.taken_off_cur(&raise);
            assert!(
                (found_cur - raised_cur).abs() < 1e-6,
                "{energy_kwh} kWh: {raise:?}"
            );
        }
    }

    #[test]
    fn surplus_of_later_months_is_no_good_to_earlier_ones() {
        // Carried on within the year: bought 50, then 80 left, then 30 bought; paid out at 0.10 less.
        let month = |stretch| Account {
            stretch,
            least_cur_per_kwh: -0.10,
            most_cur_per_kwh: 0.0,
            rises: Vec::new(),
        };
        let accounts = [month(0), month(1), month(2)];
        let rows = [vec![0, 1, 2]];
        let model = Model::new(&accounts, &rows, Vec::new());
        assert_eq!(model.marginal(&[50.0, -80.0, 30.0]), [0.0, -0.10, -0.10]);
        assert_eq!(model.marginal(&[-80.0, 50.0, 30.0]), [0.0, 0.0, 0.0]);
        assert_eq!(model.marginal(&[-80.0, 50.0, 20.0]), [-0.10, -0.10, -0.10]);
    }
}
