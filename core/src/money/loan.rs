//! A loan paid back in equal amounts.

/// When the payments of a period are due.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Due {
    /// At its end.
    #[default]
    End,
    /// At its beginning.
    Begin,
}

/// A loan with equal payments.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Loan {
    /// Money lent, currency.
    pub principal_cur: f64,
    /// Interest per period, share.
    pub rate_per_period: f64,
    /// Number of payments.
    pub periods: u32,
    /// Still owed after the last payment, currency.
    pub balloon_cur: f64,
    /// When payments are due.
    pub due: Due,
}

impl Loan {
    /// Each payment, currency. Without periods it is 0.
    ///
    /// Derived: with `q = (1 + r)ⁿ` the payment at the end of each period is `(P q - B) r / (q - 1)`, here as
    /// `r (P + (P - B) / (q - 1))`, which stays exact for the smallest rates. Due at the beginning it is smaller by `1 + r`.
    #[must_use]
    pub fn payment_cur(&self) -> f64 {
        if self.periods == 0 {
            return 0.0;
        }
        let (r, n) = (self.rate_per_period, f64::from(self.periods));
        let repaid_cur = self.principal_cur - self.balloon_cur;
        if r == 0.0 {
            return repaid_cur / n;
        }
        let growth = libm::expm1(n * libm::log1p(r));
        r * (self.principal_cur + repaid_cur / growth) / self.growth_when_due()
    }

    /// Still owed after so many payments, currency.
    #[must_use]
    pub fn balance_cur(&self, paid: u32) -> f64 {
        let (r, k) = (self.rate_per_period, f64::from(paid.min(self.periods)));
        if r == 0.0 {
            return self.principal_cur - k * self.payment_cur();
        }
        let growth = libm::expm1(k * libm::log1p(r));
        self.principal_cur * (1.0 + growth)
            - self.payment_cur() * self.growth_when_due() * growth / r
    }

    /// Interest in payment number `period`, from 1, of a loan with payments at the end, currency.
    #[must_use]
    pub fn interest_cur(&self, period: u32) -> f64 {
        self.balance_cur(period.saturating_sub(1)) * self.rate_per_period
    }

    /// Paid in one year of so many payments, currency; `year` counts from 1.
    #[must_use]
    pub fn paid_in_year_cur(&self, year: u32, payments_per_year: u32) -> f64 {
        let before = (year.max(1) - 1).saturating_mul(payments_per_year);
        let payments = self.periods.saturating_sub(before).min(payments_per_year);
        let ends = payments > 0 && before + payments == self.periods;
        f64::from(payments) * self.payment_cur() + if ends { self.balloon_cur } else { 0.0 }
    }

    fn growth_when_due(&self) -> f64 {
        match self.due {
            Due::End => 1.0,
            Due::Begin => 1.0 + self.rate_per_period,
        }
    }
}
