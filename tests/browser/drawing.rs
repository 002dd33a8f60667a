//! A reader's hand on a sketch pad and on sliders.

use serde_json::json;

use super::gestures::{Pointer, key};
use super::page::{Checked, Page};
use super::reader::{Means, Or};

/// A curve that every means can draw alike: at each of the keyboard's columns, thousandths of the axis.
pub(crate) type Columns = Vec<i32>;

/// What one press of an arrow key changes, in thousandths of the axis.
const SMALL: i32 = 50;
/// What one press of a page key changes.
const LARGE: i32 = 200;

impl Page {
    /// The plot rectangle of a block's chart as fractions of its box, and the ends of its axes, read
    /// off the labels of the axes: `(left, right, top, bottom)` for x from, x to, y to, y from.
    pub(crate) async fn plot_frame(&self, block: &str) -> Or<Frame> {
        self.plot_frame_of(&format!("#{block} .chart")).await
    }

    /// The same of the chart that a selector names.
    pub(crate) async fn plot_frame_of(&self, chart: &str) -> Or<Frame> {
        let script = "const plot = document.querySelector(arguments[0] + ' .plot'); \
            const box = plot.getBoundingClientRect(); \
            const number = span => Number(span.textContent.replace('\\u2212', '-')); \
            const spans = [...plot.querySelectorAll('.words span')].filter(s => s.textContent.trim() !== '' && Number.isFinite(number(s))); \
            const line = (list, side, size) => { const a = list[0], b = list[list.length - 1]; \
              const pa = parseFloat(a.style[side]) / size, pb = parseFloat(b.style[side]) / size; \
              const slope = (pb - pa) / (number(b) - number(a)); return [pa - slope * number(a), slope]; }; \
            const bottom = Math.max(...spans.filter(s => s.className === 'middle').map(s => parseFloat(s.style.top))); \
            const xs = spans.filter(s => s.className === 'middle' && Math.abs(parseFloat(s.style.top) - bottom) < 2); \
            const ys = spans.filter(s => s.className === 'end'); \
            return [...line(xs, 'left', box.width), ...line(ys, 'top', box.height)];";
        let numbers = self.client.execute(script, vec![json!(chart)]).await?;
        let [x0, x1, y0, y1]: [f64; 4] = serde_json::from_value(numbers)?;
        Ok(Frame {
            x: (x0, x1),
            y: (y0, y1),
        })
    }

    /// Draws a curve, given at the keyboard's columns of a pad whose axes have these ends.
    pub(crate) async fn sketch(
        &self,
        means: Means,
        block: &str,
        columns: &Columns,
        ends: Ends,
    ) -> Checked {
        let pad = format!("#{block} .pad");
        if means == Means::Keys {
            self.tab_to(&pad).await?;
            let mut keys = vec![key::LEFT; columns.len() / 2];
            let mut height = 500;
            for (column, wanted) in columns.iter().enumerate() {
                if column > 0 {
                    keys.push(key::RIGHT);
                }
                let mut lacking = wanted - height;
                if column == 0 && lacking == 0 {
                    keys.extend([key::UP, key::DOWN]);
                }
                while lacking != 0 {
                    let (size, up, down) = if lacking.abs() >= LARGE {
                        (LARGE, key::PAGE_UP, key::PAGE_DOWN)
                    } else {
                        (SMALL, key::UP, key::DOWN)
                    };
                    keys.push(if lacking > 0 { up } else { down });
                    lacking -= size * lacking.signum();
                }
                if column > 0 && *wanted == height {
                    keys.extend([key::UP, key::DOWN]);
                }
                height = *wanted;
            }
            return self.press(&keys).await;
        }
        let frame = self.plot_frame(block).await?;
        let last = (columns.len() - 1) as f64;
        let points: Vec<(f64, f64)> = columns
            .iter()
            .enumerate()
            .map(|(column, thousandths)| {
                let x = ends.x.0 + (ends.x.1 - ends.x.0) * column as f64 / last;
                let y = ends.y.0 + (ends.y.1 - ends.y.0) * f64::from(*thousandths) / 1000.0;
                frame.place(x, y)
            })
            .collect();
        match means {
            Means::Drag => self.draw(&pad, Pointer::Mouse, &points).await,
            _ => {
                for point in points {
                    self.tap(&pad, Pointer::Finger, point).await?;
                }
                Ok(())
            }
        }
    }

    /// Moves a slider to a value, within half its tolerance by pointer, exactly by keyboard.
    pub(crate) async fn slide(
        &self,
        means: Means,
        slider: &str,
        value: f64,
        tolerance: f64,
    ) -> Checked {
        let numbers = self
            .client
            .execute(
                "const s = document.querySelector(arguments[0]); \
                 return [Number(s.min), Number(s.max), Number(s.step), Number(s.value), s.getBoundingClientRect().width];",
                vec![json!(slider)],
            )
            .await?;
        let [from, to, step, at, width]: [f64; 5] = serde_json::from_value(numbers)?;
        let now = format!("Number(document.querySelector({}).value)", json!(slider));
        let near = |at: f64| (at - value).abs() <= tolerance;
        if means == Means::Keys {
            self.tab_to(slider).await?;
            let page = ((to - from) / 10.0 / step).round() * step;
            let mut keys = Vec::new();
            let mut lacking = value - at;
            while lacking.abs() >= page {
                keys.push(if lacking > 0.0 {
                    key::PAGE_UP
                } else {
                    key::PAGE_DOWN
                });
                lacking -= page * lacking.signum();
            }
            self.press(&keys).await?;
            for _ in 0..80 {
                let at = self.value(&now).await?.as_f64().unwrap_or(f64::NAN);
                if near(at) && (at - value).abs() < 0.75 * step {
                    return Ok(());
                }
                let arrow = if at < value { key::RIGHT } else { key::LEFT };
                let presses = ((value - at).abs() / step).floor().clamp(1.0, 200.0) as usize;
                self.press(&vec![arrow; presses]).await?;
            }
            return Err(format!("{slider} does not come to {value} by keyboard").into());
        }
        // The middle of the thumb runs half a thumb short of both ends.
        let thumb = 16.0;
        let mut left = thumb / 2.0 + (width - thumb) * (value - from) / (to - from);
        let mut came = f64::NAN;
        for _ in 0..8 {
            let place = (left / width, 0.5);
            match means {
                Means::Drag => {
                    let start = (((place.0 * width) - 12.0) / width, 0.5);
                    self.draw(slider, Pointer::Mouse, &[start, place]).await?;
                }
                _ => self.tap(slider, Pointer::Finger, place).await?,
            }
            came = self.value(&now).await?.as_f64().unwrap_or(f64::NAN);
            if near(came) {
                return Ok(());
            }
            left += (value - came) / (to - from) * (width - thumb);
        }
        Err(format!("{slider} should come to {value}, and came to {came}").into())
    }
}

/// Where data lie in a chart's box: share of the box = first + second × value.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Frame {
    x: (f64, f64),
    y: (f64, f64),
}

impl Frame {
    /// A place in data units as fractions of the box.
    pub(crate) fn place(&self, x: f64, y: f64) -> (f64, f64) {
        (self.x.0 + self.x.1 * x, self.y.0 + self.y.1 * y)
    }
}

/// The ends of two axes.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Ends {
    /// Of the horizontal axis.
    pub(crate) x: (f64, f64),
    /// Of the vertical axis.
    pub(crate) y: (f64, f64),
}
