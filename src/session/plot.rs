//! A chart's window laid over a set-up: where x is sampled, and any column or wrong picture in
//! the units of the chart. Used by the page for every curve it shows.

use super::methods;
use crate::experiment::{self, AxisScale, ColumnScale, Pace, Setup, Trace};
use crate::figure::describe::figures;
use crate::figure::{Axis, FigureError, Series, theme::Role};
use crate::lesson::spec::{ChartSpec, Recording};
use crate::prediction::pictures;
use crate::prediction::sketch::SketchGrid;

/// How many points a curve has. A multiple of the usual numbers of quanta across a chart, so that
/// zeros and peaks at whole and half quanta are among them.
const POINTS: usize = 601;
/// A window with more fringes than this has that many more points, so that their zeros are met.
const FRINGES: f64 = 8.0;
/// But no more than so many times the usual.
const FINEST: f64 = 8.0;
/// The same for a set-up whose points are costly.
const COSTLY_POINTS: usize = 241;

/// What a column is called in the legend where two are drawn: its name in plain words,
/// or what tells it from the other.
#[must_use]
pub fn column_words(column: &str) -> String {
    let plain = |name: &str| name.replace('-', " ");
    if column == "current-density" {
        // The profile that a scan gives stands beside the true one, or the other way round.
        return "read back from the scan".to_owned();
    }
    if let Some(name) = column.strip_suffix("-true") {
        return format!("true {}", plain(name));
    }
    // Which quantity it is stands at the axis: the legend has room for the difference only.
    for (suffix, words) in [
        ("-simple", "simple picture"),
        ("-rising", "on the way up"),
        ("-falling", "on the way down"),
    ] {
        if column.ends_with(suffix) {
            return words.to_owned();
        }
    }
    plain(column)
}

/// Something that is said under a chart.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Remark {
    /// A sentence.
    pub words: String,
    /// Whether it names the method of computing, which a lecture leaves to the lesson.
    pub is_method: bool,
}

impl Remark {
    /// A remark on anything but the method.
    #[must_use]
    pub fn new(words: String) -> Self {
        Self {
            words,
            is_method: false,
        }
    }
}

/// Why a chart's window does not fit its set-up.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum PlotError {
    /// The set-up or one of its scales is not as the chart thinks.
    #[error(transparent)]
    Setup(#[from] experiment::SetupError),
    /// The set-up has no such axis.
    #[error("the set-up has no axis `{axis}`; `coldfringe setups` lists them")]
    UnknownAxis {
        /// The axis asked for.
        axis: String,
    },
    /// The run has no such column.
    #[error("the set-up has no column `{column}`; `coldfringe setups` lists them")]
    UnknownColumn {
        /// The column asked for.
        column: String,
    },
    /// The run failed.
    #[error(transparent)]
    Run(#[from] experiment::ExperimentError),
    /// The wrong picture could not be computed.
    #[error(transparent)]
    Picture(#[from] pictures::PictureError),
    /// The axes cannot be drawn.
    #[error(transparent)]
    Figure(#[from] FigureError),
}

/// A chart's window laid over a set-up.
#[derive(Debug, Clone)]
pub struct Plot {
    setup: Setup,
    spec: ChartSpec,
    x_scale: AxisScale,
    y_scale: ColumnScale,
}

impl Plot {
    /// Lays the window `spec` over `setup`.
    ///
    /// # Errors
    /// When the set-up has no such axis or column, or the column no such scale.
    pub fn new(setup: Setup, spec: &ChartSpec) -> Result<Self, PlotError> {
        let x_scale = setup
            .axis(&spec.x.scale)
            .ok_or_else(|| PlotError::UnknownAxis {
                axis: spec.x.scale.clone(),
            })?;
        let y_scale = setup.column_scale(&spec.column, &spec.y.scale)?;
        Ok(Self {
            setup,
            spec: spec.clone(),
            x_scale,
            y_scale,
        })
    }

    /// The same window over a changed device. A field axis keeps its unit, whatever window would
    /// suit the changed device best.
    ///
    /// # Errors
    /// When the device has no such axis or column.
    pub fn over(&self, setup: Setup) -> Result<Self, PlotError> {
        let mut plot = Self::new(setup, &self.spec)?;
        if plot.x_scale.name == "field" {
            plot.x_scale = self.x_scale.clone();
        }
        Ok(plot)
    }

    /// The set-up.
    #[must_use]
    pub fn setup(&self) -> &Setup {
        &self.setup
    }

    /// The column shown.
    #[must_use]
    pub fn column(&self) -> &str {
        &self.spec.column
    }

    /// What one unit of the horizontal axis is in SI.
    #[must_use]
    pub fn x_scale(&self) -> &AxisScale {
        &self.x_scale
    }

    /// What one unit of the vertical axis is in SI.
    #[must_use]
    pub fn y_scale(&self) -> &ColumnScale {
        &self.y_scale
    }

    /// The axes of the chart.
    ///
    /// # Errors
    /// When their ends cannot be drawn.
    pub fn axes(&self) -> Result<(Axis, Axis), PlotError> {
        let words = |own: &str, general: &str| {
            if own.is_empty() {
                general.to_owned()
            } else {
                own.to_owned()
            }
        };
        let (x, y) = (&self.spec.x, &self.spec.y);
        Ok((
            Axis::new(
                words(&x.label, self.x_scale.label),
                self.x_scale.unit,
                x.from,
                x.to,
            )?,
            Axis::new(
                words(&y.label, &self.y_scale.label),
                &self.y_scale.unit,
                y.from,
                y.to,
            )?,
        ))
    }

    /// The grid of a sketch on these axes.
    #[must_use]
    pub fn grid(&self, columns: u16) -> SketchGrid {
        let (x, y) = (&self.spec.x, &self.spec.y);
        SketchGrid::new(x.from, x.to, y.from, y.to, columns)
    }

    /// The sampled places, in units of the chart.
    #[must_use]
    pub fn x(&self) -> Vec<f64> {
        let (from, to) = (self.spec.x.from, self.spec.x.to);
        let points = match self.setup.description().pace() {
            Pace::AtOnce | Pace::Behind => (POINTS - 1) * self.fineness() + 1,
            Pace::InSlices => COSTLY_POINTS,
        };
        let last = (points - 1) as f64;
        (0..points)
            .map(|index| from + (to - from) * index as f64 / last)
            .collect()
    }

    /// How many times the usual number of points the window needs.
    fn fineness(&self) -> usize {
        let Some(loops) = self.setup.axis("loop-flux") else {
            return 1;
        };
        let window = (self.spec.x.to - self.spec.x.from).abs() * self.x_scale.si_per_unit;
        let fringes = window / loops.si_per_unit;
        (fringes / FRINGES).ceil().clamp(1.0, FINEST) as usize
    }

    /// A place on the horizontal axis in SI.
    #[must_use]
    pub fn x_to_si(&self, x: f64) -> f64 {
        x * self.x_scale.si_per_unit
    }

    /// The run behind the chart.
    ///
    /// # Errors
    /// When the run fails, or is not known yet.
    pub fn trace(&self) -> Result<Trace, PlotError> {
        Ok(experiment::run(&self.setup, &self.x_si())?)
    }

    /// The sampled places in SI.
    #[must_use]
    pub fn x_si(&self) -> Vec<f64> {
        self.x().iter().map(|&x| self.x_to_si(x)).collect()
    }

    /// A column of the set-up in units of the chart, as a curve.
    ///
    /// # Errors
    /// When the run fails or has no such column.
    pub fn curve(&self, column: &str, name: &str, role: Role) -> Result<Series, PlotError> {
        self.curve_of(&self.trace()?, column, name, role)
    }

    /// A column of a run behind the chart in units of the chart, as a curve.
    ///
    /// # Errors
    /// When the run has no such column.
    pub fn curve_of(
        &self,
        trace: &Trace,
        column: &str,
        name: &str,
        role: Role,
    ) -> Result<Series, PlotError> {
        let values = &trace
            .column(column)
            .ok_or_else(|| PlotError::UnknownColumn {
                column: column.to_owned(),
            })?
            .values;
        Ok(self.series(name, role, &self.x(), values))
    }

    /// What is to be said under the chart about a run: where the model leaves its range of
    /// validity, and by which methods the points were computed if there are several.
    #[must_use]
    pub fn remarks(&self, trace: &Trace) -> Vec<Remark> {
        let methods = methods::words(trace, self.x_scale.si_per_unit, self.x_scale.unit);
        let mut remarks: Vec<Remark> = trace.warnings.iter().cloned().map(Remark::new).collect();
        if !methods.is_empty() {
            remarks.push(Remark {
                words: methods,
                is_method: true,
            });
        }
        remarks.extend(self.error(trace).map(Remark::new));
        remarks
    }

    /// How well the column is known, where the run says so and it could be seen on the chart.
    fn error(&self, trace: &Trace) -> Option<String> {
        let column = trace.column(&format!("{}-error", self.spec.column))?;
        let known = column.values.iter().filter(|value| value.is_finite());
        let largest = known.fold(0.0_f64, |one, other| one.max(*other)) / self.y_scale.si_per_unit;
        let height = (self.spec.y.to - self.spec.y.from).abs();
        (largest > 0.002 * height).then(|| {
            format!(
                "Known to ±{} {} or better.",
                figures(largest),
                self.y_scale.unit
            )
        })
    }

    /// The curve of a wrong picture (or of the model, named [`pictures::MODEL`]) in units of the
    /// chart.
    ///
    /// # Errors
    /// When no such picture is known or the run fails.
    pub fn picture(&self, picture: &str, name: &str, role: Role) -> Result<Series, PlotError> {
        let values = pictures::curve(picture, &self.setup, &self.spec.column, &self.x_si())?;
        Ok(self.series(name, role, &self.x(), &values))
    }

    /// A record of the set-up in units of the chart, as points.
    ///
    /// # Errors
    /// When the set-up cannot be recorded.
    pub fn record(&self, spec: &Recording) -> Result<Series, PlotError> {
        let x = spec.places();
        let si: Vec<f64> = x.iter().map(|&x| self.x_to_si(x)).collect();
        let mut values =
            experiment::record(&self.setup, self.column(), &si, &spec.noise, &spec.seed)?;
        for value in &mut values {
            *value /= self.y_scale.si_per_unit;
        }
        Ok(Series::from_columns("record", Role::Recorded, &x, &values))
    }

    fn series(&self, name: &str, role: Role, x: &[f64], values: &[f64]) -> Series {
        let values: Vec<f64> = values
            .iter()
            .map(|value| value / self.y_scale.si_per_unit)
            .collect();
        let height = self.spec.y.to - self.spec.y.from;
        Series::from_columns(name, role, x, &values).with_jumps(0.08 * height)
    }
}
