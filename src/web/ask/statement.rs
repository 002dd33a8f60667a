//! Statements to choose from, or parts of the board picture to point to. Which is right is known
//! by its seal only; the reply to each is written in the lesson.

use crate::numerics::order::sort_short_by;
use std::rc::Rc;

use web_sys::{Element, HtmlElement};

use super::{Asked, draft, standing};
use crate::lesson::spec::{self, Ask, Prediction, Statement};
use crate::prediction::pick;
use crate::session::{BlockRecord, Commitment, StoredAnswer};
use crate::web::app::App;
use crate::web::ask::stage;
use crate::web::background;
use crate::web::board::BoardView;
use crate::web::dom::{self, Listener};
use crate::web::trouble::Outcome;
use crate::web::verdict::{self, Said};

/// A live choice of statements.
pub(crate) struct PickStatement {
    lesson: String,
    block: String,
    options: Vec<Statement>,
    right: String,
    set: HtmlElement,
    element: Element,
    board: Option<Rc<BoardView>>,
    at: f64,
    _listener: Listener,
}

impl PickStatement {
    pub(crate) fn mount(
        app: &Rc<App>,
        element: &Element,
        spec: &Prediction,
        options: &[Statement],
        right: &str,
    ) -> Outcome<Self> {
        let set = dom::role(element, "options")?;
        shuffle(&set, options.len(), app.shuffle_seed(&spec.id))?;
        let setup = background::setup(&spec.setup)?;
        let at = stage::board_place(spec, &setup)?;
        let board = stage::board_alone(element, spec.board, &setup)?;
        if let (Some(board), Ask::MarkBoard { .. }) = (&board, &spec.ask) {
            // Pointing at a part is choosing it: the same choice, by the same event.
            let choices = set.clone();
            board.on_point(move |part| {
                if let Some(choice) = dom::find(&choices, &format!("input[value=\"{part}\"]")) {
                    choice.click();
                }
            });
        }
        let (weak, block, places) = (Rc::downgrade(app), spec.id.clone(), set.clone());
        let listener = Listener::new(&set, "change", move |_| {
            if let (Some(app), Some(choice)) = (weak.upgrade(), dom::chosen(&places)) {
                app.send(draft(&block, Some(StoredAnswer::Choice(choice))));
            }
        });
        Ok(Self {
            lesson: app.lesson.clone(),
            block: spec.id.clone(),
            options: options.to_vec(),
            right: right.to_owned(),
            set,
            element: element.clone(),
            board,
            at,
            _listener: listener,
        })
    }
}

impl Asked for PickStatement {
    fn prepare(&self, _kept: &BlockRecord) -> Outcome {
        Ok(())
    }

    fn missing(&self) -> Option<String> {
        dom::chosen(&self.set)
            .is_none()
            .then(|| "Choose one of them first.".to_owned())
    }

    fn show(&self, kept: &BlockRecord, _share: f64) -> Outcome {
        let choice = match standing(kept) {
            Some(StoredAnswer::Choice(choice)) => Some(choice.as_str()),
            _ => None,
        };
        dom::choose(&self.set, choice, kept.committed.is_none());
        match &self.board {
            Some(board) => board.show(self.at, kept.committed.is_some()),
            None => Ok(()),
        }
    }

    fn in_words(&self, answer: &StoredAnswer) -> String {
        let StoredAnswer::Choice(choice) = answer else {
            return String::new();
        };
        let option = self.options.iter().find(|option| option.id == *choice);
        option.map(|option| option.text.clone()).unwrap_or_default()
    }

    fn said(&self, committed: &Commitment, _meant: Option<&str>) -> Outcome<Said> {
        let StoredAnswer::Choice(choice) = &committed.answer else {
            return Ok(Said::default());
        };
        let is_right = |option: &str| spec::seal(&self.lesson, &self.block, option) == self.right;
        let right = self.options.iter().find(|option| is_right(&option.id));
        Ok(verdict::of_choice(
            is_right(choice),
            committed.sure,
            right.map(|option| option.text.as_str()),
            reply(&self.element, choice),
        ))
    }

    fn told(&self) -> Outcome<Said> {
        let is_right =
            |option: &&Statement| spec::seal(&self.lesson, &self.block, &option.id) == self.right;
        let right = self.options.iter().find(is_right);
        Ok(right.map_or_else(Said::default, |right| Said {
            headline: right.text.clone(),
            reply: reply(&self.element, &right.id),
            ..Said::default()
        }))
    }
}

/// The reply written in the lesson for an option, if it has any words.
pub(crate) fn reply(element: &Element, option: &str) -> Option<HtmlElement> {
    dom::find_all(element, "[data-reply]")
        .into_iter()
        .find(|reply| {
            reply.get_attribute("data-reply").as_deref() == Some(option)
                && reply.parent_element().as_ref() == Some(element)
        })
        .filter(|reply| {
            reply
                .text_content()
                .is_some_and(|text| !text.trim().is_empty())
        })
}

/// Puts the options of a set in an order that is this reader's own.
pub(crate) fn shuffle(set: &HtmlElement, count: usize, seed: u64) -> Outcome {
    let mut options: Vec<Option<HtmlElement>> = dom::find_all(set, ".option")
        .into_iter()
        .map(Some)
        .collect();
    if options.len() != count {
        return Ok(());
    }
    // The page's own order is restored first, so that a second mount shuffles the same way.
    let name = |option: &Option<HtmlElement>| {
        let input = option
            .as_ref()
            .and_then(|option| dom::find(option, "input"));
        input.map(|input| dom::value(&input))
    };
    sort_short_by(&mut options, |one, other| name(one).cmp(&name(other)));
    for index in pick::shuffled(count, seed) {
        if let Some(option) = options.get_mut(index).and_then(Option::take) {
            set.append_child(&option)?;
        }
    }
    Ok(())
}
