//! Colours and sizes: what can be seen and read.

use super::*;

/// Contrast limits: WCAG 2.2, success criteria 1.4.3 (text) and 1.4.11 (graphics).
#[test]
fn every_line_and_word_stands_out() {
    let roles = [
        Role::Computed,
        Role::Sketch,
        Role::Candidate(0),
        Role::Candidate(1),
        Role::Candidate(2),
        Role::Candidate(3),
        Role::Envelope,
        Role::Simple,
        Role::Ghost(0),
        Role::Ghost(1),
        Role::Ghost(2),
    ];
    for theme in Theme::all() {
        for background in [theme.paper, theme.plot] {
            for role in roles {
                let ratio = contrast(theme.ink(role).colour, background);
                assert!(ratio >= 3.0, "{} {role:?}: {ratio:.2}", theme.name);
            }
            for (what, colour) in [
                ("edge", theme.edge),
                ("cursor", theme.cursor),
                ("field", theme.field),
            ] {
                let ratio = contrast(colour, background);
                assert!(ratio >= 3.0, "{} {what}: {ratio:.2}", theme.name);
            }
            // Everything that words are set in: axes, keys, and the letters of curves and boards.
            let mut texts = vec![
                theme.words,
                theme.quiet,
                theme.computed,
                theme.sketch,
                theme.cursor,
            ];
            texts.extend([theme.current, theme.counter, theme.field]);
            texts.extend(theme.candidates);
            for colour in texts {
                let ratio = contrast(colour, background);
                assert!(ratio >= 4.5, "{} {colour:?}: {ratio:.2}", theme.name);
            }
        }
        // On a board the arrows lie on metal, its skin and the barrier.
        for below in [theme.metal, theme.skin, theme.barrier] {
            for colour in [theme.current, theme.counter, theme.field] {
                let ratio = contrast(colour, below);
                assert!(
                    ratio >= 3.0,
                    "{} {colour:?} on {below:?}: {ratio:.2}",
                    theme.name
                );
            }
        }
        for (index, &one) in roles.iter().enumerate() {
            for &other in &roles[..index] {
                let (a, b) = (theme.ink(one), theme.ink(other));
                assert_ne!(a.dash, b.dash, "{one:?} and {other:?} have the same dash");
                if !matches!((one, other), (Role::Ghost(_), Role::Ghost(_))) {
                    // On white paper the computed curve and the sketch are both black: dash and mark tell them apart.
                    assert!(
                        a.colour != b.colour || theme.name == "print",
                        "{}",
                        theme.name
                    );
                    assert_ne!(theme.end_mark(one), theme.end_mark(other));
                }
            }
        }
    }
    // Black on white is 21 by the definition of the contrast ratio (WCAG 2.2).
    use coldfringe::figure::scene::Colour;
    let most = contrast(Colour(0, 0, 0), Colour(255, 255, 255));
    assert!((most - 21.0).abs() < 1e-12);
}

/// A projector in a bright room cannot show black: what is sent as black comes out as a dark grey.
/// Everything of the lecture's look is held to that: the grey of a quarter is added to both
/// colours, as light adds, and the contrast is taken by the formula of WCAG 2.2. Words keep 7:1,
/// lines 3:1.
#[test]
fn the_lecture_is_readable_on_a_washed_out_projector() {
    use coldfringe::figure::scene::Colour;
    let linear = |channel: u8| {
        let share = f64::from(channel) / 255.0;
        if share <= 0.04045 {
            share / 12.92
        } else {
            coldfringe::numerics::elementary::pow((share + 0.055) / 1.055, 2.4)
        }
    };
    let luminance = |colour: Colour| {
        0.2126 * linear(colour.0) + 0.7152 * linear(colour.1) + 0.0722 * linear(colour.2)
    };
    let lift = luminance(Colour(64, 64, 64));
    let washed = |one: Colour, other: Colour| {
        let shown = |colour| lift + luminance(colour) * (1.0 - lift) + 0.05;
        let (one, other) = (shown(one), shown(other));
        one.max(other) / one.min(other)
    };
    let black_on_white = washed(Colour(0, 0, 0), Colour(255, 255, 255));
    assert!((10.0..11.0).contains(&black_on_white), "{black_on_white}");
    for theme in [Theme::lecture(), Theme::lecture_dark()] {
        let words = washed(theme.words, theme.plot).min(washed(theme.quiet, theme.plot));
        assert!(words >= 7.0, "{}: words {words:.2}", theme.name);
        let lines = [
            theme.computed,
            theme.sketch,
            theme.envelope,
            theme.simple,
            theme.ghost,
            theme.current,
            theme.counter,
            theme.field,
            theme.cursor,
            theme.edge,
        ];
        for colour in lines.into_iter().chain(theme.candidates) {
            let ratio = washed(colour, theme.plot);
            assert!(ratio >= 3.0, "{}: {colour:?} {ratio:.2}", theme.name);
        }
        assert_eq!(theme.grid, theme.plot, "no thin grey grid");
        assert_eq!(theme.grid_fine, None);
    }
}

#[test]
fn projector_words_are_large() {
    assert!(Theme::lecture().text_size(1100.0) >= 28.0);
    assert!(Theme::light().text_size(340.0) >= 12.0);
}
