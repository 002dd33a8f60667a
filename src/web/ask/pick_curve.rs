//! A curve to choose: the model's and one for each wrong picture, all computed, lettered in an
//! order that is this reader's own.

use std::cell::RefCell;
use std::rc::Rc;

use web_sys::{Element, HtmlElement};

use super::stage::board_place;
use super::{Asked, Stage, draft, standing};
use crate::figure::series::Series;
use crate::figure::theme::Role;
use crate::lesson::spec::{ChartSpec, Prediction};
use crate::prediction::{pick, pictures};
use crate::session::{BlockRecord, Commitment, StoredAnswer};
use crate::web::app::App;
use crate::web::background;
use crate::web::chart::Shown;
use crate::web::dom::{self, Listener};
use crate::web::trouble::Outcome;
use crate::web::verdict::{self, Said};

const LETTERS: [&str; 6] = ["A", "B", "C", "D", "E", "F"];

/// A live choice of curves.
pub(crate) struct PickCurve {
    stage: Stage,
    /// The pictures in the order of their letters; one of them is the model.
    order: Vec<&'static str>,
    set: HtmlElement,
    curves: RefCell<Option<Vec<Series>>>,
    described: RefCell<bool>,
    _listener: Listener,
}

impl PickCurve {
    pub(crate) fn mount(
        app: &Rc<App>,
        element: &Element,
        spec: &Prediction,
        chart: &ChartSpec,
        wrong: &[String],
    ) -> Outcome<Self> {
        let setup = background::setup(&spec.setup)?;
        let name = format!("{}-{}", app.lesson, spec.id);
        let at = board_place(spec, &setup)?;
        let stage = Stage::mount(element, &name, spec.board, setup, at, chart)?;
        let all = pick::curves(
            stage.plot.setup().description().kind,
            stage.plot.column(),
            wrong,
        );
        let order: Vec<&'static str> = pick::shuffled(all.len(), app.shuffle_seed(&spec.id))
            .into_iter()
            .filter_map(|index| all.get(index).copied())
            .take(LETTERS.len())
            .collect();
        let set = dom::role(element, "options")?;
        for old in dom::find_all(&set, ".option") {
            old.remove();
        }
        for letter in LETTERS.iter().take(order.len()) {
            let label = dom::append(&set, "label", "option", "")?;
            let input = dom::append(&label, "input", "", "")?;
            input.set_attribute("type", "radio")?;
            input.set_attribute("name", &format!("{name}-option"))?;
            input.set_attribute("value", letter)?;
            dom::append(&label, "span", "", &format!("curve {letter}"))?;
        }
        let (weak, block, places) = (Rc::downgrade(app), spec.id.clone(), set.clone());
        let named = order.clone();
        let listener = Listener::new(&set, "change", move |_| {
            let picture = dom::chosen(&places).and_then(|letter| picture_of(&named, &letter));
            if let (Some(app), Some(picture)) = (weak.upgrade(), picture) {
                app.send(draft(&block, Some(StoredAnswer::Choice(picture))));
            }
        });
        Ok(Self {
            stage,
            order,
            set,
            curves: RefCell::new(None),
            described: RefCell::new(false),
            _listener: listener,
        })
    }

    fn curves(&self) -> Outcome<Vec<Series>> {
        if let Some(curves) = self.curves.borrow().as_ref() {
            return Ok(curves.clone());
        }
        let curves = self
            .order
            .iter()
            .zip(LETTERS)
            .zip(0_u8..)
            .map(|((picture, letter), index)| {
                self.stage
                    .plot
                    .picture(picture, letter, Role::Candidate(index))
            })
            .collect::<Result<Vec<_>, _>>()?;
        self.curves.replace(Some(curves.clone()));
        Ok(curves)
    }

    fn letter_of(&self, picture: &str) -> Option<&'static str> {
        let place = self.order.iter().position(|name| *name == picture)?;
        LETTERS.get(place).copied()
    }
}

fn picture_of(order: &[&'static str], letter: &str) -> Option<String> {
    let place = LETTERS.iter().position(|known| *known == letter)?;
    order.get(place).map(|picture| (*picture).to_owned())
}

impl Asked for PickCurve {
    fn prepare(&self, _kept: &BlockRecord) -> Outcome {
        self.curves().map(|_| ())
    }

    fn missing(&self) -> Option<String> {
        dom::chosen(&self.set)
            .is_none()
            .then(|| "Choose one of the curves first.".to_owned())
    }

    fn show(&self, kept: &BlockRecord, share: f64) -> Outcome {
        let choice = match standing(kept) {
            Some(StoredAnswer::Choice(picture)) => self.letter_of(picture),
            _ => None,
        };
        let done = kept.committed.is_some();
        dom::choose(&self.set, choice, !done);
        // There is nothing to choose from before the curves are there.
        let is_ready = share > 0.0 || self.curves.borrow().is_some();
        dom::show(&self.set, is_ready);
        if !is_ready {
            self.stage.chart.show(Shown::default())?;
            return self.stage.show_board(false);
        }
        let mut series = self.curves()?;
        if done {
            let place = self.order.iter().position(|name| *name == pictures::MODEL);
            if let Some(curve) = place.and_then(|place| series.get_mut(place)) {
                let (from, to) = (self.stage.plot.grid(2).from, self.stage.plot.grid(2).to);
                let mut computed = curve.clone();
                computed.role = Role::Computed;
                computed.name = "computed".to_owned();
                computed.drawn_to = (share < 1.0).then_some(from + (to - from) * share);
                series.push(computed);
            }
        }
        self.stage.chart.view.name(if done {
            "The curves and the computed one"
        } else {
            "The curves to choose from"
        });
        self.stage.chart.show(Shown {
            series,
            marks: Vec::new(),
            has_cursor: done && share >= 1.0,
        })?;
        self.stage.show_board(done && share >= 1.0)?;
        // The curves themselves are the question here, so their words and numbers stand from the
        // start; without them the question could not be answered by ear.
        let described = *self.described.borrow();
        if share >= 1.0 && (done != described || self.set.get_attribute("data-described").is_none())
        {
            self.described.replace(done);
            self.set.set_attribute("data-described", "")?;
            self.stage.chart.describe("The curves")?;
        }
        Ok(())
    }

    fn in_words(&self, answer: &StoredAnswer) -> String {
        match answer {
            StoredAnswer::Choice(picture) => {
                format!("curve {}", self.letter_of(picture).unwrap_or("?"))
            }
            _ => String::new(),
        }
    }

    fn said(&self, committed: &Commitment, _meant: Option<&str>) -> Outcome<Said> {
        let StoredAnswer::Choice(picture) = &committed.answer else {
            return Ok(Said::default());
        };
        let plot = &self.stage.plot;
        let assessment =
            pick::assess_curve(plot.setup().description().kind, plot.column(), picture);
        Ok(verdict::of_curve(
            &assessment,
            self.letter_of(picture).unwrap_or_default(),
            self.letter_of(pictures::MODEL).unwrap_or_default(),
            committed.sure,
        ))
    }

    fn told(&self) -> Outcome<Said> {
        let plot = &self.stage.plot;
        let mut said = Said::default();
        for (picture, letter) in self.order.iter().zip(LETTERS) {
            match pictures::find(plot.setup().description().kind, plot.column(), picture) {
                Some(wrong) => said.notes.push(format!("{letter}: {}.", wrong.words)),
                None => said.headline = format!("The computed curve is {letter}."),
            }
        }
        Ok(said)
    }
}
