//! The parts list as CSV (RFC 4180).

use super::{Item, Quantity};
use crate::csv_field::csv_field;

/// Unit of lengths in a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LengthUnit {
    /// Metres.
    Metres,
    /// Feet of 0.3048 m.
    Feet,
}

impl LengthUnit {
    /// Its symbol.
    #[must_use]
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Metres => "m",
            Self::Feet => "ft",
        }
    }

    /// A length to buy, in this unit: rounded up to a tenth, so that rounding never takes from the allowance.
    #[must_use]
    pub fn bought(self, length_m: f64) -> f64 {
        // What rounding of the sums alone carries past a tenth is on it.
        const ROUNDING: f64 = 1e-6;
        libm::ceil(10.0 * self.shown(length_m) - ROUNDING).max(0.0) / 10.0
    }

    /// A length in this unit.
    #[must_use]
    pub fn shown(self, length_m: f64) -> f64 {
        match self {
            Self::Metres => length_m,
            Self::Feet => length_m / 0.3048,
        }
    }
}

/// Every line as CSV: a heading, then one row per line; lines end in CR LF. An open quantity is an empty field.
#[must_use]
pub fn csv(items: &[Item], lengths: LengthUnit) -> String {
    let mut csv = "kind,state,quantity,unit,description,place,open\r\n".to_owned();
    for item in items {
        let (quantity, unit) = match item.quantity {
            Quantity::Pieces(count) => (count.to_string(), "pieces"),
            Quantity::LengthM(length_m) => {
                (format!("{:.1}", lengths.bought(length_m)), lengths.symbol())
            }
            Quantity::NotKnown => (String::new(), ""),
        };
        let fields = [
            csv_field(item.group.words()),
            csv_field(item.state.words()),
            quantity,
            unit.to_owned(),
            csv_field(&item.description),
            csv_field(&item.place),
            csv_field(&item.open),
        ];
        csv.push_str(&fields.join(","));
        csv.push_str("\r\n");
    }
    csv
}

#[cfg(test)]
mod tests {
    use super::super::{Group, State};
    use super::*;

    /// 1.5 m and a tenth more are 1.65 m: a shop cuts 1.7 m. 3.3 m stay 3.3 m (common practice: lengths are bought rounded up).
    #[test]
    fn lengths_are_bought_rounded_up() {
        let metres = |length_m| LengthUnit::Metres.bought(length_m);
        assert_eq!(metres(1.5 * 1.1), 1.7);
        assert_eq!(metres(3.0 * 1.1), 3.3);
        assert_eq!(metres(0.0), 0.0);
        assert_eq!(LengthUnit::Feet.bought(3.048), 10.0);
        assert_eq!(LengthUnit::Feet.bought(3.05), 10.1);
    }

    #[test]
    fn names_with_quotes_commas_and_formulas_stay_text() {
        let item = |place: &str, quantity| Item {
            group: Group::Conductors,
            state: State::New,
            quantity,
            description: "line conductor, 10 AWG".to_owned(),
            place: place.to_owned(),
            open: String::new(),
        };
        let items = [
            item("the \"old\", shed", Quantity::LengthM(3.048)),
            item("=1+1", Quantity::NotKnown),
        ];
        let csv = csv(&items, LengthUnit::Feet);
        let rows: Vec<&str> = csv.lines().collect();
        assert_eq!(
            rows[1],
            r#"Conductors,new,10.0,ft,"line conductor, 10 AWG","the ""old"", shed","#
        );
        assert!(rows[2].starts_with("Conductors,new,,,") && rows[2].ends_with(",'=1+1,"));
        assert!(csv.ends_with("\r\n"));
    }
}
