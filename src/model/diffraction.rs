//! One small junction in a field: its critical current is the magnitude of the Fourier transform
//! of its current density across the width,
//!
//! `I_c(f) = | ∫ j(x) exp(2 pi i f x) dx |` with x from -1/2 to 1/2, mean density 1,
//!
//! where f is the flux through the junction in flux quanta. Source: A. Barone and G. Paternò,
//! "Physics and Applications of the Josephson Effect" (1982), chapter 4 (from memory); every closed
//! form here is checked in the tests against direct quadrature of the definition.

use crate::numerics::elementary::{bessel_j1, cos_pi, sin_cos, sinc};
use crate::numerics::order::within;
use crate::numerics::{minimise, root};

use core::f64::consts::PI;
use std::borrow::Cow;

/// How the critical current density runs across the width of the junction.
#[derive(Debug, Clone, PartialEq)]
pub enum Profile {
    /// The same everywhere (a rectangle seen along the field).
    Uniform,
    /// A disc of uniform density seen from the side: longest in the middle.
    Circular,
    /// Rising linearly from nothing at both edges to the middle.
    Triangular,
    /// Half an arch of a cosine, nothing at the edges.
    HalfCosine,
    /// Uniform, with an extra share of the current in a strip along each edge.
    EdgeHeavy {
        /// Share of the whole current that flows in the two edge strips, 0 to 1.
        fraction: f64,
        /// Width of each strip as a share of the width, above 0 to 1/2.
        strip: f64,
    },
    /// Densities in equal strips from the left edge to the right.
    Samples(Vec<f64>),
}

impl Profile {
    /// Current density at `x` (in widths from the middle, -1/2 to 1/2), with mean 1.
    #[must_use]
    pub fn density(&self, x: f64) -> f64 {
        if x.abs() > 0.5 {
            return 0.0;
        }
        match self {
            Self::Uniform => 1.0,
            Self::Circular => 4.0 / PI * (1.0 - 4.0 * x * x).max(0.0).sqrt(),
            Self::Triangular => 2.0 * (1.0 - 2.0 * x.abs()),
            Self::HalfCosine => 0.5 * PI * cos_pi(x),
            Self::EdgeHeavy { fraction, strip } => {
                let edge = if x.abs() >= 0.5 - strip {
                    0.5 * fraction / strip
                } else {
                    0.0
                };
                1.0 - fraction + edge
            }
            Self::Samples(samples) => {
                let sum: f64 = samples.iter().sum();
                let count = samples.len() as f64;
                let place = within(((x + 0.5) * count).floor(), 0.0, count - 1.0);
                samples
                    .iter()
                    .enumerate()
                    .find(|(k, _)| *k as f64 >= place)
                    .map_or(0.0, |(_, density)| density * count / sum)
            }
        }
    }

    /// The transform at flux `f`: real and imaginary part; 1 at zero flux. The imaginary part is
    /// zero for every profile that is the same from both edges.
    #[must_use]
    pub fn transform(&self, f: f64) -> (f64, f64) {
        match self {
            Self::Uniform => (sinc(f), 0.0),
            Self::Circular => {
                let angle = PI * f;
                // J1(x)/x is 1/2 - x²/16 near zero.
                let value = if angle.abs() < 1e-5 {
                    1.0 - angle * angle / 8.0
                } else {
                    2.0 * bessel_j1(angle) / angle
                };
                (value, 0.0)
            }
            Self::Triangular => {
                let half = sinc(0.5 * f);
                (half * half, 0.0)
            }
            Self::HalfCosine => {
                // cos(pi f)/(1 - 4 f²) written as two sinc, finite at f = 1/2.
                (0.25 * PI * (sinc(f - 0.5) + sinc(f + 0.5)), 0.0)
            }
            Self::EdgeHeavy { fraction, strip } => {
                let edges = cos_pi(f * (1.0 - strip)) * sinc(strip * f);
                ((1.0 - fraction) * sinc(f) + fraction * edges, 0.0)
            }
            Self::Samples(samples) => {
                let count = samples.len() as f64;
                let sum: f64 = samples.iter().sum();
                // The phasor of each strip is that of the one before, turned on. Whole turns are taken off first,
                // so that far fields keep their accuracy.
                let turn = |turns: f64| sin_cos(2.0 * PI * (turns - turns.round()));
                let (step_sine, step_cosine) = turn(f / count);
                let (mut sine, mut cosine) = turn(f * (0.5 / count - 0.5));
                let (mut real, mut imaginary) = (0.0, 0.0);
                for density in samples {
                    real += density * cosine;
                    imaginary += density * sine;
                    (cosine, sine) = (
                        cosine * step_cosine - sine * step_sine,
                        sine * step_cosine + cosine * step_sine,
                    );
                }
                let strip = sinc(f / count) / sum;
                // Rounding alone leaves this much; without it a symmetric profile keeps the sign of its transform.
                let nothing = 1e-13 * sum;
                let imaginary = if imaginary.abs() < nothing {
                    0.0
                } else {
                    imaginary
                };
                (real * strip, imaginary * strip)
            }
        }
    }

    /// Critical current at flux `f` as a share of the one at zero flux.
    #[must_use]
    pub fn critical_current(&self, f: f64) -> f64 {
        let (real, imaginary) = self.transform(f);
        if imaginary.abs() <= 0.0 {
            real.abs()
        } else {
            (real * real + imaginary * imaginary).sqrt()
        }
    }

    /// How far up in flux zeros and side lobes are looked for.
    const FAR: f64 = 12.0;

    /// The part of the junction that carries current, and its width as a share of the whole. Strips that are all alike
    /// are a uniform junction, whose pattern is known exactly.
    fn carrying(&self) -> (Cow<'_, Self>, f64) {
        let Self::Samples(samples) = self else {
            return (Cow::Borrowed(self), 1.0);
        };
        let first = samples.iter().position(|density| *density > 0.0);
        let last = samples.iter().rposition(|density| *density > 0.0);
        let (Some(first), Some(last)) = (first, last) else {
            return (Cow::Borrowed(self), 1.0);
        };
        let part = &samples[first..=last];
        let share = part.len() as f64 / samples.len() as f64;
        if part
            .iter()
            .all(|density| (density - samples[first]).abs() <= 0.0)
        {
            (Cow::Owned(Self::Uniform), share)
        } else if part.len() < samples.len() {
            (Cow::Owned(Self::Samples(part.to_vec())), share)
        } else {
            (Cow::Borrowed(self), 1.0)
        }
    }

    /// Whether the density is the same from both edges of the part that carries current. Then the pattern can have
    /// zeros, and only a profile like this can be won back from it.
    #[must_use]
    pub fn is_symmetric(&self) -> bool {
        match self.carrying().0.as_ref() {
            Self::Samples(samples) => samples
                .iter()
                .zip(samples.iter().rev())
                .all(|(a, b)| (a - b).abs() <= 1e-12 * a.abs().max(b.abs())),
            _ => true,
        }
    }

    /// The first zeros above zero flux, at most `count` of them, where they are not known in closed form up to twelve
    /// flux quanta through the part that carries current. A painted profile that is not the same from both edges has
    /// minima that do not reach zero; it vanishes only with one flux quantum in each strip, where every strip does.
    #[must_use]
    pub fn zeros(&self, count: usize) -> Vec<f64> {
        match self {
            Self::Uniform => (1..=count).map(|n| n as f64).collect(),
            Self::Triangular => (1..=count).map(|n| 2.0 * n as f64).collect(),
            Self::HalfCosine => (1..=count).map(|n| n as f64 + 0.5).collect(),
            _ => {
                let (part, share) = self.carrying();
                let mut zeros = match part.as_ref() {
                    Self::Uniform => part.zeros(count),
                    _ => part.search(count),
                };
                for zero in &mut zeros {
                    *zero /= share;
                }
                zeros
            }
        }
    }

    fn search(&self, count: usize) -> Vec<f64> {
        let symmetric = self.is_symmetric();
        let mut zeros = Vec::new();
        let mut from = 1e-3;
        while zeros.len() < count && from < Self::FAR {
            let steps = ((Self::FAR - from) * 64.0).ceil().max(2.0) as u32;
            let dip =
                minimise::first_dip(|f| self.critical_current(f), from, Self::FAR, steps, 1e-12);
            let Some((near, least)) = dip else { break };
            if least < 1e-7 {
                // A real transform that changes sign there gives the place to full accuracy.
                let exact = if symmetric {
                    root::brent(|f| self.transform(f).0, near - 1e-4, near + 1e-4, 1e-15)
                } else if let Self::Samples(samples) = self {
                    // Whole flux quanta in every strip.
                    let strips = samples.len() as f64;
                    let whole = (near / strips).round() * strips;
                    ((near - whole).abs() < 1e-6).then_some(whole)
                } else {
                    None
                };
                zeros.push(exact.unwrap_or(near));
            }
            from = near + 1.0 / 64.0;
        }
        zeros
    }

    /// Place and height of the first minimum above zero flux; the height is zero where it reaches zero.
    #[must_use]
    pub fn first_minimum(&self) -> Option<(f64, f64)> {
        let (part, share) = self.carrying();
        let dip = minimise::first_dip(|f| part.critical_current(f), 1e-3, Self::FAR, 768, 1e-9)?;
        if dip.1 < 1e-7 {
            return self.zeros(1).first().map(|zero| (*zero, 0.0));
        }
        Some((dip.0 / share, dip.1))
    }

    /// Place and height of the first side lobe: the first largest value beyond the first minimum.
    #[must_use]
    pub fn first_side_lobe(&self) -> Option<(f64, f64)> {
        let (part, share) = self.carrying();
        let (valley, _) =
            minimise::first_dip(|f| part.critical_current(f), 1e-3, Self::FAR, 768, 1e-9)?;
        let (place, negative) = minimise::first_dip(
            |f| -part.critical_current(f),
            valley,
            Self::FAR,
            ((Self::FAR - valley) * 64.0).ceil().max(2.0) as u32,
            1e-10,
        )?;
        Some((place / share, -negative))
    }

    /// Local supercurrents at `count` places from the left edge to the right, at flux `f` and at the
    /// critical current: the phase is the one at which their sum is largest. As shares of the
    /// largest density anywhere.
    #[must_use]
    pub fn local_currents(&self, f: f64, count: usize) -> Vec<f64> {
        let (real, imaginary) = self.transform(f);
        // The phase in the middle that makes the sum of j(x) sin(phase + 2 pi f x) largest and
        // positive at zero field; it stays there when the sum passes through zero, so that the
        // picture moves without a jump.
        let size = (real * real + imaginary * imaginary).sqrt();
        let (turn_sine, turn_cosine) = if imaginary.abs() <= 0.0 || size <= 0.0 {
            (0.0, 1.0)
        } else {
            (imaginary / size, real / size)
        };
        let places: Vec<f64> = (0..count)
            .map(|k| (k as f64 + 0.5) / count.max(1) as f64 - 0.5)
            .collect();
        let densities: Vec<f64> = places.iter().map(|x| self.density(*x)).collect();
        let largest = densities.iter().copied().fold(0.0, f64::max).max(1e-300);
        places
            .iter()
            .zip(&densities)
            .map(|(x, density)| {
                let (sine, cosine) = sin_cos(2.0 * PI * f * x);
                density / largest * (cosine * turn_cosine + sine * turn_sine)
            })
            .collect()
    }
}
