//! Loops: currents, flux and words agree.

use super::*;

/// Positive circulating current raises the flux; with the field out of the page it runs
/// counter-clockwise (right-hand rule).
#[test]
fn circulating_current_turns_the_right_way() {
    let theme = Theme::light();
    for (circulating, wanted) in [(0.5, 1.0), (-0.5, -1.0)] {
        let scene = board::scene(
            &ring(0.3, circulating, (1.0, 1.0)),
            &light(BoardPicture::Loop, true),
        );
        let arcs = lines(&scene, theme.counter);
        assert_eq!(arcs.len(), 1);
        let arc = &arcs[0];
        let (a, b, c) = (arc[0], arc[arc.len() / 2], arc[arc.len() - 1]);
        // The page's y runs down, so counter-clockwise has a negative cross product there.
        let turn = (b.0 - a.0) * (c.1 - b.1) - (b.1 - a.1) * (c.0 - b.0);
        assert!(turn * wanted < 0.0, "{circulating}");
    }
    let still = board::scene(
        &ring(0.0, 0.0, (0.9, 0.9)),
        &light(BoardPicture::Loop, true),
    );
    assert!(
        lines(&still, theme.counter).is_empty(),
        "no current, no arrow"
    );
}

/// At rest no bias is drawn or spoken of, and both junctions carry the circulating current.
#[test]
fn a_loop_at_rest_has_no_bias() {
    let inside = ring(0.4, -0.2, (1.0, 0.6));
    let scene = board::scene(&inside, &light(BoardPicture::LoopAtRest, true));
    let said: Vec<&str> = scene
        .items
        .iter()
        .filter_map(|item| match item {
            Item::Words { text, .. } => Some(text.as_str()),
            _ => None,
        })
        .collect();
    assert!(!said.iter().any(|text| text.contains("bias")), "{said:?}");
    assert_eq!(
        said.iter().filter(|text| **text == "0.20").count(),
        2,
        "{said:?}"
    );
    let words = board::describe(&inside, BoardPicture::LoopAtRest, true);
    assert!(
        words.contains("without bias") && words.contains("0.20"),
        "{words}"
    );
    assert!(words.contains("clockwise, which lowers"), "{words}");
    let hidden = board::describe(&inside, BoardPicture::LoopAtRest, false);
    assert!(!hidden.contains("0.20"), "{hidden}");
}

/// Bias runs upwards, so a clockwise current adds to it in the left arm; words and picture say so.
#[test]
fn words_agree_with_the_directions() {
    let words = board::describe(&ring(0.3, -0.4, (1.0, 0.45)), BoardPicture::Loop, true);
    assert!(
        words.contains("clockwise, which lowers the flux"),
        "{words}"
    );
    assert!(!words.contains("counter-clockwise"), "{words}");
    assert!(
        words.contains("left arm") && words.contains("left junction carries 1.00"),
        "{words}"
    );
    let words = board::describe(&ring(0.7, 0.4, (0.45, 1.0)), BoardPicture::Loop, true);
    assert!(
        words.contains("counter-clockwise, which raises the flux"),
        "{words}"
    );
    assert!(words.contains("right arm"), "{words}");
    let words = board::describe(&junction(1.0), BoardPicture::Junction, true);
    assert!(
        words.contains("changes direction twice") && words.contains("sum is 0.00"),
        "{words}"
    );
    let words = board::describe(&ring(0.7, 0.4, (0.45, 1.0)), BoardPicture::Energies, true);
    assert!(
        words.contains("The state with 1 quantum is occupied"),
        "{words}"
    );
}

/// One sign of field for a quarter of a quantum, dots out of the page, crosses into it.
#[test]
fn field_signs_count_the_flux() {
    let theme = Theme::light();
    let signs = |flux: f64| {
        let scene = board::scene(
            &ring(flux, 0.0, (1.0, 1.0)),
            &light(BoardPicture::Loop, true),
        );
        let drawn = lines(&scene, theme.field);
        let rings = drawn.iter().filter(|points| points.len() > 3).count();
        let bars = drawn.iter().filter(|points| points.len() == 2).count();
        (rings, bars)
    };
    assert_eq!(signs(0.0), (0, 0));
    assert_eq!(signs(1.0), (4, 0));
    assert_eq!(signs(-1.5), (6, 12));
}
