//! Letters pixel by pixel, for backends that have none of their own: bitmaps, which are made
//! natively. A canvas writes its letters itself and never asks.

use plotters_backend::{BackendColor, BackendCoord};

use super::error::FigureError;
use super::painter::Lettering;

/// The corners of a text's box.
type Extent = ((i32, i32), (i32, i32));

#[cfg(not(target_arch = "wasm32"))]
mod font {
    use plotters::style::{FontDesc, FontFamily, FontStyle};

    use super::{BackendColor, BackendCoord, Extent, FigureError, Lettering};

    fn of(lettering: &Lettering) -> FontDesc<'static> {
        let family = FontFamily::Name(lettering.family);
        FontDesc::new(family, lettering.size, FontStyle::Normal)
    }

    pub(in super::super) fn extent(
        lettering: &Lettering,
        text: &str,
    ) -> Result<Extent, FigureError> {
        let extent = of(lettering).layout_box(text);
        extent.map_err(|_| FigureError::Font)
    }

    pub(in super::super) fn draw<E>(
        lettering: &Lettering,
        text: &str,
        at: BackendCoord,
        mut draw: impl FnMut(i32, i32, BackendColor) -> Result<(), E>,
    ) -> Result<Result<(), E>, FigureError> {
        let drawn = of(lettering).draw(text, at, |x, y, cover| {
            draw(x, y, lettering.colour.mix(f64::from(cover)))
        });
        drawn.map_err(|_| FigureError::Font)
    }
}

#[cfg(target_arch = "wasm32")]
mod font {
    use super::{BackendColor, BackendCoord, Extent, FigureError, Lettering};

    pub(in super::super) fn extent(_: &Lettering, _: &str) -> Result<Extent, FigureError> {
        Err(FigureError::Font)
    }

    pub(in super::super) fn draw<E>(
        _: &Lettering,
        _: &str,
        _: BackendCoord,
        _: impl FnMut(i32, i32, BackendColor) -> Result<(), E>,
    ) -> Result<Result<(), E>, FigureError> {
        Err(FigureError::Font)
    }
}

pub(super) use font::{draw, extent};
