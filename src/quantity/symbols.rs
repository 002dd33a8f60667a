//! Units as readers see them: `uA` is µA, `Phi0/sqrt(Hz)` is Φ₀/√Hz, `um2` is µm².

/// Other ways to write a symbol, and the one that is shown.
const SHOWN: &[(&str, &str)] = &[
    ("Phi_0", "Φ₀"),
    ("phi_0", "Φ₀"),
    ("Φ_0", "Φ₀"),
    ("Phi0", "Φ₀"),
    ("phi0", "Φ₀"),
    ("Φ0", "Φ₀"),
    ("ohms", "Ω"),
    ("ohm", "Ω"),
    ("Ohm", "Ω"),
    ("sqrt", "√"),
    ("√(Hz)", "√Hz"),
    ("**", "^"),
    ("*", "·"),
];

/// A unit as readers see it, whether it comes from the model, from a file or from a keyboard. What
/// is shown can be typed again. `1`, for no unit, is nothing.
///
/// ```
/// use coldfringe::quantity::shown_unit;
/// assert_eq!(shown_unit("uPhi0/sqrt(Hz)"), "µΦ₀/√Hz");
/// assert_eq!(shown_unit("um^2"), "µm²");
/// assert_eq!(shown_unit("s^-1"), "s⁻¹");
/// assert_eq!(shown_unit("Hz^-1/2"), "Hz^-1/2"); // no small stroke in every font
/// ```
#[must_use]
pub fn shown_unit(unit: &str) -> String {
    let mut plain = unit.trim().to_owned();
    if plain == "1" {
        return String::new();
    }
    for (written, shown) in SHOWN {
        plain = plain.replace(written, shown);
    }
    let mut text = String::new();
    let mut rest = plain.as_str();
    while let Some(letter) = rest.chars().next() {
        rest = &rest[letter.len_utf8()..];
        let follows_letter = text.ends_with(|last: char| last.is_alphabetic() || last == '₀');
        let begins_word = letter.is_alphabetic() && !follows_letter;
        if letter == 'u' && begins_word && rest.starts_with(char::is_alphabetic) {
            text.push('µ');
        } else if let Some((power, after)) = exponent(letter, rest).filter(|_| follows_letter) {
            text.push_str(&power);
            rest = after;
        } else {
            text.push(letter);
        }
    }
    text
}

/// A whole exponent that begins with a letter, written small, and what follows it: the digits of
/// `m2`, or what comes after the sign of `m^2`.
fn exponent(letter: char, rest: &str) -> Option<(String, &str)> {
    let (negative, digits, rest) = if letter == '^' {
        let unsigned = rest.strip_prefix('-').unwrap_or(rest);
        let end = end_of_digits(unsigned);
        (
            unsigned.len() < rest.len(),
            unsigned[..end].to_owned(),
            &unsigned[end..],
        )
    } else {
        let end = end_of_digits(rest);
        let first = letter.is_ascii_digit().then_some(letter)?;
        (false, format!("{first}{}", &rest[..end]), &rest[end..])
    };
    // Halves are left as they are written.
    let is_whole = !digits.is_empty() && !rest.starts_with(['.', ',']) && !rest.starts_with("/2");
    is_whole.then(|| (raised(negative, &digits), rest))
}

fn end_of_digits(text: &str) -> usize {
    text.bytes().take_while(u8::is_ascii_digit).count()
}

/// Digits in small writing above the line.
pub(super) fn raised(negative: bool, digits: &str) -> String {
    const SMALL: [char; 10] = ['⁰', '¹', '²', '³', '⁴', '⁵', '⁶', '⁷', '⁸', '⁹'];
    let small = digits
        .bytes()
        .filter_map(|digit| SMALL.get(usize::from(digit.wrapping_sub(b'0'))));
    negative.then_some(&'⁻').into_iter().chain(small).collect()
}
