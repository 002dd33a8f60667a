//! A numeric question of an assignment: tries that count, a ladder of hints, and in the end the
//! computed value beside what was answered.

use std::cell::RefCell;
use std::rc::{Rc, Weak};

use web_sys::{Element, HtmlElement};

use super::Book;
use crate::homework::assignment::SOLUTION;
use crate::lesson::spec::Question;
use crate::web::app::App;
use crate::web::background::{self, Errand, Status};
use crate::web::dom::{self, Listener};
use crate::web::island::Island;
use crate::web::number_field::{NumberField, drafted};
use crate::web::trouble::{self, Outcome};
use crate::web::verdict;
use crate::workbook::{Message, TaskStanding};

/// A live numeric question.
pub(crate) struct Task {
    app: Weak<App>,
    book: Weak<Book>,
    id: String,
    place: usize,
    field: Rc<NumberField>,
    form: HtmlElement,
    problem: HtmlElement,
    tries: HtmlElement,
    verdict: HtmlElement,
    live: HtmlElement,
    ladder: HtmlElement,
    next: HtmlElement,
    asking: HtmlElement,
    /// What the question waits for, if its set-up is a slow one.
    errand: Option<Rc<Errand>>,
    /// An answer that is to be judged when the background is done.
    waiting: RefCell<Option<String>>,
    listeners: RefCell<Vec<Listener>>,
}

/// Makes a numeric question live.
pub(crate) fn mount(
    app: &Rc<App>,
    book: &Rc<Book>,
    element: &Element,
    spec: &Question,
) -> Outcome<Rc<dyn Island>> {
    let status = if background::is_slow(&background::setup(&spec.setup)?) {
        Some(Status::mount(element)?)
    } else {
        None
    };
    let find = |role| dom::role(element, role);
    let field = NumberField::mount(app, element, &spec.id, &spec.number.unit)?;
    let parts = [
        find("form")?,
        find("problem")?,
        find("tries")?,
        find("verdict")?,
        find("live")?,
        find("ladder")?,
        find("next-hint")?,
        find("solution-ask")?,
    ];
    let [form, problem, tries, verdict, live, ladder, next, asking] = parts;
    let place = book.assignment.task(&spec.id).map(|(place, _)| place);
    let task = Rc::new_cyclic(|me: &Weak<Task>| Task {
        app: Rc::downgrade(app),
        book: Rc::downgrade(book),
        id: spec.id.clone(),
        place: place.unwrap_or(usize::MAX),
        field,
        form,
        problem,
        tries,
        verdict,
        live,
        ladder,
        next,
        asking,
        errand: status.map(|status| {
            let me = Weak::clone(me);
            Errand::new(status, move || {
                if let Some(task) = me.upgrade()
                    && let Err(trouble) = task.go_on()
                {
                    trouble::report(&trouble);
                }
            })
        }),
        waiting: RefCell::new(None),
        listeners: RefCell::new(Vec::new()),
    });
    task.listen()?;
    book.tasks
        .borrow_mut()
        .insert(spec.id.clone(), Rc::clone(&task));
    Ok(task)
}

impl Task {
    fn listen(self: &Rc<Self>) -> Outcome {
        let mut listeners = Vec::new();
        let mut on = |target: &HtmlElement, event: &'static str, act: fn(&Rc<Self>) -> Outcome| {
            let weak = Rc::downgrade(self);
            listeners.push(Listener::new(target, event, move |event| {
                event.prevent_default();
                if let Some(task) = weak.upgrade()
                    && let Err(trouble) = act(&task)
                {
                    trouble::report(&trouble);
                }
            }));
        };
        on(&self.form, "submit", |task| task.judge(task.field.text()));
        on(&self.next, "click", |task| {
            task.send(Message::Hint {
                task: task.place,
                at: dom::now(),
            });
            Ok(())
        });
        on(&dom::role(&self.asking, "solution-yes")?, "click", |task| {
            dom::show(&task.asking, false);
            task.send(Message::Solution {
                task: task.place,
                at: dom::now(),
            });
            Ok(())
        });
        on(&dom::role(&self.asking, "solution-no")?, "click", |task| {
            dom::show(&task.asking, false);
            dom::show(&task.next, true);
            Ok(task.next.focus()?)
        });
        self.listeners.replace(listeners);
        Ok(())
    }

    fn send(&self, message: Message) {
        if let Some(book) = self.book.upgrade() {
            book.send(message);
        }
    }

    /// Whether it is known what is expected. If not, the background is at it, or has failed, and
    /// the status says so.
    fn is_known(&self) -> Outcome<bool> {
        let Some(book) = self.book.upgrade() else {
            return Ok(false);
        };
        match &self.errand {
            Some(errand) => Ok(errand.attempt(|| book.know(self.place)).is_some()),
            None => book.know(self.place).map(|()| true),
        }
    }

    fn judge(&self, text: String) -> Outcome {
        if text.trim().is_empty() {
            return self.refuse("Type a value first.");
        }
        self.problem.set_text_content(None);
        if !self.is_known()? {
            self.waiting.replace(Some(text));
            return Ok(());
        }
        self.send(Message::Tried {
            task: self.place,
            text,
            at: dom::now(),
        });
        Ok(())
    }

    /// An answer has come from the background.
    fn go_on(&self) -> Outcome {
        match self.waiting.take() {
            Some(text) => self.judge(text),
            None => {
                self.show()?;
                if let Some(book) = self.book.upgrade() {
                    book.stand();
                }
                Ok(())
            }
        }
    }

    /// Says why an answer does not count.
    pub(super) fn refuse(&self, words: &str) -> Outcome {
        self.field.refuse();
        self.problem.set_text_content(Some(words));
        Ok(())
    }

    /// Announces what came of an answer; when it was the last, the keyboard goes on to it.
    pub(super) fn announce(&self, words: &str) -> Outcome {
        self.live.set_text_content(Some(words));
        if self.form.class_list().contains("committed") {
            self.verdict.focus()?;
        }
        Ok(())
    }

    /// Shows a hint and lets the keyboard rest on it, so that it is read.
    pub(super) fn show_hint(&self, hint: usize) -> Outcome {
        self.open_hint(hint)?;
        if hint >= SOLUTION {
            dom::show(&self.next, false);
        }
        if let Some(shown) = self.hint(hint) {
            shown.set_attribute("tabindex", "-1")?;
            shown.focus()?;
        }
        Ok(())
    }

    /// Asks whether the worked solution is really wanted.
    pub(super) fn ask(&self) -> Outcome {
        dom::show(&self.asking, true);
        dom::show(&self.next, false);
        dom::role(&self.asking, "solution-yes")?.focus()?;
        Ok(())
    }

    fn hint(&self, hint: usize) -> Option<HtmlElement> {
        dom::find(&self.ladder, &format!("[data-hint=\"{hint}\"]"))
    }

    fn open_hint(&self, hint: usize) -> Outcome {
        if let Some(shown) = self.hint(hint) {
            dom::show(&shown, true);
        }
        Ok(())
    }

    /// Shows the question as it stands.
    pub(super) fn show(&self) -> Outcome {
        let Some(book) = self.book.upgrade() else {
            return Ok(());
        };
        let wants = book.look(|work| work.wants(self.place)) == Some(true);
        if wants && !self.is_known()? {
            dom::show(&self.verdict, false);
            return Ok(());
        }
        let Some(standing) = book.look(|work| work.standing(self.place)) else {
            return Ok(());
        };
        let rules = &book.assignment.rules;
        if standing.known {
            let left = standing.tries_left(rules.full, rules.later);
            self.tries.set_text_content(Some(&left));
        }
        let class = self.form.class_list();
        if standing.closed {
            class.add_1("committed")?;
        } else {
            class.remove_1("committed")?;
        }
        let last = book.look(|work| work.last_answer(self.place).map(str::to_owned));
        let answered = last.as_ref().and_then(Option::as_deref).unwrap_or_default();
        // A number that is being typed is left alone, also when the page comes anew.
        if standing.closed {
            self.field.set(answered, false);
        } else if self.field.text().is_empty() {
            let kept = self.app.upgrade().map(|app| app.kept(&self.id));
            let draft = kept.as_ref().and_then(drafted);
            self.field.set(draft.unwrap_or(answered), true);
        }
        self.say(&book, &standing, last.flatten())?;
        self.show_ladder(&book, &standing)
    }

    fn say(&self, book: &Book, standing: &TaskStanding, last: Option<String>) -> Outcome {
        let truth = book
            .look(|work| work.truth(self.place))
            .flatten()
            .filter(|_| standing.closed);
        let assessment = last
            .as_ref()
            .and_then(|last| book.look(|work| work.assess(self.place, last)).flatten());
        let said = match (assessment, truth) {
            (Some(assessment), truth) => {
                let mut said = verdict::of_number(&assessment, truth.as_deref(), None);
                said.committed = format!("Try {} of {}.", standing.mark.tries, standing.most);
                said
            }
            (None, Some(truth)) => verdict::of_truth(&truth),
            (None, None) => {
                dom::show(&self.verdict, false);
                return Ok(());
            }
        };
        verdict::show(&self.verdict, &said)?;
        Ok(())
    }

    fn show_ladder(&self, book: &Book, standing: &TaskStanding) -> Outcome {
        let opened = book.look(|work| work.hints(self.place)).unwrap_or(0);
        for hint in 1..=opened {
            self.open_hint(hint)?;
        }
        let before = SOLUTION - 1;
        let words = if standing.closed || opened >= before {
            "Show the worked solution".to_owned()
        } else {
            format!("Show hint {} of {before}", opened + 1)
        };
        self.next.set_text_content(Some(&words));
        dom::show(&self.next, opened < SOLUTION);
        dom::show(&self.asking, false);
        Ok(())
    }
}

impl Island for Task {
    fn refresh(&self) -> Outcome {
        self.show()
    }
}
