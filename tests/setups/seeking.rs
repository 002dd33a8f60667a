//! What is asked of a set-up: readings, places and parameters sought, and answers where there is nothing to find.

use crate::setups::hand::{close, reading};
use coldfringe::constants::FLUX_QUANTUM;
use coldfringe::experiment::{ExperimentError, Setup, Sought, inside, read_place, run, seek};

#[test]
fn what_is_sought_is_found() {
    let tern = Setup::new("single-junction").unwrap();
    let width = seek(
        &tern,
        &Sought::Solve {
            parameter: "width".into(),
            reading: "first-zero".into(),
            equals: "0.20 mT".into(),
        },
    )
    .unwrap();
    close(width, FLUX_QUANTUM / (0.2e-3 * 181e-9), 1e-12);
    let plover = Setup::new("junction-pair").unwrap();
    let area = seek(
        &plover,
        &Sought::Solve {
            parameter: "loop-area".into(),
            reading: "period".into(),
            equals: "2.0 µT".into(),
        },
    )
    .unwrap();
    close(area, FLUX_QUANTUM / 2e-6, 1e-12);
    let mut big = plover.clone();
    big.set_si("loop-area", area).unwrap();
    let count = seek(
        &big,
        &Sought::Count {
            span: "100 uT".into(),
            reading: "period".into(),
        },
    )
    .unwrap();
    close(count, 50.0, 1e-12);
    let avocet = Setup::new("screened-loop").unwrap();
    let inductance = seek(
        &avocet,
        &Sought::Solve {
            parameter: "loop-inductance".into(),
            reading: "depth".into(),
            equals: "0.5".into(),
        },
    )
    .unwrap();
    let mut solved = avocet.clone();
    solved.set_si("loop-inductance", inductance).unwrap();
    close(reading(&solved, "depth"), 0.5, 1e-12);
    let at = seek(
        &avocet,
        &Sought::At {
            column: "critical-current".into(),
            at: "0.5 Phi0".into(),
        },
    )
    .unwrap();
    close(at, reading(&avocet, "minimum"), 1e-12);
    // A flux on a set-up swept in field: through the junction, or through the loop.
    let half = FLUX_QUANTUM / 1.81e-12 * 0.5;
    close(read_place(&tern, "0.5 Phi0").unwrap(), half, 1e-14);
    close(
        read_place(&plover, "1 Φ₀").unwrap(),
        FLUX_QUANTUM / 12e-12,
        1e-14,
    );
    close(read_place(&tern, "0.3 mT").unwrap(), 0.3e-3, 0.0);
    assert!(read_place(&tern, "0.3 uA").is_err());
    assert!(read_place(&tern, "0.3").is_err());
}

#[test]
fn what_cannot_be_found_is_said() {
    let tern = Setup::new("single-junction").unwrap();
    let solve = |parameter: &str, reading: &str, equals: &str| {
        seek(
            &tern,
            &Sought::Solve {
                parameter: parameter.into(),
                reading: reading.into(),
                equals: equals.into(),
            },
        )
        .unwrap_err()
        .to_string()
    };
    let far = solve("width", "first-zero", "5 kT");
    assert!(far.contains("width") && far.contains("5 kT"), "{far}");
    assert!(solve("widht", "first-zero", "1 mT").contains("\"width\""));
    assert!(solve("width", "first-zeroes", "1 mT").contains("\"first-zero\""));
    assert!(solve("width", "first-zero", "1 mA").contains("a magnetic field"));
    assert!(solve("profile", "first-zero", "1 mT").contains("not a single number"));
    // The height of the side lobe does not depend on the width at all.
    assert!(solve("width", "first-side-lobe", "0.5").contains("no width"));
    let column = seek(
        &tern,
        &Sought::At {
            column: "voltage".into(),
            at: "1 mT".into(),
        },
    );
    assert!(column.unwrap_err().to_string().contains("critical-current"));
}

#[test]
fn wrong_places_are_answered() {
    let tern = Setup::new("single-junction").unwrap();
    assert!(matches!(
        run(&tern, &[0.0, f64::NAN]),
        Err(ExperimentError::NotFinite(2, "field"))
    ));
    assert!(run(&tern, &[f64::INFINITY]).is_err());
    assert!(matches!(
        run(&tern, &[1e9]),
        Err(ExperimentError::TooFar { .. })
    ));
    assert!(inside(&tern, f64::NAN).is_err());
    assert!(run(&tern, &[]).unwrap().columns[0].values.is_empty());
    assert!(matches!(
        run(&tern, &vec![0.0; 1_000_001]),
        Err(ExperimentError::TooMany(..))
    ));
    let avocet = Setup::new("screened-loop").unwrap();
    assert!(run(&avocet, &[1e9]).is_err());
}
