//! A number to predict, with its unit.

use std::rc::Rc;

use web_sys::Element;

use super::{Asked, standing};
use crate::experiment::Setup;
use crate::lesson::spec::{NumberSpec, Prediction};
use crate::prediction::number::{NumberTask, assess_number, unreadable};
use crate::session::{BlockRecord, Commitment, StoredAnswer};
use crate::web::app::App;
use crate::web::ask::stage;
use crate::web::background;
use crate::web::board::BoardView;
use crate::web::number_field::NumberField;
use crate::web::trouble::Outcome;
use crate::web::verdict::{self, Said};

/// A live number prediction.
pub(crate) struct NumberAsked {
    setup: Setup,
    spec: NumberSpec,
    field: Rc<NumberField>,
    board: Option<Rc<BoardView>>,
    /// The place that it shows, SI.
    at: f64,
}

impl NumberAsked {
    pub(crate) fn mount(
        app: &Rc<App>,
        element: &Element,
        spec: &Prediction,
        number: &NumberSpec,
    ) -> Outcome<Self> {
        let setup = background::setup(&spec.setup)?;
        let board = stage::board_alone(element, spec.board, &setup)?;
        let at = stage::board_place(spec, &setup)?;
        let field = NumberField::mount(app, element, &spec.id, &number.unit)?;
        Ok(Self {
            setup,
            spec: number.clone(),
            field,
            board,
            at,
        })
    }
}

impl NumberAsked {
    fn task(&self) -> NumberTask<'_> {
        self.spec.task(&self.setup)
    }
}

impl Asked for NumberAsked {
    fn prepare(&self, kept: &BlockRecord) -> Outcome {
        match &kept.committed {
            Some(committed) => self.said(committed, None).map(|_| ()),
            None => Ok(()),
        }
    }

    fn missing(&self) -> Option<String> {
        let text = self.field.text();
        if text.trim().is_empty() {
            return Some("Type a value first, however rough.".to_owned());
        }
        let problem = unreadable(&text, &self.spec.unit)?;
        self.field.refuse();
        Some(problem)
    }

    fn show(&self, kept: &BlockRecord, _share: f64) -> Outcome {
        let text = match standing(kept) {
            Some(StoredAnswer::Number(text)) => text.as_str(),
            _ => "",
        };
        self.field.set(text, kept.committed.is_none());
        match &self.board {
            Some(board) => board.show(self.at, kept.committed.is_some()),
            None => Ok(()),
        }
    }

    fn in_words(&self, answer: &StoredAnswer) -> String {
        match answer {
            StoredAnswer::Number(text) => text.clone(),
            _ => String::new(),
        }
    }

    fn said(&self, committed: &Commitment, _meant: Option<&str>) -> Outcome<Said> {
        let StoredAnswer::Number(text) = &committed.answer else {
            return Ok(Said::default());
        };
        let task = self.task();
        let assessment = assess_number(&task, text)?;
        let truth = crate::prediction::number::answer_words(&task)?;
        Ok(verdict::of_number(
            &assessment,
            Some(&truth),
            Some(committed.sure),
        ))
    }

    fn told(&self) -> Outcome<Said> {
        let truth = crate::prediction::number::answer_words(&self.task())?;
        Ok(verdict::of_truth(&truth))
    }
}
