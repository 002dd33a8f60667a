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
    /// Nothing has been computed here yet, or no method reaches here.
    None,
}

impl Method {
    /// Every method; its place here is its number on the way between worker and page.
    pub const ALL: [Self; 4] = [
        Self::PeriodAverage,
        Self::FokkerPlanck,
        Self::Langevin,
        Self::None,
    ];

    /// Name in the command's output.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::PeriodAverage => "period-average",
            Self::FokkerPlanck => "fokker-planck",
            Self::Langevin => "langevin",
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
            Self::None => "not computed",
        }
    }
}
