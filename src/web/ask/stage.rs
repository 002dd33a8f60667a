//! Board picture and chart side by side under one cursor.

use std::rc::Rc;

use web_sys::Element;

use crate::experiment::{self, Setup};
use crate::figure::BoardPicture;
use crate::lesson::spec::{ChartSpec, Prediction};
use crate::session::Plot;
use crate::web::board::BoardView;
use crate::web::chart::ChartView;
use crate::web::dom;
use crate::web::trouble::{self, Outcome};

/// A board picture and a chart that share a cursor; either may be missing.
pub(crate) struct Stage {
    /// The window over the set-up.
    pub(crate) plot: Plot,
    /// The chart.
    pub(crate) chart: Rc<ChartView>,
    /// The board picture, if there is one.
    pub(crate) board: Option<Rc<BoardView>>,
    /// The place that it shows without results, SI.
    at: f64,
}

/// The place that a prediction's board picture shows as long as no cursor moves it.
pub(crate) fn board_place(spec: &Prediction, setup: &Setup) -> Outcome<f64> {
    Ok(match &spec.at {
        Some(at) => experiment::read_place(setup, at)?,
        None => 0.0,
    })
}

/// The board picture of an island without a chart, if it has one.
pub(crate) fn board_alone(
    element: &Element,
    picture: Option<BoardPicture>,
    setup: &Setup,
) -> Outcome<Option<Rc<BoardView>>> {
    match picture {
        Some(picture) => Ok(Some(BoardView::mount(
            &dom::role(element, "board")?,
            picture,
            setup.clone(),
        )?)),
        None => Ok(None),
    }
}

impl Stage {
    /// Fills the places for chart and board picture in an island.
    pub(crate) fn mount(
        element: &Element,
        name: &str,
        picture: Option<BoardPicture>,
        setup: Setup,
        at: f64,
        chart: &ChartSpec,
    ) -> Outcome<Self> {
        let board = board_alone(element, picture, &setup)?;
        let plot = Plot::new(setup, chart)?;
        let (x, y) = plot.axes()?;
        let view = ChartView::mount(&dom::role(element, "chart")?, name, x, y)?;
        if let Some(board) = &board {
            let (board, scale) = (Rc::clone(board), plot.x_scale().si_per_unit);
            view.on_cursor(move |x| {
                if let Err(trouble) = board.show(x * scale, true) {
                    trouble::report(&trouble);
                }
            });
        }
        Ok(Self {
            plot,
            chart: view,
            board,
            at,
        })
    }

    /// Shows the board at the cursor with results, or at its own place without.
    pub(crate) fn show_board(&self, results: bool) -> Outcome {
        let Some(board) = &self.board else {
            return Ok(());
        };
        let cursor = self.chart.cursor().map(|at| self.plot.x_to_si(at));
        let at = cursor.filter(|_| results).unwrap_or(self.at);
        board.show(at, results)
    }
}
