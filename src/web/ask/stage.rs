//! Board picture and chart side by side under one cursor.

use std::rc::Rc;

use web_sys::Element;

use crate::experiment::Setup;
use crate::figure::BoardPicture;
use crate::lesson::spec::ChartSpec;
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
        })
    }

    /// Shows the board at the cursor with results, or at zero without.
    pub(crate) fn show_board(&self, results: bool) -> Outcome {
        let Some(board) = &self.board else {
            return Ok(());
        };
        let at = if results {
            self.chart.cursor().unwrap_or(0.0)
        } else {
            0.0
        };
        board.show(self.plot.x_to_si(at), results)
    }
}
