//! Checks `CommonMark`: formulas, headings, links, and what the page does not let through.

use std::ops::Range;

use pulldown_cmark::{CowStr, Event, HeadingLevel, Options, Parser, Tag, TagEnd};

use super::super::blocks::is_name;
use super::super::diagnostic::{Diagnostics, Mistake};
use super::formula::formula_error;
use super::table::Text;

/// The `CommonMark` extensions of a lesson: formulas and tables, nothing else.
#[must_use]
pub fn options() -> Options {
    Options::ENABLE_MATH | Options::ENABLE_TABLES
}

/// A link in a lesson with its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Link {
    /// Where it leads.
    pub(crate) target: String,
    /// Where it stands.
    pub(crate) span: Range<usize>,
}

/// Where places within a piece of text lie in the file.
#[derive(Debug, Clone)]
enum Place {
    /// The text stands in the file letter by letter, from here.
    From(usize),
    /// It does not; every mistake is told at this span.
    Whole(Range<usize>),
}

impl Place {
    fn of(&self, local: Range<usize>) -> Range<usize> {
        match self {
            Self::From(start) => start + local.start..start + local.end,
            Self::Whole(span) => span.clone(),
        }
    }
}

/// Checks prose that stands in the file at `span`. Returns its links.
pub(crate) fn check_prose(span: Range<usize>, diagnostics: &mut Diagnostics<'_>) -> Vec<Link> {
    let source = diagnostics.source();
    match source.get(span.clone()) {
        Some(text) => check(text, &Place::From(span.start), diagnostics),
        None => Vec::new(),
    }
}

/// Checks `CommonMark` that is a value in a block. Returns its links.
pub(crate) fn check_text(text: &Text, diagnostics: &mut Diagnostics<'_>) -> Vec<Link> {
    let place = text
        .verbatim_start(diagnostics.source())
        .map_or_else(|| Place::Whole(text.span.clone()), Place::From);
    check(&text.value, &place, diagnostics)
}

fn check(text: &str, place: &Place, diagnostics: &mut Diagnostics<'_>) -> Vec<Link> {
    let mut links = Vec::new();
    let mut loose = LooseDollars::default();
    for (event, local) in Parser::new_ext(text, options()).into_offset_iter() {
        loose.see(&event, &local, text, place, diagnostics);
        match event {
            Event::InlineMath(tex) | Event::DisplayMath(tex) => {
                if let Some(error) = formula_error(&tex) {
                    diagnostics.add(
                        Mistake::BadFormula,
                        place.of(local),
                        format!("this formula cannot be read: {error}"),
                        formula_mend(&tex),
                    );
                }
            }
            Event::Html(_) | Event::InlineHtml(_) => diagnostics.add(
                Mistake::RawHtml,
                place.of(local),
                "HTML is not taken in a lesson",
                "write it as CommonMark, or put it in backticks to show it as written",
            ),
            Event::Start(Tag::Image { .. }) => diagnostics.add(
                Mistake::Image,
                place.of(local),
                "images are not taken in a lesson",
                "use a `board` block for a picture of the device, or link to the image",
            ),
            Event::Start(Tag::Heading {
                level: HeadingLevel::H1 | HeadingLevel::H2,
                ..
            }) => {
                diagnostics.add(
                    Mistake::HeadingLevel,
                    place.of(local),
                    "this heading has a level that belongs to the page",
                    "begin a step with `## ` at the margin, or use `### ` inside a step; \
                     keep a blank line above a line of dashes",
                );
            }
            Event::Start(Tag::Link { dest_url, .. }) => {
                if link_kind(&dest_url) == LinkKind::Nowhere {
                    diagnostics.add(
                        Mistake::BrokenLink,
                        place.of(local.clone()),
                        format!("`{dest_url}` leads to no page of the notebook"),
                        "link to `https://…`, to another lesson as `../two-slits/`, or to a step \
                         of this one as `#why`",
                    );
                }
                links.push(Link {
                    target: dest_url.to_string(),
                    span: place.of(local),
                });
            }
            _ => {}
        }
    }
    links
}

fn formula_mend(tex: &str) -> String {
    if tex.contains("\\SI{") || tex.contains("\\qty{") || tex.contains("\\si{") {
        "write the unit by hand: `10\\,\\mathrm{\\mu A}`".to_owned()
    } else if DEFINES.iter().any(|command| tex.contains(command)) {
        "write the formula out".to_owned()
    } else {
        "check its braces, its commands and its ^ and _".to_owned()
    }
}

const DEFINES: [&str; 3] = ["def", "\\let", "command"];

/// Finds dollar signs that were meant to open a formula and did not.
#[derive(Debug, Default)]
struct LooseDollars {
    in_cell: bool,
    last_single: Option<usize>,
    told_until: usize,
}

impl LooseDollars {
    fn see(
        &mut self,
        event: &Event<'_>,
        local: &Range<usize>,
        text: &str,
        place: &Place,
        diagnostics: &mut Diagnostics<'_>,
    ) {
        match event {
            Event::Start(Tag::TableCell) => self.in_cell = true,
            Event::End(TagEnd::TableCell) => self.in_cell = false,
            Event::Text(CowStr::Borrowed("$")) if !escaped(text, local.start) => {
                if self.last_single == Some(local.start) && local.start >= self.told_until {
                    self.tell_display(local.start - 1, text, place, diagnostics);
                } else if self.in_cell && local.start >= self.told_until {
                    // The next cell holds the other end.
                    self.told_until = text[local.end..]
                        .find('\n')
                        .map_or(text.len(), |at| local.end + at);
                    diagnostics.add(
                        Mistake::BadFormula,
                        place.of(local.clone()),
                        "this formula does not end in its table cell",
                        "inside a table write `\\lvert a \\rvert` instead of `|a|`: a bare `|` \
                         ends the cell",
                    );
                }
                self.last_single = Some(local.end);
            }
            _ => {}
        }
    }

    fn tell_display(
        &mut self,
        start: usize,
        text: &str,
        place: &Place,
        diagnostics: &mut Diagnostics<'_>,
    ) {
        let rest = &text[start + 2..];
        if let Some(end) = rest.find("$$") {
            self.told_until = start + 2 + end + 2;
            diagnostics.add(
                Mistake::BlankLineInFormula,
                place.of(start..self.told_until),
                "a blank line ends the paragraph inside this `$$` formula",
                "take the blank line out",
            );
        } else {
            self.told_until = text.len();
            diagnostics.add(
                Mistake::BadFormula,
                place.of(start..start + 2),
                "this `$$` has no partner",
                "end the formula with `$$`, or write `\\$\\$` for two dollar signs",
            );
        }
    }
}

/// Whether an odd number of backslashes stands before that place.
fn escaped(text: &str, at: usize) -> bool {
    text.as_bytes()[..at]
        .iter()
        .rev()
        .take_while(|byte| **byte == b'\\')
        .count()
        % 2
        == 1
}

/// Where a link of a lesson may lead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LinkKind {
    /// To a web or mail address.
    Web,
    /// To a step of the same lesson: `#why`.
    Step,
    /// To another lesson: `../two-slits/` or `../two-slits/#why`.
    Lesson {
        /// The other lesson.
        slug: String,
        /// Its step with the `#`, or nothing.
        step: String,
    },
    /// Nowhere that the notebook knows.
    Nowhere,
}

/// What kind of link that target is.
#[must_use]
pub fn link_kind(target: &str) -> LinkKind {
    if ["https://", "http://", "mailto:"]
        .iter()
        .any(|scheme| target.starts_with(scheme))
    {
        return LinkKind::Web;
    }
    if target.len() > 1 && target.starts_with('#') {
        return LinkKind::Step;
    }
    let Some((slug, step)) = target
        .strip_prefix("../")
        .and_then(|rest| rest.split_once('/'))
    else {
        return LinkKind::Nowhere;
    };
    if is_name(slug) && (step.is_empty() || step.starts_with('#')) {
        LinkKind::Lesson {
            slug: slug.to_owned(),
            step: step.to_owned(),
        }
    } else {
        LinkKind::Nowhere
    }
}
