#![cfg(not(target_arch = "wasm32"))]
//! Quantities as people write them.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]

use coldfringe::constants::FLUX_QUANTUM;
use coldfringe::numerics::elementary::pow;
use coldfringe::quantity::{
    Dimension, QuantityError, digits, express, parse_quantity, parse_unit, show, shown_unit, typed,
};
use proptest::prelude::*;

fn near(text: &str, si: f64) {
    let parsed = parse_quantity(text).unwrap_or_else(|error| panic!("{text}: {error}"));
    assert!(
        (parsed.si - si).abs() <= 1e-15 * si.abs(),
        "{text}: {} instead of {si}",
        parsed.si
    );
}

#[test]
fn texts_that_other_parsers_stumble_over() {
    near("2.07 fWb", 2.07e-15);
    near("2.07fWb", 2.07e-15);
    near("33µA", 33e-6);
    near("33 µA", 33e-6); // U+00B5
    near("33 μA", 33e-6); // U+03BC
    near("33 uA", 33e-6);
    near("0.52 mT", 0.52e-3);
    near("1 T", 1.0);
    near("5 V/T", 5.0);
    near("0.5 G", 0.5e-4);
    near("0.5 gauss", 0.5e-4);
    near("0,52 mT", 0.52e-3);
    near("−3 mA", -3e-3); // U+2212
    near("3×10^-6 A", 3e-6);
    near("10 µm²", 10e-12);
    near("10 um^2", 10e-12);
    near("2e-15 V s", 2e-15);
    near("1.2 Ω", 1.2);
    near("1.2e-6 phi0/sqrt(Hz)", 1.2e-6 * FLUX_QUANTUM);
    near("1.2 uPhi0/Hz^0.5", 1.2e-6 * FLUX_QUANTUM);
    near("1.5 Φ0", 1.5 * FLUX_QUANTUM);
    near("20 pV/sqrt(Hz)", 20e-12);
    near("1 K", 1.0);
    for endless in ["inf A", "NaN A", "1e999 A", "∞ A", "-inf", "2^99999999"] {
        assert!(parse_quantity(endless).is_err(), "{endless}");
    }
    assert!(matches!(
        parse_quantity("1e999 A"),
        Err(QuantityError::NotFinite(_))
    ));
}

#[test]
fn texts_of_a_numeric_answer() {
    near("2.07e-15", 2.07e-15);
    near("2.07x10^-15", 2.07e-15);
    near("2.07*10^-15", 2.07e-15);
    near("2.07 · 10⁻¹⁵ Wb", 2.07e-15);
    near("3×10⁻⁶ A", 3e-6);
    near("10^-6 A", 1e-6);
    near("10⁻⁶ A", 1e-6);
    near("-10^3", -1e3);
    near("2,07", 2.07);
    near("0,520 mT", 0.52e-3);
    near("1,2345 T", 1.2345);
    near("+5\u{a0}mT", 5e-3);
    near("1\u{2009}000 A", 1000.0);
    near("33 000 uA", 33e-3);
    near("1.5 Φ₀", 1.5 * FLUX_QUANTUM);
    near("1.5Phi_0", 1.5 * FLUX_QUANTUM);
    near("1.2 µΦ₀/√Hz", 1.2e-6 * FLUX_QUANTUM);
    near("1.2 µΦ₀/√(Hz)", 1.2e-6 * FLUX_QUANTUM);
    near("1.2 uPhi0 Hz^-1/2", 1.2e-6 * FLUX_QUANTUM);
    near("1.2 uPhi0 Hz^(-1/2)", 1.2e-6 * FLUX_QUANTUM);
    near("4 pV^2/Hz", 4e-24);
    near("6 ohm", 6.0);
    near("6 ohms", 6.0);
    near("6 kΩ", 6e3);
    near("6 k\u{2126}", 6e3); // the ohm sign
    near("1 V·s", 1.0);
    near("1 V*s", 1.0);
    near("1 eV", 1.602_176_634e-19);
    near("50 %", 0.5);
    near("12 um2", 12e-12);
    near(".5 mT", 0.5e-3);
    near("5. mT", 5e-3);
    near("1e3mT", 1.0);
    near("1 GHz", 1e9);
    near("1 mG", 1e-7);
    near("2 1/Hz", 2.0);
}

#[test]
fn a_round_number_stays_round() {
    for (text, si) in [
        ("100 uA", 1e-4),
        ("50 uA", 5e-5),
        ("10 um", 1e-5),
        ("181 nm", 1.81e-7),
        ("12 um^2", 1.2e-11),
        ("100 pH", 1e-10),
        ("0.2 mT", 2e-4),
    ] {
        let parsed = parse_quantity(text).unwrap();
        assert_eq!(parsed.si.to_bits(), f64::to_bits(si), "{text}");
        let back = express(parsed.si, &parsed.unit.unwrap());
        assert_eq!(back.to_bits(), parsed.value.to_bits(), "{text}");
    }
}

#[test]
fn a_doubtful_comma_is_asked_about() {
    let error = parse_quantity("1,234 mT").unwrap_err();
    assert_eq!(
        error,
        QuantityError::Ambiguous("1,234".into(), "1.234".into(), "1234".into())
    );
    assert!(error.to_string().contains("two ways"));
    assert!(matches!(
        parse_quantity("12,345"),
        Err(QuantityError::Ambiguous(..))
    ));
    assert!(matches!(
        parse_quantity("1,234.5"),
        Err(QuantityError::Mixed(_))
    ));
    assert!(matches!(
        parse_quantity("1.234,5"),
        Err(QuantityError::Mixed(_))
    ));
    assert!(matches!(
        parse_quantity("1,234,567"),
        Err(QuantityError::Mixed(_))
    ));
    assert!(matches!(
        parse_quantity("1.2.3"),
        Err(QuantityError::Mixed(_))
    ));
}

#[test]
fn what_cannot_be_read_says_why() {
    assert_eq!(parse_quantity(""), Err(QuantityError::Empty));
    assert_eq!(parse_quantity(" \t\u{a0}"), Err(QuantityError::Empty));
    assert_eq!(
        parse_quantity(&"9".repeat(121)),
        Err(QuantityError::TooLong)
    );
    assert_eq!(
        parse_quantity(&"9".repeat(1_000_000)),
        Err(QuantityError::TooLong)
    );
    assert!(matches!(
        parse_quantity("mT"),
        Err(QuantityError::NoNumber(_))
    ));
    assert!(matches!(
        parse_quantity("-"),
        Err(QuantityError::NoNumber(_))
    ));
    assert!(matches!(
        parse_quantity("five mT"),
        Err(QuantityError::NoNumber(_))
    ));
    assert!(matches!(
        parse_quantity("3e- A"),
        Err(QuantityError::Exponent(_))
    ));
    assert!(matches!(
        parse_quantity("3×10 A"),
        Err(QuantityError::Exponent(_))
    ));
    assert!(matches!(
        parse_quantity("1e-999 A"),
        Err(QuantityError::TooSmall(_))
    ));
    assert!(matches!(
        parse_quantity("1e-300 fA"),
        Err(QuantityError::TooSmall(_))
    ));
    assert!(matches!(
        parse_quantity("3 m^(1/3)"),
        Err(QuantityError::BadUnit(..))
    ));
    assert!(matches!(
        parse_quantity("3 m^99"),
        Err(QuantityError::BadUnit(..))
    ));
    assert!(matches!(
        parse_quantity("3 ((((((m))))))"),
        Err(QuantityError::BadUnit(..))
    ));
    assert!(matches!(
        parse_quantity("3 sqrt(Hz"),
        Err(QuantityError::BadUnit(..))
    ));
    assert!(matches!(
        parse_quantity("3 m/"),
        Err(QuantityError::BadUnit(..))
    ));
    let unknown = parse_quantity("3 fXb").unwrap_err().to_string();
    assert!(
        unknown.contains("fXb") && unknown.contains("fWb"),
        "{unknown}"
    );
    let unknown = parse_quantity("3 parsec").unwrap_err().to_string();
    assert!(unknown.contains("known are"), "{unknown}");
}

#[test]
fn figures_are_counted_as_typed() {
    for (text, figures) in [
        ("2.07 fWb", 3),
        ("2,070", 4),
        ("0.05", 1),
        ("0.050", 2),
        ("100", 3),
        ("3×10^-6", 1),
        ("0", 1),
        ("33 000 uA", 5),
    ] {
        let text = if text == "2,070" { "2.070" } else { text };
        assert_eq!(
            parse_quantity(text).unwrap().significant_figures,
            figures,
            "{text}"
        );
    }
}

#[test]
fn a_missing_unit_is_none_and_kinds_have_names() {
    assert!(parse_quantity("0.3").unwrap().unit.is_none());
    assert_eq!(
        parse_unit("mT").unwrap().dimension.words(),
        Some("a magnetic field")
    );
    assert_eq!(
        parse_unit("fWb").unwrap().dimension.words(),
        Some("a magnetic flux")
    );
    assert_eq!(
        parse_unit("V s").unwrap().dimension,
        parse_unit("Phi0").unwrap().dimension
    );
    assert_eq!(
        parse_unit("T m^2").unwrap().dimension,
        parse_unit("Wb").unwrap().dimension
    );
    assert_eq!(
        parse_unit("Wb/A").unwrap().dimension,
        parse_unit("pH").unwrap().dimension
    );
    assert_eq!(parse_unit("m/m").unwrap().dimension, Dimension::NONE);
    assert_ne!(
        parse_unit("V/Hz").unwrap().dimension,
        parse_unit("V/√Hz").unwrap().dimension
    );
}

#[test]
fn values_are_said_back_with_a_prefix() {
    assert_eq!(show(2.067_833_848e-15, "Wb", 3), "2.07 fWb");
    assert_eq!(show(1.142_4e-3, "T", 4), "1.142 mT");
    assert_eq!(show(999.7e-6, "A", 3), "1.00 mA");
    assert_eq!(show(-100e-6, "A", 3), "−100 µA");
    assert_eq!(show(0.0, "A", 3), "0 A");
    assert_eq!(show(12e-12, "m^2", 3), "12.0 µm²");
    assert_eq!(show(0.5, "Phi0", 2), "0.50 Φ₀");
    assert_eq!(show(1.2e-6, "Phi0/sqrt(Hz)", 2), "1.2 µΦ₀/√Hz");
    assert_eq!(show(0.476_418, "", 3), "0.476");
    assert_eq!(show(33.0, "", 2), "33");
    assert_eq!(show(33.0, "", 4), "33");
    assert_eq!(show(33.1, "", 4), "33.10");
    assert_eq!(show(4.94e-21, "J", 3), "4.94 zJ");
    assert_eq!(show(1234.0, "", 2), "1200");
    assert_eq!(show(f64::NAN, "A", 3), "no number");
    // No prefix reaches so far.
    assert_eq!(show(-1.043e-31, "J/Hz", 3), "−1.04·10⁻³¹ J/Hz");
    assert_eq!(digits(2.5e-7, 2), "2.5·10⁻⁷");
    assert_eq!(typed(-1.043e-31, 3), "-1.04e-31");
    assert_eq!(typed(33.0, 4), "33");
}

#[test]
fn units_are_shown_with_the_signs_of_the_trade() {
    for (written, shown) in [
        ("um2", "µm²"),
        ("um^2", "µm²"),
        ("uA", "µA"),
        ("\u{3bc}A", "µA"),
        ("fWb", "fWb"),
        ("nV/sqrt(Hz)", "nV/√Hz"),
        ("nV/√(Hz)", "nV/√Hz"),
        ("uPhi0/sqrt(Hz)", "µΦ₀/√Hz"),
        ("mphi_0", "mΦ₀"),
        ("kohm", "kΩ"),
        ("Ohm", "Ω"),
        ("V*s", "V·s"),
        ("V s", "V s"),
        ("pV^2/Hz", "pV²/Hz"),
        ("Phi0^2", "Φ₀²"),
        ("s^-1", "s⁻¹"),
        ("1/Hz", "1/Hz"),
        ("J/Hz", "J/Hz"),
        ("%", "%"),
    ] {
        let plain = parse_unit(written).map_or_else(|_| written.to_owned(), |unit| unit.symbol);
        assert_eq!(shown_unit(&plain), shown, "{written}");
    }
    assert_eq!(shown_unit("1"), "");
}

#[test]
fn two_numbers_in_one_box_are_told_of() {
    for text in ["1 2 mT", "1 mT 2 mT", "1 mT, 2 mT"] {
        let error = parse_quantity(text).unwrap_err().to_string();
        let is_told = error.contains("one number") || error.contains("cannot be read");
        assert!(is_told, "{text}: {error}");
    }
    let error = parse_quantity("1 2 mT").unwrap_err().to_string();
    assert!(error.contains("give one number with its unit"), "{error}");
}

proptest! {
    /// What is shown can be read again, to the figures shown.
    #[test]
    fn what_is_shown_can_be_read(mantissa in 1.0..10.0_f64, power in -33..17_i32, figures in 1..12_u32, which in 0..9_usize) {
        let unit = ["A", "T", "Wb", "m", "m^2", "Phi0", "H", "J/Hz", "Phi0/sqrt(Hz)"][which];
        let si = mantissa * pow(10.0, f64::from(power));
        let text = show(si, unit, figures);
        let parsed = parse_quantity(&text).unwrap();
        let si = if unit.starts_with("Phi0") { si * FLUX_QUANTUM } else { si };
        let error = (parsed.si / si - 1.0).abs();
        prop_assert!(error <= 0.51 * pow(10.0, 1.0 - f64::from(figures)) + 1e-14, "{} {}", text, error);
    }

    /// What is echoed of a typed unit can be typed again, and means the same.
    #[test]
    fn what_is_echoed_can_be_typed(text in "[uµnkpm]?(A|T|Hz|Phi0|phi_0|Φ₀|Wb|ohm|m|s|sqrt\\(Hz\\)|√Hz|V)(\\^-?[1-4]|2|\\*\\*2|²|⁻¹|\\^0\\.5|\\^-1/2|\\^\\(1/2\\))?([/* ][unm]?(A|s|Hz|Phi0|√Hz|sqrt\\(Hz\\)|m)(\\^2|2)?)?") {
        let Ok(unit) = parse_unit(&text) else { return Ok(()) };
        let shown = shown_unit(&unit.symbol);
        let again = parse_unit(&shown).unwrap_or_else(|error| panic!("{text} is shown as {shown}: {error}"));
        prop_assert_eq!(again.factor.to_bits(), unit.factor.to_bits(), "{} {}", text, shown);
        prop_assert_eq!(again.dimension, unit.dimension, "{} {}", text, shown);
        // Shown again it stays as it is.
        let twice = shown_unit(&again.symbol);
        prop_assert_eq!(twice, shown);
    }

    /// Every double written shortest is read back to the bit.
    #[test]
    fn plain_numbers_are_exact(value in proptest::num::f64::NORMAL) {
        prop_assert_eq!(parse_quantity(&format!("{value:e}")).unwrap().value.to_bits(), value.to_bits());
        let comma = format!("{value:e}").replace('.', ",");
        if let Ok(parsed) = parse_quantity(&comma) {
            prop_assert_eq!(parsed.value.to_bits(), value.to_bits());
        }
    }

    /// Nothing typed makes the parser stop or give a number that is not finite.
    #[test]
    fn any_text_is_answered(text in "\\PC{0,140}") {
        if let Ok(parsed) = parse_quantity(&text) {
            prop_assert!(parsed.si.is_finite() && parsed.value.is_finite());
        }
    }

    /// The same with texts made of what quantities are made of.
    #[test]
    fn any_near_quantity_is_answered(text in "[-−+]?[0-9 ,.]{0,9}([eE×x*·^]|10)?[-−]?[0-9⁻¹²]{0,4} ?([µuμmkMGTfpn]?(A|T|G|Hz|Φ0|Phi0|Wb|s|√Hz|sqrt\\(Hz\\))[/*· ^²]?){0,4}") {
        if let Ok(parsed) = parse_quantity(&text) {
            prop_assert!(parsed.si.is_finite() && parsed.value.is_finite());
        }
    }
}
