//! Words on the sheet: how large each style is, how wide words run, and where they are cut.

/// How words are set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TextStyle {
    /// Name of a bus.
    Bus,
    /// Name of a part.
    Name,
    /// What a part is.
    Detail,
    /// A power or another number that changes with the time.
    Figure,
    /// Heading of a field of the title block.
    Heading,
    /// What stands in a field of the title block.
    Title,
    /// A tag that refers to a table, and the words of tables.
    Tag,
}

impl TextStyle {
    /// Size of the type, in units of the sheet.
    #[must_use]
    pub fn size(self) -> f64 {
        match self {
            Self::Bus => 11.0,
            Self::Name | Self::Figure => 12.5,
            Self::Detail => 11.5,
            Self::Heading => 9.5,
            Self::Title => 13.5,
            Self::Tag => 10.0,
        }
    }

    /// Space added after each letter, as a share of the size.
    #[must_use]
    pub fn spacing(self) -> f64 {
        match self {
            Self::Bus | Self::Heading => 0.1,
            Self::Name | Self::Detail | Self::Figure | Self::Title | Self::Tag => 0.0,
        }
    }
}

/// A piece of a text: words, or a number that is written as the reader's language has it.
#[derive(Clone, Debug, PartialEq)]
pub enum Piece {
    /// Words.
    Words(String),
    /// A number.
    Number {
        /// The number.
        value: f64,
        /// Digits after the decimal mark.
        decimals: u8,
    },
}

/// The pieces as one text, with a point as decimal mark.
#[must_use]
pub fn plain(pieces: &[Piece]) -> String {
    pieces
        .iter()
        .map(|piece| match piece {
            Piece::Words(words) => words.clone(),
            Piece::Number { value, decimals } => format!("{value:.*}", usize::from(*decimals)),
        })
        .collect()
}

/// Words alone.
pub(super) fn words(words: impl Into<String>) -> Vec<Piece> {
    vec![Piece::Words(words.into())]
}

/// A power in kW (or kWp, kWh): at least one digit after the mark, a second where it says more.
pub(super) fn kilo(value: f64, unit: &str) -> Vec<Piece> {
    let thousands = value / 1000.0;
    let tenths = libm::round(thousands * 10.0) / 10.0;
    let decimals = if libm::fabs(thousands - tenths) < 0.005 {
        1
    } else {
        2
    };
    let value = thousands;
    vec![
        Piece::Number { value, decimals },
        Piece::Words(format!(" {unit}")),
    ]
}

/// A current in whole amperes, with words before it.
pub(super) fn amperes(before: &str, value: f64) -> Vec<Piece> {
    vec![
        Piece::Words(format!("{before} ")),
        Piece::Number { value, decimals: 0 },
        Piece::Words(" A".to_owned()),
    ]
}

/// How wide words run in a style; a safe estimate: widths of the page's condensed face, rounded up by kind of letter.
#[must_use]
pub fn width(text: &str, style: TextStyle) -> f64 {
    text.chars()
        .map(|letter| (letter_width(letter) + style.spacing()) * style.size())
        .sum()
}

fn letter_width(letter: char) -> f64 {
    match letter {
        ' ' | '.' | ',' | ':' | ';' | '\'' | '`' | '|' | '!' | '(' | ')' | 'i' | 'j' | 'l'
        | 'I' | '·' => 0.29,
        'f' | 'r' | 't' | '-' | '[' | ']' | '{' | '}' | '/' | '"' => 0.38,
        'm' | 'W' | '@' | '%' | '…' | '—' => 0.82,
        'w' | 'M' | 'N' | '&' | '#' => 0.68,
        'A'..='Z' => 0.58,
        ' '..='~' => 0.52,
        '\u{80}'..='\u{24f}' => 0.62,
        '\u{250}'..='\u{10ff}' => 0.8,
        _ => 1.1,
    }
}

/// Words cut to a width, with an ellipsis where something is left out.
pub(super) fn cut(text: &str, style: TextStyle, most: f64) -> String {
    if width(text, style) <= most {
        return text.to_owned();
    }
    let room = most - width("…", style);
    let mut kept = String::new();
    let mut run = 0.0;
    for letter in text.chars() {
        run += (letter_width(letter) + style.spacing()) * style.size();
        if run > room {
            break;
        }
        kept.push(letter);
    }
    format!("{}…", kept.trim_end())
}

/// Words on as many lines of a width as they take, broken between words; a word that is wider is cut.
pub(super) fn wrapped(text: &str, style: TextStyle, most: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let word = cut(word, style, most);
        match lines.last_mut() {
            Some(line) if width(line, style) + width(" ", style) + width(&word, style) <= most => {
                line.push(' ');
                line.push_str(&word);
            }
            _ => lines.push(word),
        }
    }
    lines
}

/// Words on at most two lines of a width, broken between words; the second line is cut.
pub(super) fn two_lines(text: &str, style: TextStyle, most: f64) -> Vec<String> {
    if width(text, style) <= most {
        return vec![text.to_owned()];
    }
    let first_end = text
        .char_indices()
        .filter(|(_, letter)| letter.is_whitespace())
        .map(|(at, _)| at)
        .take_while(|at| {
            text.get(..*at)
                .is_some_and(|start| width(start, style) <= most)
        })
        .last();
    match first_end.map(|at| text.split_at(at)) {
        Some((first, second)) if !first.trim().is_empty() => {
            vec![first.trim().to_owned(), cut(second.trim(), style, most)]
        }
        _ => vec![cut(text, style, most)],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_names_break_between_words_and_end_in_an_ellipsis() {
        assert_eq!(
            two_lines("Heat pump", TextStyle::Name, 100.0),
            ["Heat pump"]
        );
        let lines = two_lines(
            "Heat pump behind the summer kitchen",
            TextStyle::Name,
            100.0,
        );
        assert_eq!(lines.len(), 2);
        assert!(
            lines
                .iter()
                .all(|line| width(line, TextStyle::Name) <= 100.0)
        );
        assert!(lines.last().is_some_and(|line| line.ends_with('…')));
        assert_eq!(cut("", TextStyle::Name, 0.0), "");
    }

    #[test]
    fn power_is_said_with_one_digit_or_two() {
        assert_eq!(plain(&kilo(3600.0, "kW")), "3.6 kW");
        assert_eq!(plain(&kilo(3650.0, "kWp")), "3.65 kWp");
        assert_eq!(plain(&amperes("main", 150.0)), "main 150 A");
    }
}
