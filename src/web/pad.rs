//! The sketch pad over a chart: one array that drags, single taps and the keyboard fill alike.
//! The pad holds the sketch; whoever mounts it is told of every change.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement, KeyboardEvent, PointerEvent};

use super::dom::{self, Listener};
use super::trouble::Outcome;
use crate::decimal::fixed;
use crate::figure::Frame;
use crate::prediction::sketch::{Side, Sketch};

/// How far a pointer may wander, in logical pixels, and still count as a tap.
const TAP: f64 = 5.0;
/// What one press of an arrow key changes, in thousandths of the axis.
const SMALL: i32 = 50;
/// What one press of a page key changes.
const LARGE: i32 = 200;

/// Words for the value at a column, for those who hear the pad.
pub(crate) type Speak = dyn Fn(f64, Option<f64>) -> String;

/// A sketch pad.
pub(crate) struct Pad {
    surface: HtmlElement,
    sketch: RefCell<Sketch>,
    before: RefCell<Option<Sketch>>,
    trail: RefCell<Vec<(f64, f64)>>,
    start: Cell<(f64, f64)>,
    column: Cell<u16>,
    side: Cell<Side>,
    frame: Cell<Option<Frame>>,
    focused: Cell<bool>,
    strips: Cell<bool>,
    changed: Box<dyn Fn(Change)>,
    speak: Box<Speak>,
    listeners: RefCell<Vec<Listener>>,
}

/// What a pad reports.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Change {
    /// The sketch on the way: draw it.
    Moving,
    /// The sketch as it now stands: draw and keep it.
    Done,
}

impl Pad {
    /// Puts a pad over `plot`.
    pub(crate) fn mount(
        plot: &Element,
        name: &str,
        sketch: Sketch,
        speak: impl Fn(f64, Option<f64>) -> String + 'static,
        changed: impl Fn(Change) + 'static,
    ) -> Outcome<Rc<Self>> {
        let surface = dom::append(plot, "div", "pad", "")?;
        surface.set_attribute("role", "slider")?;
        surface.set_attribute("tabindex", "0")?;
        surface.set_attribute("aria-label", name)?;
        surface.set_attribute("aria-orientation", "vertical")?;
        surface.set_attribute("aria-valuemin", "0")?;
        surface.set_attribute("aria-valuemax", "100")?;
        let middle = sketch.grid().columns / 2;
        let pad = Rc::new(Self {
            surface,
            sketch: RefCell::new(sketch),
            before: RefCell::new(None),
            trail: RefCell::new(Vec::new()),
            start: Cell::new((0.0, 0.0)),
            column: Cell::new(middle),
            side: Cell::new(Side::Both),
            frame: Cell::new(None),
            focused: Cell::new(false),
            strips: Cell::new(false),
            changed: Box::new(changed),
            speak: Box::new(speak),
            listeners: RefCell::new(Vec::new()),
        });
        pad.listen();
        pad.say();
        Ok(pad)
    }

    /// From now on the columns are the middles of strips: a place is that of its strip, and
    /// there are no jumps.
    pub(crate) fn in_strips(&self) {
        self.strips.set(true);
    }

    /// Changes the sketch from outside, as the reader wishes.
    pub(crate) fn change(&self, act: impl FnOnce(&mut Sketch)) {
        act(&mut self.sketch.borrow_mut());
        self.report(Change::Done);
    }

    /// The sketch as it stands.
    pub(crate) fn sketch(&self) -> Sketch {
        self.sketch.borrow().clone()
    }

    /// Takes over a sketch from outside (another tab's), unless a stroke is on its way.
    pub(crate) fn take_over(&self, sketch: Sketch) {
        if self.before.borrow().is_none() && *self.sketch.borrow() != sketch {
            self.sketch.replace(sketch);
            self.say();
        }
    }

    /// Where the plot rectangle lies now.
    pub(crate) fn place(&self, frame: Frame) {
        self.frame.set(Some(frame));
    }

    /// The column under the keyboard, in data units of x, while the pad has the keys.
    pub(crate) fn keyboard_column(&self) -> Option<f64> {
        self.focused
            .get()
            .then(|| self.sketch.borrow().grid().column_x(self.column.get()))
    }

    /// Takes the last change back.
    pub(crate) fn undo(&self) {
        if self.sketch.borrow_mut().undo() {
            self.report(Change::Done);
        }
    }

    /// Clears the pad; this too can be undone.
    pub(crate) fn clear(&self) {
        self.sketch.borrow_mut().clear();
        self.report(Change::Done);
    }

    /// Makes or unmakes a jump at the keyboard's column.
    pub(crate) fn jump(&self) {
        self.sketch.borrow_mut().jump(self.column.get());
        self.side.set(Side::Right);
        self.report(Change::Done);
    }

    fn report(&self, change: Change) {
        self.say();
        (self.changed)(change);
    }

    fn data(&self, event: &PointerEvent) -> Option<(f64, f64)> {
        let bounds = self.surface.get_bounding_client_rect();
        let at = (
            f64::from(event.client_x()) - bounds.left(),
            f64::from(event.client_y()) - bounds.top(),
        );
        let mut data = self.frame.get()?.from_px(at);
        if self.strips.get() {
            let sketch = self.sketch.borrow();
            let grid = sketch.grid();
            data.0 = grid.column_x(grid.nearest_column(data.0));
        }
        Some(data)
    }

    fn listen(self: &Rc<Self>) {
        let mut listeners = Vec::new();
        let surface = self.surface.clone();
        let mut on = |event: &'static str, act: fn(&Self, &web_sys::Event)| {
            let weak = Rc::downgrade(self);
            listeners.push(Listener::new(&surface, event, move |event| {
                if let Some(pad) = weak.upgrade() {
                    act(&pad, &event);
                }
            }));
        };
        on("pointerdown", |pad, event| pad.down(event.unchecked_ref()));
        on("pointermove", |pad, event| pad.moved(event.unchecked_ref()));
        on("pointerup", |pad, event| pad.up(event.unchecked_ref()));
        on("pointercancel", |pad, _| pad.cancel());
        on("keydown", |pad, event| pad.key(event.unchecked_ref()));
        on("focus", |pad, _| pad.focus(true));
        on("blur", |pad, _| pad.focus(false));
        self.listeners.replace(listeners);
    }

    fn focus(&self, focused: bool) {
        self.focused.set(focused);
        (self.changed)(Change::Moving);
    }

    fn down(&self, event: &PointerEvent) {
        if event.button() != 0 || self.before.borrow().is_some() {
            return;
        }
        let Some(at) = self.data(event) else { return };
        event.prevent_default();
        let _ = self.surface.focus();
        let _ = self.surface.set_pointer_capture(event.pointer_id());
        self.before.replace(Some(self.sketch()));
        self.trail.replace(vec![at]);
        self.start
            .set((f64::from(event.client_x()), f64::from(event.client_y())));
    }

    fn moved(&self, event: &PointerEvent) {
        if self.before.borrow().is_none() {
            return;
        }
        let Some(at) = self.data(event) else { return };
        event.prevent_default();
        self.trail.borrow_mut().push(at);
        if self.is_tap(event) && self.trail.borrow().len() < 8 {
            return;
        }
        // The stroke is laid on the sketch as it was, so that the whole of it is one undo.
        if let Some(mut sketch) = self.before.borrow().clone() {
            sketch.stroke(&self.trail.borrow());
            self.sketch.replace(sketch);
        }
        (self.changed)(Change::Moving);
    }

    fn is_tap(&self, event: &PointerEvent) -> bool {
        let start = self.start.get();
        let wandered = (f64::from(event.client_x()) - start.0)
            .abs()
            .max((f64::from(event.client_y()) - start.1).abs());
        wandered < TAP
    }

    fn up(&self, event: &PointerEvent) {
        let Some(mut sketch) = self.before.borrow_mut().take() else {
            return;
        };
        let trail = self.trail.take();
        let Some(&first) = trail.first() else { return };
        if self.is_tap(event) {
            sketch.tap(first.0, first.1);
        } else {
            let mut trail = trail;
            trail.extend(self.data(event));
            sketch.stroke(&trail);
        }
        self.column.set(sketch.grid().nearest_column(first.0));
        self.sketch.replace(sketch);
        self.report(Change::Done);
    }

    fn cancel(&self) {
        if let Some(sketch) = self.before.borrow_mut().take() {
            self.sketch.replace(sketch);
        }
        self.report(Change::Moving);
    }

    fn key(&self, event: &KeyboardEvent) {
        let columns = self.sketch.borrow().grid().columns;
        let column = self.column.get();
        let undo = (event.ctrl_key() || event.meta_key()) && event.key().eq_ignore_ascii_case("z");
        if !undo && (event.ctrl_key() || event.alt_key() || event.meta_key()) {
            return;
        }
        let change = match event.key().as_str() {
            _ if undo => {
                self.undo();
                event.prevent_default();
                return;
            }
            "ArrowLeft" => {
                self.walk_left(column);
                Change::Moving
            }
            "ArrowRight" => {
                self.walk_right(column, columns);
                Change::Moving
            }
            "ArrowUp" => self.nudge(SMALL),
            "ArrowDown" => self.nudge(-SMALL),
            "PageUp" => self.nudge(LARGE),
            "PageDown" => self.nudge(-LARGE),
            "Home" => self.nudge(-1000),
            "End" => self.nudge(1000),
            "Delete" | "Backspace" => {
                self.sketch.borrow_mut().remove(column);
                Change::Done
            }
            "j" | "J" if !self.strips.get() => {
                self.jump();
                event.prevent_default();
                return;
            }
            _ => return,
        };
        event.prevent_default();
        self.report(change);
    }

    /// At a jump the walk stops twice: on its right side and on its left.
    fn walk_left(&self, column: u16) {
        if self.has_jump(column) && self.side.get() != Side::Left {
            self.side.set(Side::Left);
            return;
        }
        self.stand(column.saturating_sub(1), Side::Right);
    }

    fn walk_right(&self, column: u16, columns: u16) {
        if self.has_jump(column) && self.side.get() == Side::Left {
            self.side.set(Side::Right);
            return;
        }
        self.stand((column + 1).min(columns - 1), Side::Left);
    }

    fn stand(&self, column: u16, side: Side) {
        self.column.set(column);
        self.side.set(if self.has_jump(column) {
            side
        } else {
            Side::Both
        });
    }

    fn has_jump(&self, column: u16) -> bool {
        self.sketch
            .borrow()
            .column(column)
            .is_some_and(|sample| sample.after.is_some())
    }

    fn nudge(&self, thousandths: i32) -> Change {
        let column = self.column.get();
        let side = if self.has_jump(column) {
            self.side.get()
        } else {
            Side::Both
        };
        self.sketch.borrow_mut().raise(column, thousandths, side);
        Change::Done
    }

    /// Tells those who hear the pad where it stands.
    fn say(&self) {
        let sketch = self.sketch.borrow();
        let grid = sketch.grid();
        let column = self.column.get();
        let sample = sketch.column(column);
        let value = sample.map(|sample| match self.side.get() {
            Side::Right => sample.right(),
            _ => sample.value,
        });
        let share = value.map_or(0.0, |value| f64::from(value) / 10.0);
        let mut words = (self.speak)(grid.column_x(column), value.map(|value| grid.y(value)));
        if self.has_jump(column) {
            words.push_str(if self.side.get() == Side::Left {
                ", left of a jump"
            } else {
                ", right of a jump"
            });
        }
        let _ = self
            .surface
            .set_attribute("aria-valuenow", &fixed(share, 0));
        let _ = self.surface.set_attribute("aria-valuetext", &words);
    }
}

impl Drop for Pad {
    fn drop(&mut self) {
        self.surface.remove();
    }
}
