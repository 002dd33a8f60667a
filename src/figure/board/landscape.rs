//! The energy of a loop with one junction against its total flux: a ball in the valley that is occupied
//! when the applied flux has risen, and a ring in the one occupied when it has fallen.

use crate::experiment::Inside;
use crate::figure::frame::Frame;
use crate::figure::scene::{Ink, Scene};
use crate::figure::ticks::number;

use super::{BoardOptions, Sheet, flux_words};

/// Two states nearer to each other than this are one.
const ONE_STATE: f64 = 1e-6;

/// The picture.
pub(super) fn scene(inside: &Inside, options: &BoardOptions) -> Scene {
    let mut sheet = Sheet::new(options, "energy of the loop against its total flux");
    let Inside::RfLoop {
        flux,
        rising,
        falling,
        circulating_rising,
        landscape,
        ..
    } = inside
    else {
        return sheet.scene;
    };
    let theme = sheet.theme;
    let frame = frame(&sheet, *flux, landscape);
    sheet.plate(&frame);
    sheet.flux_marks(&frame);
    let ink = Ink::solid(theme.current, 2.2 * theme.line_scale);
    sheet.curve(&frame, landscape, &ink);
    sheet.foot(&frame);
    sheet.name_axes(&frame, "total flux (\u{3a6}\u{2080})", "energy");
    sheet.flux_line(&frame, *flux, "applied");
    if options.show_sum {
        if (rising.0 - falling.0).abs() > ONE_STATE {
            occupied(&mut sheet, &frame, *falling, false);
        }
        occupied(&mut sheet, &frame, *rising, true);
        let total = flux_words(rising.0);
        let current = number(*circulating_rising, 2);
        let wordings = [
            format!("ball, flux risen: total {total}, circulating {current} of the limit"),
            format!("risen: {total}, current {current}"),
            format!("risen: {total}"),
        ];
        sheet.caption(1.0, &wordings, theme.words);
        let total = flux_words(falling.0);
        let wordings = [
            format!("ring, flux fallen: total {total}"),
            format!("fallen: {total}"),
        ];
        sheet.caption(0.0, &wordings, theme.words);
    }
    sheet.scene
}

/// Total flux across, and energies from the deepest valley up to a little above the bumps between the
/// valleys near the applied flux.
fn frame(sheet: &Sheet, flux: f64, landscape: &[(f64, f64)]) -> Frame {
    let ends = (landscape.first(), landscape.last());
    let x = match ends {
        (Some(first), Some(last)) if first.0 < last.0 && (last.0 - first.0).is_finite() => {
            (first.0, last.0)
        }
        _ => (-1.0, 1.0),
    };
    let near = |reach: f64| {
        landscape
            .iter()
            .filter(move |(total, energy)| (total - flux).abs() <= reach && energy.is_finite())
            .map(|(_, energy)| *energy)
    };
    let least = near(f64::INFINITY).fold(f64::INFINITY, f64::min);
    let most = near(0.75).fold(f64::NEG_INFINITY, f64::max);
    let y = if least < most {
        (least - 0.12 * (most - least), most + 0.15 * (most - least))
    } else {
        (-1.0, 1.0)
    };
    sheet.frame(x, y, 5.6)
}

/// A full ball, or a ring, in a state.
fn occupied(sheet: &mut Sheet, frame: &Frame, state: (f64, f64), full: bool) {
    let theme = sheet.theme;
    let at = frame.to_px(state);
    if !frame.contains_px(at) {
        return;
    }
    let radius = sheet.size * 0.52;
    sheet.scene.disc(at, radius + 1.5, theme.plot);
    sheet.scene.disc(at, radius, theme.counter);
    let (shift, hole) = if full { (0.3, 0.26) } else { (0.0, 0.6) };
    let middle = (at.0 - radius * shift, at.1 - radius * shift);
    sheet.scene.disc(middle, radius * hole, theme.plot);
}

/// The picture in words.
pub(super) fn describe(inside: &Inside, show_sum: bool) -> String {
    let Inside::RfLoop {
        flux,
        rising,
        falling,
        circulating_rising,
        circulating_falling,
        ..
    } = inside
    else {
        return String::new();
    };
    let start = format!(
        "The energy of the loop against its total flux: a bowl round the applied flux of {}, with a ripple of one flux quantum.",
        flux_words(*flux)
    );
    if !show_sum {
        return format!("{start} The occupied valley is not shown yet.");
    }
    let state = |place: &(f64, f64), circulating: f64| {
        format!(
            "the total flux is {} and the circulating current {} of the junction's limit",
            flux_words(place.0),
            number(circulating, 2)
        )
    };
    if (rising.0 - falling.0).abs() > ONE_STATE {
        format!(
            "{start} When the applied flux has risen, {}. When it has fallen, {}.",
            state(rising, *circulating_rising),
            state(falling, *circulating_falling)
        )
    } else {
        format!(
            "{start} Risen or fallen, {}.",
            state(rising, *circulating_rising)
        )
    }
}
