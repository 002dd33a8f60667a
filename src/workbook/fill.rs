//! Drawn values in the rendered page: at each stands an element that the script fills, or, within
//! the JSON of a block, a placeholder.

use crate::homework::Draw;
use crate::homework::template::AssignmentFile;
use crate::page::html::escape;

use super::marks;

/// Opens the JSON of a block, or of the assignment.
const JSON: &str = "<script type=\"application/json\"";
/// The written form of a formula, kept beside it.
const WRITTEN: &str = "<annotation";

/// Lets every drawn value in a formula give way to a word that the formula shows as text, so that
/// it is found again in what the formula becomes.
pub(super) fn in_formulas(file: &AssignmentFile, text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut inside = false;
    let mut rest = text;
    while let Some(at) = rest.find('$') {
        let (part, from) = rest.split_at(at);
        // A dollar sign that is meant as one.
        if part.ends_with('\\') {
            out.push_str(part);
            out.push('$');
            rest = &from[1..];
            continue;
        }
        out.push_str(&formula(file, part, inside));
        let fence = if from.starts_with("$$") { "$$" } else { "$" };
        out.push_str(fence);
        inside = !inside;
        rest = &from[fence.len()..];
    }
    out.push_str(&formula(file, rest, inside));
    out
}

fn formula(file: &AssignmentFile, text: &str, inside: bool) -> String {
    if inside {
        let text = file.opened(text, |draw| format!("\\text{{{}}}", in_text(draw)));
        // Where the file says that it is text, it is so once.
        text.replace("\\text{\\text{\u{27E6}", "\\text{\u{27E6}")
            .replace("\u{27E7}}}", "\u{27E7}}")
    } else {
        text.to_owned()
    }
}

/// A draw within a formula.
fn in_text(draw: &Draw) -> String {
    format!("\u{27E6}{}\u{27E7}", draw.name)
}

/// What a reader sees where the script does not run.
pub(super) fn words(draw: &Draw) -> String {
    draw.name.replace('-', " ")
}

/// Puts an element, or a placeholder within JSON, at every drawn value of a page.
pub(super) fn filled(file: &AssignmentFile, html: &str) -> String {
    let mut out = String::with_capacity(html.len());
    let mut rest = html;
    while let Some(at) = rest.find(JSON) {
        let (text, from) = rest.split_at(at);
        out.push_str(&in_html(file, text));
        let end = from
            .find("</script>")
            .map_or(from.len(), |end| end + "</script>".len());
        out.push_str(&file.opened(&from[..end], Draw::placeholder));
        rest = &from[end..];
    }
    out.push_str(&in_html(file, rest));
    out
}

fn in_html(file: &AssignmentFile, html: &str) -> String {
    let mut out = String::with_capacity(html.len());
    for (place, part) in html.split(WRITTEN).enumerate() {
        let (written, part) = match (place, part.split_once("</annotation>")) {
            (0, _) | (_, None) => ("", part),
            (_, Some((written, part))) => (written, part),
        };
        if place > 0 {
            out.push_str(WRITTEN);
            // What is copied from here is what the file says.
            out.push_str(&written.replace(['\u{27E6}', '\u{27E7}'], ""));
            out.push_str("</annotation>");
        }
        let mut part = file.opened(part, |draw| element("span", draw, &words(draw)));
        for draw in &file.assignment.draws {
            let shown = format!("<mtext>{}</mtext>", in_text(draw));
            part = part
                .replace(&shown, &element("mtext", draw, &words(draw)))
                .replace(&in_text(draw), &element("span", draw, &words(draw)));
        }
        out.push_str(&part);
    }
    out
}

/// An element that the script fills with a drawn value.
pub(super) fn element(tag: &str, draw: &Draw, words: &str) -> String {
    format!(
        "<{tag} class=\"draw\" {attribute}=\"{name}\">{words}</{tag}>",
        attribute = marks::DRAW,
        name = escape(&draw.name),
        words = escape(words),
    )
}
