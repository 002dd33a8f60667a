//! Random paths against the stationary Fokker–Planck equation and against published closed forms.

use coldfringe::model::langevin::{Estimate, Langevin, Start};
use coldfringe::model::shunted_loop::ShuntedLoop;
use coldfringe::model::thermal::Thermal;

/// Within four standard errors, and the error itself small enough to tell.
fn agrees(found: Estimate, wanted: f64, precise: f64) {
    assert!(
        (found.value - wanted).abs() < 4.0 * found.error && found.error < precise,
        "{found:?} instead of {wanted}"
    );
}

fn run(device: &ShuntedLoop, bias: f64, flux: f64, gamma: f64, blocks: u32) -> Langevin {
    let mut paths = Langevin::new(device, bias, flux, gamma, Start::Rest, 11).unwrap();
    for _ in 0..blocks {
        paths.advance();
    }
    paths
}

#[test]
fn the_stationary_equation_is_met() {
    for (left, beta_l, gamma, bias, flux) in [
        (1.0, 1.0, 0.05, 2.0, 0.25),
        (1.0, 1.0, 0.05, 1.5, 0.5),
        (1.0, 0.2, 0.3, 1.2, 0.3),
        (1.3, 2.0, 0.1, 1.7, 0.1),
    ] {
        let device = ShuntedLoop::new(left, 2.0 - left, beta_l, 0.5, 0.0).unwrap();
        let exact = Thermal::new(&device, gamma)
            .unwrap()
            .solve(bias, flux)
            .unwrap();
        let paths = run(&device, bias, flux, gamma, 60);
        agrees(paths.voltage(), exact.voltage, 3e-3);
        agrees(paths.noise(), exact.noise, 0.1 * exact.noise);
    }
}

#[test]
fn one_junction_with_noise() {
    // Ambegaokar and Halperin, Phys. Rev. Lett. 22, 1364 (1969) (from memory), in closed form: at
    // Γ = 0.1 and i = 1, v = 0.368953245762. Two equal junctions in parallel without flux and
    // inductance are one of twice the current and half the Γ.
    let device = ShuntedLoop::symmetric(0.02).unwrap();
    agrees(run(&device, 2.0, 0.0, 0.2, 60).voltage(), 0.368_953_2, 4e-3);
}

#[test]
fn a_little_capacitance_changes_little() {
    let without = ShuntedLoop::new(1.0, 1.0, 1.0, 0.5, 0.0).unwrap();
    let with = ShuntedLoop::new(1.0, 1.0, 1.0, 0.5, 0.02).unwrap();
    let exact = Thermal::new(&without, 0.1)
        .unwrap()
        .solve(1.6, 0.25)
        .unwrap();
    let found = run(&with, 1.6, 0.25, 0.1, 12).voltage();
    assert!(
        (found.value - exact.voltage).abs() < 0.02,
        "{found:?} {exact:?}"
    );
}

#[test]
fn without_memory_of_its_start_where_noise_is_strong() {
    // β_c = 2 is hysteretic without noise; with strong noise both starts come to one voltage.
    let device = ShuntedLoop::new(1.0, 1.0, 0.5, 0.5, 2.0).unwrap();
    let run = |start| {
        let mut paths = Langevin::new(&device, 1.8, 0.0, 0.4, start, 5).unwrap();
        for _ in 0..30 {
            paths.advance();
        }
        paths.voltage()
    };
    let (rest, running) = (run(Start::Rest), run(Start::Running));
    let apart = (rest.value - running.value).abs();
    assert!(
        apart < 4.0 * (rest.error + running.error),
        "{rest:?} {running:?}"
    );
}

/// With little noise the voltage noise of one junction is r_d² (1 + (I0/I)²/2) times that of its shunt (K. K. Likharev and
/// V. K. Semenov, JETP Lett. 15, 442 (1972), from memory); without flux the loop is two junctions that move alike.
#[test]
fn little_noise_is_read_without_the_unevenness_of_slips() {
    let device = ShuntedLoop::symmetric(1.0).unwrap();
    for gamma in [0.002, 0.000_5] {
        for i in [1.2_f64, 1.5, 2.0] {
            let noise = run(&device, 2.0 * i, 0.0, gamma, 60).noise();
            let resistance = i / (i * i - 1.0).sqrt();
            let wanted = 2.0 * gamma * resistance * resistance * (1.0 + 0.5 / (i * i));
            agrees(noise, wanted, 0.1 * wanted);
        }
    }
}

/// What is stated as standard error is what different random numbers scatter by. With so little noise, paths that set out
/// together would still slip in step.
#[test]
fn the_standard_error_is_the_scatter_between_seeds() {
    let device = ShuntedLoop::symmetric(1.0).unwrap();
    for (gamma, bias) in [(0.000_1, 1.7), (0.001, 1.8), (0.05, 1.6)] {
        let found: Vec<(Estimate, Estimate)> = (0..24)
            .map(|seed| {
                let mut paths =
                    Langevin::new(&device, bias, 0.3, gamma, Start::Rest, 100 + seed).unwrap();
                for _ in 0..14 {
                    paths.advance();
                }
                (paths.voltage(), paths.noise())
            })
            .collect();
        let ratio = |read: fn(&(Estimate, Estimate)) -> Estimate| {
            let count = found.len() as f64;
            let mean = found.iter().map(|each| read(each).value).sum::<f64>() / count;
            let off = |each| read(each).value - mean;
            let scatter = found.iter().map(|each| off(each) * off(each)).sum::<f64>();
            let stated = found
                .iter()
                .map(|each| read(each).error * read(each).error)
                .sum::<f64>();
            scatter * count / ((count - 1.0) * stated)
        };
        // χ² of 23 degrees of freedom: 0.33 to 2.2 but for once in a thousand times each.
        let (voltage, noise) = (ratio(|each| each.0), ratio(|each| each.1));
        assert!(
            (0.33..2.2).contains(&voltage),
            "{gamma} {bias}: voltage {voltage}"
        );
        assert!(
            (0.33..2.2).contains(&noise),
            "{gamma} {bias}: noise {noise}"
        );
    }
}

/// A loop that is not seen to slip may still do so: the error says how often.
#[test]
fn no_slip_seen_is_not_no_slip() {
    let device = ShuntedLoop::symmetric(1.0).unwrap();
    let paths = run(&device, 1.2, 0.0, 0.02, 10);
    let (voltage, noise) = (paths.voltage(), paths.noise());
    // Eight paths, eight changes between nine blocks of 200.
    let slip = core::f64::consts::TAU / (8.0 * 8.0 * 200.0);
    assert!(
        voltage.value.abs() < slip && voltage.error > 0.9 * slip,
        "{voltage:?}"
    );
    assert!(noise.error > noise.value, "{noise:?}");
}
