//! The numbers that the lessons ask for, against values worked out by hand from the formulas that
//! the lessons explain; and that every device, axis, picture and reading in them can be computed.
#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]

mod course;

use std::collections::BTreeMap;
use std::f64::consts::PI;

use coldfringe::experiment::{Setup, Sought, read_place, run, seek};
use coldfringe::lesson::spec::{Ask, Block, ChartSpec, Lesson, NumberSpec, Part, SetupSpec};
use coldfringe::numerics::elementary::sin_cos;
use coldfringe::prediction::sketch::{Side, Sketch};
use coldfringe::prediction::{NumberTask, NumberVerdict, assess_number, pictures};
use coldfringe::session::paint;
use course::lessons;

/// CODATA 2022, exact digits: h/2e in webers.
const QUANTUM: f64 = 2.067_833_848_461_929e-15;

/// Every question of a lesson with its device.
fn numbers(lesson: &Lesson) -> Vec<(String, &SetupSpec, &NumberSpec)> {
    lesson
        .blocks()
        .filter_map(|block| match block {
            Block::Question(question) => Some((
                format!("{}/{}", lesson.slug, question.id),
                &question.setup,
                &question.number,
            )),
            Block::Predict(prediction) => match &prediction.ask {
                Ask::Number(number) => Some((
                    format!("{}/{}", lesson.slug, prediction.id),
                    &prediction.setup,
                    number,
                )),
                _ => None,
            },
            _ => None,
        })
        .collect()
}

/// Critical current of a loop with equal junctions at half a quantum, as a share of its largest, by trying
/// total fluxes. With d half the difference of the phases and m their mean, the bias is `2 I0 cos d sin m` and
/// the current round the loop `-I0 sin d cos m`; so the flux in the loop fixes
/// `cos m = (pi/2 - d) / (pi beta_l sin d / 2)`, and the best d is sought.
fn share_left_at_half(beta_l: f64) -> f64 {
    let bias = |d: f64| {
        let (sine, cosine) = sin_cos(d);
        let mean = (PI / 2.0 - d) / (PI / 2.0 * beta_l * sine);
        if mean > 1.0 {
            0.0
        } else {
            cosine * (1.0 - mean * mean).sqrt()
        }
    };
    (1..1_000_000)
        .map(|k| bias(PI / 2.0 * f64::from(k) * 1e-6))
        .fold(0.0, f64::max)
}

/// Total and applied flux, in quanta, where the first branch of a loop with one junction ends: the cosine of the
/// total is -1/beta, found by halving the interval between a quarter and a half.
fn end_of_branch(beta: f64) -> (f64, f64) {
    let (mut low, mut high) = (0.25, 0.5);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if cosine_by_series(2.0 * PI * middle) > -1.0 / beta {
            low = middle;
        } else {
            high = middle;
        }
    }
    (
        low,
        low + beta / (2.0 * PI) * (1.0 - 1.0 / (beta * beta)).sqrt(),
    )
}

/// The cosine by its power series, for angles up to half a turn or so.
fn cosine_by_series(angle: f64) -> f64 {
    let mut term = 1.0;
    let mut sum = 1.0;
    for k in 1..20 {
        let n = f64::from(2 * k);
        term *= -angle * angle / (n * (n - 1.0));
        sum += term;
    }
    sum
}

/// Current along a wire of 50 um radius for one quantum in a slot of this length and width: `2 pi r Phi0 / (mu0 A)`.
/// The magnetic constant is that of CODATA 2022.
fn stint(length: f64, width: f64) -> f64 {
    2.0 * PI * 50e-6 * QUANTUM / (1.256_637_061_27e-6 * length * width)
}

/// Voltage, transfer (a quantum) and voltage noise of Curlew at 8 uA and 4.2 K, in SI units, from the table
/// `tests/golden/thermal.tsv`: another method than the model's (collocation of the Fokker-Planck equation, SciPy).
fn curlew(flux: &str) -> (f64, f64, f64) {
    let row = include_str!("golden/thermal.tsv")
        .lines()
        .map(|line| line.split('\t').collect::<Vec<_>>())
        .find(|cells| {
            cells.get(2) == Some(&"0.9671956968339674")
                && cells.get(5) == Some(&"1.6")
                && cells.get(6) == Some(&flux)
        })
        .expect("a row of the table");
    let number = |k: usize| row[k].parse::<f64>().unwrap();
    // Units: I0 R, and (I0 R)^2 Phi0 / (2 pi I0 R) for the noise.
    let volts = 5e-6 * 6.0;
    (
        number(7) * volts,
        number(8) * volts,
        number(9) * volts * QUANTUM / (2.0 * PI),
    )
}

/// Curlew's voltage at 8 uA and a whole quantum, by the same collocation: 0.00010887 I0 R. (It is not in the table, for the
/// noise there is that of a loop which nearly rests, and no digit of it is promised.)
const FOOT: f64 = 0.000_108_87 * 5e-6 * 6.0;

/// Curlew's flux noise at its best flux, in quanta for each root of a hertz.
fn flux_noise_of_curlew() -> f64 {
    let (_, transfer, noise) = curlew("0.2707");
    noise.sqrt() / transfer
}

/// By hand, in SI units, from the formula beside each.
fn by_hand() -> BTreeMap<&'static str, f64> {
    // The first root of tan x = x above zero (Abramowitz and Stegun, table 4.19, from memory;
    // recomputed); the lobe's height is 1/sqrt(1 + x^2).
    let lobe = 1.0 / (1.0 + 4.493_409_457_909_064_f64 * 4.493_409_457_909_064).sqrt();
    // Plover at 43 uT: |cos| of the loop's flux times sin x / x of the junctions', written as a
    // series because x is small.
    let in_loop = 43e-6 * 12e-12 / QUANTUM;
    let x = PI * 43e-6 * 4e-6 * 181e-9 / QUANTUM;
    // cos(pi/4 + e) with a small e, by the sum formula and two terms of each series.
    let e = PI * in_loop - PI / 4.0;
    let cosine = (1.0 - e - e * e / 2.0 + e * e * e / 6.0) / 2.0_f64.sqrt();
    // Sanderling at two quanta: its even part cancels, and 60 uA in two strips, nine tenths of the width apart and
    // a tenth wide, leave cos(1.8 pi) sin(0.2 pi)/(0.2 pi) of themselves. With the golden ratio g = (1 + sqrt 5)/2,
    // cos(pi/5) = g/2 and sin(pi/5) = sqrt(1 - g^2/4).
    let golden = f64::midpoint(1.0, 5.0_f64.sqrt());
    let strips = golden / 2.0 * (1.0 - golden * golden / 4.0).sqrt() / (0.2 * PI);
    // The first zero of the Bessel function J1 (Abramowitz and Stegun, table 9.5, from memory; SciPy's jn_zeros agrees).
    let bessel = 3.831_705_970_207_512_f64;
    // A junction 1 um wide in a loop of 20 um^2, with a quarter of a quantum in the loop.
    let narrow = PI * 0.25 * 0.181 / 20.0;
    BTreeMap::from([
        // s = 9 um from middle to middle of the strips; half a quantum: B = Phi0 / (2 s d)
        (
            "the-slits-profile/two-strips",
            QUANTUM / (2.0 * 9e-6 * 181e-9),
        ),
        ("the-slits-profile/at-two-quanta", 60e-6 * strips),
        (
            "the-slits-profile/small-round",
            bessel / PI * QUANTUM / (8e-6 * 181e-9),
        ),
        // F = w / (2 * detail)
        ("the-slits-profile/scan-for-detail", 10.0 / (2.0 * 0.40)),
        // The loop is 12/0.724 = 16.57 times a junction: the whole numbers from -16 to 16.
        ("wide-slits-wide-apart/how-many", 33.0),
        // 30/0.543 = 55.25: from -55 to 55.
        ("wide-slits-wide-apart/fringes-of-a-wide-pair", 111.0),
        // w = Phi0 / (B d)
        (
            "wide-slits-wide-apart/width-for-an-envelope",
            QUANTUM / (5.0e-3 * 181e-9),
        ),
        // 3, 4, 5: sqrt(60^2 + 45^2) = 75, less a millionth for the width of the junctions.
        (
            "wide-slits-wide-apart/quarter-turn",
            75e-6 * (1.0 - narrow * narrow / 6.0),
        ),
        // B = Phi0 / (w d)
        ("one-slit/thin-films", QUANTUM / (10e-6 * 145e-9)),
        ("one-slit/side-lobe", 100e-6 * lobe),
        // w = Phi0 / (B d)
        ("one-slit/width-for-a-field", QUANTUM / (0.20e-3 * 181e-9)),
        ("two-slits/quarter", 100e-6 * cosine * (1.0 - x * x / 6.0)),
        // period = Phi0 / A
        ("two-slits/period", QUANTUM / 12e-12),
        // A = Phi0 / period
        ("two-slits/area-for-a-period", QUANTUM / 2.0e-6),
        // N = change of field, times area, over Phi0
        ("two-slits/turned-over", 100e-6 * 300e-12 / QUANTUM),
        // J = Phi0 / (2 L)
        (
            "the-loop-answers-back/largest-circulating-current",
            QUANTUM / (2.0 * 500e-12),
        ),
        // Ic = 2 I0 - Phi0 / L
        (
            "the-loop-answers-back/lowest-critical-current",
            20e-6 - QUANTUM / 500e-12,
        ),
        // L = Phi0 / swing
        (
            "the-loop-answers-back/inductance-for-a-dip",
            QUANTUM / 10e-6,
        ),
        (
            "the-screened-loop/depth",
            1.0 - share_left_at_half(2.0 * 100e-12 * 10e-6 / QUANTUM),
        ),
        // beta_L = 2 L I0 / Phi0
        (
            "the-screened-loop/screening-parameter",
            2.0 * 60e-12 * 25e-6 / QUANTUM,
        ),
        (
            "the-screened-loop/inductance-for-one",
            QUANTUM / (2.0 * 5e-6),
        ),
        (
            "the-screened-loop/lowest-current",
            10e-6 * share_left_at_half(2.0 * 103e-12 * 5e-6 / QUANTUM),
        ),
        // Half a quantum in the junctions, and L I0 held back.
        (
            "the-screened-loop/holds-out",
            0.5 + 500e-12 * 10e-6 / QUANTUM,
        ),
        // V = (R/2) sqrt(I^2 - Ic^2), both phases turning as one.
        (
            "sweep-the-bias/above-the-critical-current",
            3.0 * (12.5e-6_f64 * 12.5e-6 - 10e-6 * 10e-6).sqrt(),
        ),
        // The same law, with the critical current 10 uA cos(pi/3).
        ("sweep-the-bias/a-third-of-a-quantum", 3.0 * 12e-6),
        // beta_c = 2 pi I0 R^2 C / Phi0
        (
            "sweep-the-bias/damping-of-curlew",
            2.0 * PI * 5e-6 * 36.0 * 0.5e-12 / QUANTUM,
        ),
        (
            "sweep-the-bias/most-capacitance",
            0.70 * QUANTUM / (2.0 * PI * 5e-6 * 36.0),
        ),
        // beta_rf = 2 pi L I0 / Phi0
        (
            "one-junction-is-enough/screening-parameter",
            2.0 * PI * 200e-12 * 1.5e-6 / QUANTUM,
        ),
        (
            "one-junction-is-enough/inductance-at-the-limit",
            QUANTUM / (2.0 * PI * 2.2e-6),
        ),
        (
            "one-junction-is-enough/first-jump",
            end_of_branch(2.0 * PI * 300e-12 * 4.4e-6 / QUANTUM).1,
        ),
        // omega L_T Phi0 / M with M = k sqrt(L L_T): 0.15 times the root of 300 pH and 400 nH.
        (
            "one-junction-is-enough/step-of-another-tank",
            2.0 * PI * 30e6 * 400e-9 * QUANTUM / (0.15 * (300e-12_f64 * 400e-9).sqrt()),
        ),
        // A ring of N arrows closes at 1/N of a quantum in each hole.
        ("many-slits/first-closing", QUANTUM / (16.0 * 20e-12)),
        ("many-slits/hole-for-a-zero", QUANTUM / (12.0 * 2.0e-6)),
        // N equal steps in chance directions: the mean square is N, of N squared.
        ("many-slits/tangle-of-twenty", 1.0 / 20.0),
        // 2 pi r Phi0 / (mu0 a (l1 + l2))
        ("a-loop-by-accident/period", stint(0.1e-3, 200e-9)),
        // Two equal arrows: 60 uA times the cosine of half the angle between them.
        ("a-loop-by-accident/ten-milliamperes", {
            let angle = PI * 10e-3 / stint(0.1e-3, 200e-9);
            60e-6 * cosine_by_series(angle)
        }),
        (
            "a-loop-by-accident/depth-of-a-solder",
            200e-9 * stint(0.1e-3, 200e-9) / 31e-3 - 80e-9,
        ),
        (
            "a-loop-by-accident/distance-of-contacts",
            0.1e-3 * stint(0.1e-3, 200e-9) / 5.0e-3,
        ),
        // A thousandth of a quantum times the steepest slope.
        ("flux-into-voltage/a-thousandth", 1e-3 * curlew("0.2464").1),
        // Flux noise in webers over the area.
        (
            "flux-into-voltage/field-noise",
            flux_noise_of_curlew() * QUANTUM / 4e-8,
        ),
        // The integrator moves at 2 pi f for each quantum of error at the steepest slope; the largest error voltage is
        // that from the working point down to the foot of the curve, the shorter way.
        (
            "flux-into-voltage/slew-limit",
            2.0 * PI * 100e3 * (curlew("0.25").0 - FOOT) / curlew("0.2464").1,
        ),
    ])
}

/// How well the formula by hand holds for the device of the lesson.
fn known_to(name: &str) -> f64 {
    match name {
        // The formula is that of a loop without inductance; this one has a screening parameter of 0.0024.
        "sweep-the-bias/a-third-of-a-quantum" => 1e-5,
        // The table has the steepest and the best flux to four digits; near an extreme that is enough.
        name if name.starts_with("flux-into-voltage/") => 2e-5,
        _ => 1e-6,
    }
}

/// The model gives the noise of a voltage as a square, so these numbers of lesson 8 are written by hand: at the steepest place and at
/// the best flux they are those of the table, at half a quantum, which is not in the table, that of the model.
#[test]
fn the_voltage_noises_in_the_text_are_those_of_curlew() {
    let text = include_str!("../lessons/flux-into-voltage.md");
    let curlew_itself = SetupSpec {
        kind: "voltage-flux".to_owned(),
        ..SetupSpec::default()
    };
    let setup = Setup::from_spec(&curlew_itself).unwrap();
    let column = "voltage-noise".to_owned();
    let at = "0.5 Phi0".to_owned();
    let at_the_top = seek(&setup, &Sought::At { column, at }).unwrap();
    for (written, square) in [
        ("{} pV", curlew("0.2464").2),
        ("only {} pV", at_the_top),
        ("{}\\times10^{-12}\\,\\mathrm{V}/\\sqrt", curlew("0.2707").2),
    ] {
        let picovolts = format!("{:.0}", 1e12 * square.sqrt());
        let written = written.replace("{}", &picovolts);
        assert!(text.contains(&written), "`{written}` is not in lesson 8");
    }
}

#[test]
fn every_number_asked_for_is_the_one_worked_out_by_hand() {
    let mut left = by_hand();
    for lesson in lessons() {
        for (name, setup, number) in numbers(lesson) {
            let setup = Setup::from_spec(setup).unwrap();
            let wanted = left
                .remove(name.as_str())
                .unwrap_or_else(|| panic!("{name}: work this number out by hand and add it here"));
            let got = seek(&setup, &number.answer).unwrap();
            assert!(
                (got - wanted).abs() <= known_to(&name) * wanted.abs(),
                "{name}: by hand {wanted:e}, from the model {got:e}"
            );
        }
    }
    assert!(left.is_empty(), "no lesson asks for {left:?}");
}

#[test]
fn the_right_number_is_taken_and_half_of_it_is_not() {
    let hand = by_hand();
    for lesson in lessons() {
        for (name, setup, number) in numbers(lesson) {
            let setup = Setup::from_spec(setup).unwrap();
            let task = NumberTask {
                setup: &setup,
                answer: &number.answer,
                unit: &number.unit,
                within: number.within,
                slips: &number.slips,
            };
            // A number without a unit is taken in the unit beside the box.
            let per_unit = match number.unit.as_str() {
                "" => 1.0,
                // The set-up counts it in quanta already.
                "Phi0" | "Φ0/s" => 1.0,
                "mT" | "mA" | "mm" => 1e-3,
                "µA" | "µm" | "µT" | "µV" | "mm²" => 1e-6,
                "nV" | "nm" => 1e-9,
                "µm²" | "pH" | "pF" => 1e-12,
                "fT/√Hz" => 1e-15,
                other => panic!("{name}: add {other} here"),
            };
            let value = hand[name.as_str()] / per_unit;
            let right = assess_number(&task, &format!("{value:.4}")).unwrap();
            assert_eq!(right.verdict, NumberVerdict::Right, "{name}: {right:?}");
            let half = assess_number(&task, &format!("{:.4}", value / 2.0)).unwrap();
            let NumberVerdict::Differs(slip) = half.verdict else {
                panic!("{name}: half of the value was taken: {half:?}");
            };
            if number.slips.iter().any(|known| known == "factor-2") {
                assert_eq!(
                    slip.map(|slip| slip.name()),
                    Some("factor-2"),
                    "{name}: {:?} explain half of the value too",
                    number.slips
                );
            }
        }
    }
}

fn can_be_drawn(name: &str, setup: &Setup, chart: &ChartSpec, wrong: &[String]) {
    let axis = setup
        .axis(&chart.x.scale)
        .unwrap_or_else(|| panic!("{name}: no axis {}", chart.x.scale));
    let x: Vec<f64> = (0..=200)
        .map(|k| {
            let share = f64::from(k) / 200.0;
            (chart.x.from + share * (chart.x.to - chart.x.from)) * axis.si_per_unit
        })
        .collect();
    let scale = setup.column_scale(&chart.column, &chart.y.scale).unwrap();
    let trace = run(setup, &x).unwrap();
    let room = |values: &[f64]| {
        let (low, high) = values
            .iter()
            .map(|value| value / scale.si_per_unit)
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), y| {
                (low.min(y), high.max(y))
            });
        (low, high)
    };
    for column in std::iter::once(&chart.column).chain(&chart.also) {
        let (low, high) = room(&trace.column(column).unwrap().values);
        assert!(
            low >= chart.y.from && high <= chart.y.to,
            "{name}: {column} runs from {low} to {high}, outside its axis"
        );
        // A curve lost in a corner of its axis cannot be predicted.
        assert!(
            high - low > 0.15 * (chart.y.to - chart.y.from),
            "{name}: {column} runs from {low} to {high} and hardly fills its axis"
        );
    }
    let kind = setup.description().kind;
    for picture in wrong {
        assert!(
            pictures::find(kind, &chart.column, picture).is_some(),
            "{name}: {picture} is not known for {kind}, {}",
            chart.column
        );
        let curve = pictures::curve(picture, setup, &chart.column, &x).unwrap();
        let true_curve = &trace.column(&chart.column).unwrap().values;
        let apart = curve
            .iter()
            .zip(true_curve)
            .map(|(wrong, right)| ((wrong - right) / scale.si_per_unit).abs())
            .fold(0.0, f64::max);
        assert!(
            apart > 0.1 * (chart.y.to - chart.y.from),
            "{name}: {picture} cannot be told from the computed curve in this window"
        );
    }
}

#[test]
fn every_chart_shows_its_curve_and_every_wrong_picture_another() {
    let mut seen = 0;
    for lesson in lessons() {
        for block in lesson.blocks() {
            let name = format!("{}/{}", lesson.slug, block.id());
            match block {
                Block::Predict(prediction) => {
                    let setup = Setup::from_spec(&prediction.setup).unwrap();
                    match &prediction.ask {
                        Ask::Sketch {
                            chart, pictures, ..
                        }
                        | Ask::PickCurve { chart, pictures } => {
                            can_be_drawn(&name, &setup, chart, pictures);
                        }
                        Ask::MarkAxis {
                            chart,
                            answer,
                            within,
                            slips,
                        } => {
                            can_be_drawn(&name, &setup, chart, &[]);
                            let axis = setup.axis(&chart.x.scale).unwrap();
                            let at = seek(&setup, answer).unwrap() / axis.si_per_unit;
                            assert!(at > chart.x.from && at < chart.x.to, "{name}: {at}");
                            for slip in slips {
                                assert!(
                                    (slip.at - at).abs() > 3.0 * within
                                        && slip.at > chart.x.from
                                        && slip.at < chart.x.to,
                                    "{name}: {slip:?} is too near {at}, or off the axis"
                                );
                                assert!(
                                    pictures::find(
                                        setup.description().kind,
                                        &chart.column,
                                        &slip.picture
                                    )
                                    .is_some(),
                                    "{name}: {slip:?}"
                                );
                            }
                        }
                        Ask::PickStatement { .. } | Ask::MarkBoard { .. } | Ask::Number(_) => {}
                    }
                }
                Block::Board(board) => {
                    let setup = Setup::from_spec(&board.setup).unwrap();
                    read_place(&setup, &board.at).unwrap();
                }
                Block::Bench(bench) => {
                    let setup = Setup::from_spec(&bench.setup).unwrap();
                    can_be_drawn(&name, &setup, &bench.chart, &[]);
                }
                Block::Observe(_) | Block::Question(_) | Block::Record(_) => {}
            }
            seen += 1;
        }
    }
    assert!(seen > 30, "only {seen} blocks: are all lessons read?");
}

/// Profiles that a hand may paint: from even to a triangle, and with a right half that is weaker than the left one.
fn paintings(strips: u16) -> Vec<Sketch> {
    let paper = paint::paper(strips);
    let mut all = Vec::new();
    for step in 0..=100_u32 {
        let share = f64::from(step) / 100.0;
        let slanting = |x: f64| 1.0 - share * 2.0 * x.abs();
        let lopsided = |x: f64| if x > 0.0 { share } else { 1.0 };
        for shape in [&slanting as &dyn Fn(f64) -> f64, &lopsided] {
            let mut sketch = Sketch::new(paper);
            for column in 0..strips {
                sketch.set_column(column, shape(paper.column_x(column)), Side::Both);
            }
            all.push(sketch);
        }
    }
    all
}

/// A challenge must not be met already, and one of the sliders alone, or a painting, must meet it.
#[test]
fn every_challenge_can_be_met_by_a_slider() {
    for lesson in lessons() {
        for block in lesson.blocks() {
            let Block::Bench(bench) = block else { continue };
            for challenge in &bench.challenges {
                let name = format!("{}/{}: {}", lesson.slug, bench.id, challenge.text);
                let start = Setup::from_spec(&bench.setup).unwrap();
                // Readings are counted in their own unit, which for flux is the quantum.
                let unit = start
                    .description()
                    .reading(&challenge.reading)
                    .filter(|found| !found.unit.is_empty())
                    .map_or(1.0, |found| {
                        coldfringe::quantity::parse_unit(found.unit).unwrap().factor
                    });
                let target = coldfringe::quantity::parse_quantity(&challenge.target)
                    .unwrap()
                    .si
                    / unit;
                // A device may lack the reading, as a loop that never jumps has no first jump.
                let off = |setup: &Setup| {
                    let reading = challenge.reading.clone();
                    let sought = coldfringe::lesson::spec::Sought::Reading { reading };
                    seek(setup, &sought).map_or(f64::INFINITY, |got| (got - target) / target.abs())
                };
                assert!(
                    off(&start).abs() > challenge.within,
                    "{name}: met before anything is moved"
                );
                let met = bench.sliders.iter().any(|slider| {
                    let last = ((slider.to - slider.from) / slider.step).round() as u32;
                    let at = |step: u32| {
                        let mut setup = start.clone();
                        let value = slider.from + f64::from(step) * slider.step;
                        setup
                            .set(&slider.parameter, &format!("{value} {}", slider.unit))
                            .unwrap();
                        off(&setup)
                    };
                    is_met(last, challenge.within, &at)
                });
                let painted = bench.paint.as_ref().is_some_and(|found| {
                    paintings(found.strips).iter().any(|sketch| {
                        let mut setup = start.clone();
                        paint::apply(sketch, &mut setup, &found.parameter).unwrap()
                            && off(&setup) <= challenge.within
                    })
                });
                assert!(met || painted, "{name}: no step of a slider meets it");
            }
        }
    }
}

/// Whether one of the steps up to the last comes within so much of nothing. In strides first: where the sign changes between two of them, the
/// steps between are halved; only if that finds none is every step looked at.
fn is_met(last: u32, within: f64, at: &dyn Fn(u32) -> f64) -> bool {
    const STRIDES: u32 = 12;
    let strides: Vec<(u32, f64)> = (0..=STRIDES)
        .map(|k| k * last / STRIDES)
        .map(|step| (step, at(step)))
        .collect();
    for pair in strides.windows(2) {
        let [(mut low, mut below), (mut high, above)] = [pair[0], pair[1]];
        let mut least = below.abs().min(above.abs());
        while (below > 0.0) != (above > 0.0) && high - low > 1 {
            let middle = low + (high - low) / 2;
            let off = at(middle);
            least = least.min(off.abs());
            if (off > 0.0) == (below > 0.0) {
                (low, below) = (middle, off);
            } else {
                high = middle;
            }
        }
        if least <= within {
            return true;
        }
    }
    (0..=last.min(2000)).any(|step| at(step).abs() <= within)
}

/// A number in the text is what the model computes: the depth at a screening parameter of one,
/// which the test's own search over states finds too.
#[test]
fn numbers_in_the_text_are_computed() {
    let lesson = lessons()
        .iter()
        .find(|lesson| lesson.slug == "the-screened-loop")
        .unwrap();
    let text: String = lesson
        .steps
        .iter()
        .flat_map(|step| &step.parts)
        .filter_map(|part| match part {
            Part::Prose(text) => Some(text.as_str()),
            _ => None,
        })
        .collect();
    assert!(!text.contains("@{"), "a placeholder was left");
    let depth = 1.0 - share_left_at_half(1.0);
    assert!(text.contains(&format!("a depth of {depth:.3}.")), "{depth}");
    assert!(text.contains("which is 0.98 for Avocet"), "{text}");
}

/// What the lessons on the voltage state say in passing, from the model and from closed forms.
#[test]
fn the_voltages_told_in_passing_are_so() {
    let curve = |kind: &str, parameters: &[(&str, &str)], column: &str, x: &[f64]| {
        let mut setup = Setup::new(kind).unwrap();
        for (name, value) in parameters {
            setup.set(name, value).unwrap();
        }
        run(&setup, x)
            .unwrap()
            .column(column)
            .unwrap()
            .values
            .clone()
    };
    // Capacitance moves the noise-free voltages of lesson 7 by a twentieth at most (where there are any).
    let biases: Vec<f64> = (0..=56).map(|k| 0.25e-6 * f64::from(k)).collect();
    for flux in ["0 Phi0", "0.25 Phi0", "0.5 Phi0"] {
        let with = |capacitance: &str| {
            curve(
                "current-voltage",
                &[
                    ("temperature", "0 K"),
                    ("capacitance", capacitance),
                    ("flux", flux),
                ],
                "voltage",
                &biases,
            )
        };
        for ((bias, bare), real) in biases.iter().zip(with("0 F")).zip(with("0.5 pF")) {
            assert!(
                (real - bare).abs() <= 0.056 * bare.max(1e-9),
                "{bias:e} A at {flux}: {bare:e} V, with capacitance {real:e} V"
            );
        }
    }
    // At whole quanta (R/2) sqrt(I^2 - Ic^2), at 10.5 uA: 9.6 uV. Lesson 7 says about 10, and 22 at half a quantum.
    let quiet = curve(
        "voltage-flux",
        &[("temperature", "0 K"), ("bias-current", "10.5 uA")],
        "voltage",
        &[1.0, 0.5],
    );
    let closed = 3.0 * (10.5e-6_f64 * 10.5e-6 - 10e-6 * 10e-6).sqrt();
    assert!(
        (quiet[0] - closed).abs() < 1e-6 * closed,
        "{:e} is not {closed:e}",
        quiet[0]
    );
    assert!((quiet[1] - 22e-6).abs() < 0.5e-6);
    // Lesson 8: noise of the voltage at the steepest place and at the top, in pV for each root of a hertz.
    let noise = curve(
        "voltage-flux",
        &[("bias-current", "8 uA")],
        "voltage-noise",
        &[0.25, 0.5],
    );
    assert!((curlew("0.25").2.sqrt() - 87e-12).abs() < 0.5e-12);
    assert!((noise[0].sqrt() - 87e-12).abs() < 0.5e-12);
    assert!((noise[1].sqrt() - 35e-12).abs() < 0.5e-12);
    // Its table: a loop of 200 pH, junctions to choose, the shunts such that the damping parameter stays.
    for (current, told) in [
        (1.5, 1.50),
        (2.5, 1.27),
        (5.0, 1.18),
        (10.0, 1.23),
        (20.0, 1.35),
    ] {
        let mut setup = Setup::new("working-point").unwrap();
        let shunt = 6.0 * (5.0_f64 / current).sqrt();
        for (name, value) in [
            ("critical-current-left", current * 1e-6),
            ("critical-current-right", current * 1e-6),
            ("shunt-resistance", shunt),
        ] {
            setup.set_si(name, value).unwrap();
        }
        let best = seek(
            &setup,
            &coldfringe::lesson::spec::Sought::Reading {
                reading: "flux-noise".to_owned(),
            },
        )
        .unwrap();
        assert!(
            (best * 1e6 - told).abs() <= 0.0051,
            "{current} uA: {best:e}, not {told}e-6"
        );
    }
}
