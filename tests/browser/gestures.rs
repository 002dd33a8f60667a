//! Hands: mouse, finger, pen and keyboard.

use std::time::Duration;

use fantoccini::actions::{
    InputSource as _, KeyAction, KeyActions, MOUSE_BUTTON_LEFT, MouseActions, PenActions,
    PointerAction, TouchActions,
};
use fantoccini::elements::Element;

use super::page::{Checked, Page};

/// What touches the screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Pointer {
    /// A mouse.
    Mouse,
    /// A finger.
    Finger,
    /// A pen.
    Pen,
}

/// Keys by the names that pages know them by, and their code points in the driver's protocol.
pub(crate) mod key {
    /// Tabulator.
    pub(crate) const TAB: char = '\u{e004}';
    /// Return.
    pub(crate) const ENTER: char = '\u{e007}';
    /// Shift.
    pub(crate) const SHIFT: char = '\u{e008}';
    /// Control.
    pub(crate) const CONTROL: char = '\u{e009}';
    /// Escape.
    pub(crate) const ESCAPE: char = '\u{e00c}';
    /// Page up.
    pub(crate) const PAGE_UP: char = '\u{e00e}';
    /// Page down.
    pub(crate) const PAGE_DOWN: char = '\u{e00f}';
    /// End.
    pub(crate) const END: char = '\u{e010}';
    /// Home.
    pub(crate) const HOME: char = '\u{e011}';
    /// Arrow to the left.
    pub(crate) const LEFT: char = '\u{e012}';
    /// Arrow up.
    pub(crate) const UP: char = '\u{e013}';
    /// Arrow to the right.
    pub(crate) const RIGHT: char = '\u{e014}';
    /// Arrow down.
    pub(crate) const DOWN: char = '\u{e015}';
    /// Delete.
    pub(crate) const DELETE: char = '\u{e017}';
}

impl Page {
    /// Presses and releases keys one after the other, wherever the focus is.
    pub(crate) async fn press(&self, keys: &[char]) -> Checked {
        let mut actions = KeyActions::new("keyboard".into());
        for key in keys {
            actions = actions
                .then(KeyAction::Down { value: *key })
                .then(KeyAction::Up { value: *key });
        }
        self.client.perform_actions(actions).await?;
        Ok(())
    }

    /// Presses a key while others are held.
    pub(crate) async fn press_with(&self, held: &[char], pressed: char) -> Checked {
        let mut actions = KeyActions::new("keyboard".into());
        for key in held {
            actions = actions.then(KeyAction::Down { value: *key });
        }
        actions = actions
            .then(KeyAction::Down { value: pressed })
            .then(KeyAction::Up { value: pressed });
        for key in held.iter().rev() {
            actions = actions.then(KeyAction::Up { value: *key });
        }
        self.client.perform_actions(actions).await?;
        Ok(())
    }

    /// Types a text, wherever the focus is.
    pub(crate) async fn write(&self, text: &str) -> Checked {
        self.press(&text.chars().collect::<Vec<_>>()).await
    }

    /// Draws through points given as fractions of an element's box, from its top left corner; scrolls it into view first.
    pub(crate) async fn draw(
        &self,
        selector: &str,
        pointer: Pointer,
        points: &[(f64, f64)],
    ) -> Checked {
        let [first, rest @ ..] = points else {
            return Err("a stroke needs a point".into());
        };
        let (left, top, width, height) = self.box_in_view(selector).await?;
        let place = |point: &(f64, f64), milliseconds: u64| PointerAction::MoveTo {
            duration: Some(Duration::from_millis(milliseconds)),
            x: (left + point.0 * width).round(),
            y: (top + point.1 * height).round(),
        };
        let mut actions = vec![
            place(first, 0),
            PointerAction::Down {
                button: MOUSE_BUTTON_LEFT,
            },
        ];
        actions.extend(rest.iter().map(|point| place(point, 16)));
        actions.push(PointerAction::Up {
            button: MOUSE_BUTTON_LEFT,
        });
        match pointer {
            Pointer::Mouse => {
                let hand = actions
                    .into_iter()
                    .fold(MouseActions::new("mouse".into()), |hand, action| {
                        hand.then(action)
                    });
                self.client.perform_actions(hand).await?;
            }
            Pointer::Finger => {
                let hand = actions
                    .into_iter()
                    .fold(TouchActions::new("finger".into()), |hand, action| {
                        hand.then(action)
                    });
                self.client
                    .perform_actions(hand)
                    .await
                    .map_err(|error| format!("{selector}, {points:?}: {error}"))?;
            }
            Pointer::Pen => {
                let hand = actions
                    .into_iter()
                    .fold(PenActions::new("pen".into()), |hand, action| {
                        hand.then(action)
                    });
                self.client.perform_actions(hand).await?;
            }
        }
        Ok(())
    }

    /// Touches one point of an element, given as fractions of its box, and lets go there.
    pub(crate) async fn tap(&self, selector: &str, pointer: Pointer, point: (f64, f64)) -> Checked {
        self.draw(selector, pointer, &[point]).await
    }

    /// Scrolls an element to the middle of the window and returns its box there, in CSS pixels.
    async fn box_in_view(
        &self,
        selector: &str,
    ) -> Result<(f64, f64, f64, f64), Box<dyn std::error::Error + Send + Sync>> {
        let element: Element = self.element(selector).await?;
        let script = "arguments[0].scrollIntoView({block: 'center', behavior: 'instant'}); \
             const box = arguments[0].getBoundingClientRect(); return [box.left, box.top, box.width, box.height];";
        let numbers = self
            .client
            .execute(script, vec![serde_json::to_value(&element)?])
            .await?;
        Ok(serde_json::from_value(numbers)?)
    }
}
