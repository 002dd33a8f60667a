//! Floor 8: the page in the browser (wasm only). It finds the islands that were rendered at build
//! time, makes them live, and carries out what [`crate::session`] decides.
//! Must not know files or servers.

mod app;
mod ask;
mod background;
mod bench;
mod board;
mod canvas;
mod chart;
mod contents;
mod desk;
mod dom;
mod export;
mod formulas;
mod island;
mod lecture;
mod looking_back;
mod measure;
mod number_field;
mod observe;
mod pad;
mod pen;
mod place;
mod predict;
mod question;
mod record;
mod store;
mod take;
mod trouble;
mod verdict;
#[cfg(not(coldfringe_without_homework))]
mod workbook;
#[cfg(coldfringe_without_homework)]
#[path = "no_workbook.rs"]
mod workbook;

use wasm_bindgen::prelude::wasm_bindgen;

/// Makes the page live. Called once by the start-up script when the wasm is there.
///
/// # Errors
/// When the page lacks what the islands need; the start-up script then leaves the page as
/// reading matter.
#[wasm_bindgen(js_name = coldfringe_start)]
pub fn start() -> Result<(), wasm_bindgen::JsValue> {
    trouble::install();
    app::start().map_err(Into::into)
}
