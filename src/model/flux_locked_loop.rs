//! A sensor in a feedback loop that holds its flux: an integrator turns the voltage's departure from the working
//! point into a feedback flux.
//!
//! Flux in flux quanta, time and voltage in any units. With the applied flux a(t), the feedback flux y, and a voltage V of period
//! one in flux, far faster than the loop,
//!
//! ```text
//! dy/dt = -gain (V(point + a + y) - V(point))
//! ```
//!
//! the output is -y and the error a + y. The loop holds wherever the voltage comes back with the same slope, so at
//! any whole number of quanta of error. The applied flux may not rise faster than the gain times the largest voltage
//! above the working point, nor fall faster than the gain times the largest below it; else the loop slips.
//! Common practice: D. Drung and M. Mück in Clarke and Braginski (editors), The SQUID Handbook, volume I (2004), chapter 4 (from memory).

/// The share of the loop's fastest time that one step of the integration takes.
const STEP: f64 = 0.2;

/// A sensor with its feedback.
pub struct FluxLockedLoop<'a> {
    voltage: &'a dyn Fn(f64) -> f64,
    point: f64,
    level: f64,
    gain: f64,
}

impl std::fmt::Debug for FluxLockedLoop<'_> {
    fn fmt(&self, form: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        form.debug_struct("FluxLockedLoop")
            .field("point", &self.point)
            .field("level", &self.level)
            .field("gain", &self.gain)
            .finish_non_exhaustive()
    }
}

/// Where a loop stands: the time, and the feedback flux then.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Held {
    /// Time.
    pub time: f64,
    /// Feedback flux.
    pub feedback: f64,
}

impl<'a> FluxLockedLoop<'a> {
    /// A loop at the flux `point` of a voltage of period one. `gain` is the rate of the feedback flux for each
    /// unit of voltage; its sign is to be that of the slope at the point.
    #[must_use]
    pub fn new(voltage: &'a dyn Fn(f64) -> f64, point: f64, gain: f64) -> Self {
        Self {
            voltage,
            point,
            level: voltage(point),
            gain,
        }
    }

    /// The rate of the feedback flux at an error.
    fn rate(&self, error: f64) -> f64 {
        -self.gain * ((self.voltage)(self.point + error) - self.level)
    }

    /// The fastest rise and the fastest fall (both 0 or more) of applied flux that the loop can follow, looked for at
    /// `looks` places of a period.
    #[must_use]
    pub fn slew_limits(&self, looks: u32) -> (f64, f64) {
        (0..looks).fold((0.0, 0.0), |(rise, fall): (f64, f64), k| {
            let rate = -self.rate(f64::from(k) / f64::from(looks));
            (rise.max(rate), fall.max(-rate))
        })
    }

    /// Follows the loop on from `held` to the time `to`. `applied` is the applied flux against time, `fastest` the
    /// largest slope of the voltage in size; a jump of the applied flux is best put at an end. The classical method of
    /// Runge and Kutta, with steps a fifth of the loop's fastest time or less.
    #[must_use]
    pub fn follow(&self, held: Held, to: f64, applied: &dyn Fn(f64) -> f64, fastest: f64) -> Held {
        let span = to - held.time;
        let steps = (span * (self.gain * fastest).abs() / STEP).ceil().max(1.0);
        if span <= 0.0 || !steps.is_finite() {
            return held;
        }
        let step = span / steps;
        let mut feedback = held.feedback;
        let mut done = 0.0;
        while done < steps {
            let time = held.time + step * done;
            let (start, middle, end) = (
                applied(time),
                applied(time + 0.5 * step),
                applied(time + step),
            );
            let one = self.rate(start + feedback);
            let two = self.rate(middle + feedback + 0.5 * step * one);
            let three = self.rate(middle + feedback + 0.5 * step * two);
            let four = self.rate(end + feedback + step * three);
            feedback += step / 6.0 * (one + 2.0 * two + 2.0 * three + four);
            done += 1.0;
        }
        Held { time: to, feedback }
    }
}
