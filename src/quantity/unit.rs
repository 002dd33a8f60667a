//! Units: products, quotients and (half-integer) powers of a small table with SI prefixes.

use super::QuantityError;
use super::number::plain;
use crate::constants::{ELEMENTARY_CHARGE, FLUX_QUANTUM};
use crate::numerics::elementary::pow;
use crate::spelling;

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
    fn times(self, other: Self, halves: i16) -> Option<Self> {
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

/// Reads a unit: `uA`, `µm²`, `um^2`, `mT`, `V s`, `Φ0/√Hz`, `Phi0/Hz^0.5`, `pV/sqrt(Hz)`, `V/T`.
///
/// Products by space, `*`, `·` or `×`; quotients by `/` (each `/` divides by the one factor after
/// it); powers by `^` or superscripts, whole or half. `T` is always tesla and `G` alone gauss.
///
/// # Errors
/// [`QuantityError::UnknownUnit`] names the part that is not known and offers the nearest one;
/// [`QuantityError::BadUnit`] says what is wrong with the expression.
pub fn parse_unit(text: &str) -> Result<Unit, QuantityError> {
    let text = plain(text)?;
    let mut reader = Reader {
        whole: &text,
        rest: &text,
        depth: 0,
    };
    let (factor, dimension) = reader.product()?;
    if !reader.rest.is_empty() {
        return Err(reader.bad("there is something after its end"));
    }
    if !factor.is_finite() || factor < f64::MIN_POSITIVE {
        return Err(reader.bad("its size is out of range"));
    }
    Ok(Unit {
        symbol: text.clone(),
        factor,
        dimension,
    })
}

struct Reader<'a> {
    whole: &'a str,
    rest: &'a str,
    depth: u8,
}

type Sized = (f64, Dimension);

impl Reader<'_> {
    fn bad(&self, why: &str) -> QuantityError {
        QuantityError::BadUnit(self.whole.to_string(), why.to_string())
    }

    fn take(&mut self, mark: &str) -> bool {
        match self.rest.strip_prefix(mark) {
            Some(rest) => {
                self.rest = rest;
                true
            }
            None => false,
        }
    }

    fn spaces(&mut self) {
        self.rest = self.rest.trim_start();
    }

    fn product(&mut self) -> Result<Sized, QuantityError> {
        self.spaces();
        // `1/Hz` starts with a one.
        let mut total = if self.rest.starts_with("1/") || self.rest.starts_with("1 /") {
            self.take("1");
            (1.0, Dimension::NONE)
        } else {
            self.power()?
        };
        loop {
            self.spaces();
            if self.rest.is_empty() || self.rest.starts_with(')') {
                return Ok(total);
            }
            let over = self.take("/");
            if !over {
                let _ = self.take("*") || self.take("·") || self.take("×");
            }
            self.spaces();
            let (factor, dimension) = self.power()?;
            total.0 = if over {
                total.0 / factor
            } else {
                total.0 * factor
            };
            total.1 = total
                .1
                .times(dimension, if over { -2 } else { 2 })
                .ok_or_else(|| self.bad("an exponent is out of range"))?;
        }
    }

    fn power(&mut self) -> Result<Sized, QuantityError> {
        let (factor, dimension) = self.atom()?;
        let halves = if self.take("^") || self.take("**") {
            self.exponent()?
        } else {
            return Ok((factor, dimension));
        };
        self.raise(factor, dimension, halves)
    }

    fn raise(
        &self,
        factor: f64,
        dimension: Dimension,
        halves: i16,
    ) -> Result<Sized, QuantityError> {
        let raised = Dimension::NONE
            .times(dimension, halves)
            .ok_or_else(|| self.bad("an exponent is out of range or not a half"))?;
        let size = match halves {
            1 => factor.sqrt(),
            2 => factor,
            4 => factor * factor,
            _ => pow(factor, f64::from(halves) * 0.5),
        };
        Ok((size, raised))
    }

    fn atom(&mut self) -> Result<Sized, QuantityError> {
        if self.depth >= 4 {
            return Err(self.bad("it has too many brackets"));
        }
        let root = self.take("sqrt") || self.take("√");
        self.spaces();
        let inner = if self.take("(") {
            self.depth += 1;
            let inner = self.product()?;
            self.depth -= 1;
            if !self.take(")") {
                return Err(self.bad("a bracket is not closed"));
            }
            inner
        } else {
            self.symbol()?
        };
        if root {
            self.raise(inner.0, inner.1, 1)
        } else {
            Ok(inner)
        }
    }

    fn symbol(&mut self) -> Result<Sized, QuantityError> {
        let end = self
            .rest
            .char_indices()
            .find(|(at, letter)| {
                let first = *at == 0;
                !(letter.is_alphabetic()
                    || *letter == '%'
                    || *letter == '_'
                    || (!first && letter.is_ascii_digit()))
            })
            .map_or(self.rest.len(), |(at, _)| at);
        let (word, rest) = self.rest.split_at(end);
        if word.is_empty() {
            return Err(self.bad("a unit is missing"));
        }
        if let Some(found) = lookup(word) {
            self.rest = rest;
            return Ok(found);
        }
        // `m2` and `s-1` are written too: a known symbol with its exponent attached.
        let letters = word.trim_end_matches(|letter: char| letter.is_ascii_digit());
        if letters.len() < word.len()
            && let (Some((factor, dimension)), Ok(exponent)) =
                (lookup(letters), word[letters.len()..].parse::<i16>())
        {
            self.rest = rest;
            return self.raise(factor, dimension, exponent.saturating_mul(2));
        }
        Err(unknown(word))
    }

    /// Twice the exponent: `2`, `-1`, `0.5`, `1/2`, `(1/2)`, `-1/2`.
    fn exponent(&mut self) -> Result<i16, QuantityError> {
        self.spaces();
        let bracketed = self.take("(") || self.take("{");
        let negative = self.take("-");
        if !negative {
            self.take("+");
        }
        let first = self.digits()?;
        let mut halves = first.checked_mul(2);
        if self.take(".") || self.take(",") {
            let start = self.rest;
            let decimals = self.digits()?;
            let width = start.len() - self.rest.len();
            halves = match (decimals, width) {
                (0, _) => halves,
                (5, 1) | (50, 2) => halves.and_then(|whole| whole.checked_add(1)),
                _ => return Err(self.bad("exponents are whole or half")),
            };
        } else if bracketed || self.rest.starts_with("/2") {
            // Unbracketed, only a half is read as a fraction: `V^2/Hz` is a quotient of units.
            if self.take("/") {
                let under = self.digits()?;
                halves = match under {
                    1 => halves,
                    2 => Some(first),
                    _ => return Err(self.bad("exponents are whole or half")),
                };
            }
        }
        if bracketed && !(self.take(")") || self.take("}")) {
            return Err(self.bad("a bracket is not closed"));
        }
        let halves = halves
            .filter(|size| *size <= 40)
            .ok_or_else(|| self.bad("an exponent is out of range"))?;
        Ok(if negative { -halves } else { halves })
    }

    fn digits(&mut self) -> Result<i16, QuantityError> {
        let end = self
            .rest
            .find(|letter: char| !letter.is_ascii_digit())
            .unwrap_or(self.rest.len());
        let (digits, rest) = self.rest.split_at(end);
        let value = digits
            .parse()
            .map_err(|_| self.bad("an exponent is missing or out of range"))?;
        self.rest = rest;
        Ok(value)
    }
}

/// A symbol, or a prefix and a symbol.
fn lookup(word: &str) -> Option<Sized> {
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

fn unknown(word: &str) -> QuantityError {
    const COMMON: &[&str] = &[
        "A", "mA", "uA", "nA", "V", "mV", "uV", "nV", "pV", "ohm", "Wb", "fWb", "Phi0", "uPhi0",
        "mPhi0", "T", "mT", "uT", "nT", "G", "H", "nH", "pH", "F", "pF", "fF", "Hz", "kHz", "MHz",
        "GHz", "s", "ns", "m", "mm", "um", "nm", "K", "mK", "J", "eV", "gauss", "tesla",
    ];
    let mend = match spelling::nearest(word, COMMON.iter().copied()) {
        Some(near) => format!("did you mean \"{near}\"?"),
        None => "known are A, V, ohm, Wb, Phi0, T, G, H, F, Hz, s, m, K, J, eV with SI prefixes"
            .to_string(),
    };
    QuantityError::UnknownUnit(word.to_string(), mend)
}
