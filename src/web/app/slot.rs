//! Where a block stands on the page: its element, what the page said of it, and how the element was at first.

use web_sys::{Element, Node};

use crate::lesson::spec::Block;
use crate::page::islands;
use crate::web::dom;
use crate::web::trouble::{self, Outcome, Trouble};

/// Where a block stands on the page.
pub(super) struct Slot {
    pub(super) element: Element,
    pub(super) block: Block,
    /// A copy of the element as the page brought it.
    fresh: Node,
}

impl Slot {
    /// Every block of a page that can be read, in the page's order.
    pub(super) fn find_all(main: &Element) -> Outcome<Vec<Slot>> {
        let mut slots = Vec::new();
        for element in dom::find_all(main, &format!("[{}]", islands::ISLAND)) {
            let name = element.get_attribute(islands::BLOCK_ID).unwrap_or_default();
            let json = dom::find(&element, &format!("[{}]", islands::SPEC))
                .and_then(|spec| spec.text_content())
                .ok_or_else(|| Trouble::missing("a block's description"))?;
            // A block that cannot be read leaves its text standing and stops no other block.
            match islands::read(&json) {
                Ok(block) => slots.push(Slot {
                    fresh: element.clone_node_with_deep(true)?,
                    element: element.into(),
                    block,
                }),
                Err(error) => trouble::report(&Trouble::island(&name, &error.to_string())),
            }
        }
        Ok(slots)
    }

    /// Whether the part of the page around it is open.
    pub(super) fn is_open(&self) -> bool {
        let shut = format!("[{}]:not([{}])", islands::AFTER, islands::OPEN);
        self.element.closest(&shut).is_ok_and(|part| part.is_none())
    }

    /// Puts the element back as the page brought it.
    pub(super) fn restore(&self) -> Outcome {
        self.element.set_text_content(None);
        let copy = self.fresh.clone_node_with_deep(true)?;
        while let Some(child) = copy.first_child() {
            self.element.append_child(&child)?;
        }
        Ok(())
    }
}
