//! The inside of a device as one list of numbers, so that it travels from whoever computes it to the
//! page, every number to the last bit.
//!
//! A new kind of inside needs an arm in [`blank`] and one in [`Inside::carry`].

use super::{CurvePiece, EnergyBranch, Inside, View};

/// Puts numbers into a list, or takes them out again: each kind of inside says only once what it
/// is made of.
enum Carrier<'a> {
    Packing(Vec<f64>),
    Unpacking(std::slice::Iter<'a, f64>),
}

impl Carrier<'_> {
    fn number(&mut self, value: &mut f64) {
        match self {
            Self::Packing(list) => list.push(*value),
            Self::Unpacking(rest) => *value = rest.next().copied().unwrap_or(f64::NAN),
        }
    }

    fn pair(&mut self, pair: &mut (f64, f64)) {
        self.number(&mut pair.0);
        self.number(&mut pair.1);
    }

    fn flag(&mut self, flag: &mut bool) {
        let mut value = f64::from(u8::from(*flag));
        self.number(&mut value);
        *flag = value > 0.5;
    }

    fn piece(&mut self, (stable, points): &mut CurvePiece) {
        self.flag(stable);
        self.list(points, Carrier::pair);
    }

    fn whole(&mut self, whole: &mut i32) {
        let mut value = f64::from(*whole);
        self.number(&mut value);
        *whole = value as i32;
    }

    /// A list of anything: how many, then each.
    fn list<T: Clone + Default>(&mut self, items: &mut Vec<T>, each: fn(&mut Self, &mut T)) {
        let mut count = items.len() as f64;
        self.number(&mut count);
        if let Self::Unpacking(rest) = self {
            // A list that was cut short is not made longer than what is there.
            items.resize((count as usize).min(rest.len()), T::default());
        }
        for item in items {
            each(self, item);
        }
    }
}

/// An empty inside as seen from each view; none for what does not travel, because the page computes
/// it or puts it together from runs.
fn blank(view: View) -> Option<Inside> {
    Some(match view {
        View::Junction => Inside::Junction {
            flux: 0.0,
            density: Vec::new(),
            local_current: Vec::new(),
            total: 0.0,
        },
        View::Phasors => Inside::Phasors {
            flux: 0.0,
            phasors: Vec::new(),
            resultant: 0.0,
        },
        View::Loop => Inside::Loop {
            flux: 0.0,
            total_flux: 0.0,
            circulating: 0.0,
            circulating_simple: 0.0,
            critical: 0.0,
            at_limit: (0.0, 0.0),
            branches: Vec::new(),
            occupied: 0,
        },
        View::RfLoop => Inside::RfLoop {
            flux: 0.0,
            rising: (0.0, 0.0),
            falling: (0.0, 0.0),
            circulating_rising: 0.0,
            circulating_falling: 0.0,
            landscape: Vec::new(),
            curve: Vec::new(),
        },
        View::Tank => Inside::Tank {
            flux: 0.0,
            drive: 0.0,
            voltage: 0.0,
            swing: 0.0,
            loops: 0.0,
            on_step: false,
            curve: Vec::new(),
            path: Vec::new(),
        },
        View::OperatingPoint | View::WorkingPoint | View::FeedbackLoop | View::Wire => return None,
    })
}

impl Inside {
    /// The inside as a list of numbers: the place of its view among all, then what it is made of.
    #[must_use]
    pub fn numbers(&self) -> Vec<f64> {
        let own = std::mem::discriminant(self);
        let view = View::ALL.iter().position(|view| {
            blank(*view).is_some_and(|blank| std::mem::discriminant(&blank) == own)
        });
        let mut carrier = Carrier::Packing(vec![view.map_or(f64::NAN, |view| view as f64)]);
        self.clone().carry(&mut carrier);
        match carrier {
            Carrier::Packing(list) => list,
            Carrier::Unpacking(_) => Vec::new(),
        }
    }

    /// The inside that these numbers tell of; none when they are of no kind. Numbers that are missing
    /// are not numbers.
    #[must_use]
    pub fn from_numbers(numbers: &[f64]) -> Option<Self> {
        let (view, rest) = numbers.split_first()?;
        // What is not a number must not be taken for the first.
        let view = view.is_finite().then_some(*view as usize)?;
        let mut inside = blank(*View::ALL.get(view)?)?;
        inside.carry(&mut Carrier::Unpacking(rest.iter()));
        Some(inside)
    }

    fn carry(&mut self, by: &mut Carrier<'_>) {
        match self {
            Self::Junction {
                flux,
                density,
                local_current,
                total,
            } => {
                by.number(flux);
                by.list(density, Carrier::number);
                by.list(local_current, Carrier::number);
                by.number(total);
            }
            Self::Phasors {
                flux,
                phasors,
                resultant,
            } => {
                by.number(flux);
                by.list(phasors, Carrier::pair);
                by.number(resultant);
            }
            Self::Loop {
                flux,
                total_flux,
                circulating,
                circulating_simple,
                critical,
                at_limit,
                branches,
                occupied,
            } => {
                for value in [flux, total_flux, circulating, circulating_simple, critical] {
                    by.number(value);
                }
                by.pair(at_limit);
                by.list(branches, |by, EnergyBranch { quanta, energy }| {
                    by.whole(quanta);
                    by.number(energy);
                });
                by.whole(occupied);
            }
            Self::RfLoop {
                flux,
                rising,
                falling,
                circulating_rising,
                circulating_falling,
                landscape,
                curve,
            } => {
                by.number(flux);
                by.pair(rising);
                by.pair(falling);
                by.number(circulating_rising);
                by.number(circulating_falling);
                by.list(landscape, Carrier::pair);
                by.list(curve, Carrier::piece);
            }
            Self::Tank {
                flux,
                drive,
                voltage,
                swing,
                loops,
                on_step,
                curve,
                path,
            } => {
                for value in [flux, drive, voltage, swing, loops] {
                    by.number(value);
                }
                by.flag(on_step);
                by.list(curve, Carrier::piece);
                by.list(path, Carrier::pair);
            }
            Self::OperatingPoint(_)
            | Self::WorkingPoint(_)
            | Self::FeedbackLoop(_)
            | Self::Wire(_) => {}
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]
mod tests {
    use super::*;
    use crate::experiment::{Setup, descriptions, inside, look_inside};

    #[test]
    fn every_view_travels_to_the_last_bit() {
        let mut seen = Vec::new();
        for description in descriptions() {
            let setup = Setup::new(description.kind).unwrap();
            let (from, to) = setup.default_window();
            let travels = |view: &&View| blank(**view).is_some();
            for view in description.views().iter().filter(travels) {
                for share in [0.0, 0.137, 1.0 / 3.0, 0.5, 0.9] {
                    let there = look_inside(&setup, *view, from + (to - from) * share).unwrap();
                    let numbers = there.numbers();
                    assert_eq!(View::ALL[numbers[0] as usize], *view);
                    let back = Inside::from_numbers(&numbers).unwrap();
                    // The shortest text that reads back as the same number: equal texts are equal bits.
                    assert_eq!(format!("{there:?}"), format!("{back:?}"));
                }
                seen.push(*view);
            }
        }
        for view in View::ALL.iter().filter(|view| blank(**view).is_some()) {
            assert!(seen.contains(view), "no set-up shows {view:?}");
        }
    }

    #[test]
    fn what_is_cut_short_or_of_no_kind_does_no_harm() {
        let setup = Setup::new("rf-readout").unwrap();
        let whole = inside(&setup, 0.3).unwrap().numbers();
        for length in 1..whole.len() {
            assert!(Inside::from_numbers(&whole[..length]).is_some());
        }
        for nonsense in [f64::NAN, f64::INFINITY, 1e300] {
            assert!(Inside::from_numbers(&[nonsense]).is_none());
            assert!(Inside::from_numbers(&[0.0, 0.1, nonsense]).is_some());
        }
        assert!(Inside::from_numbers(&[]).is_none());
    }
}
