//! The identifier: typed once, echoed as it is understood.

use std::rc::Rc;

use web_sys::HtmlElement;

use super::Book;
use crate::homework::{Identifier, IdentifierError};
use crate::web::dom::{self, Listener};
use crate::web::trouble::Outcome;
use crate::workbook::Work;

/// Asks who is there. `typed` stands in the box.
pub(super) fn show(book: &Rc<Book>, typed: &str) -> Outcome {
    let place = dom::role(&book.main, "who")?;
    let input = dom::input(&place, "who-name")?;
    let echo = dom::role(&place, "who-echo")?;
    let problem = dom::role(&place, "who-problem")?;
    input.set_value(typed);
    echo.set_text_content(Some(&understood(typed)));
    let (source, said, told) = (input.clone(), echo, problem.clone());
    let on_input = Listener::new(&input, "input", move |_| {
        said.set_text_content(Some(&understood(&source.value())));
        told.set_text_content(None);
        let _ = source.remove_attribute("aria-invalid");
    });
    let weak = Rc::downgrade(book);
    let form: HtmlElement = dom::role(&place, "who-form")?;
    let on_submit = Listener::new(&form, "submit", move |event| {
        event.prevent_default();
        let Some(book) = weak.upgrade() else { return };
        match Work::new(book.assignment.clone(), &input.value()) {
            Ok(work) => book.go_on_with(work),
            Err(error) => {
                problem.set_text_content(Some(&sentence(&error)));
                let _ = input.set_attribute("aria-invalid", "true");
                let _ = input.focus();
            }
        }
    });
    book.listeners.borrow_mut().extend([on_input, on_submit]);
    dom::show(&place, true);
    Ok(())
}

/// How an identifier is understood, in words; nothing while there is none.
fn understood(typed: &str) -> String {
    match Identifier::new(typed) {
        Ok(known) => format!("read as {}", known.as_str()),
        Err(IdentifierError::Empty) => String::new(),
        Err(error) => error.to_string(),
    }
}

fn sentence(error: &IdentifierError) -> String {
    let words = error.to_string();
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        format!("{}{}.", first.to_uppercase(), letters.as_str())
    })
}
