//! Marks at drawn values, by which they are found again in what was read from the filled file.

use super::super::assignment::Draw;

/// The first value of a draw with a mark that nobody sees and that numbers are read without. So
/// the filled file can be read as a lesson, and each value be found again in what was read.
pub(super) fn tagged(draws: &[Draw], place: usize) -> String {
    let value = draws
        .get(place)
        .and_then(|draw| draw.values.first())
        .map_or("", String::as_str);
    format!("{value}\u{2060}{}\u{2060}", "\u{200B}".repeat(place + 1))
}

/// Puts something else at every marked value: `with` gets the draw.
pub(super) fn retagged(text: &str, draws: &[Draw], with: impl Fn(&Draw) -> String) -> String {
    let mut open = text.to_owned();
    for (place, draw) in draws.iter().enumerate() {
        open = open.replace(&tagged(draws, place), &with(draw));
    }
    open
}

#[cfg(test)]
mod tests {
    use super::{Draw, retagged, tagged};

    #[test]
    fn equal_values_of_two_draws_are_told_apart() {
        let draws = ["width", "length"].map(|name| Draw {
            name: name.to_owned(),
            values: vec!["8 µm".to_owned(), "9 µm".to_owned()],
        });
        let text = format!("{} by {}", tagged(&draws, 0), tagged(&draws, 1));
        assert_eq!(
            retagged(&text, &draws, Draw::placeholder),
            "@{width} by @{length}"
        );
        assert_eq!(text.replace(['\u{2060}', '\u{200B}'], ""), "8 µm by 8 µm");
    }
}
