//! The pen: an animation from 0 to 1 in display frames, finished at once by a key or under
//! reduced motion. Dropping it stops it.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;

use super::dom::{self, Listener};
use super::trouble::Outcome;

/// How long the pen takes over the whole width, in milliseconds.
const SWEEP: f64 = 2400.0;

type Step = dyn Fn(f64);
/// What the browser calls before each frame, with the time in milliseconds.
type Beat = Closure<dyn FnMut(f64)>;

/// A pen on its way.
pub(crate) struct Pen {
    inner: Rc<Inner>,
    _listener: Option<Listener>,
}

struct Inner {
    step: Box<Step>,
    started: Cell<Option<f64>>,
    request: Cell<Option<i32>>,
    closure: RefCell<Option<Beat>>,
}

impl Pen {
    /// Starts a pen. `step` is called with the share of the way, and last with exactly 1.
    pub(crate) fn start(step: impl Fn(f64) + 'static) -> Outcome<Self> {
        let inner = Rc::new(Inner {
            step: Box::new(step),
            started: Cell::new(None),
            request: Cell::new(None),
            closure: RefCell::new(None),
        });
        if dom::reduced_motion() {
            (inner.step)(1.0);
            return Ok(Self {
                inner,
                _listener: None,
            });
        }
        let weak = Rc::downgrade(&inner);
        inner.closure.replace(Some(Closure::new(move |time| {
            if let Some(inner) = weak.upgrade() {
                inner.frame(time);
            }
        })));
        inner.next();
        let weak = Rc::downgrade(&inner);
        let listener = Listener::new(&dom::document()?.into(), "keydown", move |event| {
            let event: &web_sys::KeyboardEvent = event.unchecked_ref();
            if matches!(event.key().as_str(), "Escape" | " " | "Enter")
                && let Some(inner) = weak.upgrade()
            {
                inner.finish();
            }
        });
        Ok(Self {
            inner,
            _listener: Some(listener),
        })
    }
}

impl Pen {
    /// Whether the pen is still on its way.
    pub(crate) fn is_moving(&self) -> bool {
        self.inner.request.get().is_some()
    }

    /// Goes the rest of the way at once.
    pub(crate) fn finish(&self) {
        self.inner.finish();
    }
}

impl Inner {
    fn next(&self) {
        let Ok(window) = dom::window() else { return };
        if let Some(closure) = self.closure.borrow().as_ref() {
            self.request.set(
                window
                    .request_animation_frame(closure.as_ref().unchecked_ref())
                    .ok(),
            );
        }
    }

    fn frame(&self, time: f64) {
        let started = self.started.get().unwrap_or(time);
        self.started.set(Some(started));
        let share = ((time - started) / SWEEP).clamp(0.0, 1.0);
        (self.step)(share);
        if share < 1.0 {
            self.next();
        } else {
            self.request.set(None);
        }
    }

    fn finish(&self) {
        if self.stop() {
            (self.step)(1.0);
        }
    }

    /// Stops the animation and says whether it was going on.
    fn stop(&self) -> bool {
        let Some(request) = self.request.take() else {
            return false;
        };
        if let Ok(window) = dom::window() {
            let _ = window.cancel_animation_frame(request);
        }
        true
    }
}

impl Drop for Pen {
    fn drop(&mut self) {
        self.inner.stop();
    }
}
