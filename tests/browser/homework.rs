//! Hands and eyes for assignments: a student's right answers, what is typed and pressed, and what is handed in.

use std::path::Path;

use coldfringe::homework::{Assignment, Expected, Identifier, Variant};
use serde_json::json;

use super::command;
use super::downloads;
use super::page::{Checked, Page};
use super::reader::{Means, Or};
use crate::course;

pub(super) fn assignment(name: &str) -> Assignment {
    course::assignment(name).assignment.clone()
}

/// A student's right answers, computed here.
pub(super) struct Key {
    pub(super) assignment: Assignment,
    pub(super) variant: Variant,
}

impl Key {
    pub(super) fn new(name: &str, student: &str) -> Self {
        let assignment = assignment(name);
        let student = Identifier::new(student).expect("an identifier");
        Self {
            variant: Variant::of(&assignment, &student),
            assignment,
        }
    }

    /// The right number, times something, as somebody types it.
    pub(super) fn number(&self, task: &str, by: f64) -> String {
        let (_, task) = self.assignment.task(task).expect("a question");
        let block = self.assignment.block(task, &self.variant).expect("a block");
        match Expected::new(&self.assignment.slug, &block).expect("an answer") {
            Expected::Number(expected) => expected.written(expected.value() * by, 4),
            other => panic!("{other:?}"),
        }
    }

    /// Where a marker belongs, and how near it must come for certain.
    pub(super) fn place(&self, task: &str) -> (f64, f64) {
        let (_, task) = self.assignment.task(task).expect("a question");
        let block = self.assignment.block(task, &self.variant).expect("a block");
        match Expected::new(&self.assignment.slug, &block).expect("an answer") {
            Expected::Place(place) => (place.answer(), 0.02 * place.answer()),
            other => panic!("{other:?}"),
        }
    }
}

/// Presses a button in the middle of the window, clear of the foot of the page.
pub(super) async fn press(page: &Page, selector: &str) -> Checked {
    page.press_button(Means::Drag, selector).await
}

/// Opens an assignment and says who one is.
pub(super) async fn begin(page: &Page, name: &str, typed: &str) -> Checked {
    page.open_live(&format!("homework/{name}.html")).await?;
    say_who(page, typed).await
}

/// Says who one is, on the page of an assignment.
pub(super) async fn say_who(page: &Page, typed: &str) -> Checked {
    press(page, "[data-role=who-name]").await?;
    page.write(typed).await?;
    press(page, "[data-role=who-form] [type=submit]").await?;
    page.until("document.querySelector('main').hasAttribute('data-filled')")
        .await
}

/// Waits until the foot of the page says so.
pub(super) async fn stands(page: &Page, words: &str) -> Checked {
    page.until(&format!(
        "document.querySelector('[data-role=sum]').textContent.includes({})",
        json!(words)
    ))
    .await
}

async fn problem(page: &Page, block: &str) -> Or<String> {
    let place = format!("#{block} [data-role=problem]");
    page.until(&format!(
        "document.querySelector('{place}').textContent !== ''"
    ))
    .await?;
    page.text(&place).await
}

/// Types a number that cannot count.
pub(super) async fn offer(page: &Page, block: &str, text: &str) -> Or<String> {
    page.retype(&format!("#{block} [data-role=number]"), text)
        .await?;
    press(page, &format!("#{block} [data-role=check]")).await?;
    problem(page, block).await
}

/// Types a number that counts.
pub(super) async fn answer(page: &Page, block: &str, text: &str) -> Or<String> {
    page.value(&format!(
        "document.querySelector('#{block} [data-role=live]').textContent = ''"
    ))
    .await?;
    page.retype(&format!("#{block} [data-role=number]"), text)
        .await?;
    press(page, &format!("#{block} [data-role=check]")).await?;
    page.until(&format!(
        "document.querySelector('#{block} [data-role=live]').textContent !== ''"
    ))
    .await?;
    page.verdict(block).await
}

/// A receipt that was saved.
pub(super) async fn saved(folder: &Path, name: &str) -> Or<String> {
    let bytes = downloads::file(folder, name, |bytes| bytes.ends_with(b"}\n")).await?;
    Ok(String::from_utf8(bytes)?)
}

/// Hands a file to the page; gives what is said if it is refused.
pub(super) async fn take_up(page: &Page, folder: &Path, text: &str) -> Checked {
    let path = folder.join("handed.json");
    std::fs::write(&path, text)?;
    page.element("[data-role=receipt-file]")
        .await?
        .send_keys(&path.display().to_string())
        .await?;
    Ok(())
}

/// Marks a folder of receipts with the command; gives the line of a student.
pub(super) fn graded(name: &str, folder: &Path, student: &str) -> Or<String> {
    let out = folder.join("marks.csv");
    let receipt = folder.join(format!("receipt-{name}-{student}.json"));
    command::run([
        "grade".as_ref(),
        "--assignment".as_ref(),
        course::assignment_path(name).as_os_str(),
        receipt.as_os_str(),
        "--out".as_ref(),
        out.as_os_str(),
    ])?;
    let text = std::fs::read_to_string(out)?;
    let line = text.lines().find(|line| line.contains(student));
    Ok(line.ok_or(text.clone())?.to_owned())
}
