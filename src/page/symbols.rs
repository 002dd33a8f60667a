//! Formulas in the words of the model, which the command prints in plain letters
//! (`2 pi L I0 / Phi0`), as readers of a page see them: 2πLI₀/Φ₀ with slanted symbols.

use super::html::escape;

/// The signs that may stand beside a symbol within a formula.
const SIGNS: &[char] = &['/', '(', ')', ':', ';', ','];

/// Words as HTML: the symbols of formulas slanted and with their indices, closed up.
#[must_use]
pub(super) fn marked(words: &str) -> String {
    let mut html = String::new();
    let mut before = false;
    let tokens: Vec<&str> = words.split(' ').collect();
    for (at, token) in tokens.iter().enumerate() {
        let is_formula = is_formula(&tokens, at);
        // Within a formula the spaces of the plain writing go.
        if at > 0 && !(before && is_formula) {
            html.push(' ');
        }
        if is_formula {
            for piece in pieces(token) {
                match symbol(piece) {
                    Some((marked, _)) => html.push_str(&marked),
                    None => html.push_str(&escape(piece)),
                }
            }
        } else {
            html.push_str(&escape(token));
        }
        before = is_formula && !token.ends_with([':', ';', ',']);
    }
    html
}

/// Words as plain text with the letters of the trade: `2 π L I₀ / Φ₀`.
#[must_use]
pub(super) fn plain(words: &str) -> String {
    let tokens: Vec<&str> = words.split(' ').collect();
    let shown: Vec<String> = (0..tokens.len())
        .map(|at| {
            if !is_formula(&tokens, at) {
                return tokens[at].to_owned();
            }
            pieces(tokens[at])
                .map(|piece| symbol(piece).map_or_else(|| piece.to_owned(), |known| known.1))
                .collect()
        })
        .collect();
    shown.join(" ")
}

/// Whether a word is part of a formula: symbols and signs only; a number or a stroke where a
/// formula goes on after it.
fn is_formula(tokens: &[&str], at: usize) -> bool {
    let Some(token) = tokens.get(at) else {
        return false;
    };
    let is_number = |piece: &str| piece.parse::<u32>().is_ok();
    let is_sign = |piece: &str| piece.chars().all(|letter| SIGNS.contains(&letter));
    let known = |piece: &str| symbol(piece).is_some() || is_number(piece) || is_sign(piece);
    if token.is_empty() || !pieces(token).all(known) {
        return false;
    }
    pieces(token).any(|piece| symbol(piece).is_some()) || is_formula(tokens, at + 1)
}

/// A word cut at its signs: `L/R` is `L`, `/`, `R`.
fn pieces(token: &str) -> impl Iterator<Item = &str> {
    token
        .split_inclusive(SIGNS)
        .flat_map(|part| {
            let cut = part.len() - usize::from(part.ends_with(SIGNS));
            let (word, sign) = part.split_at(cut);
            [word, sign]
        })
        .filter(|piece| !piece.is_empty())
}

/// A symbol as HTML and as plain text.
fn symbol(piece: &str) -> Option<(String, String)> {
    let of = |letter: &str, tag: &str, index: &str, plain: &str| {
        let index = if tag.is_empty() {
            String::new()
        } else {
            format!("<{tag}>{index}</{tag}>")
        };
        Some((format!("<i>{letter}</i>{index}"), plain.to_owned()))
    };
    match piece {
        "pi" => Some(("π".to_owned(), "π".to_owned())),
        "omega" => of("ω", "", "", "ω"),
        "Phi0" => of("Φ", "sub", "0", "Φ₀"),
        "I0" => of("I", "sub", "0", "I₀"),
        "kB" => of("k", "sub", "B", "kB"),
        "L_T" => of("L", "sub", "T", "L_T"),
        "R^2" => of("R", "sup", "2", "R²"),
        "C" | "L" | "M" | "R" | "T" | "V" => of(piece, "", "", piece),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn formulas_are_set_and_words_are_left() {
        assert_eq!(
            marked("screening 2 pi L I0 / Phi0; above 1 the flux jumps"),
            "screening 2π<i>L</i><i>I</i><sub>0</sub>/<i>Φ</i><sub>0</sub>; above 1 the flux jumps"
        );
        assert_eq!(
            marked("noise 2 pi kB T / (I0 Phi0)"),
            "noise 2π<i>k</i><sub>B</sub><i>T</i>/(<i>I</i><sub>0</sub><i>Φ</i><sub>0</sub>)"
        );
        assert_eq!(
            marked("in kB T L/R"),
            "in <i>k</i><sub>B</sub><i>T</i><i>L</i>/<i>R</i>"
        );
        assert_eq!(marked("1 for nothing & 2"), "1 for nothing &amp; 2");
    }

    #[test]
    fn plain_words_keep_their_spaces() {
        assert_eq!(
            plain("damping 2 pi I0 R^2 C / Phi0"),
            "damping 2 π I₀ R² C / Φ₀"
        );
        assert_eq!(plain("one flux quantum"), "one flux quantum");
    }
}
