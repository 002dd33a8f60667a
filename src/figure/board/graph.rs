//! What board pictures that are graphs share: the plate with its marks in flux quanta, the words
//! at its sides, and an upright line at a flux.

use crate::figure::clip;
use crate::figure::frame::Frame;
use crate::figure::scene::{Anchor, Ink, words_width};
use crate::figure::ticks::ticks;

use super::{Sheet, flux_words};

/// The most numbers at the left of a graph.
const LEVELS: usize = 4;

impl Sheet {
    /// The frame of a graph over these ranges, with room for words above it and so many lines of
    /// text below.
    pub(super) fn frame(&self, x: (f64, f64), y: (f64, f64), below: f64) -> Frame {
        let size = self.size;
        Frame {
            left: size * 0.8,
            top: size * 3.2,
            right: self.width - size * 0.8,
            bottom: self.height - size * below,
            x,
            y,
        }
    }

    /// The frame of a graph with numbers at its left, too.
    pub(super) fn numbered_frame(&self, x: (f64, f64), y: (f64, f64), below: f64) -> Frame {
        let mut frame = self.frame(x, y, below);
        let marks = ticks(frame.y.0, frame.y.1, LEVELS, false);
        let widest = marks.words.iter().map(|word| words_width(word, self.size));
        frame.left += widest.fold(0.0, f64::max);
        frame
    }

    /// Level lines with their numbers at the left, for a frame with room for them.
    pub(super) fn level_marks(&mut self, frame: &Frame) {
        let marks = ticks(frame.y.0, frame.y.1, LEVELS, false);
        for (&y, word) in marks.major.iter().zip(&marks.words) {
            let at = frame.to_px((frame.x.0, y)).1;
            let level = vec![(frame.left, at), (frame.right, at)];
            self.scene.line(level, Ink::solid(self.theme.grid, 1.0));
            let beside = (frame.left - self.size * 0.35, at);
            let words = self.theme.words;
            self.scene
                .write(beside, word.clone(), self.size, Anchor::End, words);
        }
    }

    /// The ground of a graph.
    pub(super) fn plate(&mut self, frame: &Frame) {
        self.scene.area(
            vec![
                (frame.left, frame.top),
                (frame.right, frame.top),
                (frame.right, frame.bottom),
                (frame.left, frame.bottom),
            ],
            self.theme.plot,
        );
    }

    /// Upright lines with their numbers below, on a range in flux quanta.
    pub(super) fn flux_marks(&mut self, frame: &Frame) {
        self.marks(frame, true);
    }

    /// Upright lines with their numbers below, on a range in flux quanta or in anything else.
    pub(super) fn marks(&mut self, frame: &Frame, quanta: bool) {
        let marks = ticks(frame.x.0, frame.x.1, 5, quanta);
        for (&x, word) in marks.major.iter().zip(&marks.words) {
            let at = frame.to_px((x, 0.0)).0;
            let upright = vec![(at, frame.top), (at, frame.bottom)];
            self.scene.line(upright, Ink::solid(self.theme.grid, 1.0));
            let wide = words_width(word, self.size) * 0.5;
            let below = (
                at.min(self.width - wide).max(wide),
                frame.bottom + self.size * 0.95,
            );
            self.scene.write(
                below,
                word.clone(),
                self.size,
                Anchor::Middle,
                self.theme.words,
            );
        }
    }

    /// The lower edge of the plate.
    pub(super) fn foot(&mut self, frame: &Frame) {
        self.scene.line(
            vec![(frame.left, frame.bottom), (frame.right, frame.bottom)],
            Ink::solid(self.theme.edge, 1.3 * self.theme.line_scale),
        );
    }

    /// What is drawn across, at the right below the marks, and what upwards, above the plate.
    pub(super) fn name_axes(&mut self, frame: &Frame, across: &str, upwards: &str) {
        let (size, words) = (self.size, self.theme.words);
        let below = (frame.right, frame.bottom + size * 2.2);
        self.scene.write(below, across, size, Anchor::End, words);
        self.scene
            .write((size * 0.8, size), upwards, size, Anchor::Start, words);
    }

    /// A curve, clipped to the frame; places that are no numbers are left out.
    pub(super) fn curve(&mut self, frame: &Frame, points: &[(f64, f64)], ink: &Ink) {
        let at: Vec<(f64, f64)> = points
            .iter()
            .filter(|(x, y)| x.is_finite() && y.is_finite())
            .map(|point| frame.to_px(*point))
            .collect();
        for piece in clip::polyline(frame, &at) {
            self.scene.line(piece, ink.clone());
        }
    }

    /// A dashed upright line at a flux, named above the plate.
    pub(super) fn flux_line(&mut self, frame: &Frame, flux: f64, name: &str) {
        self.cursor_line(frame, flux, &format!("{name} {}", flux_words(flux)));
    }

    /// A dashed upright line with words above the plate.
    pub(super) fn cursor_line(&mut self, frame: &Frame, x: f64, words: &str) {
        let (size, theme) = (self.size, self.theme);
        let at = frame.to_px((x, 0.0)).0;
        if !at.is_finite() || at < frame.left || at > frame.right {
            return;
        }
        self.scene.line(
            vec![(at, frame.top), (at, frame.bottom)],
            Ink::solid(theme.cursor, 1.5 * theme.line_scale).dashed(&[5.0, 4.0]),
        );
        let wide = words_width(words, size) * 0.5;
        let words_at = (at.min(self.width - wide).max(wide), frame.top - size * 0.9);
        self.scene
            .write(words_at, words, size, Anchor::Middle, theme.cursor);
    }
}

/// The largest prefix of a unit in which a value is at least one: what one such unit is, and its name.
pub(super) fn prefixed(value: f64, unit: &str) -> (f64, String) {
    const STEPS: [(f64, &str); 5] = [
        (1.0, ""),
        (1e-3, "m"),
        (1e-6, "\u{b5}"),
        (1e-9, "n"),
        (1e-12, "p"),
    ];
    let step = STEPS.iter().find(|(step, _)| value.abs() >= *step);
    let (step, prefix) = step.copied().unwrap_or((1.0, ""));
    (step, format!("{prefix}{unit}"))
}

/// The points of a curve in other units.
pub(super) fn in_units(points: &[(f64, f64)], x: f64, y: f64) -> Vec<(f64, f64)> {
    points
        .iter()
        .map(|point| (point.0 / x, point.1 / y))
        .collect()
}
