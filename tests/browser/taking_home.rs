//! Files that the page hands out.

use std::path::Path;

use serde_json::{Value, json};

use super::downloads;
use super::gestures::key;
use super::page::{Checked, LAPTOP, Page};
use super::reader::{Means, Or};

/// A file, as soon as there is anything in it.
async fn file(folder: &Path, name: &str) -> Or<Vec<u8>> {
    downloads::file(folder, name, |bytes| !bytes.is_empty()).await
}

/// A bench's chart as picture, drawing and table, with the device as it stands.
pub(crate) async fn charts_come_as_png_svg_and_csv(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    let folder = downloads::folder(&page, "downloads-charts").await?;
    page.lesson_opened("one-slit").await?;
    let bench = "one-slit-thickness-and-current";
    page.press_button(Means::Drag, &format!("#{bench} .numbers summary"))
        .await?;
    for kind in ["png", "svg", "csv"] {
        page.press_button(
            Means::Drag,
            &format!("#{bench} .numbers [data-role=take-{kind}]"),
        )
        .await?;
    }
    let png = file(&folder, &format!("{bench}.png")).await?;
    assert_eq!(png[..8], *b"\x89PNG\r\n\x1a\n", "a PNG");
    let width = u32::from_be_bytes(png[16..20].try_into()?);
    assert_eq!(
        width,
        3 * 720,
        "three pixels to a logical one, whatever the screen"
    );
    assert!(png.len() > 20_000, "a picture of {} bytes", png.len());

    let svg = String::from_utf8(file(&folder, &format!("{bench}.svg")).await?)?;
    assert!(
        svg.contains("<svg") && svg.trim_end().ends_with("</svg>"),
        "an SVG"
    );
    assert!(
        svg.contains("magnetic field (mT)"),
        "with the words of its axes"
    );
    assert!(!svg.contains("<script"), "and no script");

    // The same in another style, chosen by keys alone.
    page.value(&format!(
        "document.querySelector('#{bench} .numbers [data-role=take-style]').focus()"
    ))
    .await?;
    page.press(&[key::END]).await?;
    page.press_button(
        Means::Drag,
        &format!("#{bench} .numbers [data-role=take-svg]"),
    )
    .await?;
    let print = String::from_utf8(file(&folder, &format!("{bench}-print.svg")).await?)?;
    assert!(
        print.contains("fill=\"#ffffff\"")
            && !svg.contains("<rect width=\"720\" height=\"417.6\" fill=\"#ffffff\""),
        "white paper for print"
    );
    assert_eq!(
        print.matches("<text").count(),
        svg.matches("<text").count(),
        "the same words"
    );
    // The board picture beside it.
    page.press_button(Means::Drag, &format!("#{bench} .take summary"))
        .await?;
    page.press_button(Means::Drag, &format!("#{bench} .take [data-role=take-svg]"))
        .await?;
    let board = String::from_utf8(file(&folder, &format!("{bench}-junction.svg")).await?)?;
    assert!(
        board.contains("<polygon") && board.contains("<text"),
        "arrows and words"
    );
    page.assert_accessible("a figure's styles and forms are open")
        .await?;
    page.picture("figures-to-take-away").await?;

    let csv = String::from_utf8(file(&folder, &format!("{bench}.csv")).await?)?;
    let rows: Vec<&str> = csv
        .lines()
        .filter(|line| !line.is_empty() && !line.starts_with('#'))
        .collect();
    assert!(
        rows[0].contains("mT") && rows[0].contains("µA"),
        "units in {}",
        rows[0]
    );
    assert!(rows.len() > 400, "{} rows", rows.len());
    let middle = rows
        .iter()
        .filter_map(|row| {
            let mut cells = row.split(',').map(str::parse::<f64>);
            Some((cells.next()?.ok()?, cells.next()?.ok()?))
        })
        .find(|(x, _)| x.abs() < 1e-9);
    let slider = page
        .value(&format!(
            "Number(document.querySelector('#{bench} [data-slider=\"1\"]').value)"
        ))
        .await?
        .as_f64()
        .ok_or("a slider's value")?;
    assert!(
        middle.is_some_and(|(_, y)| (y - slider).abs() < 1e-9 * slider),
        "{slider} µA without a field: {middle:?}"
    );
    page.is_quiet().await?;
    std::fs::remove_dir_all(folder)?;
    Ok(())
}

/// One's work is a JSON text that equals what is kept.
pub(crate) async fn work_comes_as_json(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    let folder = downloads::folder(&page, "downloads-work").await?;
    page.lesson("one-slit").await?;
    page.choose(Means::Drag, "one-slit-pattern", "sure", "certain")
        .await?;
    page.press_button(Means::Drag, "[data-role=save-work]")
        .await?;
    let text = String::from_utf8(file(&folder, "coldfringe-work.json").await?)?;
    let saved: Value = serde_json::from_str(&text)?;
    let kept: Value = serde_json::from_str(&page.stored().await?["coldfringe.record"])?;
    assert_eq!(saved, kept);
    assert_eq!(saved["version"], json!(1));
    std::fs::remove_dir_all(folder)?;
    Ok(())
}
