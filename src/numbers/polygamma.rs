//! The trigamma function and its inverse, which the prior of many variances is fitted with.
//! The digamma function is the library's: see `moderated`.

/// The asymptotic series hold to 1e-16 from here on; below, the recurrence climbs up to it.
const SERIES_FROM: f64 = 12.0;

/// Newton's steps for the inverse end when one moves its value by less than this share.
const STEP: f64 = 1e-12;

/// Newton's steps from [`inverse_trigamma`]'s start are fewer than this: each at least
/// doubles the digits.
const MOST_STEPS: usize = 50;

/// The second derivative of the logarithm of the gamma function at `x`, which has no unit;
/// plus infinity at 0, NaN below 0 and at NaN.
///
/// ```text
/// psi'(x) = psi'(x + 1) + 1/x^2                                       up to x >= 12, then
/// psi'(x) = 1/x + 1/(2 x^2) + sum over k of B(2k) / x^(2k + 1)        k = 1 to 7
/// ```
///
/// `B` are Bernoulli's numbers. Source: Abramowitz and Stegun (1964), 6.4.6 and 6.4.12.
pub fn trigamma(x: f64) -> f64 {
    if x < 0.0 || x.is_nan() {
        return f64::NAN;
    }
    let mut at = x;
    let mut climbed = 0.0;
    while at < SERIES_FROM {
        climbed += 1.0 / (at * at);
        at += 1.0;
    }
    let square = 1.0 / (at * at);
    let tail = [
        7.0 / 6.0,
        -691.0 / 2730.0,
        5.0 / 66.0,
        -1.0 / 30.0,
        1.0 / 42.0,
        -1.0 / 30.0,
        1.0 / 6.0,
    ]
    .into_iter()
    .fold(0.0, |sum, bernoulli| (sum + bernoulli) * square);
    climbed + (1.0 + tail) / at + square / 2.0
}

/// The third derivative of the logarithm of the gamma function at `x` above 0: the slope of
/// [`trigamma`], always negative.
fn tetragamma(x: f64) -> f64 {
    let mut at = x;
    let mut climbed = 0.0;
    while at < SERIES_FROM {
        climbed -= 2.0 / (at * at * at);
        at += 1.0;
    }
    let square = 1.0 / (at * at);
    // The series of `trigamma`, differentiated term by term.
    let tail = [
        -7.0 / 6.0 * 15.0,
        691.0 / 2730.0 * 13.0,
        -5.0 / 66.0 * 11.0,
        1.0 / 30.0 * 9.0,
        -1.0 / 42.0 * 7.0,
        1.0 / 30.0 * 5.0,
        -1.0 / 6.0 * 3.0,
    ]
    .into_iter()
    .fold(0.0, |sum, term| (sum + term) * square);
    climbed + square * (tail - 1.0) - square / at
}

/// The `y` at which [`trigamma`] is `x`; `None` unless `x` is above 0 and finite.
///
/// ```text
/// y = 0.5 + 1/x;  repeat T = psi'(y), d = T (1 - T/x) / psi''(y), y = y + d  until -d/y < 1e-12
/// x > 1e7: 1 / sqrt x;   x < 1e-6: 1/x
/// ```
///
/// Newton's method on 1/psi', which is nearly a straight line, so it closes in from one side.
/// Source: Smyth (2004), Stat. Appl. Genet. Mol. Biol. 3:3, appendix.
pub fn inverse_trigamma(x: f64) -> Option<f64> {
    if !(x > 0.0 && x.is_finite()) {
        return None;
    }
    if x > 1e7 {
        return Some(1.0 / x.sqrt());
    }
    if x < 1e-6 {
        return Some(1.0 / x);
    }
    let mut y = 0.5 + 1.0 / x;
    for _ in 0..MOST_STEPS {
        let here = trigamma(y);
        let step = here * (1.0 - here / x) / tetragamma(y);
        y += step;
        if -step / y < STEP {
            break;
        }
    }
    Some(y)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    const RELATIVE: f64 = 1e-14;

    fn close(got: f64, want: f64, relative: f64) {
        assert!(
            (got - want).abs() <= relative * want.abs(),
            "{got:e} is not {want:e}"
        );
    }

    // The first two by formula, 6.4.2 of Abramowitz and Stegun; the others to 40 digits with
    // mpmath 1.3: psi(1, x).
    #[test]
    fn trigamma_agrees_with_known_values() {
        for (x, want) in [
            (1.0, PI * PI / 6.0),
            (0.5, PI * PI / 2.0),
            (0.01, 10001.621213528313),
            (3.7, 0.3100378576700383),
            (12.0, 0.08690187287176839),
            (1000.0, 0.0010005001666666333),
        ] {
            close(trigamma(x), want, RELATIVE);
        }
    }

    #[test]
    fn trigamma_is_infinite_at_zero_and_undefined_below() {
        assert_eq!(trigamma(0.0), f64::INFINITY);
        assert!(trigamma(-0.5).is_nan());
        assert!(trigamma(f64::NAN).is_nan());
    }

    // mpmath 1.3: psi(2, x).
    #[test]
    fn the_slope_agrees_with_forty_digits() {
        for (x, want) in [
            (0.5, -16.82879664423432),
            (1.0, -2.4041138063191886),
            (12.0, -0.007547205368998912),
            (40.0, -0.0006408202718352986),
        ] {
            close(tetragamma(x), want, RELATIVE);
        }
    }

    #[test]
    fn the_inverse_undoes_the_function() {
        for y in [1e-3, 0.02, 0.4961687, 1.0, 7.0, 300.0, 9e5] {
            close(inverse_trigamma(trigamma(y)).expect("above 0"), y, 1e-10);
        }
    }

    #[test]
    fn only_what_is_above_zero_has_an_inverse() {
        for x in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(inverse_trigamma(x), None);
        }
    }

    /// Far out the function is 1 / y^2 near nought and 1 / y far from it, but for parts in millions.
    #[test]
    fn the_far_ends_of_the_inverse_undo_the_function_too() {
        for x in [1.1e7, 3e12, 1e300, 9e-7, 1e-9] {
            let y = inverse_trigamma(x).expect("above 0");
            assert!((trigamma(y) / x - 1.0).abs() < 1e-6, "{x}: {y}");
        }
    }
}
