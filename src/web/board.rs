//! A board picture in the page: drawing and words, following a place on the set-up's x axis.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement};

use super::app::Island;
use super::canvas::{self, SceneView};
use super::dom::{self, Listener};
use super::trouble::{self, Outcome};
use crate::experiment::{self, Inside, Setup};
use crate::figure::BoardPicture;
use crate::figure::board::{self, BoardOptions};
use crate::lesson::spec::Board;

/// A board picture.
pub(crate) struct BoardView {
    view: SceneView,
    picture: BoardPicture,
    setup: RefCell<Setup>,
    /// Place on the set-up's x axis, SI.
    at: Cell<f64>,
    /// Whether sums and other results are shown: not before a commitment.
    results: Cell<bool>,
    listeners: RefCell<Vec<Listener>>,
}

impl BoardView {
    /// Fills `figure` with a board picture of the set-up at x = 0.
    pub(crate) fn mount(
        figure: &HtmlElement,
        picture: BoardPicture,
        setup: Setup,
    ) -> Outcome<Rc<Self>> {
        figure.set_text_content(None);
        let board = Rc::new(Self {
            view: SceneView::new(figure)?,
            picture,
            setup: RefCell::new(setup),
            at: Cell::new(0.0),
            results: Cell::new(false),
            listeners: RefCell::new(Vec::new()),
        });
        let weak = Rc::downgrade(&board);
        let listener = Listener::new(&dom::window()?.into(), "resize", move |_| {
            if let Some(board) = weak.upgrade() {
                board.draw_or_report();
            }
        });
        board.listeners.borrow_mut().push(listener);
        Ok(board)
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

    fn inside(&self) -> Outcome<Inside> {
        let setup = self.setup.borrow();
        let view = self.picture.view_of(setup.description());
        Ok(match view {
            Some(view) => experiment::look_inside(&setup, view, self.at.get()),
            None => experiment::inside(&setup, self.at.get()),
        }?)
    }

    fn draw(&self) -> Outcome {
        let width = self.view.width();
        if width < 1.0 {
            return Ok(());
        }
        let inside = self.inside()?;
        let theme = canvas::theme();
        let options = BoardOptions {
            picture: self.picture,
            width,
            height: (width * 0.86).min(420.0 * theme.text_scale),
            theme,
            show_sum: self.results.get(),
        };
        self.view.draw(&board::scene(&inside, &options))?;
        self.view
            .name(&board::describe(&inside, self.picture, self.results.get()));
        Ok(())
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
    let setup = Setup::from_spec(&spec.setup)?;
    let at = experiment::read_place(&setup, &spec.at)?;
    let board = BoardView::mount(&dom::role(element, "board")?, spec.picture, setup)?;
    Ok(Rc::new(Alone { board, at }))
}
