//! Sine and cosine for one number and for two side by side, with the same bits.
//!
//! One text serves both: [`sine`] and [`cosine`] are written over [`Lane`], and nothing but single additions
//! and products is done in a fixed order. The angle is brought to -π/2 to π/2 by taking off whole
//! multiples of π in three pieces, the first two of 33 bits (Cody and Waite, "Software Manual for the
//! Elementary Functions", 1980, from memory), so that their products with a whole (or half) number below 2^19 are exact.
//! On what is left stands an odd polynomial of degree 17 with the least largest relative error
//! (2.8e-19, found by Remez exchange). Valid for angles up to a million; the error is below 2 units
//! in the last place there.

use super::lanes::Lane;

/// The largest angle for which the error bound holds.
pub const LARGEST_ANGLE: f64 = 1e6;

/// π in three pieces.
#[allow(
    clippy::approx_constant,
    reason = "a piece of pi, with its last bits cut off on purpose"
)]
const PI_PIECES: [f64; 3] = [
    3.141_592_653_468_251_2,
    1.215_420_101_260_793_2e-10,
    4.044_532_497_591_901e-21,
];

/// From the third power up.
const POLYNOMIAL: [f64; 8] = [
    -0.166_666_666_666_666_66,
    0.008_333_333_333_333_194,
    -0.000_198_412_698_412_092_18,
    2.755_731_921_113_728_8e-6,
    -2.505_210_687_280_295_8e-8,
    1.605_893_970_592_057_6e-10,
    -7.642_991_489_688_395e-13,
    2.721_174_964_459_875_5e-15,
];

/// Added and taken off again, it rounds to the nearest whole number, which it leaves in the last bits.
const ROUNDER: f64 = 6_755_399_441_055_744.0;

/// Sine of an angle in radians, up to [`LARGEST_ANGLE`].
#[must_use]
#[inline]
pub fn sine<T: Lane>(x: T) -> T {
    let marked = x * T::splat(core::f64::consts::FRAC_1_PI) + T::splat(ROUNDER);
    let turns = marked - T::splat(ROUNDER);
    reduced(x, turns).flip(marked)
}

/// Cosine of an angle in radians, up to [`LARGEST_ANGLE`].
#[must_use]
#[inline]
pub fn cosine<T: Lane>(x: T) -> T {
    // cos x = −sin(x − (n + 1/2) π) for even n, and the opposite for odd n.
    let marked = x * T::splat(core::f64::consts::FRAC_1_PI) - T::splat(0.5) + T::splat(ROUNDER);
    let turns = marked - T::splat(ROUNDER) + T::splat(0.5);
    -reduced(x, turns).flip(marked)
}

/// Sine of `x` less `turns` half turns, which must leave no more than a quarter turn.
#[inline]
fn reduced<T: Lane>(x: T, turns: T) -> T {
    let [first, second, third] = PI_PIECES;
    let r = x - turns * T::splat(first) - turns * T::splat(second) - turns * T::splat(third);
    let z = r * r;
    let mut sum = T::splat(POLYNOMIAL[7]);
    for coefficient in POLYNOMIAL[..7].iter().rev() {
        sum = sum * z + T::splat(*coefficient);
    }
    r + r * (z * sum)
}

#[cfg(test)]
mod tests {
    use super::super::lanes::Pair;
    use super::*;

    #[test]
    fn both_lanes_and_the_single_one_agree_to_the_bit() {
        let mut state = 1_u64;
        let mut next = || {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (state >> 11) as f64 / 9_007_199_254_740_992.0 - 0.5
        };
        for _ in 0..50_000 {
            let width = [6.0, 200.0, 2e6][usize::from(next() > 0.0) + usize::from(next() > 0.25)];
            let (a, b) = (next() * width, next() * width);
            let sines = sine(Pair::new(a, b)).both();
            let cosines = cosine(Pair::new(a, b)).both();
            assert_eq!(
                sines.map(f64::to_bits),
                [sine(a).to_bits(), sine(b).to_bits()]
            );
            assert_eq!(
                cosines.map(f64::to_bits),
                [cosine(a).to_bits(), cosine(b).to_bits()]
            );
        }
    }

    #[test]
    #[allow(clippy::float_cmp, reason = "zero and one come out exactly")]
    fn whole_turns_and_signs() {
        assert!(sine(0.0) == 0.0 && cosine(0.0) == 1.0);
        for k in -1000..1000 {
            let x = (f64::from(k) + 0.5) * 0.37;
            assert_eq!(sine(-x).to_bits(), (-sine(x)).to_bits());
            assert!((sine(x) - crate::numerics::elementary::sin(x)).abs() < 2.3e-16);
            assert!((cosine(x) - crate::numerics::elementary::cos(x)).abs() < 2.3e-16);
        }
    }
}
