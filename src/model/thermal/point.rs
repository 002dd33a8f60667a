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
    /// Estimated error of the noise, in its unit.
    pub noise_error: f64,
}

/// The point, and the density it comes from.
pub(super) fn point(factors: &Factors) -> (Point, Vec<Vector>) {
    let e = factors.equation;
    let (density, _) = factors.density();
    let voltage = 0.5 * e.bias + factors.supercurrent(&density);
    let adjoint = factors.adjoint();
    // The flux enters as +2φ/β_L in the drift of d, the bias as i/2 in the drift of s.
    let pushed = factors.slope(&density, 2.0 / e.beta_l);
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
    let source = factors.fluctuation(&density, voltage);
    let diffusion = 0.5 * e.gamma - product(&adjoint, &source);

    // How density and fluctuation answer the flux: second derivative of the voltage, first of the
    // noise.
    let (answer, _) = factors.solve(pushed, 0.0);
    let curvature = 2.0 * product(&adjoint, &factors.slope(&answer, 2.0 / e.beta_l));
    let (fluctuation, _) = factors.solve(source, 0.0);
    let mut change = factors.fluctuation(&answer, voltage);
    for (change, density) in change.iter_mut().zip(&density) {
        change.add(-transfer, density);
    }
    for (change, push) in change
        .iter_mut()
        .zip(factors.slope(&fluctuation, 2.0 / e.beta_l))
    {
        change.add(1.0, &push);
    }
    let slope = -product(&adjoint, &change);
    let point = Point {
        flux: e.flux,
        bias: e.bias,
        voltage,
        transfer,
        curvature,
        resistance,
        noise: 4.0 * diffusion,
        noise_slope: 4.0 * slope,
        voltage_error: f64::INFINITY,
        noise_error: f64::INFINITY,
    };
    (point, density)
}
