//! A small generator of whole numbers with a name, so that the same seed draws the same numbers
//! on every machine and for good: `SplitMix64` (Steele, Lea and Flood, OOPSLA 2014).

/// `SplitMix64`: a counter and a mixing step. Good enough to draw, shuffle and seed; not for
/// secrets.
#[derive(Debug, Clone)]
pub struct SplitMix64 {
    state: u64,
}

impl SplitMix64 {
    /// A generator that starts from a seed.
    #[must_use]
    pub const fn new(seed: u64) -> Self {
        Self { state: seed }
    }

    /// A generator that a digest starts: its first eight bytes, the most significant first.
    #[must_use]
    pub fn of_digest(digest: &[u8]) -> Self {
        let first = digest.iter().take(8);
        Self::new(first.fold(0, |state, &byte| (state << 8) | u64::from(byte)))
    }

    /// The next number.
    pub fn draw(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A place from 0 to `count` less one, each as likely as the others to one part in 2^58 for
    /// up to 64 places; 0 when there is none.
    pub fn below(&mut self, count: usize) -> usize {
        ((u128::from(self.draw()) * count as u128) >> 64) as usize
    }
}

#[cfg(test)]
mod tests {
    use super::SplitMix64;

    #[test]
    fn it_draws_the_numbers_that_others_draw() {
        // The first outputs for the seed 1234567, as printed by other implementations (from
        // memory).
        let mut generator = SplitMix64::new(1_234_567);
        let drawn: Vec<u64> = (0..5).map(|_| generator.draw()).collect();
        assert_eq!(
            drawn,
            [
                6_457_827_717_110_365_317,
                3_203_168_211_198_807_973,
                9_817_491_932_198_370_423,
                4_593_380_528_125_082_431,
                16_408_922_859_458_223_821,
            ]
        );
    }

    #[test]
    fn places_come_out_evenly() {
        let mut generator = SplitMix64::new(7);
        let mut counts = [0_u32; 5];
        for _ in 0..50_000 {
            counts[generator.below(5)] += 1;
        }
        // Five standard deviations of a binomial count: 5 sqrt(50000 * 0.2 * 0.8) = 447.
        assert!(
            counts.iter().all(|count| count.abs_diff(10_000) < 447),
            "{counts:?}"
        );
        assert_eq!(generator.below(0), 0);
    }
}
