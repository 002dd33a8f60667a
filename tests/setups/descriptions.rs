//! Every description of a set-up keeps its word: names, units, ranges and defaults.

use crate::setups::hand::sought;
use coldfringe::experiment::{Setup, SetupError, descriptions, inside, run, sought_unit};

#[test]
fn every_description_keeps_its_word() {
    for description in descriptions() {
        let setup = Setup::new(description.kind).unwrap();
        setup.check().unwrap();
        let window = setup.default_window();
        assert!(window.0 < window.1);
        let x: Vec<f64> = (0..=40)
            .map(|k| window.0 + (window.1 - window.0) * f64::from(k) / 40.0)
            .collect();
        let trace = run(&setup, &x).unwrap();
        assert_eq!(trace.columns.len(), description.columns.len());
        for (column, described) in trace.columns.iter().zip(description.columns) {
            assert_eq!((column.name, column.unit), (described.name, described.unit));
            assert_eq!(column.values.len(), x.len());
            // The flux noise has no bound where the voltage does not answer to flux.
            let sound = |value: &f64| value.is_finite() || column.name == "flux-noise";
            assert!(column.values.iter().all(sound), "{}", column.name);
            assert!(setup.column_scale(column.name, column.unit).is_ok());
            assert!(!described.words.is_empty());
        }
        for reading in &trace.readings {
            let described = description
                .reading(reading.name)
                .expect("a described reading");
            assert_eq!(described.unit, reading.unit);
            assert!(reading.value.is_finite());
            assert!(sought_unit(&setup, &sought(reading.name)).unwrap() == reading.unit);
        }
        // The defaults show every reading there is, but for what only other devices have.
        let missing: Vec<&str> = description
            .readings
            .iter()
            .map(|described| described.name)
            .filter(|name| trace.reading(name).is_none())
            .collect();
        let only_others: &[&str] = match description.kind {
            // Junctions too narrow to matter have no pattern of their own.
            "junction-array" => &["envelope-zero"],
            _ => &[],
        };
        assert_eq!(missing, only_others, "{}", description.kind);
        assert!(trace.warnings.is_empty());
        assert!(inside(&setup, x[3]).is_ok());
        assert_eq!(setup.axes()[0].name, description.x.name);
        for parameter in description.parameters {
            assert!(!parameter.words.is_empty());
            // Each default is in its range, and the range's own ends are allowed.
            if let Some(value) = setup.get_si(parameter.name) {
                assert!(value >= parameter.from && value <= parameter.to);
                for end in [parameter.from, parameter.to] {
                    let mut moved = setup.clone();
                    moved.set_si(parameter.name, end).unwrap();
                    let (from, to) = moved.default_window();
                    let x = [from, 0.3 * from + 0.7 * to, to];
                    // Some ends ask for more than the other parameters allow; the error says what to change.
                    let Ok(trace) = run(&moved, &x) else {
                        assert!(matches!(moved.check(), Err(SetupError::Conflict(_))));
                        continue;
                    };
                    assert!(
                        trace
                            .columns
                            .iter()
                            .filter(|c| c.name != "flux-noise")
                            .all(|c| c.values.iter().all(|v| v.is_finite())),
                        "{} {} {end}",
                        description.kind,
                        parameter.name
                    );
                    assert!(
                        trace
                            .readings
                            .iter()
                            .all(|reading| reading.value.is_finite())
                    );
                }
            }
        }
    }
}
