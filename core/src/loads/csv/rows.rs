//! Lines and fields of a CSV text (RFC 4180, with the delimiters that spreadsheets write).

/// Delimiters that are tried, in the order of preference.
pub(super) const DELIMITERS: [char; 3] = [';', '\t', ','];

/// The lines that are not blank, with their numbers from 1.
pub(super) fn lines(text: &str) -> impl DoubleEndedIterator<Item = (usize, &str)> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    text.lines()
        .enumerate()
        .map(|(index, line)| (index + 1, line))
        .filter(|(_, line)| !line.trim().is_empty())
        .collect::<Vec<_>>()
        .into_iter()
}

/// The fields of a line, without quotes and outer blanks. A quoted field may hold the delimiter; one that holds a line
/// break is not understood: no meter writes one.
pub(super) fn fields(line: &str, delimiter: char) -> Vec<String> {
    let mut fields = Vec::new();
    let mut field = String::new();
    let mut quoted = false;
    let mut letters = line.chars().peekable();
    while let Some(letter) = letters.next() {
        match letter {
            '"' if quoted && letters.peek() == Some(&'"') => {
                letters.next();
                field.push('"');
            }
            '"' => quoted = !quoted,
            _ if letter == delimiter && !quoted => {
                fields.push(std::mem::take(&mut field).trim().to_owned());
            }
            _ => field.push(letter),
        }
    }
    fields.push(field.trim().to_owned());
    fields
}

/// A number; with `decimal_comma` a comma parts the decimals and points group the digits, otherwise the other way round.
pub(super) fn number(text: &str, decimal_comma: bool) -> Option<f64> {
    let (decimal, group) = if decimal_comma {
        (',', '.')
    } else {
        ('.', ',')
    };
    let plain: String = text
        .chars()
        .filter(|letter| *letter != group && !letter.is_whitespace() && *letter != '\'')
        .map(|letter| if letter == decimal { '.' } else { letter })
        .collect();
    // Words such as "nan" and "inf" parse as numbers; no meter means one by them.
    let figures = plain
        .bytes()
        .all(|letter| letter.is_ascii_digit() || b"+-.eE".contains(&letter));
    if !figures || !plain.bytes().any(|letter| letter.is_ascii_digit()) {
        return None;
    }
    plain.parse().ok().filter(|number: &f64| number.is_finite())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quoted_fields_may_hold_the_delimiter() {
        assert_eq!(
            fields(r#"a, "b,c" ,"say ""x""","#, ','),
            ["a", "b,c", "say \"x\"", ""]
        );
    }

    #[test]
    fn numbers_are_read_with_point_or_comma() {
        assert_eq!(number("1,234.5", false), Some(1234.5));
        assert_eq!(number("1.234,5", true), Some(1234.5));
        assert_eq!(number("0,25", true), Some(0.25));
        for text in ["", "nan", "inf", "-", "1:30", "abc", "1e999"] {
            assert_eq!(number(text, false), None, "{text}");
        }
    }
}
