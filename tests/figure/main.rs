#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]
//! Charts: layout, cutting at the frame, gaps and jumps, ticks, looks, words and numbers.

mod curves;
mod looks;
mod paper;
mod words;

use coldfringe::figure::scene::{Item, Scene, words_width};
use coldfringe::figure::theme::contrast;
use coldfringe::figure::{
    Axis, Chart, FigureError, Frame, Mark, Role, Series, Theme, clip, dash, describe, labels, ticks,
};

fn axis(unit: &str, from: f64, to: f64) -> Axis {
    Axis::new("flux", unit, from, to).unwrap()
}

fn chart(width: f64, height: f64) -> Chart {
    let y = Axis::new("critical current", "uA", 0.0, 10.0).unwrap();
    Chart::new(width, height, axis("Phi0", -2.0, 2.0), y, Theme::light())
}

fn sampled(from: f64, to: f64, count: u32, value: impl Fn(f64) -> f64) -> Vec<(f64, f64)> {
    (0..=count)
        .map(|step| {
            let x = from + (to - from) * f64::from(step) / f64::from(count);
            (x, value(x))
        })
        .collect()
}

/// The drawn pieces of the curve with that role.
fn pieces(scene: &Scene, theme: &Theme, role: Role) -> Vec<Vec<(f64, f64)>> {
    let wanted = theme.ink(role);
    scene
        .items
        .iter()
        .filter_map(|item| match item {
            Item::Line { points, ink } if *ink == wanted => Some(points.clone()),
            _ => None,
        })
        .collect()
}
