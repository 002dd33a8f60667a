//! What the browser makes of receipts is what the command makes of them.

use coldfringe::homework::marking::{Paper, mark};
use coldfringe::homework::receipt::Seal;
use coldfringe::homework::{Identifier, Receipt, Variant, demo};

use super::homework::assignment;
use super::page::{Checked, LAPTOP, Page};

/// What the browser makes of every receipt of an invented class is what the command makes of it.
async fn marked_alike(page: Page, name: &str) -> Checked {
    page.window(LAPTOP).await?;
    page.still().await?;
    let own = assignment(name);
    let paper = Paper::new(&own);
    let at = format!("coldfringe.homework.{}.{}", own.slug, own.version);
    page.open_live(&format!("homework/{}.html", own.slug))
        .await?;
    let mut looked_at = 0;
    for (file, text) in demo::class(&own, 12)? {
        let Ok((receipt, Seal::Whole)) = Receipt::read(&text) else {
            continue;
        };
        let Ok(student) = Identifier::new(&receipt.student) else {
            continue;
        };
        if receipt.version != own.version || receipt.assignment != own.slug {
            continue;
        }
        page.store(&at, &text).await?;
        page.again().await?;
        page.until("document.querySelector('main').dataset.judged === 'yes'")
            .await?;
        let shown = page
            .value("document.querySelector('main').dataset.points")
            .await?;
        let marked = mark(&paper, &Variant::of(&own, &student), &receipt.entries)?;
        let points = shown.as_str().unwrap_or_default().parse::<f64>()?;
        assert!(
            (points - marked.points()).abs() < 5e-4,
            "{file}: {points} in the page, {} by the command",
            marked.points()
        );
        looked_at += 1;
    }
    assert!(looked_at >= 8, "{name}: {looked_at}");
    page.client.execute("localStorage.clear();", vec![]).await?;
    Ok(())
}

/// *Slits*, judged in the page and by the command.
pub(crate) async fn slits(page: Page) -> Checked {
    marked_alike(page, "slits").await
}

/// *Loops*, likewise.
pub(crate) async fn loops(page: Page) -> Checked {
    marked_alike(page, "loops").await
}

/// *Sensor design*, likewise.
pub(crate) async fn sensor_design(page: Page) -> Checked {
    marked_alike(page, "sensor-design").await
}

/// *Reading data*, likewise.
pub(crate) async fn reading_data(page: Page) -> Checked {
    marked_alike(page, "reading-data").await
}
