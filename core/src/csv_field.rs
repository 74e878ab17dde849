//! Text as a field of a CSV file (RFC 4180).

/// A text as a field: in quotes if it holds a comma, a quote or a line break. Names are typed by people: a text that begins like a formula
/// would be run by a spreadsheet, so it is led by an apostrophe, which spreadsheets take as the sign of text.
pub(crate) fn csv_field(text: &str) -> String {
    let guard = if text.starts_with(['=', '+', '-', '@', '\t', '\r']) {
        "'"
    } else {
        ""
    };
    if text.contains([',', '"', '\r', '\n']) {
        format!("\"{guard}{}\"", text.replace('"', "\"\""))
    } else {
        format!("{guard}{text}")
    }
}

#[cfg(test)]
mod tests {
    use super::csv_field;

    #[test]
    fn a_field_stays_one_field_and_text() {
        assert_eq!(csv_field("South roof"), "South roof");
        assert_eq!(csv_field("the \"old\", shed"), "\"the \"\"old\"\", shed\"");
        assert_eq!(csv_field("=1+1"), "'=1+1");
    }
}
