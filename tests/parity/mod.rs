//! The same numbers to the last bit, whatever computes them: digests of elementary functions, of every set-up, and of
//! records.
//!
//! One file of digests stands for both sides. The native test and the browser test compare with it, so both agree with
//! each other. After a wanted change of the physics, `COLDFRINGE_RECORD=1 cargo test --test same_bits` writes it anew.

pub(crate) mod records;

use std::collections::BTreeMap;

use coldfringe::experiment::{self, Pace, Setup, Sweep};
use coldfringe::numerics::elementary as e;
use coldfringe::numerics::lanes::Pair;
use coldfringe::numerics::vector_sine as vector;
use sha2::{Digest as _, Sha256};

/// The recorded digests.
const RECORDED: &str = include_str!("../golden/parity.txt");

/// Points of each trace, and of one that is not there at once.
const POINTS: u32 = 61;
const FEW_POINTS: u32 = 7;

/// So many slices of a slow run are compared.
const SLICES: u32 = 60;

/// Devices of the slow set-ups whose defaults leave a method out.
const METHODS: [(&str, &[(&str, &str)]); 5] = [
    ("current-voltage", &[("temperature", "0 K")]),
    (
        "current-voltage",
        &[("temperature", "0 K"), ("capacitance", "2 pF")],
    ),
    ("current-voltage", &[("capacitance", "2 pF")]),
    ("voltage-flux", &[("temperature", "0 K")]),
    ("voltage-flux", &[("capacitance", "0.5 pF")]),
];

/// Gathers numbers by their bits.
pub(crate) struct Bits(Sha256);

impl Bits {
    /// Nothing gathered yet.
    pub(crate) fn new() -> Bits {
        Bits(Sha256::new())
    }

    /// Adds the bits of a number.
    pub(crate) fn take(&mut self, number: f64) {
        // Which not-a-number comes out is the processor's choice and nothing a reader could see.
        let number = if number.is_nan() { f64::NAN } else { number };
        self.0.update(number.to_bits().to_le_bytes());
    }

    /// The digest of all numbers taken.
    pub(crate) fn digest(self) -> String {
        self.0
            .finalize()
            .iter()
            .take(12)
            .map(|byte| format!("{byte:02x}"))
            .collect()
    }
}

/// Every digest by its name, computed here and now.
pub(crate) fn computed() -> BTreeMap<String, String> {
    let mut digests = BTreeMap::new();
    for (name, function) in ONE_ARGUMENT {
        let mut bits = Bits::new();
        for argument in arguments() {
            bits.take(function(argument));
        }
        digests.insert(format!("elementary {name}"), bits.digest());
    }
    for (name, function) in TWO_ARGUMENTS {
        let mut bits = Bits::new();
        for (first, second) in arguments().zip(arguments().skip(7)) {
            bits.take(function(first, second));
        }
        digests.insert(format!("elementary {name}"), bits.digest());
    }
    for description in experiment::descriptions() {
        let setup = Setup::new(description.kind).unwrap();
        digests.insert(format!("setup {}", description.kind), of_setup(&setup));
        for parameter in description.parameters {
            let factors: &[f64] = match description.pace() {
                Pace::AtOnce | Pace::Behind => &[0.53, 1.7],
                Pace::InSlices => &[1.7],
            };
            for factor in factors {
                let mut changed = setup.clone();
                // A value out of range, or a parameter that is a list, leaves nothing to compare.
                let Some(value) = setup.get_si(parameter.name) else {
                    continue;
                };
                if changed.set_si(parameter.name, value * factor).is_err()
                    || changed.check().is_err()
                {
                    continue;
                }
                digests.insert(
                    format!(
                        "setup {} {} times {factor}",
                        description.kind, parameter.name
                    ),
                    of_setup(&changed),
                );
            }
        }
    }
    for (kind, parameters) in METHODS {
        let mut setup = Setup::new(kind).unwrap();
        let mut name = format!("setup {kind}");
        for (parameter, value) in parameters {
            setup.set(parameter, value).unwrap();
            name.push_str(&format!(" {parameter} {value}").replace(' ', "-"));
        }
        digests.insert(name, of_setup(&setup));
    }
    digests.extend(records::computed());
    digests
}

/// Columns, readings and the insides behind the board picture.
fn of_setup(setup: &Setup) -> String {
    let (from, to) = setup.default_window();
    let points = match setup.description().pace() {
        Pace::AtOnce | Pace::Behind => POINTS,
        Pace::InSlices => FEW_POINTS,
    };
    let x: Vec<f64> = (0..points)
        .map(|index| from + (to - from) * f64::from(index) / f64::from(points - 1))
        .collect();
    let mut sweep = Sweep::begin(setup, &x).unwrap();
    let mut slices = 1;
    while !sweep.slice() && slices < SLICES {
        slices += 1;
    }
    let trace = sweep.trace();
    let mut bits = Bits::new();
    for column in &trace.columns {
        for value in &column.values {
            bits.take(*value);
        }
    }
    for reading in &trace.readings {
        bits.take(reading.value);
    }
    for place in x.iter().step_by(6) {
        // The shortest text that reads back as the same number: equal texts are equal bits.
        bits.0
            .update(format!("{:?}", experiment::inside(setup, *place).unwrap()));
    }
    bits.digest()
}

/// Small, large, round and odd arguments of both signs.
fn arguments() -> impl Iterator<Item = f64> {
    (-4000_i32..=4000)
        .map(|index| f64::from(index) * 0.007_812_4)
        .chain((-300_i32..=300).map(|index| f64::from(index) * 1_234.567_89))
        .chain((1_i32..=60).map(|index| 1e-18 * f64::from(index) * f64::from(index)))
}

type OneArgument = (&'static str, fn(f64) -> f64);
type TwoArguments = (&'static str, fn(f64, f64) -> f64);

const ONE_ARGUMENT: [OneArgument; 23] = [
    ("sin", e::sin),
    ("cos", e::cos),
    ("sin_cos sine", |x| e::sin_cos(x).0),
    ("sin_cos cosine", |x| e::sin_cos(x).1),
    ("tan", e::tan),
    ("asin", |x| e::asin(x / 40.0)),
    ("acos", |x| e::acos(x / 40.0)),
    ("exp", e::exp),
    ("log", e::log),
    ("log10", e::log10),
    ("tanh", e::tanh),
    ("cosh", e::cosh),
    ("sinh", e::sinh),
    ("cbrt", e::cbrt),
    ("bessel_j0", e::bessel_j0),
    ("bessel_j1", e::bessel_j1),
    ("sinc", e::sinc),
    ("sin_pi", e::sin_pi),
    ("cos_pi", e::cos_pi),
    ("vector sine", vector::sine::<f64>),
    ("vector cosine", vector::cosine::<f64>),
    ("vector sine of two", |x| {
        of_both(vector::sine(Pair::new(x, 0.7 * x)))
    }),
    ("vector cosine of two", |x| {
        of_both(vector::cosine(Pair::new(x, 0.7 * x)))
    }),
];

/// A number that changes with any bit of either lane, nearly always.
fn of_both(pair: Pair) -> f64 {
    let [one, two] = pair.both();
    f64::from_bits(one.to_bits() ^ two.to_bits().rotate_left(21))
}

const TWO_ARGUMENTS: [TwoArguments; 3] = [
    ("atan2", e::atan2),
    ("hypot", e::hypot),
    ("pow", |x, y| e::pow(x.abs(), y / 20.0)),
];

/// The digests as the file holds them.
pub(crate) fn recorded() -> BTreeMap<String, String> {
    RECORDED
        .lines()
        .filter(|line| !line.starts_with('#') && !line.trim().is_empty())
        .filter_map(|line| line.rsplit_once(' '))
        .map(|(name, digest)| (name.to_owned(), digest.to_owned()))
        .collect()
}

/// Fails with the names of what came out otherwise than recorded.
pub(crate) fn assert_recorded() {
    let computed = computed();
    let recorded = recorded();
    let names: std::collections::BTreeSet<&String> =
        computed.keys().chain(recorded.keys()).collect();
    let different: Vec<&&String> = names
        .iter()
        .filter(|name| computed.get(**name) != recorded.get(**name))
        .collect();
    assert!(
        different.is_empty(),
        "{} of {} digests differ from tests/golden/parity.txt: {different:?}. After a wanted change of the physics, \
         write it anew with COLDFRINGE_RECORD=1 cargo test --test same_bits",
        different.len(),
        names.len()
    );
}
