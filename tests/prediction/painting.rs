//! A current profile painted by hand: whatever paints it, the device carries what stands on the paper.

use coldfringe::experiment::{Setup, SetupError, readings, run};
use coldfringe::prediction::sketch::{FULL_SCALE, Side, Sketch};
use coldfringe::session::paint;

const STRIPS: u16 = 20;

fn tern() -> Setup {
    Setup::new("single-junction").unwrap()
}

fn even() -> Sketch {
    let mut sketch = Sketch::new(paint::paper(STRIPS));
    paint::fill(&mut sketch, &tern(), "profile");
    sketch
}

fn painted(sketch: &Sketch) -> Setup {
    let mut setup = tern();
    assert!(paint::apply(sketch, &mut setup, "profile").unwrap());
    setup
}

fn reading(setup: &Setup, name: &str) -> Option<f64> {
    let all = readings(setup).unwrap();
    all.iter()
        .find(|reading| reading.name == name)
        .map(|reading| reading.value)
}

/// Flux of the first zero, in quanta.
fn zero(setup: &Setup) -> Option<f64> {
    Some(reading(setup, "first-zero")? / reading(setup, "flux-quantum-field")?)
}

#[test]
fn the_even_paper_is_an_even_junction() {
    let setup = painted(&even());
    assert!((zero(&setup).unwrap() - 1.0).abs() < 1e-12);
    let outline = paint::outline(&even());
    assert_eq!(outline.len(), 2 * usize::from(STRIPS));
    assert_eq!(outline.first().unwrap(), &(-0.5, 1.0));
    assert_eq!(outline.last().unwrap(), &(0.5, 1.0));
}

/// A ramp, painted three ways.
#[test]
fn strokes_taps_and_keys_paint_the_same() {
    let paper = paint::paper(STRIPS);
    let height = |column: u16| f64::from(column + 1) * 0.05;
    let points: Vec<(f64, f64)> = (0..STRIPS)
        .map(|column| (paper.column_x(column), height(column)))
        .collect();
    let mut stroked = even();
    stroked.stroke(&points);
    let mut tapped = even();
    for (x, y) in &points {
        tapped.tap(*x, *y);
    }
    let mut keyed = even();
    for column in 0..STRIPS {
        let steps = i32::from(STRIPS - 1 - column);
        for _ in 0..steps {
            keyed.lower(column, 50, Side::Both);
        }
    }
    let device = painted(&stroked);
    assert!(device == painted(&tapped) && device == painted(&keyed));
    // Each is undone in as many steps as it took.
    assert!(stroked.undo() && stroked == even());
    // A ramp from 1 to 20 is that profile written out.
    let text: Vec<String> = (1..=STRIPS).map(|k| (50 * k).to_string()).collect();
    let mut written = tern();
    written.set("profile", &text.join("; ")).unwrap();
    assert!(device == written);
}

/// The strips of strong edges end where two strips of twenty end, so that the painting is the profile itself.
#[test]
fn a_preset_is_painted_as_it_is() {
    let mut strong = tern();
    strong.set("profile", "edge-heavy").unwrap();
    strong.set("edge-fraction", "0.6").unwrap();
    let mut sketch = even();
    paint::fill(&mut sketch, &strong, "profile");
    let copy = painted(&sketch);
    let quantum = reading(&copy, "flux-quantum-field").unwrap();
    let x: Vec<f64> = (0..60).map(|k| 0.1 * f64::from(k) * quantum).collect();
    let currents = |setup: &Setup| run(setup, &x).unwrap().columns[0].values.clone();
    for (a, b) in currents(&copy).iter().zip(currents(&strong)) {
        // A painted value is a whole number of thousandths.
        assert!((a - b).abs() < 1e-3 * 100e-6, "{a:e} {b:e}");
    }
    assert!(sketch.undo() && sketch == even());
}

/// Halves that are mirror images let the current vanish; others do not.
#[test]
fn a_lopsided_painting_keeps_a_current_until_it_is_mirrored() {
    let mut sketch = even();
    sketch.stroke(&[(0.02, 0.5), (0.48, 0.5)]);
    let lopsided = painted(&sketch);
    // The halves, one quantum in the junction: each is half a turn, 2/pi of its current, and they are opposed: (1 - 1/2)/(1 + 1/2)
    // of 2/pi is 0.212; the minimum is a little lower and a little further on.
    let left = reading(&lopsided, "minimum").unwrap() / 100e-6;
    assert!(left > 0.19 && left < 0.2123, "{left}");
    paint::mirror(&mut sketch);
    let mirrored = painted(&sketch);
    assert!((zero(&mirrored).unwrap() - 1.0).abs() < 1e-12);
    assert!(sketch.undo());
    assert!(painted(&sketch) == lopsided);
}

#[test]
fn a_blank_paper_changes_nothing() {
    let mut sketch = even();
    sketch.clear();
    let mut setup = tern();
    assert!(!paint::apply(&sketch, &mut setup, "profile").unwrap());
    assert!(setup == tern());
    assert!(paint::outline(&sketch).iter().all(|(_, y)| y.abs() < 1e-12));
    // One strip alone: all its current in a twentieth of the width, zeros at multiples of twenty quanta.
    sketch.set_column_value(4, FULL_SCALE, Side::Both);
    assert!((zero(&painted(&sketch)).unwrap() - 20.0).abs() < 1e-9);
}

#[test]
fn densities_that_are_none_are_refused_and_change_nothing() {
    let mut setup = tern();
    for bad in [
        vec![],
        vec![1.0],
        vec![0.0; 5],
        vec![1.0, f64::NAN],
        vec![1.0, -1.0],
    ] {
        let error = setup.set_densities("profile", &bad).unwrap_err();
        assert!(matches!(error, SetupError::BadSamples { .. }), "{error}");
    }
    let error = setup.set_densities("width", &[1.0, 1.0]).unwrap_err();
    assert!(matches!(error, SetupError::NotAProfile { .. }), "{error}");
    assert!(setup.density_shares("width", 5).is_none());
    assert!(setup == tern());
}
