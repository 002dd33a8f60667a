//! Pieces of work whose time is measured natively, under Node and in a browser with the same code:
//! see `docs/performance.md`. Each is what a page asks for, with everything that it needs done anew.

use crate::experiment::{ExperimentError, Setup, Sweep};
use crate::numerics::lanes::Pair;
use crate::numerics::vector_sine::sine;

/// A piece of work that is timed.
#[derive(Debug, Clone, Copy)]
pub struct Kernel {
    /// Its name.
    pub name: &'static str,
    work: Work,
}

#[derive(Debug, Clone, Copy)]
enum Work {
    /// A run over a set-up's own window.
    Run {
        kind: &'static str,
        parameters: &'static [(&'static str, &'static str)],
        points: u16,
        /// Stop after so many slices; all of them where none is given.
        slices: Option<u32>,
    },
    /// A million sines, two at a time.
    Sines,
}

/// The shunted loop of the published optimum without its temperature: β_L = 1.
const LOOP: [(&str, &str); 4] = [
    ("critical-current-left", "5 uA"),
    ("critical-current-right", "5 uA"),
    ("loop-inductance", "206.78 pH"),
    ("shunt-resistance", "6 ohm"),
];
/// Γ = 0.05.
const WARM: (&str, &str) = ("temperature", "5.956 K");
const COLD: (&str, &str) = ("temperature", "0 K");
const CAPACITANCE: (&str, &str) = ("capacitance", "0.5 pF");
/// β_c = 2.
const MUCH_CAPACITANCE: (&str, &str) = ("capacitance", "3.6566 pF");
const BIAS: (&str, &str) = ("bias-current", "8 uA");
const HIGH_BIAS: (&str, &str) = ("bias-current", "11 uA");

/// A curve of a thousand points at once.
const fn pattern(
    name: &'static str,
    kind: &'static str,
    parameters: &'static [(&'static str, &'static str)],
) -> Kernel {
    Kernel {
        name,
        work: Work::Run {
            kind,
            parameters,
            points: 1000,
            slices: None,
        },
    }
}

/// A curve of as many points as a page shows of a slow set-up.
const fn slow(
    name: &'static str,
    kind: &'static str,
    parameters: &'static [(&'static str, &'static str)],
    slices: Option<u32>,
) -> Kernel {
    Kernel {
        name,
        work: Work::Run {
            kind,
            parameters,
            points: 241,
            slices,
        },
    }
}

/// Everything that is timed.
pub const KERNELS: [Kernel; 11] = [
    Kernel {
        name: "million-sines",
        work: Work::Sines,
    },
    pattern(
        "junction-pattern",
        "single-junction",
        &[("profile", "half-cosine")],
    ),
    pattern(
        "screened-loop",
        "screened-loop",
        &[("critical-current-right", "7 uA")],
    ),
    pattern(
        "tank-against-flux",
        "rf-readout",
        &[("drive-current", "7 nA")],
    ),
    slow(
        "noisy-period",
        "voltage-flux",
        &[LOOP[0], LOOP[1], LOOP[2], LOOP[3], WARM, BIAS],
        None,
    ),
    pattern(
        "quiet-period",
        "voltage-flux",
        &[LOOP[0], LOOP[1], LOOP[2], LOOP[3], COLD, HIGH_BIAS],
    ),
    slow(
        "noisy-characteristic",
        "current-voltage",
        &[LOOP[0], LOOP[1], LOOP[2], LOOP[3], WARM],
        None,
    ),
    pattern(
        "quiet-characteristic",
        "current-voltage",
        &[LOOP[0], LOOP[1], LOOP[2], LOOP[3], COLD],
    ),
    slow(
        "quiet-characteristic-with-capacitance",
        "current-voltage",
        &[LOOP[0], LOOP[1], LOOP[2], LOOP[3], COLD, CAPACITANCE],
        None,
    ),
    slow(
        "hysteretic-characteristic",
        "current-voltage",
        &[LOOP[0], LOOP[1], LOOP[2], LOOP[3], COLD, MUCH_CAPACITANCE],
        None,
    ),
    slow(
        "random-paths-twenty-slices",
        "voltage-flux",
        &[LOOP[0], LOOP[1], LOOP[2], LOOP[3], WARM, BIAS, CAPACITANCE],
        Some(20),
    ),
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
    /// When the set-up refuses a parameter or cannot be run.
    pub fn run(&self) -> Result<f64, ExperimentError> {
        match self.work {
            Work::Run {
                kind,
                parameters,
                points,
                slices,
            } => {
                let mut setup = Setup::new(kind)?;
                for (name, value) in parameters {
                    setup.set(name, value)?;
                }
                sweep(&setup, points, slices.unwrap_or(u32::MAX))
            }
            Work::Sines => Ok(million_sines()),
        }
    }
}

fn sweep(setup: &Setup, points: u16, slices: u32) -> Result<f64, ExperimentError> {
    let (from, to) = setup.default_window();
    let last = f64::from(points - 1);
    let x: Vec<f64> = (0..points)
        .map(|index| from + (to - from) * f64::from(index) / last)
        .collect();
    let mut sweep = Sweep::begin(setup, &x)?;
    for _ in 0..slices {
        if sweep.slice() {
            break;
        }
    }
    let trace = sweep.trace();
    let values = trace
        .columns
        .first()
        .into_iter()
        .flat_map(|column| &column.values);
    Ok(values.filter(|value| value.is_finite()).sum())
}

fn million_sines() -> f64 {
    let mut sum = Pair::new(0.0, 0.0);
    for index in 0..500_000_u32 {
        let angle = f64::from(index) * 1.7e-3 - 425.0;
        sum += sine(Pair::new(angle, -0.5 * angle));
    }
    sum.sum()
}
