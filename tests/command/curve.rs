//! `coldfringe curve` and `coldfringe setups`, as a user runs them.

use super::hand::{refused, text};
use coldfringe::constants::FLUX_QUANTUM;
use coldfringe::figure::Theme;
use serde_json::Value;

fn numbers(line: &str) -> Vec<f64> {
    line.split(',').map(|cell| cell.parse().unwrap()).collect()
}

#[test]
fn csv_is_one_header_and_full_numbers() {
    let all = text(&[
        "curve",
        "single-junction",
        "--from",
        "-3 mT",
        "--to",
        "3 mT",
        "--points",
        "7",
    ]);
    let lines: Vec<&str> = all.lines().collect();
    assert_eq!(lines[0], "field[T],critical-current[A]");
    assert_eq!(lines.len(), 8);
    assert_eq!(lines[4], "0,0.0001");
    let (field, current) = (numbers(lines[6])[0], numbers(lines[6])[1]);
    let angle = core::f64::consts::PI * field * 1.81e-12 / FLUX_QUANTUM;
    let expected = 1e-4 * (coldfringe::numerics::elementary::sin(angle) / angle).abs();
    assert!((current - expected).abs() < 1e-9 * 1e-4);
    for (kind, header) in [
        ("junction-pair", "field[T],critical-current[A],envelope[A]"),
        ("junction-array", "field[T],critical-current[A]"),
        (
            "screened-loop",
            "flux[Phi0],critical-current[A],circulating-current[A],total-flux[Phi0],critical-current-simple[A],circulating-current-simple[A]",
        ),
        ("current-voltage", "bias-current[A],voltage[V]"),
        (
            "voltage-flux",
            "flux[Phi0],voltage[V],transfer[V/Phi0],voltage-noise[V^2/Hz],flux-noise[Phi0/sqrt(Hz)]",
        ),
        (
            "rf-loop",
            "flux[Phi0],total-flux-rising[Phi0],total-flux-falling[Phi0],circulating-current-rising[A],circulating-current-falling[A]",
        ),
        ("rf-readout", "flux[Phi0],tank-voltage[V]"),
    ] {
        assert_eq!(
            text(&["curve", kind, "--points", "3"]).lines().next(),
            Some(header)
        );
    }
}

#[test]
fn units_and_lists_are_taken_as_people_write_them() {
    for width in [
        "width=5 µm",
        "width=5 um",
        "width=5μm",
        "width=5e-6 m",
        "width=0,005 mm",
    ] {
        let one = text(&["curve", "single-junction", "--set", width, "--at", "1 mT"]);
        let other = text(&[
            "curve",
            "single-junction",
            "--set",
            "width=5000 nm",
            "--at",
            "1e-3",
        ]);
        assert_eq!(one, other, "{width}");
    }
    let list = text(&["curve", "screened-loop", "--at", "0,0.25,-0.5 Phi0"]);
    let x: Vec<f64> = list.lines().skip(1).map(|line| numbers(line)[0]).collect();
    assert_eq!(x.len(), 3);
    assert!((x[1] - 0.25).abs() < 1e-15 && (x[2] + 0.5).abs() < 1e-15);
    assert_eq!(
        list,
        text(&["curve", "screened-loop", "--at", "0; 0.25; -0.5"])
    );
}

#[test]
fn further_columns_and_the_method_come_when_asked_for() {
    let all = text(&["curve", "voltage-flux", "--at", "0.25", "--all-columns"]);
    assert_eq!(
        all.lines().next(),
        Some(
            "flux[Phi0],voltage[V],transfer[V/Phi0],voltage-noise[V^2/Hz],flux-noise[Phi0/sqrt(Hz)],voltage-error[V],method"
        )
    );
    assert!(all.trim_end().ends_with(",fokker-planck"));
    let json: Value = serde_json::from_str(&text(&[
        "curve",
        "current-voltage",
        "--set",
        "temperature=0 K",
        "--at",
        "12 uA",
        "--format",
        "json",
    ]))
    .unwrap();
    assert_eq!(json["methods"][0], "period-average");
    let drive = text(&[
        "curve",
        "rf-readout",
        "--sweep",
        "drive-current",
        "--points",
        "3",
    ]);
    assert_eq!(
        drive.lines().next(),
        Some("drive-current[A],tank-voltage[V]")
    );
}

#[test]
fn json_has_readings_and_every_parameter() {
    let all: Value = serde_json::from_str(&text(&[
        "curve",
        "screened-loop",
        "--set",
        "loop-inductance=200 pH",
        "--points",
        "5",
        "--format",
        "json",
    ]))
    .unwrap();
    assert_eq!(all["setup"], "screened-loop");
    assert_eq!(all["parameters"]["loop-inductance"]["value"], 2e-10);
    assert_eq!(all["parameters"]["loop-inductance"]["unit"], "H");
    assert_eq!(all["parameters"].as_object().unwrap().len(), 4);
    assert_eq!(all["columns"].as_array().unwrap().len(), 6);
    assert_eq!(all["columns"][0]["name"], "flux");
    assert_eq!(all["columns"][1]["values"].as_array().unwrap().len(), 5);
    let beta = all["readings"]["beta-l"]["value"].as_f64().unwrap();
    assert!((beta - 2.0 * 200e-12 * 10e-6 / FLUX_QUANTUM).abs() < 1e-12);
    assert_eq!(all["readings"]["maximum"]["unit"], "A");
    let wide = text(&[
        "curve",
        "single-junction",
        "--set",
        "critical-current=10 mA",
        "--format",
        "json",
    ]);
    let wide: Value = serde_json::from_str(&wide).unwrap();
    assert!(
        wide["warnings"][0]
            .as_str()
            .unwrap()
            .contains("penetration depth")
    );
    assert_eq!(wide["parameters"]["profile"]["value"], "uniform");
}

#[test]
fn files_are_whole_and_of_the_kind_asked_for() {
    let folder = std::env::temp_dir().join(format!("coldfringe-command-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    for (name, start) in [
        ("a.csv", &b"flux[Phi0],"[..]),
        ("a.json", &b"{"[..]),
        ("a.svg", &b"<svg"[..]),
        ("a.png", &b"\x89PNG"[..]),
    ] {
        let path = folder.join(name);
        let silent = text(&["curve", "screened-loop", "--out", path.to_str().unwrap()]);
        assert!(silent.is_empty());
        let bytes = std::fs::read(&path).unwrap();
        let shown = bytes
            .windows(start.len())
            .take(200)
            .any(|part| part == start);
        assert!(shown, "{name}");
    }
    // A board picture in each style: the same lines in other colours.
    let mut lines = Vec::new();
    for (style, paper) in [
        ("light", Theme::light().paper),
        ("dark", Theme::dark().paper),
        ("print", Theme::print().paper),
    ] {
        let drawn = text(&[
            "curve",
            "screened-loop",
            "--board",
            "loop",
            "--at",
            "0.3 Phi0",
            "--style",
            style,
        ]);
        let paper = format!("fill=\"#{:02x}{:02x}{:02x}\"", paper.0, paper.1, paper.2);
        let first = drawn
            .lines()
            .find(|line| line.starts_with("<rect"))
            .unwrap();
        assert!(first.contains(&paper), "{style}: {first}");
        assert!(drawn.contains("applied flux: 0.30"), "{style}");
        lines.push(drawn.matches("<polyline").count());
    }
    assert!(
        lines[0] > 20 && lines.iter().all(|count| *count == lines[0]),
        "{lines:?}"
    );
    refused(
        &["curve", "screened-loop", "--board", "phasors"],
        &["no picture \"phasors\"", "loop-at-rest"],
    );
    for extra in [["--format", "csv"], ["--at", "0, 1"], ["--points", "3"]] {
        refused(
            &[
                "curve",
                "screened-loop",
                "--board",
                "loop",
                extra[0],
                extra[1],
            ],
            &["--board"],
        );
    }
    // A failed run leaves what was there, and nothing beside it.
    let path = folder.join("a.csv");
    let before = std::fs::read(&path).unwrap();
    refused(
        &[
            "curve",
            "screened-loop",
            "--points",
            "0",
            "--out",
            path.to_str().unwrap(),
        ],
        &["--points"],
    );
    assert_eq!(std::fs::read(&path).unwrap(), before);
    assert_eq!(std::fs::read_dir(&folder).unwrap().count(), 4);
    refused(
        &["curve", "screened-loop", "--out", folder.to_str().unwrap()],
        &["is a folder"],
    );
    let nowhere = folder.join("none").join("a.csv");
    refused(
        &["curve", "screened-loop", "--out", nowhere.to_str().unwrap()],
        &["no folder", "make it first"],
    );
    std::fs::remove_dir_all(&folder).unwrap();
}

#[test]
fn setups_lists_everything_there_is() {
    let all = text(&["setups"]);
    for description in coldfringe::experiment::descriptions() {
        assert!(all.contains(description.kind));
        for parameter in description.parameters {
            assert!(all.contains(&format!(
                "{} [{}] = {}",
                parameter.name, parameter.unit, parameter.default
            )));
        }
        for column in description.columns {
            assert!(all.contains(&format!("{}[{}]", column.name, column.unit)));
        }
        for reading in description.readings {
            assert!(all.contains(&format!("{}[{}]", reading.name, reading.unit)));
        }
    }
    let one = text(&["setups", "junction-array"]);
    assert!(one.contains("loop-areas") && !one.contains("screened-loop"));
}
