//! The random kicks of the paths, from xoshiro256++ (D. Blackman and S. Vigna, ACM Trans. Math. Softw. 47, 36 (2021),
//! from memory), its state filled by `SplitMix64`: whole numbers alone, so that every machine draws the same.

use crate::numerics::lanes::Pair;
use crate::numerics::splitmix::SplitMix64;

/// A source of kicks.
#[derive(Debug, Clone)]
pub(super) struct Random {
    state: [u64; 4],
    size: f64,
}

impl Random {
    /// Kicks of 0 and ± `size`, which is √3 standard deviations.
    pub(super) fn new(seed: u64, size: f64) -> Self {
        let mut seeds = SplitMix64::new(seed);
        let state = core::array::from_fn(|_| seeds.draw());
        Self { state, size }
    }

    #[inline]
    fn word(&mut self) -> u64 {
        let [a, b, c, d] = self.state;
        let result = a.wrapping_add(d).rotate_left(23).wrapping_add(a);
        let (mut c, mut d) = (c ^ a, d ^ b);
        let b_next = b ^ c;
        let a_next = a ^ d;
        c ^= b << 17;
        d = d.rotate_left(45);
        self.state = [a_next, b_next, c, d];
        result
    }

    /// One kick for each junction of two paths.
    #[inline]
    pub(super) fn kicks(&mut self) -> [Pair; 2] {
        let (one, two) = (self.word(), self.word());
        [
            Pair::new(self.kick(one >> 32), self.kick(two >> 32)),
            Pair::new(self.kick(one & 0xffff_ffff), self.kick(two & 0xffff_ffff)),
        ]
    }

    /// A sixth of all words of 32 bits kick up, a sixth kick down.
    #[inline]
    fn kick(&self, word: u64) -> f64 {
        let sixth = (word * 6) >> 32;
        let sign = f64::from(u8::from(sixth == 0)) - f64::from(u8::from(sixth == 5));
        sign * self.size
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kicks_have_the_moments_of_noise() {
        let mut random = Random::new(1, 3.0_f64.sqrt());
        let n = 400_000;
        let (mut first, mut second, mut fourth, mut product) = (0.0, 0.0, 0.0, 0.0);
        for _ in 0..n {
            let [x, y] = random.kicks().map(|kick| kick.both()[0]);
            first += x;
            second += x * x;
            fourth += x * x * x * x;
            product += x * y;
        }
        let n = f64::from(n);
        assert!((first / n).abs() < 0.007 && (product / n).abs() < 0.007);
        assert!((second / n - 1.0).abs() < 0.01);
        assert!((fourth / n - 3.0).abs() < 0.03);
    }
}
