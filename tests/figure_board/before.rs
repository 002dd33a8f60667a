//! Nothing that follows is there before it may be.

use super::*;

/// Two insides that differ only in what follows give the same picture and the same words.
#[test]
fn nothing_that_follows_is_there_before_it_may_be() {
    let mut other = vec![
        junction(0.7),
        phasors(2, 0.2),
        ring(0.3, -0.4, (1.0, 0.45)),
        one_junction(0.5, 0.215, 0.785),
        tank(0.2, 0.6),
        operating(9e-6, 0.3),
        working(0.25, 7e-11),
        feedback(1.93, 0.03),
        wire(0.3, 0.6),
    ];
    let first = other.clone();
    for inside in &mut other {
        match inside {
            Inside::Junction { total, .. } => *total = -0.99,
            Inside::Phasors { resultant, .. } => *resultant = 0.123,
            Inside::Loop {
                total_flux,
                circulating,
                circulating_simple,
                critical,
                at_limit,
                occupied,
                ..
            } => {
                *total_flux = 0.9;
                *circulating = 0.77;
                *circulating_simple = 0.66;
                *critical = 0.11;
                *at_limit = (0.2, 0.3);
                *occupied = 1;
            }
            Inside::RfLoop {
                rising,
                falling,
                circulating_rising,
                circulating_falling,
                curve,
                ..
            } => {
                curve.truncate(1);
                *rising = (0.3, 0.1);
                *falling = (0.3, 0.1);
                *circulating_rising = 0.4;
                *circulating_falling = 0.4;
            }
            Inside::Tank {
                swing,
                loops,
                on_step,
                path,
                voltage,
                ..
            } => {
                *voltage = 1e-6;
                *swing = 0.3;
                *loops = 0.0;
                *on_step = false;
                path.clear();
            }
            Inside::OperatingPoint(point) => {
                point.voltage = 1e-6;
                point.curve = vec![(0.0, 0.0), (16e-6, 48e-6)];
                point.whole.truncate(2);
                point.half.truncate(2);
            }
            Inside::WorkingPoint(point) => {
                point.voltage = 3e-6;
                point.transfer = -1e-5;
                point.noise = 5e-11;
                point.noisiest = 9e-11;
                for place in &mut point.curve {
                    place.1 *= 0.5;
                }
            }
            Inside::Wire(wire) => {
                wire.flux = 2.2;
                wire.contacts = (-0.1, 0.3);
                wire.resultant = 0.2;
            }
            Inside::FeedbackLoop(place) => {
                place.output = 0.2;
                place.error = 1.73;
                place.voltage = 1e-6;
                place.held = 2e-6;
                for place in &mut place.curve {
                    place.1 *= 0.5;
                }
            }
        }
    }
    for (one, two) in first.iter().zip(&other) {
        for picture in PICTURES {
            let shut = light(picture, false);
            assert_eq!(board::scene(one, &shut), board::scene(two, &shut));
            assert_eq!(
                board::describe(one, picture, false),
                board::describe(two, picture, false)
            );
            let open = light(picture, true);
            let (a, b) = (board::scene(one, &open), board::scene(two, &open));
            assert_ne!(a, b, "{picture:?}: what follows is shown once it may be");
        }
    }
}
