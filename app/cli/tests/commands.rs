//! The program as it is run from a shell.

use std::io::Write;
use std::path::PathBuf;
use std::process::{Command, Output, Stdio};

use serde_json::Value;

fn couplet(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_couplet"))
        .args(arguments)
        .output()
        .unwrap()
}

/// Runs the program with a text on its standard input.
fn couplet_with(arguments: &[&str], input: &[u8]) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_couplet"))
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    child.stdin.take().unwrap().write_all(input).unwrap();
    child.wait_with_output().unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

fn demo() -> String {
    let output = couplet(&["demo"]);
    assert!(output.status.success());
    text(&output.stdout)
}

/// The demonstration with one text replaced; the text must be there.
fn demo_with(from: &str, to: &str) -> String {
    let demo = demo();
    assert!(demo.contains(from), "{from} is not in the demonstration");
    demo.replacen(from, to, 1)
}

/// The run must fail with this code, print no result, and name each of these on standard error.
#[track_caller]
fn assert_fails(output: &Output, code: i32, named: &[&str]) {
    let message = text(&output.stderr);
    assert_eq!(output.status.code(), Some(code), "{message}");
    assert!(output.stdout.is_empty(), "{}", text(&output.stdout));
    for named in named {
        assert!(
            message.contains(named),
            "{named} is not named in: {message}"
        );
    }
}

fn scratch(name: &str) -> PathBuf {
    std::env::temp_dir().join(format!("couplet-{}-{name}", std::process::id()))
}

#[test]
fn the_demonstration_runs_and_every_ledger_closes() {
    let output = couplet_with(&["run", "-"], demo().as_bytes());
    assert!(output.status.success(), "{}", text(&output.stderr));
    let results: Value = serde_json::from_slice(&output.stdout).unwrap();
    let options = results["options"].as_array().unwrap();
    let names: Vec<_> = options
        .iter()
        .map(|option| option["name"].as_str().unwrap())
        .collect();
    assert_eq!(
        names,
        ["As it stands", "All on AC", "Mixed joins", "All on DC"]
    );
    for option in options {
        let figure = |name: &str| option["figures"][name].as_f64().unwrap();
        let error_wh = option["ledger_error_wh"].as_f64().unwrap();
        assert!(error_wh.abs() < 1e-9 * figure("load_wh"), "{error_wh}");
        assert!(figure("load_wh") > 6.4e6);
        assert!(figure("import_wh") > 0.0 && figure("import_wh") < figure("load_wh"));
    }
    // The world grid is coarse, and the first option has nothing to hold an island with.
    let warnings = options[0]["warnings"].to_string();
    assert!(
        warnings.contains("coarse world grid") && warnings.contains("go dark"),
        "{warnings}"
    );
}

#[test]
fn a_household_without_a_utility_is_run_off_the_grid() {
    let file = scratch("off-grid.csv");
    let off_grid = demo_with("\"utility\": true", "\"utility\": false");
    let arguments = ["run", "-", "--intervals", file.to_str().unwrap()];
    let output = couplet_with(&arguments, off_grid.as_bytes());
    assert!(output.status.success(), "{}", text(&output.stderr));
    let csv = std::fs::read_to_string(&file).unwrap();
    std::fs::remove_file(&file).unwrap();
    let results: Value = serde_json::from_slice(&output.stdout).unwrap();
    for option in results["options"].as_array().unwrap() {
        let year = &option["figures"]["off_grid"];
        let figure = |name: &str| year[name].as_f64().unwrap();
        assert_eq!(
            option["ledger"]["load_wh"].as_f64(),
            year["served_wh"].as_f64()
        );
        assert!(figure("served_wh") <= figure("wanted_wh"));
        assert!(option["ledger"]["worst_step_gap"].as_f64().unwrap() < 1e-9);
        assert!(option["figures"]["bill"].is_null());
        let warnings = option["warnings"].to_string();
        assert!(warnings.contains("wired to the main panel"), "{warnings}");
    }
    let headings = csv.lines().next().unwrap();
    assert!(
        headings.contains("unserved_w") && !headings.contains("import_w"),
        "{headings}"
    );
}

#[test]
fn one_option_can_be_run_by_its_name() {
    let output = couplet_with(&["run", "-", "--option", "Mixed joins"], demo().as_bytes());
    let results: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(results["options"].as_array().unwrap().len(), 1);
    assert_eq!(results["options"][0]["id"], 3);
}

#[test]
fn intervals_add_up_to_the_figures() {
    let file = scratch("intervals.csv");
    let arguments = [
        "run",
        "-",
        "--option",
        "All on DC",
        "--intervals",
        file.to_str().unwrap(),
    ];
    let output = couplet_with(&arguments, demo().as_bytes());
    assert!(output.status.success(), "{}", text(&output.stderr));
    let csv = std::fs::read_to_string(&file).unwrap();
    std::fs::remove_file(&file).unwrap();
    let mut rows = csv.split("\r\n");
    let headings: Vec<&str> = rows.next().unwrap().split(',').collect();
    let column = |name: &str| {
        headings
            .iter()
            .position(|heading| *heading == name)
            .unwrap()
    };
    let rows: Vec<Vec<&str>> = rows
        .filter(|row| !row.is_empty())
        .map(|row| row.split(',').collect())
        .collect();
    assert_eq!(rows.len(), 35_040);
    assert!(rows.iter().all(|row| row.len() == headings.len()));
    assert_eq!(rows[0][..2], ["All on DC", "2026-01-01T00:00:00"]);
    assert_eq!(rows[35_039][1], "2026-12-31T23:45:00");
    let results: Value = serde_json::from_slice(&output.stdout).unwrap();
    for (heading, figure) in [
        ("load_w", "load_wh"),
        ("import_w", "import_wh"),
        ("export_w", "export_wh"),
    ] {
        let sum_wh: f64 = rows
            .iter()
            .map(|row| row[column(heading)].parse::<f64>().unwrap() / 4.0)
            .sum();
        let expected_wh = results["options"][0]["figures"][figure].as_f64().unwrap();
        // Each of the 35,040 values is rounded to 0.1 W.
        assert!(
            (sum_wh - expected_wh).abs() < 0.05 / 4.0 * 35_040.0,
            "{heading}: {sum_wh}"
        );
    }
}

#[test]
fn a_wrong_value_is_named_with_field_value_and_remedy() {
    let household = demo_with("\"usable_wh\": 15000.0", "\"usable_wh\": -5.0");
    let output = couplet_with(&["run", "-"], household.as_bytes());
    assert_fails(
        &output,
        4,
        &[
            "options[1].storage[0].battery.usable_wh",
            "usable energy",
            "-5 Wh",
            "give 100 Wh to 1000000 Wh",
        ],
    );
}

#[test]
fn every_problem_is_named_at_once() {
    let household = demo_with("\"latitude_deg\": 39.9", "\"latitude_deg\": 139.9").replacen(
        "\"plane\": 1",
        "\"plane\": 77",
        1,
    );
    let output = couplet_with(&["run", "-"], household.as_bytes());
    assert_fails(
        &output,
        4,
        &[
            "site.latitude_deg",
            "139.9°",
            "options[0].arrays[0].plane",
            "77",
        ],
    );
}

#[test]
fn an_unknown_field_is_damage_with_its_path() {
    let household = demo_with(
        "\"tilt_deg\": 30.0",
        "\"tilt_deg\": 30.0, \"colour\": \"red\"",
    );
    let output = couplet_with(&["run", "-"], household.as_bytes());
    assert_fails(&output, 3, &["household.planes[0]", "colour"]);
}

#[test]
fn a_newer_schema_is_told_apart_from_damage() {
    let today = format!("\"schema\": {}", couplet_core::document::SCHEMA);
    let household = demo_with(&today, "\"schema\": 99");
    let output = couplet_with(&["run", "-"], household.as_bytes());
    assert_fails(&output, 3, &["newer Couplet", "schema 99"]);
}

#[test]
fn a_missing_file_is_named() {
    let output = couplet(&["run", "nowhere/house.json"]);
    assert_fails(&output, 3, &["nowhere/house.json", "cannot be read"]);
}

#[test]
fn garbage_is_refused_with_its_place() {
    assert_fails(
        &couplet_with(&["run", "-"], b"{\n  house"),
        3,
        &["not JSON", "line 2"],
    );
    assert_fails(
        &couplet_with(&["run", "-"], b"\xff\xfe\x00"),
        3,
        &["not a text in UTF-8"],
    );
    assert_fails(
        &couplet_with(&["run", "-"], b"{}"),
        3,
        &["not a Couplet file"],
    );
    assert_fails(&couplet_with(&["run", "-"], b""), 3, &["not JSON"]);
}

#[test]
fn an_unknown_option_is_answered_with_the_names_there_are() {
    let output = couplet_with(&["run", "-", "--option", "All on XY"], demo().as_bytes());
    assert_fails(&output, 2, &["`All on XY`", "`All on AC`", "`All on DC`"]);
}

#[test]
fn intervals_that_cannot_be_written_are_told() {
    let arguments = ["run", "-", "--intervals", "nowhere/at/all.csv"];
    let output = couplet_with(&arguments, demo().as_bytes());
    assert_fails(&output, 5, &["nowhere/at/all.csv", "cannot be written"]);
}

#[test]
fn wrong_usage_points_to_help() {
    assert_fails(&couplet(&[]), 2, &["--help"]);
    assert_fails(&couplet(&["run"]), 2, &["needs the file", "--help"]);
    assert_fails(&couplet(&["run", "a", "b"]), 2, &["`b`"]);
}

#[test]
fn help_version_and_schema_are_printed() {
    assert!(text(&couplet(&["--help"]).stdout).contains("couplet run HOUSEHOLD.json"));
    let version = format!("couplet {}\n", env!("CARGO_PKG_VERSION"));
    assert_eq!(text(&couplet(&["--version"]).stdout), version);
    let schema: Value = serde_json::from_slice(&couplet(&["schema"]).stdout).unwrap();
    assert_eq!(schema["properties"]["format"]["const"], "couplet");
}

#[test]
fn a_sheet_is_drawn_as_svg_and_as_dxf() {
    let demo = demo();
    for (format, start) in [("svg", "<svg "), ("dxf", "  0\nSECTION\n")] {
        let words = ["draw", "-", "--option", "All on AC", "--format", format];
        let output = couplet_with(&words, demo.as_bytes());
        assert!(output.status.success(), "{}", text(&output.stderr));
        let file = String::from_utf8_lossy(&output.stdout);
        assert!(file.starts_with(start), "{format}");
        assert!(file.contains("All on AC"), "{format}");
    }
    let unknown = couplet_with(&["draw", "-", "--option", "X"], demo.as_bytes());
    assert_fails(&unknown, 2, &["`X`", "`All on AC`"]);
}
