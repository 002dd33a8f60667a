//! coldfringe: a teaching notebook in the browser for superconducting quantum interference.
//!
//! # The map of the house
//!
//! Each room uses only rooms on lower floors; on the lowest floor, only rooms further down in this
//! list. A test reads this table and the code, and holds the one to the other.
//!
//! | floor | room | what lives there |
//! |---|---|---|
//! | 8 | `web` | the page in the browser (wasm only) |
//! | 8 | `worker` | the worker that computes behind the page (wasm only) |
//! | 8 | `bin` | the command: serve, build, curve, setups, lessons, verify |
//! | 7 | `sheet` | a lesson on paper: worksheets and solution sheets, made at build time |
//! | 7 | `workbook` | an assignment as a page to work through |
//! | 6 | `session` | a reader's walk: messages in, effects out; what is kept |
//! | 6 | `homework` | each student's own numbers, receipts, marks |
//! | 6 | `page` | a lesson as static HTML, rendered at build time |
//! | 5 | `lesson` | the text format and the typed lesson |
//! | 4 | `jobs` | work in the background: orders, replies, who works on what |
//! | 4 | `kernels` | pieces of work whose time is measured, the same everywhere |
//! | 4 | `prediction` | answers, features of a curve, wrong pictures, assessment |
//! | 4 | `figure` | charts and board pictures on any drawing backend |
//! | 3 | `experiment` | named set-ups with SI parameters in, traces and readings out |
//! | 2 | `model` | the physics, in normalised quantities, one phenomenon a file |
//! | 1 | `quantity` | quantities with units, read and shown |
//! | 1 | `numerics` | solvers, and the one door to transcendental functions |
//! | 1 | `decimal` | numbers in decimal digits, read and written |
//! | 1 | `spelling` | what somebody may have meant by a misspelt name |
//! | 1 | `named` | a few values by name, in order of names |
//! | 1 | `fields` | a JSON text read field by field |
//! | 1 | `constants` | CODATA |
//!
//! Data flows one way: lesson text → typed lesson → page; set-up → model → trace → figure;
//! answer and trace → assessment → words.
//!
//! # What always holds
//!
//! - Every curve is computed from the device in front of the reader; none is stored.
//! - Nothing computed is on the page before the reader has committed to a prediction.
//! - Browser and command agree to the last bit, because every transcendental function goes
//!   through [`numerics::elementary`].
//! - Flux is in flux quanta and current in critical currents below [`experiment`], in SI above it.
//!
//! # Example: one flux quantum through a junction lets no current pass
//!
//! A junction 10 µm wide with a magnetic thickness of 200 nm shows 2.0 µm² to the field. One quantum
//! of 2.068 fWb goes through that at 1.034 mT.
//!
//! ```
//! use coldfringe::experiment::{Setup, Sought, run, seek};
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let mut junction = Setup::new("single-junction")?;
//! junction.set("critical-current", "100 uA")?;
//! junction.set("width", "10 um")?;
//! junction.set("magnetic-thickness", "200 nm")?;
//! let first_zero = seek(&junction, &Sought::Reading { reading: "first-zero".into() })?;
//! assert!((first_zero - 1.034e-3).abs() < 0.001e-3);
//!
//! let trace = run(&junction, &[0.0, first_zero])?;
//! let current = &trace.column("critical-current").ok_or("no such column")?.values;
//! assert!((current[0] - 100e-6).abs() < 1e-15);
//! assert!(current[1] < 1e-15);
//!
//! // A field is not a width, and the error says so.
//! assert!(junction.set("width", "10 mT").is_err());
//! # Ok(())
//! # }
//! ```
//!
//! # Example: a loop turns its current round at half a quantum
//!
//! A loop of 1 nH needs a current of 2.07 µA for one quantum. In the simple picture it makes up
//! half a quantum just before the jump, with −1.03 µA, and half a quantum just after, with +1.03 µA.
//!
//! ```
//! use coldfringe::experiment::{Setup, run};
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let mut wide = Setup::new("screened-loop")?;
//! wide.set("loop-inductance", "1 nH")?;
//! let trace = run(&wide, &[0.4999, 0.5001, 1.0])?;
//! let current = &trace.column("circulating-current-simple").ok_or("no such column")?.values;
//! assert!((current[0] + 1.03e-6).abs() < 0.01e-6);
//! assert!((current[1] - 1.03e-6).abs() < 0.01e-6);
//! assert!(current[2].abs() < 1e-15);
//! # Ok(())
//! # }
//! ```

pub mod constants;
pub mod decimal;
pub mod experiment;
pub mod fields;
pub mod figure;
pub mod homework;
pub mod jobs;
pub mod kernels;
pub mod lesson;
pub mod model;
pub mod named;
pub mod numerics;
pub mod page;
pub mod prediction;
pub mod quantity;
pub mod session;
#[cfg(not(target_arch = "wasm32"))]
pub mod sheet;
pub mod spelling;
#[cfg(all(target_arch = "wasm32", not(coldfringe_part = "worker")))]
pub mod web;
pub mod workbook;
#[cfg(all(target_arch = "wasm32", not(coldfringe_part = "page")))]
pub mod worker;
