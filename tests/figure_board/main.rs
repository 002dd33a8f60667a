#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]
//! Board pictures: directions agree with the sign conventions, and nothing that follows is in
//! them before it may be shown.

mod before;
mod loops;
mod phasors;
mod sensors;
mod sheets;

use std::f64::consts::{PI, TAU};

use coldfringe::experiment::{
    EnergyBranch, FeedbackLoop, Inside, OperatingPoint, Wire, WorkingPoint,
};
use coldfringe::figure::scene::{Anchor, Colour, Item, Scene, words_width};
use coldfringe::figure::{BoardOptions, BoardPicture, Theme, board};
use coldfringe::numerics::elementary::{cos, sin};
use coldfringe::quantity::show;

fn junction(flux: f64) -> Inside {
    let local_current: Vec<f64> = (0..=80)
        .map(|step| cos(TAU * flux * (f64::from(step) / 80.0 - 0.5)))
        .collect();
    let total = if flux == 0.0 {
        1.0
    } else {
        sin(PI * flux) / (PI * flux)
    };
    Inside::Junction {
        flux,
        density: vec![1.0; 2],
        local_current,
        total,
    }
}

fn phasors(count: u32, flux: f64) -> Inside {
    let middle = f64::from(count - 1) / 2.0;
    let phasors: Vec<(f64, f64)> = (0..count)
        .map(|index| {
            (
                1.0 / f64::from(count),
                TAU * flux * (f64::from(index) - middle),
            )
        })
        .collect();
    let x: f64 = phasors
        .iter()
        .map(|(length, angle)| length * cos(*angle))
        .sum();
    let y: f64 = phasors
        .iter()
        .map(|(length, angle)| length * sin(*angle))
        .sum();
    Inside::Phasors {
        flux,
        phasors,
        resultant: (x * x + y * y).sqrt(),
    }
}

fn ring(flux: f64, circulating: f64, at_limit: (f64, f64)) -> Inside {
    Inside::Loop {
        flux,
        total_flux: flux + 0.37 * circulating,
        circulating,
        circulating_simple: circulating,
        critical: 0.5 * (at_limit.0 + at_limit.1),
        at_limit,
        branches: (-2..=2)
            .map(|quanta| EnergyBranch {
                quanta,
                energy: (flux - f64::from(quanta)) * (flux - f64::from(quanta)),
            })
            .collect(),
        occupied: flux.round() as i32,
    }
}

fn one_junction(flux: f64, rising: f64, falling: f64) -> Inside {
    let energy = |total: f64| PI / 2.0 * (total - flux) * (total - flux) - cos(TAU * total) / TAU;
    Inside::RfLoop {
        flux,
        rising: (rising, energy(rising)),
        falling: (falling, energy(falling)),
        circulating_rising: -sin(TAU * rising),
        circulating_falling: -sin(TAU * falling),
        landscape: (-80..=80)
            .map(|step| flux + 0.02 * f64::from(step))
            .map(|total| (total, energy(total)))
            .collect(),
        curve: folded(flux),
    }
}

/// Total against applied flux of a loop with β_rf = 2: applied = total + (β/2π) sin 2π total. It turns where
/// cos 2π total = −1/2, a third of a quantum to each side of a whole one.
fn folded(flux: f64) -> Vec<(bool, Vec<(f64, f64)>)> {
    let first = (flux - 1.6).round();
    (0..4)
        .flat_map(|k| {
            let n = first + f64::from(k);
            [
                (n - 1.0 / 3.0, n + 1.0 / 3.0, true),
                (n + 1.0 / 3.0, n + 2.0 / 3.0, false),
            ]
        })
        .map(|(from, to, stable)| {
            let points = (0..=40)
                .map(|step| from + (to - from) * f64::from(step) / 40.0)
                .map(|total| (total + sin(TAU * total) / PI, total))
                .collect();
            (stable, points)
        })
        .collect()
}

fn tank(flux: f64, swing: f64) -> Inside {
    let curve: Vec<(f64, f64)> = (-80..=80)
        .map(|step| flux + 0.02 * f64::from(step))
        .map(|total| (total + sin(TAU * total) / PI, total))
        .collect();
    Inside::Tank {
        flux,
        drive: 40e-9,
        voltage: 21e-6,
        swing,
        loops: 0.5,
        on_step: true,
        path: vec![(flux - swing, flux - 0.3), (flux + swing, flux + 0.3)],
        curve: vec![(true, curve.clone()), (false, curve)],
    }
}

/// A loop of negligible inductance without noise: V = (R/2) sqrt(I² − Ic²), Ic = 2 I0 |cos πΦ/Φ0|.
fn operating(bias: f64, flux: f64) -> Inside {
    const AMPERES: f64 = 10e-6;
    let end: f64 = 1.6 * AMPERES.copysign(bias);
    let curve = |flux: f64| -> Vec<(f64, f64)> {
        let critical = AMPERES * cos(PI * flux).abs();
        (0..=160)
            .map(|k| end * f64::from(k) / 160.0)
            .map(|bias| {
                let above = (bias * bias - critical * critical).max(0.0);
                (bias, 3.0 * above.sqrt().copysign(bias))
            })
            .collect()
    };
    let critical = AMPERES * cos(PI * flux).abs();
    let above = (bias * bias - critical * critical).max(0.0);
    Inside::OperatingPoint(OperatingPoint {
        bias,
        flux,
        flux_moves: true,
        voltage: 3.0 * above.sqrt().copysign(bias),
        largest: AMPERES,
        resistance: 3.0,
        end,
        curve: curve(flux),
        whole: curve(0.0),
        half: curve(0.5),
        leaves_noise_out: false,
    })
}

/// Voltage 9 µV − 8 µV cos 2πΦ/Φ0, with even noise.
fn working(flux: f64, noise: f64) -> Inside {
    let voltage = |flux: f64| 9e-6 - 8e-6 * cos(TAU * flux);
    Inside::WorkingPoint(WorkingPoint {
        bias: 9e-6,
        flux,
        voltage: voltage(flux),
        transfer: 8e-6 * TAU * sin(TAU * flux),
        noise,
        noisiest: noise,
        curve: (0..=192)
            .map(|k| flux.floor() - 0.25 + f64::from(k) / 128.0)
            .map(|flux| (flux, voltage(flux)))
            .collect(),
    })
}

fn feedback(applied: f64, error: f64) -> Inside {
    let voltage = |flux: f64| 9e-6 - 8e-6 * cos(TAU * flux);
    Inside::FeedbackLoop(FeedbackLoop {
        time: 2.5e-4,
        working_flux: 0.25,
        applied,
        output: applied - error,
        error,
        voltage: voltage(0.25 + error),
        held: voltage(0.25),
        curve: (0..=192)
            .map(|k| (0.25 + error).floor() - 0.25 + f64::from(k) / 128.0)
            .map(|flux| (flux, voltage(flux)))
            .collect(),
    })
}

/// Two contacts of a wire in solder, carrying shares of left and right.
fn wire(flux: f64, left: f64) -> Inside {
    let right = 1.0 - left;
    let along = (left + right) * cos(PI * flux);
    let across = (left - right) * sin(PI * flux);
    let resultant = (along * along + across * across).sqrt();
    // Each phasor's part along the sum: (a · s)/|s|.
    let part = |share: f64, side: f64| {
        share * (cos(PI * flux) * along + side * sin(PI * flux) * across) / resultant
    };
    Inside::Wire(Wire {
        current: 32.5e-3 * flux,
        flux,
        field: 1.3e-4 * flux,
        spacing: 1e-4,
        depth: 2e-7,
        contacts: (part(left, 1.0), part(right, -1.0)),
        resultant,
    })
}

fn options(picture: BoardPicture, width: f64, theme: Theme, show_sum: bool) -> BoardOptions {
    BoardOptions {
        picture,
        width,
        height: width * 0.8,
        theme,
        show_sum,
    }
}

fn light(picture: BoardPicture, show_sum: bool) -> BoardOptions {
    options(picture, 480.0, Theme::light(), show_sum)
}

fn texts(scene: &Scene) -> Vec<String> {
    scene
        .words()
        .filter_map(|item| match item {
            Item::Words { text, .. } => Some(text.clone()),
            _ => None,
        })
        .collect()
}

fn lines(scene: &Scene, colour: Colour) -> Vec<Vec<(f64, f64)>> {
    scene
        .items
        .iter()
        .filter_map(|item| match item {
            Item::Line { points, ink } if ink.colour == colour => Some(points.clone()),
            _ => None,
        })
        .collect()
}

const PICTURES: [BoardPicture; BoardPicture::ALL.len()] = BoardPicture::ALL;

fn insides() -> Vec<Inside> {
    vec![
        junction(0.0),
        junction(1.43),
        junction(-2.4),
        phasors(2, 0.2),
        phasors(2, 0.5),
        phasors(32, 0.07),
        ring(0.0, 0.0, (1.0, 1.0)),
        ring(0.3, -0.4, (1.0, 0.45)),
        ring(-7.4, 0.5, (0.3, 1.0)),
        one_junction(0.5, 0.215, 0.785),
        one_junction(0.0, 0.0, 0.0),
        one_junction(-300.2, -300.1, -300.1),
        tank(0.2, 0.6),
        tank(-40.5, 0.0),
        tank(0.0, 9.0),
        operating(9e-6, 0.3),
        operating(0.0, 0.0),
        operating(-14.9e-6, 0.5),
        operating(2.4e-5, 0.25),
        working(0.25, 7e-11),
        working(0.5, 7e-11),
        working(-3.2, 0.0),
        feedback(1.93, 0.03),
        feedback(-1234.5, -1.4),
        wire(0.0, 0.5),
        wire(0.3, 0.5),
        wire(-1.4, 0.7),
        wire(70.2, 0.5),
    ]
}

fn discs(scene: &Scene, colour: Colour) -> Vec<(f64, f64)> {
    let at = |item: &Item| match item {
        Item::Disc { at, colour: of, .. } if *of == colour => Some(*at),
        _ => None,
    };
    scene.items.iter().filter_map(at).collect()
}

/// How far a place is from a line through points.
fn distance(line: &[(f64, f64)], at: (f64, f64)) -> f64 {
    line.windows(2)
        .map(|pair| {
            let ((ax, ay), (bx, by)) = (pair[0], pair[1]);
            let (dx, dy) = (bx - ax, by - ay);
            let along = ((at.0 - ax) * dx + (at.1 - ay) * dy) / (dx * dx + dy * dy).max(1e-12);
            let along = along.clamp(0.0, 1.0);
            let (x, y) = (ax + along * dx - at.0, ay + along * dy - at.1);
            (x * x + y * y).sqrt()
        })
        .fold(f64::INFINITY, f64::min)
}
