//! A loop with one junction read out by a tank circuit: the amplitude at which the tank settles.
//!
//! A current source drives a tank (inductance, capacitance, quality Q) whose coil couples to the loop with
//! mutual inductance M = k sqrt(L `L_T`). Normalised: the swing of the coil's flux in the loop has the `amplitude`
//! a in flux quanta, and the drive d is the amplitude that the tank would have at resonance without the
//! loop. With the loop's answer (see [`Answer`]) c in phase and s in quadrature, both functions of a and of the static flux,
//!
//! ```text
//! d² = (x a + k²Q c)² + (a + k²Q s)²        x = Q (1 - w²/w_T²)
//! ```
//!
//! where w is the frequency of the drive and `w_T` the tank's own. This is the balance of the first harmonic, in the leading
//! order of k² and 1/Q at a given k²Q, with the loop in its state at every moment (drive far slower
//! than the junction). Where a further hysteresis loop begins to be passed round, s makes a step and the balance has
//! no solution for some drives: the amplitude then stays at that threshold, and the loop is passed round in
//! only a share of the cycles. Those are the steps; they are ever one flux quantum apart in amplitude.
//! Averaged over the sawtooth of single cycles the amplitude lies below the threshold, by a share of the order
//! of k²: left out here.
//!
//! The drive is taken to be raised slowly from nothing, so that of several amplitudes the first is
//! reached.
//!
//! Sources: the steps, their spacing and k²Q >= pi/4: J. Clarke, Proc. IEEE 77, 1208 (1989), and The SQUID
//! Handbook, volume I (2004) (both from memory). The balance of harmonics is common practice (describing function).

use crate::model::rf_loop::RfLoop;
use crate::numerics::elementary::hypot;
use crate::numerics::{minimise, root};

use core::f64::consts::PI;

mod cycle;
mod fluxes;
mod looks;

pub use cycle::Answer;
use cycle::Cycles;
use looks::Looks;

/// The strongest drive that is computed, in flux quanta.
pub const STRONGEST: f64 = 100.0;

/// A rise that is by so much less steep than the one before is looked at more closely.
const SLACKENED: f64 = 0.7;

/// A tank with a loop beside it.
#[derive(Debug, Clone)]
pub struct Readout {
    cycles: Cycles,
    coupling: f64,
    detuning: f64,
}

/// The state of tank and loop at a drive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Working {
    /// Swing of the flux that the coil puts through the loop.
    pub amplitude: f64,
    /// Hysteresis loops passed round in each cycle, on average; between whole numbers on a step.
    pub loops: f64,
    /// Whether the amplitude is held at a step.
    pub on_step: bool,
    /// The loop's answer, averaged over cycles.
    pub answer: Answer,
}

/// A range of amplitudes in which the drive is a smooth function of the amplitude, or a step.
#[derive(Debug, Clone, Copy)]
struct Rung {
    from: f64,
    to: f64,
    loops: u32,
    drive: (f64, f64),
}

impl Rung {
    fn is_step(&self) -> bool {
        self.from >= self.to
    }
}

/// Amplitudes at one static flux, in order of the drive they need.
#[derive(Debug, Clone)]
pub struct Ladder<'a> {
    readout: &'a Readout,
    flux: f64,
    rungs: Vec<Rung>,
}

impl Readout {
    /// A tank whose `coupling` is k²Q (above 0, at most 1e6) and `detuning` x = Q (1 - w²/`w_T`²) (at most 1e6 either
    /// way). None for anything else.
    #[must_use]
    pub fn new(device: RfLoop, coupling: f64, detuning: f64) -> Option<Self> {
        let fine = coupling > 0.0 && coupling <= 1e6 && detuning.abs() <= 1e6;
        fine.then(|| Self {
            cycles: Cycles::new(device),
            coupling,
            detuning,
        })
    }

    /// The loop.
    #[must_use]
    pub fn device(&self) -> &RfLoop {
        self.cycles.device()
    }

    /// The amplitude at which a further hysteresis loop begins to be passed round, when `loops` are already.
    /// None for a loop without hysteresis.
    #[must_use]
    pub fn step(&self, loops: u32, flux: f64) -> Option<f64> {
        self.cycles.threshold(loops, folded(flux))
    }

    /// The loop's answer at an amplitude at which `loops` hysteresis loops are passed round.
    #[must_use]
    pub fn answer(&self, flux: f64, amplitude: f64, loops: u32) -> Answer {
        self.cycles.answer(folded(flux), amplitude, loops)
    }

    /// The drive that holds an amplitude against an answer.
    fn drive(&self, amplitude: f64, answer: Answer) -> f64 {
        hypot(
            self.detuning * amplitude + self.coupling * answer.in_phase,
            amplitude + self.coupling * answer.quadrature,
        )
    }

    /// The drive for an amplitude with `loops` loops, at a folded flux.
    fn needed(&self, flux: f64, amplitude: f64, loops: u32) -> f64 {
        if amplitude <= 0.0 {
            return 0.0;
        }
        self.drive(amplitude, self.cycles.answer(flux, amplitude, loops))
    }

    /// The drives between which the amplitude is held at its first step. At a static flux of exactly a
    /// whole quantum two steps fall together; the first half of it is meant.
    #[must_use]
    pub fn first_step(&self, flux: f64) -> Option<(f64, f64)> {
        self.step_drives(flux, 0)
    }

    /// The drives between which the amplitude is held where one hysteresis loop more than `loops` begins to
    /// be passed round.
    #[must_use]
    pub fn step_drives(&self, flux: f64, loops: u32) -> Option<(f64, f64)> {
        let flux = folded(flux);
        let amplitude = self.cycles.threshold(loops, flux)?;
        Some((
            self.needed(flux, amplitude, loops),
            self.needed(flux, amplitude, loops + 1),
        ))
    }

    /// The drives at which the tank is on its first step for every static flux, so that its amplitude is a
    /// triangle in flux from the whole to the half quantum. None where there are none.
    #[must_use]
    pub fn triangle(&self) -> Option<(f64, f64)> {
        const LOOKED_AT: u32 = 16;
        let mut range = (0.0_f64, f64::INFINITY);
        for k in 0..=LOOKED_AT {
            let step = self.first_step(0.5 * f64::from(k) / f64::from(LOOKED_AT))?;
            range = (range.0.max(step.0), range.1.min(step.1));
        }
        (range.0 < range.1).then_some(range)
    }

    /// The amplitudes at one static flux for drives from `least` to `most` (both held to [`STRONGEST`]).
    #[must_use]
    pub fn ladder(&self, flux: f64, least: f64, most: f64) -> Ladder<'_> {
        let mut ladder = Ladder {
            readout: self,
            flux: folded(flux),
            rungs: Vec::new(),
        };
        ladder.build(least.clamp(0.0, STRONGEST), most.clamp(0.0, STRONGEST));
        ladder
    }

    /// The state at one static flux and drive.
    #[must_use]
    pub fn at(&self, flux: f64, drive: f64) -> Working {
        self.ladder(flux, drive, drive).at(drive)
    }

    /// The amplitudes at many static fluxes and one drive. The distance of a flux to the nearest whole quantum is
    /// rounded to 2^-40, so that fluxes a period apart, and mirror images, agree exactly and are computed
    /// once. Of several amplitudes that balance the drive a flux may take that of its neighbours (fluxes within a hundredth of a
    /// quantum) instead of searching for its own first.
    #[must_use]
    pub fn amplitudes(&self, fluxes: &[f64], drive: f64) -> Vec<f64> {
        const FINENESS: f64 = 1_099_511_627_776.0;
        let rounded: Vec<f64> = fluxes
            .iter()
            .map(|flux| (folded(*flux) * FINENESS).round() / FINENESS)
            .collect();
        let mut distinct = rounded.clone();
        distinct.sort_unstable_by(f64::total_cmp);
        distinct.dedup_by(|one, other| one.total_cmp(other).is_eq());
        let amplitudes = fluxes::amplitudes(self, &distinct, drive);
        rounded
            .iter()
            .map(|flux| {
                let place = distinct.partition_point(|known| known < flux);
                amplitudes.get(place).copied().unwrap_or(f64::NAN)
            })
            .collect()
    }

    /// A drive that no amplitude up to `amplitude` with at most `loops` loops (and one more at its end) can
    /// need more than; for these from `from` on.
    fn bound(&self, from: f64, amplitude: f64, loops: u32) -> f64 {
        // The circulating current is never more than I0, so that its first harmonic is at most 4/pi of that.
        let most = self.device().beta_rf() * 2.0 / (PI * PI);
        let lost = |loops: u32, amplitude: f64| {
            if loops == 0 {
                return 0.0;
            }
            let loss = self.device().jump().map_or(0.0, |jump| jump.loss);
            self.device().beta_rf() / (PI * PI) * loss * f64::from(loops) / amplitude
        };
        let taken = lost(loops, from).max(lost(loops + 1, amplitude));
        hypot(
            self.detuning.abs() * amplitude + self.coupling * most,
            amplitude + self.coupling * taken,
        )
    }
}

/// Only the distance to the nearest whole quantum matters.
fn folded(flux: f64) -> f64 {
    (flux - flux.round()).abs()
}

impl Ladder<'_> {
    /// Adds rungs from below until the drive `most` is reached; those that surely need less than `least` are
    /// passed over.
    fn build(&mut self, least: f64, most: f64) {
        let mut from = 0.0;
        for loops in 0..=1000 {
            let threshold = self.readout.cycles.threshold(loops, self.flux);
            // An amplitude never needs less drive than itself.
            let to = threshold.unwrap_or(f64::INFINITY).min(most);
            let below = self.readout.bound(from, to, loops);
            if below >= least || threshold.is_none_or(|threshold| threshold >= most) {
                self.rise(from, to, loops, least, most);
                if self.reaches(most) {
                    return;
                }
                if threshold.is_some() {
                    self.hold(to, loops);
                }
            }
            if self.reaches(most) || to >= most {
                return;
            }
            from = to;
        }
    }

    fn reaches(&self, drive: f64) -> bool {
        self.rungs.last().is_some_and(|rung| rung.drive.1 >= drive)
    }

    /// Adds a rung when it goes higher than all before.
    fn add(&mut self, rung: Rung) {
        let before = self.rungs.last().map_or(0.0, |last| last.drive.1);
        if rung.drive.1 > before || self.rungs.is_empty() {
            self.rungs.push(rung);
        }
    }

    /// Adds a step.
    fn hold(&mut self, amplitude: f64, loops: u32) {
        let needed = |loops| self.readout.needed(self.flux, amplitude, loops);
        let drive = (needed(loops), needed(loops + 1));
        self.add(Rung {
            from: amplitude,
            to: amplitude,
            loops,
            drive,
        });
    }

    /// Adds the rungs of a range without a threshold, as far as the drive `most`.
    fn rise(&mut self, from: f64, to: f64, loops: u32, least: f64, most: f64) {
        let readout = self.readout;
        let flux = self.flux;
        let needed = |amplitude: f64| readout.needed(flux, amplitude, loops);
        let looks = Looks::new(readout.device(), flux, from, to);
        let mut look = from;
        if !readout.device().is_hysteretic() {
            // Passes over what surely needs less.
            let mut next = looks.after(look);
            while next < to && readout.bound(0.0, next, 0) < least {
                look = next;
                next = looks.after(look);
            }
        }
        let mut last = (look, needed(look));
        let mut before = last;
        while last.0 < to {
            let mut look = looks.after(last.0);
            let mut here = (look, needed(look));
            let slope = |one: (f64, f64), other: (f64, f64)| (other.1 - one.1) / (other.0 - one.0);
            // Where the rise slackens a top and a dip may hide before the look.
            while last.0 > before.0
                && slope(last, here) < SLACKENED * slope(before, last)
                && here.1 > last.1
                && let Some(nearer) = Looks::between(last.0, look)
            {
                look = nearer;
                here = (look, needed(look));
            }
            // A top between two looks may reach further than both.
            if last.1 > before.1 && last.1 > here.1 {
                let (place, value) =
                    minimise::brent(|amplitude| -needed(amplitude), before.0, here.0, 1e-7);
                let start = if place > last.0 { last } else { before };
                self.add(Rung {
                    from: start.0,
                    to: place,
                    loops,
                    drive: (start.1, -value),
                });
            }
            self.add(Rung {
                from: last.0,
                to: here.0,
                loops,
                drive: (last.1, here.1),
            });
            if self.reaches(most) {
                return;
            }
            before = last;
            last = here;
        }
    }

    /// The state at a drive, which is to be among those that the ladder was made for.
    #[must_use]
    pub fn at(&self, drive: f64) -> Working {
        let drive = drive.clamp(0.0, STRONGEST);
        match self.rung(drive) {
            Some(rung) if rung.is_step() => self.on(rung, drive),
            Some(rung) => self.working(self.amplitude(rung, drive), rung.loops),
            None => self.working(0.0, 0),
        }
    }

    /// The rung on which the amplitude is at a drive.
    fn rung(&self, drive: f64) -> Option<&Rung> {
        let rung = self.rungs.iter().find(|rung| rung.drive.1 >= drive);
        rung.or(self.rungs.last())
    }

    /// A state without a step.
    fn working(&self, amplitude: f64, loops: u32) -> Working {
        let answer = if amplitude > 0.0 {
            self.readout.cycles.answer(self.flux, amplitude, loops)
        } else {
            Answer {
                in_phase: 0.0,
                quadrature: 0.0,
            }
        };
        Working {
            amplitude,
            loops: f64::from(loops),
            on_step: false,
            answer,
        }
    }

    /// The amplitude at a drive, on its rung.
    fn amplitude(&self, rung: &Rung, drive: f64) -> f64 {
        let off = |amplitude: f64| self.readout.needed(self.flux, amplitude, rung.loops) - drive;
        // A rung may begin higher than the drive, after a place where the amplitude jumps on.
        if rung.is_step() || rung.drive.0 >= drive {
            rung.from
        } else {
            root::brent(off, rung.from, rung.to, 1e-13).unwrap_or(rung.to)
        }
    }

    /// On a step a share of the cycles passes round one loop more: the share that balances the drive.
    fn on(&self, rung: &Rung, drive: f64) -> Working {
        let answer = |loops| self.readout.cycles.answer(self.flux, rung.from, loops);
        let (less, more) = (answer(rung.loops), answer(rung.loops + 1));
        let mixed = |share: f64| Answer {
            in_phase: less.in_phase * (1.0 - share) + more.in_phase * share,
            quadrature: less.quadrature * (1.0 - share) + more.quadrature * share,
        };
        let off = |share: f64| self.readout.drive(rung.from, mixed(share)) - drive;
        let share = if off(0.0) >= 0.0 {
            0.0
        } else {
            root::brent(off, 0.0, 1.0, 1e-13).unwrap_or(1.0)
        };
        Working {
            amplitude: rung.from,
            loops: f64::from(rung.loops) + share,
            on_step: true,
            answer: mixed(share),
        }
    }
}
