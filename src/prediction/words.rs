//! The sentences of the feedback: a feature, its place, numbers. No sentence is longer than
//! twenty words, none says "wrong", none gives a score.

use super::compare::{Aspect, jump_spacing};
use super::features::{Features, Jump, Origin};
use super::pictures::Picture;
use super::verdict::Verdict;
use crate::decimal::fixed;
use crate::quantity;

/// Said when nothing can be made of a sketch.
pub(super) const UNREADABLE: &str =
    "This sketch cannot be read by rules; compare the two curves by eye.";

/// Side maxima higher than this, in shares of the central one, are no side lobes: they stand higher
/// than the middle.
const LEVEL: f64 = 1.05;

/// At most this many places are listed.
const LISTED: usize = 3;

/// The first sentence.
pub(super) fn headline(verdict: &Verdict, picture: Option<&'static Picture>) -> String {
    match verdict {
        Verdict::Right => "Your curve shows the features of the computed one.".to_owned(),
        Verdict::Near => "This is as close as a hand sketch can be.".to_owned(),
        Verdict::WrongPicture(name) => {
            format!(
                "Your curve shows {}.",
                picture.map_or(*name, |picture| picture.words)
            )
        }
        Verdict::Different => "Your curve and the computed one part company here.".to_owned(),
        Verdict::Ask(_) => "Which did you mean?".to_owned(),
        Verdict::Unreadable => UNREADABLE.to_owned(),
    }
}

/// Asks to finish a curve, naming the longest of its gaps, in `x_unit`.
#[must_use]
pub fn unfinished(gaps: &[(f64, f64)], x_unit: &str) -> String {
    let longest = gaps
        .iter()
        .max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)));
    match longest {
        Some((from, to)) => format!(
            "Please finish the curve from {} to {}.",
            number(*from),
            with_unit(*to, x_unit)
        ),
        None => "Please finish the curve.".to_owned(),
    }
}

/// Speaks about one drawn curve beside the computed one.
pub(super) struct Speaker<'a> {
    pub(super) drawn: &'a Features,
    pub(super) computed: &'a Features,
    pub(super) x_unit: &'a str,
    pub(super) y_unit: &'a str,
    /// Share of the axis to its own unit.
    pub(super) extent: f64,
}

impl Speaker<'_> {
    /// Says that an aspect matches; aspects that are no news give nothing.
    pub(super) fn matches(&self, aspect: Aspect) -> Option<String> {
        let computed = self.computed;
        Some(match aspect {
            Aspect::Sign if computed.negative > 0.0 => "Both curves go below zero.".to_owned(),
            Aspect::Phase => match computed.origin {
                Origin::Maximum => "Your maximum is at zero, as computed.".to_owned(),
                Origin::Minimum => "Your minimum is at zero, as computed.".to_owned(),
                Origin::Rises => "Your curve rises from zero, as computed.".to_owned(),
                Origin::Falls => "Your curve falls from zero, as computed.".to_owned(),
                Origin::Unclear => return None,
            },
            Aspect::Period => format!(
                "Your minima sit where they should, {}.",
                self.unit_after(self.minima(computed)?)
            ),
            Aspect::Depth if computed.depth? < 0.1 => {
                "Your minima reach zero, as computed.".to_owned()
            }
            Aspect::Depth => "Your minima are as deep as the computed ones.".to_owned(),
            Aspect::Breadth => "Your arch is as wide as the computed one.".to_owned(),
            Aspect::Envelope if computed.last_ratio? > 0.7 => {
                "Your maxima keep their height, as computed.".to_owned()
            }
            Aspect::Envelope => "Your side lobes are as low as the computed ones.".to_owned(),
            Aspect::JumpPlace => format!(
                "Your jumps come where they should, {}.",
                self.jumps(computed)?
            ),
            Aspect::JumpTarget => "Your jumps lead as far as the computed ones.".to_owned(),
            Aspect::Treads if computed.stairs? > 0.8 => {
                "Your curve is flat between its jumps, as computed.".to_owned()
            }
            Aspect::Treads => "Your curve climbs between its jumps, as computed.".to_owned(),
            _ => return None,
        })
    }

    /// Says how an aspect differs.
    pub(super) fn differs(&self, aspect: Aspect) -> String {
        let (drawn, computed) = (self.drawn, self.computed);
        match aspect {
            Aspect::Sign if drawn.negative > computed.negative => {
                "Your curve goes below zero; the computed one never does.".to_owned()
            }
            Aspect::Sign => "Your curve stays above zero; the computed one does not.".to_owned(),
            Aspect::Phase => format!(
                "At zero your curve {}; the computed one {}.",
                at_origin(drawn.origin),
                at_origin(computed.origin)
            ),
            Aspect::Period => self.period(),
            Aspect::Return if drawn.turning(false).count() == 0 => self.never_returns(),
            Aspect::Return => format!(
                "Your curve turns at {}; the computed one has no minimum there.",
                self.minima(drawn).unwrap_or_else(|| "some place".to_owned())
            ),
            Aspect::Depth => format!(
                "Your minima reach {} of the maximum; the computed ones reach {}.",
                number(by_hand(drawn.depth.unwrap_or(0.0))),
                number(by_hand(computed.depth.unwrap_or(0.0)))
            ),
            Aspect::Breadth => format!(
                "Your arch takes {} of the axis at half its height; the computed one {}.",
                number(drawn.breadth),
                number(computed.breadth)
            ),
            Aspect::Envelope => self.envelope(),
            Aspect::Symmetry => {
                "Left and right of zero differ in your curve; the computed one is the same on both sides."
                    .to_owned()
            }
            Aspect::JumpCount if drawn.jumps.is_empty() => format!(
                "Your curve has no jump; the computed one jumps at {}.",
                self.jumps(computed).unwrap_or_default()
            ),
            Aspect::JumpCount | Aspect::JumpPlace => format!(
                "Your jumps come at {}; the computed ones at {}.",
                self.jumps(drawn).unwrap_or_else(|| "no place".to_owned()),
                self.jumps(computed).unwrap_or_else(|| "no place".to_owned())
            ),
            Aspect::JumpTarget => format!(
                "After the jump your curve is at {}; the computed one at {}.",
                self.after(drawn),
                self.after(computed)
            ),
            Aspect::Treads if drawn.stairs > computed.stairs => {
                "The computed curve climbs more between its jumps, and jumps less far, than yours."
                    .to_owned()
            }
            Aspect::Treads => {
                "The computed curve climbs less between its jumps, and jumps farther, than yours."
                    .to_owned()
            }
            Aspect::Height => format!(
                "Your curve reaches {}; the computed one {}.",
                self.value(drawn.magnitude()),
                self.value(computed.magnitude())
            ),
        }
    }

    /// Where an aspect shows best on the computed curve.
    pub(super) fn place(&self, aspect: Aspect) -> Option<f64> {
        match aspect {
            Aspect::Phase => Some(0.0),
            Aspect::Period | Aspect::Depth | Aspect::Return => self.computed.first_minimum,
            Aspect::Envelope => {
                let beyond = self.computed.first_minimum.unwrap_or(0.0);
                self.computed
                    .turning(true)
                    .map(|maximum| maximum.x)
                    .find(|&x| x > beyond)
            }
            Aspect::JumpCount | Aspect::JumpPlace | Aspect::JumpTarget | Aspect::Treads => {
                self.first_jump(self.computed).map(|jump| jump.x)
            }
            Aspect::Sign | Aspect::Breadth | Aspect::Symmetry | Aspect::Height => None,
        }
    }

    fn period(&self) -> String {
        match (self.minima(self.drawn), self.minima(self.computed)) {
            (Some(mine), Some(theirs)) if mine != theirs => format!(
                "Your minima sit at {mine}; the computed ones at {}.",
                self.unit_after(theirs)
            ),
            (_, Some(theirs)) => format!(
                "The computed minima sit at {}; yours elsewhere.",
                self.unit_after(theirs)
            ),
            _ => "Your minima sit elsewhere than the computed ones.".to_owned(),
        }
    }

    fn never_returns(&self) -> String {
        let flat = self.drawn.swing() < 0.18;
        match (flat, self.minima(self.computed)) {
            (true, _) => format!(
                "Your curve hardly changes; the computed one runs from {} to {}.",
                number(by_hand(self.computed.lowest) * self.extent),
                self.value(self.computed.highest)
            ),
            (false, Some(minima)) => format!(
                "Your curve hardly rises again; the computed one turns at {}.",
                self.unit_after(minima)
            ),
            (false, None) => "Your curve hardly rises again; the computed one does.".to_owned(),
        }
    }

    fn envelope(&self) -> String {
        let ratio = |features: &Features| {
            if self.computed.last_ratio.unwrap_or(0.0) > 0.7 {
                features.last_ratio
            } else {
                features.side_ratio
            }
        };
        match (ratio(self.drawn), ratio(self.computed)) {
            // How many times higher says nothing where the middle is all but zero.
            (Some(mine), Some(theirs)) if mine > LEVEL && theirs > LEVEL => format!(
                "Your side maxima stand {} above the middle than the computed ones.",
                if mine > theirs { "farther" } else { "less far" }
            ),
            (Some(mine), Some(theirs)) if mine > LEVEL => format!(
                "Your side maxima stand higher than the middle; the computed ones are {} of it.",
                number(theirs)
            ),
            (Some(mine), Some(theirs)) if theirs > LEVEL => format!(
                "Your side maxima are {} of the central one; the computed ones stand higher than it.",
                number(mine)
            ),
            (Some(mine), Some(theirs)) => format!(
                "Your side maxima are {} of the central one; the computed ones {}.",
                number(mine),
                number(theirs)
            ),
            _ => "Your side maxima differ from the computed ones.".to_owned(),
        }
    }

    fn after(&self, features: &Features) -> String {
        self.first_jump(features)
            .map_or_else(|| self.value(0.0), |jump| self.value(jump.after))
    }

    fn first_jump<'f>(&self, features: &'f Features) -> Option<&'f Jump> {
        features
            .jumps
            .iter()
            .min_by(|a, b| a.x.abs().total_cmp(&b.x.abs()))
    }

    /// The minima as `1, 2` or, on both sides of zero, `±1, ±2`.
    fn minima(&self, features: &Features) -> Option<String> {
        let places: Vec<f64> = features.turning(false).map(|minimum| minimum.x).collect();
        let unit = features.spacing.or(features.first_minimum).unwrap_or(1.0);
        list(&places, 0.1 * unit)
    }

    fn jumps(&self, features: &Features) -> Option<String> {
        let places: Vec<f64> = features.jumps.iter().map(|jump| jump.x).collect();
        let unit = jump_spacing(features).unwrap_or(1.0);
        list(&places, 0.1 * unit).map(|places| self.unit_after(places))
    }

    fn unit_after(&self, places: String) -> String {
        let unit = shown_unit(self.x_unit);
        if unit.is_empty() {
            places
        } else {
            format!("{places} {unit}")
        }
    }

    fn value(&self, share: f64) -> String {
        let value = share * self.extent;
        if shown_unit(self.y_unit).is_empty() {
            format!("{} of the maximum", number(value))
        } else {
            with_unit(value, self.y_unit)
        }
    }
}

fn at_origin(origin: Origin) -> &'static str {
    match origin {
        Origin::Maximum => "has a maximum",
        Origin::Minimum => "has a minimum",
        Origin::Rises => "rises",
        Origin::Falls => "falls",
        Origin::Unclear => "has no clear turn",
    }
}

/// Places to the right of zero (or all, when none is), those with a twin on the left as `±`.
fn list(places: &[f64], near: f64) -> Option<String> {
    let has_right = places.iter().any(|&x| x > near);
    let mut text = String::new();
    let mut listed = 0;
    for &x in places.iter().filter(|&&x| !has_right || x > -near) {
        if listed == LISTED {
            text.push_str(", …");
            break;
        }
        if listed > 0 {
            text.push_str(", ");
        }
        let twin = x > near && places.iter().any(|&other| (other + x).abs() < 2.0 * near);
        if twin {
            text.push('±');
        }
        text.push_str(&number(x));
        listed += 1;
    }
    (listed > 0).then_some(text)
}

/// A unit as it is shown; a pure share has none.
pub(super) fn shown_unit(unit: &str) -> String {
    if unit == "relative" {
        String::new()
    } else {
        quantity::shown_unit(unit)
    }
}

/// A number and its unit.
pub(super) fn with_unit(value: f64, unit: &str) -> String {
    let unit = shown_unit(unit);
    if unit.is_empty() {
        number(value)
    } else {
        format!("{} {unit}", number(value))
    }
}

/// A share of the axis as a hand can draw it: a zero that lies between two columns is still zero.
fn by_hand(share: f64) -> f64 {
    if share.abs() < 0.025 { 0.0 } else { share }
}

/// A number to two figures, as a hand can draw it, with a true minus sign.
pub(super) fn number(value: f64) -> String {
    let size = value.abs();
    if size < 0.005 || !value.is_finite() {
        return "0".to_owned();
    }
    let decimals = if size >= 9.95 {
        0
    } else if size >= 0.995 {
        1
    } else {
        2
    };
    let mut text = fixed(size, decimals);
    if text.contains('.') {
        let kept = text.trim_end_matches('0').trim_end_matches('.').len();
        text.truncate(kept);
    }
    if value < 0.0 {
        format!("−{text}")
    } else {
        text
    }
}
