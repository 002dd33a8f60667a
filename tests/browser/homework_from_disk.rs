//! An assignment that is one file, opened from disk: the numbers are the student's own, its slow set-up is computed by a worker
//! made from the page's own text, the work is kept, and what is saved is a receipt.

use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use coldfringe::homework::marking::{Paper, mark};
use coldfringe::homework::receipt::Seal;
use coldfringe::homework::{Entry, Identifier, Receipt, Variant};
use serde_json::json;

use super::command;
use super::downloads;
use super::homework::{Key, answer, press, saved, say_who, stands};
use super::one_file::stays_on_disk;
use super::page::{Checked, LAPTOP, Page};
use super::reader::Means;
use crate::course;

/// The assignment: the one whose answers take a worker.
pub(super) const SLUG: &str = "sensor-design";
/// Who works on it.
pub(super) const STUDENT: &str = "ab-17";
/// The name of the receipt that is saved.
pub(super) const RECEIPT: &str = "receipt-sensor-design-ab-17.json";

/// The folder of pages, written once by the command: one lesson, and the assignment.
pub(crate) fn folder() -> &'static Path {
    static FOLDER: OnceLock<PathBuf> = OnceLock::new();
    FOLDER.get_or_init(|| {
        let whole = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("browser");
        let (lessons, out) = (
            whole.join("disk-lessons"),
            whole.join("homework-in-one-file"),
        );
        std::fs::create_dir_all(lessons.join("homework")).expect("a folder");
        let lesson = concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/tests/browser/lessons/slow-loop.md"
        );
        std::fs::copy(lesson, lessons.join("slow-loop.md")).expect("a lesson");
        let own = lessons.join(format!("homework/{SLUG}.md"));
        std::fs::copy(course::assignment_path(SLUG), own).expect("an assignment");
        command::run([
            "build".as_ref(),
            "--single-file".as_ref(),
            "--lessons".as_ref(),
            lessons.as_os_str(),
            "--out".as_ref(),
            out.as_os_str(),
        ])
        .expect("the pages are written");
        out
    })
}

/// The address on disk of the assignment.
pub(super) fn address() -> String {
    format!("file://{}/homework-{SLUG}.html", folder().display())
}

/// The entries of a receipt, which must be whole and the student's, and the points that they come to.
pub(super) fn marked(receipt: &str) -> (Vec<Entry>, f64) {
    let (receipt, seal) = Receipt::read(receipt).expect("a receipt");
    assert_eq!(seal, Seal::Whole);
    assert_eq!(receipt.student, STUDENT);
    let assignment = &course::assignment(SLUG).assignment;
    let student = Identifier::new(STUDENT).expect("an identifier");
    let variant = Variant::of(assignment, &student);
    let marks = mark(&Paper::new(assignment), &variant, &receipt.entries).expect("marks");
    (receipt.entries, marks.points())
}

/// From the identifier to the receipt without a server; nothing but the file was ever asked for.
pub(crate) async fn an_assignment_works_from_disk(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    page.still().await?;
    let saves = downloads::folder(&page, "receipts-from-disk").await?;
    page.requests().await?;
    let address = tokio::task::spawn_blocking(address).await?;
    page.client.goto(&address).await?;
    page.live().await?;
    say_who(&page, STUDENT).await?;
    let key = Key::new(SLUG, STUDENT);
    let rounding = "sensor-design-thermal-rounding";
    let said = answer(&page, rounding, &key.number("thermal-rounding", 2.0)).await?;
    assert!(said.contains("Try 1 of 5"), "{said}");
    let said = answer(&page, rounding, &key.number("thermal-rounding", 1.0)).await?;
    assert!(said.contains("agrees"), "{said}");
    let (at, near) = key.place("working-flux");
    page.slide(
        Means::Drag,
        "#sensor-design-working-flux [data-role=mark]",
        at,
        near,
    )
    .await?;
    page.commit_as(Means::Drag, "sensor-design-working-flux", "certain")
        .await?;
    let there = "2 of 6 done · 2 of 9 points";
    stands(&page, there).await?;
    assert_eq!(
        page.value("document.documentElement.dataset.computes ?? 'behind'")
            .await?,
        json!("behind"),
        "a worker computes"
    );
    page.picture("homework-from-disk").await?;
    page.again().await?;
    stands(&page, there).await?;
    press(&page, "[data-role=save-receipt]").await?;
    let (entries, points) = marked(&saved(&saves, RECEIPT).await?);
    assert_eq!(entries.len(), 3, "{entries:?}");
    assert!((points - 2.0).abs() < 1e-12, "{points}");
    stays_on_disk(&page, folder()).await?;
    std::fs::remove_dir_all(&saves)?;
    Ok(())
}
