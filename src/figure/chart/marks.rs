//! What stands on a chart over its curves: upright markers with their words, and the cursor.

use super::super::glyph;
use super::super::scene::{Anchor, Ink, Item, Scene, words_width};
use super::super::theme::Role;
use super::{Chart, Layout, Mark};

impl Chart {
    pub(super) fn draw_marks(&self, scene: &mut Scene, layout: &Layout) {
        let theme = &self.theme;
        let frame = &layout.frame;
        let size = layout.size;
        let standing: Vec<(&Mark, f64)> = self
            .marks
            .iter()
            .map(|mark| (mark, frame.to_px((mark.x, 0.0)).0))
            .filter(|&(_, at)| at >= frame.left && at <= frame.right)
            .collect();
        for &(mark, at) in &standing {
            let mut ink = theme.ink(mark.role);
            ink.width = (ink.width * 0.8).max(1.5);
            let colour = ink.colour;
            scene.line(vec![(at, frame.bottom), (at, frame.top)], ink);
            glyph::end_mark(
                scene,
                theme.end_mark(mark.role),
                (at, frame.bottom),
                8.5 * theme.line_scale,
                colour,
                theme.plot,
            );
        }
        let named = standing.iter().filter(|(mark, _)| !mark.label.is_empty());
        for (row, &(mark, at)) in named.enumerate() {
            let colour = theme.ink(mark.role).colour;
            let wide = words_width(&mark.label, size);
            // On the side where the words lie inside the plot and on no other marker's line.
            let reach = wide + size * 0.9;
            let is_free = |from: f64, to: f64| {
                from >= frame.left
                    && to <= frame.right
                    && !standing
                        .iter()
                        .any(|&(_, other)| (other - at).abs() > 1e-9 && other > from && other < to)
            };
            let to_left =
                !is_free(at, at + reach) && (is_free(at - reach, at) || at + reach > frame.right);
            let y = frame.top + size * (0.95 + 1.4 * row as f64);
            let (x, anchor, box_left) = if to_left {
                (at - size * 0.5, Anchor::End, at - size * 0.7 - wide)
            } else {
                (at + size * 0.5, Anchor::Start, at + size * 0.3)
            };
            scene.items.push(Item::Area {
                points: vec![
                    (box_left, y - size * 0.68),
                    (box_left + wide + size * 0.4, y - size * 0.68),
                    (box_left + wide + size * 0.4, y + size * 0.68),
                    (box_left, y + size * 0.68),
                ],
                colour: theme.plot,
                opacity: 0.88,
            });
            scene.write((x, y), mark.label.clone(), size, anchor, colour);
        }
    }

    pub(super) fn draw_cursor(&self, scene: &mut Scene, layout: &Layout) {
        let theme = &self.theme;
        let frame = &layout.frame;
        let Some(x) = self.cursor else { return };
        let at = frame.to_px((x, 0.0)).0;
        if !at.is_finite() || at < frame.left || at > frame.right {
            return;
        }
        scene.line(
            vec![(at, frame.top), (at, frame.bottom)],
            Ink::solid(theme.cursor, 1.25 * theme.line_scale),
        );
        let reach = layout.size * 0.36;
        scene.area(
            vec![
                (at, frame.top),
                (at - reach, frame.top - reach * 1.3),
                (at + reach, frame.top - reach * 1.3),
            ],
            theme.cursor,
        );
        for series in &self.series {
            if matches!(series.role, Role::Ghost(_)) {
                continue;
            }
            let Some(dot) = series.at(x).map(|y| frame.to_px((x, y))) else {
                continue;
            };
            if frame.contains_px(dot) {
                let size = 4.5 * theme.line_scale;
                scene.disc(dot, size, theme.plot);
                scene.disc(dot, size * 0.72, theme.ink(series.role).colour);
            }
        }
    }
}
