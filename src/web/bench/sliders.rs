//! The sliders of a bench: from the reader's hand to the device, and back to where they stand.

use super::Bench;
use crate::decimal::{fixed, shortest};
use crate::experiment::ParameterKind;
use crate::numerics::order::within;
use crate::quantity::shown_unit;
use crate::web::measure;
use crate::web::trouble::{self, Outcome};

impl Bench {
    /// Sets the sliders as they were left.
    pub(super) fn find_again(&self, sliders: &[f64]) -> Outcome {
        // A bench that has other sliders now starts afresh.
        if sliders.len() != self.spec.sliders.len() {
            return Ok(());
        }
        for (slider, value) in self.spec.sliders.iter().zip(sliders) {
            let value = within(*value, slider.from, slider.to);
            self.setup.borrow_mut().set(
                &slider.parameter,
                &format!("{} {}", shortest(value), slider.unit),
            )?;
        }
        Ok(())
    }

    /// A slider or its number box was moved.
    pub(super) fn moved(&self, index: usize, value: f64) {
        let began = measure::now();
        if let Err(trouble) = self.try_moved(index, value, began) {
            trouble::report(&trouble);
        }
        measure::took("coldfringe-frame", began);
    }

    fn try_moved(&self, index: usize, value: f64, began: Option<f64>) -> Outcome {
        let Some(slider) = self.spec.sliders.get(index) else {
            return Ok(());
        };
        // An emptied number box shows the device again as it is.
        if !value.is_finite() {
            return self.set_inputs();
        }
        let mut value = within(value, slider.from, slider.to);
        if self.is_whole(&slider.parameter) {
            value = value.round();
        }
        self.setup.borrow_mut().set(
            &slider.parameter,
            &format!("{} {}", shortest(value), slider.unit),
        )?;
        if let Some((range, number)) = self.sliders.get(index) {
            range.set_value(&shortest(value));
            number.set_value(&figures(value));
            range.set_attribute(
                "aria-valuetext",
                &format!("{} {}", figures(value), shown_unit(&slider.unit)),
            )?;
        }
        self.was_moved.set(true);
        self.draw(began)
    }

    /// Whether a parameter counts things, e.g. junctions.
    fn is_whole(&self, parameter: &str) -> bool {
        let setup = self.setup.borrow();
        let known = setup.description().parameter(parameter);
        known.is_some_and(|known| known.kind == ParameterKind::Whole)
    }

    pub(super) fn set_inputs(&self) -> Outcome {
        for (slider, (range, number)) in self.spec.sliders.iter().zip(&self.sliders) {
            let value = self
                .setup
                .borrow()
                .get_in(&slider.parameter, &slider.unit)?;
            range.set_value(&shortest(value));
            number.set_value(&figures(value));
        }
        Ok(())
    }
}

/// A slider's value without tails of binary digits.
fn figures(value: f64) -> String {
    let text = fixed(value, 4);
    let text = text.trim_end_matches('0').trim_end_matches('.');
    text.to_owned()
}
