//! What a reader is told of a sketch, as examples. Every sentence is kept short, speaks of features and
//! places, and never says "wrong".

use crate::hands::{Case, HANDS, STEADY, case, cases, device, draw, sketch};
use coldfringe::numerics::elementary::sin;
use coldfringe::prediction::pictures::known;
use coldfringe::prediction::{
    Assessment, Expectation, MODEL, Sketch, SketchGrid, SketchTask, Verdict, assess, pictures,
};
use std::f64::consts::PI;

fn said(case_name: &str, picture: &str) -> Assessment {
    let case = case(case_name);
    assess(
        &case.task(),
        &sketch(&case, &draw(&case, picture, STEADY, 1)),
    )
    .unwrap()
}

/// Headline, matches, differences, each on a line.
fn text(said: &Assessment) -> String {
    let mut lines = vec![said.headline.clone()];
    lines.extend(said.matches.iter().map(|line| format!("+ {line}")));
    lines.extend(said.differences.iter().map(|line| format!("- {line}")));
    lines.extend(said.question.iter().map(|line| format!("? {line}")));
    lines.join("\n")
}

fn check(case: &str, picture: &str, wanted: &str) {
    let wanted: Vec<&str> = wanted.trim().lines().map(str::trim).collect();
    assert_eq!(
        text(&said(case, picture)),
        wanted.join("\n"),
        "{case}: {picture}"
    );
}

#[test]
fn the_right_pattern_of_one_junction() {
    check(
        "one junction",
        MODEL,
        "Your curve shows the features of the computed one.
        + Your maximum is at zero, as computed.
        + Your minima sit where they should, ±1, ±2 Φ₀.
        + Your minima reach zero, as computed.",
    );
}

#[test]
fn a_shadow() {
    check(
        "one junction",
        "shadow",
        "Your curve shows a shadow that fades and never returns.
        + Your maximum is at zero, as computed.
        - Your curve hardly rises again; the computed one turns at ±1, ±2 Φ₀.
        ? What do the local currents do once their phases have turned all the way round?",
    );
}

#[test]
fn two_slits_for_one() {
    check(
        "one junction",
        "two-slits",
        "Your curve shows what two narrow slits alone do.
        + Your maximum is at zero, as computed.
        + Your minima reach zero, as computed.
        - Your minima sit at ±0.5, ±1.5, ±2.5; the computed ones at ±1, ±2 Φ₀.
        - Your side maxima are 1 of the central one; the computed ones 0.22.
        ? Does the current cross at two places, or all along the width?",
    );
}

#[test]
fn the_sign_comes_first() {
    check(
        "one junction, room below zero",
        "signed",
        "Your curve shows the sum of the currents with its sign.
        + Your maximum is at zero, as computed.
        - Your curve goes below zero; the computed one never does.
        - Your minima sit at ±1.4; the computed ones at ±1, ±2 Φ₀.
        ? Can the largest current that a junction carries be less than nothing?",
    );
}

#[test]
fn a_pair_shifted_by_half_a_quantum() {
    check(
        "pair",
        "minimum-at-whole-quantum",
        "Your curve shows a minimum where the loop holds a whole quantum.
        + Your minima reach zero, as computed.
        + Your maxima keep their height, as computed.
        - At zero your curve has a minimum; the computed one has a maximum.
        - Your minima sit at 0, ±1; the computed ones at ±0.5, ±1.5 Φ₀.
        ? With no field at all, do the two currents help or hinder each other?",
    );
}

#[test]
fn intensities_differ_from_currents_in_roundness_only_so_the_reader_is_asked() {
    let said = said("pair", "squared");
    assert_eq!(said.verdict, Verdict::Ask(vec!["squared", MODEL]));
    assert_eq!(said.headline, "Which did you mean?");
    assert!(said.differences.is_empty());
    assert_eq!(
        pictures::words("junction-pair", "critical-current", "squared"),
        "the square of the sum, as for the brightness of light"
    );
}

#[test]
fn a_flat_line_for_a_pair_may_mean_two_things() {
    let said = said("pair", "no-fringes");
    let Verdict::Ask(options) = &said.verdict else {
        panic!("{said:?}");
    };
    assert!(options.contains(&"no-fringes") && options.contains(&"junction-period"));
    assert!(
        said.differences[0].starts_with("Your curve hardly changes;"),
        "{said:?}"
    );
}

#[test]
fn a_current_that_never_jumps() {
    check(
        "loop, simple picture",
        "keeps-growing",
        "Your curve shows a current that grows without end.
        + Your curve falls from zero, as computed.
        - Your curve has no jump; the computed one jumps at 0.5, 1.5 Φ₀.
        ? What does it cost the loop to keep more and more flux out?",
    );
}

#[test]
fn a_current_that_helps() {
    check(
        "loop, simple picture",
        "wrong-sign",
        "Your curve shows a current that helps the applied flux in.
        + Both curves go below zero.
        + Your jumps come where they should, 0.5, 1.5 Φ₀.
        - At zero your curve rises; the computed one falls.
        - After the jump your curve is at −9.7 µA; the computed one at 10 µA.
        ? Does the loop answer a small flux by adding to it, or by opposing it?",
    );
}

#[test]
fn a_jump_at_a_whole_quantum() {
    check(
        "loop, simple picture",
        "jump-at-whole-quantum",
        "Your curve shows a jump where the applied flux is a whole quantum.
        + Both curves go below zero.
        + Your curve falls from zero, as computed.
        + Your jumps lead as far as the computed ones.
        - Your jumps come at 1 Φ₀; the computed ones at 0.5, 1.5 Φ₀.
        ? At a whole quantum of applied flux, does the loop need any current at all?",
    );
}

#[test]
fn an_unfinished_curve_is_to_be_finished() {
    let case = case("one junction");
    let points = draw(&case, MODEL, STEADY, 1);
    let part: Vec<(f64, f64)> = points.into_iter().filter(|(x, _)| *x < 1.2).collect();
    let said = assess(&case.task(), &sketch(&case, &part)).unwrap();
    assert!(!said.complete);
    assert_eq!(said.verdict, Verdict::Unreadable);
    assert_eq!(said.headline, "Please finish the curve from 1.2 to 3 Φ₀.");
}

/// Holds words to being few, friendly and without marks.
pub(super) fn assert_plain(sentences: &str, whose: &str) {
    let lower = sentences.to_lowercase();
    for banned in ["wrong", "incorrect", "mistake", "%", "score", "!"] {
        assert!(
            !lower.contains(banned),
            "{whose}: `{banned}` in {sentences}"
        );
    }
    for sentence in sentences.split(['.', '?']).map(str::trim) {
        let words = sentence.split_whitespace().count();
        assert!(words <= 20, "{whose}: {words} words in {sentence}");
    }
}

#[test]
fn every_sentence_is_short_and_friendly() {
    for case in cases() {
        let expectation = Expectation::new(&case.task()).unwrap();
        for picture in known(case.setup.description().kind, &case.column) {
            assert_plain(
                &format!("Your curve shows {}.", picture.words),
                picture.name,
            );
            assert_plain(picture.question, picture.name);
            assert_plain(picture.look_at, picture.name);
            assert!(picture.question.ends_with('?') && picture.look_at.ends_with('.'));
            for seed in 0..10 {
                let drawn = sketch(&case, &draw(&case, picture.name, HANDS[2], seed));
                assert_plain(
                    &text(&expectation.assess(&drawn)).replace('\n', ". "),
                    picture.name,
                );
            }
        }
    }
}

/// An arch has no turn but its top; its width tells it from another.
#[test]
fn an_arch_half_as_wide_is_told_by_its_width() {
    let arch = device("profile-from-pattern", &[("profile", "half-cosine")]);
    let task = SketchTask {
        setup: &arch,
        column: "current-density-true",
        x: arch.axis("width").unwrap(),
        y: arch
            .column_scale("current-density-true", "relative")
            .unwrap(),
        grid: SketchGrid::new(-0.5, 0.5, -0.05, 1.1, 25),
        pictures: &["uniform-always".to_owned()],
    };
    let drawn = |width: f64| {
        let mut sketch = Sketch::new(task.grid);
        let points: Vec<(f64, f64)> = (0..=100)
            .map(|k| f64::from(k) / 100.0 - 0.5)
            .map(|x| (x, sin(PI * (0.5 + x / width).clamp(0.0, 1.0))))
            .collect();
        sketch.stroke(&points);
        assess(&task, &sketch).unwrap()
    };
    let narrow = drawn(0.5);
    assert_eq!(narrow.verdict, Verdict::Different);
    // cos(pi u) is above one half over two thirds of the width, the narrow arch over one third.
    assert_eq!(
        narrow.differences,
        ["Your arch takes 0.33 of the axis at half its height; the computed one 0.67."]
    );
    let right = drawn(1.0);
    assert_eq!(right.verdict, Verdict::Right);
    assert!(
        right
            .matches
            .contains(&"Your arch is as wide as the computed one.".to_owned())
    );
}

#[test]
fn maxima_above_the_middle_are_told_without_a_ratio() {
    let junction = case("one junction");
    let mut sketch = Sketch::new(junction.grid);
    for (x, y) in [
        (0.0, 0.3),
        (1.0, 0.0),
        (1.5, 1.0),
        (2.0, 0.0),
        (2.5, 0.9),
        (3.0, 0.0),
    ] {
        sketch.tap(x, y);
        sketch.tap(-x, y);
    }
    let said = text(&assess(&junction.task(), &sketch).unwrap());
    assert!(
        said.contains(
            "Your side maxima stand higher than the middle; the computed ones are 0.22 of it."
        ),
        "{said}"
    );
    assert_plain(&said, "maxima above the middle");
}

/// Rough drawings by somebody who has the right idea: straight lines between a few taps, rounded
/// feet, slanted jumps, side lobes of a guessed height.
#[test]
fn rough_but_right() {
    let taps = |case: &Case, points: &[(f64, f64)]| {
        let mut sketch = coldfringe::prediction::Sketch::new(case.grid);
        for &(x, y) in points {
            sketch.tap(x, y);
        }
        sketch
    };
    let junction = case("one junction, room below zero");
    let lobes = [
        (-3.0, 0.0),
        (-2.5, 0.15),
        (-2.0, 0.0),
        (-1.5, 0.3),
        (-1.0, 0.0),
        (0.0, 1.0),
        (1.0, 0.0),
        (1.5, 0.3),
        (2.0, 0.0),
        (2.5, 0.15),
        (3.0, 0.0),
    ];
    let rounded = [
        (-3.0, 0.05),
        (-2.5, 0.2),
        (-2.0, 0.05),
        (-1.5, 0.25),
        (-1.0, 0.05),
        (-0.5, 0.7),
        (-0.2, 0.95),
        (0.0, 1.0),
        (0.2, 0.95),
        (0.5, 0.7),
        (1.0, 0.05),
        (1.5, 0.25),
        (2.0, 0.05),
        (2.5, 0.2),
        (3.0, 0.05),
    ];
    let equal = [
        (-3.0, 0.0),
        (-2.5, 0.25),
        (-2.0, 0.0),
        (-1.5, 0.25),
        (-1.0, 0.0),
        (-0.5, 0.6),
        (0.0, 1.0),
        (0.5, 0.6),
        (1.0, 0.0),
        (1.5, 0.25),
        (2.0, 0.0),
        (2.5, 0.25),
        (3.0, 0.0),
    ];
    let pair = case("pair, room below zero");
    let zigzag = [
        (-2.0, 1.0),
        (-1.5, 0.0),
        (-1.0, 1.0),
        (-0.5, 0.0),
        (0.0, 1.0),
        (0.5, 0.0),
        (1.0, 1.0),
        (1.5, 0.0),
        (2.0, 1.0),
    ];
    let current = case("wide loop, simple picture");
    let steep = [
        (0.0, 0.0),
        (0.5, -1.0),
        (0.54, 1.0),
        (1.0, 0.0),
        (1.5, -1.0),
        (1.54, 1.0),
        (2.0, 0.0),
    ];
    let slanted = [
        (0.0, 0.0),
        (0.45, -0.9),
        (0.55, 0.9),
        (1.0, 0.0),
        (1.45, -0.9),
        (1.55, 0.9),
        (2.0, 0.0),
    ];
    for (name, case, points) in [
        ("lobes", &junction, &lobes[..]),
        ("rounded", &junction, &rounded),
        ("equal", &junction, &equal),
        ("steep", &current, &steep),
        ("slanted", &current, &slanted),
    ] {
        let verdict = assess(&case.task(), &taps(case, points)).unwrap().verdict;
        assert_eq!(verdict, Verdict::Right, "{name}");
    }
    // Straight lines lie between the cosine and its square; only the reader knows.
    let verdict = assess(&pair.task(), &taps(&pair, &zigzag)).unwrap().verdict;
    assert_eq!(verdict, Verdict::Ask(vec!["squared", MODEL]));
}
