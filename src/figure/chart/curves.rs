//! The curves of a chart: lines with their jumps and end marks, and the points of a record.

use super::super::clip;
use super::super::frame::Frame;
use super::super::glyph;
use super::super::labels::{self, EndLabel};
use super::super::scene::{Colour, Ink, Point, Scene};
use super::super::series::Series;
use super::super::theme::Role;
use super::{Chart, Layout};
use crate::numerics::order::sort_short_by;

impl Chart {
    pub(super) fn curves(&self, scene: &mut Scene, layout: &Layout) {
        let mut order: Vec<&Series> = self.series.iter().collect();
        let height = |series: &Series| match series.role {
            Role::Ghost(_) => 0,
            Role::Envelope => 1,
            Role::Simple => 2,
            Role::Candidate(_) => 3,
            Role::Sketch => 4,
            Role::Computed | Role::Recorded => 5,
        };
        sort_short_by(&mut order, |one, other| height(one).cmp(&height(other)));
        let mut names = Vec::new();
        for series in order {
            if let Some(end) = self.curve(scene, layout, series)
                && labels::stands_at_end(series)
            {
                names.push(EndLabel {
                    end,
                    text: series.name.clone(),
                    colour: self.theme.ink(series.role).colour,
                });
            }
        }
        labels::end_labels(scene, &self.theme, &layout.frame, names, layout.size);
    }

    /// Draws one curve and gives back its last visible point.
    fn curve(&self, scene: &mut Scene, layout: &Layout, series: &Series) -> Option<Point> {
        let theme = &self.theme;
        let frame = &layout.frame;
        let ink = theme.ink(series.role);
        if series.role == Role::Recorded {
            return dots(scene, frame, series, 1.7 * theme.line_scale, ink.colour);
        }
        let traced = series.traced();
        let pixels: Vec<Point> = traced.iter().map(|&point| frame.to_px(point)).collect();
        // Jumps part the curve and are drawn as dotted uprights of their own.
        let mut runs: Vec<Vec<Point>> = vec![Vec::new()];
        let mut jumps: Vec<[Point; 2]> = Vec::new();
        for (index, &at) in pixels.iter().enumerate() {
            if let Some(&before) = index.checked_sub(1).and_then(|last| pixels.get(last))
                && is_jump(before, at)
            {
                jumps.push([before, at]);
                runs.push(Vec::new());
            }
            if let Some(run) = runs.last_mut() {
                run.push(at);
            }
        }
        for [from, to] in jumps {
            let thin = Ink {
                width: (ink.width * 0.5).max(1.0),
                ..ink.clone()
            }
            .dashed(&[1.5 * theme.line_scale, 3.0 * theme.line_scale]);
            for points in clip::polyline(frame, &[from, to]) {
                scene.line(points, thin.clone());
            }
        }
        let mut last = None;
        for run in &runs {
            for points in clip::polyline(frame, run) {
                last = points.last().copied();
                scene.line(points, ink.clone());
            }
        }
        let end = last?;
        let pen_at = series
            .drawn_to
            .and_then(|x| Some(frame.to_px((x, series.at(x)?))))
            .filter(|&at| frame.contains_px(at));
        let finished = series
            .drawn_to
            .is_none_or(|x| series.points.last().is_none_or(|&(end, _)| x >= end));
        match pen_at {
            Some(at) if !finished => {
                glyph::pen(scene, at, layout.size * 0.8, ink.colour, theme.edge);
            }
            _ => {
                let mark = theme.end_mark(series.role);
                let size = 7.5 * theme.line_scale;
                glyph::end_mark(scene, mark, end, size, ink.colour, theme.plot);
            }
        }
        Some(end)
    }
}

/// Draws the points of a record, and gives back the last that is on the paper.
fn dots(
    scene: &mut Scene,
    frame: &Frame,
    series: &Series,
    radius: f64,
    ink: Colour,
) -> Option<Point> {
    let mut last = None;
    for &point in &series.points {
        let at = frame.to_px(point);
        if frame.contains_px(at) {
            scene.disc(at, radius, ink);
            last = Some(at);
        }
    }
    last
}

/// Whether two neighbouring points of a curve, in logical pixels, are a jump: upright, apart.
fn is_jump(before: Point, at: Point) -> bool {
    (before.0 - at.0).abs() < 1e-6 && (before.1 - at.1).abs() > 1e-6
}
