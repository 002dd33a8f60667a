//! Two numbers side by side, which the processor adds and multiplies at once.
//!
//! On wasm with the feature `simd128` and on `x86_64` (whose SSE2 is always there) a [`Pair`] is one
//! register; elsewhere it is an array of two. Only single additions, subtractions, products and square
//! roots are offered, each rounded once as IEEE 754 says, so that all three give the same bits. A
//! wasm file gets the registers when it is compiled with `-C target-feature=+simd128`; without that
//! flag it runs anywhere, slower, and to the same bits.
//!
//! Every function here is marked for inlining: as a call, an addition costs twenty times as much.

use core::ops::{Add, AddAssign, Mul, Neg, Sub};

#[cfg(all(target_arch = "wasm32", target_feature = "simd128"))]
mod raw {
    use core::arch::wasm32 as arch;

    pub(super) type Raw = arch::v128;

    #[inline]
    pub(super) fn new(a: f64, b: f64) -> Raw {
        arch::f64x2(a, b)
    }
    #[inline]
    pub(super) fn splat(a: f64) -> Raw {
        arch::f64x2_splat(a)
    }
    #[inline]
    pub(super) fn both(x: Raw) -> [f64; 2] {
        [
            arch::f64x2_extract_lane::<0>(x),
            arch::f64x2_extract_lane::<1>(x),
        ]
    }
    #[inline]
    pub(super) fn swap(x: Raw) -> Raw {
        arch::i64x2_shuffle::<1, 0>(x, x)
    }
    #[inline]
    pub(super) fn add(x: Raw, y: Raw) -> Raw {
        arch::f64x2_add(x, y)
    }
    #[inline]
    pub(super) fn sub(x: Raw, y: Raw) -> Raw {
        arch::f64x2_sub(x, y)
    }
    #[inline]
    pub(super) fn mul(x: Raw, y: Raw) -> Raw {
        arch::f64x2_mul(x, y)
    }
    #[inline]
    pub(super) fn root(x: Raw) -> Raw {
        arch::f64x2_sqrt(arch::f64x2_pmax(arch::f64x2_splat(0.0), x))
    }
    #[inline]
    pub(super) fn flip(x: Raw, marks: Raw) -> Raw {
        arch::v128_xor(x, arch::i64x2_shl(marks, 63))
    }
}

#[cfg(target_arch = "x86_64")]
#[allow(
    unsafe_code,
    reason = "SSE2 belongs to every x86_64, and none of these instructions touches memory"
)]
mod raw {
    use core::arch::x86_64 as arch;

    pub(super) type Raw = arch::__m128d;

    #[inline]
    pub(super) fn new(a: f64, b: f64) -> Raw {
        unsafe { arch::_mm_set_pd(b, a) }
    }
    #[inline]
    pub(super) fn splat(a: f64) -> Raw {
        unsafe { arch::_mm_set1_pd(a) }
    }
    #[inline]
    pub(super) fn both(x: Raw) -> [f64; 2] {
        unsafe {
            [
                arch::_mm_cvtsd_f64(x),
                arch::_mm_cvtsd_f64(arch::_mm_unpackhi_pd(x, x)),
            ]
        }
    }
    #[inline]
    pub(super) fn swap(x: Raw) -> Raw {
        unsafe { arch::_mm_shuffle_pd::<1>(x, x) }
    }
    #[inline]
    pub(super) fn add(x: Raw, y: Raw) -> Raw {
        unsafe { arch::_mm_add_pd(x, y) }
    }
    #[inline]
    pub(super) fn sub(x: Raw, y: Raw) -> Raw {
        unsafe { arch::_mm_sub_pd(x, y) }
    }
    #[inline]
    pub(super) fn mul(x: Raw, y: Raw) -> Raw {
        unsafe { arch::_mm_mul_pd(x, y) }
    }
    #[inline]
    pub(super) fn root(x: Raw) -> Raw {
        unsafe { arch::_mm_sqrt_pd(arch::_mm_max_pd(x, arch::_mm_setzero_pd())) }
    }
    #[inline]
    pub(super) fn flip(x: Raw, marks: Raw) -> Raw {
        unsafe {
            let signs = arch::_mm_slli_epi64::<63>(arch::_mm_castpd_si128(marks));
            arch::_mm_xor_pd(x, arch::_mm_castsi128_pd(signs))
        }
    }
}

#[cfg(not(any(
    target_arch = "x86_64",
    all(target_arch = "wasm32", target_feature = "simd128")
)))]
mod raw {
    pub(super) type Raw = [f64; 2];

    #[inline]
    pub(super) fn new(a: f64, b: f64) -> Raw {
        [a, b]
    }
    #[inline]
    pub(super) fn splat(a: f64) -> Raw {
        [a, a]
    }
    #[inline]
    pub(super) fn both(x: Raw) -> [f64; 2] {
        x
    }
    #[inline]
    pub(super) fn swap([a, b]: Raw) -> Raw {
        [b, a]
    }
    #[inline]
    pub(super) fn add(x: Raw, y: Raw) -> Raw {
        [x[0] + y[0], x[1] + y[1]]
    }
    #[inline]
    pub(super) fn sub(x: Raw, y: Raw) -> Raw {
        [x[0] - y[0], x[1] - y[1]]
    }
    #[inline]
    pub(super) fn mul(x: Raw, y: Raw) -> Raw {
        [x[0] * y[0], x[1] * y[1]]
    }
    #[inline]
    pub(super) fn root(x: Raw) -> Raw {
        use super::Lane;
        x.map(Lane::root)
    }
    #[inline]
    pub(super) fn flip(x: Raw, marks: Raw) -> Raw {
        use super::Lane;
        [x[0].flip(marks[0]), x[1].flip(marks[1])]
    }
}

/// What a kernel that is written once for one number and for two side by side may do.
pub trait Lane:
    Copy + Add<Output = Self> + Sub<Output = Self> + Mul<Output = Self> + Neg<Output = Self>
{
    /// The same number in every lane.
    fn splat(value: f64) -> Self;

    /// Turns the sign round in the lanes where the lowest bit of `marks` is set.
    #[must_use]
    fn flip(self, marks: Self) -> Self;

    /// The square root in every lane; zero where a number is negative.
    #[must_use]
    fn root(self) -> Self;
}

impl Lane for f64 {
    #[inline]
    fn splat(value: f64) -> Self {
        value
    }

    #[inline]
    fn flip(self, marks: Self) -> Self {
        Self::from_bits(self.to_bits() ^ (marks.to_bits() << 63))
    }

    #[inline]
    fn root(self) -> Self {
        if self > 0.0 { self.sqrt() } else { 0.0 }
    }
}

/// Two numbers side by side.
#[derive(Debug, Clone, Copy)]
pub struct Pair(raw::Raw);

impl Pair {
    /// Two numbers.
    #[must_use]
    #[inline]
    pub fn new(first: f64, second: f64) -> Self {
        Self(raw::new(first, second))
    }

    /// Both numbers.
    #[must_use]
    #[inline]
    pub fn both(self) -> [f64; 2] {
        raw::both(self.0)
    }

    /// The two numbers with their places exchanged.
    #[must_use]
    #[inline]
    pub fn swap(self) -> Self {
        Self(raw::swap(self.0))
    }

    /// The larger absolute value of the two.
    #[must_use]
    #[inline]
    pub fn size(self) -> f64 {
        let [a, b] = self.both();
        a.abs().max(b.abs())
    }

    /// Sum of the two.
    #[must_use]
    #[inline]
    pub fn sum(self) -> f64 {
        let [a, b] = self.both();
        a + b
    }
}

impl Lane for Pair {
    #[inline]
    fn splat(value: f64) -> Self {
        Self(raw::splat(value))
    }

    #[inline]
    fn flip(self, marks: Self) -> Self {
        Self(raw::flip(self.0, marks.0))
    }

    #[inline]
    fn root(self) -> Self {
        Self(raw::root(self.0))
    }
}

impl Add for Pair {
    type Output = Self;
    #[inline]
    fn add(self, other: Self) -> Self {
        Self(raw::add(self.0, other.0))
    }
}

impl AddAssign for Pair {
    #[inline]
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl Sub for Pair {
    type Output = Self;
    #[inline]
    fn sub(self, other: Self) -> Self {
        Self(raw::sub(self.0, other.0))
    }
}

impl Mul for Pair {
    type Output = Self;
    #[inline]
    fn mul(self, other: Self) -> Self {
        Self(raw::mul(self.0, other.0))
    }
}

impl Mul<f64> for Pair {
    type Output = Self;
    #[inline]
    fn mul(self, factor: f64) -> Self {
        self * Self::splat(factor)
    }
}

impl Neg for Pair {
    type Output = Self;
    #[inline]
    fn neg(self) -> Self {
        // A product, so that the sign of a zero is the same everywhere.
        self * -1.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn roots_are_rounded_once_and_none_is_of_a_negative_number() {
        for (first, second) in [(2.0, 0.25), (0.0, -0.0), (-1.0, 1e-310), (3.7e300, -1e-17)] {
            let roots = Pair::new(first, second).root().both();
            assert_eq!(
                roots.map(f64::to_bits),
                [first, second].map(|x| Lane::root(x).to_bits())
            );
            assert_eq!(
                roots.map(f64::to_bits),
                [first, second].map(|x: f64| if x > 0.0 { x.sqrt() } else { 0.0 }.to_bits())
            );
        }
    }
}
