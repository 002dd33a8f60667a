//! Putting short lists in order.

use std::cmp::Ordering;

/// Sorts a short list by insertion: stable, and quick up to a few hundred values. The standard
/// sorts unfold into several kilobytes for each kind of element, which every reader of the page
/// would have to fetch.
pub fn sort_short_by<T>(values: &mut [T], mut compare: impl FnMut(&T, &T) -> Ordering) {
    for end in 1..values.len() {
        let mut place = end;
        while place > 0 && compare(&values[place - 1], &values[place]) == Ordering::Greater {
            values.swap(place - 1, place);
            place -= 1;
        }
    }
}

/// The value, or that end of a range which it lies beyond. Unlike the standard library's it never
/// panics.
#[must_use]
pub fn within(value: f64, from: f64, to: f64) -> f64 {
    if value < from {
        from
    } else if value > to {
        to
    } else {
        value
    }
}

#[cfg(test)]
mod tests {
    use super::sort_short_by;

    #[test]
    fn sorts_as_the_standard_sort_does_and_keeps_equals_in_place() {
        let mut state = 12_345_u32;
        for length in 0..60_usize {
            let mut ours: Vec<(u32, usize)> = (0..length)
                .map(|index| {
                    state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                    (state >> 28, index)
                })
                .collect();
            let mut standard = ours.clone();
            sort_short_by(&mut ours, |one, other| one.0.cmp(&other.0));
            standard.sort_by_key(|value| value.0);
            assert_eq!(ours, standard);
        }
    }
}
