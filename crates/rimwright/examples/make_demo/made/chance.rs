//! Numbers that look like chance and are the same on every machine.

/// A counter, stirred (Steele, Lea and Flood 2014, "Fast splittable pseudorandom number generators", `SplitMix64`).
pub(crate) struct Chance(u64);

impl Chance {
    /// A row of numbers that belongs to this name, whatever else is made beside it.
    pub(crate) fn of(name: &str) -> Self {
        // Fowler, Noll and Vo's hash of the name, 64 bits.
        Self(name.bytes().fold(0xcbf2_9ce4_8422_2325, |h, b| (h ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3)))
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// In [0, 1).
    pub(crate) fn share(&mut self) -> f64 {
        // 53 bits: what an f64 holds.
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// A whole number below `n`.
    pub(crate) fn below(&mut self, n: u32) -> u32 {
        (self.share() * f64::from(n)) as u32
    }

    /// Yes, so often.
    pub(crate) fn happens(&mut self, often: f64) -> bool {
        self.share() < often
    }

    /// Normal enough for noise: the sum of twelve, mean 0, rms 1.
    pub(crate) fn noise(&mut self) -> f64 {
        (0..12).fold(-6.0, |sum, _| sum + self.share())
    }
}
