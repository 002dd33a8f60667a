//! A recorded curve: that of a set-up, with the noise of an instrument on every point. The noise is
//! normal and independent from point to point. It follows from the set-up's numbers and a seed, so
//! that the same device gives the same record on every machine, and another device another one.

use sha2::{Digest as _, Sha256};

use super::seek::in_unit;
use super::{ExperimentError, Setup, SetupError, run};
use crate::numerics::elementary::{cos, log};
use crate::numerics::splitmix::SplitMix64;
use crate::spelling;

/// A column at places `x` (in the SI unit of x), as an instrument records it: in the column's SI unit,
/// with noise of that standard deviation (as written, with its unit).
///
/// # Errors
/// When the set-up cannot be run there, has no such column, or the noise is in a unit of another kind.
pub fn record(
    setup: &Setup,
    column: &str,
    x: &[f64],
    noise: &str,
    seed: &str,
) -> Result<Vec<f64>, ExperimentError> {
    let deviation = deviation(setup, column, noise)?;
    let mut dice = dice_of(setup, column, seed);
    let trace = run(setup, x)?;
    let values = &trace
        .column(column)
        .ok_or_else(|| no_column(setup, column))?
        .values;
    Ok(values
        .iter()
        .map(|value| value + deviation * normal(&mut dice))
        .collect())
}

/// The standard deviation of a record's noise, in the column's SI unit.
///
/// # Errors
/// When there is no such column, or the text is not a quantity of its kind.
pub fn deviation(setup: &Setup, column: &str, noise: &str) -> Result<f64, ExperimentError> {
    let unit = setup
        .description()
        .column(column)
        .ok_or_else(|| no_column(setup, column))?
        .unit;
    in_unit("the noise", unit, noise)
}

fn no_column(setup: &Setup, column: &str) -> ExperimentError {
    let known = setup.description().columns.iter().map(|known| known.name);
    ExperimentError::Setup(SetupError::UnknownColumn {
        kind: setup.description().kind,
        column: column.to_owned(),
        mend: spelling::mend(column, known),
    })
}

/// Dice that the values of the set-up's numbers start, however they were written.
fn dice_of(setup: &Setup, column: &str, seed: &str) -> SplitMix64 {
    let mut digest = Sha256::new();
    let mut add = |bytes: &[u8]| {
        digest.update(bytes);
        digest.update(b"|");
    };
    add(setup.description().kind.as_bytes());
    for parameter in setup.description().parameters {
        if let Some(value) = setup.get_si(parameter.name) {
            add(parameter.name.as_bytes());
            add(&value.to_bits().to_be_bytes());
        }
    }
    add(column.as_bytes());
    add(seed.as_bytes());
    SplitMix64::of_digest(&digest.finalize())
}

/// A number of the standard normal distribution, by the transformation of Box and Muller (1958; from
/// memory), which wants two even ones.
fn normal(dice: &mut SplitMix64) -> f64 {
    // Above zero, so that its logarithm is finite.
    let radius = ((dice.draw() >> 11) + 1) as f64 / (1_u64 << 53) as f64;
    let turn = (dice.draw() >> 11) as f64 / (1_u64 << 53) as f64;
    (-2.0 * log(radius)).sqrt() * cos(std::f64::consts::TAU * turn)
}

#[cfg(test)]
mod tests {
    use super::{SplitMix64, normal, record};
    use crate::experiment::{ExperimentError, Setup, run};

    fn pair(area: &str) -> Result<Setup, ExperimentError> {
        let mut setup = Setup::new("junction-pair")?;
        setup.set("loop-area", area)?;
        Ok(setup)
    }

    /// Moments of the normal distribution: 0, 1, 0, 3. Each may be off by five of its own standard
    /// deviations, of which the variances are 1, 2, 15 and 96 over the count (from memory).
    #[test]
    fn the_noise_is_normal() {
        let count = 200_000;
        let mut dice = SplitMix64::new(3);
        let mut sums = [0.0; 4];
        let mut within_one = 0;
        for _ in 0..count {
            let value = normal(&mut dice);
            within_one += u32::from(value.abs() < 1.0);
            let mut power = 1.0;
            for sum in &mut sums {
                power *= value;
                *sum += power;
            }
        }
        let whole = f64::from(count);
        for (sum, (wanted, variance)) in
            sums.iter()
                .zip([(0.0, 1.0), (1.0, 2.0), (0.0, 15.0), (3.0, 96.0_f64)])
        {
            let room = 5.0 * (variance / whole).sqrt();
            assert!((sum / whole - wanted).abs() < room, "{sum} for {wanted}");
        }
        // 0.6827 of all lie within one deviation.
        let room = 5.0 * (0.6827_f64 * 0.3173 / whole).sqrt();
        assert!((f64::from(within_one) / whole - 0.6827).abs() < room);
    }

    #[test]
    fn a_record_is_the_curve_and_the_noise_and_the_same_each_time() -> Result<(), ExperimentError> {
        let x: Vec<f64> = (0..400).map(|k| f64::from(k) * 1e-7).collect();
        let setup = pair("200 um^2")?;
        let noise = |setup: &Setup, noise: &str, seed: &str| -> Result<Vec<f64>, ExperimentError> {
            let trace = run(setup, &x)?;
            let curve = trace
                .column("critical-current")
                .map(|column| column.values.clone());
            let recorded = record(setup, "critical-current", &x, noise, seed)?;
            Ok(recorded
                .iter()
                .zip(curve.unwrap_or_default())
                .map(|(one, other)| one - other)
                .collect())
        };
        let small = noise(&setup, "0.5 uA", "")?;
        let large = noise(&setup, "5 uA", "")?;
        assert_eq!(small.len(), x.len());
        // The same dice, ten times as large.
        assert!(
            small
                .iter()
                .zip(&large)
                .all(|(one, ten)| (10.0 * one - ten).abs() < 1e-15)
        );
        // Written otherwise, it is the same device.
        assert_eq!(small, noise(&pair("200 \u{B5}m\u{B2}")?, "500 nA", "")?);
        // Another device, or another seed, has noise of its own.
        for other in [
            noise(&pair("201 um^2")?, "0.5 uA", "")?,
            noise(&setup, "0.5 uA", "b")?,
        ] {
            let alike: f64 = small
                .iter()
                .zip(&other)
                .map(|(one, other)| one * other)
                .sum();
            let room = 5.0 * 0.25e-12 * (x.len() as f64).sqrt();
            assert!(alike.abs() < room, "{alike} against {room}");
        }
        assert!(record(&setup, "critical-current", &x, "5 mT", "").is_err());
        assert!(record(&setup, "voltage", &x, "5 uA", "").is_err());
        Ok(())
    }
}
