//! Records as students read them: noise drawn, laid on the curve, and brought into the units of the chart.

use coldfringe::experiment::Setup;
use coldfringe::lesson::read;
use coldfringe::lesson::spec::Block;
use coldfringe::session::Plot;

use super::Bits;

/// The record of *Reading data* with the draws open, as the page of the assignment holds it. It is the one assignment
/// with a record. Assignment files are read natively only, so it stands here; a native test compares it with the file.
pub(crate) const OPEN: &str = include_str!("../golden/recording.json");

/// Values of the draws, of some students.
pub(crate) const DRAWN: [[(&str, &str); 4]; 6] = [
    drawn("48 µA", "14 µA", "110 µm²", "11"),
    drawn("54 µA", "17 µA", "140 µm²", "14"),
    drawn("60 µA", "20 µA", "180 µm²", "17"),
    drawn("68 µA", "24 µA", "230 µm²", "20"),
    drawn("76 µA", "29 µA", "300 µm²", "23"),
    drawn("84 µA", "29 µA", "300 µm²", "26"),
];

const fn drawn(
    stronger: &'static str,
    weaker: &'static str,
    area: &'static str,
    tape: &'static str,
) -> [(&'static str, &'static str); 4] {
    [
        ("stronger", stronger),
        ("weaker", weaker),
        ("area", area),
        ("tape", tape),
    ]
}

/// Each record's digest by its name.
pub(crate) fn computed() -> impl Iterator<Item = (String, String)> {
    DRAWN.into_iter().map(|drawn| {
        let mut json = OPEN.trim_end().to_owned();
        let mut name = "record reading-data".to_owned();
        for (draw, value) in drawn {
            json = json.replace(&format!("@{{{draw}}}"), value);
            name.push_str(&format!(" {}", value.replace(' ', "-")));
        }
        (name, of_record(&json))
    })
}

fn of_record(json: &str) -> String {
    let mut bits = Bits::new();
    if let Block::Record(recording) = read::block(json).unwrap() {
        let setup = Setup::from_spec(&recording.setup).unwrap();
        let plot = Plot::new(setup, &recording.chart).unwrap();
        for (x, y) in plot.record(&recording).unwrap().points {
            bits.take(x);
            bits.take(y);
        }
    }
    bits.digest()
}
