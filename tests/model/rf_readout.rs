//! The tank beside a loop with one junction: against theory, against single cycles followed in small steps, and
//! against the whole dynamics of tank and resistive junction.

use coldfringe::model::rf_loop::RfLoop;
use coldfringe::model::rf_readout::Readout;
use coldfringe::numerics::elementary::{bessel_j1, cos, hypot, sin, sin_cos};
use core::f64::consts::{FRAC_PI_4, PI, TAU};
use proptest::prelude::*;

fn readout(beta: f64, coupling: f64, detuning: f64) -> Readout {
    Readout::new(RfLoop::new(beta).unwrap(), coupling, detuning).unwrap()
}

/// Numbers from 0 to 1 that scatter, the same for the same seed.
fn shares(seed: u64) -> impl FnMut() -> f64 {
    let mut state = seed;
    move || {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        f64::from((state >> 32) as u32) / f64::from(u32::MAX)
    }
}

/// One cycle in small steps: follows branches, jumps at their ends, and takes the first harmonic of what is
/// screened by sums over the cycle.
fn followed(device: &RfLoop, flux: f64, amplitude: f64) -> (f64, f64) {
    const STEPS: u32 = 40_000;
    let mut quanta = (flux - 0.5).ceil();
    let (mut in_phase, mut quadrature) = (0.0, 0.0);
    for step in 0..3 * STEPS {
        let (sine, cosine) = sin_cos(TAU * (f64::from(step) + 0.5) / f64::from(STEPS));
        let applied = flux + amplitude * cosine;
        while device.is_hysteretic() && applied > quanta + device.reach() {
            quanta += 1.0;
        }
        while device.is_hysteretic() && applied < quanta - device.reach() {
            quanta -= 1.0;
        }
        let total = if device.is_hysteretic() {
            device.state(quanta, applied).flux
        } else {
            device.lowest(applied).flux
        };
        if step >= STEPS {
            // Two cycles count: twice the mean of what swings with the cosine, and with the sine.
            in_phase += (applied - total) * cosine / f64::from(STEPS);
            quadrature -= (applied - total) * sine / f64::from(STEPS);
        }
    }
    (in_phase, quadrature)
}

#[test]
fn the_answer_is_that_of_a_cycle_followed_step_by_step() {
    for (beta, flux, amplitude, loops) in [
        (0.5, 0.0, 0.3, 0),
        (0.9, 0.35, 2.4, 0),
        (2.0, 0.0, 0.5, 0),
        (2.0, 0.4, 0.2, 0),
        (2.0, 0.5, 0.35, 1),
        (2.0, 0.25, 0.6, 1),
        (2.0, 0.1, 0.9, 2),
        (2.0, 0.5, 1.3, 3),
        (2.0, 0.3, 3.2, 6),
        (6.0, 0.2, 1.3, 1),
        (6.0, 0.0, 4.4, 8),
    ] {
        let readout = readout(beta, 1.0, 0.0);
        let answer = readout.answer(flux, amplitude, loops);
        let (in_phase, quadrature) = followed(readout.device(), flux, amplitude);
        // The followed cycle is good to one step of the phase at each jump.
        let close = 2e-4 * (1.0 + f64::from(loops)).sqrt() + 1e-6;
        assert!(
            (answer.in_phase - in_phase).abs() < close,
            "{beta} {flux} {amplitude}: {answer:?} {in_phase}"
        );
        assert!(
            (answer.quadrature - quadrature).abs() < close,
            "{beta} {flux} {amplitude}: {answer:?} {quadrature}"
        );
    }
}

#[test]
fn a_little_screening_answers_with_a_bessel_function() {
    // To first order in beta, the first harmonic of sin 2 pi(f + a cos) is 2 J1(2 pi a) cos 2 pi f (Jacobi and Anger).
    let beta = 1e-5;
    let readout = readout(beta, 1.0, 0.0);
    for flux in [0.0, 0.1, 0.25, 0.5] {
        for amplitude in [0.05, 0.3, 1.0, 2.7] {
            let expected = beta / PI * bessel_j1(TAU * amplitude) * cos(TAU * flux);
            let found = readout.answer(flux, amplitude, 0).in_phase;
            assert!(
                (found - expected).abs() < 1e-9,
                "{flux} {amplitude}: {found} {expected}"
            );
        }
    }
}

#[test]
fn steps_are_a_quantum_apart_and_interleave_halfway() {
    // Steps at the same static flux are omega L_T Phi0/M apart in voltage, those of whole and half quanta lie half
    // that apart (Clarke's reviews, from memory): one and one half in this amplitude.
    let readout = readout(2.0, 3.0, -1.5);
    let steps = |flux: f64| -> Vec<f64> {
        let ladder = readout.ladder(flux, 0.0, 12.0);
        let mut steps: Vec<f64> = (0..6000)
            .map(|k| ladder.at(0.002 * f64::from(k)))
            .filter(|working| working.on_step)
            .map(|working| working.amplitude)
            .collect();
        steps.dedup_by(|one, other| (*one - *other).abs() < 1e-12);
        steps
    };
    let (whole, half) = (steps(0.0), steps(0.5));
    assert!(whole.len() > 3 && half.len() > 3, "{whole:?} {half:?}");
    for pair in whole.windows(2).chain(half.windows(2)) {
        assert!((pair[1] - pair[0] - 1.0).abs() < 1e-12, "{pair:?}");
    }
    assert!((whole[0] - readout.device().reach()).abs() < 1e-15);
    assert!((whole[0] - half[0] - 0.5).abs() < 1e-15);
}

#[test]
fn on_the_first_step_the_amplitude_is_a_triangle_in_flux() {
    let readout = readout(2.0, 3.0, -1.5);
    let (from, to) = readout.triangle().unwrap();
    assert!(from < 0.7 && to > 0.7, "{from} {to}");
    for k in -40..=40 {
        let flux = 0.05 * f64::from(k);
        let working = readout.at(flux, 0.7);
        let nearest = (flux - flux.round()).abs();
        let expected = readout.device().reach() - nearest;
        assert!(
            (working.amplitude - expected).abs() < 1e-12,
            "{flux}: {working:?}"
        );
        assert!(working.on_step && working.loops < 2.0);
    }
}

#[test]
fn large_loops_need_a_coupling_of_a_quarter_pi() {
    // K²Q >= pi/4 for steps that overlap (Clarke's reviews, from memory). It holds in the limit of large loops for a tank tuned
    // together with its loop, which up to the jump screens all: w² = w_T²/(1 - k²), so x = -k²Q.
    for (beta, near) in [(60.0, 0.12), (600.0, 0.04), (6000.0, 0.012)] {
        let margin = |coupling: f64| {
            let readout = readout(beta, coupling, -coupling);
            readout.first_step(0.5).unwrap().1 - readout.first_step(0.0).unwrap().0
        };
        let (mut low, mut high) = (0.1, 3.0);
        assert!(margin(low) < 0.0 && margin(high) > 0.0, "{beta}");
        for _ in 0..50 {
            let middle = 0.5 * (low + high);
            if margin(middle) < 0.0 {
                low = middle;
            } else {
                high = middle;
            }
        }
        assert!((low / FRAC_PI_4 - 1.0).abs() < near, "{beta}: {low}");
    }
}

#[test]
fn energy_from_the_source_is_what_tank_and_loop_lose() {
    // In units of Phi0²/(k²L) per cycle: the source gives pi d a/Q times the cosine of the phase, the tank loses pi a²/Q,
    // the loop `loops` times its energy. So d cos = a + k²Q s: the quadrature part of the balance.
    let (beta, coupling, detuning) = (3.0, 4.0, -1.0);
    let readout = readout(beta, coupling, detuning);
    let loss = 2.0 * readout.device().jump().unwrap().loss;
    for flux in [0.0, 0.2, 0.5] {
        let ladder = readout.ladder(flux, 0.0, 9.0);
        for k in 1..90 {
            let drive = 0.1 * f64::from(k);
            let working = ladder.at(drive);
            let out_of_phase = detuning * working.amplitude + coupling * working.answer.in_phase;
            let in_phase = (drive * drive - out_of_phase * out_of_phase).sqrt();
            // Energy of the loop per cycle in the same unit: loops * loss * I0 Phi0 k² L/Phi0² = k² beta/2 pi ...
            let per_cycle = working.loops * loss * beta / TAU;
            let given = PI * working.amplitude * in_phase;
            let taken = PI * working.amplitude * working.amplitude + coupling * per_cycle;
            // A drive at which the amplitude jumps on has no balance at the drive itself.
            if (given - taken).abs() > 1e-6 {
                panic!("{flux} {drive}: {given} {taken} {working:?}");
            }
        }
    }
}

#[test]
fn what_is_no_readout_is_refused() {
    let device = RfLoop::new(2.0).unwrap();
    for (coupling, detuning) in [
        (0.0, 0.0),
        (-1.0, 0.0),
        (f64::NAN, 0.0),
        (1.0, f64::INFINITY),
    ] {
        assert!(Readout::new(device, coupling, detuning).is_none());
    }
}

/// Tank and junction with all their dynamics, the junction with a resistance: the mean swing of the coil's flux
/// once settled. With g the coil's whole flux, a the part of its current, `lag` = w L/R:
/// g'' + g'/Q + a = (d/Q) cos, a (1 - k²) = g - k² (phi - f), lag phi' = f + a - phi - (beta/2 pi) sin 2 pi phi.
fn dynamics(
    beta: f64,
    k: f64,
    quality: f64,
    detuning: f64,
    flux: f64,
    drive: f64,
    lag: f64,
) -> f64 {
    let frequency = (1.0 - detuning / quality).sqrt();
    let steps_a_cycle = (TAU / frequency / (0.4 * lag)).ceil();
    let step = TAU / frequency / steps_a_cycle;
    let k2 = k * k;
    let coil = |state: [f64; 3]| (state[0] - k2 * (state[2] - flux)) / (1.0 - k2);
    let rate = |state: [f64; 3], force: f64| -> [f64; 3] {
        let a = coil(state);
        [
            state[1],
            force - state[1] / quality - a,
            (flux + a - state[2] - beta / TAU * sin(TAU * state[2])) / lag,
        ]
    };
    let moved = |state: [f64; 3], by: [f64; 3], share: f64| -> [f64; 3] {
        [
            state[0] + share * by[0],
            state[1] + share * by[1],
            state[2] + share * by[2],
        ]
    };
    let mut state = [0.0, 0.0, flux];
    let cycles = (2.5 * quality) as u32;
    let counted = cycles / 2;
    let mut sum = 0.0;
    for cycle in 0..cycles {
        let (mut with_cosine, mut with_sine) = (0.0, 0.0);
        // The drive is raised over the first cycles.
        let size = drive / quality * (f64::from(cycle) / (0.3 * quality)).min(1.0);
        for place in 0..steps_a_cycle as u32 {
            let time = step * f64::from(place);
            let force = |later: f64| size * cos(frequency * (time + later));
            let (start, middle, end) = (force(0.0), force(0.5 * step), force(step));
            let one = rate(state, start);
            let two = rate(moved(state, one, 0.5 * step), middle);
            let three = rate(moved(state, two, 0.5 * step), middle);
            let four = rate(moved(state, three, step), end);
            for (place, value) in state.iter_mut().enumerate() {
                *value +=
                    step / 6.0 * (one[place] + 2.0 * two[place] + 2.0 * three[place] + four[place]);
            }
            let (sine, cosine) = sin_cos(frequency * (time + step));
            with_cosine += coil(state) * cosine;
            with_sine += coil(state) * sine;
        }
        if cycle >= cycles - counted {
            sum += 2.0 / steps_a_cycle * (with_cosine * with_cosine + with_sine * with_sine).sqrt();
        }
    }
    sum / f64::from(counted)
}

#[test]
fn the_whole_dynamics_settles_where_the_balance_says() {
    // Weak coupling (the theory is its leading order) and a quick junction, whose lag still takes a hundredth. Between steps, with
    // and without hysteresis.
    for (beta, flux, drive) in [
        (0.6, 0.0, 0.4),
        (0.6, 0.5, 1.1),
        (2.0, 0.0, 0.45),
        (2.0, 0.0, 2.2),
    ] {
        let (k, quality, coupling) = (0.05, 400.0, 1.0);
        let expected = readout(beta, coupling, -0.4).at(flux, drive);
        let found = dynamics(beta, k, quality, -0.4, flux, drive, 0.004);
        assert!(!expected.on_step, "{expected:?}");
        assert!(
            (found / expected.amplitude - 1.0).abs() < 0.015,
            "{beta} {flux} {drive}: {found} {expected:?}"
        );
    }
}

#[test]
fn the_whole_dynamics_keeps_to_the_steps() {
    // On a step single cycles make a sawtooth below the threshold, which the theory leaves out, and the junction's lag
    // moves its jumps a little the other way: a hundredth or two here.
    let (k, quality, detuning) = (0.07, 400.0, -0.8);
    let coupling = k * k * quality;
    for (flux, drive) in [(0.0, 0.66), (0.2, 0.6), (0.35, 0.6)] {
        let expected = readout(2.0, coupling, detuning).at(flux, drive);
        let found = dynamics(2.0, k, quality, detuning, flux, drive, 0.006);
        assert!(expected.on_step, "{flux} {drive} {expected:?}");
        assert!(
            (found / expected.amplitude - 1.0).abs() < 0.02,
            "{flux} {drive}: {found} {expected:?}"
        );
    }
}

proptest! {
    #[test]
    fn any_readout_gives_a_state(beta in 0.0..40.0_f64, coupling in 0.001..30.0_f64, detuning in -30.0..30.0_f64, flux in -5.0..5.0_f64, drive in 0.0..20.0_f64) {
        let readout = readout(beta, coupling, detuning);
        let working = readout.at(flux, drive);
        prop_assert!(working.amplitude.is_finite() && working.amplitude >= 0.0);
        prop_assert!(working.amplitude <= drive * (1.0 + 1e-9) + 1e-9, "{working:?}");
        prop_assert!(working.answer.in_phase.is_finite() && working.answer.quadrature >= 0.0);
        // Period of one quantum, and mirror symmetry; a jump of the amplitude may fall between two roundings.
        let moved = readout.at(2.0 - flux, drive);
        prop_assert!((moved.amplitude - working.amplitude).abs() < 1e-6 || (readout.at(flux, drive * (1.0 + 1e-9)).amplitude - readout.at(flux, drive * (1.0 - 1e-9)).amplitude).abs() > 1e-3);
    }

    #[test]
    fn a_stronger_drive_never_gives_less(beta in 0.0..10.0_f64, coupling in 0.1..8.0_f64, tuned in 0.0..1.0_f64, flux in 0.0..0.5_f64) {
        let readout = readout(beta, coupling, -coupling * tuned);
        let ladder = readout.ladder(flux, 0.0, 8.0);
        let mut before = 0.0;
        for k in 0..=200 {
            let working = ladder.at(0.04 * f64::from(k));
            prop_assert!(working.amplitude >= before - 1e-9, "{k} {before} {working:?}");
            before = working.amplitude;
        }
    }
}

/// A drive raised slowly from nothing holds the least amplitude that needs so much of it. The amplitude is chosen
/// here and the drive it needs follows from the balance; no greater amplitude may then be told. (Of
/// 360,000 tried so two failed: the drive may rise and fall again within a few thousandths of a quantum.)
#[test]
fn no_amplitude_is_passed_over() {
    let mut share = shares(1);
    let mut asked = 0;
    for k in 0..240 {
        let beta = match k % 4 {
            0 => 10.0 * share(),
            1 => share(),
            2 => 0.8 + 0.4 * share(),
            _ => 1.0 + 2.0 * share(),
        };
        let coupling = 0.1 + 8.0 * share();
        let detuning = coupling * if k % 3 == 0 { share() } else { -share() };
        let flux = if k % 5 == 0 { 0.0 } else { 0.5 * share() };
        let readout = readout(beta, coupling, detuning);
        for _ in 0..20 {
            let amplitude = 6.0 * share();
            let mut loops = 0;
            while readout
                .step(loops, flux)
                .is_some_and(|step| step < amplitude)
            {
                loops += 1;
            }
            let answer = readout.answer(flux, amplitude, loops);
            let drive = hypot(
                detuning * amplitude + coupling * answer.in_phase,
                amplitude + coupling * answer.quadrature,
            );
            let alone = readout.at(flux, drive).amplitude;
            let among = readout.ladder(flux, 0.0, 1.3 * drive).at(drive).amplitude;
            asked += 1;
            assert!(
                alone <= amplitude + 1e-6 && among <= amplitude + 1e-6,
                "{beta} {coupling} {detuning} {flux}: {amplitude} suffices for {drive}, told {alone} and {among}"
            );
        }
    }
    assert_eq!(asked, 4800);
}

/// A curve over many fluxes searches at some and follows between them: each point is the one that its own search finds. (Of a
/// million tried so four differed, by a hundredth of a quantum, where the loop is at the verge of hysteresis.)
#[test]
fn a_curve_over_flux_has_the_amplitudes_that_single_searches_find() {
    let mut share = shares(9);
    // Fluxes that are rounded to themselves.
    let fluxes: Vec<f64> = (-128..=512).map(|k| f64::from(k) / 1024.0).collect();
    for k in 0..20 {
        let beta = if k % 2 == 0 { 8.0 } else { 1.2 } * share();
        let coupling = 0.1 + 8.0 * share();
        let readout = readout(beta, coupling, coupling * (2.0 * share() - 1.0));
        let drive = 6.0 * share();
        for (flux, amplitude) in fluxes.iter().zip(readout.amplitudes(&fluxes, drive)) {
            let searched = readout.at(*flux, drive).amplitude;
            assert!(
                (amplitude - searched).abs() < 1e-11,
                "{beta} {coupling} {drive} {flux}: {amplitude} {searched}"
            );
        }
    }
    assert!(readout(2.0, 3.0, -1.5).amplitudes(&[], 1.0).is_empty());
}
