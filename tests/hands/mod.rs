//! Synthetic hands: curves as people might draw them, stretched, uneven and trembling. They are
//! not students; no recorded sketches of these curves are known.

#![allow(
    dead_code,
    clippy::unwrap_used,
    reason = "each test file uses its share; a test stops at the first surprise"
)]

use std::cell::RefCell;
use std::collections::BTreeMap;

use coldfringe::experiment::Setup;
use coldfringe::lesson::spec::{Ask, Block};
use coldfringe::numerics::elementary::sin;
use coldfringe::prediction::{Sketch, SketchGrid, SketchTask, pictures};

use crate::course;

/// A sketch question: device, column and paper.
pub(crate) struct Case {
    pub(crate) name: String,
    pub(crate) setup: Setup,
    pub(crate) column: String,
    axis: String,
    scale: String,
    pub(crate) grid: SketchGrid,
    /// The wrong pictures that may be recognised; all known ones when empty.
    pictures: Vec<String>,
    dense: RefCell<BTreeMap<String, Vec<f64>>>,
}

/// Places at which a picture is computed once for all hands.
const DENSE: usize = 4001;

impl Case {
    fn new(
        name: &str,
        setup: Setup,
        column: &str,
        (axis, scale): (&str, &str),
        grid: SketchGrid,
    ) -> Self {
        Self {
            name: name.to_owned(),
            setup,
            column: column.to_owned(),
            axis: axis.to_owned(),
            scale: scale.to_owned(),
            grid,
            pictures: Vec::new(),
            dense: RefCell::default(),
        }
    }

    pub(crate) fn task(&self) -> SketchTask<'_> {
        SketchTask {
            setup: &self.setup,
            column: &self.column,
            x: self.setup.axis(&self.axis).unwrap(),
            y: self.setup.column_scale(&self.column, &self.scale).unwrap(),
            grid: self.grid,
            pictures: &self.pictures,
        }
    }

    /// A picture's value at places of the horizontal axis, in units of the vertical axis.
    pub(crate) fn values(&self, picture: &str, x: &[f64]) -> Vec<f64> {
        let task = self.task();
        let si: Vec<f64> = x.iter().map(|x| x * task.x.si_per_unit).collect();
        pictures::curve(picture, &self.setup, &self.column, &si)
            .unwrap()
            .into_iter()
            .map(|value| value / task.y.si_per_unit)
            .collect()
    }

    /// The ends between which a hand may reach into a curve: those of the paper and, where a hand
    /// squeezes, what lies beyond.
    fn reach(&self) -> (f64, f64) {
        let (from, to) = (self.grid.from, self.grid.to);
        let beyond = 0.08 * (to - from);
        (
            from.min(from / LEAST_STRETCH) - beyond,
            to.max(to / LEAST_STRETCH) + beyond,
        )
    }

    /// The same as [`Case::values`], read between places computed once: a hand draws hundreds of
    /// curves, and some devices take long.
    fn read(&self, picture: &str, x: &[f64]) -> Vec<f64> {
        let (from, to) = self.reach();
        let step = (to - from) / (DENSE - 1) as f64;
        let mut dense = self.dense.borrow_mut();
        let curve = dense.entry(picture.to_owned()).or_insert_with(|| {
            let places: Vec<f64> = (0..DENSE).map(|k| from + step * k as f64).collect();
            self.values(picture, &places)
        });
        x.iter()
            .map(|x| {
                let place = ((x - from) / step).clamp(0.0, (DENSE - 1) as f64);
                let left = (place.floor() as usize).min(DENSE - 2);
                let share = place - left as f64;
                curve[left] * (1.0 - share) + curve[left + 1] * share
            })
            .collect()
    }
}

/// A hand that draws the curve as it is.
pub(crate) const STEADY: Hand = Hand {
    name: "steady",
    stretch: 0.0,
    height: 0.0,
    uneven: 0.0,
    lobes: 0.0,
    tremor: 0.0,
};

/// The case of that name.
pub(crate) fn case(name: &str) -> Case {
    cases().into_iter().find(|case| case.name == name).unwrap()
}

/// Every sketch of every lesson, on its own axes and with its own pictures.
pub(crate) fn lesson_cases() -> Vec<Case> {
    let mut found = Vec::new();
    for lesson in course::lessons() {
        for block in lesson.blocks() {
            let Block::Predict(prediction) = block else {
                continue;
            };
            let Ask::Sketch {
                chart,
                columns,
                pictures,
            } = &prediction.ask
            else {
                continue;
            };
            let (x, y) = (&chart.x, &chart.y);
            let mut case = Case::new(
                &format!("{}, {}", lesson.slug, prediction.id),
                Setup::from_spec(&prediction.setup).unwrap(),
                &chart.column,
                (&x.scale, &y.scale),
                SketchGrid::new(x.from, x.to, y.from, y.to, *columns),
            );
            case.pictures.clone_from(pictures);
            found.push(case);
        }
    }
    found
}

/// A set-up with some parameters changed.
pub(crate) fn device(kind: &str, changes: &[(&str, &str)]) -> Setup {
    let mut setup = Setup::new(kind).unwrap();
    for (name, value) in changes {
        setup.set(name, value).unwrap();
    }
    setup
}

/// The junction of the first lesson.
pub(crate) fn tern() -> Setup {
    device(
        "single-junction",
        &[
            ("critical-current", "100 uA"),
            ("width", "10 um"),
            ("magnetic-thickness", "181 nm"),
        ],
    )
}

/// The pair of the third.
pub(crate) fn plover() -> Setup {
    device(
        "junction-pair",
        &[
            ("critical-current-left", "50 uA"),
            ("critical-current-right", "50 uA"),
            ("width", "4 um"),
            ("magnetic-thickness", "181 nm"),
            ("loop-area", "12 um^2"),
        ],
    )
}

/// One junction, a pair, and the loop, on the axes of their lessons.
pub(crate) fn cases() -> Vec<Case> {
    let avocet = |inductance: &str| {
        device(
            "screened-loop",
            &[
                ("critical-current-left", "10 uA"),
                ("critical-current-right", "10 uA"),
                ("loop-inductance", inductance),
            ],
        )
    };
    let junction = ("junction-flux", "relative");
    let pair = ("loop-flux", "relative");
    let current = ("flux", "uA");
    // 1.4 times the half quantum over 100 pH, and over 500 pH.
    let (small, large) = (14.5, 2.9);
    vec![
        Case::new(
            "one junction",
            tern(),
            "critical-current",
            junction,
            SketchGrid::new(-3.0, 3.0, 0.0, 1.1, 25),
        ),
        Case::new(
            "one junction, room below zero",
            tern(),
            "critical-current",
            junction,
            SketchGrid::new(-3.0, 3.0, -0.4, 1.1, 25),
        ),
        Case::new(
            "pair",
            plover(),
            "critical-current",
            pair,
            SketchGrid::new(-2.0, 2.0, 0.0, 1.1, 33),
        ),
        Case::new(
            "pair, room below zero",
            plover(),
            "critical-current",
            pair,
            SketchGrid::new(-2.0, 2.0, -1.1, 1.1, 33),
        ),
        Case::new(
            "loop, simple picture",
            avocet("100 pH"),
            "circulating-current-simple",
            current,
            SketchGrid::new(0.0, 2.0, -small, small, 33),
        ),
        Case::new(
            "wide loop, simple picture",
            avocet("500 pH"),
            "circulating-current-simple",
            ("flux", "relative"),
            SketchGrid::new(0.0, 2.0, -1.2, 1.2, 33),
        ),
        Case::new(
            "loop, computed",
            avocet("500 pH"),
            "circulating-current",
            current,
            SketchGrid::new(0.0, 2.0, -large, large, 33),
        ),
    ]
}

/// No hand squeezes more than this.
const LEAST_STRETCH: f64 = 0.62;

/// How a hand errs.
#[derive(Clone, Copy)]
pub(crate) struct Hand {
    pub(crate) name: &'static str,
    /// Standard deviation of the stretch along x.
    pub(crate) stretch: f64,
    /// Standard deviation of the scale along y.
    pub(crate) height: f64,
    /// Uneven scale along x, as a share of the axis.
    pub(crate) uneven: f64,
    /// Uneven heights of single lobes.
    pub(crate) lobes: f64,
    /// Tremor, as a share of the vertical axis.
    pub(crate) tremor: f64,
}

pub(crate) const HANDS: [Hand; 3] = [
    Hand {
        name: "x 5 %, y 12 %",
        stretch: 0.05,
        height: 0.12,
        uneven: 0.005,
        lobes: 0.05,
        tremor: 0.006,
    },
    Hand {
        name: "x 10 %, y 12 %",
        stretch: 0.10,
        height: 0.12,
        uneven: 0.008,
        lobes: 0.06,
        tremor: 0.008,
    },
    Hand {
        name: "x 12 %, y 15 %, shaky",
        stretch: 0.12,
        height: 0.15,
        uneven: 0.01,
        lobes: 0.08,
        tremor: 0.014,
    },
];

/// A small pinned generator (xorshift64*), so that a failing hand can be drawn again.
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1)
    }

    pub(crate) fn uniform(&mut self) -> f64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        (self.0.wrapping_mul(0x2545_f491_4f6c_dd1d) >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Nearly normal, with variance one (sum of twelve).
    pub(crate) fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.uniform()).sum::<f64>() - 6.0
    }
}

/// Smooth noise with variance near one: knots joined by straight lines.
fn noise(dice: &mut Dice, count: usize, knots: usize) -> Vec<f64> {
    let values: Vec<f64> = (0..=knots).map(|_| dice.normal()).collect();
    (0..count)
        .map(|index| {
            let place = index as f64 / (count - 1) as f64 * knots as f64;
            let left = (place.floor() as usize).min(knots - 1);
            let share = place - left as f64;
            values[left] * (1.0 - share) + values[left + 1] * share
        })
        .collect()
}

/// The points of a stroke that means `picture`.
pub(crate) fn draw(case: &Case, picture: &str, hand: Hand, seed: u64) -> Vec<(f64, f64)> {
    const POINTS: usize = 161;
    let mut dice = Dice::new(seed);
    let grid = case.grid;
    let range = grid.to - grid.from;
    let stretch = (1.0 + hand.stretch * dice.normal()).max(LEAST_STRETCH);
    let height = (1.0 + hand.height * dice.normal()).max(0.4);
    let (bend, twist) = (dice.normal(), dice.normal());
    let x: Vec<f64> = (0..POINTS)
        .map(|index| grid.from + range * index as f64 / (POINTS - 1) as f64)
        .collect();
    let meant: Vec<f64> = x
        .iter()
        .map(|x| {
            let u = (x - grid.from) / range * std::f64::consts::PI;
            x / stretch + hand.uneven * range * (bend * sin(u) + twist * sin(2.0 * u))
        })
        .collect();
    let lobes = noise(&mut dice, POINTS, 6);
    let tremor = noise(&mut dice, POINTS, 40);
    x.into_iter()
        .zip(case.read(picture, &meant))
        .zip(lobes.into_iter().zip(tremor))
        .map(|((x, y), (lobe, shake))| {
            let drawn = y * height * (1.0 + hand.lobes * lobe);
            (x, drawn + hand.tremor * (grid.top - grid.bottom) * shake)
        })
        .collect()
}

/// A sketch by one stroke.
pub(crate) fn sketch(case: &Case, points: &[(f64, f64)]) -> Sketch {
    let mut sketch = Sketch::new(case.grid);
    sketch.stroke(points);
    sketch
}
