//! A box for a number with its unit: what is typed is echoed as it was understood, and kept as a
//! draft, before anything is judged.

use std::rc::Rc;

use web_sys::{Element, HtmlElement, HtmlInputElement};

use super::app::App;
use super::ask::draft;
use super::dom::{self, Listener};
use super::trouble::Outcome;
use crate::quantity;
use crate::session::{BlockRecord, StoredAnswer};

/// A live number box.
pub(crate) struct NumberField {
    input: HtmlInputElement,
    echo: HtmlElement,
    unit: String,
    _listener: Listener,
}

impl NumberField {
    /// Makes the box of a block live.
    pub(crate) fn mount(
        app: &Rc<App>,
        element: &Element,
        block: &str,
        unit: &str,
    ) -> Outcome<Rc<Self>> {
        let input = dom::input(element, "number")?;
        let echo = dom::role(element, "echo")?;
        let (source, place, default) = (input.clone(), echo.clone(), unit.to_owned());
        let (app, block) = (Rc::downgrade(app), block.to_owned());
        let listener = Listener::new(&input, "input", move |_| {
            place.set_text_content(Some(&understood(&source.value(), &default)));
            let _ = source.remove_attribute("aria-invalid");
            if let Some(app) = app.upgrade() {
                let text = source.value();
                let answer = (!text.trim().is_empty()).then_some(StoredAnswer::Number(text));
                app.send(draft(&block, answer));
            }
        });
        Ok(Rc::new(Self {
            input,
            echo,
            unit: unit.to_owned(),
            _listener: listener,
        }))
    }

    /// What stands in the box.
    pub(crate) fn text(&self) -> String {
        self.input.value()
    }

    /// Writes into the box, unless the reader is typing there just now.
    pub(crate) fn set(&self, text: &str, open: bool) {
        if self.input.value() != text {
            self.input.set_value(text);
        }
        self.input.set_disabled(!open);
        self.echo
            .set_text_content(Some(&understood(text, &self.unit)));
    }

    /// Marks the box as not understood.
    pub(crate) fn refuse(&self) {
        let _ = self.input.set_attribute("aria-invalid", "true");
        let _ = self.input.focus();
    }
}

/// The draft of a number, if one is kept.
pub(crate) fn drafted(kept: &BlockRecord) -> Option<&str> {
    match &kept.draft {
        Some(StoredAnswer::Number(text)) => Some(text),
        _ => None,
    }
}

/// What was understood of a typed number, in words, or why it cannot be read; nothing for an
/// empty box.
fn understood(text: &str, unit: &str) -> String {
    if text.trim().is_empty() {
        return String::new();
    }
    match quantity::parse_quantity(text) {
        Ok(parsed) => {
            let figures = parsed.significant_figures.clamp(1, 9);
            let value = quantity::digits(parsed.value, figures);
            match parsed.unit {
                Some(typed) => format!("read as {value} {}", quantity::shown_unit(&typed.symbol)),
                None if unit.is_empty() => format!("read as {value}"),
                None => format!(
                    "read as {value} {} (no unit typed)",
                    quantity::shown_unit(unit)
                ),
            }
        }
        Err(error) => error.to_string(),
    }
}
