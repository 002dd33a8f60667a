//! A scene on a canvas: crisp at any device scale, curves finer than a pixel, and all words as
//! HTML over it, so that they follow the reader's zoom and text spacing.

use std::cell::RefCell;

use plotters_canvas::CanvasBackend;
use wasm_bindgen::JsCast;
use web_sys::{CanvasRenderingContext2d, Element, HtmlCanvasElement, HtmlElement};

use super::dom;
use super::trouble::{Outcome, Trouble};
use crate::decimal::{fixed, shortest};
use crate::figure::painter::{self, Paint};
use crate::figure::scene::{Anchor, Colour, Item, Scene};
use crate::figure::theme::Theme;
use crate::numerics::order::within;

/// On the document's root: the look of a lecture.
pub(crate) const LOOK: &str = "data-look";
/// How much stronger the lines of a lecture are than those of a page, beyond being enlarged.
const LECTURE_LINES: f64 = 1.1;

/// Steps of the drawing backend in a logical pixel: it counts in whole ones.
const FINENESS: f64 = 64.0;

/// The look the page has now. Words and lines grow with the page's own text, so that a chart is
/// as readable as the page round it, on a projector and under the reader's own text size.
pub(crate) fn theme() -> Theme {
    if let Some(look) = lecture_look() {
        let mut theme = if look == "dark" {
            Theme::lecture_dark()
        } else {
            Theme::lecture()
        };
        // Laid out as on a page of ordinary size, and enlarged with the window's height.
        theme.unit = dom::root_text_size() / Theme::ROOT_TEXT;
        theme.text_scale = 1.0;
        theme.line_scale = LECTURE_LINES * theme.unit;
        return theme;
    }
    let mut theme = if dom::matches("print") {
        Theme::print()
    } else if dom::matches("(prefers-color-scheme: dark)") {
        Theme::dark()
    } else {
        Theme::light()
    };
    let scale = (dom::root_text_size() / Theme::ROOT_TEXT).clamp(0.9, 3.0);
    theme.text_scale *= scale;
    theme.line_scale *= scale;
    theme
}

/// The look of a lecture, `bright` or `dark`; none on other pages.
fn lecture_look() -> Option<String> {
    let root = dom::document().ok()?.document_element()?;
    root.get_attribute(LOOK)
}

/// How high a chart may be: what a lecture's screen has room for, or what leaves room for the
/// words below it.
pub(crate) fn chart_height(width: f64, plot: &Element) -> f64 {
    let window = dom::window().and_then(|window| Ok(window.inner_height()?));
    match (lecture_look(), window) {
        (Some(_), Ok(height)) => {
            let height = height.as_f64().unwrap_or(width);
            let most = hall_room(plot).unwrap_or(f64::INFINITY);
            (width * 0.64).min(within(most, height * 0.28, height * 0.55))
        }
        // On a wide screen what is said about the chart should stand below it on the same screen.
        (None, Ok(height)) if width >= 480.0 => {
            let most = height.as_f64().unwrap_or(width) * 0.45;
            (width * 0.58).min(most.max(300.0))
        }
        // A narrow chart is drawn on with a finger and needs its height.
        _ => width * 0.95,
    }
}

/// How high a board picture may be that is usually so high: in a lecture no higher than its screen
/// has room for, but not lower than `least`.
pub(crate) fn board_height(usual: f64, least: f64, plot: &Element) -> f64 {
    match lecture_look().and_then(|_| hall_room(plot)) {
        Some(room) => usual.min(room.max(least)),
        None => usual,
    }
}

/// Screens of a lecture on which all stands one below the other.
const PILED: &str =
    ".screen:is(.benched, .charted.boarded, .charted:not([data-revealed])) > .sheet";

/// How high a drawing on a lecture's screen may be so that what stands above and below it has room,
/// too: the question, tools, sliders, readings and tasks, and what is said about a revealed curve.
fn hall_room(plot: &Element) -> Option<f64> {
    let near =
        |selector: &str| -> Option<HtmlElement> { plot.closest(selector).ok()??.dyn_into().ok() };
    let high = |selector: &str| Some(f64::from(near(selector)?.offset_height()));
    let sheet = near(PILED)?;
    // With the margins between them: from the sheet's top down to the end of its last part.
    let top = sheet.get_bounding_client_rect().top() - f64::from(sheet.scroll_top());
    let bottom = dom::find_all(&sheet, ":scope > :not(.bars), :scope > .island > *")
        .iter()
        .map(|part| part.get_bounding_client_rect())
        .filter(|part| part.height() > 0.0)
        .fold(top, |bottom, part| bottom.max(part.bottom()));
    let around = bottom - top - high(".stage")?;
    // A painting has its tools below the paper.
    let beside = high(".painting").or_else(|| high("figure"))? - high(".plot")?;
    Some(f64::from(sheet.offset_height()) - around - beside - dom::root_text_size() * 0.5)
}

/// Whether this browser gives the page something to draw on.
pub(crate) fn is_there() -> bool {
    dom::element("canvas", "")
        .ok()
        .and_then(|element| element.dyn_into::<HtmlCanvasElement>().ok())
        .and_then(|canvas| canvas.get_context("2d").ok().flatten())
        .is_some()
}

/// A canvas with a layer of words over it.
#[derive(Debug)]
pub(crate) struct SceneView {
    /// What holds both.
    pub(crate) plot: HtmlElement,
    canvas: HtmlCanvasElement,
    layer: HtmlElement,
    shown: RefCell<Vec<Item>>,
}

impl SceneView {
    /// Puts an empty view at the end of `parent`.
    pub(crate) fn new(parent: &Element) -> Outcome<Self> {
        let plot = dom::append(parent, "div", "plot", "")?;
        let canvas: HtmlCanvasElement = dom::append(&plot, "canvas", "", "")?
            .dyn_into()
            .map_err(|_| Trouble::missing("a canvas"))?;
        canvas.set_attribute("role", "img")?;
        // Right-to-left pages must not turn the chart's words round.
        canvas.set_attribute("dir", "ltr")?;
        let layer = dom::append(&plot, "div", "words", "")?;
        layer.set_attribute("aria-hidden", "true")?;
        layer.set_attribute("dir", "ltr")?;
        Ok(Self {
            plot,
            canvas,
            layer,
            shown: RefCell::new(Vec::new()),
        })
    }

    /// The width that the page gives, in logical pixels; 0 while the part is shut.
    pub(crate) fn width(&self) -> f64 {
        f64::from(self.plot.client_width())
    }

    /// What the picture is called by those who cannot see it.
    pub(crate) fn name(&self, name: &str) {
        let _ = self.canvas.set_attribute("aria-label", name);
    }

    /// Draws a scene.
    pub(crate) fn draw(&self, scene: &Scene) -> Outcome {
        let scale = dom::window()?.device_pixel_ratio().clamp(0.5, 4.0);
        dom::style(&self.plot, "height", &px(scene.height));
        paint(&self.canvas, scene, scale, false)?;
        self.words(scene)
    }

    /// The scene as a PNG's canvas, words drawn in, three pixels to a logical one.
    pub(crate) fn picture(scene: &Scene) -> Outcome<HtmlCanvasElement> {
        let canvas: HtmlCanvasElement = dom::element("canvas", "")?
            .dyn_into()
            .map_err(|_| Trouble::missing("a canvas"))?;
        paint(&canvas, scene, 3.0, true)?;
        Ok(canvas)
    }

    /// Sets the words, and touches the page only where they changed.
    fn words(&self, scene: &Scene) -> Outcome {
        let words: Vec<Item> = scene
            .items
            .iter()
            .filter(|item| matches!(item, Item::Words { .. }))
            .cloned()
            .collect();
        if *self.shown.borrow() == words {
            return Ok(());
        }
        let children = self.layer.children();
        for (index, item) in words.iter().enumerate() {
            let index = u32::try_from(index).unwrap_or(u32::MAX);
            let span = match children.item(index) {
                Some(child) => child
                    .dyn_into::<HtmlElement>()
                    .map_err(|_| Trouble::missing("a word"))?,
                None => dom::append(&self.layer, "span", "", "")?,
            };
            set_word(&span, item);
        }
        while children.length() as usize > words.len() {
            match self.layer.last_element_child() {
                Some(last) => last.remove(),
                None => break,
            }
        }
        self.shown.replace(words);
        Ok(())
    }
}

fn set_word(span: &HtmlElement, item: &Item) {
    let Item::Words {
        at,
        text,
        size,
        anchor,
        upwards,
        colour,
        ..
    } = item
    else {
        return;
    };
    if span.text_content().as_deref() != Some(text.as_str()) {
        span.set_text_content(Some(text));
    }
    let hang = match anchor {
        Anchor::Start => "start",
        Anchor::Middle => "middle",
        Anchor::End => "end",
    };
    span.set_class_name(&format!("{hang}{}", if *upwards { " upwards" } else { "" }));
    dom::style(span, "left", &px(at.0));
    dom::style(span, "top", &px(at.1));
    dom::style(span, "font-size", &px(*size));
    dom::style(span, "color", &css(*colour));
}

fn paint(canvas: &HtmlCanvasElement, scene: &Scene, scale: f64, words: bool) -> Outcome {
    let side = |length: f64| (length * scale).round().clamp(1.0, 16_000.0) as u32;
    let (width, height) = (side(scene.width), side(scene.height));
    if canvas.width() != width || canvas.height() != height {
        canvas.set_width(width);
        canvas.set_height(height);
        // One pixel of the bitmap for one of the screen: any other size would blur the lines.
        for (property, length) in [("width", width), ("height", height)] {
            let shown = f64::from(length) / scale;
            dom::style(canvas, property, &format!("{}px", shortest(shown)));
        }
    }
    let context: CanvasRenderingContext2d = canvas
        .get_context("2d")?
        .and_then(|context| context.dyn_into().ok())
        .ok_or_else(Trouble::no_canvas)?;
    // The whole bitmap is the whole scene, whatever the rounding above.
    let across = f64::from(width) / (scene.width * FINENESS);
    let down = f64::from(height) / (scene.height * FINENESS);
    context.set_transform(1.0, 0.0, 0.0, 1.0, 0.0, 0.0)?;
    context.clear_rect(0.0, 0.0, f64::from(width), f64::from(height));
    context.set_transform(across, 0.0, 0.0, down, 0.0, 0.0)?;
    context.set_line_join("round");
    context.set_line_cap("round");
    let mut backend =
        CanvasBackend::with_canvas_object(canvas.clone()).ok_or_else(Trouble::no_canvas)?;
    // On the page the paper is the page's own; a picture to take home brings its own.
    let how = Paint {
        background: words,
        ..Paint::canvas(FINENESS, words)
    };
    Ok(painter::paint(scene, &mut backend, &how)?)
}

fn css(colour: Colour) -> String {
    format!("rgb({},{},{})", colour.0, colour.1, colour.2)
}

fn px(length: f64) -> String {
    format!("{}px", fixed(length, 2))
}
