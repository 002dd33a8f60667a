//! What one elimination says about a working point: voltage, noise, and their derivatives.

use super::elimination::{Factors, product};
use crate::numerics::dense::Vector;

/// Voltage state of a loop at one bias and one flux, rounded by thermal noise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Applied flux in Φ0.
    pub flux: f64,
    /// Bias in I0.
    pub bias: f64,
    /// Mean voltage in I0 R.
    pub voltage: f64,
    /// Transfer ∂V/∂`Φ_a` at fixed bias, in I0 R/Φ0.
    pub transfer: f64,
    /// Second derivative of the voltage in the applied flux, in I0 R/Φ0².
    pub curvature: f64,
    /// Dynamic resistance ∂V/∂I at fixed applied flux, in R (½ for two shunts alone).
    pub resistance: f64,
    /// One-sided voltage noise at low frequency, in (I0 R)² Φ0/(2π I0 R).
    pub noise: f64,
    /// Derivative of the noise in the applied flux, in its unit per Φ0.
    pub noise_slope: f64,
    /// Estimated error of the voltage, in I0 R.
    pub voltage_error: f64,
    /// Estimated error of the transfer, in I0 R/Φ0.
    pub transfer_error: f64,
    /// Estimated error of the noise, in its unit.
    pub noise_error: f64,
}

/// The point, and the density it comes from.
pub(super) fn point(factors: &Factors) -> (Point, Vec<Vector>) {
    let e = factors.operator.equation;
    let (density, _) = factors.density();
    let voltage = 0.5 * e.bias + factors.operator.supercurrent(&density);
    let adjoint = factors.adjoint();
    // The flux enters as +2φ/β_L in the drift of d, the bias as i/2 in the drift of s.
    let pushed = factors.operator.slope(&density, 2.0 / e.beta_l);
    let transfer = product(&adjoint, &pushed);
    let mut driven = density.clone();
    for (k, x) in driven.iter_mut().enumerate() {
        let turn = 0.5 * k as f64;
        for (re, im) in x.re.iter_mut().zip(x.im.iter_mut()) {
            let (r, i) = (*re, *im);
            *re = -turn * i;
            *im = turn * r;
        }
    }
    let resistance = 0.5 + product(&adjoint, &driven);
    let source = factors.operator.fluctuation(&density, voltage);
    let diffusion = 0.5 * e.gamma - product(&adjoint, &source);

    // How density and fluctuation answer the flux: second derivative of the voltage, first of the
    // noise.
    let (answer, _) = factors.solve(pushed, 0.0);
    let curvature = 2.0 * product(&adjoint, &factors.operator.slope(&answer, 2.0 / e.beta_l));
    let (fluctuation, _) = factors.solve(source, 0.0);
    let mut change = factors.operator.fluctuation(&answer, voltage);
    for (change, density) in change.iter_mut().zip(&density) {
        change.add(-transfer, density);
    }
    for (change, push) in change
        .iter_mut()
        .zip(factors.operator.slope(&fluctuation, 2.0 / e.beta_l))
    {
        change.add(1.0, &push);
    }
    let slope = -product(&adjoint, &change);
    // The estimates' factors cover 98 of 100 points scattered over Γ = 0.02 to 2, β_L = 0.05 to 3, any bias to
    // 3 and unequal junctions; the worst exceed them two times. Weaker noise weighs more.
    let cut = edge(&density);
    let reach = largest(&adjoint).max(1.0);
    let weak = (0.03 / e.gamma).max(1.0).sqrt();
    let point = Point {
        flux: e.flux,
        bias: e.bias,
        voltage,
        transfer,
        curvature,
        resistance,
        // Below nothing only by its error.
        noise: (4.0 * diffusion).max(0.0),
        noise_slope: 4.0 * slope,
        voltage_error: 5.0 * cut * weak,
        transfer_error: 4.0 * edge(&answer) * reach * weak,
        noise_error: 40.0 * cut * reach * weak * weak.sqrt(),
    };
    (point, density)
}

fn size(x: &Vector, n: usize) -> f64 {
    (x.re[n] * x.re[n] + x.im[n] * x.im[n]).sqrt()
}

/// Largest of the last coefficients: the last four functions of each harmonic, all of the last two
/// harmonics.
fn edge(x: &[Vector]) -> f64 {
    let mut most: f64 = 0.0;
    for (k, here) in x.iter().enumerate() {
        let from = if k + 2 >= x.len() {
            0
        } else {
            here.len().saturating_sub(4)
        };
        for n in from..here.len() {
            most = most.max(size(here, n));
        }
    }
    most
}

/// Largest of all coefficients.
fn largest(x: &[Vector]) -> f64 {
    let mut most: f64 = 0.0;
    for here in x {
        for n in 0..here.len() {
            most = most.max(size(here, n));
        }
    }
    most
}
