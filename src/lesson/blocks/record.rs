//! The `record` block: a curve with the noise of an instrument on it.

use super::super::diagnostic::Mistake;
use super::super::spec::Recording;
use super::super::text::table::Reader;
use super::Blocks;
use super::chart::read_chart;
use super::model::tell;
use super::setup::read_reference;
use crate::experiment::{Pace, deviation};
use crate::quantity::show;

/// Fewest and most points of a record. A reader goes through them in a table.
const POINTS: (u32, u32) = (11, 601);
/// Points of a record that does not say how many.
const USUAL_POINTS: u16 = 241;
/// Noise above this share of the y axis hides what is to be read.
const MOST_NOISE: f64 = 0.1;

/// Reads a `record` block.
pub(super) fn read_record(
    blocks: &mut Blocks<'_, '_>,
    id: String,
    reader: &mut Reader<'_>,
) -> Option<Recording> {
    let device = read_reference(blocks, reader);
    let chart = read_chart(blocks, device.as_ref(), true, reader);
    let points = reader.optional_whole("points", POINTS.0, POINTS.1, blocks.diagnostics);
    let noise = reader.text("noise", "\"1 uA\"", blocks.diagnostics);
    let seed = reader.optional_text("seed", blocks.diagnostics);
    let (device, chart, noise) = (device?, chart?.spec, noise?);
    let known = device.setup.description();
    if known.pace() != Pace::AtOnce {
        blocks.diagnostics.add(
            Mistake::BadParameter,
            reader.place(),
            format!(
                "`{}` takes too long to be recorded while the page opens",
                known.kind
            ),
            "record one of the set-ups that are there at once, such as `junction-pair`",
        );
    }
    match deviation(&device.setup, &chart.column, &noise.value) {
        Err(error) => tell(Mistake::BadQuantity, noise.span, &error, blocks.diagnostics),
        Ok(deviation) => {
            let scale = device
                .setup
                .column_scale(&chart.column, &chart.y.scale)
                .ok()?;
            let most = MOST_NOISE * (chart.y.to - chart.y.from) * scale.si_per_unit;
            if !(0.0 < deviation && deviation <= most) {
                blocks.diagnostics.add(
                    Mistake::OutOfRange,
                    noise.span,
                    "this noise cannot be seen, or hides what is to be read",
                    format!(
                        "the noise is the standard deviation of a point: write one up to a tenth of the y axis, {}",
                        show(most, known.column(&chart.column).map_or("", |column| column.unit), 2)
                    ),
                );
            }
        }
    }
    Some(Recording {
        id,
        setup: device.spec,
        chart,
        points: points
            .and_then(|points| u16::try_from(points).ok())
            .unwrap_or(USUAL_POINTS),
        noise: noise.value,
        seed: seed.map(|seed| seed.value).unwrap_or_default(),
    })
}
