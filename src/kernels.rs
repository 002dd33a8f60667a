//! Pieces of work whose time is measured natively, under Node and in a browser with the same code:
//! see `docs/performance.md`. Each is what a page asks for, with everything that it needs done anew.

use crate::experiment::{Setup, SetupError, run};

/// A piece of work that is timed.
#[derive(Debug, Clone, Copy)]
pub struct Kernel {
    /// Its name.
    pub name: &'static str,
    kind: &'static str,
    parameters: &'static [(&'static str, &'static str)],
    points: u16,
}

/// The shunted loop of the published optimum: β_L = 1 at Γ = 0.05 with the inductance of 207 pH.
const OPTIMUM: [(&str, &str); 6] = [
    ("critical-current-left", "5 uA"),
    ("critical-current-right", "5 uA"),
    ("loop-inductance", "206.78 pH"),
    ("shunt-resistance", "6 ohm"),
    ("temperature", "5.956 K"),
    ("bias-current", "8 uA"),
];

/// Everything that is timed. A set-up that is not known here is left out.
pub const KERNELS: [Kernel; 6] = [
    Kernel {
        name: "junction-pattern",
        kind: "single-junction",
        parameters: &[("profile", "half-cosine")],
        points: 1000,
    },
    Kernel {
        name: "screened-loop",
        kind: "screened-loop",
        parameters: &[("critical-current-right", "7 uA")],
        points: 1000,
    },
    Kernel {
        name: "noisy-period",
        kind: "voltage-flux",
        parameters: &OPTIMUM,
        points: 241,
    },
    Kernel {
        name: "quiet-period",
        kind: "voltage-flux",
        parameters: &[
            OPTIMUM[0],
            OPTIMUM[1],
            OPTIMUM[2],
            OPTIMUM[3],
            ("temperature", "0 K"),
            ("bias-current", "11 uA"),
        ],
        points: 241,
    },
    Kernel {
        name: "noisy-characteristic",
        kind: "current-voltage",
        parameters: &[OPTIMUM[0], OPTIMUM[1], OPTIMUM[2], OPTIMUM[3], OPTIMUM[4]],
        points: 241,
    },
    Kernel {
        name: "quiet-characteristic",
        kind: "current-voltage",
        parameters: &[
            OPTIMUM[0],
            OPTIMUM[1],
            OPTIMUM[2],
            OPTIMUM[3],
            ("temperature", "0 K"),
            ("capacitance", "0.5 pF"),
        ],
        points: 241,
    },
];

impl Kernel {
    /// The kernel of that name.
    #[must_use]
    pub fn find(name: &str) -> Option<&'static Self> {
        KERNELS.iter().find(|kernel| kernel.name == name)
    }

    /// Does the work once. The number depends on all of it, so that none can be left out.
    ///
    /// # Errors
    /// When the set-up is not known or refuses a parameter.
    pub fn run(&self) -> Result<f64, SetupError> {
        let mut setup = Setup::new(self.kind)?;
        for (name, value) in self.parameters {
            setup.set(name, value)?;
        }
        let (from, to) = setup.default_window();
        let last = f64::from(self.points - 1);
        let x: Vec<f64> = (0..self.points)
            .map(|index| from + (to - from) * f64::from(index) / last)
            .collect();
        let trace = run(&setup, &x).map_err(|error| SetupError::Conflict(error.to_string()))?;
        let first = trace.columns.first();
        Ok(first.map_or(0.0, |column| column.values.iter().sum()))
    }
}
