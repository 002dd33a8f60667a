//! Cutting a line into dashes along its length, in full precision, so that the pattern runs on
//! through corners and looks the same on every backend.

use super::scene::Point;

/// The drawn pieces of a polyline under a dash pattern (an even number of lengths, drawn and left out in turn, in
/// the same unit as the points). An empty or useless pattern gives the line back whole. All
/// points must be finite.
#[must_use]
pub fn dashes(points: &[Point], pattern: &[f64]) -> Vec<Vec<Point>> {
    let useful = pattern.len() > 1
        && pattern.len().is_multiple_of(2)
        && pattern
            .iter()
            .all(|length| length.is_finite() && *length > 0.01);
    if !useful {
        return vec![points.to_vec()];
    }
    let mut pieces = Vec::new();
    let mut index = 0;
    let mut left = pattern[0];
    let mut current: Vec<Point> = points.first().copied().into_iter().collect();
    for pair in points.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let (dx, dy) = (b.0 - a.0, b.1 - a.1);
        let length = (dx * dx + dy * dy).sqrt();
        let mut gone = 0.0;
        while length - gone > left {
            gone += left;
            let at = (a.0 + dx * gone / length, a.1 + dy * gone / length);
            if index % 2 == 0 {
                current.push(at);
                pieces.push(std::mem::take(&mut current));
            } else {
                current = vec![at];
            }
            index = (index + 1) % pattern.len();
            left = pattern[index];
        }
        left -= length - gone;
        if index % 2 == 0 {
            current.push(b);
        }
    }
    if current.len() > 1 {
        pieces.push(current);
    }
    pieces
}
