//! What the model says about a lesson: does it know these names and units, can it compute this
//! answer, does the answer lie on the chart.

use std::ops::Range;

use crate::experiment::{AxisScale, ExperimentError, Setup, SetupError, check_x, read_place, run};

use super::super::diagnostic::{Diagnostics, Mistake};
use super::super::spec::{BoardPicture, SetupSpec};
use super::super::text::nearest::suggestion;
use super::super::text::table::Text;

/// A device that has been checked: as written, and as the model takes it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Device {
    /// As written.
    pub(crate) spec: SetupSpec,
    /// As the model takes it.
    pub(crate) setup: Setup,
}

impl Device {
    /// The kind of set-up, every parameter at its default.
    pub(super) fn new(kind: &Text, diagnostics: &mut Diagnostics<'_>) -> Option<Self> {
        match Setup::new(&kind.value) {
            Ok(setup) => Some(Self {
                spec: SetupSpec {
                    kind: kind.value.clone(),
                    ..SetupSpec::default()
                },
                setup,
            }),
            Err(error) => {
                tell(Mistake::UnknownWord, kind.span.clone(), &error, diagnostics);
                None
            }
        }
    }

    /// Sets parameters, each told where it is wrong. `place` is for what is wrong with all of
    /// them together.
    pub(super) fn set(
        &mut self,
        parameters: &[(Text, Text)],
        place: Range<usize>,
        diagnostics: &mut Diagnostics<'_>,
    ) {
        let before = diagnostics.count();
        for (name, value) in parameters {
            match self.setup.set(&name.value, &value.value) {
                Ok(()) => {
                    self.spec
                        .parameters
                        .insert(name.value.clone(), value.value.clone());
                }
                Err(error) => {
                    let span = match error {
                        SetupError::UnknownParameter { .. } => name.span.clone(),
                        _ => value.span.clone(),
                    };
                    tell(Mistake::BadParameter, span, &error, diagnostics);
                }
            }
        }
        if diagnostics.count() == before
            && let Err(error) = self.setup.check()
        {
            tell(Mistake::BadParameter, place, &error, diagnostics);
        }
    }

    /// The kind's name.
    pub(super) fn kind(&self) -> &'static str {
        self.setup.description().kind
    }

    /// Checks the name of a column.
    pub(super) fn check_column(&self, column: &Text, diagnostics: &mut Diagnostics<'_>) -> bool {
        let known = self.setup.description().columns;
        let names: Vec<&str> = known.iter().map(|column| column.name).collect();
        self.check_name(
            Mistake::UnknownColumn,
            "column",
            &names,
            column,
            diagnostics,
        )
    }

    /// Checks the name of a reading.
    pub(super) fn check_reading(&self, reading: &Text, diagnostics: &mut Diagnostics<'_>) -> bool {
        let known = self.setup.description().readings;
        let names: Vec<&str> = known.iter().map(|reading| reading.name).collect();
        self.check_name(
            Mistake::UnknownReading,
            "reading",
            &names,
            reading,
            diagnostics,
        )
    }

    /// Checks the name of a parameter.
    pub(super) fn check_parameter(
        &self,
        parameter: &Text,
        diagnostics: &mut Diagnostics<'_>,
    ) -> bool {
        let known = self.setup.description().parameters;
        let names: Vec<&str> = known.iter().map(|parameter| parameter.name).collect();
        self.check_name(
            Mistake::BadParameter,
            "parameter",
            &names,
            parameter,
            diagnostics,
        )
    }

    fn check_name(
        &self,
        mistake: Mistake,
        what: &str,
        names: &[&str],
        given: &Text,
        diagnostics: &mut Diagnostics<'_>,
    ) -> bool {
        if names.contains(&given.value.as_str()) {
            return true;
        }
        diagnostics.add(
            mistake,
            given.span.clone(),
            format!("`{}` has no {what} `{}`", self.kind(), given.value),
            suggestion(&given.value, names),
        );
        false
    }

    /// The axis of that name.
    pub(super) fn axis(&self, name: &Text, diagnostics: &mut Diagnostics<'_>) -> Option<AxisScale> {
        let found = self.setup.axis(&name.value);
        if found.is_none() {
            let axes = self.setup.axes();
            let names: Vec<&str> = axes.iter().map(|axis| axis.name).collect();
            diagnostics.add(
                Mistake::UnknownScale,
                name.span.clone(),
                format!("`{}` has no axis `{}`", self.kind(), name.value),
                suggestion(&name.value, &names),
            );
        }
        found
    }

    /// The column at evenly spaced places of the axis, in its SI unit; none when it cannot be run
    /// there, which is told at `place`.
    pub(super) fn sample(
        &self,
        column: &str,
        axis: &AxisScale,
        window: (f64, f64),
        place: Range<usize>,
        diagnostics: &mut Diagnostics<'_>,
    ) -> Option<Vec<f64>> {
        const POINTS: u32 = 240;
        let x: Vec<f64> = (0..=POINTS)
            .map(|k| {
                let share = f64::from(k) / f64::from(POINTS);
                (window.0 + share * (window.1 - window.0)) * axis.si_per_unit
            })
            .collect();
        match run(&self.setup, &x) {
            Ok(trace) => trace.column(column).map(|column| column.values.clone()),
            Err(error) => {
                tell(Mistake::OutOfRange, place, &error, diagnostics);
                None
            }
        }
    }

    /// Checks that a board picture can show this device.
    pub(super) fn check_picture(
        &self,
        picture: BoardPicture,
        place: Range<usize>,
        diagnostics: &mut Diagnostics<'_>,
    ) {
        let device = self.setup.description();
        if picture.view_of(device).is_none() {
            let fitting: Vec<&str> = BoardPicture::fitting(device)
                .map(BoardPicture::name)
                .collect();
            diagnostics.add(
                Mistake::BoardDoesNotFit,
                place,
                format!("this picture cannot show a `{}`", self.kind()),
                format!("use `{}`", fitting.join("` or `")),
            );
        }
    }

    /// Checks a place on the x axis.
    pub(super) fn check_place(&self, at: &Text, diagnostics: &mut Diagnostics<'_>) {
        let outcome = read_place(&self.setup, &at.value).and_then(|x| check_x(&self.setup, x));
        if let Err(error) = outcome {
            tell(Mistake::BadQuantity, at.span.clone(), &error, diagnostics);
        }
    }
}

/// Notes an error of the model. Its text ends with the mend, after a semicolon, where it has one.
pub(super) fn tell(
    mistake: Mistake,
    span: Range<usize>,
    error: &dyn std::error::Error,
    diagnostics: &mut Diagnostics<'_>,
) {
    let text = error.to_string();
    match text.rsplit_once("; ") {
        Some((message, mend)) => diagnostics.add(mistake, span, message, mend),
        None => diagnostics.add(
            mistake,
            span,
            text,
            "`coldfringe setups` lists names, units and ranges",
        ),
    }
}

/// The kind of mistake that an error of the model is, when it concerns an answer.
pub(super) fn answer_mistake(error: &ExperimentError) -> Mistake {
    match error {
        ExperimentError::UnknownReading { .. } => Mistake::UnknownReading,
        ExperimentError::Setup(SetupError::UnknownColumn { .. }) => Mistake::UnknownColumn,
        ExperimentError::Setup(SetupError::UnknownParameter { .. }) => Mistake::BadParameter,
        ExperimentError::Setup(
            SetupError::Quantity { .. } | SetupError::NoUnit { .. } | SetupError::WrongUnit { .. },
        ) => Mistake::BadQuantity,
        _ => Mistake::AnswerNotComputable,
    }
}
