//! The nearest known word to a mistyped one.

/// The candidate with the fewest changed letters, if they are few enough to be a slip of the hand.
pub(crate) fn nearest<'a>(
    word: &str,
    candidates: impl IntoIterator<Item = &'a str>,
) -> Option<&'a str> {
    // A long word would cost time and can be nobody's slip.
    if word.chars().count() > 64 {
        return None;
    }
    let allowed = 1 + word.chars().count() / 4;
    candidates
        .into_iter()
        .map(|candidate| (distance(word, candidate), candidate))
        .filter(|(changes, _)| *changes <= allowed)
        .min_by_key(|(changes, _)| *changes)
        .map(|(_, candidate)| candidate)
}

/// How to mend an unknown word: the nearest one, or the whole list.
pub(crate) fn suggestion(word: &str, candidates: &[&str]) -> String {
    match nearest(word, candidates.iter().copied()) {
        Some(candidate) => format!("did you mean `{candidate}`?"),
        None if candidates.is_empty() => "there is none to choose from; take it out".to_owned(),
        None => format!("use one of: {}", listed(candidates)),
    }
}

/// Names as `a`, `b`, `c`.
pub(crate) fn listed(names: &[&str]) -> String {
    names
        .iter()
        .map(|name| format!("`{name}`"))
        .collect::<Vec<_>>()
        .join(", ")
}

/// Least number of letters to insert, drop, change or swap with their neighbour
/// (optimal string alignment; case does not count).
fn distance(from: &str, to: &str) -> usize {
    let from: Vec<char> = from.to_lowercase().chars().collect();
    let to: Vec<char> = to.to_lowercase().chars().collect();
    let mut before_last: Vec<usize> = vec![0; to.len() + 1];
    let mut last: Vec<usize> = (0..=to.len()).collect();
    for (i, a) in from.iter().enumerate() {
        let mut row = vec![i + 1];
        for (j, b) in to.iter().enumerate() {
            let mut best = (last[j] + usize::from(a != b))
                .min(last[j + 1] + 1)
                .min(row[j] + 1);
            if i > 0 && j > 0 && *a == to[j - 1] && from[i - 1] == *b {
                best = best.min(before_last[j - 1] + 1);
            }
            row.push(best);
        }
        before_last = std::mem::replace(&mut last, row);
    }
    last[to.len()]
}

#[cfg(test)]
mod tests {
    use super::{distance, nearest};

    #[test]
    fn distance_counts_slips_of_the_hand() {
        assert_eq!(distance("setup", "setup"), 0, "same");
        assert_eq!(distance("stup", "setup"), 1, "one dropped");
        assert_eq!(distance("stepu", "setup"), 2, "two swaps apart");
        assert_eq!(distance("setpu", "setup"), 1, "neighbours swapped");
        assert_eq!(distance("", "abc"), 3, "all inserted");
    }

    #[test]
    fn only_near_words_are_suggested() {
        let words = ["prompt", "setup", "reasons"];
        assert_eq!(nearest("promt", words), Some("prompt"));
        assert_eq!(nearest("colour", words), None);
    }
}
