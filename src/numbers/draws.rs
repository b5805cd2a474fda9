//! Random numbers that come out the same on every machine: a counter-based generator, and
//! normal and chi-square draws from it. Knows nothing of what is drawn.

use chacha20::ChaCha8Rng;
use chacha20::rand_core::{Rng, SeedableRng};
use std::f64::consts::PI;

/// Draws from a seed, always in the same order.
///
/// The generator is ChaCha with 8 rounds, keyed by the seed's 8 bytes (least first) and 24
/// of zero. Logarithm, exponential, sine and cosine are those of the `libm` crate: the
/// machine's own differ in the last digit.
pub(super) struct Draws {
    generator: ChaCha8Rng,
    spare: Option<f64>,
}

impl Draws {
    pub(super) fn from_seed(seed: u64) -> Self {
        let mut key = [0; 32];
        key[..8].copy_from_slice(&seed.to_le_bytes());
        Self {
            generator: ChaCha8Rng::from_seed(key),
            spare: None,
        }
    }

    /// Evenly between 0 and 1, never either: the middles of 2^53 equal steps.
    fn even(&mut self) -> f64 {
        const STEP: f64 = 1.0 / (1_u64 << 53) as f64;
        ((self.generator.next_u64() >> 11) as f64 + 0.5) * STEP
    }

    /// A standard normal draw. Source: Box and Muller (1958), Ann. Math. Stat. 29.
    pub(super) fn normal(&mut self) -> f64 {
        if let Some(spare) = self.spare.take() {
            return spare;
        }
        let radius = (-2.0 * libm::log(self.even())).sqrt();
        let angle = 2.0 * PI * self.even();
        self.spare = Some(radius * libm::sin(angle));
        radius * libm::cos(angle)
    }

    /// A chi-square draw of `dof` degrees of freedom, above 0 and finite.
    ///
    /// Source: Marsaglia and Tsang (2000), ACM TOMS 26: a gamma of shape `dof / 2`, doubled;
    /// below 2 degrees of freedom that of two more, brought down by a power of an even draw.
    pub(super) fn chi_square(&mut self, dof: f64) -> f64 {
        let shape = dof / 2.0;
        if shape < 1.0 {
            let down = libm::exp(libm::log(self.even()) / shape);
            return self.chi_square(dof + 2.0) * down;
        }
        let d = shape - 1.0 / 3.0;
        let c = 1.0 / (9.0 * d).sqrt();
        loop {
            let x = self.normal();
            let root = 1.0 + c * x;
            if root <= 0.0 {
                continue;
            }
            let v = root * root * root;
            let below = libm::log(self.even());
            if below < 0.5 * x * x + d * (1.0 - v + libm::log(v)) {
                return 2.0 * d * v;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Mean and variance of many draws.
    fn moments(count: usize, mut draw: impl FnMut() -> f64) -> (f64, f64) {
        let all: Vec<f64> = (0..count).map(|_| draw()).collect();
        let mean = all.iter().sum::<f64>() / count as f64;
        let squares: f64 = all.iter().map(|x| (x - mean).powi(2)).sum();
        (mean, squares / count as f64)
    }

    #[test]
    fn the_same_seed_draws_the_same_numbers() {
        let first = |seed| Draws::from_seed(seed).normal();
        assert_eq!(first(7), first(7));
        assert_ne!(first(7), first(8));
    }

    #[test]
    fn normal_draws_have_mean_nought_and_variance_one() {
        let mut draws = Draws::from_seed(1);
        let (mean, variance) = moments(100_000, || draws.normal());
        // Five standard errors.
        assert!(mean.abs() < 5.0 / 100_000_f64.sqrt(), "{mean}");
        assert!((variance - 1.0).abs() < 5.0 * (2.0 / 100_000.0_f64).sqrt());
    }

    #[test]
    fn chi_square_draws_have_their_mean_and_variance() {
        for dof in [0.5, 0.7, 1.5, 2.3, 8.0, 60.0] {
            let mut draws = Draws::from_seed(2);
            let (mean, variance) = moments(100_000, || draws.chi_square(dof));
            let error = (2.0 * dof / 100_000.0).sqrt();
            assert!((mean - dof).abs() < 5.0 * error, "{dof}: {mean}");
            // The variance's own standard error, by the fourth moment.
            let error = 2.0 * dof * ((2.0 + 12.0 / dof) / 100_000.0).sqrt();
            assert!(
                (variance - 2.0 * dof).abs() < 5.0 * error,
                "{dof}: {variance}"
            );
        }
    }

    // Written down once from this generator, so that another version of a library can not
    // change a price unseen.
    #[test]
    fn the_first_draws_are_written_down() {
        let mut draws = Draws::from_seed(42);
        let got = [
            draws.even(),
            draws.normal(),
            draws.normal(),
            draws.chi_square(3.5),
        ];
        let written = [
            0.34825446854807635,
            -1.5815889197731627,
            0.06490323586645068,
            4.670730595775558,
        ];
        assert_eq!(got, written);
    }
}
