//! Floor 1: numbers in decimal digits, read and written.
//!
//! Reading takes tables of a fiftieth of what a page may weigh, and every browser can do it too; so in
//! wasm the browser is asked. Both are exact: a text gives the nearest number. Nothing else that the
//! page uses may read a number that is not whole: `cargo verify` looks for those tables in the page.
//!
//! ```
//! use coldfringe::decimal::{fixed, parse, power, shortest};
//!
//! assert_eq!(parse("-2.07e-15"), Some(-2.07e-15));
//! assert_eq!(parse("0x10"), None);
//! assert_eq!(shortest(0.1 + 0.2), "0.30000000000000004");
//! assert_eq!(shortest(2.07e-15), "2.07e-15");
//! assert_eq!(fixed(-0.125, 2), "-0.12");
//! assert_eq!(power(2.0678e-15, 2), "2.07e-15");
//! ```

/// The number that digits, at most one point among them, and a sign and a power of ten (`e-6`), if
/// there are any, stand for; infinite when it is too large. None for any other text.
#[must_use]
pub fn parse(text: &str) -> Option<f64> {
    let mut has_digit = false;
    let plain = text.bytes().all(|byte| {
        has_digit |= byte.is_ascii_digit();
        matches!(byte, b'0'..=b'9' | b'.' | b'e' | b'E' | b'+' | b'-')
    });
    if !plain || !has_digit {
        return None;
    }
    here::parse(text)
}

/// The shortest text that reads back as the same number: plain digits from a millionth up to 10²¹,
/// and a power of ten beyond (`2.07e-15`, `1e+21`), as a browser writes numbers.
#[must_use]
pub fn shortest(value: f64) -> String {
    if value == 0.0 || !value.is_finite() || (1e-6..1e21).contains(&value.abs()) {
        // As in a browser, zero has no sign.
        return format!("{}", value + 0.0);
    }
    let text = format!("{value:e}");
    if value.abs() < 1.0 {
        text
    } else {
        text.replace('e', "e+")
    }
}

/// A number with so many decimals, rounded to the nearest, halves to even.
#[must_use]
pub fn fixed(value: f64, decimals: usize) -> String {
    format!("{value:.decimals$}")
}

/// A number with one digit before the point, so many decimals and a power of ten: `2.07e-15`.
#[must_use]
pub fn power(value: f64, decimals: usize) -> String {
    format!("{value:.decimals$e}")
}

#[cfg(not(target_arch = "wasm32"))]
mod here {
    pub(super) fn parse(text: &str) -> Option<f64> {
        text.parse().ok()
    }
}

#[cfg(target_arch = "wasm32")]
mod here {
    use js_sys::Number;
    use wasm_bindgen::JsValue;

    pub(super) fn parse(text: &str) -> Option<f64> {
        let number = Number::from(JsValue::from_str(text)).value_of();
        (!number.is_nan()).then_some(number)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]
mod tests {
    use super::*;

    /// Small and large, round, halfway and odd.
    fn values() -> impl Iterator<Item = f64> {
        let mut state = 7_u64;
        let odd = std::iter::repeat_with(move || {
            // Xorshift, for numbers without a pattern.
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            state as f64 / (1_u64 << (state % 63)) as f64
        });
        let halves = (-4000..4000).map(|k| f64::from(k) / 1600.0);
        let typed = (0..3000).map(|k| f64::from(k) * 0.005);
        halves.chain(typed).chain(odd.take(4000)).chain([0.0, -0.0])
    }

    #[test]
    fn the_shortest_text_reads_back() {
        for value in values().chain([5e-324, f64::MAX, 1e21, 9.999e20, 1e-6, 9.9e-7]) {
            assert_eq!(parse(&shortest(value)), Some(value));
        }
        for (value, text) in [
            (0.0, "0"),
            (-0.0, "0"),
            (1e21, "1e+21"),
            (1e20, "100000000000000000000"),
            (1.5e-7, "1.5e-7"),
            (1e-6, "0.000001"),
            (-12.5, "-12.5"),
        ] {
            assert_eq!(shortest(value), text);
        }
    }

    #[test]
    fn only_numbers_are_read() {
        for (text, value) in [
            ("1e400", f64::INFINITY),
            ("007", 7.0),
            (".5", 0.5),
            ("+3", 3.0),
        ] {
            assert_eq!(parse(text), Some(value));
        }
        for text in [
            "", ".", "e", "1e", "1.2.3", "--1", "0x1", " 1", "inf", "NaN", "1_0",
        ] {
            assert_eq!(parse(text), None, "{text}");
        }
    }
}
