//! What can be measured, and the table of symbols with their prefixes.

use crate::constants::{ELEMENTARY_CHARGE, FLUX_QUANTUM};

/// Twice the exponents of metre, kilogram, second, ampere and kelvin. Doubled, because noise
/// densities have a square root of the frequency.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Hash)]
pub struct Dimension([i8; 5]);

impl Dimension {
    /// No dimension: a pure number.
    pub const NONE: Self = Self([0; 5]);

    const fn whole(metre: i8, kilogram: i8, second: i8, ampere: i8, kelvin: i8) -> Self {
        Self([2 * metre, 2 * kilogram, 2 * second, 2 * ampere, 2 * kelvin])
    }

    /// What is measured, in words, where the trade has a word for it.
    #[must_use]
    pub fn words(self) -> Option<&'static str> {
        WORDS
            .iter()
            .find(|(dimension, _)| *dimension == self)
            .map(|(_, words)| *words)
    }

    /// This dimension times another to the power `halves`/2; none when an exponent is out of range
    /// or not a whole number of halves.
    pub(super) fn times(self, other: Self, halves: i16) -> Option<Self> {
        let mut sum = [0_i8; 5];
        for ((total, a), b) in sum.iter_mut().zip(self.0).zip(other.0) {
            let more = i16::from(b).checked_mul(halves)?;
            if more % 2 != 0 {
                return None;
            }
            *total = i8::try_from(i16::from(a).checked_add(more / 2)?).ok()?;
        }
        Some(Self(sum))
    }
}

const WORDS: &[(Dimension, &str)] = &[
    (Dimension::NONE, "a pure number"),
    (Dimension::whole(0, 0, 0, 1, 0), "a current"),
    (Dimension::whole(2, 1, -3, -1, 0), "a voltage"),
    (Dimension::whole(2, 1, -3, -2, 0), "a resistance"),
    (Dimension::whole(2, 1, -2, -1, 0), "a magnetic flux"),
    (Dimension::whole(0, 1, -2, -1, 0), "a magnetic field"),
    (Dimension::whole(2, 1, -2, -2, 0), "an inductance"),
    (Dimension::whole(-2, -1, 4, 2, 0), "a capacitance"),
    (Dimension::whole(0, 0, -1, 0, 0), "a frequency"),
    (Dimension::whole(0, 0, 1, 0, 0), "a time"),
    (Dimension::whole(1, 0, 0, 0, 0), "a length"),
    (Dimension::whole(2, 0, 0, 0, 0), "an area"),
    (Dimension::whole(0, 0, 0, 0, 1), "a temperature"),
    (Dimension::whole(2, 1, -2, 0, 0), "an energy"),
    (Dimension::whole(2, 1, -3, 0, 0), "a power"),
    (Dimension::whole(0, 0, 1, 1, 0), "a charge"),
    (Dimension::whole(-2, 0, 0, 1, 0), "a current density"),
];

/// A unit as written, with its size in SI base units.
#[derive(Debug, Clone, PartialEq)]
pub struct Unit {
    /// As written, with signs and spaces made plain, e.g. `fWb` or `Φ0/sqrt(Hz)`.
    pub symbol: String,
    /// How many SI base units it is.
    pub factor: f64,
    /// What it measures.
    pub dimension: Dimension,
}

/// Symbol, size in SI, dimension, whether it takes prefixes.
const TABLE: &[(&str, f64, Dimension, bool)] = &[
    ("A", 1.0, Dimension::whole(0, 0, 0, 1, 0), true),
    ("V", 1.0, Dimension::whole(2, 1, -3, -1, 0), true),
    ("Ω", 1.0, Dimension::whole(2, 1, -3, -2, 0), true),
    ("ohms", 1.0, Dimension::whole(2, 1, -3, -2, 0), true),
    ("ohm", 1.0, Dimension::whole(2, 1, -3, -2, 0), true),
    ("Ohm", 1.0, Dimension::whole(2, 1, -3, -2, 0), true),
    ("Wb", 1.0, Dimension::whole(2, 1, -2, -1, 0), true),
    (
        "Phi0",
        FLUX_QUANTUM,
        Dimension::whole(2, 1, -2, -1, 0),
        true,
    ),
    (
        "phi0",
        FLUX_QUANTUM,
        Dimension::whole(2, 1, -2, -1, 0),
        true,
    ),
    (
        "Phi_0",
        FLUX_QUANTUM,
        Dimension::whole(2, 1, -2, -1, 0),
        true,
    ),
    (
        "phi_0",
        FLUX_QUANTUM,
        Dimension::whole(2, 1, -2, -1, 0),
        true,
    ),
    ("Φ0", FLUX_QUANTUM, Dimension::whole(2, 1, -2, -1, 0), true),
    ("Φ_0", FLUX_QUANTUM, Dimension::whole(2, 1, -2, -1, 0), true),
    ("T", 1.0, Dimension::whole(0, 1, -2, -1, 0), true),
    ("tesla", 1.0, Dimension::whole(0, 1, -2, -1, 0), true),
    ("G", 1e-4, Dimension::whole(0, 1, -2, -1, 0), true),
    ("gauss", 1e-4, Dimension::whole(0, 1, -2, -1, 0), true),
    ("H", 1.0, Dimension::whole(2, 1, -2, -2, 0), true),
    ("F", 1.0, Dimension::whole(-2, -1, 4, 2, 0), true),
    ("Hz", 1.0, Dimension::whole(0, 0, -1, 0, 0), true),
    ("s", 1.0, Dimension::whole(0, 0, 1, 0, 0), true),
    ("m", 1.0, Dimension::whole(1, 0, 0, 0, 0), true),
    ("K", 1.0, Dimension::whole(0, 0, 0, 0, 1), true),
    ("J", 1.0, Dimension::whole(2, 1, -2, 0, 0), true),
    (
        "eV",
        ELEMENTARY_CHARGE,
        Dimension::whole(2, 1, -2, 0, 0),
        true,
    ),
    ("W", 1.0, Dimension::whole(2, 1, -3, 0, 0), true),
    ("C", 1.0, Dimension::whole(0, 0, 1, 1, 0), true),
    ("g", 1e-3, Dimension::whole(0, 1, 0, 0, 0), true),
    ("%", 0.01, Dimension::NONE, false),
    ("rad", 1.0, Dimension::NONE, false),
];

const PREFIXES: &[(&str, f64)] = &[
    ("z", 1e-21),
    ("a", 1e-18),
    ("f", 1e-15),
    ("p", 1e-12),
    ("n", 1e-9),
    ("µ", 1e-6),
    ("u", 1e-6),
    ("m", 1e-3),
    ("c", 1e-2),
    ("k", 1e3),
    ("M", 1e6),
    ("G", 1e9),
    ("T", 1e12),
];

/// A size in SI base units, and what is measured.
pub(super) type Sized = (f64, Dimension);

/// A symbol, or a prefix and a symbol.
pub(super) fn lookup(word: &str) -> Option<Sized> {
    if let Some((_, factor, dimension, _)) = TABLE.iter().find(|row| row.0 == word) {
        return Some((*factor, *dimension));
    }
    for (prefix, size) in PREFIXES {
        let Some(symbol) = word.strip_prefix(prefix) else {
            continue;
        };
        if let Some((_, factor, dimension, true)) = TABLE.iter().find(|row| row.0 == symbol) {
            return Some((size * factor, *dimension));
        }
    }
    None
}
