//! A prediction in the page: the form, the commitment, the reveal and what is said after it.
//! What is asked (a sketch, a choice, a mark, a number) lives in [`super::ask`].

mod form;
mod say;

use std::cell::{Cell, RefCell};
use std::rc::{Rc, Weak};

use web_sys::{Element, HtmlElement};

use super::app::App;
use super::ask::{self, Asked};
use super::background::{self, Errand, Status};
use super::dom::{self, Listener};
use super::island::Island;
use super::pen::Pen;
use super::trouble::{self, Outcome};
use crate::lesson::spec::Prediction;
use crate::session::{BlockRecord, Message};

use form::Form;

/// A live prediction.
struct Predict {
    app: Weak<App>,
    id: String,
    reasons: Vec<String>,
    /// Which of them lead to what is computed, the best first.
    because: Vec<u32>,
    asked: Box<dyn Asked>,
    form: Form,
    verdict: HtmlElement,
    /// Where the verdict's first sentence is put for those who hear the page.
    live: HtmlElement,
    chart: Option<HtmlElement>,
    pen: RefCell<Option<Pen>>,
    /// What the prediction waits for, if its set-up is a slow one.
    errand: Option<(Rc<Errand>, Rc<Status>)>,
    /// Whether the reveal waits for the background.
    is_to_reveal: Cell<bool>,
    listeners: RefCell<Vec<Listener>>,
    which: RefCell<Vec<Listener>>,
}

/// Makes a prediction live.
pub(crate) fn mount(
    app: &Rc<App>,
    element: &Element,
    spec: &Prediction,
) -> Outcome<Rc<dyn Island>> {
    let asked = ask::mount(app, element, spec)?;
    let is_slow = background::is_slow(&background::setup(&spec.setup)?);
    let status = if is_slow {
        Some(Status::mount(element)?)
    } else {
        None
    };
    let form = Form::find(element)?;
    let verdict = dom::role(element, "verdict")?;
    let live = dom::role(element, "live")?;
    let predict = Rc::new_cyclic(|me: &Weak<Predict>| Predict {
        app: Rc::downgrade(app),
        id: spec.id.clone(),
        reasons: spec.reasons.clone(),
        because: spec.because.clone(),
        asked,
        form,
        verdict,
        live,
        chart: dom::role(element, "chart").ok(),
        pen: RefCell::new(None),
        errand: status.map(|status| {
            let me = Weak::clone(me);
            let errand = Errand::new(Rc::clone(&status), move || {
                if let Some(predict) = me.upgrade()
                    && let Err(trouble) = predict.go_on()
                {
                    trouble::report(&trouble);
                }
            });
            (errand, status)
        }),
        is_to_reveal: Cell::new(false),
        listeners: RefCell::new(Vec::new()),
        which: RefCell::new(Vec::new()),
    });
    predict.listen();
    Ok(predict)
}

impl Predict {
    fn send(&self, message: Message) {
        if let Some(app) = self.app.upgrade() {
            app.send(message);
        }
    }

    fn kept(&self) -> BlockRecord {
        self.app
            .upgrade()
            .map(|app| app.kept(&self.id))
            .unwrap_or_default()
    }

    /// The form as the record and the walk say.
    fn show_form(&self, kept: &BlockRecord) {
        let asking = self
            .app
            .upgrade()
            .is_some_and(|app| app.look(|walk| walk.is_asking(&self.id)));
        self.form.show(kept, asking);
    }

    /// Whether this is a lecture: nobody's prediction is judged there, the answer is told.
    fn is_lecture(&self) -> bool {
        self.app.upgrade().is_some_and(|app| app.hall.is_some())
    }

    /// Brings the chart to the top of the window: the pen is seen from its start, and what is
    /// said stands below the curve that it speaks of.
    fn bring_chart(&self) {
        if !self.is_lecture()
            && let Some(chart) = &self.chart
        {
            chart.scroll_into_view_with_bool(true);
        }
    }

    /// Says what there is to say and shows all; the headline. What is said takes room on a lecture's screen: it comes first, and
    /// the drawings keep to the rest.
    fn tell(&self, kept: &BlockRecord) -> Outcome<String> {
        let headline = self.say(kept)?;
        self.asked.show(kept, 1.0)?;
        Ok(headline)
    }

    fn finish(&self) -> Outcome {
        let headline = self.tell(&self.kept())?;
        // Who went on reading while it was computed is not called back.
        let stays = self.is_lecture()
            || self
                .errand
                .as_ref()
                .is_some_and(|(_, status)| status.was_left());
        if !stays {
            self.verdict.focus()?;
            self.bring_chart();
        }
        self.live.set_text_content(Some(&headline));
        Ok(())
    }

    fn prepare(&self, kept: &BlockRecord) -> Outcome {
        self.asked.prepare(kept)?;
        if self.is_lecture() && kept.committed.is_some() {
            self.asked.told()?;
        }
        Ok(())
    }

    /// Whether everything that is to be shown is there. If not, the background is at it, or has
    /// failed, and the status says so.
    fn is_ready(&self, kept: &BlockRecord) -> bool {
        self.errand
            .as_ref()
            .is_none_or(|(errand, _)| errand.attempt(|| self.prepare(kept)).is_some())
    }

    /// Shows what needs nothing computed.
    fn wait(&self, kept: &BlockRecord) -> Outcome {
        dom::show(&self.verdict, false);
        self.asked.show(kept, 0.0)
    }

    /// An answer has come from the background.
    fn go_on(&self) -> Outcome {
        if self.is_to_reveal.get() {
            self.reveal()
        } else {
            self.refresh()
        }
    }
}

impl Island for Predict {
    fn refresh(&self) -> Outcome {
        let kept = self.kept();
        self.show_form(&kept);
        // A refresh while the pen is on its way leaves the pen its work.
        if self
            .pen
            .borrow()
            .as_ref()
            .is_none_or(|pen| !pen.is_moving())
        {
            if !self.is_ready(&kept) {
                return self.wait(&kept);
            }
            self.tell(&kept)?;
        }
        Ok(())
    }

    fn reveal(&self) -> Outcome {
        let kept = self.kept();
        self.show_form(&kept);
        if !self.is_ready(&kept) {
            if let Some((_, status)) = &self.errand
                && !self.is_to_reveal.replace(true)
            {
                status.hold_focus();
                self.bring_chart();
            }
            return self.wait(&kept);
        }
        let waited = self.is_to_reveal.replace(false);
        if self.chart.is_none() {
            // No curve is drawn, and nothing is there to wait for.
            return self.finish();
        }
        if !waited {
            self.bring_chart();
        }
        let app = self.app.clone();
        let id = self.id.clone();
        let pen = Pen::start(move |share| {
            let Some(app) = app.upgrade() else { return };
            if let Err(trouble) = app.trace(&id, share) {
                trouble::report(&trouble);
            }
        })?;
        self.pen.replace(Some(pen));
        Ok(())
    }

    fn trace(&self, share: f64) -> Outcome {
        if share < 1.0 {
            self.asked.show(&self.kept(), share)
        } else {
            self.finish()
        }
    }

    fn is_tracing(&self) -> bool {
        self.pen.borrow().as_ref().is_some_and(Pen::is_moving)
    }

    fn finish_pen(&self) {
        if let Some(pen) = self.pen.borrow().as_ref() {
            pen.finish();
        }
    }

    fn problem(&self, text: &str) -> Outcome {
        self.form.say_problem(Some(text));
        Ok(())
    }

    fn ask(&self) -> Outcome {
        self.form.ask()
    }
}
