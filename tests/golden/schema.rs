//! The published schema of a saved file.

use couplet_tests::assert_golden;

#[test]
fn the_published_schema_is_the_kept_one() {
    let mut text = serde_json::to_string_pretty(&couplet_core::document::schema()).unwrap();
    text.push('\n');
    assert_golden("household.schema.json", &text);
}
