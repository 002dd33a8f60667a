//! A set-up with its parameters in SI units, checked. How one parameter's value is read is in `parameter.rs`, how its
//! curves are scaled for charts in `scale.rs`.

use crate::quantity::{self, parse_unit};
use crate::spelling;

use super::description::{
    ColumnDescription, ParameterDescription, ParameterKind, SetupDescription,
};
use super::parameter::{self, ParameterValue};
use super::profile;
use super::scale::factor_in;
use super::{Answers, Pace, SetupError, SetupSpec, description_of, kinds};

/// A device with values for all its parameters. Each value is in its range; whether they fit together is
/// checked when the set-up is read ([`Setup::from_spec`]) or run.
#[derive(Debug, Clone)]
pub struct Setup {
    description: &'static SetupDescription,
    values: Vec<ParameterValue>,
    /// Who answers for a slow set-up; none where it is computed on the spot.
    answers: Option<&'static dyn Answers>,
}

impl PartialEq for Setup {
    fn eq(&self, other: &Self) -> bool {
        self.description.kind == other.description.kind && self.values == other.values
    }
}

impl Setup {
    /// The set-up of that kind, every parameter at its default.
    ///
    /// # Errors
    /// When there is no such kind.
    pub fn new(kind: &str) -> Result<Self, SetupError> {
        let description = description_of(kind).ok_or_else(|| SetupError::UnknownKind {
            kind: kind.to_string(),
            mend: spelling::mend(kind, kinds()),
        })?;
        let mut setup = Self {
            description,
            values: vec![ParameterValue::Number(0.0); description.parameters.len()],
            answers: None,
        };
        for parameter in description.parameters {
            setup.set(parameter.name, parameter.default)?;
        }
        Ok(setup)
    }

    /// The set-up as written; parameters that are not given take their defaults.
    ///
    /// # Errors
    /// For an unknown kind or parameter, a value that cannot be read, of the wrong unit or out of range,
    /// and values that do not fit together.
    pub fn from_spec(spec: &SetupSpec) -> Result<Self, SetupError> {
        let mut setup = Self::new(&spec.kind)?;
        for (name, text) in spec.parameters.iter() {
            setup.set(name, text)?;
        }
        setup.check()?;
        Ok(setup)
    }

    /// The same device, for whose traces somebody else answers if it is a slow one; none brings
    /// the computation back here.
    #[must_use]
    pub fn answered_by(mut self, answers: Option<&'static dyn Answers>) -> Self {
        self.answers = answers;
        self
    }

    /// Who answers for this set-up, if it is a slow one and somebody does.
    pub(super) fn answers(&self) -> Option<&'static dyn Answers> {
        self.answers
            .filter(|_| self.description.pace() != Pace::AtOnce)
    }

    /// What kind of set-up this is.
    #[must_use]
    pub fn description(&self) -> &'static SetupDescription {
        self.description
    }

    /// Every parameter with its value in SI units, in the order of the description.
    pub fn parameters(
        &self,
    ) -> impl Iterator<Item = (&'static ParameterDescription, &ParameterValue)> {
        self.description.parameters.iter().zip(&self.values)
    }

    /// Whether the parameters fit together.
    ///
    /// # Errors
    /// [`SetupError::Conflict`] with what is wrong and how to mend it.
    pub fn check(&self) -> Result<(), SetupError> {
        match (self.description.physics.conflict)(self) {
            None => Ok(()),
            Some(words) => Err(SetupError::Conflict(words)),
        }
    }

    fn place(&self, name: &str) -> Result<(usize, &'static ParameterDescription), SetupError> {
        self.description
            .parameters
            .iter()
            .enumerate()
            .find(|(_, parameter)| parameter.name == name)
            .ok_or_else(|| SetupError::UnknownParameter {
                kind: self.description.kind,
                name: name.to_string(),
                mend: spelling::mend(
                    name,
                    self.description.parameters.iter().map(|known| known.name),
                ),
            })
    }

    fn put(&mut self, place: usize, value: ParameterValue) {
        if let Some(slot) = self.values.get_mut(place) {
            *slot = value;
        }
    }

    /// Sets a parameter from text with its unit, e.g. `width` to `10 um`. Lists are parted by `;`, or by
    /// a comma and a space; a unit at the end holds for all before it that have none.
    ///
    /// # Errors
    /// For an unknown parameter, and a value that cannot be read, of the wrong unit or out of range. The
    /// set-up is then as it was.
    pub fn set(&mut self, name: &str, text: &str) -> Result<(), SetupError> {
        let (place, parameter) = self.place(name)?;
        self.put(place, parameter::from_text(parameter, text)?);
        Ok(())
    }

    /// Sets a parameter that is one number, in SI units.
    ///
    /// # Errors
    /// For an unknown parameter, one that is not a number, and a value out of range.
    pub fn set_si(&mut self, name: &str, value: f64) -> Result<(), SetupError> {
        let (place, parameter) = self.place(name)?;
        self.put(place, parameter::from_si(parameter, value)?);
        Ok(())
    }

    /// Sets a current profile to densities in equal strips, from the left edge to the right. Only their ratios count.
    ///
    /// # Errors
    /// For an unknown parameter, one that is no profile, fewer than two strips or too many, and densities that are
    /// negative, out of all reason or all nothing.
    pub fn set_densities(&mut self, name: &str, densities: &[f64]) -> Result<(), SetupError> {
        let (place, parameter) = self.place(name)?;
        if parameter.kind != ParameterKind::Profile {
            return Err(SetupError::NotAProfile {
                name: name.to_string(),
            });
        }
        let value = profile::of_densities(parameter, densities.to_vec())?;
        self.put(place, value);
        Ok(())
    }

    /// The density in the middle of each of `count` equal strips, from the left edge to the right, as shares of the
    /// largest of them. None for a parameter that is no current profile.
    #[must_use]
    pub fn density_shares(&self, name: &str, count: usize) -> Option<Vec<f64>> {
        let value = self.value(name)?;
        matches!(
            value,
            ParameterValue::Profile(_) | ParameterValue::Samples(_)
        )
        .then(|| profile::shares(value, self.get_si("edge-fraction").unwrap_or(0.0), count))
    }

    /// A parameter that is one number, in SI units.
    #[must_use]
    pub fn get_si(&self, name: &str) -> Option<f64> {
        match self.value(name)? {
            ParameterValue::Number(value) => Some(*value),
            _ => None,
        }
    }

    /// A parameter that is one number, in a unit given by name; an empty one for a pure number.
    ///
    /// # Errors
    /// For a parameter that is not one number, and a unit of another kind than its own.
    pub fn get_in(&self, name: &str, unit: &str) -> Result<f64, SetupError> {
        let (place, parameter) = self.place(name)?;
        let Some(ParameterValue::Number(value)) = self.at(place) else {
            return Err(SetupError::NotANumber {
                name: name.to_string(),
            });
        };
        if unit.is_empty() {
            return Ok(*value);
        }
        let bad = |mend: String| SetupError::BadScale {
            column: name.to_string(),
            scale: unit.to_string(),
            mend,
        };
        let parsed = parse_unit(unit).map_err(|error| bad(error.to_string()))?;
        // Flux is kept in quanta, so the way goes through the parameter's own unit.
        match factor_in(&parsed, parameter.unit)? {
            Some(factor) => Ok(quantity::express(
                *value,
                &quantity::Unit { factor, ..parsed },
            )),
            None => Err(bad(format!("give a unit such as \"{}\"", parameter.unit))),
        }
    }

    /// The value of a parameter.
    #[must_use]
    pub fn value(&self, name: &str) -> Option<&ParameterValue> {
        self.parameters()
            .find(|(parameter, _)| parameter.name == name)
            .map(|(_, value)| value)
    }

    /// What is swept: the description's own x, or the other that the parameter `sweep` names.
    #[must_use]
    pub fn x(&self) -> &'static ColumnDescription {
        let own = &self.description.x;
        let Some(ParameterValue::Choice(chosen)) = self.value("sweep") else {
            return own;
        };
        let mut others = self.description.other_x.iter();
        others.find(|other| other.name == *chosen).unwrap_or(own)
    }

    /// A number by its place in the description; for the set-ups' own physics.
    pub(super) fn number(&self, place: usize) -> f64 {
        match self.values.get(place) {
            Some(ParameterValue::Number(value)) => *value,
            Some(ParameterValue::List(values)) => values.first().copied().unwrap_or(f64::NAN),
            _ => f64::NAN,
        }
    }

    /// A value by its place in the description.
    pub(super) fn at(&self, place: usize) -> Option<&ParameterValue> {
        self.values.get(place)
    }

    /// From where to where x is swept when nothing else is asked, in the SI unit of x.
    #[must_use]
    pub fn default_window(&self) -> (f64, f64) {
        (self.description.physics.window)(self)
    }
}
