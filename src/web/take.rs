//! A figure to take away: one quiet control with its style and its forms, beside a chart or a board
//! picture.

use std::rc::Rc;

use js_sys::Reflect;
use wasm_bindgen::JsValue;
use web_sys::Element;

use super::canvas::SceneView;
use super::dom::{self, Listener};
use super::export;
use super::trouble::{self, Outcome};
use crate::figure::scene::Scene;
use crate::figure::{self, Theme};

/// The styles that a figure comes in, by name, and what each is for.
const STYLES: [(&str, &str); 3] = [
    ("light", "light paper"),
    ("dark", "dark paper"),
    ("print", "black on white"),
];

/// A form in which a figure is taken away.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Form {
    Png,
    Svg,
    Csv,
}

/// What is taken away: both are asked for when a button is pressed.
pub(crate) struct Figure {
    /// The name of its files, without an ending.
    pub(crate) name: String,
    /// The drawing in a style.
    pub(crate) scene: Box<dyn Fn(Theme) -> Option<Scene>>,
    /// Its numbers as CSV, if it has any.
    pub(crate) numbers: Option<Box<dyn Fn() -> String>>,
}

/// The control, live as long as this is kept.
pub(crate) struct Take {
    _listeners: Vec<Listener>,
}

impl Take {
    /// Puts style and buttons at the end of `parent`.
    pub(crate) fn mount(parent: &Element, figure: Figure) -> Outcome<Self> {
        let row = dom::append(parent, "p", "take-home", "")?;
        let label = dom::append(&row, "label", "", "Style ")?;
        let select = dom::append(&label, "select", "", "")?;
        select.set_attribute("data-role", "take-style")?;
        for (name, words) in STYLES {
            let option = dom::append(&select, "option", "", words)?;
            option.set_attribute("value", name)?;
        }
        let figure = Rc::new(figure);
        let mut listeners = Vec::new();
        for (form, role, words) in [
            (Form::Png, "take-png", "PNG picture"),
            (Form::Svg, "take-svg", "SVG drawing"),
            (Form::Csv, "take-csv", "CSV table"),
        ] {
            if form == Form::Csv && figure.numbers.is_none() {
                continue;
            }
            let button = dom::button(&row, "", words)?;
            button.set_attribute("data-role", role)?;
            let (figure, select) = (Rc::clone(&figure), select.clone());
            listeners.push(Listener::new(&button, "click", move |_| {
                let style = Reflect::get(&select, &JsValue::from_str("value"));
                let style = style.ok().and_then(|style| style.as_string());
                if let Err(trouble) = take(&figure, form, &style.unwrap_or_default()) {
                    trouble::report(&trouble);
                }
            }));
        }
        Ok(Self {
            _listeners: listeners,
        })
    }
}

fn take(figure: &Figure, form: Form, style: &str) -> Outcome {
    let name = &figure.name;
    if form == Form::Csv {
        let numbers = figure.numbers.as_ref().map(|numbers| numbers());
        return export::download(
            &format!("{name}.csv"),
            "text/csv",
            &numbers.unwrap_or_default(),
        );
    }
    let theme = Theme::named(style).unwrap_or(Theme::light());
    let Some(scene) = (figure.scene)(theme) else {
        return Ok(());
    };
    // The usual style needs no name.
    let name = match style {
        "dark" | "print" => format!("{name}-{style}"),
        _ => name.clone(),
    };
    if form == Form::Png {
        export::download_canvas(&format!("{name}.png"), &SceneView::picture(&scene)?)
    } else {
        let svg = figure::svg(&scene)?;
        export::download(&format!("{name}.svg"), "image/svg+xml", &svg)
    }
}
