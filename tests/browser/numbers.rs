//! Number boxes with odd input: what cannot be read says why and costs no try; what can be read is echoed as it was read.

use serde_json::{Value, json};

use super::page::{Checked, LAPTOP, Page};
use super::reader::{Means, Or};

const BLOCK: &str = "one-slit-thin-films";
const FIELD: &str = "#one-slit-thin-films [data-role=number]";

async fn check(page: &Page, text: &str) -> Checked {
    page.retype(FIELD, text).await?;
    page.press_button(Means::Drag, "#one-slit-thin-films [data-role=check]")
        .await
}

async fn tries(page: &Page) -> Or<usize> {
    Ok(page.kept("one-slit", "thin-films").await?["tries"]
        .as_array()
        .map_or(0, Vec::len))
}

async fn echo(page: &Page) -> Or<String> {
    page.text("#one-slit-thin-films [data-role=echo]").await
}

/// Nothing typed, no number, two numbers, another kind, an unknown unit, too long, too large.
pub(crate) async fn refuse_what_cannot_be_read_without_costing_a_try(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    page.lesson_opened("one-slit").await?;
    let long = "9".repeat(400);
    let longer = "1.43 mT ".repeat(60);
    for (text, why) in [
        ("", "Type a value first"),
        ("   ", "Type a value first"),
        ("mT", "number"),
        ("inf", "number"),
        ("NaN", "number"),
        ("-inf mT", "number"),
        ("1e400 mT", "finite"),
        ("1.43e- mT", ""),
        ("1.43 pH", "inductance"),
        ("1.43 s", "time"),
        ("1.43 furlongs", "furlongs"),
        ("1.43 mt", ""),
        ("1.43 mT 2 mT", ""),
        ("1,43,2 mT", ""),
        ("1,234 mT", "two ways"),
        ("<b>1</b>", "number"),
        (long.as_str(), ""),
        (longer.as_str(), ""),
    ] {
        check(&page, text).await?;
        let problem = page
            .text("#one-slit-thin-films [data-role=problem]")
            .await?;
        assert!(
            !problem.is_empty() && problem.contains(why),
            "{text:?} is answered with {problem:?}"
        );
        assert!(!problem.contains("?."), "{problem}");
        assert_eq!(tries(&page).await?, 0, "{text:?} costs no try");
        let fits = page
            .value("document.documentElement.scrollWidth <= innerWidth")
            .await?;
        assert_eq!(fits, json!(true), "{text:?} makes the page wider");
    }
    Ok(())
}

/// Units with any micro sign, signs, decimal commas and powers of ten are read, and the echo says how.
pub(crate) async fn read_what_people_type(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    page.lesson_opened("one-slit").await?;
    for (text, echoed, right) in [
        ("1.43", "mT (no unit typed)", true),
        ("1,43 mT", "1.43 mT", true),
        ("+1.43mT", "1.43 mT", true),
        ("1430 \u{b5}T", "T", true),
        ("1430 \u{3bc}T", "T", true),
        ("1430 uT", "T", true),
        ("1.43e-3 T", "T", true),
        ("1.43×10^-3 T", "T", true),
        ("\u{2212}1.43 mT", "mT", false),
        ("0", "0", false),
        ("1e300 T", "T", false),
    ] {
        check(&page, text).await?;
        let problem = page
            .text("#one-slit-thin-films [data-role=problem]")
            .await?;
        assert_eq!(problem, "", "{text:?} can be read");
        let echo = echo(&page).await?;
        assert!(
            echo.starts_with("read as") && echo.contains(echoed),
            "{text:?} is echoed as {echo:?}"
        );
        let said = page.verdict(BLOCK).await?;
        assert_eq!(
            said.contains("agrees with the computed value"),
            right,
            "{text:?}: {said}"
        );
    }
    assert_eq!(tries(&page).await?, 11, "each was a try");
    check(&page, "2.86 mT").await?;
    let said = page.verdict(BLOCK).await?;
    assert!(
        said.contains("2") && !said.contains("This differs from"),
        "a factor of two is recognised: {said}"
    );
    // The last try stands in the box after a reload.
    page.again().await?;
    assert_eq!(
        page.value(&format!("document.querySelector({}).value", json!(FIELD)))
            .await?,
        Value::from("2.86 mT")
    );
    Ok(())
}

/// A bench's boxes keep to the range of their sliders; an emptied one shows the device again as it is.
pub(crate) async fn at_a_bench_keep_to_their_range(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    page.lesson_opened("one-slit").await?;
    let bench = "#one-slit-thickness-and-current";
    let field = format!("{bench} [data-slider-number=\"0\"]");
    for (typed, comes) in [
        ("258", "258"),
        ("99999", "400"),
        ("-5", "60"),
        ("", "60"),
        ("e", "60"),
        ("100.5", "100.5"),
    ] {
        page.retype(&field, typed).await?;
        page.press(&[super::gestures::key::TAB]).await?;
        let there = page
            .value(&format!("document.querySelector({}).value", json!(field)))
            .await?;
        assert_eq!(there, json!(comes), "{typed:?} typed");
    }
    let readings = page.text(&format!("{bench} [data-role=readings]")).await?;
    assert!(
        readings.contains("2.06 mT"),
        "the readings follow: {readings}"
    );
    page.is_quiet().await
}
