//! A scene as SVG, for export and print, in the plainest form: every drawing and office program
//! takes it, for it has no style sheet, no font of its own and nothing that they set differently.

use super::error::FigureError;
use super::scene::{Anchor, Colour, Item, Point, Scene};
use crate::decimal::{fixed, shortest};

/// Families that are at hand somewhere; an office program takes the first, or its own.
const FAMILY: &str = "Arial, Helvetica, 'Liberation Sans', 'DejaVu Sans', sans-serif";

/// From the middle of a line of letters down to the line that they stand on, as a share of their
/// size: office programs know no other way to set letters than by that line.
const DROP: f64 = 0.35;

/// The scene as a whole SVG document with its size in logical pixels, a `title` for assistive
/// technology and round joins. Letters are text in a sans-serif font of the viewer's.
///
/// # Errors
/// When the scene's sides are not positive and finite, or are larger than 100 000.
pub fn svg(scene: &Scene) -> Result<String, FigureError> {
    let (width, height) = (scene.width, scene.height);
    let fits = |side: f64| side.is_finite() && side > 0.0 && side <= 1e5;
    if !fits(width) || !fits(height) {
        return Err(FigureError::Size {
            width,
            height,
            scale: 1.0,
            limit: 10_000_000_000,
        });
    }
    let (width, height) = (shortest(width), shortest(height));
    let mut text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" viewBox=\"0 0 {width} {height}\" role=\"img\" font-family=\"{FAMILY}\" stroke-linejoin=\"round\">\n"
    );
    if !scene.title.is_empty() {
        text.push_str(&format!("<title>{}</title>\n", escape(&scene.title)));
    }
    if let Some(colour) = scene.background {
        let fill = hex(colour);
        text.push_str(&format!(
            "<rect width=\"{width}\" height=\"{height}\" fill=\"{fill}\"/>\n"
        ));
    }
    for item in &scene.items {
        draw(item, &mut text);
    }
    text.push_str("</svg>\n");
    Ok(text)
}

fn draw(item: &Item, text: &mut String) {
    match item {
        Item::Line { points, ink } => {
            let mut style = format!(
                "fill=\"none\" stroke=\"{}\" stroke-width=\"{}\"{}",
                hex(ink.colour),
                number(ink.width),
                faint("stroke", ink.opacity)
            );
            if !ink.dash.is_empty() {
                let dash: Vec<String> = ink.dash.iter().map(|length| number(*length)).collect();
                style.push_str(&format!(" stroke-dasharray=\"{}\"", dash.join(" ")));
            }
            for run in points.split(|at| !is_finite(at)) {
                if run.len() > 1 {
                    let points = listed(run);
                    text.push_str(&format!("<polyline points=\"{points}\" {style}/>\n"));
                }
            }
        }
        Item::Area {
            points,
            colour,
            opacity,
        } if points.len() > 2 && points.iter().all(is_finite) => {
            text.push_str(&format!(
                "<polygon points=\"{}\" fill=\"{}\"{}/>\n",
                listed(points),
                hex(*colour),
                faint("fill", *opacity)
            ));
        }
        Item::Disc { at, radius, colour } if is_finite(at) && *radius > 0.0 => {
            text.push_str(&format!(
                "<circle cx=\"{}\" cy=\"{}\" r=\"{}\" fill=\"{}\"/>\n",
                number(at.0),
                number(at.1),
                number(*radius),
                hex(*colour)
            ));
        }
        Item::Words {
            at,
            text: words,
            size,
            anchor,
            upwards,
            colour,
        } if is_finite(at) && !words.is_empty() => {
            let drop = DROP * size;
            let (x, y) = if *upwards {
                (at.0 + drop, at.1)
            } else {
                (at.0, at.1 + drop)
            };
            let (x, y) = (number(x), number(y));
            let turn = if *upwards {
                format!(" transform=\"rotate(-90 {x} {y})\"")
            } else {
                String::new()
            };
            let anchor = match anchor {
                Anchor::Start => "start",
                Anchor::Middle => "middle",
                Anchor::End => "end",
            };
            text.push_str(&format!(
                "<text x=\"{x}\" y=\"{y}\"{turn} font-size=\"{}\" text-anchor=\"{anchor}\" fill=\"{}\">{}</text>\n",
                number(*size),
                hex(*colour),
                escape(words)
            ));
        }
        _ => {}
    }
}

fn is_finite(at: &Point) -> bool {
    at.0.is_finite() && at.1.is_finite()
}

/// A length to a hundredth of a logical pixel, without needless noughts.
fn number(value: f64) -> String {
    let text = fixed(value, 2);
    let text = text.trim_end_matches('0').trim_end_matches('.');
    text.to_owned()
}

fn listed(points: &[Point]) -> String {
    let points: Vec<String> = points
        .iter()
        .map(|at| format!("{},{}", number(at.0), number(at.1)))
        .collect();
    points.join(" ")
}

fn hex(colour: Colour) -> String {
    format!("#{:02x}{:02x}{:02x}", colour.0, colour.1, colour.2)
}

/// The attribute of an opacity, where it is not whole.
fn faint(what: &str, opacity: f64) -> String {
    if opacity < 1.0 {
        format!(" {what}-opacity=\"{}\"", number(opacity.max(0.0)))
    } else {
        String::new()
    }
}

/// Text made safe inside an element.
fn escape(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}
