//! Floor 6: a lesson as static HTML, rendered at build time, and what it agrees on with the
//! script. Must not know the model's inside.

#[cfg(not(target_arch = "wasm32"))]
pub mod contents;
#[cfg(not(target_arch = "wasm32"))]
mod desk;
#[cfg(not(target_arch = "wasm32"))]
pub mod html;
#[cfg(not(target_arch = "wasm32"))]
pub mod island;
pub mod islands;
#[cfg(not(target_arch = "wasm32"))]
pub mod lecture;
#[cfg(not(target_arch = "wasm32"))]
pub mod lesson;
#[cfg(not(target_arch = "wasm32"))]
mod looking_back;
#[cfg(not(target_arch = "wasm32"))]
pub mod math;
#[cfg(not(target_arch = "wasm32"))]
pub mod notes;
#[cfg(not(target_arch = "wasm32"))]
pub mod prose;
#[cfg(not(target_arch = "wasm32"))]
pub mod screens;
#[cfg(not(target_arch = "wasm32"))]
pub mod shell;
#[cfg(not(target_arch = "wasm32"))]
mod symbols;
