//! Units as they are written: products, quotients and (half-integer) powers of known symbols.

use super::QuantityError;
use super::number::plain;
use super::unit::{Dimension, Sized, Unit, lookup};
use crate::numerics::elementary::pow;
use crate::spelling;

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
            let is_digit = self
                .rest
                .starts_with(|letter: char| letter.is_ascii_digit());
            return Err(self.bad(if is_digit {
                "a number stands where a unit belongs; give one number with its unit"
            } else {
                "a unit is missing"
            }));
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
