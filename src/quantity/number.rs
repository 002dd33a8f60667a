//! The number at the start of a quantity, in all the ways it is written.

use super::{LONGEST, QuantityError};
use crate::decimal;

/// A number as typed.
#[derive(Debug, Clone, Copy)]
pub(super) struct Number {
    pub(super) value: f64,
    pub(super) significant_figures: u32,
}

/// The text with every dialect of a sign, space or superscript turned into one.
pub(super) fn plain(text: &str) -> Result<String, QuantityError> {
    let mut plain = String::new();
    let mut raised = false;
    let mut length = 0_usize;
    for letter in text.trim().chars() {
        length += 1;
        if length > LONGEST {
            return Err(QuantityError::TooLong);
        }
        // A run of superscripts becomes `^` and plain digits; `^` already written is not doubled.
        if let Some(digit) = superscript(letter) {
            if !raised && !plain.ends_with('^') {
                plain.push('^');
            }
            raised = true;
            plain.push(digit);
            continue;
        }
        raised = false;
        plain.push(match letter {
            '\u{2212}' | '\u{2010}' | '\u{2011}' | '\u{2012}' | '\u{2013}' | '\u{FE63}'
            | '\u{FF0D}' => '-',
            '\u{FF0B}' => '+',
            '\u{3BC}' => 'µ',
            '\u{2126}' => 'Ω',
            '\u{2080}'..='\u{2089}' => {
                char::from_digit(u32::from(letter) - 0x2080, 10).unwrap_or(letter)
            }
            '\u{22C5}' | '\u{2219}' | '\u{2022}' => '·',
            '\u{2217}' => '*',
            '\u{2215}' | '\u{2044}' => '/',
            '\u{3D5}' | 'φ' => 'Φ',
            '\u{66B}' | '\u{FF0C}' => ',',
            // Marks that are not seen at all would make an unknown unit that looks known.
            '\u{200B}' | '\u{200C}' | '\u{200D}' | '\u{2060}' | '\u{FEFF}' => continue,
            other if other.is_whitespace() => ' ',
            other => other,
        });
    }
    let plain = plain.trim().to_string();
    if plain.is_empty() {
        return Err(QuantityError::Empty);
    }
    Ok(plain)
}

fn superscript(letter: char) -> Option<char> {
    Some(match letter {
        '⁰' => '0',
        '¹' => '1',
        '²' => '2',
        '³' => '3',
        '⁴' => '4',
        '⁵' => '5',
        '⁶' => '6',
        '⁷' => '7',
        '⁸' => '8',
        '⁹' => '9',
        '⁻' => '-',
        '⁺' => '+',
        _ => return None,
    })
}

/// Splits a plain text into its number and what follows.
pub(super) fn split(plain: &str) -> Result<(Number, &str), QuantityError> {
    let (negative, unsigned) = sign(plain);
    let mantissa = mantissa_end(unsigned);
    let (digits, rest) = unsigned.split_at(mantissa);
    if !digits.contains(|letter: char| letter.is_ascii_digit()) {
        let word = unsigned.to_ascii_lowercase();
        if ["inf", "nan", "∞"]
            .iter()
            .any(|start| word.starts_with(start))
        {
            return Err(QuantityError::NotFinite(plain.to_string()));
        }
        return Err(QuantityError::NoNumber(plain.to_string()));
    }
    let digits = decimal(digits)?;
    let (exponent, rest) = exponent(plain, &digits, rest)?;
    let (digits, exponent) = match exponent {
        Exponent::None => (digits, 0),
        Exponent::Times(power) => (digits, power),
        Exponent::OfTen(power) => ("1".to_string(), power),
    };
    let sign = if negative { "-" } else { "" };
    let value = decimal::parse(&format!("{sign}{digits}e{exponent}"))
        .ok_or_else(|| QuantityError::NoNumber(plain.to_string()))?;
    if !value.is_finite() {
        return Err(QuantityError::NotFinite(plain.to_string()));
    }
    let nothing = digits
        .bytes()
        .all(|byte| !byte.is_ascii_digit() || byte == b'0');
    if !nothing && value.abs() < f64::MIN_POSITIVE {
        return Err(QuantityError::TooSmall(plain.to_string()));
    }
    Ok((
        Number {
            value,
            significant_figures: significant(&digits),
        },
        rest,
    ))
}

fn sign(text: &str) -> (bool, &str) {
    if let Some(rest) = text.strip_prefix('-') {
        (true, rest.trim_start())
    } else if let Some(rest) = text.strip_prefix('+') {
        (false, rest.trim_start())
    } else {
        (false, text)
    }
}

/// Where digits, points, commas and single spaces between groups of three digits end.
fn mantissa_end(text: &str) -> usize {
    let bytes = text.as_bytes();
    let digit = |k: usize| bytes.get(k).is_some_and(u8::is_ascii_digit);
    let mut end = 0;
    while let Some(byte) = bytes.get(end) {
        let goes_on = match byte {
            b'0'..=b'9' | b'.' | b',' => true,
            b' ' => {
                end > 0
                    && digit(end - 1)
                    && digit(end + 1)
                    && digit(end + 2)
                    && digit(end + 3)
                    && !digit(end + 4)
            }
            _ => false,
        };
        if !goes_on {
            break;
        }
        end += 1;
    }
    end
}

/// Digits with one decimal point, from digits with points, commas and spaces.
fn decimal(digits: &str) -> Result<String, QuantityError> {
    let commas = digits.matches(',').count();
    let points = digits.matches('.').count();
    let joined: String = digits.chars().filter(|letter| *letter != ' ').collect();
    if points > 1 || (points == 1 && commas > 0) {
        return Err(QuantityError::Mixed(digits.to_string()));
    }
    if commas == 0 {
        return Ok(joined);
    }
    let parts: Vec<&str> = joined.split(',').collect();
    let first = parts.first().copied().unwrap_or("");
    let in_threes = parts.iter().skip(1).all(|part| part.len() == 3);
    if commas == 1 {
        // One comma and three digits after it: 1,234 is a thousand to some and one to others.
        // A leading zero, or more than three digits before the comma, can only be a decimal comma.
        let whole = !first.is_empty() && first.len() <= 3 && !first.starts_with('0');
        if in_threes && whole && joined.len() == digits.len() {
            return Err(QuantityError::Ambiguous(
                digits.to_string(),
                joined.replace(',', "."),
                joined.replace(',', ""),
            ));
        }
        return Ok(joined.replace(',', "."));
    }
    Err(QuantityError::Mixed(digits.to_string()))
}

enum Exponent {
    None,
    /// The mantissa is to be multiplied by this power of ten.
    Times(i32),
    /// The mantissa was itself the ten of a power.
    OfTen(i32),
}

/// An exponent after the mantissa: `e-6`, `×10^-6`, or the power of a bare ten.
fn exponent<'a>(
    plain: &str,
    digits: &str,
    rest: &'a str,
) -> Result<(Exponent, &'a str), QuantityError> {
    if digits == "10"
        && let Some(after) = rest.strip_prefix('^').or_else(|| rest.strip_prefix("**"))
    {
        let (power, rest) = whole(plain, after.trim_start())?;
        return Ok((Exponent::OfTen(power), rest));
    }
    if let Some(after) = rest.strip_prefix(['e', 'E']) {
        let signed = after.strip_prefix(['-', '+']).unwrap_or(after);
        if signed.starts_with(|letter: char| letter.is_ascii_digit()) {
            let (power, rest) = whole(plain, after)?;
            return Ok((Exponent::Times(power), rest));
        }
        // `eV` is a unit, and so is anything else that starts with a letter.
        if signed.is_empty() || signed.len() < after.len() {
            return Err(QuantityError::Exponent(plain.to_string()));
        }
        return Ok((Exponent::None, rest));
    }
    let trimmed = rest.trim_start();
    for times in ["×", "*", "·", "x", "X"] {
        let Some(after) = trimmed.strip_prefix(times) else {
            continue;
        };
        let Some(after) = after.trim_start().strip_prefix("10") else {
            continue;
        };
        if after.starts_with(|letter: char| letter.is_ascii_digit()) {
            continue;
        }
        let after = after.trim_start();
        let Some(after) = after.strip_prefix('^').or_else(|| after.strip_prefix("**")) else {
            return Err(QuantityError::Exponent(plain.to_string()));
        };
        let (power, rest) = whole(plain, after.trim_start())?;
        return Ok((Exponent::Times(power), rest));
    }
    Ok((Exponent::None, rest))
}

/// A whole number with its sign, in brackets or not, and what follows.
fn whole<'a>(plain: &str, text: &'a str) -> Result<(i32, &'a str), QuantityError> {
    let inner = text.strip_prefix(['(', '{']).unwrap_or(text);
    let bracketed = inner.len() < text.len();
    let (negative, unsigned) = sign(inner);
    let end = unsigned
        .find(|letter: char| !letter.is_ascii_digit())
        .unwrap_or(unsigned.len());
    let (digits, mut rest) = unsigned.split_at(end);
    if digits.is_empty() {
        return Err(QuantityError::Exponent(plain.to_string()));
    }
    if bracketed {
        rest = rest
            .strip_prefix([')', '}'])
            .ok_or_else(|| QuantityError::Exponent(plain.to_string()))?;
    }
    // Beyond four digits every number is infinite or zero; the value itself no longer matters.
    let size = digits
        .trim_start_matches('0')
        .chars()
        .take(5)
        .collect::<String>();
    let size: i32 = if size.is_empty() {
        0
    } else {
        size.parse().unwrap_or(99_999)
    };
    Ok((if negative { -size } else { size }, rest))
}

/// Significant figures of plain digits: leading zeros do not count.
fn significant(digits: &str) -> u32 {
    let figures = digits
        .bytes()
        .filter(u8::is_ascii_digit)
        .skip_while(|byte| *byte == b'0')
        .count();
    u32::try_from(figures).unwrap_or(u32::MAX).max(1)
}
