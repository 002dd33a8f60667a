//! The presenter's window: the stage that is shown and the next one.

use wasm_bindgen::JsCast;

use super::Hall;
use crate::page::islands;
use crate::web::dom;
use crate::web::trouble::Outcome;

/// Shows the two stages.
pub(super) fn show(hall: &Hall) -> Outcome {
    let (now, next) = {
        let lecture = hall.lecture.borrow();
        let name = |place: usize| lecture.stages().get(place).map(|stage| stage.name.clone());
        (name(lecture.position()), name(lecture.position() + 1))
    };
    let places = dom::find_all(&hall.main, &format!("[{}]", islands::STAGE));
    for (role, wanted) in [("now", &now), ("next", &next)] {
        let place = dom::role(&hall.main, role)?;
        place.set_text_content(None);
        let found = places
            .iter()
            .find(|stage| stage.get_attribute(islands::STAGE) == *wanted);
        match found {
            Some(stage) => {
                let copy = stage.clone_node_with_deep(true)?;
                if let Some(copy) = copy.dyn_ref::<web_sys::Element>() {
                    copy.remove_attribute(islands::STAGE)?;
                }
                place.append_child(&copy)?;
            }
            None => {
                dom::append(&place, "p", "", "The end.")?;
            }
        }
    }
    for stage in &places {
        let is_now = stage.get_attribute(islands::STAGE) == now;
        dom::mark(stage, "aria-current", is_now.then_some("step"));
    }
    Ok(())
}
