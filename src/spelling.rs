//! The nearest known name to one that is not known, for messages that offer a mend.

/// Of `known`, the name nearest to `written`, when it is near enough to be what was meant:
/// at most a third of its letters (and at least one) may differ.
#[must_use]
pub fn nearest<'a>(written: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let written: Vec<char> = written
        .trim()
        .to_ascii_lowercase()
        .chars()
        .take(64)
        .collect();
    if written.is_empty() {
        return None;
    }
    let mut best: Option<(usize, &str)> = None;
    for name in known {
        let letters: Vec<char> = name.to_ascii_lowercase().chars().collect();
        let apart = distance(&written, &letters);
        let allowed = (letters.len().max(written.len()) / 3).max(1);
        if apart <= allowed && best.is_none_or(|(least, _)| apart < least) {
            best = Some((apart, name));
        }
    }
    best.map(|(_, name)| name)
}

/// The tail of a message: `; did you mean "width"?`, or a list of what is known.
#[must_use]
pub fn mend<'a>(written: &str, known: impl IntoIterator<Item = &'a str> + Clone) -> String {
    match nearest(written, known.clone()) {
        Some(name) => format!("did you mean \"{name}\"?"),
        None => {
            let names: Vec<&str> = known.into_iter().collect();
            format!("known are: {}", names.join(", "))
        }
    }
}

/// Letters to change, add, leave out, or swap with a neighbour, to turn one word into the other.
fn distance(one: &[char], other: &[char]) -> usize {
    let mut earlier: Vec<usize> = Vec::new();
    let mut before: Vec<usize> = (0..=other.len()).collect();
    for (i, a) in one.iter().enumerate() {
        let mut here = vec![i + 1];
        for (j, b) in other.iter().enumerate() {
            let change = before.get(j).copied().unwrap_or(0) + usize::from(a != b);
            let add = here.get(j).copied().unwrap_or(0) + 1;
            let leave = before.get(j + 1).copied().unwrap_or(0) + 1;
            let mut least = change.min(add).min(leave);
            if i > 0 && j > 0 && one.get(i - 1) == Some(b) && other.get(j - 1) == Some(a) {
                least = least.min(earlier.get(j - 1).copied().unwrap_or(0) + 1);
            }
            here.push(least);
        }
        earlier = before;
        before = here;
    }
    before.last().copied().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn offers_what_was_meant() {
        let known = ["width", "critical-current", "loop-area", "loop-areas"];
        assert_eq!(nearest("widht", known), Some("width"));
        assert_eq!(nearest("Critical-Curent", known), Some("critical-current"));
        assert_eq!(nearest("loop-area", known), Some("loop-area"));
        assert_eq!(nearest("temperature", known), None);
        assert_eq!(nearest("", known), None);
        assert_eq!(mend("temperature", ["a", "b"]), "known are: a, b");
    }
}
