//! Slips that turn a right value into a recognisable other one. A slip is named only when exactly
//! one of those that a question lists explains the typed value.

use std::f64::consts::PI;

/// A slip.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Slip {
    /// Twice or half: h/e for h/2e, one junction for two.
    Factor2,
    /// Four times or a quarter.
    Factor4,
    /// A factor of pi either way.
    FactorPi,
    /// A factor of two pi either way: radians and turns.
    Factor2Pi,
    /// A power of ten that is not a power of a thousand.
    PowerOf10,
    /// A power of a thousand: a prefix.
    PowerOf1000,
    /// The opposite sign.
    Sign,
    /// Square centimetres taken for square metres, or the other way round.
    SquareCentimetres,
    /// Square micrometres taken for square metres, or the other way round.
    SquareMicrometres,
    /// The radius taken for the diameter, or the other way round, in a length or an area.
    RadiusForDiameter,
    /// The area of the junction taken for that of the loop, or the other way round.
    JunctionForLoop,
    /// The square of the share, as for the brightness of light.
    Squared,
    /// The skin of one metal where the field fills those of two: the wire's, or the solder's.
    OneSkin,
    /// The thickness of the wire taken for the skins that the field fills.
    AcrossTheWire,
}

/// What the slips of a question are computed from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct SlipNumbers {
    /// The right value.
    pub(super) wanted: f64,
    /// The value without field, for shares.
    pub(super) largest: Option<f64>,
    /// Loop area over junction area.
    pub(super) loop_over_junction: Option<f64>,
    /// Radius of a wire and penetration depths of wire and solder, in metres.
    pub(super) wire: Option<[f64; 3]>,
}

const ALL: &[(&str, Slip)] = &[
    ("factor-2", Slip::Factor2),
    ("factor-4", Slip::Factor4),
    ("factor-pi", Slip::FactorPi),
    ("factor-2pi", Slip::Factor2Pi),
    ("power-of-10", Slip::PowerOf10),
    ("power-of-1000", Slip::PowerOf1000),
    ("sign", Slip::Sign),
    ("square-centimetres", Slip::SquareCentimetres),
    ("square-micrometres", Slip::SquareMicrometres),
    ("radius-for-diameter", Slip::RadiusForDiameter),
    ("junction-for-loop", Slip::JunctionForLoop),
    ("squared", Slip::Squared),
    ("one-skin", Slip::OneSkin),
    ("across-the-wire", Slip::AcrossTheWire),
];

impl Slip {
    /// The slip of that name in a lesson file.
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        ALL.iter()
            .find(|(known, _)| *known == name)
            .map(|(_, slip)| *slip)
    }

    /// Its name in a lesson file.
    #[must_use]
    pub fn name(self) -> &'static str {
        ALL.iter()
            .find(|(_, slip)| *slip == self)
            .map_or("", |(name, _)| name)
    }

    /// All names, divided by commas.
    #[must_use]
    pub fn names() -> String {
        let names: Vec<&str> = ALL.iter().map(|(name, _)| *name).collect();
        names.join(", ")
    }

    /// The values that this slip makes of the right one.
    pub(super) fn values(self, numbers: &SlipNumbers) -> Vec<f64> {
        let both_ways = |factor: f64| vec![numbers.wanted * factor, numbers.wanted / factor];
        let powers = |exponents: &[i32]| {
            exponents
                .iter()
                .flat_map(|&exponent| both_ways(ten_to(exponent)))
                .collect()
        };
        match self {
            Self::Factor2 => both_ways(2.0),
            Self::Factor4 => both_ways(4.0),
            Self::FactorPi => both_ways(PI),
            Self::Factor2Pi => both_ways(2.0 * PI),
            Self::PowerOf10 => powers(&[1, 2, 4, 5, 7, 8]),
            Self::PowerOf1000 => powers(&[3, 6, 9, 12, 15]),
            Self::Sign => vec![-numbers.wanted],
            Self::SquareCentimetres => powers(&[4]),
            Self::SquareMicrometres => powers(&[12]),
            Self::RadiusForDiameter => {
                let mut values = both_ways(2.0);
                values.extend(both_ways(4.0));
                values
            }
            Self::JunctionForLoop => numbers
                .loop_over_junction
                .map(both_ways)
                .unwrap_or_default(),
            Self::Squared => numbers
                .largest
                .filter(|largest| largest.abs() > 0.0)
                .map(|largest| vec![numbers.wanted * numbers.wanted / largest])
                .unwrap_or_default(),
            // Currents and fields that make a flux go down as its area goes up.
            Self::OneSkin => numbers.wire.map_or_else(Vec::new, |[_, wire, solder]| {
                [wire, solder]
                    .map(|skin| numbers.wanted * (wire + solder) / skin)
                    .to_vec()
            }),
            Self::AcrossTheWire => numbers
                .wire
                .map_or_else(Vec::new, |[radius, wire, solder]| {
                    [radius, 2.0 * radius]
                        .map(|across| numbers.wanted * (wire + solder) / across)
                        .to_vec()
                }),
        }
    }

    /// What is said; `ratio` is the typed value over the right one.
    #[must_use]
    pub fn words(self, ratio: f64) -> String {
        let larger = ratio.abs() > 1.0;
        let pair = |large: &str, small: &str| {
            if larger {
                large.to_owned()
            } else {
                small.to_owned()
            }
        };
        match self {
            Self::Factor2 => pair(
                "Yours is twice the computed value: where did a factor of two come in?",
                "Yours is half the computed value: where did a factor of two get lost?",
            ),
            Self::Factor4 => pair(
                "Yours is four times the computed value: was a length doubled before squaring?",
                "Yours is a quarter of the computed value: was a length halved before squaring?",
            ),
            Self::FactorPi => pair(
                "Yours is π times the computed value: is the argument of the sine zero at π?",
                "Yours is the computed value divided by π: is the argument of the sine zero at π?",
            ),
            Self::Factor2Pi => pair(
                "Yours is 2π times the computed value: radians or turns?",
                "Yours is the computed value divided by 2π: radians or turns?",
            ),
            Self::PowerOf10 => "The digits agree; a power of ten slipped.".to_owned(),
            Self::PowerOf1000 => "The digits agree; look at the prefix of the unit.".to_owned(),
            Self::Sign => "The size agrees; look at the sign.".to_owned(),
            Self::SquareCentimetres => {
                "The digits agree; a square metre is 10⁴ square centimetres.".to_owned()
            }
            Self::SquareMicrometres => {
                "The digits agree; a square metre is 10¹² square micrometres.".to_owned()
            }
            Self::RadiusForDiameter => "Was a radius taken for a diameter?".to_owned(),
            Self::JunctionForLoop => {
                "That follows from the other area: which one does the flux thread?".to_owned()
            }
            Self::Squared => {
                "That is the square of the share: a brightness, where a current is asked."
                    .to_owned()
            }
            Self::OneSkin => {
                "That counts the skin of one metal: does the other keep the field out?".to_owned()
            }
            Self::AcrossTheWire => {
                "That counts the whole thickness of the wire: how deep does the field go in?"
                    .to_owned()
            }
        }
    }
}

fn ten_to(exponent: i32) -> f64 {
    (0..exponent).fold(1.0, |power, _| power * 10.0)
}
