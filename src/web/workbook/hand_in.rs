//! Saving the receipt, taking one up, correcting the identifier, starting over as somebody else.

use std::rc::Rc;

use web_sys::HtmlElement;

use super::Book;
use crate::homework::receipt::LARGEST;
use crate::web::desk;
use crate::web::dom::{self, Listener};
use crate::web::export;
use crate::web::trouble::{self, Outcome};
use crate::workbook::{Work, take_up};

/// What a control does.
type Act = fn(&Rc<Book>) -> Outcome;

/// Takes the controls of the page's foot, and of the identifier, into use.
pub(super) fn listen(book: &Rc<Book>) -> Outcome {
    let mut listeners = Vec::new();
    let mut on = |target: &HtmlElement, event: &'static str, act: Act| {
        let weak = Rc::downgrade(book);
        listeners.push(Listener::new(target, event, move |_| {
            if let Some(book) = weak.upgrade()
                && let Err(trouble) = act(&book)
            {
                trouble::report(&trouble);
            }
        }));
    };
    let clicks: [(&'static str, Act); 6] = [
        ("save-receipt", |book| {
            save(book)?;
            say(
                book,
                "The receipt is saved. You can go on, and save it again later.",
            );
            Ok(())
        }),
        ("correct", |book| {
            let typed = book.look(|work| work.typed().to_owned());
            book.erase();
            book.close(None, &typed.unwrap_or_default(), Some("who-name"));
            Ok(())
        }),
        ("somebody-else", |book| ask(book, true)),
        ("leave-no", |book| ask(book, false)),
        ("leave-save", |book| {
            save(book)?;
            leave(book);
            Ok(())
        }),
        ("leave-yes", |book| {
            leave(book);
            Ok(())
        }),
    ];
    for (role, act) in clicks {
        on(&dom::role(&book.main, role)?, "click", act);
    }
    for button in dom::find_all(&book.main, "[data-role=take-up]") {
        on(&button, "click", |book| {
            dom::role(&book.main, "receipt-file")?.click();
            Ok(())
        });
    }
    on(&dom::role(&book.main, "receipt-file")?, "change", take);
    let forget = dom::input(&book.main, "forget")?;
    forget.set_checked(book.store.forgets());
    on(&forget, "change", |book| {
        let tick = dom::input(&book.main, "forget")?;
        let kept = "Your work is now kept in this browser until it is taken away.";
        say(book, desk::keep_as_ticked(&book.store, &tick, kept));
        Ok(())
    });
    book.listeners.borrow_mut().extend(listeners);
    Ok(())
}

/// Says something where the reader is: beside the receipt, or beside the identifier.
fn say(book: &Book, words: &str) {
    let role = if book.work.borrow().is_some() {
        "hand-in-said"
    } else {
        "who-said"
    };
    dom::say(&book.main, role, words);
}

fn save(book: &Book) -> Outcome {
    match book.look(|work| (work.file_name(), work.receipt().text())) {
        Some((name, text)) => export::download(&name, "application/json", &text),
        None => Ok(()),
    }
}

/// Asks whether the work is to be taken away, or puts the question by.
fn ask(book: &Rc<Book>, asked: bool) -> Outcome {
    dom::show(&*dom::role(&book.main, "leave-ask")?, asked);
    let next = if asked { "leave-save" } else { "somebody-else" };
    dom::role(&book.main, next)?.focus()?;
    Ok(())
}

fn leave(book: &Rc<Book>) {
    book.erase();
    book.close(None, "", Some("who-name"));
}

/// Reads the file that was chosen.
fn take(book: &Rc<Book>) -> Outcome {
    let file = dom::input(&book.main, "receipt-file")?;
    let weak = Rc::downgrade(book);
    export::chosen(&file, LARGEST as f64, move |text| {
        let Some(book) = weak.upgrade() else { return };
        let Some(text) = text else {
            say(
                &book,
                "This file was not taken up: it is far too large for a receipt. Nothing here has changed.",
            );
            return;
        };
        let taken = {
            let work = book.work.borrow();
            take_up(&book.assignment, work.as_ref(), &text)
        };
        let work = match taken {
            Ok(receipt) => Work::resume(book.assignment.clone(), receipt, None, dom::now())
                .map_err(|error| error.to_string()),
            Err(error) => Err(error.to_string()),
        };
        match work {
            Ok(work) => book.go_on_with(work),
            Err(reason) => say(
                &book,
                &format!("This file was not taken up: {reason}. Nothing here has changed."),
            ),
        }
    })
}
