//! By which method a point was computed.

/// A method of computation. Set-ups with a voltage choose one for every point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Method {
    /// Mean voltage over whole slip periods of the noise-free equations of motion.
    PeriodAverage,
    /// The stationary Fokker–Planck equation: thermal noise without random numbers.
    FokkerPlanck,
    /// Many paths with seeded random noise; the error given is a standard error.
    Langevin,
    /// The noise-free period, and how far noise pushes it on: for little noise, where that errs less than random paths.
    WeakNoise,
    /// Nothing has been computed here yet, or no method reaches here.
    None,
}

impl Method {
    /// Every method; its place here is its number on the way between worker and page.
    pub const ALL: [Self; 5] = [
        Self::PeriodAverage,
        Self::FokkerPlanck,
        Self::Langevin,
        Self::WeakNoise,
        Self::None,
    ];

    /// Name in the command's output.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::PeriodAverage => "period-average",
            Self::FokkerPlanck => "fokker-planck",
            Self::Langevin => "langevin",
            Self::WeakNoise => "weak-noise",
            Self::None => "none",
        }
    }

    /// The method in plain words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::PeriodAverage => "without noise, averaged over whole slip periods",
            Self::FokkerPlanck => "thermal noise from the stationary Fokker–Planck equation",
            Self::Langevin => "thermal noise by random paths, with standard error",
            Self::WeakNoise => {
                "little thermal noise, from what pushes do to the slip period without noise"
            }
            Self::None => "not computed",
        }
    }
}
