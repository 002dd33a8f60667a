//! A board picture in the page: drawing and words, following a place on the set-up's x axis. Where the
//! inside of the device is not there at once, the last one stands until the new one comes.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement};

use super::background::{self, Attempt, Client};
use super::canvas::{self, SceneView};
use super::dom::{self, Listener};
use super::island::Island;
use super::take::{Figure, Take};
use super::trouble::{self, Outcome, Trouble};
use crate::experiment::{self, Inside, Pace, Setup, View};
use crate::figure::board::{self, BoardOptions};
use crate::figure::scene::{Anchor, Scene};
use crate::figure::{BoardPicture, Theme};
use crate::jobs::{Answer, Job, JobNumber, News};
use crate::lesson::spec::Board;

/// Width of a picture that is taken away, in logical pixels: the same from every screen.
const TAKEN: f64 = 480.0;

/// A board picture.
pub(crate) struct BoardView {
    view: SceneView,
    picture: BoardPicture,
    /// What of the device it shows.
    looks_at: View,
    setup: RefCell<Setup>,
    /// Place on the set-up's x axis, SI.
    at: Cell<f64>,
    /// Whether sums and other results are shown: not before a commitment.
    results: Cell<bool>,
    /// What is shown.
    inside: RefCell<Option<Inside>>,
    slow: Option<Slow>,
    /// What takes the picture away, and its place.
    take: RefCell<Option<Take>>,
    details: HtmlElement,
    listeners: RefCell<Vec<Listener>>,
}

/// Asks the background for the inside of a device.
struct Slow {
    client: RefCell<Option<Client>>,
    /// The newest question and, once it has one, its number.
    asked: RefCell<Option<Job>>,
    number: Cell<Option<JobNumber>>,
    /// Says why there is no picture.
    remark: HtmlElement,
}

impl BoardView {
    /// Fills `figure` with a board picture of the set-up at x = 0.
    pub(crate) fn mount(
        figure: &HtmlElement,
        picture: BoardPicture,
        setup: Setup,
    ) -> Outcome<Rc<Self>> {
        figure.set_text_content(None);
        if picture == BoardPicture::FeedbackLoop {
            // A circuit with words along its wires, and a curve below it.
            figure.class_list().add_1("wide")?;
        }
        let view = SceneView::new(figure)?;
        let device = setup.description();
        let usual = || device.views().first().copied();
        let looks_at = picture
            .view_of(device)
            .or_else(usual)
            .ok_or_else(|| Trouble::missing("something to look at"))?;
        let is_slow = background::is_slow(&setup) || device.look_pace(looks_at) != Pace::AtOnce;
        let slow = if is_slow {
            Some(Slow::new(figure)?)
        } else {
            None
        };
        let details = dom::append(figure, "details", "take", "")?;
        dom::show(&details, false);
        let board = Rc::new(Self {
            view,
            picture,
            looks_at,
            setup: RefCell::new(setup),
            at: Cell::new(0.0),
            results: Cell::new(false),
            inside: RefCell::new(None),
            slow,
            take: RefCell::new(None),
            details,
            listeners: RefCell::new(Vec::new()),
        });
        let weak = Rc::downgrade(&board);
        let listener = Listener::new(&dom::window()?.into(), "resize", move |_| {
            if let Some(board) = weak.upgrade() {
                board.draw_or_report();
            }
        });
        board.listeners.borrow_mut().push(listener);
        board.offer(figure)?;
        if let Some(slow) = &board.slow {
            let weak = Rc::downgrade(&board);
            slow.client.replace(Some(Client::new(move |number, news| {
                if let Some(board) = weak.upgrade() {
                    board.heard(number, news);
                }
            })));
        }
        Ok(board)
    }

    /// Makes ready what takes the picture away. It is shown with the results.
    fn offer(self: &Rc<Self>, figure: &HtmlElement) -> Outcome {
        dom::append(&self.details, "summary", "", "Take this picture away")?;
        let block = figure
            .closest("[id]")?
            .map_or_else(String::new, |block| block.id());
        let weak = Rc::downgrade(self);
        let take = Take::mount(
            &self.details,
            Figure {
                name: format!("{block}-{}", self.picture.name()),
                scene: Box::new(move |theme| {
                    let board = weak.upgrade()?;
                    let inside = board.inside.borrow();
                    Some(board::scene(inside.as_ref()?, &board.options(TAKEN, theme)))
                }),
                numbers: None,
            },
        )?;
        self.take.replace(Some(take));
        Ok(())
    }

    fn options(&self, width: f64, theme: Theme) -> BoardOptions {
        BoardOptions {
            picture: self.picture,
            width,
            height: (width * 0.86).min(420.0 * theme.text_scale * theme.unit),
            theme,
            show_sum: self.results.get(),
        }
    }

    /// Shows the inside at a place (SI), with or without results.
    pub(crate) fn show(&self, at: f64, results: bool) -> Outcome {
        self.at.set(at);
        self.results.set(results);
        self.draw()
    }

    /// Calls `act` with the part of the picture that the reader points at.
    pub(crate) fn on_point(self: &Rc<Self>, act: impl Fn(&'static str) + 'static) {
        let plot = &self.view.plot;
        let _ = plot.class_list().add_1("markable");
        let weak = Rc::downgrade(self);
        let listener = Listener::new(plot, "click", move |event| {
            let Some(board) = weak.upgrade() else { return };
            let event: &web_sys::PointerEvent = event.unchecked_ref();
            let bounds = board.view.plot.get_bounding_client_rect();
            let across = (f64::from(event.client_x()) - bounds.left()) / bounds.width();
            if let Some(part) = board::part_at(board.picture, across) {
                act(part);
            }
        });
        self.listeners.borrow_mut().push(listener);
    }

    /// Changes the device.
    pub(crate) fn change(&self, setup: Setup) {
        self.setup.replace(setup);
    }

    fn draw_or_report(&self) {
        if let Err(trouble) = self.draw() {
            trouble::report(&trouble);
        }
    }

    fn draw(&self) -> Outcome {
        // Shut parts of the page want nothing computed.
        if self.view.width() < 1.0 {
            return Ok(());
        }
        let (setup, at) = (self.setup.borrow(), self.at.get());
        if setup.description().look_pace(self.looks_at) != Pace::AtOnce {
            self.ask(Job::inside(&setup, self.looks_at, at));
            return self.paint();
        }
        // What is put together from runs of a slow set-up may want some of them first.
        match background::attempt(|| Ok(experiment::look_inside(&setup, self.looks_at, at)?))? {
            Attempt::Done(inside) => {
                self.inside.replace(Some(inside));
            }
            Attempt::Wanting(job) => self.ask(job),
        }
        self.paint()
    }

    fn ask(&self, job: Job) {
        if let Some(slow) = &self.slow {
            slow.ask(job);
        }
    }

    fn heard(&self, number: JobNumber, news: News) {
        let Some(slow) = &self.slow else { return };
        match news {
            News::Done(answer @ Answer::Run(_)) if slow.number.get() == Some(number) => {
                if let Some(job) = slow.asked.take() {
                    background::keep(job, Ok(answer));
                    dom::show(&slow.remark, false);
                    self.draw_or_report();
                }
            }
            // An older one is nearer than what is shown.
            News::Done(Answer::Inside(inside)) => {
                self.inside.replace(Some(inside));
                dom::show(&slow.remark, false);
                if let Err(trouble) = self.paint() {
                    trouble::report(&trouble);
                }
            }
            // A failure may come while the question is still being put.
            News::Failed(words) if slow.number.get().is_none_or(|newest| newest == number) => {
                // The next movement tries again.
                slow.asked.replace(None);
                slow.remark.set_text_content(Some(&words));
                dom::show(&slow.remark, true);
            }
            _ => {}
        }
    }

    /// Shows the inside that is known; an empty sheet while there is none.
    fn paint(&self) -> Outcome {
        let width = self.view.width();
        if width < 1.0 {
            return Ok(());
        }
        let theme = canvas::theme();
        let mut options = self.options(width, theme);
        // A circuit with a curve below it needs more height than a picture of one piece.
        let least = match self.picture {
            BoardPicture::TankCircuit => 0.8,
            BoardPicture::FeedbackLoop => 0.7,
            _ => 0.6,
        };
        options.height = canvas::board_height(options.height, width * least, &self.view.plot);
        let Some(inside) = &*self.inside.borrow() else {
            self.view.name("The picture is being computed.");
            let mut empty = Scene::new(width, options.height, Some(theme.paper));
            let (middle, size) = ((0.5 * width, 0.5 * options.height), theme.text_size(width));
            empty.write(
                middle,
                "computing\u{2026}",
                size,
                Anchor::Middle,
                theme.quiet,
            );
            return self.view.draw(&empty);
        };
        dom::show(&self.details, options.show_sum);
        self.view.draw(&board::scene(inside, &options))?;
        self.view
            .name(&board::describe(inside, self.picture, self.results.get()));
        Ok(())
    }
}

impl Slow {
    fn new(figure: &HtmlElement) -> Outcome<Self> {
        let remark = dom::append(figure, "p", "remarks", "")?;
        remark.set_attribute("role", "status")?;
        dom::show(&remark, false);
        Ok(Self {
            client: RefCell::new(None),
            asked: RefCell::new(None),
            number: Cell::new(None),
            remark,
        })
    }

    /// Puts the newest question, unless it is the same as before.
    fn ask(&self, job: Job) {
        if self.asked.borrow().as_ref() == Some(&job) {
            return;
        }
        self.asked.replace(Some(job.clone()));
        self.number.set(None);
        let number = self.client.borrow().as_ref().map(|client| client.ask(job));
        // A failure may have been heard already.
        if self.asked.borrow().is_some() {
            self.number.set(number);
        }
    }
}

/// A board picture that stands alone.
struct Alone {
    board: Rc<BoardView>,
    at: f64,
}

impl Island for Alone {
    fn refresh(&self) -> Outcome {
        self.board.show(self.at, true)
    }
}

/// Makes a board picture that stands alone live.
pub(crate) fn mount(element: &Element, spec: &Board) -> Outcome<Rc<dyn Island>> {
    let setup = background::setup(&spec.setup)?;
    let at = experiment::read_place(&setup, &spec.at)?;
    let board = BoardView::mount(&dom::role(element, "board")?, spec.picture, setup)?;
    Ok(Rc::new(Alone { board, at }))
}
