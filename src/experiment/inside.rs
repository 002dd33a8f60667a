//! What goes on inside a device at one place on its x axis: the numbers behind a board picture.

mod numbers;

/// One of the things that can be seen inside a device: which variant of [`Inside`] is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum View {
    /// [`Inside::Junction`].
    Junction,
    /// [`Inside::Phasors`].
    Phasors,
    /// [`Inside::Loop`].
    Loop,
    /// [`Inside::RfLoop`].
    RfLoop,
    /// [`Inside::Tank`].
    Tank,
    /// [`Inside::OperatingPoint`].
    OperatingPoint,
    /// [`Inside::WorkingPoint`].
    WorkingPoint,
    /// [`Inside::FeedbackLoop`].
    FeedbackLoop,
    /// [`Inside::Wire`].
    Wire,
}

impl View {
    /// Every one of them.
    pub const ALL: [Self; 9] = [
        Self::Junction,
        Self::Phasors,
        Self::Loop,
        Self::RfLoop,
        Self::Tank,
        Self::OperatingPoint,
        Self::WorkingPoint,
        Self::FeedbackLoop,
        Self::Wire,
    ];
}

/// The inside of a device at one value of x. Currents are shares of the junction's (or junctions')
/// largest current, fluxes are in flux quanta, phases in radians.
#[derive(Debug, Clone, PartialEq)]
pub enum Inside {
    /// One junction from the side, at its critical current.
    Junction {
        /// Flux through the junction.
        flux: f64,
        /// Density of the critical current from the left edge to the right, as a share of the largest.
        density: Vec<f64>,
        /// Local supercurrent density from the left edge to the right, as a share of the largest.
        local_current: Vec<f64>,
        /// Their mean with its sign: the critical current as a share of the one at zero field.
        total: f64,
    },
    /// Phasors adding: one for each junction, at the loop's critical current without screening.
    /// Directions are radians from the phasor of zero field.
    Phasors {
        /// Flux through the loop (through the first loop of an array).
        flux: f64,
        /// Length and direction of each phasor; at zero field the lengths of all add up to one.
        phasors: Vec<(f64, f64)>,
        /// Length of their sum.
        resultant: f64,
    },
    /// The screened loop in its state of lowest energy.
    Loop {
        /// Applied flux.
        flux: f64,
        /// Total flux.
        total_flux: f64,
        /// Circulating current as a share of one junction's critical current; positive raises the flux.
        circulating: f64,
        /// The same in the simple picture.
        circulating_simple: f64,
        /// Bias that still fits, as a share of the sum of critical currents (the critical current).
        critical: f64,
        /// Currents through the left and right junction at that bias, each a share of its own
        /// critical current.
        at_limit: (f64, f64),
        /// The energy of each whole number of quanta near the applied flux.
        branches: Vec<EnergyBranch>,
        /// The number of quanta of the occupied state.
        occupied: i32,
    },
    /// The loop with one junction. Energies are in units of its critical current times a flux quantum,
    /// currents are shares of its critical current; a positive one raises the flux.
    RfLoop {
        /// Applied flux.
        flux: f64,
        /// Total flux and energy of the state when the applied flux has risen from far below.
        rising: (f64, f64),
        /// The same when it has fallen from far above.
        falling: (f64, f64),
        /// Circulating current, risen from far below.
        circulating_rising: f64,
        /// Circulating current, fallen from far above.
        circulating_falling: f64,
        /// Energy against total flux round the applied one: pairs of total flux and energy.
        landscape: Vec<(f64, f64)>,
        /// Total against applied flux, all branches round the applied one.
        curve: Vec<CurvePiece>,
    },
    /// The loop with one junction, driven to and fro by the coil of a tank.
    Tank {
        /// Static flux.
        flux: f64,
        /// Amplitude of the current that drives the tank, A.
        drive: f64,
        /// Amplitude of the tank's voltage, V.
        voltage: f64,
        /// Swing of the flux to each side of it.
        swing: f64,
        /// Hysteresis loops passed round in each cycle, on average.
        loops: f64,
        /// Whether the swing is held at a step.
        on_step: bool,
        /// Total against applied flux, all branches round the static flux.
        curve: Vec<CurvePiece>,
        /// The way of one cycle: applied and total flux, up and down again.
        path: Vec<(f64, f64)>,
    },
    /// A shunted loop at a bias and a flux, on its current-voltage curve.
    OperatingPoint(OperatingPoint),
    /// A shunted loop at a bias and a flux, on its curve of voltage against flux.
    WorkingPoint(WorkingPoint),
    /// A shunted loop held at its working point by feedback.
    FeedbackLoop(FeedbackLoop),
    /// A wire in solder with two contacts.
    Wire(Wire),
}

/// A wire frozen in solder, touching it at two contacts, at the critical current between wire and solder.
#[derive(Debug, Clone, PartialEq)]
pub struct Wire {
    /// Current along the wire, A; positive to the right.
    pub current: f64,
    /// The same as a share of the current for one flux quantum: the flux between the contacts.
    pub flux: f64,
    /// Field at the wire's surface, T.
    pub field: f64,
    /// Distance of the contacts along the wire, m.
    pub spacing: f64,
    /// The depth that the field fills between the contacts: both penetration depths together, m.
    pub depth: f64,
    /// Currents through the left and the right contact, each a share of the sum of their critical currents.
    pub contacts: (f64, f64),
    /// Their sum: the critical current as a share of the largest.
    pub resultant: f64,
}

/// The current-voltage curve of a shunted loop and the place of its bias on it. Curves are pairs of bias (A) and voltage
/// (V), from zero bias on, to negative bias when the bias is negative.
#[derive(Debug, Clone, PartialEq)]
pub struct OperatingPoint {
    /// Bias current, A.
    pub bias: f64,
    /// Applied flux, in flux quanta.
    pub flux: f64,
    /// Whether the cursor moves the flux; else it moves the bias.
    pub flux_moves: bool,
    /// Voltage at that bias and flux, V.
    pub voltage: f64,
    /// The sum of both critical currents, A.
    pub largest: f64,
    /// Resistance of both shunts in parallel, ohm.
    pub resistance: f64,
    /// The bias at which the curves end, A.
    pub end: f64,
    /// The curve at that flux.
    pub curve: Vec<(f64, f64)>,
    /// The curve at a whole number of quanta: one of the two extremes.
    pub whole: Vec<(f64, f64)>,
    /// The curve at a half quantum more: the other.
    pub half: Vec<(f64, f64)>,
    /// Whether the device has noise that these curves leave out.
    pub leaves_noise_out: bool,
}

/// A point on the curve of voltage against flux, with slope and noise.
#[derive(Debug, Clone, PartialEq)]
pub struct WorkingPoint {
    /// Bias current, A.
    pub bias: f64,
    /// Applied flux, in flux quanta.
    pub flux: f64,
    /// Voltage, V.
    pub voltage: f64,
    /// Slope there, V per flux quantum.
    pub transfer: f64,
    /// Root of the voltage noise there, V for the root of a hertz; 0 without noise.
    pub noise: f64,
    /// The largest of it over a period.
    pub noisiest: f64,
    /// One and a half periods: flux (in flux quanta) and voltage (V).
    pub curve: Vec<(f64, f64)>,
}

/// A feedback loop round a shunted loop, at one time. Fluxes in flux quanta, voltages in V.
#[derive(Debug, Clone, PartialEq)]
pub struct FeedbackLoop {
    /// The time, s.
    pub time: f64,
    /// The flux at which the loop is held.
    pub working_flux: f64,
    /// The flux applied from outside, counted from the working point.
    pub applied: f64,
    /// The output: the flux that the feedback takes away.
    pub output: f64,
    /// What is left: applied less output.
    pub error: f64,
    /// Voltage of the sensor.
    pub voltage: f64,
    /// Voltage at the working point.
    pub held: f64,
    /// One and a half periods of voltage against flux round where the sensor is.
    pub curve: Vec<(f64, f64)>,
}

/// A piece of a folded curve: whether the device can stay on it, and points along it.
pub type CurvePiece = (bool, Vec<(f64, f64)>);

/// The parabola of one flux state in the simple picture: energy `(flux - quanta)^2`, in units of
/// half a flux quantum squared over the inductance.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct EnergyBranch {
    /// The number of quanta that the state holds.
    pub quanta: i32,
    /// Its energy at the applied flux.
    pub energy: f64,
}
