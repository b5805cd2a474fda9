//! Chance that is the same on every run and every machine of a kind. It knows nothing of jobs.

/// SplitMix64 (Steele, Lea and Flood 2014), with draws of the shapes that are needed here.
pub struct Dice {
    pub state: u64,
}

impl Dice {
    pub fn new(seed: u64) -> Dice {
        Dice { state: seed }
    }

    pub fn next(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.state ^ (self.state >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// 0 up to but not `end`; `end` is not 0. The upper half of a product, so no remainder favours small numbers.
    pub fn below(&mut self, end: u64) -> u64 {
        ((u128::from(self.next()) * u128::from(end)) >> 64) as u64
    }

    /// `low` to `high`, both in it.
    pub fn between(&mut self, low: u32, high: u32) -> u32 {
        low + self.below(u64::from(high - low) + 1) as u32
    }

    pub fn chance(&mut self, percent: u64) -> bool {
        self.below(100) < percent
    }

    pub fn pick<T: Copy>(&mut self, list: &[T]) -> T {
        list[self.below(list.len() as u64) as usize]
    }

    /// A standard normal, by Box and Muller (1958). The first number is over nought, or its logarithm would not be one.
    pub fn normal(&mut self) -> f64 {
        let unit = 1.0 / (1u64 << 53) as f64;
        let first = ((self.next() >> 11) + 1) as f64 * unit;
        let second = (self.next() >> 11) as f64 * unit;
        (-2.0 * first.ln()).sqrt() * (std::f64::consts::TAU * second).cos()
    }
}
