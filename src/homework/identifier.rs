//! A student's identifier, brought to one form: the same person types it with a capital here and
//! a blank there, and must get the same numbers.

use thiserror::Error;

/// Longest identifier, in characters.
pub const LONGEST: usize = 64;

/// A student's identifier in its one form: no blanks around it, compatibility forms composed
/// (Unicode NFKC), small letters.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Identifier(String);

/// Why a text is not an identifier.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum IdentifierError {
    /// Nothing was typed.
    #[error("type the identifier that your course gave you")]
    Empty,
    /// It is longer than any identifier.
    #[error("this is longer than {LONGEST} characters; type the identifier alone")]
    TooLong,
    /// It holds signs that cannot be seen.
    #[error("this holds a sign that cannot be seen; type the identifier by hand")]
    Invisible,
}

impl Identifier {
    /// Reads an identifier as typed.
    ///
    /// # Errors
    /// When nothing is left of it, when it is too long, or when it holds control signs.
    pub fn new(typed: &str) -> Result<Self, IdentifierError> {
        if typed.len() > 16 * LONGEST {
            return Err(IdentifierError::TooLong);
        }
        // Composed once more: small letters may bring marks that stand in another order.
        let plain = composed(&small(composed(typed.trim()).trim()));
        if plain.is_empty() {
            Err(IdentifierError::Empty)
        } else if plain.chars().count() > LONGEST {
            Err(IdentifierError::TooLong)
        } else if plain.chars().any(unseen) {
            Err(IdentifierError::Invisible)
        } else {
            Ok(Self(plain))
        }
    }

    /// The one form.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

/// Control signs, and marks without width that make two identifiers look the same.
fn unseen(letter: char) -> bool {
    letter.is_control()
        || matches!(letter, '\u{200B}'..='\u{200F}' | '\u{202A}'..='\u{202E}' | '\u{2060}'..='\u{2064}' | '\u{FEFF}')
}

/// Unicode normalisation form NFKC.
#[cfg(not(target_arch = "wasm32"))]
fn composed(text: &str) -> String {
    use unicode_normalization::UnicodeNormalization as _;
    text.nfkc().collect()
}

/// Unicode normalisation form NFKC, by the browser: its tables need not be fetched.
#[cfg(target_arch = "wasm32")]
fn composed(text: &str) -> String {
    js_sys::JsString::from(text).normalize("NFKC").into()
}

/// Small letters, by Unicode's rules.
#[cfg(not(target_arch = "wasm32"))]
fn small(text: &str) -> String {
    text.to_lowercase()
}

/// Small letters, by the browser, whose rules are the same.
#[cfg(target_arch = "wasm32")]
fn small(text: &str) -> String {
    js_sys::JsString::from(text).to_lower_case().into()
}

#[cfg(test)]
mod tests {
    use super::{Identifier, IdentifierError, LONGEST};

    #[test]
    fn one_person_has_one_form() {
        let form = |typed: &str| Identifier::new(typed).map(|it| it.as_str().to_owned());
        // Full-width digits and a ligature, from the compatibility forms of Unicode (UAX 15).
        for typed in ["ab12", " AB12 ", "\u{FF41}b\u{FF11}2", "Ab12\t"] {
            assert_eq!(form(typed), Ok("ab12".to_owned()), "{typed:?}");
        }
        // e with acute accent, composed and not.
        assert_eq!(form("Ren\u{E9}"), form("Rene\u{301}"));
        assert_eq!(form("o\u{FB03}ce"), Ok("office".to_owned()));
        // A capital that becomes a letter and a mark, before a mark that belongs in front of it: found by spoiling texts.
        let ordered = form("\u{130}\u{C4D}&");
        assert_eq!(ordered, Ok("i\u{C4D}\u{307}&".to_owned()));
        assert_eq!(ordered.clone().and_then(|once| form(&once)), ordered);
    }

    #[test]
    fn what_is_no_identifier_is_told() {
        assert_eq!(Identifier::new(" \u{3000} "), Err(IdentifierError::Empty));
        assert_eq!(
            Identifier::new(&"a".repeat(LONGEST + 1)),
            Err(IdentifierError::TooLong)
        );
        assert_eq!(
            Identifier::new(&" ".repeat(10_000)),
            Err(IdentifierError::TooLong)
        );
        for typed in ["ab\u{7}c", "ab\u{200B}c", "a\u{202E}b"] {
            assert_eq!(Identifier::new(typed), Err(IdentifierError::Invisible));
        }
    }
}
