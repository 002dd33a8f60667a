//! Wrong pictures of a row of junctions with holes between them. With N equal junctions and F the flux in each hole in
//! quanta, the true critical current is `|sin(N pi F) / sin(pi F)|`; unequal holes do not repeat.

use super::{ANY_HEIGHT, BY_HAND, Picture, PictureError, cosine, model, parameter, sinc};
use crate::constants::FLUX_QUANTUM;
use crate::experiment::Setup;
use crate::numerics::elementary::pow;

const COLUMN: &str = "critical-current";

pub(super) const PICTURES: &[Picture] = &[
    Picture {
        name: "broader-for-more",
        words: "peaks that grow broader with every junction",
        question: "With more junctions, does it take more field or less to close their phasors to a ring?",
        look_at: "Move the number of junctions and watch the first minimum.",
        freedom: BY_HAND,
    },
    Picture {
        name: "as-for-two",
        words: "what two junctions alone do",
        question: "At a quarter quantum in each hole, do eight phasors still point nearly the same way?",
        look_at: "Move the field to a quarter quantum and look at the phasors.",
        freedom: BY_HAND,
    },
    Picture {
        name: "unequal-holes-repeat",
        words: "peaks that return as if all holes were equal",
        question: "When one hole holds a whole quantum, what do the others hold?",
        look_at: "Move the field to one quantum in the mean hole and look at the phasors.",
        freedom: BY_HAND,
    },
    Picture {
        name: "one-wide-slit",
        words: "what one junction as wide as the whole row does",
        question: "When each hole holds a whole quantum, how do the phasors stand?",
        look_at: "Move the field to one quantum in each hole and look at the phasors.",
        freedom: BY_HAND,
    },
    Picture {
        name: "washed-out",
        words: "holes that never agree, at any field",
        question: "With no field at all, how much flux do the holes hold, the large and the small?",
        look_at: "Move the field to zero and look at the phasors.",
        freedom: ANY_HEIGHT,
    },
];

pub(super) fn curves(
    picture: &str,
    setup: &Setup,
    x: &[f64],
) -> Result<Vec<Vec<f64>>, PictureError> {
    // Field of one quantum in the mean hole.
    let quantum = setup
        .axis("loop-flux")
        .map_or(f64::NAN, |axis| axis.si_per_unit);
    if picture == "unequal-holes-repeat" {
        let mut equal = setup.clone();
        equal.set_si("loop-areas", FLUX_QUANTUM / quantum)?;
        return Ok(vec![model(&equal, COLUMN, x)?]);
    }
    let sum: f64 = model(setup, COLUMN, &[0.0])?.iter().sum();
    let junctions = parameter(setup, "junctions");
    if picture == "one-wide-slit" {
        // A row of N junctions is N holes long, counted from the middle of its outer gaps.
        let slit = |field: &f64| sum * sinc(junctions * field / quantum).abs();
        return Ok(vec![x.iter().map(slit).collect()]);
    }
    if picture == "washed-out" {
        // Equal phasors that point anyhow: the root of their mean square.
        return Ok(vec![vec![sum / junctions.sqrt(); x.len()]]);
    }
    // A root of the pair's pattern is broader the higher it is, and keeps the period.
    let power = if picture == "as-for-two" {
        1.0
    } else {
        2.0 / junctions
    };
    Ok(vec![
        x.iter()
            .map(|field| sum * pow(cosine(field / quantum).abs(), power))
            .collect(),
    ])
}
