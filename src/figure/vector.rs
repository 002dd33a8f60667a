//! A scene as SVG, for export and print.

use plotters_svg::SVGBackend;

use super::error::FigureError;
use super::painter::{Paint, Stroke, paint};
use super::scene::Scene;

/// View box units for one logical pixel: tenths keep the finest ripple.
const FINENESS: f64 = 10.0;

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
    let fine = (
        (width * FINENESS).round() as u32,
        (height * FINENESS).round() as u32,
    );
    let mut body = String::new();
    {
        let mut backend = SVGBackend::with_string(&mut body, fine);
        let how = Paint {
            fineness: FINENESS,
            words: true,
            background: true,
            // The backend divides sizes by 1.24.
            text_factor: 1.24,
            family: "DejaVu Sans, Verdana, sans-serif",
            stroke: Stroke::Path,
        };
        paint(scene, &mut backend, &how)?;
    }
    // The backend writes a root element without role, name, joins or a size of its own.
    let inside = body.find('>').map_or("", |end| &body[end + 1..]);
    let title = if scene.title.is_empty() {
        String::new()
    } else {
        format!("<title>{}</title>\n", escape(&scene.title))
    };
    Ok(format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" viewBox=\"0 0 {} {}\" role=\"img\" stroke-linejoin=\"round\">\n{title}{}",
        fine.0,
        fine.1,
        inside.trim_start()
    ))
}

/// Text made safe inside an element.
fn escape(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}
