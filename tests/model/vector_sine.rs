//! The sine of one and of two angles against a table of many digits.

use crate::golden;
use coldfringe::numerics::lanes::Pair;
use coldfringe::numerics::vector_sine::{LARGEST_ANGLE, cosine, sine};

/// How many doubles lie between two numbers of one sign, or of tiny size.
fn doubles_apart(a: f64, b: f64) -> i64 {
    let rank = |x: f64| {
        let bits = i64::from_ne_bytes(x.abs().to_bits().to_ne_bytes());
        if x < 0.0 { -bits } else { bits }
    };
    (rank(a) - rank(b)).abs()
}

#[test]
fn two_units_in_the_last_place_up_to_a_million() {
    let rows = golden::numbers(include_str!("../golden/vector_sine.tsv"));
    for cells in &rows {
        let (angle, exact) = (cells[0], [cells[1], cells[2]]);
        assert!(angle.abs() <= LARGEST_ANGLE);
        let pair = Pair::new(angle, -angle);
        let found = [
            [sine(angle), cosine(angle)],
            [sine(pair).both()[0], cosine(pair).both()[0]],
            [-sine(pair).both()[1], cosine(pair).both()[1]],
        ];
        for found in found {
            for (found, exact) in found.into_iter().zip(exact) {
                assert!(
                    doubles_apart(found, exact) <= 2,
                    "{angle:?}: {found:?} instead of {exact:?}"
                );
            }
        }
    }
    assert!(rows.len() >= 60);
}
